"""Write a cohort's feedback pages and report from what is marked."""

import json
from collections import Counter
from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from importlib.metadata import version
from pathlib import Path

from graders import sheets
from graders.cohort import arrival, clock, entered, roster
from graders.cohort.files import write_whole, zipped
from graders.cohort.paths import Cohort
from graders.cohort.record import Handed, Record
from graders.cohort.settings import Settings
from graders.judging.marks import ExercisePage, Happened, PartPage, Row, total
from graders.marking import marks_csv, sharing, totals
from graders.marking.journal import Journal, Result
from graders.notebooks import submission
from graders.notebooks.printer import filled, setup_text
from graders.questions import editions
from graders.questions.exercise import Exercise
from graders.questions.parts import Part
from graders.questions.verdicts import Code
from graders.report import class_page, cohort_page, feedback_page
from graders.report.html import count
from graders.sheets.own import use
from workbook.references.shop import Rule, reference

LEARNERS_A_WORKER = 20
"""Learners whose pages are worth one more process, which needs about two seconds to start."""


def everything(cohort: Cohort, on_progress: Callable[[int, int, str], None] = lambda done, of, what: None) -> Path:
    """Write marks.csv, every feedback page and the cohort's report, and return the report's first page."""
    rows = marks_csv.rows_now(cohort)
    totals.write(cohort, rows)
    learners, record = roster.read(cohort.roster, may_be_empty=True), Record(cohort.record)
    grouped = {}
    for row in rows:
        grouped.setdefault((row.learner, row.topic), []).append(row)
    marked, settings = Journal(cohort.journal), cohort.settings()
    names = {one.id: one.name for one in learners}
    standing = {topic: feedback_page.spread(shares) for topic, shares in _shares(grouped).items()}
    links = {key: f"../{cohort.feedback(*key).relative_to(cohort.root).as_posix()}" for key in grouped}
    own = _feedback(cohort, names, grouped, record, marked, standing)
    now = clock.now()
    writers = sharing.enough(len(names), LEARNERS_A_WORKER)
    write = partial(write_feedback, cohort, Shown.at(settings, now))
    for done, learner in enumerate(
        sharing.shared_out(write, own, writers, use, (cohort.root,)) if writers > 1 else map(write, own), 1
    ):
        on_progress(done, len({learner for learner, _ in grouped}), learner)
    findings, copied = marks_csv.all_findings(cohort), marks_csv.all_copied(cohort)
    folder, over = cohort.root / "report", marks_csv.overrides(cohort)
    when, edition = _marked_by(marked)
    left = {one.id for one in learners if one.left}
    here = [row for row in rows if not (row.learner in left and row.verdict is Code.NOT_HANDED_IN)]
    there = {row.learner for row in here}
    names = {learner: name for learner, name in names.items() if learner not in left or learner in there}
    held_back = [f"{line}." for line in settings.held_back_words(now)]
    first = [
        *notes(settings),
        *held_back,
        *_shops_rules(record),
        *_by_option(settings, marked),
        *_came_late(cohort, settings, marked),
        *_held(cohort),
        *_entered(cohort, record),
    ]
    whole = settings.title, here, names, findings, copied, links, when, edition, first, over, _happened(marked)
    for name, html in cohort_page.pages(*whole).items():
        write_whole(folder / name, html)
    return folder / cohort_page.INDEX


def class_progress(cohort: Cohort, rows: Iterable[Row]) -> Path:
    """Write the page that shows how far the class is without naming anybody, and return it."""
    there = marks_csv.names(cohort)
    here = [row for row in rows if row.learner in there]
    when, _ = _marked_by(Journal(cohort.journal))
    path = cohort.root / "report" / "class.html"
    write_whole(path, class_page.page(cohort.settings().title, here, len(there), when))
    return path


@dataclass(frozen=True)
class TopicOf:
    """What one learner's feedback on a topic is made of."""

    rows: tuple[Row, ...]
    handed: tuple[Handed, ...]
    when: str
    edition: str
    standing: feedback_page.Spread | None
    came: str
    """When it came and when it was due, in words."""


@dataclass(frozen=True)
class Feedback:
    """What one learner's feedback pages are made of, by topic."""

    learner: str
    name: str
    topics: dict[str, TopicOf]


def _feedback(cohort: Cohort, names, grouped, record: Record, marked: Journal, standing) -> Iterator[Feedback]:
    """Yield what every learner's pages are made of, one learner at a time."""
    settings = cohort.settings()
    for learner in dict.fromkeys(learner for learner, _ in grouped):
        topics = {}
        for topic, handed in record.by_topic(learner).items():
            if (learner, topic) in grouped:
                by = _marked_by(filter(None, [marked.get((learner, topic))]))
                came = settings.came_words(learner, topic, arrival.handed_in(cohort, learner, topic))
                came += _from_paper_words(cohort, handed) if came else ""
                topics[topic] = TopicOf(tuple(grouped[learner, topic]), handed, *by, standing.get(topic), came)
        yield Feedback(learner, names.get(learner, learner), topics)


