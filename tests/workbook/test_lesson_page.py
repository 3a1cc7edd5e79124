"""A lesson on paper has every word, picture and result of the lesson, and asks no other host."""

import re

import nbformat
import pytest
from click.testing import CliRunner

from workbook import lesson_page, paths
from workbook.cli import main
from workbook.topics import TOPICS, by_slug

LESSONS = sorted(paths.lessons().glob("*.ipynb"))


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_every_formula_of_a_lesson_is_drawn_and_every_answer_open(path):
    cells = [cell.source for cell in nbformat.read(path, as_version=4).cells if cell.cell_type == "markdown"]
    shown = "".join(map(lesson_page.words, cells))
    assert "$" not in re.sub(r'alt="[^"]*"|<code>.*?</code>', "", shown)
    assert shown.count("<details open>") == sum(cell.count("<details>") for cell in cells) > 0


@pytest.mark.slow
def test_a_page_has_the_pictures_and_results_of_its_lesson_and_fetches_nothing():
    page = lesson_page.page(by_slug("shorts"))
    cells = nbformat.read(LESSONS[3], as_version=4).cells
    for cell in cells:
        if "still" in cell.metadata:
            assert cell.outputs[0].data["text/html"] in page
    assert page.count("<pre>") >= 5
    assert not re.search(r'(src|href)="(?!data:|#|\.\.?/|[\w./-]+\.ipynb)', page), (
        "only what the page carries, and ways"
    )
    assert "default-src 'none'" in page


def test_a_topic_that_is_none_is_one_clear_line(tmp_path):
    result = CliRunner().invoke(main, ["lesson", "soldering", "--to", str(tmp_path / "page.html"), "--no-browser"])
    assert result.exit_code == 1
    assert "there is no topic 'soldering'" in result.output
    assert all(topic.slug in result.output for topic in TOPICS)
    assert list(tmp_path.iterdir()) == []
