"""Lookup finds values with where they come from, words and symbols with what they mean, and suggests what is near."""

import pytest

from workbook import lookup
from workbook.problems import Problem
from workbook.references import loader
from workbook.topics import TOPICS

SLUGS = [topic.slug for topic in TOPICS]


def said(term):
    return "\n".join(lookup.lines(term))


@pytest.mark.parametrize("term", ["tau", "τ", "DNP", "dnp", "liquidus", "LIQUIDUS", "time above liquidus", "bond-line"])
def test_a_word_or_symbol_is_found_however_it_is_written(term):
    assert lookup.find(term)[0]


def test_one_letter_keeps_its_case():
    (big,), (small,) = lookup.find("U")[0], lookup.find("u")[0]
    assert "coverage factor" in big.words
    assert "standard uncertainty" in small.words


def test_a_value_is_shown_with_unit_standing_source_and_where_it_is_taught():
    reference = next(one for one in lookup.references() if one.key == "time_above_liquidus_snpb_020c")
    text = said(reference.name)
    for needed in (
        reference.unit,
        reference.standing,
        reference.source,
        reference.locator,
        "taught in topic 3 profile",
    ):
        assert needed in text


@pytest.mark.parametrize("reference", lookup.references(), ids=lambda one: f"{one.topic}/{one.key}")
def test_every_value_is_found_by_its_name_and_its_key_and_says_its_standing(reference):
    for term in (reference.name, reference.key):
        assert reference in lookup.find(term)[1]
    assert reference.standing in "\n".join(lookup.shown(reference))


def test_what_is_wrong_in_print_is_said_to_be_wrong():
    trap = next(one for one in lookup.references() if one.kind == "trap")
    first = next(iter(lookup.shown(trap)))
    assert "wrong in print" in first
    assert first.index("wrong in print") < first.index("is right")


def test_a_word_spelled_nearly_right_is_suggested():
    with pytest.raises(Problem, match="nothing is known") as problem:
        list(lookup.lines("liquidos"))
    assert "liquidus" in problem.value.tip


@pytest.mark.parametrize("term", ["", "   ", "zzzzqq", "[[", "((", "\\"])
def test_what_is_unknown_is_said_plainly(term):
    with pytest.raises(Problem):
        list(lookup.lines(term))


@pytest.mark.parametrize("word", lookup.glossary(), ids=lambda word: word.words[0])
def test_every_word_of_the_glossary_says_where_it_is_taught_and_is_found_by_all_its_names(word):
    assert set(word.topics) <= set(SLUGS)
    assert word.means.endswith(".")
    for name in word.words:
        assert word in lookup.find(name)[0]


def test_no_word_of_the_glossary_stands_there_twice():
    names = [name for word in lookup.glossary() for name in word.words]
    assert sorted(set(names)) == sorted(names)


def test_the_standings_said_are_the_ones_of_the_tables():
    assert {one.standing for one in lookup.references()} <= set(loader.STANDINGS)
