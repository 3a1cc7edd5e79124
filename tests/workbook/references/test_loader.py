"""A reference table either loads whole or says in one line what to mend."""

import math
from importlib import resources

import pytest

from workbook import references
from workbook.references import BadReference, entry, load, table, value
from workbook.references.loader import KINDS, STANDINGS, parse

GOOD = {
    "name": '"Solidus"',
    "value": "217",
    "unit": '"°C"',
    "standing": '"published"',
    "source": '"Handbook"',
}


def written(key="solidus_c", **changes):
    """Write one reference as TOML; a field set to None is left out."""
    fields = {**GOOD, **changes}
    return f"[{key}]\n" + "\n".join(f"{name} = {text}" for name, text in fields.items() if text is not None)


def complaint(text):
    with pytest.raises(BadReference) as caught:
        parse("profile", text)
    return str(caught.value)


TABLES = sorted(
    file.name.removesuffix(".toml") for file in resources.files(references).iterdir() if file.name.endswith(".toml")
)


@pytest.mark.parametrize("topic", TABLES)
def test_every_table_in_the_workbook_loads(topic):
    assert load(topic)


@pytest.mark.parametrize("topic", TABLES)
def test_every_reference_names_a_source_unless_it_is_common_practice(topic):
    for reference in load(topic).values():
        assert reference.source or reference.standing == "common-practice", reference.key


def test_a_sound_reference_carries_all_that_was_written():
    found = parse("profile", written(locator='"row 3"', uncertainty="1", note='"TL"'))["solidus_c"]
    assert (found.value, found.unit, found.uncertainty, found.note) == (217, "°C", 1, "TL")
    assert found.origin() == "published: Handbook, row 3"


def test_common_practice_needs_no_source():
    found = parse("profile", written(standing='"common-practice"', source=None))["solidus_c"]
    assert found.origin() == "common-practice"


@pytest.mark.parametrize("standing", sorted(set(STANDINGS) - {"common-practice"}))
def test_every_other_standing_needs_a_source(standing):
    assert "has no 'source'" in complaint(written(standing=f'"{standing}"', source=None))


@pytest.mark.parametrize(
    ("uncertainty", "kept"), [("0.5", 0.5), ('"exact"', "exact"), ('"not given"', "not given"), (None, "not given")]
)
def test_a_number_exact_and_not_given_are_three_kinds_of_uncertainty(uncertainty, kept):
    found = parse("profile", written(uncertainty=uncertainty))["solidus_c"]
    assert found.uncertainty == kept
    assert type(found.uncertainty) is type(kept)


BAD = {
    "a missing name": (written(name=None), "has no 'name'"),
    "an empty unit": (written(unit='""'), "has no 'unit'"),
    "a missing standing": (written(standing=None), "has no 'standing'"),
    "a standing that does not exist": (written(standing='"proven"'), "has standing 'proven'"),
    "a standing that is a list": (written(standing='["published"]'), "has standing ['published']"),
    "a name that is a number": (written(name="3"), "has name 3"),
    "a misspelt key": (written(uncertanty="1"), "Did you mean 'uncertainty'?"),
    "a key that is nothing like any other": (written(zzz="1"), "Known keys: "),
    "a kind that does not exist": (written(kind='"fact"'), "has kind 'fact'"),
    "a boolean value": (written(value="true"), "has value True"),
    "a boolean in a list": (written(value="[1, false]"), "has value [1, False]"),
    "a value that is not a number": (written(value="nan"), "has value nan"),
    "a list with a NaN": (written(value="[1, nan]"), "has value [1, nan]"),
    "an empty list": (written(value="[]"), "has value []"),
    "a date": (written(value="2004-07-01"), "has value datetime.date"),
    "a table as value": (written(value="{a = 1}"), "has value {'a': 1}"),
    "a boolean uncertainty": (written(uncertainty="true"), "has uncertainty True"),
    "an uncertainty of nothing": (written(uncertainty="0"), "has uncertainty 0"),
    "a negative uncertainty": (written(uncertainty="-1"), "has uncertainty -1"),
    "a NaN uncertainty": (written(uncertainty="nan"), "has uncertainty nan"),
    "an infinite uncertainty": (written(uncertainty="inf"), "has uncertainty inf"),
    "an uncertainty of another word": (written(uncertainty='"about"'), "has uncertainty 'about'"),
    "an uncertainty on a text": (written(value='"oak"', uncertainty="1"), "on a text"),
    "a trap that does not say what is printed": (written(kind='"trap"'), "is a trap without 'printed'"),
    "a trap that prints its own value": (written(kind='"trap"', printed="217"), "prints its own value"),
    "a printed value that is no trap": (written(printed="218"), "Only a trap has it"),
    "rows without columns": (written(value="[[1]]", rows='["a"]'), "rows but no columns"),
    "fewer rows than named": (written(value="[[1]]", rows='["a", "b"]', columns='["x"]'), "2 rows named and 1"),
    "fewer columns than named": (written(value="[[1]]", rows='["a"]', columns='["x", "y"]'), "2 columns named"),
    "columns on a plain number": (written(columns='["x"]'), "1 columns named and no lists"),
    "rows that are numbers": (written(value="[[1]]", rows="[1]", columns='["x"]'), "has rows [1]"),
    "a value outside any table": ("solidus = 217", "'solidus' stands outside a table"),
    "a file that is no TOML": ("[solidus", "not valid TOML"),
    "the same key twice": (written() + "\n" + written(), "not valid TOML"),
}


@pytest.mark.parametrize(("text", "words"), BAD.values(), ids=BAD)
def test_a_bad_table_gives_one_line_that_names_the_table_and_the_fault(text, words):
    said = complaint(text)
    assert "\n" not in said
    assert said.startswith("references/profile.toml: ")
    assert words in said


def test_a_complaint_about_a_field_names_the_key_it_stands_under():
    assert "[liquidus_c]" in complaint(written(key="liquidus_c", unit=None))


def test_infinity_may_say_unlimited():
    assert parse("intake", written(value="[[inf], [8760]]"))["solidus_c"].value == ((math.inf,), (8760,))


def test_a_loaded_list_cannot_be_changed_under_another_reader():
    assert parse("profile", written(value="[1, [2, 3]]"))["solidus_c"].value == (1, (2, 3))
    with pytest.raises(TypeError):
        load("profile")["sac305_solidus_c"] = None


def test_a_topic_without_a_table_is_said_in_one_line():
    with pytest.raises(BadReference, match="references/gardening.toml: there is no such table"):
        load("gardening")


def test_a_key_that_does_not_exist_is_answered_with_the_nearest():
    with pytest.raises(BadReference, match=r"Did you mean sac305_solidus_c"):
        entry("profile", "sac305_solidus")


def test_a_trap_is_never_handed_out_as_a_value():
    assert entry("profile", "trap_water_main").printed == 0.92
    for hand_out in (value, table):
        with pytest.raises(BadReference, match="never a value to use"):
            hand_out("profile", "trap_water_main")


def test_a_table_is_read_by_row_and_column():
    assert table("profile", "class_temperature_lead_free_020d")["1.6-2.5 mm"]["> 2000 mm3"] == 245


def test_a_reference_without_rows_is_no_table():
    with pytest.raises(BadReference, match="has no rows and columns"):
        table("profile", "sac305_solidus_c")


def test_every_kind_and_every_standing_is_explained():
    assert all(KINDS.values())
    assert all(STANDINGS.values())
