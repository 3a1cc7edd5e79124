"""One learner's topic as it is run and judged without its cohort: what goes in and what comes back are plain data.

A parcel holds no key, no mark and nothing of others: only what was asked and what came, in which a notebook carries the
seal of its own handout. Both ways may be written as bytes of JSON; what comes back is read with suspicion, for a
notebook may have got the better of the machine that ran it.
"""

import json
import math
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import asdict, dataclass, field, replace
from typing import Any, NoReturn

from graders import sheets
from graders.cohort import faults
from graders.gradebook import manual_marks
from graders.notebooks import printer, sanitise, submission
from graders.questions.exercise import Exercise
from graders.questions.givens import Printed
from graders.questions.verdicts import Code, Verdict
from graders.runner.contained import CannotContain
from graders.runner.job import Limits, Runner, Sheet, SheetOutcome
from workbook.topics import by_slug


@dataclass(frozen=True)
class Asked:
    """One exercise as it was handed out; fields as in the record.

    Answers ``on_paper`` are typed numbers by their nature: what a run with fresh numbers shows of them says nothing.
    """

    exercise: str
    notebook: str
    givens: Printed
    fresh: Printed
    changing: list[str]
    orders: dict[str, list[str]]
    on_paper: bool = False


@dataclass(frozen=True)
class Parcel:
    """What was asked in a topic, the policy of fresh numbers, and the text of each notebook that came, by its name."""

    topic: str
    policy: str
    asked: tuple[Asked, ...]
    texts: dict[str, str]

    def written(self) -> bytes:
        """Return the parcel as bytes. ValueError for a text that is none."""
        return json.dumps(asdict(self), ensure_ascii=False).encode()

    @classmethod
    def read(cls, content: bytes) -> "Parcel":
        """Return the parcel that was written."""
        return cls.of(json.loads(content))

    @classmethod
    def of(cls, fields: dict[str, Any]) -> "Parcel":
        """Return the parcel whose fields were read."""
        return cls(**fields | {"asked": tuple(Asked(**one) for one in fields["asked"])})


@dataclass(frozen=True)
class TakenIn:
    """What came of a notebook: restored, or why it could not be read; ``is_faulty`` where we do not know that way."""

    restored: submission.Restored | None = None
    broken: str = ""
    is_faulty: bool = False


@dataclass(frozen=True)
class Done:
    """What one notebook came to.

    It has no verdicts where it could not be read (``broken`` says why) or not be judged (``fault``).
    ``answers`` are digests of what was written in each answer cell, ``found`` what fresh numbers showed of each part,
    ``safe_copy`` the text of what the formgrader and the feedback show, or what its maker wrote in its place.
    """

    verdicts: tuple[Verdict, ...] = ()
    notes: tuple[str, ...] = ()
    found: dict[str, str] = field(default_factory=dict)
    numbers: dict[str, float] = field(default_factory=dict)
    answers: dict[str, str] = field(default_factory=dict)
    safe_copy: str = ""
    broken: str = ""
    fault: str = ""
    is_faulty: bool = False


class NoAnswer(ValueError):
    """Bytes that are not what unpacking the parcel brings."""


def is_everybodys(error: Exception) -> bool:
    """Whether a fault is no notebook's, and ends the marking."""
    return isinstance(error, CannotContain) or faults.is_everybodys(error)


def unpack(parcel: Parcel, sandbox: Runner, limits: Limits) -> dict[str, Done]:
    """Run and judge what is in a parcel, and return what each notebook that came in it came to, by name."""
    came = take_in(parcel)
    return judged(parcel, came, sandbox.run(runs(parcel, came), limits=limits))


def take_in(parcel: Parcel) -> dict[str, TakenIn]:
    """Read the notebooks of a parcel, and put the record's numbers in."""
    came = {}
    for one in parcel.asked:
        if one.notebook not in parcel.texts:
            continue
        try:
            exercise = sheets.find(parcel.topic, one.exercise)
            notebook = submission.parse(parcel.texts[one.notebook])
            came[one.notebook] = TakenIn(submission.restore(notebook, parcel.topic, exercise, one.givens))
        except submission.Broken as error:
            came[one.notebook] = TakenIn(broken=str(error))
        except Exception as error:
            if is_everybodys(error):
                raise
            came[one.notebook] = TakenIn(broken=unreadable(error), is_faulty=True)
    return came


def unreadable(error: Exception) -> str:
    """Say that a notebook could not be read for a reason we do not know."""
    return f"needs a look, it could not be read ({faults.words(error)})"


def runs(parcel: Parcel, came: dict[str, TakenIn]) -> tuple[Sheet, ...]:
    """Return what is run of a topic: every notebook, and then every notebook once more with fresh numbers."""
    first, second = [], []
    for one in parcel.asked:
        restored = came[one.notebook].restored if one.notebook in came else None
        if restored:
            exercise = sheets.find(parcel.topic, one.exercise)
            run = submission.sheet(one.notebook, restored.notebook, exercise)
            first.append(run)
            second.append(submission.with_givens(run, exercise, one.givens, one.fresh))
    return tuple(first + second)


def safe_copy(topic: str, one: Asked, exercise: Exercise, notebook: dict[str, Any]) -> str:
    """Return the text of what the formgrader and the feedback show of a judged notebook."""
    printed = printer.texts(by_slug(topic), exercise, one.givens, one.orders)
    return json.dumps(sanitise.harmless(notebook, printed), ensure_ascii=False)


Copy = Callable[[str, Asked, Exercise, dict[str, Any]], str]
"""Makes the text of a copy, as `safe_copy` does."""


