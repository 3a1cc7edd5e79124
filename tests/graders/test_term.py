"""A whole invented term, as an instructor goes through it: 24 learners, six weeks, and every file that comes of it."""

import csv
import email
import json
import zipfile
from collections import Counter
from email.policy import SMTP

import pytest
from click.testing import CliRunner

from graders.cli import main
from graders.cohort import differences, roster
from graders.cohort.paths import Cohort
from graders.cohort.record import HandoutRecord
from graders.demo import term
from graders.handout.handing_out import printable_topics
from graders.marking import marks_csv
from graders.questions.verdicts import Code
from workbook.server import folder

pandas = pytest.importorskip("pandas", reason="needs pandas: pip install 'rework-workbook[test]'")
pytestmark = [pytest.mark.slow, pytest.mark.contained]

THERE = 23
"""Learners who are still there at the end: one of 24 has left."""


@pytest.fixture(scope="module")
def ran(tmp_path_factory):
    """The cohort at the end of the term, and what was said on the way."""
    home = tmp_path_factory.mktemp("term") / "trial"
    result = CliRunner().invoke(main, ["demo", "--term", "--to", str(home)])
    assert result.exit_code == 0, result.output
    return Cohort.open(home / "spring"), result.output


@pytest.fixture(scope="module")
def spring(ran):
    return ran[0]


def opened(path):
    """Open a table as a spreadsheet of a decimal-comma country does."""
    return pandas.read_csv(path, sep=";", decimal=",", encoding="utf-8-sig").set_index("id")


def test_everybody_has_every_topic_in_own_numbers_and_nothing_disagrees(spring):
    record = HandoutRecord(spring.record)
    assert len(record.learners) == 24
    for learner in record.learners:
        topics = set(record.by_topic(learner))
        assert topics == set(printable_topics()[: term.LEAVES_IN - 1] if learner == term.LEAVER else printable_topics())
        with zipfile.ZipFile(spring.handout_of(learner)) as archive:
            assert len(archive.namelist()) == 2 * len(topics)
    givens = [json.dumps(one.givens) for one in record if one.exercise == "decide-on-a-reading"]
    assert len(set(givens)) == len(givens)
    assert differences.lines(spring, record) == []


def test_a_week_later_the_new_topic_opens_alone_in_the_folder_that_is_there(spring, tmp_path):
    names = set()
    for path in (spring.handout_of("amber"), *(spring.root / "handouts").glob("amber+*.zip")):
        name, files = folder.unpacked(path)
        names.add(name)
        folder.lay_out(tmp_path / name, files)
    assert names == {"amber"}
    assert len(list((spring.root / "handouts").glob("amber+*.zip"))) == 5


def test_totals_open_as_numbers_with_one_row_a_learner_and_sum_up_what_is_in_the_marks(spring):
    table = opened(spring.totals)
    assert len(table) == 24
    numbers = [*printable_topics(), "total", "out of", "per cent", "points before", "waiting"]
    assert all(table[head].dtype.kind in "fi" for head in numbers)
    sums = Counter()
    for row in marks_csv.each_row_now(spring):
        sums[row.learner] += row.points
    for learner, total in table["total"].items():
        assert total == pytest.approx(sums[learner], abs=1e-6)
    assert table.loc["sage", "name"].startswith("Sagé")
    assert table.loc[term.LEAVER, "left"] == "left"
    assert set(table["pass"]) <= {"yes", "no", "waits"}


def test_learners_are_no_copies_of_each_other_and_hardly_anybody_is_at_nothing(spring):
    shares = opened(spring.totals)["per cent"]
    assert len(set(shares)) >= 22
    assert (shares == 0).sum() == 0
    assert (shares < 10).sum() <= 1
    assert shares.max() - shares.min() > 40


def test_each_day_late_costs_a_tenth_and_an_extension_nothing(spring):
    late = opened(spring.totals)["late"].fillna("")
    topics = printable_topics()
    for (learner, week), days in term.LATE.items():
        extended = (learner, week) in term.EXTENDED
        assert (topics[week - 1] in late[learner]) != extended
        rows = [r for r in marks_csv.each_row_now(spring) if (r.learner, r.topic) == (learner, topics[week - 1])]
        full = [r.points for r in rows if r.verdict is Code.RIGHT]
        out_of = [r.out_of for r in rows if r.verdict is Code.RIGHT]
        assert full == pytest.approx([n * (1 if extended else 1 - days / 10) for n in out_of])
    assert late[term.LATE_COMER] == ""


def test_what_did_not_come_counts_nothing_and_what_waits_is_not_lost(spring):
    table, topics = opened(spring.totals), printable_topics()
    for learner, week in term.MISSING:
        if learner != term.LEAVER:
            assert topics[week - 1] in table.loc[learner, "not handed in"]
    waiting = table["waiting"]
    assert (waiting > 0).sum() > 10
    assert set(opened(spring.totals)["to come"].dropna()) == set()


def test_a_platform_gets_points_of_all_that_is_final_and_nothing_else(spring):
    table = pandas.read_csv(spring.for_import).set_index("id")
    totals = opened(spring.totals)
    assert len(table) == THERE
    for topic in printable_topics():
        head = next(head for head in table.columns if head.startswith(f"{topic} (out of "))
        given = table[head].dropna()
        assert (given <= float(head.rpartition(" ")[2].rstrip(")"))).all()
        for learner, points in given.items():
            assert points == pytest.approx(totals.loc[learner, topic], abs=1e-3)
    last = table[table.columns[-1]]
    assert all(last.isna()[learner] for learner in table.index if totals.loc[learner, "waiting"] > 0)


def test_the_held_notebooks_count_for_whom_they_were_accepted_and_are_gone_from_the_held(spring):
    assert not any((spring.root / "held").iterdir())
    assert len(spring.accepted.read_text().splitlines()) == 2
    rows = [r for r in marks_csv.each_row_now(spring) if (r.learner, r.topic) == (term.HELD, printable_topics()[3])]
    assert rows
    assert not [row for row in rows if row.verdict is Code.NOT_HANDED_IN]


def test_a_dropped_part_is_out_of_nothing_for_everybody(spring):
    rows = [row for row in marks_csv.each_row_now(spring) if row.verdict is Code.DROPPED]
    assert len(rows) >= 20
    assert all((row.points, row.out_of) == (0, 0) for row in rows)


def test_each_mail_holds_its_own_learners_feedback(spring):
    mails = sorted((spring.root / "mails" / "feedback").glob("*.eml"))
    assert len(mails) == THERE
    for path in mails:
        mail = email.message_from_bytes(path.read_bytes(), policy=SMTP)
        assert mail["To"] == f"{path.stem}@example.org"
        (attached,) = mail.iter_attachments()
        assert attached.get_content() == (spring.root / "feedback_pages" / f"{path.stem}.zip").read_bytes()


def test_every_table_is_read_whole_by_the_csv_reader_of_python(spring):
    for path, delimiter in ((spring.marks, ","), (spring.totals, ";"), (spring.for_import, ",")):
        with path.open(encoding="utf-8-sig", newline="") as file:
            lines = list(csv.reader(file, delimiter=delimiter))
        assert len({len(line) for line in lines}) == 1, path
    assert roster.manner(spring.roster).decimal == ","


def test_nobody_is_named_on_the_page_for_the_class(spring):
    page = (spring.root / "report" / "class.html").read_text(encoding="utf-8")
    assert not [one.name for one in roster.read(spring.roster) if one.name in page or one.id in page]
