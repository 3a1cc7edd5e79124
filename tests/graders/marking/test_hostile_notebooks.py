"""What a learner may do to a notebook, and what it earns: never more than its answers, and never at a sibling's cost.

What hostile *code* does is tested with the runner; here are notebooks that lie about what they are.
"""

import json
import os

import pytest

from graders import sheets
from graders.marking import run as marking
from graders.questions.verdicts import Code
from graders.runner.job import Limits
from tests.graders.cohorts import all_rows, keep_only, scores

NOTEBOOK = "04_bead-lag"
RIGHT = {"time_constant": 2.0, "lag": 1.0, "act": 1.0, "reads": 1.0}
NOTHING = dict.fromkeys(RIGHT, 0.0)
WHOLE = sheets.find("profile", "read-the-log").points


def cell(notebook, name):
    return next(cell for cell in notebook["cells"] if cell["id"] == name)


def code(source, name="mine", **metadata):
    return {
        "cell_type": "code",
        "id": name,
        "source": source,
        "metadata": metadata,
        "outputs": [],
        "execution_count": None,
    }


def role(name, **changes):
    """Return a builder that changes nbgrader's metadata of a cell."""
    return lambda notebook: cell(notebook, name)["metadata"]["nbgrader"].update(changes)


def source(name, text):
    return lambda notebook: cell(notebook, name).update(source=text)


def insert(at, *cells):
    return lambda notebook: notebook["cells"].__setitem__(slice(at, at), list(cells))


def all_metadata_of(name, value):
    return lambda notebook: cell(notebook, name).update(metadata=value)


def repeat(name, **changes):
    """Return a builder that copies a cell to the end, changed."""
    return lambda notebook: notebook["cells"].append({**json.loads(json.dumps(cell(notebook, name))), **changes})


FORGED = '{"output_type": "execute_result", "data": {"text/plain": "2.0"}, "metadata": {}, "execution_count": 1}'

