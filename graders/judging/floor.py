"""What can be earned without the method: bounds, zeros, numbers of the text, slips and simple words as answers.

Every part is answered by one rule, such as the lowest plausible number, and judged. Where some other plain guess earns
more on what those rules left as earlier answers, it is taken, the same guess for everybody's numbers. Which guess it is
is found on some draws, and what it earns is counted on others: so this is what somebody earns who has tried out the
judge and not the method. Words are shown in a drawn order, and earn what they earn by chance.
"""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from statistics import fmean
from typing import Any

from graders.judging.judge import carry_on
from graders.questions.exercise import Exercise
from graders.questions.givens import Printed, Values
from graders.questions.parts.base import Part
from graders.questions.parts.design import Setting
from graders.questions.parts.figures import is_number
from graders.questions.parts.number import PLAIN_NUMBERS, Number

USUAL = "the usual rule"
PLAIN: dict[str, float] = {str(number): number for number in PLAIN_NUMBERS}
WORDS: dict[str, Callable[[list[str]], str]] = {
    "first word": lambda words: sorted(words)[0],
    "last word": lambda words: sorted(words)[-1],
    "longest word": lambda words: max(words, key=len),
}
"""Which word is carried on; which one is shown first is drawn for every learner."""
NUMERAL = re.compile(r"(?<![\w.{])-?\d+(?:\.\d+)?(?![\w}])")


@dataclass(frozen=True)
class Without:
    """What answers without the method earned at most, on average: points by part, share of all, and by which rules."""

    points: dict[str, float]
    share: float
    rules: str


def most_without_the_method(exercise: Exercise, draws: Sequence[Printed]) -> Without:
    """Return the most that plain guesses earn, on average over some givens.

    Parameters
    ----------
    exercise : Exercise
    draws : sequence of dict
        Givens as printed, two or more: guesses are found on one half of them and counted on the other.
    """
    guessing = [_Guessing(exercise, printed_givens) for printed_givens in draws]
    is_worded = any(part.chances() for part in exercise.parts)
    words = list(WORDS) if is_worded else ["first word"]
    tried = (_by(number, word, exercise, guessing) for number in guessing[0].number_rules for word in words)
    return max(tried, key=lambda one: one.share)


def _by(number_rule: str, word_rule: str, exercise: Exercise, draws: Sequence["_Guessing"]) -> Without:
    """Return what is earned where every part is answered by these rules, or by a guess that earns more."""
    points: dict[str, float] = {}
    taken: list[str] = []
    half = len(draws) // 2
    for one in draws:
        one.begin()
    for part in exercise.parts:
        if part.is_written:
            continue
        found = _mean([one.earned(part, number_rule, word_rule) for one in draws[:half]])
        best = max(found, key=found.__getitem__)  # of equals the usual, which comes first
        points[part.name] = _mean([one.earned(part, number_rule, word_rule, best) for one in draws[half:]])[best]
        taken += [] if best == USUAL else [f"{part.name} by {best}"]
        for one in draws:
            one.answer(part, number_rule, word_rule, best)
    rules = ", ".join([number_rule, word_rule, *taken])
    return Without(points, sum(points.values()) / exercise.points, rules)


def _mean(draws: Sequence[dict[str, float]]) -> dict[str, float]:
    return {rule: fmean(earned.get(rule, 0.0) for earned in draws) for rule in draws[0]}


