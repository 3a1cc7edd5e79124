"""Make a cohort's folder and every learner's handout in own numbers."""

import json
import shutil
from collections.abc import Callable
from dataclasses import replace
from importlib.metadata import version
from pathlib import Path

from graders import gradebook, sheets
from graders.cohort import record, roster
from graders.cohort.files import write_whole, zipped
from graders.cohort.paths import Cohort
from graders.cohort.roster import Learner
from graders.cohort.settings import Settings, settings_text
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
    told: Callable[[str], None] = lambda line: None,
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
    told : callable
        Called with one line for each learner done, for a progress bar.
    """
    root = Path(root).resolve()
    if (root / "cohort.toml").is_file():
        cohort = Cohort.open(root)
        known = {learner.id: learner for learner in roster.read(cohort.roster)}
        new = [learner for learner in learners if learner.id not in known]
        left = {learner.id for learner in learners if learner.left}
        everyone = [*(replace(one, left=one.left or one.id in left) for one in known.values()), *new]
    else:
        if root.exists() and any(root.iterdir()):
            raise Problem(f"{root} is not empty and is no cohort folder.", "give a new folder with --to")
        cohort = _new_cohort(root, topics or printable_topics(), title or root.name, exercises or {})
        new = everyone = list(learners)
    gradebook.of(cohort).add_learners(new)
    for learner in new:
        hand_out(cohort, learner)
        told(learner.id)
    write_whole(cohort.roster, roster.text_of(everyone))
    return cohort


def printable_topics() -> tuple[str, ...]:
    """Return the topics that have a sheet."""
    return tuple(topic.slug for topic in TOPICS if sheets.exercises(topic.slug))


def chosen(settings: Settings, topic: str) -> list[Exercise]:
    """Return the exercises of a topic that a cohort gets, in teaching order."""
    return [one for one in sheets.exercises(topic) if settings.hands_out(topic, one.id)]


def _new_cohort(root: Path, topics: tuple[str, ...], title: str, exercises: dict[str, tuple[str, ...]]) -> Cohort:
    """Build the folder beside its place and move it there once it is whole."""
    building = root.with_name(f".{root.name}.making")
    shutil.rmtree(building, ignore_errors=True)
    cohort = Cohort(building)
    building.mkdir(parents=True)
    cohort.make_secret()
    cohort.record.touch()
    write_whole(building / "cohort.toml", settings_text(title, topics, exercises))
    write_whole(cohort.roster, roster.text_of([]))
    for slug in topics:
        for exercise in chosen(cohort.settings(), slug):
            name = printer.notebook_name(by_slug(slug), exercise)
            text = printer.text_of(printer.solution_notebook(by_slug(slug), exercise))
            write_whole(building / "source" / slug / f"{name}.ipynb", text)
    configuration.bring_up_to_date(cohort)
    gradebook.of(cohort).register(topics)
    if root.exists():
        root.rmdir()
    building.rename(root)
    return Cohort(root)


def hand_out(cohort: Cohort, learner: Learner) -> None:
    """Draw one learner's numbers and the orders of words, write them down, and write the handout and its archive.

    The record is written last: a learner without a record line has no handout yet and is made again.
    """
    secret, settings, lines, files = cohort.secret(), cohort.settings(), [], {}
    for slug in settings.topics:
        topic = by_slug(slug)
        for exercise in chosen(settings, slug):
            givens = json.loads(json.dumps(exercise.draw(secret, learner.id)))
            fresh = json.loads(json.dumps(second_run.fresh_givens(exercise, secret, learner.id)))
            edition = editions.asked(exercise)
            seal = record.seal(secret, learner.id, slug, exercise.id, edition, givens)
            name = printer.notebook_name(topic, exercise)
            orders = exercise.own_orders(secret, learner.id)
            marks = {"learner": learner.id, "edition": edition, "seal": seal}
            notebook = printer.exercise_notebook(topic, exercise, givens, marks, orders)
            files[f"{slug}/{name}.ipynb"] = printer.text_of(notebook)
            drawn = givens, edition, seal, VERSION, fresh, second_run.changing(exercise, givens, fresh), orders
            lines.append(record.line(record.Handed(learner.id, slug, exercise.id, name, *drawn)))
    _write_handout(cohort, learner, files)
    with cohort.record.open("a", encoding="utf-8") as file:
        file.write("".join(lines))


def again(cohort: Cohort, learner_id: str) -> Path:
    """Write a lost handout again, with the same numbers and orders, and return its archive."""
    known = record.Record(cohort.record).of(learner_id)
    if not known:
        raise Problem(f"{learner_id}: nothing was handed out.", "look at the id in learners.csv")
    files = {}
    for handed in known:
        exercise = sheets.find(handed.topic, handed.exercise)
        marks = {"learner": learner_id, "edition": handed.edition, "seal": handed.seal}
        notebook = printer.exercise_notebook(by_slug(handed.topic), exercise, handed.givens, marks, handed.orders)
        files[f"{handed.topic}/{handed.notebook}.ipynb"] = printer.text_of(notebook)
    return _write_handout(cohort, Learner(learner_id, learner_id), files)


def _write_handout(cohort: Cohort, learner: Learner, files: dict[str, str]) -> Path:
    folder = cohort.handout(learner.id)
    for name, text in files.items():
        write_whole(folder / name, text)
    archive = folder.with_name(f"{learner.id}.zip")
    write_whole(archive, zipped({f"{learner.id}/{name}": text for name, text in files.items()}))
    return archive