@dataclass(frozen=True)
class Shown:
    """What learners get to see now: the topics whose working is shown, and those whose feedback goes out."""

    working: frozenset[str]
    given: frozenset[str]

    @classmethod
    def at(cls, settings: Settings, now: datetime) -> "Shown":
        """Return what a cohort's settings show at a moment, in UTC without saying so."""
        return cls(
            frozenset(topic for topic in settings.topics if settings.shows_working(topic, now)),
            frozenset(topic for topic in settings.topics if settings.gives_feedback(topic, now)),
        )


def write_feedback(cohort: Cohort, shown: Shown, own: Feedback) -> str:
    """Write a learner's feedback pages, pack those that go out, and return whose they are."""
    for topic, of in own.topics.items():
        exercises = exercise_pages(cohort, topic, of.rows, of.handed, topic in shown.working)
        html = feedback_page.page(own.learner, own.name, topic, exercises, of.when, of.edition, of.standing, of.came)
        write_whole(cohort.feedback(own.learner, topic), html)
    pack(cohort, own.learner, shown.given)
    return own.learner


def _marked_by(results: Iterable[Result]) -> tuple[str, str]:
    """Return when the newest of some markings ran, and every version of the workbook that marked in them."""
    met = {(result.when, result.version) for result in results}
    if not met:
        return "", f"rework-workbook {version('rework-workbook')}"
    newest = datetime.fromisoformat(max(when for when, _ in met))
    versions = ", ".join(sorted({version for _, version in met}))
    return newest.strftime("%Y-%m-%d %H:%M UTC"), f"rework-workbook {versions}"


def _happened(results: Iterable[Result]) -> list[Happened]:
    """Return what was put right, stopped or could not be read in marking."""
    return [
        Happened(result.learner, result.topic, problem.removeprefix(f"{result.learner} / {result.topic} / "))
        for result in results
        for problem in result.problems
    ]


def _shops_rules(record: Record) -> list[str]:
    """Return the shop's rules under which topics were handed out."""
    topics: dict[str, list[str]] = {}
    for topic, rules in record.shops.items():
        for name, value in rules.items():
            topics.setdefault(Rule(reference(name), value).words(), []).append(topic)
    return [f"{words}; in what was handed out of {', '.join(of)}." for words, of in topics.items()]


def _by_option(settings: Settings, results: Iterable[Result]) -> list[str]:
    """Say where an option of a marking stood over what cohort.toml says."""
    met = Counter(result.fresh_numbers for result in results)
    return [
        f"{count(many, 'topic')} marked with --fresh-numbers {policy}, where cohort.toml says {settings.fresh_numbers}."
        for policy, many in met.items()
        if policy and policy != settings.fresh_numbers
    ]


MOST_LATE = 20
"""Who came late is named one by one up to here; every feedback page says its own."""


def _came_late(cohort: Cohort, settings: Settings, results: Iterable[Result]) -> list[str]:
    """Say who handed in late, when it came and when it was due, by the cohort's clocks."""
    found = []
    for result in results if settings.due else ():
        when = arrival.handed_in(cohort, result.learner, result.topic)
        if settings.is_late(result.learner, result.topic, when):
            came = settings.came_words(result.learner, result.topic, when)
            found.append(f"Late: {result.learner} / {result.topic}, {came}.")
    more = len(found) - MOST_LATE
    return [*found[:MOST_LATE], *([f"And {count(more, 'topic')} more came late: see the pages."] if more > 0 else [])]


def _from_paper_words(cohort: Cohort, handed: Sequence[Handed]) -> str:
    """Say, behind when a topic came, how much of it was entered from paper; nothing where none was."""
    many = sum(entered.is_from_paper(cohort, one) for one in handed)
    return f"; {count(many, 'exercise')} of it entered from paper by your instructor" if many else ""


def _entered(cohort: Cohort, record: Record) -> list[str]:
    """Say how much was entered from paper."""
    if not cohort.entered.is_file():
        return []
    whose = Counter(one.learner for one in record if entered.is_from_paper(cohort, one))
    done = f"{entered.WORDS}: {count(whose.total(), 'exercise')} of {count(len(whose), 'learner')}."
    return [done] if whose else []


def _held(cohort: Cohort) -> list[str]:
    """Say how many files are held because nobody could tell for certain whose they are."""
    folder = cohort.root / "held"
    held = len(list(folder.iterdir())) if folder.is_dir() else 0
    return (
        [f"Held in the folder held, because it is not certain whose they are: {count(held, 'file')}."] if held else []
    )


COSTS = {
    "half": "An answer that does not follow fresh numbers costs half of its points.",
    "zero": "An answer that does not follow fresh numbers earns nothing.",
}