class _Guessing:
    """One exercise on some givens, answered by rules. Equal steps are worked out once."""

    def __init__(self, exercise: Exercise, printed_givens: Printed):
        self.exercise = replace(exercise, parts=tuple(part.remembering(_once) for part in exercise.parts))
        self.g, self.true = self.exercise.solved(printed_givens)
        self.given_numbers: dict[str, float] = {
            f"given {name}": v for name, v in printed_givens.items() if is_number(v)
        }
        self._known: dict[tuple[str, str, str], float] = {}
        self.begin()

    @cached_property
    def number_rules(self) -> list[str]:
        """The rules that answer every number: bounds, plain numbers, givens, slips."""
        most_slips = max((len(getattr(part, "slips", ())) for part in self.exercise.parts), default=0)
        slips = [f"slip {place + 1}" for place in range(min(most_slips, 3))]
        return ["lowest", "highest", "middle", *PLAIN, *self.given_numbers, *slips]

    def begin(self) -> None:
        """Forget the answers."""
        self.given: Printed = {}
        self.carried: Printed = {}
        self.here = self.exercise.answers({})

    def earned(self, part: Part, number_rule: str, word_rule: str, only: str = "") -> dict[str, float]:
        """Return the points of each guess, or of one only, after the answers before."""
        part = self.exercise.part(part.name)
        if part.chances():
            return {USUAL: self._by_chance(part)}
        guesses = self.guesses(part, number_rule, word_rule)
        earned = {rule: self._points(part, guess) for rule, guess in guesses.items() if only in ("", rule)}
        if number_rule.startswith("slip") and isinstance(part, Number) and USUAL in earned:
            earned[USUAL] = 0.0  # it is worked out, and only there to be carried on
        return earned

    def _points(self, part: Part, guess: Printed) -> float:
        """Return what a guess earns after what was carried so far: many rules carry the same, and guess the same."""
        asked = part.name, repr(self.carried), repr(guess)
        if asked not in self._known:
            try:
                self._known[asked] = part.judge(self.g, self.true, lambda: self.here, guess).points
            except Exception:
                self._known[asked] = 0.0  # as in marking: it needs a look
        return self._known[asked]

    def _by_chance(self, part: Part) -> float:
        """Return what words earn that are chosen without knowing any: one of them, or all in some order."""
        return max(fmean(self._points(part, answer) for answer in way) for way in part.chances())

    def guesses(self, part: Part, number_rule: str, word_rule: str) -> dict[str, Printed]:
        """Return the answers to try, by their rules: the usual one, plain numbers, bounds, givens, earlier answers."""
        part = self.exercise.part(part.name)
        text = f"{self.exercise.setup} {part.ask} {getattr(part, 'because', '')}"
        earlier = {f"earlier {name}": value for name, value in self.given.items() if is_number(value)}
        numerals = {f"{numeral} of the text": float(numeral) for numeral in NUMERAL.findall(text)}
        usual = {USUAL: part.guessed(_Rules(self, number_rule, word_rule))}
        return usual | part.plain_guesses(PLAIN | self.given_numbers | earlier | numerals)

    def answer(self, part: Part, number_rule: str, word_rule: str, rule: str) -> None:
        """Answer a part by a rule, and carry it on."""
        part = self.exercise.part(part.name)
        self.given = self.given | self.guesses(part, number_rule, word_rule)[rule]
        self.carried = carry_on(self.exercise, part, self.g, self.true, self.given, self.carried)
        self.here = self.exercise.answers(self.carried)


@dataclass(frozen=True)
class _Rules:
    """How somebody without the method answers: one rule for every number, one for every word."""

    by: _Guessing
    number_rule: str
    word_rule: str

    def number(self, part: Number) -> float:
        """Return a number by the rule, or the lowest that may be where the rule gives none."""
        low, high = part.plausible
        plain = {"lowest": low, "highest": high, "middle": (low + high) / 2} | PLAIN | self.by.given_numbers
        if self.number_rule in plain:
            return plain[self.number_rule]
        place = int(self.number_rule.removeprefix("slip ")) - 1
        if place >= len(part.slips):
            return low
        try:
            return part.slipped(part.slips[place], self.by.g, self.by.here)
        except (ArithmeticError, ValueError):
            return low

    def setting(self, setting: Setting) -> float:
        """Return a choice by the rule, which knows the printed bounds only."""
        usual = {"lowest": setting.low, "highest": setting.high, **PLAIN, **self.by.given_numbers}
        choice = usual.get(self.number_rule, (setting.low + setting.high) / 2)
        choice = min(max(choice, setting.low), setting.high)
        return round(choice) if setting.whole else choice

    def word(self, options: dict[str, str]) -> str:
        """Return one word by the rule."""
        return WORDS[self.word_rule](list(options))

    def words(self, options: dict[str, str]) -> list[str]:
        """Return one word by the rule, or all of them."""
        return list(options) if self.word_rule == "last word" else [self.word(options)]


def _once(function: Callable[..., Any]) -> Callable[..., Any]:
    known: dict[str, Any] = {}

    def remembered(g: Values, a: Values, *more: object) -> Any:
        key = repr((a, more))
        if key not in known:
            known[key] = function(g, a, *more)
        return known[key]

    return remembered
