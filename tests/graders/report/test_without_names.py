"""Pages and files without persons hold none; this term beside an earlier one says no more than the numbers do."""

import csv
import shutil
from dataclasses import replace

import pytest

from graders import commands
from graders.cohort.paths import Cohort
from graders.judging.marks import Row
from graders.marking import marks_csv, run
from graders.questions.verdicts import Code
from graders.report import anonymous, beside_page, class_page, pages
from tests.graders.cohorts import rows_now
from tests.graders.pages import as_read
from workbook.problems import Problem


@pytest.fixture(scope="module")
def marked(made, tmp_path_factory, pool):
    """The small cohort, marked, with names that can be found anywhere."""
    root = tmp_path_factory.mktemp("nameless") / "spring"
    shutil.copytree(made.root, root)
    text = (root / "learners.csv").read_text(encoding="utf-8")
    (root / "learners.csv").write_text(text.replace("Example (invented)", "Zzyzx"), encoding="utf-8")
    cohort = Cohort(root)
    run.mark(cohort, pool)
    return cohort


def progress_of(learners):
    """Return how far a class is, from the rows of each learner."""
    progress = class_page.ClassProgress()
    for rows in learners:
        progress.add(rows)
    return progress


def who(cohort):
    return [*marks_csv.names(cohort), "Zzyzx"]


def test_the_class_page_names_nobody_and_says_how_many_handed_in(marked):
    marks = marks_csv.Marks.of(marked)
    progress = progress_of(rows for _, rows in marks.by_learner())
    page = pages.class_progress(marked, progress, marks).read_text(encoding="utf-8")
    assert not [one for one in who(marked) if one in page]
    assert "8 of 8 handed in" in page


def row(learner, points, verdict=Code.RIGHT, flag="", part="lag"):
    return Row(learner, "profile", "bead-lag", part, points, 1, verdict, flag, f"You {flag}." if flag else "")


def test_of_a_few_the_class_page_shows_no_share_and_no_slip():
    for many, shown in ((7, False), (8, True)):
        progress = progress_of([row(f"l{n}", 0.5, Code.SLIP, "took the diameter")] for n in range(many))
        page = class_page.page("Spring", progress, many, "now")
        assert ("of the points" in page) == shown
        assert ("took the diameter" in page) == shown


def test_an_export_holds_the_marks_and_nobody(marked, tmp_path):
    path = tmp_path / "spring.csv"
    assert anonymous.export(marked, path) == 8
    content = path.read_text(encoding="utf-8-sig")
    assert not [one for one in who(marked) if one in content]
    lines = list(csv.DictReader(content.splitlines()))
    assert sorted({int(line["learner"]) for line in lines}) == list(range(1, 9))
    rows = rows_now(marked)
    assert len(lines) == len(rows)
    assert sum(float(line["points"]) for line in lines) == pytest.approx(sum(one.points for one in rows))
    with pytest.raises(Problem, match="there already"):
        anonymous.export(marked, path)


def test_an_export_holds_names_of_slips_and_no_remark_and_says_that_lateness_shows(
    marked, tmp_path, monkeypatch, capsys
):
    last = "It came after its due time, so 80 % of it counts."
    rows = [
        row("amber", 0.4, Code.SLIP, "late; took the diameter"),
        replace(row("birch", 0.4, Code.SLIP, "late"), remark=f"That is Amber's. {last}"),
        replace(row("cedar", 0.5, Code.SLIP), remark="That is Amber's."),
    ]
    monkeypatch.setattr(anonymous.marks_csv, "each_row_now", lambda cohort: iter(rows))
    commands.anonymise(marked.root, tmp_path / "spring.csv")
    content = (tmp_path / "spring.csv").read_text(encoding="utf-8-sig")
    assert sorted(line["slip"] for line in csv.DictReader(content.splitlines())) == ["", "", "took the diameter"]
    assert "That is" not in content
    assert "Where late work lost points, that shows in them." in capsys.readouterr().out


def test_two_exports_cannot_be_laid_together_by_their_numbers(marked, tmp_path):
    """Among 8! orders the same one comes twice in 40 320 times."""
    orders = []
    for name in ("a.csv", "b.csv"):
        anonymous.export(marked, tmp_path / name)
        by_number = {}
        for one in anonymous.read(tmp_path / name).rows:
            by_number.setdefault(int(one.learner), []).append((one.part, one.points))
        orders.append([tuple(by_number[number]) for number in sorted(by_number)])
    assert sorted(orders[0]) == sorted(orders[1])
    assert orders[0] != orders[1]


def test_what_was_exported_is_read_back_as_the_cohort_itself(marked, tmp_path):
    anonymous.export(marked, tmp_path / "spring.csv")
    back, now = anonymous.read(tmp_path / "spring.csv"), anonymous.read(marked.root)
    assert back.editions == now.editions
    counts = pages.cohort_page.statistics.counts
    apart = anonymous.shares(back.rows, counts), anonymous.shares(now.rows, counts)
    assert {place: sorted(of) for place, of in apart[0].items()} == {
        place: sorted(of) for place, of in apart[1].items()
    }


HEAD = ",".join(anonymous.HEADS)
GOOD = "1,profile,bead-lag,e,lag,1,2,right,"


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"hello",
        HEAD.encode(),
        f"{HEAD}\n{GOOD}\n1,profile\n".encode(),
        f"{HEAD}\n{GOOD.replace(',1,2', ',x,2')}\n".encode(),
        f"{HEAD}\n{GOOD.replace(',1,2', ',nan,2')}\n".encode(),
        f"{HEAD}\n{GOOD.replace('right', 'brilliant')}\n".encode(),
        f"{HEAD}\n{GOOD.replace(',1,2', ',1,-2')}\n".encode(),
        b"\xff\xfe",
        f'{HEAD}\n"{"x" * 200_000}"\n'.encode(),
    ],
)
def test_what_is_no_export_is_one_clear_line(content, tmp_path):
    (tmp_path / "x.csv").write_bytes(content)
    with pytest.raises(Problem) as refused:
        anonymous.read(tmp_path / "x.csv")
    assert "x.csv" in str(refused.value)
    assert refused.value.tip


def term(share, many=20, edition="e"):
    rows = tuple(row(str(n), float(n < share * many)) for n in range(many))
    return anonymous.Term(rows, {("profile", "bead-lag"): frozenset({edition})})


@pytest.mark.parametrize(
    ("now", "then", "said"),
    [
        (term(0.9), term(0.3), "better"),
        (term(0.3), term(0.9), "worse"),
        (term(0.6), term(0.5), ""),
        (term(0.9, many=6), term(0.1, many=6), ""),
        (term(0.9, edition="other"), term(0.3), "asked otherwise"),
    ],
)
def test_a_difference_is_told_beyond_chance_of_enough_learners_and_of_the_same_question(now, then, said):
    page = beside_page.page("Spring", now, "last", then)
    assert f"<td>{said}</td></tr>" in page


def test_the_command_lays_a_cohort_beside_an_exported_one(marked, tmp_path):
    commands.anonymise(marked.root, tmp_path / "last.csv")
    page = commands.compare(marked.root, tmp_path / "last.csv").read_text(encoding="utf-8")
    assert "profile: bead-lag: lag" in page
    assert "+0 %" in as_read(page)
    assert not [one for one in who(marked) if one in page]
