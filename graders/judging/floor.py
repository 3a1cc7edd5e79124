"""What can be earned without the method: bounds, zeros, numbers of the text, slips and simple words as answers.

Every part is answered by one rule, such as the lowest plausible number, and judged. Where some other plain guess earns
more on what those rules left as earlier answers, it is taken, the same guess for everybody's numbers: so this is what
somebody earns who knows the judge and not the method. A guess that is right for one draw by luck counts as one draw.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from graders.judging.judge import carry_on
from graders.questions.exercise import Exercise
from graders.questions.parts import Choice, Design, Number, Part, Several, Worded, Written
from workbook import units

USUAL = "the usual rule"
PLAIN = {"0": 0, "1": 1, "-1": -1, "100": 100}
WORDS = {
    "first word": lambda words: words[0],
    "last word": lambda words: words[-1],
    "longest word": lambda words: max(words, key=len),
}
NUMERAL = re.compile(r"(?<![\w.{])-?\d+(?:\.\d+)?(?![\w}])")


@dataclass(frozen=True)
class Without:
    """The most that answers without the method earned, on average: points by part, share of all, and which rules."""

    points: dict[str, float]
    share: float
    rules: str


def most_without_the_method(exercise: Exercise, draws: Sequence[dict]) -> Without:
    """Return the most that plain guesses earn, on average over some givens.

    Parameters
    ----------
    exercise : Exercise
    draws : sequence of dict
        Givens as printed.
    """
    guessing = [_Guessing(exercise, printed_givens) for printed_givens in draws]
    is_worded = any(isinstance(part, Worded) for part in exercise.parts)
    words = WORDS if is_worded else list(WORDS)[:1]
    tried = (_by(number, word, exercise, guessing) for number in guessing[0].number_rules for word in words)
    return max(tried, key=lambda one: one.share)


def _by(number_rule: str, word_rule: str, exercise: Exercise, draws: Sequence["_Guessing"]) -> Without:
    """Return what is earned where every part is answered by these rules, or by a guess that earns more."""
    points, taken = {}, []
    for one in draws:
        one.begin()
    for part in exercise.parts:
        if isinstance(part, Written):
            continue
        earned: dict[str, float] = {}
        for one in draws:
            for rule, answer in one.guesses(part, number_rule, word_rule).items():
                earned[rule] = earned.get(rule, 0.0) + one.earned(part, answer) / len(draws)
        best = max(earned, key=lambda rule: (earned[rule] > earned[USUAL] + 1e-9, earned[rule]))
        points[part.name] = earned[best]
        taken += [] if best == USUAL else [f"{part.name} by {best}"]
        for one in draws:
            one.answer(part, number_rule, word_rule, best)
    rules = ", ".join([number_rule, word_rule, *taken])
    return Without(points, sum(points.values()) / exercise.points, rules)


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

    def earned(self, part: Part, guess: dict) -> float:
        """Return the points of an answer, after the answers before."""
        part = self.exercise.part(part.name)
        return float(part.judge(self.g, self.true, lambda: self.here, guess).points)

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
