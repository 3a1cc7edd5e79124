"""What travels to a worker and back: bytes of JSON.

Out goes what was asked and what came, without seals, names and the outputs that a notebook brought along. Back come
verdicts and what each cell showed. A worker's word is taken for nothing else: the notebook that is shown is the one
that was kept here, with those outputs, read as the runner reads them, and made harmless here.
"""

import hashlib
import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Any

from graders import sheets
from graders.cohort import faults
from graders.cohort.record import Handed
from graders.marking import parcel
from graders.marking.mark_submission import Left
from graders.marking.parcel import Asked, Done, NoAnswer, Parcel
from graders.notebooks import submission
from graders.questions.exercise import Exercise
from graders.runner import protocol
from graders.runner.job import Limits, Runner
from graders.sheets import own
from workbook.terminal import printable
from workbook.topics import SLUGS

MOST_BYTES = 64_000_000
"""Of one learner's topic, either way."""
FAULT, MOST_SAID = b"!", 400
"""What begins the line of a worker that could not run and judge a topic, and how much of it is read."""
OwnSheets = Sequence[tuple[str, str]]
"""Name and text of each of the instructor's own sheets that are asked: every learner has them in the notebook."""


class TooLarge(ValueError):
    """A topic that is too large to travel."""

    def __init__(self) -> None:
        super().__init__(f"more than {MOST_BYTES / 1e6:.0f} MB of a topic do not travel to a worker")


@dataclass(frozen=True)
class Sent:
    """A topic on its way: the parcel as it travels, the metadata that stayed here, by notebook, and the bytes."""

    parcel: Parcel
    stayed: dict[str, dict[str, Any]]
    content: bytes

    @property
    def digest(self) -> bytes:
        """What an answer to it begins with."""
        return _digest(self.content)


def _digest(content: bytes) -> bytes:
    return hashlib.sha256(content).hexdigest().encode()


def own_sheets(root: Path, handed: Sequence[Handed]) -> OwnSheets:
    """Return the instructor's own sheets of a cohort that were handed out, each once."""
    of = (own.source_of(root, one.topic, one.exercise) for one in handed if own.is_own(one.exercise))
    return sorted({(sheet.name, sheet.text) for sheet in of})


def send(packed: Parcel, left: Left, limits: Limits, own_sheets: OwnSheets = ()) -> Sent:
    """Return what travels of a parcel; what is no notebook stays here, in ``left``. TooLarge where it is that."""
    texts, stayed = {}, {}
    for name, text in packed.texts.items():
        try:
            notebook = submission.parse(text)
        except submission.Broken as error:
            left.broken[name] = str(error)
            continue
        except Exception as error:
            if parcel.is_everybodys(error):
                raise
            left.faulty.add(name)
            left.broken[name] = parcel.unreadable(error)
            continue
        stayed[name], notebook["metadata"] = notebook["metadata"], {}
        texts[name] = json.dumps(notebook, ensure_ascii=False)
    travels = replace(packed, texts=texts)
    told = {"parcel": asdict(travels), "limits": asdict(limits), "own": list(own_sheets)}
    content = json.dumps(told, ensure_ascii=False).encode()
    if len(content) > MOST_BYTES:
        raise TooLarge
    return Sent(travels, stayed, content)


def answered(content: bytes, sandbox: Runner) -> bytes:
    """Run and judge what came to this worker, and return what goes back."""
    told = json.loads(content)
    by_topic: dict[str, list[Exercise]] = {slug: [] for slug in SLUGS}
    for name, text in told["own"]:
        sheet = own.of_text(name, text)
        by_topic[sheet.topic] += sheet.exercises
    sheets.put_beside(by_topic)
    packed, limits = Parcel.of(told["parcel"]), Limits(**told["limits"])
    came = parcel.take_in(packed)
    done = parcel.judged(packed, came, sandbox.run(parcel.runs(packed, came), limits=limits), _outputs)
    return _digest(content) + b"\n" + parcel.written(done)


def faulty(content: bytes, error: Exception) -> bytes:
    """Return what goes back where a topic could not be run and judged: why, in a line."""
    return _digest(content) + b"\n" + FAULT + faults.words(error).encode()


def _outputs(topic: str, one: Asked, exercise: Exercise, notebook: dict[str, Any]) -> str:
    """Return what a judged notebook showed, in place of its copy."""
    return json.dumps(submission.outputs_of(notebook, exercise), ensure_ascii=False)


def read(sent: Sent, content: object) -> dict[str, Done]:
    """Return what unpacking brought, each with its safe copy, or raise NoAnswer for what cannot be an answer to it."""
    if type(content) is not bytes:
        raise NoAnswer("what came back is not bytes")
    if len(content) > MOST_BYTES:
        raise NoAnswer(f"what came back is more than {MOST_BYTES / 1e6:.0f} MB")
    digest, _, told = content.partition(b"\n")
    if digest != sent.digest:
        raise NoAnswer("what came back is the answer to something else")
    if told.startswith(FAULT):
        raise NoAnswer(printable(told[len(FAULT) :][:MOST_SAID].decode(errors="replace")))
    done = parcel.read(sent.parcel, told)
    by_name = {one.notebook: one for one in sent.parcel.asked}
    return {name: _with_copy(sent, by_name[name], one) for name, one in done.items()}


def _with_copy(sent: Sent, one: Asked, done: Done) -> Done:
    """Return what a notebook came to with the copy that is shown, made from the notebook here."""
    if not done.verdicts:
        return replace(done, safe_copy="")
    if not done.safe_copy:  # a note says why
        return done
    topic, exercise = sent.parcel.topic, sheets.find(sent.parcel.topic, one.exercise)
    notebook = submission.parse(sent.parcel.texts[one.notebook]) | {"metadata": sent.stayed[one.notebook]}
    restored = submission.restore(notebook, topic, exercise, one.givens).notebook
    shown = _read_outputs(done.safe_copy)
    if len(shown) != len(submission.outputs_of(restored, exercise)):
        raise NoAnswer("what came back shows more or fewer cells than were sent")
    judged = submission.filled(restored, exercise, shown, done.verdicts)
    text, notes = parcel.copied(parcel.safe_copy, topic, one, exercise, judged)
    return replace(done, safe_copy=text, notes=(*done.notes, *notes))


def _read_outputs(text: str) -> list[list[dict[str, Any]]]:
    """Return what each cell showed, built anew from the parts we know."""
    try:
        told = protocol.parsed(text.encode())
        protocol.must(type(told) is list and all(type(outputs) is list for outputs in told))
        return [[protocol.output(one) for one in outputs] for outputs in told]
    except protocol.Malformed:
        raise NoAnswer("what came back of the outputs is none") from None
