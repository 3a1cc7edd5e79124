"""Every lesson runs in a fresh kernel, may be run twice, reads well before it is run, and promises nothing false."""

import html
import io
import re
from contextlib import redirect_stdout

import nbformat
import pytest
from nbclient import NotebookClient

from workbook import paths
from workbook.panels import stills

LESSONS = [pytest.param(path, id=path.stem) for path in sorted(paths.lessons().glob("*.ipynb"))]

PARTS = ("What you will do", "What you will learn", "What you need", "On your own", "At the bench", "Further reading")


def read(path):
    return nbformat.read(path, as_version=4)


@pytest.mark.slow
@pytest.mark.parametrize("path", LESSONS)
def test_a_lesson_runs_in_a_fresh_kernel(path):
    notebook = read(path)
    NotebookClient(
        notebook, timeout=120, kernel_name="python3", resources={"metadata": {"path": path.parent}}
    ).execute()
    for cell in notebook.cells:
        for output in cell.get("outputs", []):
            assert output.get("name") != "stderr", output


@pytest.mark.parametrize("path", LESSONS)
@pytest.mark.slow
def test_running_any_cell_twice_says_the_same(path):
    namespace = {}
    for cell in read(path).cells:
        if cell.cell_type == "code":
            said = []
            for _ in range(2):
                out = io.StringIO()
                with redirect_stdout(out):
                    exec(compile(cell.source, cell.id, "exec"), namespace)
                said.append(out.getvalue())
            assert said[0] == said[1], cell.id


@pytest.mark.parametrize("path", LESSONS)
def test_a_lesson_is_bare_but_for_its_still_pictures(path):
    notebook = read(path)
    named = stills.stills(notebook)
    drawn = [name for name in named.values() if name.startswith("drawings.")]
    assert len(drawn) >= 3, "at least three drawings"
    assert len(named) - len(drawn) >= 2, "at least two explorers"
    for index, cell in enumerate(notebook.cells):
        if cell.cell_type != "code":
            continue
        assert cell.execution_count is None
        if index not in named:
            assert cell.outputs == []
            continue
        (output,) = cell.outputs
        if named[index] in drawn:
            assert named[index].removeprefix("drawings.") in cell.source
            assert output.data["text/html"] == stills.html_of(named[index]), "renew: python -m workbook.panels.stills"
            continue
        alternative = re.search(r'<img alt="([^"]+)"', output.data["text/html"]).group(1)
        assert html.unescape(alternative) == stills.picture(named[index]).words, (
            "renew: python -m workbook.panels.stills"
        )


@pytest.mark.parametrize("path", LESSONS)
def test_code_is_folded_behind_a_friendly_line(path):
    for cell in read(path).cells:
        if cell.cell_type == "code":
            assert cell.metadata["jupyter"]["source_hidden"], cell.id
            assert re.match(r"# [A-Z].*[.:!]", cell.source.splitlines()[0]), cell.id


RAW = re.compile(r"\d%|\d,\d{3}|\+-|\bohm\b|\binf\b|\bnan\b|\de[-+]\d|\w\(\w+=|_|\bu[AVm]\b|\bm[23]\b")
"""What a person at the bench does not write: 7%, 20,000, +-, ohm, inf, 1e-10, Bake(hours=17)."""


@pytest.mark.parametrize("path", LESSONS)
def test_results_are_in_words_and_units(path):
    namespace = {}
    for cell in read(path).cells:
        if cell.cell_type == "code" and not re.search(r"_explorer\(|\.show\(|desk\(", cell.source):
            out = io.StringIO()
            with redirect_stdout(out):
                exec(compile(cell.source, cell.id, "exec"), namespace)
            assert not RAW.search(out.getvalue()), (cell.id, RAW.search(out.getvalue()), out.getvalue())


@pytest.mark.parametrize("path", LESSONS)
def test_a_lesson_has_the_parts_every_lesson_has(path):
    text = "\n".join(cell.source for cell in read(path).cells if cell.cell_type == "markdown")
    for words in PARTS:
        assert words in text
    assert "Caution" in text
    assert "worked example" in text.lower()