def notes(settings: Settings) -> list[str]:
    """Return what somebody who reads the report must know first."""
    voids = [
        f"{one.topic} / {one.exercise} / {one.part} {'counts for nobody' if one.drops else 'is full for everybody'}: "
        f"{one.reason}"
        for one in settings.void
    ]
    due = [f"Due: {line.replace(': due', ',')}." for line in settings.due_words()]
    late = [settings.late_words] if settings.late_words else []
    costs = [COSTS[settings.fresh_numbers]] if settings.fresh_numbers in COSTS else []
    return voids + due + late + costs


def pack(cohort: Cohort, learner: str, topics: Collection[str]) -> None:
    """Pack a learner's feedback pages on topics into one archive to send back; where there is none, none stays."""
    archive = cohort.feedback_of(learner)
    pages = [path for path in sorted(archive.with_suffix("").glob("*.html")) if path.stem in topics]
    if pages:
        texts = {f"{learner}/{path.name}": path.read_text(encoding="utf-8") for path in pages}
        write_whole(archive, zipped(texts))
    else:
        archive.unlink(missing_ok=True)


def _shares(grouped: dict[tuple[str, str], list[Row]]) -> dict[str, list[float]]:
    """Return, topic by topic, the share of the points of everyone who handed something in."""
    shares = {}
    for (_, topic), rows in grouped.items():
        if any(row.verdict is not Code.NOT_HANDED_IN for row in rows):
            earned, out_of = total(rows)
            if out_of:
                shares.setdefault(topic, []).append(earned / out_of)
    return shares


def exercise_pages(
    cohort: Cohort, topic: str, rows: Sequence[Row], handed: Sequence[Handed], working: bool
) -> list[ExercisePage]:
    """Return what a feedback page shows of each exercise of a topic, in teaching order."""
    pages, handed_out = [], {one.exercise: one for one in handed}
    for exercise in sheets.exercises(topic):
        own = {row.part: row for row in rows if row.exercise == exercise.id}
        if not own:
            continue
        if not editions.asks_as_handed_out(exercise, topic, handed_out[exercise.id].edition):
            pages.append(_asked_otherwise(cohort, exercise, handed_out[exercise.id], own))
            continue
        givens = handed_out[exercise.id].givens
        wrote = answers_written(cohort, handed_out[exercise.id])
        told = exercise.spelled(givens) if working else {}
        parts = tuple(
            PartPage(
                ask=filled(part.ask, exercise, givens),
                answer=_answer(part, wrote.get(part.name, "")),
                row=own[part.name],
                working=_working(part, exercise, givens) if working else "",
                arithmetic=tuple(told.get(part.name, ())),
            )
            for part in exercise.parts
            if part.name in own
        )
        drawings = exercise.drawn(givens), exercise.answer_drawn(givens) if working else None
        shown = (one.html(style="") if one else "" for one in drawings)
        pages.append(ExercisePage(exercise.title, setup_text(exercise, givens), parts, *shown))
    return pages


OTHERWISE = "This version of the workbook asks this exercise otherwise. Its questions are those of your own notebook."


def _asked_otherwise(cohort: Cohort, exercise: Exercise, handed: Handed, own: dict[str, Row]) -> ExercisePage:
    """Return the page of an exercise whose question has changed since: its marks stand, its text would be wrong."""
    wrote = answers_written(cohort, handed)
    parts = tuple(PartPage(ask=f"`{name}`", answer=wrote.get(name, ""), row=row) for name, row in own.items())
    return ExercisePage(exercise.title, OTHERWISE, parts)


def _answer(part: Part, wrote: str) -> str:
    """Return what a learner wrote, or nothing where it is what was printed."""
    return "" if wrote.strip() == part.stub().strip() else wrote


def answers_given(cohort: Cohort, exercise: Exercise, handed: Handed) -> dict[str, str]:
    """Return what a learner wrote in the answer cells of an exercise, without those left as they were printed."""
    wrote = answers_written(cohort, handed)
    return {part.name: _answer(part, wrote.get(part.name, "")) for part in exercise.parts}


def answers_written(cohort: Cohort, handed: Handed) -> dict[str, str]:
    """Return what a learner wrote in each answer cell, from the safe copy."""
    path = cohort.autograded(handed.learner, handed.topic) / f"{handed.notebook}.ipynb"
    if not path.is_file():
        return {}
    notebook = json.loads(path.read_text(encoding="utf-8"))
    for cell in notebook["cells"]:
        cell["source"] = "".join(cell["source"])  # a text from us, a list of lines from nbgrader
    return submission.answers_written(notebook)


def _working(part: Part, exercise: Exercise, givens: dict) -> str:
    """Return the working of a part with its answer in the learner's own numbers."""
    return part.working_in(exercise.key(givens))
