"""The real formgrader in a cohort's folder: our marks, marks by hand over ours, its own button, no learner's script."""

import json
import os
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest
from test_cohort import keep_only, scores

from graders import cohort as marking
from graders import gradebook

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
CHROMIUM = ["--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update"]


@pytest.fixture
def marked(fresh, sandbox):
    """A marked cohort in which amber also hands in scripts."""
    keep_only(fresh, "amber", "cedar")
    path = fresh.submitted("amber", "profile") / "04_bead-lag.ipynb"
    notebook = json.loads(path.read_text())
    notebook["cells"][2:2] = EVIL
    path.write_text(json.dumps(notebook))
    marking.mark(fresh, sandbox)
    return fresh


@pytest.fixture
def server(marked, tmp_path):
    """JupyterLab with nbgrader's extensions, on loopback, in the cohort's folder."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    command = [Path(sys.executable).parent / "jupyter", "lab", "--no-browser", f"--port={port}", "--allow-root"]
    command += ["--IdentityProvider.token=", f"--ServerApp.root_dir={marked.root}"]
    home = {"HOME": str(tmp_path), "JUPYTER_CONFIG_DIR": str(tmp_path / "config")}
    with open(tmp_path / "server.log", "w") as said:
        process = subprocess.Popen(command, cwd=marked.root, env=os.environ | home, stdout=said, stderr=said)
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
        process.wait(20)


@pytest.fixture
def page():
    from playwright.sync_api import sync_playwright

    chromium = "/usr/bin/chromium"
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=CHROMIUM)
        tab = browser.new_page(viewport={"width": 1200, "height": 1000})
        tab.set_default_timeout(30_000)
        yield tab
        browser.close()


def submission_id(cohort, learner, notebook):
    with gradebook.opened(cohort) as book:
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
    rows = marking.rows_now(marked)
    (row,) = [row for row in rows if (row.learner, row.part) == ("amber", "lag")]
    assert (row.points, row.verdict, row.flag) == (0.5, "marked by hand", "changed by hand")


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
