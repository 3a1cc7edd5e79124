"""A topic's page of formulas: everything the bench computes with, drawn, with units, needing nothing from elsewhere."""

import re

import pytest
from click.testing import CliRunner

from workbook import formulas
from workbook.cli import main
from workbook.topics import TOPICS

PAGES = [pytest.param(topic, id=topic.slug) for topic in TOPICS]


@pytest.mark.parametrize("topic", PAGES)
def test_every_formula_of_the_bench_is_drawn_with_its_quantities_and_their_units(topic):
    found = [one for some in formulas.formulas(topic).values() for one in some]
    assert len(found) >= 30
    page = formulas.page(topic)
    assert page.count("<img alt=") == sum(len(one.tex) for one in found)
    for one in found:
        assert one.claim
        assert one.quantities, one.name
        assert any("[" in words for _, words in one.quantities) or "[" in one.claim, one.name


def test_a_page_asks_for_nothing_outside_itself():
    page = formulas.page(TOPICS[0])
    assert not re.search(r"""(?:src|href)=["'](?!data:)""", page)
    assert "<script" not in page


def test_the_command_writes_the_page_and_refuses_a_topic_there_is_not(tmp_path):
    place = tmp_path / "page.html"
    done = CliRunner().invoke(main, ["formulas", "3", "--to", str(place), "--no-browser"])
    assert done.exit_code == 0
    assert "time constant" in place.read_text(encoding="utf-8").lower()
    assert CliRunner().invoke(main, ["formulas", "solder", "--no-browser"]).exit_code == 1