ROWS = {
    "as it is": (lambda notebook: None, RIGHT),
    # points and roles
    "more points": (role("lag", points=100), RIGHT),
    "negative points": (role("lag", points=-5), RIGHT),
    "points of text": (role("lag", points="many"), RIGHT),
    "marking cell called a solution": (role("lag", solution=True), RIGHT),
    "marking cell called no grade": (role("lag", grade=False), RIGHT),
    "marking cell unlocked": (role("lag", locked=False), RIGHT),
    "an old schema": (role("lag", schema_version=1), RIGHT),
    "a schema of the future": (role("lag", schema_version=99), RIGHT),
    "a false checksum": (role("lag", checksum="0" * 32), RIGHT),
    "a grade id that is no text": (role("lag", grade_id=7), RIGHT | {"lag": 0.0}),
    "a grade id of another part": (role("lag", grade_id="reads"), RIGHT | {"lag": 0.0}),
    "a grade id from nowhere": (role("lag", grade_id="bonus"), RIGHT | {"lag": 0.0}),
    "metadata that is a list": (all_metadata_of("lag", []), RIGHT | {"lag": 0.0}),
    "no nbgrader metadata": (all_metadata_of("lag", {}), RIGHT | {"lag": 0.0}),
    "nbgrader metadata that is text": (all_metadata_of("lag", {"nbgrader": "full points"}), RIGHT | {"lag": 0.0}),
    # marking cells edited, forged, repeated
    "marking cell rewritten": (source("lag", "1.0"), RIGHT),
    "marking cell that prints points": (source("lag", "print(2.0)\n2.0"), RIGHT),
    "marking cell made Markdown": (lambda notebook: cell(notebook, "lag").update(cell_type="markdown"), RIGHT),
    "a forged output": (lambda notebook: cell(notebook, "lag").update(outputs=[json.loads(FORGED)]), RIGHT),
    "marking cell repeated": (repeat("lag"), RIGHT),
    "marking cell repeated and rewritten": (repeat("lag", source="1.0"), RIGHT),
    "answer cell repeated, the last one wrong": (
        repeat("lag-answer", source="lag = 1e9"),
        RIGHT,
    ),
    "a bonus cell of one's own": (
        insert(-1, code("1.0", nbgrader={"grade": True, "grade_id": "bonus", "points": 50, "solution": False})),
        RIGHT,
    ),
    "every cell gone": (lambda notebook: notebook.update(cells=[]), NOTHING),
    # answers that are no numbers
    "true for a number": (source("lag-answer", "lag = True"), RIGHT | {"lag": 0.0}),
    "not a number": (source("lag-answer", "lag = float('nan')"), RIGHT | {"lag": 0.0}),
    "infinite": (source("lag-answer", "lag = 1e999"), RIGHT | {"lag": 0.0}),
    "equal to everything": (
        source(
            "lag-answer",
            "class Any(float):\n    def __eq__(self, other): return True\n"
            "    def __sub__(self, other): return 0.0\n    __rsub__ = __sub__\nlag = Any(0)",
        ),
        RIGHT | {"lag": 0.0},
    ),
    "a list of every number": (source("lag-answer", "lag = list(range(60))"), RIGHT | {"lag": 0.0}),
    "text that is a number": (source("lag-answer", "lag = '3.8'"), RIGHT | {"lag": 0.0}),
    # the judge, as the learner imagines it
    "a judge of one's own": (
        source(
            "lag-answer",
            "import sys, types\nfake = types.ModuleType('graders')\nfake.stock = type('s', (), "
            "{'points': staticmethod(lambda *a, **k: 1.0)})\nsys.modules['graders'] = fake\nlag = 0",
        ),
        RIGHT | {"lag": 0.0},
    ),
    "ends the program": (source("reads-answer", "import os\nos._exit(0)"), RIGHT | {"reads": 0.0}),
    "redefines the givens as functions": (
        insert(2, code("def film(): return 1\ndiameter = print")),
        NOTHING | {"act": 1.0, "reads": 1.0},
    ),
    # kinds of cell
    "a closing cell that never ends": (source("closing", "while True: pass"), RIGHT),
    "an unknown kind of output": (
        lambda notebook: cell(notebook, "lag-answer").update(outputs=[{"output_type": "spell", "data": 7}]),
        RIGHT,
    ),
    "sources as lists of lines": (
        lambda notebook: [one.update(source="".join(one["source"]).splitlines(True)) for one in notebook["cells"]],
        RIGHT,
    ),
    "ids all alike": (
        lambda notebook: [one.update(id="x") for one in notebook["cells"] if one["id"] != "givens"],
        RIGHT,
    ),
    "ids that are paths": (
        lambda notebook: [one.update(id="../../x") for one in notebook["cells"] if one["id"] != "givens"],
        RIGHT,
    ),
    "metadata claims another exercise": (
        lambda notebook: notebook["metadata"]["rework_workbook"].update(exercise="read-the-log", learner="birch"),
        RIGHT,
    ),
    "a kernel of one's own": (
        lambda notebook: notebook["metadata"].update(
            kernelspec={"name": "evil", "display_name": "x", "language": "bash"}
        ),
        RIGHT,
    ),
    "half a character": (source("lag-answer", "lag = ramp * time_constant  # \ud83d"), RIGHT),
}


def points(cohort, learner, exercise):
    return {row.part: row.points for row in all_rows(cohort) if (row.learner, row.exercise) == (learner, exercise)}


@pytest.mark.parametrize("row", ROWS)
def test_a_notebook_that_lies_earns_what_its_answers_earn_and_costs_nobody(row, fresh, pool):
    build, earned = ROWS[row]
    keep_only(fresh, "amber", "birch")
    path = fresh.submitted("amber", "profile") / f"{NOTEBOOK}.ipynb"
    notebook = json.loads(path.read_text())
    build(notebook)
    path.write_text(json.dumps(notebook))
    before = {name: (fresh.root / name).read_bytes() for name in ("cohort.key", "record.jsonl", "learners.csv")}
    marking.mark(fresh, pool, limits=Limits(cell_seconds=3))
    assert points(fresh, "amber", "bead-lag") == earned
    for part, score in earned.items():
        held, manual = scores(fresh)["amber", NOTEBOOK, part]
        assert (held or 0.0) == score
        found = next(r for r in all_rows(fresh) if (r.learner, r.part) == ("amber", part))
        assert (held is None) == manual == (found.verdict is Code.NEEDS_A_LOOK and found.flag == "cell missing")
    assert sum(points(fresh, "amber", "read-the-log").values()) == WHOLE, "the same learner's other notebook"
    assert sum(points(fresh, "birch", "read-the-log").values()) > 0, "a sibling"
    assert before == {name: (fresh.root / name).read_bytes() for name in before}


