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
from graders.handout import own_sheets, settings_file
from graders.judging import second_run
from graders.notebooks import printer
from graders.questions import editions
from graders.questions.exercise import Exercise
from graders.sheets import own
from workbook.paths import resolved
from workbook.problems import Problem
from workbook.references import shop as shop_rules
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
    """Make a cohort's folder, or add the learners and topics a cohort does not have yet.

    What was handed out never changes: a topic that a learner has in the record stays as it was handed out.

    Parameters
    ----------
    learners : list of Learner
    root : Path
        The cohort's folder; made where it is not there.
    topics : tuple of str
        The topics handed out; every topic that has a sheet without. A cohort that is there gets those it has not.
    title : str
        How pages name the cohort; the folder's name without.
    exercises : dict, optional
        Of the topics named here, which are handed out now, only these exercises.
    on_progress : callable
        Called with one line for each learner done, for a progress bar.
    manner : Manner
        How a new cohort's list is written: as the one it came from.
    """
    root, wanted = resolved(root), Wanted(topics, title, exercises or {})
    for problem in own.use(root):
        raise problem
    if not (root / "cohort.toml").is_file():
        _new_cohort(root, wanted, manner)
    cohort = Cohort.open(root)
    cohort.refuse_wrong_sheets()
    with cohort.locked():
        _refuse_what_is_too_late(cohort, wanted)
        if wanted.topics:
            differences.refuse_wrong_key(cohort, record.HandoutRecord(cohort.record))
            settings_file.add_topics(cohort, wanted.topics, wanted.exercises)
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
    for topic, names in wanted.exercises.items():
        if topic not in (*wanted.topics, *settings.topics):
            raise Problem(
                f"an exercise of topic {topic} is asked for, which is not handed out.", f"add --topic {topic}"
            )
        if topic in settings.topics and names != settings.exercises.get(topic):
            raise Problem(
                f"{cohort.root} has topic {topic} already, with other exercises.",
                "leave the option out, or give another folder with --to: a topic is handed out once",
            )


def _add(cohort: Cohort, learners: list[Learner], on_progress: Callable[[str], None]) -> None:
    """Bring the list of learners up to date, and hand out to everyone on it each topic that the record has not.

    The list comes first and the record last, so a run that ends anywhere is gone on with by the next.
    """
    handed, settings = record.HandoutRecord(cohort.record), cohort.settings()
    differences.refuse_wrong_key(cohort, handed)
    settings.validate({(topic, exercise) for topic, exercise, *_ in handed.editions}, handed.learners)
    known = {one.id: one for one in roster.read(cohort.roster, may_be_empty=True)} if cohort.roster.exists() else {}
    left = {learner.id for learner in learners if learner.left}
    everyone = [replace(one, left=one.left or one.id in left) for one in known.values()]
    everyone += [one for one in learners if one.id not in known]
    new = [one for one in everyone if one.id not in set(handed.learners)]
    _refuse_renamed(cohort, new, set(handed.learners) - {one.id for one in everyone}, handed.learners)
    write_whole(cohort.roster, roster.text_of(everyone, roster.manner(cohort.roster)))
    shop = _shop_rules(cohort, handed, settings.topics)
    own_sheets.refuse_unruly(_asked(settings, set(settings.topics) - handed.topics), shop)
    _finish(cohort, handed, shop)
    if new:
        gradebook.of(cohort).add_learners(new)
    handed = record.HandoutRecord(cohort.record)
    _leave_out_late_sheets(handed)
    own_sheets.refuse_unfair(cohort.root, _asked(settings, set(settings.topics) - handed.topics))
    _ask(cohort, [topic for topic in settings.topics if topic not in handed.topics and not _is_asked(cohort, topic)])
    for learner, topics in differences.without(everyone, handed, settings.topics).items():
        hand_out(cohort, learner, topics, handed.of(learner), shop)
        on_progress(learner)


def _shop_rules(cohort: Cohort, handed: record.HandoutRecord, topics: Sequence[str]) -> dict[str, dict[str, float]]:
    """Return the shop's rules for each topic: those it was handed out with, else those of shop.toml now."""
    now = {name: rule.value for name, rule in shop_rules.read(cohort.root).items()}
    return {topic: handed.shops.get(topic, now) for topic in topics}


def _leave_out_late_sheets(handed: record.HandoutRecord) -> None:
    """Leave own exercises out that came after their topic was handed out: all are handed the same."""
    had = {(topic, exercise) for topic, exercise, *_ in handed.editions}
    for topic in handed.topics:
        sheets.put_beside({topic: [one for one in sheets.own_exercises(topic) if (topic, one.id) in had]})


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