def judged(
    parcel: Parcel, came: dict[str, TakenIn], outcomes: Sequence[SheetOutcome], copy: Copy = safe_copy
) -> dict[str, Done]:
    """Judge the notebooks of a parcel by what their runs brought."""
    half = len(outcomes) // 2
    ran = {first.name: (first, second) for first, second in zip(outcomes[:half], outcomes[half:], strict=True)}
    return {
        one.notebook: _done(parcel, one, came[one.notebook], ran.get(one.notebook), copy)
        for one in parcel.asked
        if one.notebook in came
    }


def _done(parcel: Parcel, one: Asked, came: TakenIn, ran: tuple[SheetOutcome, SheetOutcome] | None, copy: Copy) -> Done:
    if came.broken:
        return Done(broken=came.broken, is_faulty=came.is_faulty)
    if came.restored is None or ran is None:
        return Done(fault="its run brought nothing back", is_faulty=True)
    try:
        return _judged(parcel, one, came.restored, *ran, copy)
    except Exception as error:
        if is_everybodys(error):
            raise
        return Done(fault=faults.words(error), is_faulty=True)


def _judged(
    parcel: Parcel, one: Asked, restored: submission.Restored, outcome: SheetOutcome, second: SheetOutcome, copy: Copy
) -> Done:
    exercise = sheets.find(parcel.topic, one.exercise)
    fresh = None if one.on_paper else submission.Fresh(one.fresh, one.changing, second, parcel.policy)
    found = submission.judged(restored.notebook, exercise, one.givens, outcome, fresh)
    answers = submission.answers_written(found.notebook)
    text, notes = copied(copy, parcel.topic, one, exercise, found.notebook)
    return Done(
        tuple(replace(verdict, margins=()) for verdict in found.verdicts),  # no mark says more than its remark
        (*restored.notes, *_stops(outcome), *notes),
        found.findings,
        found.numbers,
        {part: manual_marks.digest(answer) for part, answer in answers.items()},
        text,
    )


def copied(copy: Copy, topic: str, one: Asked, exercise: Exercise, notebook: dict[str, Any]) -> tuple[str, list[str]]:
    """Return the copy of a notebook, and what hindered it: that changes no mark."""
    try:
        return copy(topic, one, exercise, notebook), []
    except Exception as error:
        if is_everybodys(error):
            raise
        return "", [not_copied(error)]


def not_copied(error: Exception) -> str:
    """Say that a safe copy could not be written."""
    return f"needs a look, its safe copy could not be written ({faults.words(error)}); the marks stand"


def _stops(outcome: SheetOutcome) -> list[str]:
    """Say what was stopped in a run."""
    stops = []
    if any(cell.status == "stopped" for cell in outcome.cells):
        stops.append("a cell ran past its limits and was stopped; the rest was run")
    if outcome.ended != "finished":
        stops.append(f"stopped ({outcome.ended}); what ran before counts")
    return stops


def counted(notes: Iterable[str]) -> list[str]:
    """Return each note once, with how often it came.

    >>> counted(["givens put back", "repeated cell lag", "repeated cell lag"])
    ['givens put back', 'repeated cell lag (2 times)']
    """
    return [note if many == 1 else f"{note} ({many} times)" for note, many in Counter(notes).items()]


def written(done: dict[str, Done]) -> bytes:
    """Return what unpacking brought as bytes."""
    return json.dumps({name: asdict(one) for name, one in done.items()}, ensure_ascii=False).encode()


def read(parcel: Parcel, content: bytes) -> dict[str, Done]:
    """Return what unpacking a parcel brought, or raise NoAnswer for bytes that say what no parcel like it can bring."""
    asked = {one.notebook: sheets.find(parcel.topic, one.exercise) for one in parcel.asked}
    try:
        told = json.loads(content.decode(), parse_constant=_refused)
        _must(set(told) == set(asked) & set(parcel.texts))
        return {name: _read_one(asked[name], fields) for name, fields in told.items()}
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError) as error:
        raise NoAnswer(f"what came back is no answer to {parcel.topic}") from error


def _read_one(exercise: Exercise, fields: dict[str, Any]) -> Done:
    done = Done(**fields | {"verdicts": tuple(map(_verdict, fields["verdicts"])), "notes": tuple(fields["notes"])})
    parts = {part.name: part for part in exercise.parts}
    texts = [*done.notes, *done.found.values(), *done.answers.values(), done.safe_copy, done.broken, done.fault]
    _must(all(type(one) is str for one in texts) and type(done.is_faulty) is bool)
    _must(all(type(one) in (int, float) and math.isfinite(one) for one in done.numbers.values()))
    _must(set(done.found) | set(done.numbers) | set(done.answers) <= set(parts))
    _must([verdict.part for verdict in done.verdicts] == ([] if done.broken or done.fault else list(parts)))
    for verdict in done.verdicts:
        most = parts[verdict.part].points
        _must(type(verdict.points) is float and verdict.out_of == most and 0 <= verdict.points <= most)
        _must(type(verdict.remark) is str and type(verdict.flag) is str)
    json.dumps(fields, ensure_ascii=False).encode()  # half a letter is no text
    return done


def _verdict(fields: dict[str, Any]) -> Verdict:
    _must(not fields["margins"])
    return Verdict(**fields | {"verdict": Code(fields["verdict"]), "margins": ()})


def _must(condition: bool) -> None:
    if not condition:
        raise ValueError


def _refused(constant: str) -> NoReturn:
    raise ValueError(constant)
