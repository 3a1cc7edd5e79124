"""Whatever a learner writes acts in no page an instructor or a learner opens: formgrader, nbgrader's feedback, ours.

Each of the texts stands in a notebook as text, as an answer in words, as program, and as every kind of output. A page
may ask only for what it asks for where nobody wrote anything too: nbgrader's own templates ask for a formula setter.
"""

import json
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Error

from graders.cohort.roster import Learner
from graders.demo import learners
from graders.handout import handing_out
from graders.marking import run as marking
from graders.report import pages
from tests.browser.hostile_texts import OUT, TEXTS
from tests.browser.test_formgrader import page, served, submission_id  # noqa: F401
from tests.graders.cohorts import nbgrader

pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.timeout(500)]

KINDS = ("text/html", "text/latex", "text/markdown", "image/svg+xml", "application/javascript", "text/plain")
SEEN = "seen as text {}."
SHOWN = 2 + 2 + 3
"""In a text and in a program, on both streams, and at least in the outputs that are HTML, text, or both."""
EXERCISES = ("bead-lag", "why-from-below")
LIVE = """() => {
    const dead = 'pre, code, textarea, .tex2jax_ignore', found = [];
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    while (walker.nextNode()) {
        const node = walker.currentNode;
        if (/window\\.owned|\\\\href|elsewhere\\.invalid/.test(node.data) && !node.parentElement.closest(dead))
            found.push(node.data.slice(0, 80));
    }
    return found;
}"""
"""What a learner wrote that stands where a formula setter would read it: it passes these tags over."""


def cell(kind, number, source):
    made = {"cell_type": kind, "id": f"h-{kind}-{number}", "source": source}
    made["metadata"] = {"tags": ['"><script>window.owned=1</script>'], "name": "<script>window.owned=1</script>"}
    return made | ({"outputs": [], "execution_count": None} if kind == "code" else {"attachments": {}})


def hostile(notebook):
    """Write every text into a notebook in every way, in place."""
    inserted = []
    for number, text in enumerate(TEXTS):
        shown = f"{SEEN.format(number)}\n\n{text}"
        data = ", ".join(f"{kind!r}: T" for kind in KINDS)
        inserted.append(cell("markdown", number, shown))
        program = (
            f"T = {shown!r}\nimport sys\nfrom IPython.display import display\nprint(T)\nprint(T, file=sys.stderr)\n"
        )
        each = "".join(f"display({{{kind!r}: T}}, raw=True)\n" for kind in KINDS)
        inserted.append(cell("code", number, f"{program}display({{{data}}}, raw=True)\n{each}# {text!r}"))
    for one in notebook["cells"]:
        if one["id"] == "why":
            one["source"] = "\n\n".join(TEXTS)
        if one["id"] == "lag-answer":
            one["source"] = f"lag = {TEXTS[0]!r}\n# " + repr("".join(TEXTS[:58]))
    notebook["cells"][1:1] = inserted


@pytest.fixture(scope="module")
def cohort(tmp_path_factory):
    """A cohort of two: amber writes hostile texts, birch writes only answers."""
    people = [Learner("amber", "Amber (invented)"), Learner("birch", "Birch (invented)")]
    made = handing_out.make(people, tmp_path_factory.mktemp("hostile") / "c", ("profile",), "", {"profile": EXERCISES})
    learners.hand_in(made)
    for path in made.submitted("amber", "profile").glob("*.ipynb"):
        notebook = json.loads(path.read_text())
        hostile(notebook)
        path.write_text(json.dumps(notebook))
    return made


@pytest.fixture
def marked(cohort, pool):
    marking.mark(cohort, pool)
    return cohort


@pytest.fixture
def visit(page):  # noqa: F811
    """Return a function that opens an address, presses what can be pressed, and says what was asked for outside."""

    def visited(address):
        asked, own = [], urlsplit(address)

        def record(route):
            there = urlsplit(route.request.url)
            if (there.scheme, there.netloc) == (own.scheme, own.netloc) or there.scheme in ("data", "blob"):
                route.continue_()
            else:
                asked.append(route.request.url)
                route.abort()

        page.unroute_all()
        page.route("**/*", record)
        answer = page.goto(address)
        page.wait_for_load_state("load")
        page.wait_for_timeout(800)
        for link in page.locator("a:text-is('press'), button:text-is('press')").all():
            link.dispatch_event("click")
        page.wait_for_timeout(200)
        assert answer.status == 200 if own.scheme == "http" else answer is not None
        assert page.url.split("#")[0].rstrip("/") == address.rstrip("/")
        assert page.evaluate("window.owned") is None
        assert [url for url in asked if url.startswith(OUT)] == []
        return set(asked)

    return visited


def assert_shown(page):  # noqa: F811
    """Every text is there to be read wherever it was written, and none where a formula setter reads."""
    words = page.evaluate("document.body.textContent")
    few = [number for number in range(len(TEXTS)) if words.count(SEEN.format(number)) < SHOWN]
    assert few == []
    assert page.evaluate(LIVE) == []


def test_there_are_enough_texts_and_each_is_another():
    assert len(set(TEXTS)) == len(TEXTS) >= 40


def test_the_texts_act_where_nothing_is_made_harmless(page, tmp_path):  # noqa: F811
    """Otherwise the tests below could not fail."""
    asked = []

    def record(route):
        """Nothing outside is reached."""
        asked.append(route.request.url)
        route.continue_() if route.request.url.startswith("file:") else route.abort()

    context = page.context.browser.new_context()
    context.route("**/*", record)
    acted = 0
    for number, text in enumerate(TEXTS):
        path = tmp_path / f"{number}.html"
        path.write_text(f"<!doctype html><meta charset=utf-8><body>{text}", encoding="utf-8")
        asked.clear()
        one = context.new_page()
        try:
            one.goto(path.as_uri(), wait_until="commit")
            one.wait_for_timeout(50)
            acted += any(OUT in url for url in asked) or one.evaluate("window.owned") == 1
        except Error:
            acted += 1  # it carried the browser elsewhere while it was read
        one.close()
    assert acted >= 20


@pytest.mark.parametrize("exercise", EXERCISES)
def test_in_the_formgrader(exercise, marked, page, visit, tmp_path):  # noqa: F811
    (name,) = [path.stem for path in marked.submitted("amber", "profile").glob(f"*{exercise}.ipynb")]
    with served(marked, tmp_path) as address:
        nothing = visit(f"{address}/formgrader/submissions/{submission_id(marked, 'birch', name)}/")
        asked = visit(f"{address}/formgrader/submissions/{submission_id(marked, 'amber', name)}/")
        assert_shown(page)
        assert page.locator("input.score").count() > 0
    assert asked <= nothing


def test_in_the_feedback_nbgrader_makes(marked, page, visit):  # noqa: F811
    nbgrader(marked, "generate_feedback", "profile", "--force")
    for exercise in EXERCISES:
        (path,) = (marked.root / "feedback" / "amber" / "profile").glob(f"*{exercise}.html")
        nothing = visit((marked.root / "feedback" / "birch" / "profile" / path.name).as_uri())
        assert visit(path.as_uri()) <= nothing
        assert_shown(page)


def test_in_our_own_pages(marked, page, visit):  # noqa: F811
    index = pages.everything(marked)
    for path in (marked.feedback("amber", "profile"), index, *index.parent.glob("*.html")):
        assert visit(path.as_uri()) == set()
    page.goto(marked.feedback("amber", "profile").as_uri())
    assert "window.owned=1" in page.inner_text("main")
