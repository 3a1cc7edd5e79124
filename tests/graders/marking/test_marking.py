"""A cohort from handout to marks: nothing lost, one line for every bad file, the same marks everywhere."""

import csv
import json
import shutil
import stat

import pytest

from graders import commands, gradebook
from graders.cohort import record
from graders.cohort.paths import Cohort
from graders.cohort.roster import Learner
from graders.handout import handing_out
from graders.marking import mark_submission
from graders.marking import run as marking
from graders.marking.journal import Journal
from graders.questions.verdicts import Code, Verdict
from graders.report import pages
from tests.graders.cohorts import (
    add_to,
    all_findings,
    all_rows,
    exported,
    in_the_formgrader,
    keep_only,
    nbgrader,
    rows_now,
    scores,
    set_in,
)
from tests.graders.pages import as_read
from workbook.problems import Problem


def test_every_learner_has_own_numbers_and_no_answers(made):
    by_learner = {}
    for handed in record.HandoutRecord(made.record):
        by_learner.setdefault(handed.learner, {})[handed.exercise] = json.dumps(handed.givens)
        text = (made.handout(handed.learner) / handed.topic / f"{handed.notebook}.ipynb").read_text()
        assert "BEGIN SOLUTION" not in text
        assert '"outputs": []' in text
    assert len({json.dumps(numbers) for numbers in by_learner.values()}) == len(by_learner)


def test_the_key_is_readable_by_its_owner_only_and_is_copied_nowhere(made):
    key = (made.root / "cohort.key").read_text().strip()
    assert stat.S_IMODE((made.root / "cohort.key").stat().st_mode) == 0o600
    holders = [
        path
        for path in made.root.rglob("*")
        if path.is_file() and path.name != "cohort.key" and key.encode() in path.read_bytes()
    ]
    assert holders == []


def test_handing_out_again_adds_the_new_and_changes_nothing_else(fresh):
    before = {path: path.read_bytes() for path in (fresh.root / "handouts").rglob("*") if path.is_file()}
    record_before = fresh.record.read_text()
    handing_out.make([Learner("amber", "Another Name"), Learner("new", "New Example (invented)")], fresh.root)
    assert {path: path.read_bytes() for path in before} == before
    assert fresh.record.read_text().startswith(record_before)
    assert (fresh.handout("new") / "profile").is_dir()


def test_a_lost_handout_comes_back_with_the_same_numbers(fresh):
    notebook = next(fresh.handout("birch").rglob("*.ipynb"))
    before = notebook.read_bytes()
    shutil.rmtree(fresh.handout("birch"))
    handing_out.again(fresh, "birch")
    assert notebook.read_bytes() == before


def test_marks_and_export_and_gradebook_say_the_same(fresh, pool):
    keep_only(fresh, "amber", "birch", "cedar", "dahlia", "elder", "fern")
    summary = marking.mark(fresh, pool)
    assert len(summary.marked) == 6
    with fresh.marks.open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert list(rows[0]) == [
        "learner",
        "topic",
        "exercise",
        "part",
        "points",
        "out_of",
        "verdict",
        "flag",
        "remark",
        "comment",
    ]
    nbgrader(fresh, "export")
    with (fresh.root / "grades.csv").open(newline="") as file:
        exported = {line["student_id"]: float(line["score"] or 0) for line in csv.DictReader(file)}
    for learner, score in exported.items():
        assert score == pytest.approx(sum(float(row["points"]) for row in rows if row["learner"] == learner))
    held = scores(fresh)
    names = {(one.learner, one.exercise): one.notebook for one in record.HandoutRecord(fresh.record)}
    for row in rows:
        if row["verdict"] != Code.NOT_HANDED_IN.label:
            score, _ = held[row["learner"], names[row["learner"], row["exercise"]], row["part"]]
            assert score == float(row["points"])


def test_each_habit_is_told_apart(fresh, pool):
    keep_only(fresh, "amber", "birch", "cedar", "dahlia", "elder", "fern")
    marking.mark(fresh, pool)
    rows = all_rows(fresh)

    def verdicts(learner):
        return [row.verdict for row in rows if row.learner == learner]

    assert set(verdicts("amber")) == set(verdicts("elder")) == {"right"}
    assert {"right", Code.NOT_YET} == set(verdicts("birch"))
    assert "slip" in verdicts("cedar")
    assert Code.CARRIED_THROUGH in verdicts("dahlia")
    assert "right" not in verdicts("fern")


