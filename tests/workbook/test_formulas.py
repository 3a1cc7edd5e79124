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


def test_the_units_of_a_page_are_those_that_its_quantities_are_told_in(monkeypatch):
    """Docstrings write W/m/K and m^2 K/W, exercises W/mK and m²K/W: both are the same row of the page."""
    monkeypatch.setattr(formulas, "picture", lambda tex: "")  # drawing them is what takes long
    rows = dict(re.findall(r"<th scope='row'>([a-z ]+)</th><td>([^<]+)</td>", formulas.page(TOPICS[4])))
    assert rows["conductivity"] == "W/mK"
    assert rows["film coefficient"] == "W/m²K"
    assert rows["area resistance"].startswith("m²K/W")
    assert "charge" not in rows


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
