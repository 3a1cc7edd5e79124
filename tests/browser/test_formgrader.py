"""The real formgrader in a cohort's folder: our marks, marks by hand over ours, its own button, no learner's script."""

import contextlib
import csv
import json
import os
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest

from graders import gradebook
from graders.cohort.roster import Learner
from graders.demo import learners
from graders.handout import handing_out
from graders.judging.marks import OLDER_ANSWER, needs_a_look
from graders.marking import run as marking
from graders.questions.verdicts import Code
from graders.runner import contained
from tests.graders.cohorts import keep_only, rows_now, scores
from tests.graders.pages import as_read

pytestmark = [pytest.mark.browser, pytest.mark.slow]

EVIL = [
    {
        "cell_type": "markdown",
        "id": "text",
        "metadata": {},
        "source": "<script>document.title='owned'</script><img src=x onerror=\"document.title='owned'\"> hello",
    },
    {
        "cell_type": "code",
        "id": "output",
        "metadata": {},
        "outputs": [],
        "execution_count": None,
        "source": "from IPython.display import HTML\nHTML(\"<script>document.title='owned'</script><b>bold</b>\")",
    },
]
WORDS = {"profile": ("why-from-below",)}


@pytest.fixture
def marked(fresh, pool):
    """A marked cohort in which amber also hands in scripts."""
    keep_only(fresh, "amber", "cedar")
    path = fresh.submitted("amber", "profile") / "04_bead-lag.ipynb"
    notebook = json.loads(path.read_text())
    notebook["cells"][2:2] = EVIL
    path.write_text(json.dumps(notebook))
    marking.mark(fresh, pool)
    return fresh


@contextlib.contextmanager
def served(cohort, tmp_path):
    """Serve JupyterLab with nbgrader's extensions, on loopback, in the cohort's folder."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    command = [sys.executable, "-P", "-m", "workbook.quick_start", "jupyterlab"]
    command += ["--no-browser", f"--port={port}", "--allow-root"]
    command += ["--IdentityProvider.token=", f"--ServerApp.root_dir={cohort.root}"]
    home = {"HOME": str(tmp_path), "JUPYTER_CONFIG_DIR": str(tmp_path / "config")}
    with open(tmp_path / "server.log", "w") as said:
        process = subprocess.Popen(command, cwd=cohort.root, env=os.environ | home, stdout=said, stderr=said)
    address = f"http://127.0.0.1:{port}"
    try:
        for _ in range(200):
            try:
                urllib.request.urlopen(f"{address}/api", timeout=2)
                break
            except OSError:
                time.sleep(0.3)
        yield address
    finally:
        process.terminate()
        process.wait(60)


@pytest.fixture
def server(marked, tmp_path):
    with served(marked, tmp_path) as address:
        yield address


@pytest.fixture
def in_words(tmp_path):
    """A marked cohort of one learner and one exercise, whose last part is answered in words."""
    cohort = handing_out.make([Learner("amber", "Amber (invented)")], tmp_path / "words", ("profile",), "", WORDS)
    learners.hand_in(cohort)
    graders("mark", cohort)
    return cohort


@pytest.fixture
def words_server(in_words, tmp_path):
    with served(in_words, tmp_path) as address:
        yield address


@pytest.fixture
def page(browser):
    context = browser.new_context(viewport={"width": 1200, "height": 1000})
    context.set_default_timeout(30_000)
    yield context.new_page()
    context.close()


def submission_id(cohort, learner, notebook):
    with gradebook.of(cohort).opened() as book:
        return book.find_submission_notebook(notebook, "profile", learner).id


def score_box(page, part):
    """Return the box of a part's score: nbgrader puts it into the panel headed by the part's name."""
    panels = page.locator(".panel", has=page.locator(f"code:text-is('{part}')"))
    return panels.last.locator("input.score").first


def test_it_shows_our_marks_takes_a_mark_by_hand_and_runs_no_script(marked, server, page):
    page.goto(f"{server}/formgrader/submissions/{submission_id(marked, 'amber', '04_bead-lag')}")
    page.wait_for_selector("input.score")
    page.wait_for_timeout(1500)
    assert page.title() == "04_bead-lag"
    assert page.evaluate("document.body.innerText").count("hello") == 1
    assert page.locator("img[onerror]").count() == 0
    for part, points in {"time_constant": "2", "lag": "1", "reads": "1"}.items():
        assert score_box(page, part).get_attribute("placeholder") == points
    box = score_box(page, "lag")
    box.fill("0.5")
    with page.expect_response(lambda reply: "/api/grade/" in reply.url and reply.request.method == "PUT"):
        box.press("Tab")
    rows = rows_now(marked)
    (row,) = [row for row in rows if (row.learner, row.part) == ("amber", "lag")]
    assert (row.points, row.verdict, row.flag) == (0.5, Code.MARKED_BY_HAND, "changed by hand")


@pytest.mark.contained
def test_its_autograde_button_marks_contained_and_gives_the_same_marks(marked, server, page):
    before = scores(marked)
    page.goto(f"{server}/formgrader/manage_submissions/profile")
    page.wait_for_selector("text=cedar")
    row = page.locator("tr", has_text="cedar")
    with page.expect_response(lambda reply: reply.url.endswith("/autograde"), timeout=90_000) as told:
        row.locator(".autograde a").click()
    assert told.value.json()["success"], told.value.json().get("log", "")
    assert scores(marked) == before


def graders(command, cohort):
    """Run a command as an instructor types it, and return what it prints."""
    words = [Path(sys.executable).parent / "graders", command, cohort.root]
    if command == "mark" and contained.why_not():
        words.append("--trust-submissions")
    environment = {"PATH": "/usr/bin:/bin", "COLUMNS": "200", "PYTHONPATH": os.environ.get("PYTHONPATH", "")}
    return subprocess.run(words, env=environment, capture_output=True, text=True, check=True, timeout=200).stdout


def why_row(cohort):
    (row,) = [row for row in rows_now(cohort) if row.part == "why"]
    return row


def hand_in_again(cohort, answer=None):
    """Hand in again, with another answer in words or with nothing new but the time of saving."""
    (path,) = cohort.submitted("amber", "profile").glob("*.ipynb")
    notebook = json.loads(path.read_text())
    notebook["metadata"]["saved"] = notebook["metadata"].get("saved", 0) + 1
    (cell,) = [cell for cell in notebook["cells"] if cell["id"] == "why"]
    cell["source"] = answer or cell["source"]
    path.write_text(json.dumps(notebook))


def open_submission(page, server, notebook):
    """Go from the formgrader's list of submissions into the one there is."""
    page.goto(f"{server}/formgrader/gradebook/profile/{notebook}")
    page.locator("tbody a[href*='/submissions/']").first.click()
    page.wait_for_selector("#why.score")
    page.wait_for_timeout(1000)
    return page.locator("#why.score")