def test_marking_again_marks_only_what_changed(fresh, pool):
    keep_only(fresh, "amber", "birch")
    marking.mark(fresh, pool)
    notebook = next(fresh.submitted("birch", "profile").glob("*.ipynb"))
    notebook.write_text(notebook.read_text().replace("Check my answers", "Check  my answers"))
    summary = marking.mark(fresh, pool)
    assert summary.marked == (("birch", "profile"),)
    assert summary.unchanged == 1


BAD_FILES = {
    "empty": (b"", "is empty"),
    "cut off": (b'{"cells": [{"cell_type": "code", "sou', "cut off"),
    "no JSON": (b"%PDF-1.7 this is no notebook", "cut off or is no notebook"),
    "JSON, no notebook": (b'{"a": 1}', "is JSON, but no notebook"),
    "a list": (b"[1, 2]", "is JSON, but no notebook"),
    "not UTF-8": ("{é}".encode("latin-1"), "is not UTF-8"),
    "deep": (b"[" * 200_000, "not valid JSON"),
    "cells of another kind": (b'{"nbformat": 4, "cells": [1, 2]}', "is no cell"),
    "old format": (b'{"nbformat": 3, "worksheets": []}', "old format"),
}


@pytest.mark.parametrize("kind", BAD_FILES)
def test_a_bad_file_is_one_clear_line_and_the_rest_is_marked(kind, fresh, pool):
    keep_only(fresh, "amber", "birch")
    content, words = BAD_FILES[kind]
    victim = sorted(fresh.submitted("amber", "profile").glob("*.ipynb"))[0]
    victim.write_bytes(content)
    summary = marking.mark(fresh, pool)
    (line,) = summary.problems
    assert "amber / profile / 01_read-the-log.ipynb" in line
    assert words in line
    assert "\n" not in line
    rows = [row for row in all_rows(fresh) if row.learner == "amber"]
    broken = {(row.verdict, row.points) for row in rows if row.exercise == "read-the-log"}
    assert broken == {(Code.NEEDS_A_LOOK, 0)}
    assert {row.verdict for row in rows if row.exercise != "read-the-log"} == {"right"}
    assert victim.read_bytes() == content, "what came is kept as it came"


def test_a_200_megabyte_notebook_is_refused_without_being_read(fresh, pool):
    keep_only(fresh, "amber")
    victim = sorted(fresh.submitted("amber", "profile").glob("*.ipynb"))[0]
    with victim.open("wb") as file:
        file.truncate(200_000_000)
    (line,) = marking.mark(fresh, pool).problems
    assert "too large (200 MB" in line


def test_a_missing_marking_cell_needs_a_look_and_the_others_are_marked(fresh, pool):
    keep_only(fresh, "amber")
    path = fresh.submitted("amber", "profile") / "04_bead-lag.ipynb"
    notebook = json.loads(path.read_text())
    notebook["cells"] = [cell for cell in notebook["cells"] if cell["id"] != "lag"]
    path.write_text(json.dumps(notebook))
    marking.mark(fresh, pool)
    found = {row.part: row for row in all_rows(fresh) if row.exercise == "bead-lag" and row.learner == "amber"}
    assert (found["lag"].verdict, found["lag"].flag) == (Code.NEEDS_A_LOOK, "cell missing")
    assert found["time_constant"].verdict == found["reads"].verdict == "right"
    assert scores(fresh)["amber", "04_bead-lag", "lag"] == (None, True)


def test_a_renamed_file_and_a_stranger_are_one_line_each_and_left_alone(fresh, pool):
    keep_only(fresh, "amber")
    folder = fresh.submitted("amber", "profile")
    (folder / "04_bead-lag.ipynb").rename(folder / "my bead lag (1).ipynb")
    shutil.copytree(folder, fresh.submitted("nobody", "profile"))
    problems = marking.mark(fresh, pool).problems
    assert len(problems) == 2
    assert "my bead lag (1).ipynb has a name that was not handed out" in problems[0]
    assert problems[1].startswith("nobody: no learner of this cohort")
    assert (folder / "my bead lag (1).ipynb").is_file()
    rows = [row for row in all_rows(fresh) if row.exercise == "bead-lag" and row.learner == "amber"]
    assert {row.verdict for row in rows} == {Code.NOT_HANDED_IN}


@pytest.mark.parametrize("what", ["edited", "deleted", "assigned again"])
def test_the_records_numbers_decide_whatever_happens_to_the_givens(what, fresh, pool):
    keep_only(fresh, "amber")
    path = fresh.submitted("amber", "profile") / "04_bead-lag.ipynb"
    notebook = json.loads(path.read_text())
    givens = next(cell for cell in notebook["cells"] if cell["id"] == "givens")
    if what == "edited":
        givens["source"] = "diameter = density = specific_heat = film = ramp = 1.0\nfrom math import pi"
    elif what == "deleted":
        notebook["cells"].remove(givens)
    else:
        notebook["cells"].insert(-1, {"cell_type": "code", "source": "film = 1", "metadata": {}, "id": "x"})
    path.write_text(json.dumps(notebook))
    marking.mark(fresh, pool)
    rows = [row for row in all_rows(fresh) if row.exercise == "bead-lag" and row.learner == "amber"]
    assert {row.verdict for row in rows} == {"right"}


