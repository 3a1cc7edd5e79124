"""A part answered with all the words of a list, in a right order."""

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from graders.questions import parse_answer
from graders.questions.givens import Printed, Values
from graders.questions.parts.base import Held
from graders.questions.parts.words import Worded, words_of
from graders.questions.verdicts import Code, Verdict


@dataclass(frozen=True, kw_only=True)
class Order(Worded):
    """A part answered with the words of ``options`` in a right order.

    ``expected`` returns groups of words: groups follow one another, inside a group any order is right. ``never`` maps
    a pair ``(first, second)`` to what to say, and no points, where the first does not come before the second.
    """

    never: dict[tuple[str, str], str] = field(default_factory=dict)

    kind = "order"
    asks_for = "Answer with a list of all these words in order, each in quotes:"
    paper_asks_for = "Write all the letters in order, the first step first"
    stub_words = "a list of the words in order"
    how = "Put all of them in order: type their numbers, such as 2 1 3."

    def from_paper(self, name: str, text: str) -> Any:
        words = super().from_paper(name, text)
        missing = [letter for letter, word in self.letters.items() if word not in words]
        if missing:
            raise parse_answer.Unclear(f"All letters are asked for in order; {', '.join(missing)} is missing.")
        return words

    def key_line(self, g: Values, a: Values) -> str:
        groups = (" or ".join(map(self._with_letter, group)) for group in self.expected(g, a))
        return "; then ".join(groups)

    def takes_words(self, words: object) -> bool:
        return isinstance(words, list) and super().takes_words(words) and sorted(words) == sorted(self.options)

    def right_answer(self, g: Values, earlier: Values) -> Printed:
        return {self.name: [word for group in self.expected(g, earlier) for word in group]}

    def hints(self, g: Values, a: Values) -> list[tuple[str, str]]:
        return super().hints(g, a) + [(words, words) for words in self.never.values()]

    def rules(self, g: Values, a: Values) -> list[Any]:
        return [[sorted(group) for group in self.expected(g, a)], sorted(map(list, self.never))]

    def judge(self, g: Values, true: Values, follow: Callable[[], Values], given: Held) -> Verdict:
        answer = words_of(given[self.name])
        if answer is None or sorted(answer) != sorted(self.options):
            remark = "Give a list with every word once. " + self._use_the_words()
            return self._verdict(0.0, Code.NEEDS_A_LOOK, remark, "not the words asked for")
        for (first, second), words in self.never.items():
            if answer.index(first) > answer.index(second):
                return self._verdict(0.0, Code.SLIP, words, f"{second} before {first}")
        share = float(order_share(self.expected(g, true), answer))
        if share == 1:
            return self._right()
        usual = "Some steps come too early or too late. For each one ask: what must be done before it?"
        code = Code.PARTLY if share else Code.NOT_RIGHT
        return self._verdict(self._share_of_points(share), code, self.hint or usual)


def order_share(groups: Sequence[Collection[str]], given: list[str]) -> Fraction:
    """Return the share of points for an order: 1 for none of the pairs wrong, 0 for half of them or more.

    >>> order_share([["a"], ["b"], ["c"]], ["a", "c", "b"])
    Fraction(1, 3)
    """
    place = {word: index for index, word in enumerate(given)}
    pairs = [
        (first, second)
        for index, group in enumerate(groups)
        for later in groups[index + 1 :]
        for first in group
        for second in later
    ]
    wrong = sum(place[first] > place[second] for first, second in pairs)
    return max(Fraction(0), 1 - Fraction(2 * wrong, len(pairs)))