def saved(page, kind):
    return page.expect_response(lambda reply: f"/api/{kind}/" in reply.url and reply.request.method == "PUT")


def test_an_answer_in_words_is_marked_by_hand_and_the_mark_is_held_to_that_answer(in_words, words_server, page):
    notebook = next(in_words.submitted("amber", "profile").glob("*.ipynb")).stem
    assert why_row(in_words).verdict == Code.BY_HAND
    box = open_submission(page, words_server, notebook)
    assert "needs_manual_grade" in box.get_attribute("class")
    box.fill("2")
    with saved(page, "grade"):
        box.press("Tab")
    comment = page.locator("#why-comment")
    comment.fill("Right about the corner. <b>Mind</b> the laminate too.")
    with saved(page, "comment"):
        comment.press("Tab")

    graders("mark", in_words)
    graders("report", in_words)
    row = why_row(in_words)
    assert (row.points, row.out_of, row.verdict, row.flag) == (2, 3, Code.MARKED_BY_HAND, "")
    assert not needs_a_look(row)
    with in_words.marks.open(encoding="utf-8-sig", newline="") as file:
        (line,) = [line for line in csv.DictReader(file) if line["part"] == "why"]
    assert (line["points"], line["comment"]) == ("2.0", "Right about the corner. <b>Mind</b> the laminate too.")
    page.goto((in_words.root / "report" / "report-profile.html").as_uri())
    listed = page.locator("tr", has_text="Mind").first
    assert "2 of 3" in as_read(listed.inner_text())
    assert "<b>Mind</b>" in listed.inner_text()
    listed.locator("td a").click()
    page.wait_for_url("**/amber/profile.html#part.*")
    part = page.locator("article.part", has=page.locator("h3 code:text-is('why')"))
    assert part.evaluate("part => part.matches(':target')")
    assert "2 of 3 points" in as_read(part.inner_text())
    assert "<b>Mind</b> the laminate too." in part.inner_text()

    hand_in_again(in_words)
    graders("mark", in_words)
    assert why_row(in_words) == row
    box = open_submission(page, words_server, notebook)
    assert box.input_value() == "2"
    assert "needs_manual_grade" not in box.get_attribute("class")

    hand_in_again(in_words, "The plate only looks nice.")
    graders("mark", in_words)
    older = why_row(in_words)
    assert (older.points, older.flag, older.comment) == (2, OLDER_ANSWER, row.comment)
    assert needs_a_look(older)
    graders("report", in_words)
    page.goto((in_words.root / "report" / "report-profile.html").as_uri())
    assert OLDER_ANSWER in page.locator("section", has_text="Needs a look").first.inner_text()
    box = open_submission(page, words_server, notebook)
    assert "The plate only looks nice." in page.inner_text("body")
    assert box.input_value() == "2"
    assert "needs_manual_grade" in box.get_attribute("class")
    with saved(page, "grade"):
        page.locator(".nbgrader_cell", has=page.locator("#why.score")).locator(".mark-graded").click()
    assert why_row(in_words).flag == ""
