"""`workbook pack`: one file to hand in, after a run from the top that says what is unanswered or broken."""

import io
import os
import re
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from graders.desk import checking
from graders.desk.checking import Checked, printer
from graders.questions.verdicts import CELL_MISSING, MEANINGS, Code
from graders.sheets import own
from workbook.paths import refuse_another, resolved
from workbook.problems import Problem
from workbook.server import folder
from workbook.topics import SLUGS

EARLIEST = (1980, 1, 1, 0, 0, 0)
"""One date for every file of an archive: the same answers give the same file."""


WHOLE = "every part answered"
MOST_LINES = 3
"""How many exercises are named where no details are asked for."""


@dataclass(frozen=True)
class Packed:
    """One exercise that goes into the file: where it stands, its printed name, and what its run showed."""

    path: Path
    topic: str
    name: str
    checked: Checked | None
    why_not: str = ""

    @property
    def is_whole(self) -> bool:
        """Whether nothing is to be said of it."""
        return self.words() == WHOLE

    @property
    def is_untouched(self) -> bool:
        """Whether it ran and no answer cell holds anything."""
        return self.checked is not None and not self.checked.errors and folder.answered(self.path) == 0

    def line(self) -> str:
        """Name it and say in a line what is missing."""
        return f"{self.topic}/{self.name}: {self.words()}"

    def words(self) -> str:
        """Say in a line what is missing, or that all is there."""
        if self.checked is None:
            return f"could not be run ({self.why_not}); it is sent as it is"
        unanswered = [verdict.part for verdict in self.checked.verdicts if verdict.verdict is Code.NOT_YET]
        broken = sorted(self.checked.errors)
        lost = [verdict.part for verdict in self.checked.verdicts if verdict.flag in (CELL_MISSING, "not reached")]
        said = [f"{MEANINGS[Code.NOT_YET]}: {', '.join(unanswered)}"] if unanswered else []
        said += [f"Python cannot run: {', '.join(broken)}"] if broken else []
        said += [f"could not be judged: {', '.join(lost)}"] if lost else []
        return "; ".join(said) or WHOLE


def pack(root: Path | None, to: Path | None, details: bool = False) -> Iterator[str]:
    """Run and pack the exercises of a learner's folder, and yield the lines to print: ``details`` one an exercise."""
    os.environ.setdefault("MPLBACKEND", "agg")  # a plot in an answer opens no window
    root = folder.learners(root)
    learner, topics = whose(root)
    if to:
        refuse_another(to, lambda content: _is_handed_in(content, learner), "--to")
    there, copies = chosen(root, topics)
    yield from copies
    yield f"Running {len(there)} exercises from the top."
    packed = []
    for path, topic, name in there:
        packed.append(run(path, topic, name))
        if details:
            yield packed[-1].line()
    if not details:
        yield from in_short(packed)
    target = resolved(to or root.parent / f"{learner}-hand-in.zip")
    folder.write_whole(target, archive(learner, packed), on_disk=True)
    yield "Whatever is said above, the file can be sent as it is, and packed anew until it is due."
    if not folder.handout_topics(root):
        yield "These exercises were not handed out to you: an instructor has no record of their numbers."
    yield f"To hand in: {target}"


def _is_handed_in(content: bytes, learner: str) -> bool:
    """Whether a file is an archive of a learner's notebooks and of nothing else."""
    try:
        names = zipfile.ZipFile(io.BytesIO(content)).namelist()
    except Exception:  # archives fail in more ways than their readers list, and what is not known is not written over
        return False
    return all(name.startswith(f"{learner}/") and name.endswith(".ipynb") for name in names)


def in_short(packed: list[Packed]) -> Iterator[str]:
    """Yield a few lines about many exercises: how many are whole, and the first of those begun or broken."""
    whole = sum(one.is_whole for one in packed)
    untouched = sum(one.is_untouched for one in packed)
    open_ = [one for one in packed if not one.is_whole and not one.is_untouched]
    yield f"Every part answered: {whole}. Begun or not readable: {len(open_)}. Not begun: {untouched}."
    yield from (one.line() for one in open_[:MOST_LINES])
    if len(open_) > MOST_LINES or untouched:
        yield "Every exercise by itself: workbook pack --details"


def whose(root: Path) -> tuple[str, tuple[str, ...]]:
    """Return the learner's id and the topics to hand in: of a handout what was handed out, else every topic."""
    topics = folder.handout_topics(root) or SLUGS
    told = [folder.about(path).get("learner") for slug in topics for path in sorted((root / slug).glob("*.ipynb"))]
    learner = next((one for one in told if isinstance(one, str) and re.fullmatch(r"[\w.-]+", one)), root.name)
    return learner, topics


def chosen(root: Path, topics: tuple[str, ...]) -> tuple[list[tuple[Path, str, str]], list[str]]:
    """Return the notebooks to hand in, one an exercise, with topic and printed name; and what is said of copies."""
    taken, said, left = [], [], 0
    handed_out = folder.handout_topics(root)
    for slug in topics:
        for id_, paths in folder.copies(root, slug).items():
            try:
                best = folder.chosen(paths)
                name = _printed_name(best, slug, id_)
            except KeyError:
                continue
            if slug in handed_out and all(map(_is_the_workbooks_own, paths)):
                left += 1
                continue
            taken.append((best, slug, name))
            others = ", ".join(f"{path.name} ({folder.answered(path)} answered)" for path in paths if path != best)
            if others:
                said.append(f"{slug}/{id_}: {best.name} ({folder.answered(best)} answered) is packed, and not {others}")
    if left:
        said.append(f"Not handed out to you, and not begun: {left}. They are not packed.")
    if not taken:
        raise Problem(f"{root} holds no exercises.", "lay them out with: workbook open")
    return sorted(taken, key=lambda one: (SLUGS.index(one[1]), one[2])), said


def _is_the_workbooks_own(path: Path) -> bool:
    """Whether nothing of a notebook is the learner's: laid out before a handout came that leaves its exercise out."""
    told = folder.about(path)
    return bool(told) and "seal" not in told and folder.answered(path) == 0


def _printed_name(path: Path, topic: str, exercise: str) -> str:
    """Return the name under which an exercise was printed, or raise KeyError where it is none of ours."""
    if own.is_own(exercise):
        return own.printed_name(folder.about(path).get("sheet"), exercise)
    return printer.notebook_name(checking.sheets.find(topic, exercise))


def run(path: Path, topic: str, name: str) -> Packed:
    """Run one notebook from the top."""
    try:
        return Packed(path, topic, name, checking.check(path))
    except Problem as problem:
        return Packed(path, topic, name, None, str(problem))


def archive(learner: str, packed: list[Packed]) -> bytes:
    """Return the archive: ``LEARNER/TOPIC/NAME.ipynb``, which is how an instructor's folder holds it."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as file:
        for one in packed:
            entry = zipfile.ZipInfo(f"{learner}/{one.topic}/{one.name}.ipynb", EARLIEST)
            file.writestr(entry, one.path.read_bytes(), zipfile.ZIP_DEFLATED)
    return out.getvalue()
