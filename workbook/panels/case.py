"""A board on your bench, in a lesson: one case worked act by act, kept where the terminal keeps its cases."""

import anywidget
import traitlets

from workbook.case import acts, keeping, shown
from workbook.case.playing import Case, NotPlayed, play
from workbook.problems import Problem
from workbook.server.jupyter import LABEXTENSIONS

STATIC = LABEXTENSIONS / "rework-exercise-page" / "static"
"""Where the exercise's page has the same bench."""


class CasePanel(anywidget.AnyWidget):
    """A bench to work a case at: the one left open last, else a new one; or the one that is asked for."""

    _esm = STATIC / "bench.js"
    _css = STATIC / "bench.css"
    title = traitlets.Unicode("A board on your bench").tag(sync=True)
    part = traitlets.Dict().tag(sync=True)

    def __init__(self):
        layout = {"groups": acts.GROUPS, "numbers": shown.numbers()}
        super().__init__(part={"name": "job", "options": list(shown.vocabulary().items()), "layout": layout})
        self.seed = 0
        self.on_msg(lambda _, content, buffers: self.send(self.answer(content) | {"asked": content.get("asked")}))

    def answer(self, message: dict) -> dict:
        """Return what the page asks for, as plain data; what cannot be done comes back as ``say``."""
        try:
            return self.opened(message.get("case")) if message.get("do") == "open" else self.played(message["acts"])
        except Problem as why:
            return {"say": why.in_sentences}
        except NotPlayed as why:
            return {"say": str(why)}
        except Exception as error:  # a widget swallows errors, and the learner would see nothing
            return {"say": f"This failed inside the workbook ({type(error).__name__}: {error}). Nothing is lost."}

    def opened(self, wanted: str | None) -> dict:
        """Return a case as it was left: a number's, a new one's for nothing typed, the last one's at the start."""
        if wanted is None:
            seed = keeping.unfinished() or keeping.fresh()
        else:
            seed = keeping.seed_of(wanted.strip()) if wanted.strip() else keeping.fresh()
        done, said = keeping.kept(seed)
        self.seed = seed
        door = shown.at_the_door(Case(seed).supply)
        return {"case": seed, "door": door, "say": said, **shown.so_far(play(seed, done))}

    def played(self, done: list[str]) -> dict:
        """Return what acts tell, and keep those that were done."""
        way = play(self.seed, done)
        told = shown.so_far(way)
        try:
            keeping.keep(self.seed, [step.act for step in way.did])
        except Problem as why:
            told["say"] = f"This case is not kept. {why.in_sentences}"
        return told


def desk() -> CasePanel:
    """Return a bench to work a board at."""
    return CasePanel()
