"""The report of a large cohort: light pages that say together what one page says of a small one."""

import re
import shutil

import pytest
from click.testing import CliRunner

from graders.cli import main
from graders.cohort.paths import Cohort
from graders.marking import run
from graders.report import cohort_page, pages
from tests.graders.cohorts import keep_only


class Page:
    """A page's links, and its tables as rows of text."""

    def __init__(self, path):
        text = path.read_text(encoding="utf-8")
        self.links = re.findall(r'href="([^"]*)"', text)
        self.rows = [re.sub("<[^>]*>", " ", row) for row in re.findall("<tr.*?</tr>", text, re.DOTALL)]


@pytest.fixture(scope="module")
def marked(made, pool, tmp_path_factory):
    cohort = Cohort.open(shutil.copytree(made.root, tmp_path_factory.mktemp("large") / "spring"))
    keep_only(cohort, "amber", "birch", "cedar", "dahlia", "elder")
    run.mark(cohort, pool)
    return cohort


@pytest.fixture(scope="module")
def whole(marked):
    pages.everything(marked)
    return {path.name: Page(path) for path in (marked.root / "report").glob("report*.html")}


@pytest.fixture
def parted(marked, whole, monkeypatch):
    monkeypatch.setattr(cohort_page, "LEARNERS_A_PAGE", 3)
    pages.everything(marked)
    return {path.name: Page(path) for path in (marked.root / "report").glob("report*.html")}


def told(made):
    """Return the rows of all tables that name a learner or a part, and not only say how many."""
    return {row for page in made.values() for row in page.rows if re.search("Invented|:", row)}


def test_the_parted_report_says_what_the_whole_one_says(whole, parted):
    assert told(whole) <= told(parted)
    assert any("Fern" in row for row in told(parted)), "who handed in nothing too"


def test_every_page_is_reached_from_the_first_and_no_way_is_dead(marked, parted):
    assert len(parted) == 2 + 3 * 2, "an index, a topic, and three groups of learners on each"
    reached, new = set(), {cohort_page.INDEX}
    while new:
        reached |= new
        new = {link for name in new for link in parted[name].links if link in parted} - reached
    assert reached == set(parted)
    for page in parted.values():
        for link in page.links:
            place = link.partition("#")[0]
            assert not place or (marked.root / "report" / place).is_file(), link


def test_no_page_holds_more_learners_than_it_may(parted):
    for name, page in parted.items():
        people = {found for row in page.rows for found in re.findall(r"\w+ \(invented\)|\w+ Invented", row)}
        assert len(people) <= 3, name


def test_pages_of_a_report_that_was_larger_do_not_stay(marked, parted, monkeypatch):
    monkeypatch.setattr(cohort_page, "LEARNERS_A_PAGE", 500)
    pages.everything(marked)
    assert {path.name for path in (marked.root / "report").glob("report*.html")} == {
        cohort_page.INDEX,
        "report-profile.html",
    }


def test_a_report_waits_for_a_marking_and_says_so(marked):
    """It writes marks.csv and the copy of marks by hand, as a marking does: two at once would mix."""
    with marked.locked():
        told = CliRunner().invoke(main, ["report", str(marked.root)])
    assert told.exit_code == 1
    error, tip = told.stderr.splitlines()
    assert "being marked already" in error
    assert "wait" in tip
