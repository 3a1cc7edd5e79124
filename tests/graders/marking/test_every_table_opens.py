"""Every table of a cohort opens in a general-purpose library, as a spreadsheet of that country reads it."""

from dataclasses import replace

import pytest
from click.testing import CliRunner

from graders.cli import main
from graders.cohort import roster
from graders.cohort.tables import Manner
from graders.marking import marks_csv, run, totals
from tests.graders.cohorts import keep_only

pandas = pytest.importorskip("pandas", reason="needs pandas: pip install 'rework-workbook[test]'")

HARD = 'Lé Ø; "the quick", =1+1 (invented)'
ALWAYS_PLAIN = ("marks.csv", "import.csv", "kept.csv")
"""For programs, comma and point in every country; all others are written as the list of learners is."""


@pytest.fixture
def cohort(fresh, pool):
    """The cohort of the tests with one learner's marks, names that are hard to write into a table, and addresses."""
    keep_only(fresh, "amber")
    run.mark(fresh, pool)
    return fresh


def test_every_table_opens_with_names_whole_and_numbers_as_numbers(cohort, tmp_path):
    people = [
        replace(one, name=HARD if one.id == "amber" else one.name, others=(("email", f"{one.id}@example.org"),))
        for one in roster.read(cohort.roster)
    ]
    for place, manner in enumerate((Manner(), Manner(";", ","), Manner("\t", ","))):
        cohort.roster.write_text(roster.text_of(people, manner), encoding="utf-8")
        opens_as(cohort, manner, tmp_path / str(place), [one.id for one in people])


def opens_as(cohort, manner, outside, ids):
    """Write every table there is, and open each."""
    outside.mkdir()
    cohort.paper_table("profile").unlink(missing_ok=True)
    totals.write(cohort, marks_csv.each_row_now(cohort))
    for words in (["paper", cohort.root, "profile"], ["mails", cohort.root, "handouts"]):
        assert CliRunner().invoke(main, list(map(str, words))).exit_code == 0
    assert CliRunner().invoke(main, ["anonymise", str(cohort.root), str(outside / "kept.csv")]).exit_code == 0
    written = [*cohort.root.glob("*.csv"), *cohort.root.glob("report/*.csv"), *cohort.root.glob("mails/**/*.csv")]
    written.append(outside / "kept.csv")
    names = {path.name for path in written}
    assert names >= {"learners.csv", "paper-profile.csv", "marks.csv", "totals.csv", "import.csv", "list.csv"}
    for path in written:
        one = Manner() if path.name in ALWAYS_PLAIN else manner
        sheet = pandas.read_csv(path, sep=one.delimiter, decimal=one.decimal, encoding="utf-8-sig")
        assert len(sheet.columns) > 2, path
        assert not sheet.columns.str.startswith("Unnamed").any(), path
        assert not sheet.columns.str.contains("\ufeff").any(), path
        if "id" in sheet:
            assert list(sheet["id"]) == ids, path
        if "name" in sheet:
            assert sheet["name"][0].removeprefix("'") == HARD, path
        for head in ("points", "out_of", "total", "out of"):
            if head in sheet:
                assert sheet[head].dtype.kind in "if", (path, head)