def _finish(cohort: Cohort, handed: record.HandoutRecord, shop: dict[str, dict[str, float]]) -> None:
    """Write the record's missing lines of topics whose lines were cut off: their notebooks are there, whole."""
    asked = _asked(cohort.settings())
    for learner in handed.learners:
        topics = handed.by_topic(learner)
        known = {(one.topic, one.exercise) for of in topics.values() for one in of}
        folder = cohort.handout(learner)
        there = {(path.parent.name, printer.exercise_of(path.stem)) for path in folder.glob("*/*.ipynb")}
        missing = [one for one in asked if one[0] in topics and one in there - known]
        drawn = [_drawn(cohort, learner, topic, exercise, shop[topic]) for topic, exercise in missing]
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
    if root.exists() and (not root.is_dir() or not _written_before(root)):
        raise Problem(f"{root} is not empty and is no cohort folder.", "give a new folder with --to")
    topics, title = wanted.topics or printable_topics(), wanted.title or root.name
    if not title.isprintable():
        raise Problem(f"the title {title!r} cannot be printed.", "give one that a page can show: --title TITLE")
    for topic in wanted.exercises:
        if topic not in topics:
            raise Problem(
                f"an exercise of topic {topic} is asked for, which is not handed out.", f"add --topic {topic}"
            )
    root.parent.mkdir(parents=True, exist_ok=True)
    building, aside = root.with_name(f".{root.name}.making"), root.with_name(f".{root.name}.before")
    with only_here(building.with_name(f"{building.name}.lock"), f"{root} is being made already."):
        if (root / "cohort.toml").is_file():
            return  # somebody else made it meanwhile
        if aside.exists() and not root.exists():
            aside.rename(root)  # a run before this one ended while it put the new folder in its place
        shutil.rmtree(building, ignore_errors=True)
        asked = _asked(Settings(title, topics, exercises=wanted.exercises))
        own_sheets.refuse_unfair(root, asked)
        rules = {name: rule.value for name, rule in shop_rules.read(root).items()}
        own_sheets.refuse_unruly(asked, dict.fromkeys(topics, rules))
        _build(Cohort(building), topics, title, wanted.exercises, manner)
        for name in WRITTEN_BEFORE:
            if (root / name).exists():
                (shutil.copytree if (root / name).is_dir() else shutil.copy2)(root / name, building / name)
        if root.exists():
            root.rename(aside)
        building.rename(root)
        shutil.rmtree(aside, ignore_errors=True)
        building.with_name(f"{building.name}.lock").unlink()


WRITTEN_BEFORE = (own.FOLDER, shop_rules.FILE)
"""What an instructor may have written into a folder before a cohort is made of it."""


def _written_before(root: Path) -> bool:
    """Whether a folder holds nothing but what may be written into it before."""
    return all(path.name in WRITTEN_BEFORE for path in root.iterdir())


def _build(
    cohort: Cohort, topics: tuple[str, ...], title: str, exercises: dict[str, tuple[str, ...]], manner: Manner
) -> None:
    """Write what a cohort without learners consists of."""
    cohort.root.mkdir(mode=0o700)
    cohort.make_secret()
    cohort.record.touch()
    write_whole(cohort.root / "cohort.toml", settings_text(title, topics, exercises))
    write_whole(cohort.roster, roster.text_of([], manner))
    configuration.bring_up_to_date(cohort)
    _ask(cohort, topics)


def _ask(cohort: Cohort, topics: Collection[str]) -> None:
    """Print what topics ask as nbgrader's source, and tell the gradebook. Done again, it comes to the same."""
    for slug, exercise in _asked(cohort.settings(), topics):
        topic, asked = by_slug(slug), sheets.find(slug, exercise)
        text = printer.text_of(printer.solution_notebook(topic, asked))
        write_whole(cohort.root / "source" / slug / f"{printer.notebook_name(asked)}.ipynb", text)
    if topics:
        gradebook.of(cohort).register(topics)


def _is_asked(cohort: Cohort, topic: str) -> bool:
    """Whether the gradebook knows all of a topic: nbgrader writes each notebook's release after its cells."""
    released = cohort.root / "release" / topic
    names = (printer.notebook_name(exercise) for exercise in chosen(cohort.settings(), topic))
    return all((released / f"{name}.ipynb").is_file() for name in names)


def _asked(settings: Settings, topics: Collection[str] | None = None) -> list[tuple[str, str]]:
    """Return topic and name of every exercise that is handed out now, of these topics or all, in teaching order."""
    wanted = settings.topics if topics is None else [topic for topic in settings.topics if topic in topics]
    return [(topic, exercise.id) for topic in wanted for exercise in chosen(settings, topic)]


