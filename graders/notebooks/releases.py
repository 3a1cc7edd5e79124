"""Releases: which version asked and judged what. A table for each version; it never changes once it is released."""

import json
import re
from dataclasses import dataclass
from pathlib import Path

from graders import sheets
from graders.notebooks import lesson_calls
from graders.questions import editions
from graders.questions.exercise import Exercise
from workbook.problems import Problem
from workbook.topics import TOPICS

VERSION_LINE = re.compile(r'^version = "([^"]+)"$', re.MULTILINE)
RELEASED = re.compile(r"\d+\.\d+\.\d+")
"""How a version is named that is handed out; between two of them a version ends in .dev0, and has no table."""
DRAWS = 2
ASKED = "asked otherwise"


@dataclass(frozen=True)
class Differs:
    """An exercise that a table has otherwise: what differs, and both hashes of what is asked."""

    name: str
    what: str
    asked_then: str
    asked_now: str


def version_of(project: Path) -> str:
    """Return the version that a pyproject.toml names."""
    return VERSION_LINE.search(project.read_text(encoding="utf-8"))[1]


def edition_of(exercise: Exercise) -> dict:
    """Return what a table keeps of an exercise: both editions, the form of its answers, and what solves it.

    ``form`` and ``solved`` are there to tell, later, whether an exercise that asks in other words asks the same.
    """
    numbers = [exercise.worked(), *(exercise.draw(b"release", f"learner {draw}") for draw in range(DRAWS))]
    solved = [[givens, editions.rounded(exercise.key(givens))] for givens in numbers]
    found = {"asked": editions.asked(exercise), "judged": editions.judged(exercise)}
    return json.loads(json.dumps(found | {"form": editions.form(exercise), "solved": solved}))


def every_exercise() -> dict[str, Exercise]:
    """Return every exercise of this version, by topic/exercise."""
    return {f"{topic.slug}/{one.id}": one for topic in TOPICS for one in sheets.exercises(topic.slug)}


def text() -> str:
    """Return the table of this version, one exercise a line."""
    lines = (
        f"{json.dumps(name)}: {json.dumps(edition_of(one), ensure_ascii=False)}"
        for name, one in sorted(every_exercise().items())
    )
    return "{\n" + ",\n".join(lines) + "\n}\n"


def differences(table: Path) -> list[Differs]:
    """Return the exercises that this version has otherwise than a table says."""
    then, now, found = json.loads(table.read_text(encoding="utf-8")), every_exercise(), []
    for name in sorted({*then, *now}):
        if name not in now or name not in then:
            found.append(Differs(name, "is new" if name in now else "is gone", "", ""))
            continue
        asked, judged = editions.asked(now[name]), editions.judged(now[name])
        if asked != then[name]["asked"]:
            found.append(Differs(name, ASKED, then[name]["asked"], asked))
        elif judged != then[name]["judged"]:
            found.append(Differs(name, "judged otherwise", asked, asked))
    return found


def newest(tables: Path) -> Path:
    """Return the table of the newest release."""
    return max(tables.glob("*.json"), key=lambda path: _numbers(path.stem))


def lines(tables: Path) -> list[str]:
    """Say, an exercise a line, what differs from the newest release, and which texts are worth comparing."""
    table = newest(tables)
    then, now, found = json.loads(table.read_text(encoding="utf-8")), every_exercise(), []
    for one in differences(table):
        words = f"{one.name}: {one.what}"
        if one.what == ASKED and has_the_same_answers(now[one.name], then[one.name]):
            pair = json.dumps([one.asked_then, one.asked_now])
            read = [one.asked_then, one.asked_now] in editions.compared().get(one.name, [])
            words += ", and asks the same" if read else f", answered alike; if it asks the same: {pair}"
        found.append(words)
    return [*found, f"{len(found)} of {len(now)} exercises differ from version {table.stem}."]


def has_the_same_answers(exercise: Exercise, then: dict) -> bool:
    """Whether an exercise takes answers of the form a table says, and has the same right ones on its numbers."""
    if json.loads(json.dumps(editions.form(exercise))) != then["form"]:
        return False
    try:
        keys = [editions.rounded(exercise.key(givens)) for givens, _ in then["solved"]]
        return json.loads(json.dumps(keys)) == [key for _, key in then["solved"]]
    except (AttributeError, LookupError, TypeError, ValueError):  # other givens than then
        return False


def release(version: str, project: Path, tables: Path) -> Path:
    """Raise the package's version, and write the table of what it asks and how it judges, and what its lessons call.

    Raises
    ------
    Problem
        Where it is no version that can be handed out, or not above the newest one.
    """
    if not RELEASED.fullmatch(version):
        raise Problem(f"{version!r} is no version that is handed out.", "write it as 0.2.0")
    last = newest(tables).stem
    if _numbers(version) <= _numbers(last):
        raise Problem(f"{version} is not above {last}, which is released.", "a released version stays as it is")
    before = project.read_text(encoding="utf-8")
    path = tables / f"{version}.json"
    path.write_text(text(), encoding="utf-8")
    calls = tables.parent / "lessons"
    calls.mkdir(exist_ok=True)
    (calls / path.name).write_text(lesson_calls.text(), encoding="utf-8")
    project.write_text(VERSION_LINE.sub(f'version = "{version}"', before, count=1), encoding="utf-8")
    return path


def _numbers(version: str) -> tuple[int, ...]:
    return tuple(map(int, version.split(".")))
