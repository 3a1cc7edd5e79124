"""What can be earned without the method: bounds, zeros, numbers of the text, slips and simple words as answers.

Every part is answered by one rule, such as the lowest plausible number, and judged. Where some other plain guess earns
more on what those rules left as earlier answers, it is taken, the same guess for everybody's numbers. Which guess it is
is found on some draws, and what it earns is counted on others: so this is what somebody earns who has tried out the
judge and not the method. Words are shown in a drawn order, and earn what they earn by chance.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from statistics import mean

from graders.judging.judge import carry_on
from graders.questions.exercise import Exercise
from graders.questions.parts import PLAIN_NUMBERS, Acts, Choice, Design, Number, Part, Several, Worded, Written
from workbook import units

USUAL = "the usual rule"
PLAIN = {str(number): number for number in PLAIN_NUMBERS}
WORDS = {
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


def most_without_the_method(exercise: Exercise, draws: Sequence[dict]) -> Without:
    """Return the most that plain guesses earn, on average over some givens.

    Parameters
    ----------
    exercise : Exercise
    draws : sequence of dict
        Givens as printed, two or more: guesses are found on one half of them and counted on the other.
    """
    guessing = [_Guessing(exercise, printed_givens) for printed_givens in draws]
    is_worded = any(isinstance(part, Worded) for part in exercise.parts)
    words = WORDS if is_worded else list(WORDS)[:1]
    tried = (_by(number, word, exercise, guessing) for number in guessing[0].number_rules for word in words)
    return max(tried, key=lambda one: one.share)


def _by(number_rule: str, word_rule: str, exercise: Exercise, draws: Sequence["_Guessing"]) -> Without:
    """Return what is earned where every part is answered by these rules, or by a guess that earns more."""
    points, taken, half = {}, [], len(draws) // 2
    for one in draws:
        one.begin()
    for part in exercise.parts:
        if isinstance(part, Written):
            continue
        found = _mean([one.earned(part, number_rule, word_rule) for one in draws[:half]])
        best = max(found, key=lambda rule: (found[rule] > found[USUAL] + 1e-9, found[rule]))
        points[part.name] = _mean([one.earned(part, number_rule, word_rule, best) for one in draws[half:]])[best]
        taken += [] if best == USUAL else [f"{part.name} by {best}"]
        for one in draws:
            one.answer(part, number_rule, word_rule, best)
    rules = ", ".join([number_rule, word_rule, *taken])
    return Without(points, sum(points.values()) / exercise.points, rules)


def _mean(draws: Sequence[dict[str, float]]) -> dict[str, float]:
    return {rule: mean(earned.get(rule, 0.0) for earned in draws) for rule in draws[0]}


class _Guessing:
    """One exercise on some givens, answered by rules. Equal steps are worked out once."""

    def __init__(self, exercise: Exercise, printed_givens: dict):
        self.exercise = replace(exercise, parts=tuple(map(_remembering, exercise.parts)))
        self.g, self.true = self.exercise.solved(printed_givens)
        self.given_numbers = {f"given {name}": v for name, v in printed_givens.items() if _is_number(v)}
        self.begin()

    @cached_property
    def number_rules(self) -> list[str]:
        """The rules that answer every number: bounds, plain numbers, givens, slips."""
        most_slips = max((len(getattr(part, "slips", ())) for part in self.exercise.parts), default=0)
        slips = [f"slip {place + 1}" for place in range(min(most_slips, 3))]
        return ["lowest", "highest", "middle", *PLAIN, *self.given_numbers, *slips]

    def begin(self) -> None:
        """Forget the answers."""
        self.given, self.carried = {}, {}
        self.here = self.exercise.answers({})

    def earned(self, part: Part, number_rule: str, word_rule: str, only: str = "") -> dict[str, float]:
        """Return the points of each guess, or of one only, after the answers before."""
        part = self.exercise.part(part.name)
        if isinstance(part, Worded):
            return {USUAL: self._by_chance(part)}
        guesses = self.guesses(part, number_rule, word_rule)
        earned = {rule: self._points(part, guess) for rule, guess in guesses.items() if only in ("", rule)}
        if number_rule.startswith("slip") and isinstance(part, Number) and USUAL in earned:
            earned[USUAL] = 0.0  # it is worked out, and only there to be carried on
        return earned

    def _points(self, part: Part, guess: dict) -> float:
        try:
            return part.judge(self.g, self.true, lambda: self.here, guess).points
        except Exception:
            return 0.0  # as in marking: it needs a look

    def _by_chance(self, part: Worded) -> float:
        """Return what words earn that are chosen without knowing any: one of them, or all in some order."""
        words = sorted(part.options)
        if isinstance(part, Choice):
            return mean(self._points(part, {part.name: word}) for word in words)
        ways = [mean(self._points(part, {part.name: way}) for way in (words, words[::-1]))]
        if isinstance(part, Several):
            ways.append(mean(self._points(part, {part.name: [word]}) for word in words))
        return max(ways)

    def guesses(self, part: Part, number_rule: str, word_rule: str) -> dict[str, dict]:
        """Return the answers to try, by their rules: the usual one, plain numbers, bounds, givens, earlier answers."""
        part = self.exercise.part(part.name)
        found = {USUAL: self._usual(part, number_rule, word_rule)}
        if isinstance(part, Number):
            low, high = part.plausible
            text = f"{self.exercise.setup} {part.ask} {part.because}"
            earlier = {f"earlier {name}": value for name, value in self.given.items() if _is_number(value)}
            numerals = {f"{numeral} of the text": float(numeral) for numeral in NUMERAL.findall(text)}
            plain = {"lowest": low, "highest": high} | PLAIN | self.given_numbers | earlier | numerals
            found |= {rule: {part.name: value} for rule, value in plain.items()}
        return found

    def answer(self, part: Part, number_rule: str, word_rule: str, rule: str) -> None:
        """Answer a part by a rule, and carry it on."""
        part = self.exercise.part(part.name)
        self.given = self.given | self.guesses(part, number_rule, word_rule)[rule]
        self.carried = carry_on(self.exercise, part, self.g, self.true, self.given, self.carried)
        self.here = self.exercise.answers(self.carried)

    def _usual(self, part: Part, number_rule: str, word_rule: str) -> dict:
        if isinstance(part, Number):
            return {part.name: self._number(part, number_rule)}
        if isinstance(part, Design):
            return {one.name: _within(one, number_rule, self.given_numbers) for one in part.settings}
        if isinstance(part, Acts):
            return {part.name: list(part.vocabulary)}  # all that take no number, in the order they are printed
        words = list(part.options)
        if isinstance(part, Choice):
            return {part.name: WORDS[word_rule](words)}
        return {
            part.name: [WORDS[word_rule](words)] if isinstance(part, Several) and word_rule != "last word" else words
        }

    def _number(self, part: Number, rule: str) -> float:
        low, high = part.plausible
        plain = {"lowest": low, "highest": high, "middle": (low + high) / 2} | PLAIN | self.given_numbers
        if rule in plain:
            return plain[rule]
        place = int(rule.removeprefix("slip ")) - 1
        if place >= len(part.slips):
            return low
        try:
            return units.from_si(float(part.slips[place].value(self.g, self.here)), part.unit)
        except (ArithmeticError, ValueError):
            return low


def _within(setting, rule: str, givens: dict) -> float:
    """Return a choice by a rule that knows the printed bounds only."""
    usual = {"lowest": setting.low, "highest": setting.high, **PLAIN, **givens}
    choice = usual.get(rule, (setting.low + setting.high) / 2)
    choice = min(max(choice, setting.low), setting.high)
    return round(choice) if setting.whole else choice


def _remembering(part: Part) -> Part:
    """Return a part that works each equal step out once; the boards of some sheets take long."""
    if isinstance(part, Number):
        slips = tuple(replace(slip, value=_once(slip.value)) for slip in part.slips)
        return replace(part, expected=_once(part.expected), slips=slips)
    if isinstance(part, Worded):
        return replace(part, expected=_once(part.expected))
    if isinstance(part, Design):
        return replace(part, simulate=_once(part.simulate), example=_once(part.example))
    return part


def _once(function):
    known = {}

    def remembered(g, a, *more):
        key = repr((a, more))
        if key not in known:
            known[key] = function(g, a, *more)
        return known[key]

    return remembered


def _is_number(value) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool)
