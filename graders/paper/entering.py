"""What was entered from paper becomes a learner's own notebook with the answers in, filed as what comes in is."""

from datetime import datetime

from graders.cohort import clock, entered
from graders.cohort.entered import Place
from graders.cohort.paths import Cohort
from graders.cohort.record import Handed
from graders.handout import handing_out
from graders.inbox import filing
from graders.notebooks import printer
from graders.paper.asked import Papers, is_blank, lines_of
from graders.questions.parse_answer import Unclear
from workbook.problems import Problem

FROM = "what was entered from paper by the instructor"
MARK = {"entered": "from paper by the instructor"}
"""What a filled-in notebook says of itself, for whoever opens it; reports go by what the cohort has noted."""


def refuse_late(cohort: Cohort, papers: Papers, received: datetime | None) -> None:
    """Raise Problem where answers entered now would count as late and nobody said when the papers came."""
    settings, now = cohort.settings(), clock.now()
    late = [one.id for one in papers.learners if settings.is_late(one.id, papers.topic, now)]
    if received is None and late:
        raise Problem(
            f"topic {papers.topic} was due before now; entered without a time, these papers would count as late.",
            "say when they were collected: --received 2026-03-02T14:05",
        )


def filled_in(cohort: Cohort, one: Handed, texts: dict[Place, str]) -> bytes:
    """Return a learner's notebook as it was handed out, with its cells filled as its page's boxes fill them."""
    typed, parts = {}, {}
    for line in lines_of(one):
        text = texts.get(line.place, "")
        parts[line.part.name] = line.part
        if not is_blank(text):
            try:
                typed.setdefault(line.part.name, {})[line.field.name] = line.part.from_paper(line.field.name, text)
            except Unclear as why:
                raise Problem(f"{'/'.join(line.place)} was entered as {text!r}. {why}", "enter it again") from None
    notebook = handing_out.notebook_of(cohort, one)
    cells = {cell["id"]: cell for cell in notebook["cells"]}
    for name, answers in typed.items():
        part = parts[name]
        cells[f"{name}-answer" if part.answer_names else name]["source"], _ = part.cell_of(answers)
    notebook["metadata"][printer.METADATA_KEY] |= MARK
    return printer.text_of(notebook).encode()


def file(cohort: Cohort, papers: Papers, received: datetime | None) -> filing.Filed:
    """File every exercise of which something was entered. Call it under the cohort's lock.

    What is filed is noted first: a notebook is never judged as typed at a computer because a run was cut off.
    """
    texts = entered.answers(cohort.entered)
    notebooks = []
    for one in (each for of in papers.handed.values() for each in of):
        if any(not is_blank(texts.get(line.place, "")) for line in lines_of(one)):
            content = filled_in(cohort, one, texts)
            entered.note_filed(cohort.entered, content)
            notebooks.append((one, content))
    return filing.file_entered(cohort, notebooks, FROM, received)