def hand_out(
    cohort: Cohort,
    learner: str,
    topics: Sequence[str],
    before: Sequence[Handed],
    shop: dict[str, dict[str, float]],
) -> None:
    """Draw a learner's numbers and orders of words for topics, write the notebooks and archives, and write them down.

    The record is written last: a topic without a record line is not handed out yet, and is made again from nothing.
    ``before`` is what the learner was handed before: it is packed again as it lies there, and not touched. ``shop`` are
    the shop's rules by topic.
    """
    drawn = [_drawn(cohort, learner, *one, shop[one[0]]) for one in _asked(cohort.settings(), topics)]
    folder = cohort.handout(learner)
    for stale in [folder / topic for topic in topics] if before else [folder]:
        shutil.rmtree(stale, ignore_errors=True)
    files = _write_notebooks(cohort, learner, drawn)
    if before:
        _pack(cohort.handout_of(learner, topics), learner, files)
    _pack(cohort.handout_of(learner), learner, _there(cohort, before) | files)
    record.append(cohort.record, drawn)


def _drawn(cohort: Cohort, learner: str, topic: str, name: str, shop: dict[str, float]) -> Handed:
    """Draw a learner's numbers for one exercise: the same whenever they are drawn."""
    secret, exercise = cohort.secret(), sheets.find(topic, name)
    givens = json.loads(json.dumps(exercise.draw(secret, learner, shop)))
    fresh = json.loads(json.dumps(second_run.fresh_givens(exercise, givens, secret, learner, shop)))
    edition = editions.asked(exercise)
    seal = record.seal(secret, learner, topic, name, edition, givens)
    notebook, changing = printer.notebook_name(exercise), second_run.changing(exercise, givens, fresh)
    orders = exercise.own_orders(secret, learner)
    return Handed(
        learner, topic, name, notebook, givens, edition, seal, VERSION, fresh, changing, orders, exercise.sheet, shop
    )


def again(cohort: Cohort, learner_id: str) -> Path:
    """Write a lost handout again, with the same numbers, and return its archive."""
    with cohort.locked():
        known = record.HandoutRecord(cohort.record).of(learner_id)
        if not known:
            raise Problem(f"{learner_id}: nothing was handed out.", "look at the id in learners.csv")
        for one in known:
            if editions.asks_as_handed_out(sheets.find(one.topic, one.exercise), one.topic, one.edition):
                continue
            if own.is_own(one.exercise):
                raise Problem(
                    f"the sheet of {one.topic}/{one.exercise} asks otherwise than when it was handed out.",
                    "put it back as it was; a backup holds it: restore that into a new folder and copy the sheet",
                )
            raise Problem(
                f"{one.topic}/{one.exercise} is asked otherwise than it was by version {one.version}.",
                "write this handout again with that version, in an environment of its own",
            )
        files = _write_notebooks(cohort, learner_id, known)
        return _pack(cohort.handout_of(learner_id), learner_id, files)


def _write_notebooks(cohort: Cohort, learner: str, handed: Sequence[Handed]) -> dict[str, str]:
    """Write a learner's notebooks, and return their texts by TOPIC/FILE."""
    files = {f"{one.topic}/{one.notebook}.ipynb": printer.text_of(notebook_of(cohort, one)) for one in handed}
    for name, text in files.items():
        write_whole(cohort.handout(learner) / name, text)
    return files


def notebook_of(cohort: Cohort, one: Handed) -> dict:
    """Return a learner's notebook as it was handed out, by the record."""
    marks = {"learner": one.learner, "edition": one.edition, "seal": one.seal}
    exercise = sheets.find(one.topic, one.exercise)
    if one.shop:
        marks["shop"] = one.shop
    if own.is_own(one.exercise):
        marks["sheet"] = own.packed(own.source_of(cohort.root, one.topic, one.exercise), one.notebook)
    return printer.exercise_notebook(by_slug(one.topic), exercise, one.givens, marks, one.orders)


def _there(cohort: Cohort, handed: Sequence[Handed]) -> dict[str, str]:
    """Return the notebooks that were handed out before, as they lie in the learner's folder, by TOPIC/FILE."""
    names = [f"{one.topic}/{one.notebook}.ipynb" for one in handed]
    paths = {name: cohort.handout(one.learner) / name for name, one in zip(names, handed, strict=True)}
    return {name: path.read_text(encoding="utf-8") for name, path in paths.items() if path.is_file()}


def _pack(archive: Path, learner: str, files: dict[str, str]) -> Path:
    """Pack notebooks into an archive that opens as one folder, and return it."""
    write_whole(archive, zipped({f"{learner}/{name}": text for name, text in files.items()}))
    return archive
