"""The practice desk in a notebook: what `practice` says, laid out in the browser with native controls.

An answer travels inside the message that asks for it to be judged, together with the number of the question it was
typed for. So Enter can never judge what stood in the field before, and a second click on anything changes nothing.
"""

from datetime import UTC, datetime
from html import escape
from pathlib import Path

import anywidget
import traitlets

from graders.desk import practice, scheduling
from graders.desk.practice import Session
from workbook import progress
from workbook.problems import Problem

HERE = Path(__file__).parent


class Desk(anywidget.AnyWidget):
    """One learner's practice. ``view`` is everything the browser shows."""

    _esm = HERE / "widget.js"
    _css = HERE / "widget.css"
    view = traitlets.Dict().tag(sync=True)

    def __init__(self):
        super().__init__()
        self.session: Session | None = None
        self.on_msg(lambda _, content, buffers: self.take(content))
        self.start()

    def take(self, message: dict) -> None:
        """Do what the browser asks. A message about another question than the one shown is an old one: ignored."""
        steps = {
            "begin": self.begin,
            "answer": self.answer,
            "hint": self.hint,
            "working": self.working,
            "next": self.next,
            "wrong": self.wrong,
            "end": self.start,
        }
        if message.get("do") in steps and message.get("question") == self.view["question"]:
            steps[message["do"]](message)

    def start(self, message: dict | None = None) -> None:
        """Show how each topic stands, and let the learner choose."""
        said = self.session.summary() if self.session else ""
        self.session = None
        done = progress.read()
        standings = scheduling.standings(done.events, datetime.now(UTC))
        self.view = {
            "question": 0,
            "said": " ".join(filter(None, [said, done.said])),
            "topics": [[one.topic, one.title] for one in standings],
            "picture": picture(standings),
        }

    def begin(self, message: dict) -> None:
        """Begin a session on the topic and for the minutes chosen."""
        minutes = message.get("minutes")
        try:
            self.session = Session(message.get("topic") or None, minutes if isinstance(minutes, (int, float)) else None)
        except Problem as problem:
            self.view = {**self.view, "said": problem.in_sentences}
            return
        self.next(message)

    def next(self, message: dict) -> None:
        """Show a new question, or the start page when the time is over."""
        question = self.session.next()
        if question is None:
            self.start()
            self.view = {**self.view, "said": f"Your time is over. {self.view['said']}"}
            return
        from graders.report.html import markdown

        self.view = {
            "question": question.number,
            "kind": question.item.part.kind,
            "unit": getattr(question.item.part, "unit", "1"),
            "setup": markdown(question.setup) + (question.drawing.html() if question.drawing else ""),
            "ask": markdown(question.ask),
            "how": question.how,
            "options": question.options,
            "said": self.session.said,
            "hints": [],
        }

    def answer(self, message: dict) -> None:
        """Judge the answer the message brings."""
        reply = self.session.answer(str(message.get("text", "")))
        words = f"{reply.words}. {reply.remark}".strip()
        shade = "right" if reply.right else "wrong" if reply.counted else ""
        self.view = {**self.view, "reply": words, "shade": shade, "done": not self.session.question.open}

    def hint(self, message: dict) -> None:
        """Show one more hint."""
        if self.session.hint() is None:
            self.view = {**self.view, "reply": "No hint is left. The working shows the solution.", "shade": ""}
        else:
            self.view = {**self.view, "hints": list(self.session.question.hints)}

    def working(self, message: dict) -> None:
        """Show the working with the question's own numbers."""
        self.view = {**self.view, "working": "\n".join(self.session.working()), "done": True}

    def wrong(self, message: dict) -> None:
        """Show what to send where a question seems wrong."""
        self.view = {**self.view, "report": practice.report(self.session.question)}

    def _repr_mimebundle_(self, **settings):
        shown = super()._repr_mimebundle_(**settings)
        data = shown[0] if isinstance(shown, tuple) else shown
        data["text/plain"] = "Practice: click into the cell above and press Shift+Enter."
        return shown


def desk() -> Desk:
    """Return a new practice desk."""
    return Desk()


def picture(standings: list[scheduling.Standing]) -> str:
    """Return how each topic stands as a picture: one bar a topic, its exercises shaded and said in words."""
    rows = []
    for one in standings:
        pieces = "".join(
            f'<span class="{name}" style="flex: {getattr(one, name)}"></span>'
            for name in scheduling.STATES
            if getattr(one, name)
        )
        rows.append(
            f'<li><span class="topic">{escape(one.topic)}</span><span class="bar" aria-hidden="true">{pieces}</span>'
            f'<span class="words">{escape(one.words())}</span></li>'
        )
    legend = "".join(
        f'<li><span class="{name}" aria-hidden="true"></span>{words}</li>' for name, words in scheduling.STATES.items()
    )
    return f'<ul class="standing">{"".join(rows)}</ul><ul class="legend">{legend}</ul>'
