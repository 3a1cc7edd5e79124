"""Lookup finds values with where they come from, words and symbols with what they mean, and suggests what is near."""

import importlib

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


def test_a_term_names_the_functions_that_compute_it():
    text = said("sample size")
    assert "workbook.bench.intake.evidence.success_run_trials(reliability, confidence): How many successes" in text
    assert "taught in topic 1 intake" in text
    assert "spreading_resistance(" in said("spreading resistance")


def test_what_is_read_of_the_bench_is_what_can_be_called():
    for one in lookup.bench():
        module, _, name = one.name.partition("(")[0].rpartition(".")
        there = importlib.import_module(module)
        assert name in there.__all__
        assert callable(getattr(there, name))


def names(term):
    return {word.words[0] for word in lookup.find(term)[0]}


@pytest.mark.parametrize(
    ("term", "word"),
    {
        "Tg": "Tg",
        "Ea": "Arrhenius",
        "RθJC": "theta-JC",
        "θJC": "theta-JC",
        "theta JC": "theta-JC",
        "theta": "thermal resistance",
        "reballing": "reball",
        "wetting": "wetting",
        "delamination": "delamination",
        "popcorn": "popcorn",
        "dew point": "dew point",
        "joule": "joule",
        "TAL": "time above liquidus",
    }.items(),
)
def test_words_and_symbols_of_the_trade_are_found_however_they_are_written(term, word):
    assert word in names(term)


def test_a_symbol_finds_the_values_that_are_named_in_words():
    assert all("liquidus" in f"{one.name} {one.key}".casefold() for one in lookup.find("TAL")[1])
    assert any("activation energy" in one.name.casefold() for one in lookup.find("Ea")[1])
    assert any("theta-JC" in one.name for one in lookup.find("RθJC")[1])


@pytest.mark.parametrize("term", ["CTE", "TAL", "ESD"])
def test_a_short_term_never_matches_inside_a_word(term):
    """``characteristic``, ``total`` and ``JESD22`` hold these letters."""
    inside = [
        one for one in lookup.references() if term.casefold() in one.name.casefold() and one not in lookup.find(term)[1]
    ]
    assert inside
    assert not [one for one in lookup.find(term)[1] if "total" in one.name and "liquidus" not in one.key]


@pytest.mark.parametrize("term", ["zzwett", "qqjoule", "brightness", "xyzzy point", "Q", "Zq"])
def test_what_nothing_is_near_gets_no_suggestion(term):
    assert lookup.nearest(term) == []


@pytest.mark.parametrize(("term", "near"), [("delaminaton", "delamination"), ("emisivity", "emissivity")])
def test_a_letter_left_out_is_forgiven(term, near):
    assert near in lookup.nearest(term)


def test_a_range_is_told_from_end_to_end_with_its_unit():
    assert "Joint peak, lead-free: 230 to 245 °C" in said("Joint peak, lead-free")


@pytest.mark.parametrize(
    ("topic", "key"), [("intake", "isopropanol_rel"), ("signoff", "payoff_table"), ("profile", "cellulose_ignition_c")]
)
def test_two_things_with_a_value_each_are_no_range(topic, key):
    assert not lookup.is_range(loader.entry(topic, key))


def test_values_in_units_of_their_own_carry_each_its_unit():
    assert "2.7, 0.79 eV" in said("Peck's humidity power and activation energy")


def test_another_name_of_a_word_finds_no_value_that_only_holds_its_pieces():
    """Theta-JC is "junction to case" too; a bead that takes a time "to" 1 % in a "case" is none."""
    _, values = lookup.find("RθJC")
    assert values
    assert all("theta" in value.name.lower() for value in values)
