"""A version says for ever what it asked and how it judged; another text that asks the same is told by a person."""

import json
import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from graders import sheets
from graders.notebooks import releases
from graders.questions import editions
from graders.questions.parts.tolerance import absolute
from workbook import paths
from workbook.problems import Problem

TABLES = Path(__file__).parents[2] / "fixtures" / "editions"
PROJECT = paths.clone_folder("pyproject.toml")
RAISE = "raise the version, and print its table, with: graders print --release VERSION"


def test_a_version_that_is_handed_out_has_a_table_and_the_sheets_are_those_of_it():
    """Between two releases the version ends in .dev0 and has no table; what it asks is in each record all the same."""
    version, last = releases.version_of(PROJECT), releases.newest(TABLES)
    if not releases.RELEASED.fullmatch(version):
        assert version.endswith(".dev0"), version
        above = tuple(map(int, version.removesuffix(".dev0").split(".")))
        assert above > tuple(map(int, last.stem.split("."))), f"{version} is not above {last.stem}"
        return
    assert last.stem == version, RAISE
    assert releases.differences(last) == [], f"sheets differ from version {version}; {RAISE}"


def test_the_table_of_the_first_version_is_the_one_that_cohorts_are_read_by():
    table = json.loads((TABLES / "0.1.0.json").read_text(encoding="utf-8"))
    assert len(table) == 111
    for name, one in table.items():
        ((asked, judged),) = editions.first(*name.split("/")).values()
        assert (asked, judged) == (one["asked"], one["judged"])


def pairs():
    return [(name, *pair) for name, found in editions.compared().items() for pair in found]


@pytest.mark.parametrize(("name", "then", "now"), pairs())
def test_what_is_said_to_ask_the_same_is_answered_in_the_same_form_with_the_same_right_answers(name, then, now):
    exercise = sheets.find(*name.split("/"))
    released = [json.loads(path.read_text(encoding="utf-8")).get(name, {}) for path in TABLES.glob("*.json")]
    (known,) = [one for one in released if one.get("asked") == then]
    if editions.asked(exercise) == now:  # else the exercise has changed again, and the pair counts for nothing
        assert releases.has_the_same_answers(exercise, known)


@pytest.fixture
def project(tmp_path):
    """A copy of the project's file and of the tables, to release from."""
    shutil.copy(PROJECT, tmp_path / "pyproject.toml")
    shutil.copytree(TABLES, tmp_path / "editions")
    return tmp_path


def test_a_release_writes_the_version_and_a_table_from_which_nothing_differs(project):
    path = releases.release("9.1.0", project / "pyproject.toml", project / "editions")
    assert releases.version_of(project / "pyproject.toml") == "9.1.0"
    assert releases.newest(project / "editions") == path
    assert releases.differences(path) == []
    assert "workbook.panels.intake.rate_explorer" in json.loads((project / "lessons" / "9.1.0.json").read_text())
    assert releases.lines(project / "editions") == [
        f"0 of {len(releases.every_exercise())} exercises differ from version 9.1.0."
    ]


@pytest.mark.parametrize("version", ["0.1.0", "0.0.9", "1", "1.0", "1.0.0.dev0", "1.0.0-rc", "", "../1.0.0"])
def test_a_version_that_is_none_or_released_already_is_refused(version, project):
    with pytest.raises(Problem):
        releases.release(version, project / "pyproject.toml", project / "editions")
    assert releases.version_of(project / "pyproject.toml") == releases.version_of(PROJECT)


def changed(name, **changes):
    """Return an exercise with something changed in its first part, or in itself."""
    exercise = sheets.find(*name.split("/"))
    first, *others = exercise.parts
    of_part = {key: value for key, value in changes.items() if hasattr(first, key)}
    rest = {key: value for key, value in changes.items() if key not in of_part}
    return replace(exercise, parts=(replace(first, **of_part), *others), **rest)


@pytest.mark.parametrize(
    ("changes", "asked", "judged", "same"),
    [
        ({"ask": "What is the time constant?"}, True, True, True),
        ({"points": 3}, True, True, False),
        ({"within": absolute(1.0)}, True, True, False),
        ({"plausible": (0.1, 10)}, False, True, True),
        ({"slips": ()}, False, True, True),
        ({"judged_by": 2}, False, True, True),
        ({"expected": lambda g, a: 1.0}, False, True, False),
        ({"hint": "Think."}, False, False, True),
    ],
)
def test_each_change_reaches_the_edition_it_belongs_to(changes, asked, judged, same):
    before, after = sheets.find("profile", "bead-lag"), changed("profile/bead-lag", **changes)
    assert (editions.asked(before) != editions.asked(after)) == asked
    assert (editions.judged(before) != editions.judged(after)) == judged
    assert releases.has_the_same_answers(after, releases.edition_of(before)) == same


def test_a_pair_that_was_compared_holds_for_these_two_texts_only(monkeypatch):
    before, after = sheets.find("profile", "bead-lag"), changed("profile/bead-lag", ask="What is its time constant?")
    handed, now = editions.asked(before), editions.asked(after)
    assert not editions.asks_as_handed_out(after, "profile", handed)
    monkeypatch.setattr(editions, "compared", lambda: {"profile/bead-lag": [[handed, now]]})
    assert editions.asks_as_handed_out(after, "profile", handed)
    again = changed("profile/bead-lag", ask="How long is its time constant?")
    assert not editions.asks_as_handed_out(again, "profile", handed)
