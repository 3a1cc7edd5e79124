"""What can be earned without the method: bounds, zeros, numbers of the text, slips and simple words as answers.

Every part is answered by one rule, such as the lowest plausible number, and judged. Where some other plain guess earns
points on what that rule left as earlier answers, it is taken: so this is what luck and a look at the page could earn
at most.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from graders.judging.judge import carry_on
from graders.questions.exercise import Exercise
from graders.questions.parts import Choice, Design, Number, Part, Several, Worded, Written
from workbook import units

PLAIN = {"0": 0, "1": 1, "-1": -1, "100": 100}
WORDS = {
    "first word": lambda words: words[0],
    "last word": lambda words: words[-1],
    "longest word": lambda words: max(words, key=len),
}
NUMERAL = re.compile(r"(?<![\w.{])-?\d+(?:\.\d+)?(?![\w}])")


@dataclass(frozen=True)
class Without:
    """The most that answers without the method earned: points by part, the share of all, and by which rules."""

    points: dict[str, float]
    share: float
    rules: str


def most_without_the_method(exercise: Exercise, printed_givens: dict) -> Without:
    """Return the most that plain guesses earn on some givens.

    Parameters
    ----------
    exercise : Exercise
    printed_givens : dict
        As printed.
    """
    guessing = _Guessing(exercise, printed_givens)
    tried = (guessing.by(number, word) for number in guessing.number_rules for word in WORDS)
    return max(tried, key=lambda one: one.share)


class _Guessing:
    """One exercise on some givens, answered by rules. Equal steps are worked out once."""

    def __init__(self, exercise: Exercise, printed_givens: dict):
        self.exercise = replace(exercise, parts=tuple(map(_remembering, exercise.parts)))
        self.g, self.true = self.exercise.solved(printed_givens)
        self.given_numbers = {f"given {name}": v for name, v in printed_givens.items() if _is_number(v)}

    @cached_property
    def number_rules(self) -> list[str]:
        """The rules that answer every number: bounds, plain numbers, numbers of the text, givens, slips."""
        most_slips = max((len(getattr(part, "slips", ())) for part in self.exercise.parts), default=0)
        slips = [f"slip {place + 1}" for place in range(min(most_slips, 3))]
        return ["lowest", "highest", "middle", *PLAIN, *self.given_numbers, *slips]

    def by(self, number_rule: str, word_rule: str) -> Without:
        """Return what is earned where every part is answered by these rules, or by a guess that earns more."""
        given, carried, points = {}, {}, {}
        for part in self.exercise.parts:
            if isinstance(part, Written):
                continue
            here = self.exercise.answers(carried)
            usual = self._answer(part, number_rule, word_rule, here)
            guesses = [usual, *self._guesses(part, given)]
            earned = [self._earned(part, guess, here) for guess in guesses]
            points[part.name] = max(earned)
            given |= usual if points[part.name] == earned[0] else guesses[earned.index(points[part.name])]
            carried = carry_on(self.exercise, part, self.g, self.true, given, carried)
        return Without(points, sum(points.values()) / self.exercise.points, f"{number_rule}, {word_rule}")

    def _earned(self, part: Part, guess: dict, carried) -> float:
        return float(part.judge(self.g, self.true, lambda: carried, guess).points)

    def _answer(self, part: Part, number_rule: str, word_rule: str, carried) -> dict:
        if isinstance(part, Number):
            return {part.name: self._number(part, number_rule, carried)}
        if isinstance(part, Design):
            return {one.name: _within(one, number_rule, self.given_numbers) for one in part.settings}
        words = list(part.options)
        if isinstance(part, Choice):
            return {part.name: WORDS[word_rule](words)}
        return {
            part.name: [WORDS[word_rule](words)] if isinstance(part, Several) and word_rule != "last word" else words
        }

    def _number(self, part: Number, rule: str, carried) -> float:
        low, high = part.plausible
        plain = {"lowest": low, "highest": high, "middle": (low + high) / 2} | PLAIN | self.given_numbers
        if rule in plain:
            return plain[rule]
        place = int(rule.removeprefix("slip ")) - 1
        if place >= len(part.slips):
            return low
        try:
            return units.from_si(float(part.slips[place].value(self.g, carried)), part.unit)
        except (ArithmeticError, ValueError):
            return low

    def _guesses(self, part: Part, given: dict) -> Iterator[dict]:
        """Yield other answers to a number: plain numbers, bounds, givens, earlier answers, numbers of the text."""
        if not isinstance(part, Number):
            return
        text = f"{self.exercise.setup} {part.ask} {part.because}"
        seen = [*part.plausible, *PLAIN.values(), *self.given_numbers.values()]
        seen += [value for value in given.values() if _is_number(value)]
        seen += [float(numeral) for numeral in NUMERAL.findall(text)]
        yield from ({part.name: value} for value in dict.fromkeys(seen))


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
