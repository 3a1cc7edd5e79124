"""A part answered in sentences, which a person reads."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from graders.questions.givens import Printed, Values
from graders.questions.parts.base import Field, Filled, Held, Part
from graders.questions.verdicts import BY_HAND_FLAG, Code, Verdict

TEXT_STUB = "Write your answer here."
"""What the cell of an answer in words holds as it is handed out; nbgrader's settings of every cohort name it too."""


@dataclass(frozen=True, kw_only=True)
class Written(Part):
    """A part answered in words and marked by hand. ``model`` is what a good answer says, for the instructor."""

    model: str

    kind = "written"
    is_practised = False
    is_written = True

    @property
    def answer_names(self) -> tuple[str, ...]:
        return ()

    def right_answer(self, g: Values, earlier: Values) -> Printed:
        return {}

    def instructions(self, filled: Filled) -> str:
        return "Answer in a few sentences. Your instructor reads this one."

    def stub(self) -> str:
        return TEXT_STUB

    def cell_of(self, typed: Held) -> tuple[str, dict[str, str]]:
        return str(typed.get(self.name, "")).strip() or TEXT_STUB, {}

    @property
    def paper_lines(self) -> tuple[Field, ...]:
        return (Field(self.name, "Your words", "1"),)

    def from_paper(self, name: str, text: str) -> str:
        return text.strip()

    def read_back(self, source: str) -> dict[str, str]:
        return {} if source == TEXT_STUB else {self.name: source}

    def key_line(self, g: Values, a: Values) -> str:
        return "in words"

    def solution(self, answers: Mapping[str, Any]) -> str:
        return self.model

    def working_in(self, key: Mapping[str, Any]) -> str:
        return ""

    def expected_in(self, key: Mapping[str, Any]) -> str:
        return f"a good answer says: {self.model}"

    def judge(self, g: Values, true: Values, follow: Callable[[], Values], given: Held) -> Verdict:
        return self._verdict(0.0, Code.BY_HAND, "Your instructor reads this answer.", BY_HAND_FLAG)