def test_a_manual_mark_survives_a_re_mark_and_stands_in_the_report(fresh, pool):
    from nbgrader.api import Grade

    keep_only(fresh, "cedar")
    marking.mark(fresh, pool)
    with gradebook.of(fresh).opened() as book:
        grade = next(
            g for g in book.db.query(Grade) if g.cell.name == "lag" and g.notebook.assignment.student_id == "cedar"
        )
        grade.manual_score = 1.0
        book.db.commit()
    fresh.journal.unlink()
    marking.mark(fresh, pool)
    rows = rows_now(fresh)
    (row,) = [row for row in rows if row.part == "lag" and row.learner == "cedar"]
    assert (row.points, row.verdict, row.flag) == (1.0, Code.MARKED_BY_HAND, "changed by hand")


@pytest.mark.parametrize(("flag", "automatic"), [("", 0.5), ("by hand", None), ("cell missing", None)])
def test_a_mark_by_hand_stands_over_the_judges_points_where_the_judge_gave_any(flag, automatic):
    verdict = Verdict("lag", 0.5, 1, Code.PARTLY, "", flag)
    assert mark_submission._basis(verdict, {"lag": "a digest"}) == ("a digest", automatic)


def test_a_damaged_gradebook_is_one_clear_line(fresh, pool):
    keep_only(fresh, "amber")
    fresh.database.write_bytes(b"this is no database at all, not even nearly one")
    with pytest.raises(Problem, match="gradebook.db cannot be used"):
        marking.mark(fresh, pool)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("topics = [", "cannot be read"),
        ('topics = ["soldering"]', "topics must be"),
        ('fresh_number = "half"', "unknown setting 'fresh_number'"),
        ('fresh_numbers = "all"', "fresh_numbers must be"),
        ("[[void]]\npart = 'x'", "needs exercise, part, points, reason, topic"),
    ],
)
def test_a_bad_setting_is_one_clear_line(text, words, made, tmp_path):
    shutil.copy(made.root / "cohort.toml", tmp_path)
    (tmp_path / "cohort.toml").write_text(text)
    with pytest.raises(Problem, match=words):
        Cohort.open(tmp_path).settings()


def test_an_instructor_sees_one_error_and_one_tip_line(tmp_path):
    from click.testing import CliRunner

    from graders.cli import main

    result = CliRunner().invoke(main, ["mark", str(tmp_path)])
    assert result.exit_code == 1
    error, tip = result.stderr.splitlines()
    assert error.startswith("ERROR  ")
    assert tip.startswith("TIP    ")


def test_a_machine_that_cannot_contain_refuses_strangers_notebooks(monkeypatch, fresh):
    def refuse(self):
        raise commands.contained.CannotContain("there are no user namespaces")

    monkeypatch.setattr(commands.contained.Contained, "__enter__", refuse)
    with pytest.raises(Problem, match="no user namespaces"):
        commands.mark(fresh.root)


@pytest.mark.parametrize(("points", "cedars", "out_of"), [("drop", 0, 0), ("full", 1, 1)])
def test_a_voided_part_counts_for_nobody_or_fully_for_everybody_and_says_why(points, cedars, out_of, fresh, pool):
    keep_only(fresh, "amber", "cedar")
    void = f'[[void]]\ntopic = "profile"\nexercise = "bead-lag"\npart = "lag"\npoints = "{points}"\nreason = "misprint"'
    add_to(fresh, void)
    marking.mark(fresh, pool)
    rows = {(row.learner, row.part): row for row in all_rows(fresh) if row.exercise == "bead-lag"}
    assert (rows["cedar", "lag"].points, rows["cedar", "lag"].out_of) == (cedars, out_of)
    assert "misprint" in rows["cedar", "lag"].remark
    everything = [row for row in all_rows(fresh) if row.learner == "amber"]
    assert exported(fresh)["amber"] == (sum(row.points for row in everything), sum(row.out_of for row in everything))