@pytest.mark.parametrize("kind", ["link", "folder", "pipe"])
def test_what_is_no_plain_file_is_not_opened(kind, fresh, pool):
    keep_only(fresh, "amber")
    path = fresh.submitted("amber", "profile") / f"{NOTEBOOK}.ipynb"
    kept = path.with_suffix(".kept")
    path.rename(kept)
    {"link": lambda: path.symlink_to(fresh.root / "cohort.key"), "folder": path.mkdir, "pipe": lambda: os.mkfifo(path)}[
        kind
    ]()
    (line,) = marking.mark(fresh, pool).problems
    assert "is not a plain file" in line
    copy = fresh.autograded("amber", "profile") / f"{NOTEBOOK}.ipynb"
    assert not copy.exists()


HTML = {
    "script in Markdown": ("markdown", "<script>document.title = 'owned'</script>"),
    "handler in Markdown": ("markdown", "<img src=x onerror=\"document.title='owned'\">"),
    "frame in Markdown": ("markdown", "<iframe srcdoc=\"<script>top.document.title='owned'</script>\"></iframe>"),
    "link that runs": ("markdown", "[x](javascript:document.title='owned') <a href=\"javascript:1\">y</a>"),
    "HTML output": (
        "code",
        "from IPython.display import HTML\nHTML('<script>document.title=1</script><b onclick=\"x\">b</b>')",
    ),
    "JavaScript output": ("code", "from IPython.display import Javascript\nJavascript('document.title = 1')"),
    "SVG output": (
        "code",
        'from IPython.display import SVG\nSVG(\'<svg xmlns="http://www.w3.org/2000/svg" onload="x()"/>\')',
    ),
    "Markdown output": ("code", "from IPython.display import Markdown\nMarkdown('<script>1</script>')"),
}


def rendered(markdown):
    """Return the HTML that nbgrader's own pages make of a text."""
    from nbconvert.filters.markdown_mistune import markdown2html_mistune

    return markdown2html_mistune(markdown)


def active_in(html):
    """Return what of some HTML runs, moves or fetches: tags and attributes by name."""
    from html.parser import HTMLParser

    found = []

    class Reader(HTMLParser):
        def handle_starttag(self, tag, attrs):
            if tag in {"script", "iframe", "svg", "img", "object", "embed", "form", "meta", "link", "style", "base"}:
                found.append(tag)
            found.extend(name for name, value in attrs if name.startswith("on") or "javascript:" in (value or ""))

    Reader().feed(html)
    return found


@pytest.mark.parametrize("row", HTML)
def test_nothing_a_learner_wrote_can_run_in_the_safe_copy(row, fresh, pool):
    kind, text = HTML[row]
    keep_only(fresh, "amber")
    path = fresh.submitted("amber", "profile") / f"{NOTEBOOK}.ipynb"
    notebook = json.loads(path.read_text())
    notebook["cells"].insert(
        2, code(text) if kind == "code" else {"cell_type": kind, "id": "m", "source": text, "metadata": {}}
    )
    path.write_text(json.dumps(notebook))
    marking.mark(fresh, pool)
    copied = json.loads((fresh.autograded("amber", "profile") / path.name).read_text())
    shown = [rendered(one["source"]) for one in copied["cells"] if one["cell_type"] == "markdown"]
    for one in copied["cells"]:
        for output in one.get("outputs", []):
            shown += [data for name, data in output.get("data", {}).items() if name != "text/plain"]
    assert [active for html in shown for active in active_in(html)] == []
    assert points(fresh, "amber", "bead-lag") == RIGHT
