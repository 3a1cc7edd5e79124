"""Make a cohort's folder and every learner's handout in own numbers."""

import json
import shutil
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, replace
from importlib.metadata import version
from pathlib import Path

from graders import gradebook, sheets
from graders.cohort import differences, record, roster
from graders.cohort.files import write_whole, zipped
from graders.cohort.paths import Cohort, only_here
from graders.cohort.record import Handed
from graders.cohort.roster import Learner
from graders.cohort.settings import Settings, settings_text
from graders.cohort.tables import PLAIN, Manner
from graders.gradebook import configuration
from graders.judging import second_run
from graders.notebooks import printer
from graders.questions import editions
from graders.questions.exercise import Exercise
from workbook.problems import Problem
from workbook.topics import TOPICS, by_slug

VERSION = version("rework-workbook")


def make(
    learners: list[Learner],
    root: Path,
    topics: tuple[str, ...] = (),
    title: str = "",
    exercises: dict[str, tuple[str, ...]] | None = None,
    on_progress: Callable[[str], None] = lambda line: None,
    manner: Manner = PLAIN,
) -> Cohort:
    """Make a cohort's folder, or add the learners a cohort does not have yet. What was handed out never changes.

    Parameters
    ----------
    learners : list of Learner
    root : Path
        The cohort's folder; made where it is not there.
    topics : tuple of str
        The topics handed out; every topic that has a sheet without.
    title : str
        How pages name the cohort; the folder's name without.
    exercises : dict, optional
        Of the topics named here, only these exercises.
    on_progress : callable
        Called with one line for each learner done, for a progress bar.
    manner : Manner
        How a new cohort's list is written: as the one it came from.
    """
    root, wanted = Path(root).resolve(), Wanted(topics, title, exercises or {})
    if not (root / "cohort.toml").is_file():
        _new_cohort(root, wanted, manner)
    cohort = Cohort.open(root)
    with cohort.locked():
        _refuse_what_is_too_late(cohort, wanted)
        _add(cohort, learners, on_progress)
    return cohort


@dataclass(frozen=True)
class Wanted:
    """What a new cohort is asked to be; empty is what stands otherwise."""

    topics: tuple[str, ...]
    title: str
    exercises: dict[str, tuple[str, ...]]


def _refuse_what_is_too_late(cohort: Cohort, wanted: Wanted) -> None:
    """Raise Problem for what a cohort that is there cannot become any more."""
    settings = cohort.settings()
    if wanted.title and wanted.title != settings.title:
        raise Problem(f"{cohort.root} has the title {settings.title!r} already.", "change the title in cohort.toml")
    elsewhere = "leave the option out, or give another folder with --to: a cohort is printed once"
    if wanted.topics and wanted.topics != settings.topics:
        raise Problem(f"{cohort.root} is handed out with {', '.join(settings.topics)} already.", elsewhere)
    if wanted.exercises and wanted.exercises != settings.exercises:
        raise Problem(f"{cohort.root} is handed out already, with other exercises.", elsewhere)


def _add(cohort: Cohort, learners: list[Learner], on_progress: Callable[[str], None]) -> None:
    """Bring the list of learners up to date, and hand out to everyone on it of whom the record knows nothing.

    The list comes first and the record last, so a run that ends anywhere is gone on with by the next.
    """
    handed = record.Record(cohort.record)
    differences.refuse_wrong_key(cohort, handed)
    cohort.settings().validate({(topic, exercise) for topic, exercise, *_ in handed.editions}, handed.learners)
    known = {one.id: one for one in roster.read(cohort.roster, may_be_empty=True)} if cohort.roster.exists() else {}
    left = {learner.id for learner in learners if learner.left}
    everyone = [replace(one, left=one.left or one.id in left) for one in known.values()]
    everyone += [one for one in learners if one.id not in known]
    new = [one for one in everyone if one.id not in set(handed.learners)]
    _refuse_renamed(cohort, new, set(handed.learners) - {one.id for one in everyone}, handed.learners)
    write_whole(cohort.roster, roster.text_of(everyone, roster.manner(cohort.roster)))
    _finish(cohort, handed)
    if new:
        gradebook.of(cohort).add_learners(new)
    for learner in new:
        hand_out(cohort, learner)
        on_progress(learner.id)


def _refuse_renamed(cohort: Cohort, new: list[Learner], without_row: set[str], handed: Collection[str]) -> None:
    """Raise Problem for an id that is another spelling of one who has a handout, or took such a one's place."""
    folded = {one.casefold(): one for one in handed}
    names = gradebook.of(cohort).names() if new and without_row else {}
    renamed = {names[one]: one for one in sorted(without_row) if one in names}
    for learner in new:
        before = folded.get(learner.id.casefold()) or renamed.get(learner.name)
        if before:
            raise Problem(
                f"{learner.id!r} ({learner.name}) has a handout as {before!r}; a second one would have other numbers.",
                f"an id stays for ever: write {before} in learners.csv again; names may be changed at will",
            )


def _finish(cohort: Cohort, handed: record.Record) -> None:
    """Write the record's missing lines of learners whose own were cut off: their notebooks are there, whole."""
    for learner in handed.learners:
        known = {(one.topic, one.exercise) for one in handed.of(learner)}
        folder = cohort.handout(learner)
        there = {(path.parent.name, printer.exercise_of(path.stem)) for path in folder.glob("*/*.ipynb")}
        settings = cohort.settings()
        missing = [one for one in _asked(settings) if one in there - known]
        drawn = [_drawn(cohort, learner, topic, exercise) for topic, exercise in missing]
        if drawn:
            record.append(cohort.record, drawn)