def test_what_comes_late_earns_nothing_where_the_cohort_says_so_and_an_extension_saves_it(fresh, pool):
    keep_only(fresh, "amber", "elder")
    set_in(fresh, 'late = "none"', 'late = "zero"')
    set_in(fresh, "due = {}", "due = { profile = 2026-12-01T18:00:00 }")
    set_in(fresh, "extensions = {}", 'extensions = { "elder/profile" = 48 }')
    for learner in ("amber", "elder"):
        (fresh.submitted(learner, "profile") / "timestamp.txt").write_text("2026-12-02 10:00:00 UTC\n")
    marking.mark(fresh, pool)
    rows = all_rows(fresh)
    earned = {name: sum(row.points for row in rows if row.learner == name) for name in ("amber", "elder")}
    assert earned["amber"] == 0
    assert {row.flag for row in rows if row.learner == "amber"} == {"late"}
    assert earned["elder"] > 0
    assert {name: score for name, (score, _) in exported(fresh).items() if name in earned} == earned


def test_what_comes_a_day_late_loses_its_share_by_hand_too_and_nbgrader_says_the_same(fresh, pool):
    keep_only(fresh, "amber", "cedar", "elder")
    set_in(fresh, 'late = "none"', 'late = "10 % a day"')
    set_in(fresh, "due = {}", "due = { profile = 2026-12-01T18:00:00Z }")
    set_in(fresh, "extensions = {}", 'extensions = { "elder/profile" = 2026-12-02T20:00:00Z }')
    for learner in ("amber", "cedar", "elder"):
        (fresh.submitted(learner, "profile") / "timestamp.txt").write_text("2026-12-02 19:00:00 UTC\n")
    marking.mark(fresh, pool)
    in_the_formgrader(fresh, "cedar", "bead-lag", "lag", score=0.5)
    marking.mark(fresh, pool)
    rows = rows_now(fresh)
    lag = {row.learner: row for row in rows if row.part == "lag"}
    assert {name: row.points for name, row in lag.items() if row.out_of and name in ("amber", "cedar", "elder")} == {
        "amber": 0.8,
        "cedar": 0.4,
        "elder": 1.0,
    }
    assert (lag["amber"].flag, lag["elder"].flag) == ("late", "")
    assert "so 80 % of it counts" in lag["amber"].remark
    earned = {name: sum(row.points for row in rows if row.learner == name) for name in ("amber", "cedar", "elder")}
    said = exported(fresh)
    assert {name: round(said[name][0], 3) for name in earned} == {n: round(points, 3) for n, points in earned.items()}
    report = as_read(pages.everything(fresh).read_text(encoding="utf-8"))
    assert (
        "Late: amber / profile, came 2026-12-02 19:00 (UTC), due 2026-12-01 18:00 (UTC): late, 2 days begun." in report
    )
    assert "loses 10 % of its points for each day begun" in report
    page = fresh.feedback("elder", "profile").read_text(encoding="utf-8")
    assert "Your work came 2026-12-02 19:00 (UTC), due 2026-12-02 20:00 (UTC)." in page


@pytest.mark.contained
@pytest.mark.slow
def test_nbgraders_own_command_takes_the_same_off_late_work(fresh, pool):
    keep_only(fresh, "amber")
    set_in(fresh, 'late = "none"', 'late = "10 % a day"')
    set_in(fresh, "due = {}", "due = { profile = 2026-12-01T18:00:00Z }")
    (fresh.submitted("amber", "profile") / "timestamp.txt").write_text("2026-12-02 19:00:00 UTC\n")
    marking.mark(fresh, pool)
    ours = exported(fresh)["amber"]
    assert ours[0] < ours[1]
    nbgrader(fresh, "autograde", "profile", "--force")
    assert exported(fresh)["amber"] == pytest.approx(ours)


@pytest.mark.parametrize(("policy", "share"), [("flag", 1), ("half", 0.5), ("zero", 0)])
def test_typed_numbers_are_found_and_cost_what_the_policy_says(policy, share, fresh, pool):
    keep_only(fresh, "amber", "elder")
    cohort = Cohort(fresh.root, policy)
    marking.mark(cohort, pool)
    found = {(f.learner, f.finding) for f in all_findings(fresh)}
    assert ("amber", "follows the givens") in found
    assert ("elder", "bare number") in found
    assert ("amber", "bare number") not in found
    lag = {row.learner: row for row in all_rows(fresh) if row.part == "time_constant"}
    assert (lag["amber"].points, lag["elder"].points) == (2, 2 * share)
    assert scores(fresh)["elder", "04_bead-lag", "time_constant"] == (2 * share, False)
    assert {result.fresh_numbers for result in Journal(fresh.journal)} == {policy}
    said = pages.everything(Cohort(fresh.root)).read_text(encoding="utf-8")
    assert (f"marked with --fresh-numbers {policy}, where cohort.toml says flag" in said) == (policy != "flag")
