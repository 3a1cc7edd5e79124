"""A part answered with a list of acts, which are played anew where they are judged."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import Any, NamedTuple, TypeGuard

from graders.questions.givens import Printed, Values
from graders.questions.parts.base import Filled, Held, Once, Part, Rules
from graders.questions.verdicts import Code, Margin, Verdict

MISSED = "missed: "
"""How the flag of a part answered with acts begins, before the names of what was missed."""


class Worked(NamedTuple):
    """What became of a way of working: the share of the points, what is said of it, what was missed, the margins."""

    share: float
    remark: str
    missed: tuple[str, ...] = ()
    margins: tuple[Margin, ...] = ()


class Unplayable(ValueError):
    """A list of acts that cannot be played; its text says where and why."""


@dataclass(frozen=True, kw_only=True)
class Acts(Part):
    """A part answered with a list of acts in one's own order, which are played anew where they are judged.

    ``vocabulary`` maps each act to what it is, ``groups`` sorts them under headings, ``numbers`` has for some the
    numbers that follow their words, each one of a few. ``work(g, acts)`` plays acts on the record's givens and returns
    a `Worked`, or raises `Unplayable`. ``told(g, acts)`` returns what a page shows of a way so far, as plain data.
    ``example`` returns acts that earn everything.
    """

    vocabulary: dict[str, str]
    groups: dict[str, tuple[str, ...]]
    numbers: dict[str, tuple[tuple[int, ...], ...]]
    work: Callable[[Values, list[str]], Worked]
    told: Callable[[Values, list[str]], Any]
    example: Callable[[Values, Values], Iterable[str]]

    kind = "acts"
    is_practised = False
    is_step = False

    def right_answer(self, g: Values, earlier: Values) -> Printed:
        return {self.name: list(self.example(g, earlier))}

    def instructions(self, filled: Filled) -> str:
        acts = [f"- `{word}`: {meaning}" for word, meaning in self.vocabulary.items()]
        word, ways = next(iter(self.numbers.items()), (next(iter(self.vocabulary)), ()))
        such = " ".join([word, *(str(one[0]) for one in ways)])
        asked = (
            "Answer with a list of acts in the order you do them, each in quotes; numbers stand behind the words, "
            f"as in `{such!r}`. The acts:"
        )
        return "\n".join([asked, "", *acts])

    def stub(self) -> str:
        return f"{self.name} = ...   # a list of acts"

    def on_paper(self, filled: Filled) -> str:
        return "This part is not on paper: each act tells what to do next, so it is worked at a computer."

    def key_line(self, g: Values, a: Values) -> str:
        return "not on paper"

    def asks(self) -> list[Any]:
        return [[word, meaning] for word, meaning in self.vocabulary.items()]

    def choices(self, filled: Filled) -> list[tuple[str, str]]:
        return [(word, filled(meaning)) for word, meaning in self.vocabulary.items()]

    @property
    def layout(self) -> dict[str, Any]:
        return {"groups": self.groups, "numbers": self.numbers}

    def cell_of(self, typed: Held) -> tuple[str, dict[str, str]]:
        acts = typed.get(self.name) or None
        return (f"{self.name} = {acts!r}" if acts and self.takes_words(acts) else f"{self.stub()}\n"), {}

    def guessed(self, rules: Rules) -> Printed:
        return {self.name: list(self.vocabulary)}  # all that take no number, in the order they are printed

    def remembering(self, once: Once) -> "Acts":
        return replace(self, example=once(self.example))

    def takes_words(self, acts: object) -> TypeGuard[list[str]]:
        """Whether something is a list of acts in this kind's own form; whether they can be played is another matter."""
        return isinstance(acts, list) and all(isinstance(act, str) for act in acts)

    def rules(self, g: Values, a: Values) -> list[Any]:
        worked = self.work(g, list(self.example(g, a)))
        return [round(worked.share, 6), [[one.limit, one.unit, one.guard] for one in worked.margins]]

    def judge(self, g: Values, true: Values, follow: Callable[[], Values], given: Held) -> Verdict:
        acts = given[self.name]
        acts = list(acts) if isinstance(acts, tuple) else acts
        if not self.takes_words(acts):
            return self._verdict(0.0, Code.NEEDS_A_LOOK, "Give a list of acts, each in quotes.", "not a list of acts")
        try:
            worked = self.work(g, acts)
        except Unplayable as why:
            return self._verdict(0.0, Code.NOT_RIGHT, f"{why} Nothing was played.", "not played")
        points = self._share_of_points(worked.share)
        code = Code.RIGHT if worked.share == 1 else Code.PARTLY if points else Code.NOT_RIGHT
        flag = MISSED + "; ".join(worked.missed) if worked.missed else ""
        return Verdict(self.name, float(points), self.points, code, worked.remark, flag, worked.margins)