def printable_topics() -> tuple[str, ...]:
    """Return the topics that have a sheet."""
    return tuple(topic.slug for topic in TOPICS if sheets.exercises(topic.slug))


def chosen(settings: Settings, topic: str) -> list[Exercise]:
    """Return the exercises of a topic that a cohort gets, in teaching order."""
    return [one for one in sheets.exercises(topic) if settings.hands_out(topic, one.id)]


def _new_cohort(root: Path, wanted: Wanted, manner: Manner) -> None:
    """Build the folder beside its place and move it there once it is whole."""
    if root.exists() and (not root.is_dir() or any(root.iterdir())):
        raise Problem(f"{root} is not empty and is no cohort folder.", "give a new folder with --to")
    topics, title = wanted.topics or printable_topics(), wanted.title or root.name
    if not title.isprintable():
        raise Problem(f"the title {title!r} cannot be printed.", "give one of letters and signs with --title")
    for topic in wanted.exercises:
        if topic not in topics:
            raise Problem(
                f"an exercise of topic {topic} is asked for, which is not handed out.", f"add --topic {topic}"
            )
    root.parent.mkdir(parents=True, exist_ok=True)
    building = root.with_name(f".{root.name}.making")
    with only_here(building.with_name(f"{building.name}.lock"), f"{root} is being made already."):
        if (root / "cohort.toml").is_file():
            return  # somebody else made it meanwhile
        shutil.rmtree(building, ignore_errors=True)
        _build(Cohort(building), topics, title, wanted.exercises, manner)
        if root.exists():
            root.rmdir()
        building.rename(root)
        building.with_name(f"{building.name}.lock").unlink()


def _build(
    cohort: Cohort, topics: tuple[str, ...], title: str, exercises: dict[str, tuple[str, ...]], manner: Manner
) -> None:
    """Write what a cohort without learners consists of."""
    cohort.root.mkdir(mode=0o700)
    cohort.make_secret()
    cohort.record.touch()
    write_whole(cohort.root / "cohort.toml", settings_text(title, topics, exercises))
    write_whole(cohort.roster, roster.text_of([], manner))
    for slug, exercise in _asked(cohort.settings()):
        topic, asked = by_slug(slug), sheets.find(slug, exercise)
        text = printer.text_of(printer.solution_notebook(topic, asked))
        write_whole(cohort.root / "source" / slug / f"{printer.notebook_name(topic, asked)}.ipynb", text)
    configuration.bring_up_to_date(cohort)
    gradebook.of(cohort).register(topics)


def _asked(settings: Settings) -> list[tuple[str, str]]:
    """Return topic and name of every exercise a new learner of the cohort gets, in teaching order."""
    return [(topic, exercise.id) for topic in settings.topics for exercise in chosen(settings, topic)]


def hand_out(cohort: Cohort, learner: Learner) -> None:
    """Draw one learner's numbers and orders of words, write the handout and its archive, and then write them down.

    The record is written last: a learner without a record line has no handout yet and is made again, from nothing.
    """
    drawn = [_drawn(cohort, learner.id, *one) for one in _asked(cohort.settings())]
    shutil.rmtree(cohort.handout(learner.id), ignore_errors=True)
    _write_handout(cohort, learner.id, drawn)
    record.append(cohort.record, drawn)


def _drawn(cohort: Cohort, learner: str, topic: str, name: str) -> Handed:
    """Draw a learner's numbers for one exercise: the same whenever they are drawn."""
    secret, exercise = cohort.secret(), sheets.find(topic, name)
    givens = json.loads(json.dumps(exercise.draw(secret, learner)))
    fresh = json.loads(json.dumps(second_run.fresh_givens(exercise, secret, learner)))
    edition = editions.asked(exercise)
    seal = record.seal(secret, learner, topic, name, edition, givens)
    notebook, changing = printer.notebook_name(by_slug(topic), exercise), second_run.changing(exercise, givens, fresh)
    orders = exercise.own_orders(secret, learner)
    return Handed(learner, topic, name, notebook, givens, edition, seal, VERSION, fresh, changing, orders)


def again(cohort: Cohort, learner_id: str) -> Path:
    """Write a lost handout again, with the same numbers, and return its archive."""
    with cohort.locked():
        known = record.Record(cohort.record).of(learner_id)
        if not known:
            raise Problem(f"{learner_id}: nothing was handed out.", "look at the id in learners.csv")
        for one in known:
            if not editions.asks_as_handed_out(sheets.find(one.topic, one.exercise), one.topic, one.edition):
                raise Problem(
                    f"{one.topic}/{one.exercise} is asked otherwise than it was by version {one.version}.",
                    "write this handout again with that version, in an environment of its own",
                )
        return _write_handout(cohort, learner_id, known)


def _write_handout(cohort: Cohort, learner: str, handed: Sequence[Handed]) -> Path:
    """Write a learner's notebooks and the archive of them, and return the archive."""
    files = {}
    for one in handed:
        marks = {"learner": learner, "edition": one.edition, "seal": one.seal}
        exercise = sheets.find(one.topic, one.exercise)
        notebook = printer.exercise_notebook(by_slug(one.topic), exercise, one.givens, marks, one.orders)
        files[f"{one.topic}/{one.notebook}.ipynb"] = printer.text_of(notebook)
    folder = cohort.handout(learner)
    for name, text in files.items():
        write_whole(folder / name, text)
    archive = folder.with_name(f"{learner}.zip")
    write_whole(archive, zipped({f"{learner}/{name}": text for name, text in files.items()}))
    return archive
