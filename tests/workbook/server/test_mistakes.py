"""The usual mistakes of people who do not program are named in one plain line, on every Python we support."""

import pytest

from workbook import units
from workbook.server import mistakes


def said(source, **names):
    """Return what is said about a cell that Python cannot run."""
    try:
        exec(compile(source, mistakes.CELL, "exec"), dict(names))
    except Exception as error:
        return mistakes.explain(error, source, list(names))
    pytest.fail(f"{source!r} runs")


WRONG = {
    "lag = 2.5 K": "Leave out K.",
    "lag = 2,5 K": "Leave out K.",
    "gap = 12mm": "Leave out mm.",
    "film = 150 W/m²K": "Leave out W/m²K.",
    "share = 40 %": "Leave out %.",
    "joint_c = 221 °C": "Leave out °C.",
    "r = 12 mΩ": "Leave out mΩ.",
    "r = 12 mohm": "Leave out mohm.",
    "lag = 2.5 kelvins   # K": "After the number 2.5 stands kelvins",
    "area = 2 pi": "Write",
    "lag = (2 + 3": "A bracket ( is opened and not closed. Add the missing ).",
    "lag = 2 + 3)": "one ) too many",
    "lag = [2, 3)": "closed by one of another kind",
    "word = 'too hot": "A quote mark is opened and not closed.",
    "lag = 2 × 3": "Write * in its place.",
    "lag = 2 − 3": "Write - in its place.",
    "word = “hot”": "Write ' in its place.",
    "lag =": "After the sign = there is nothing yet.",
    "2.5 = lag": "The name stands on the left",
    "  lag = 2": "Start each plain line at the left edge.",
    "lag = 05": "0.5, not 05",
    "lag = 37 600 000": "without spaces between thousands: 37600000",
    "lag 37.6": "The sign = is missing between the name and the number: lag = 37.6",
    "lag = 1½": "Write + 1/2 in its place.",
    "lag = 2.5.1": "Python cannot read this line.",
    "word = too hot   # one of the words": "Words as an answer go in quotes: 'too hot'.",
    "word = hot": "goes in quotes: 'hot'",
    "lag = ... * 2": "still open",
    "lag = (12,5) / 2": "decimal comma",
    "lag = 2.0 ^ 3": "two stars",
    "lag = 2(3 + 4)": "For a product write a *",
    "lag = [1, 2] * 2.5": "A whole list",
    "lag = '2' * 2.5": "without quotes",
    "lag = 1 / 0": "divided by zero",
    "lag = 10.0 ** 1000": "too large",
    "lag = [1][3]": "no such place",
    "import nothing_of_this_name": "is not installed here",
}


def test_a_sign_of_paper_is_named_by_every_patch_of_python():
    """Python 3.11.2 speaks of the number before ½, 3.11.7 of the sign."""
    for words in ("invalid decimal literal", "invalid character '½' (U+00BD)"):
        error = SyntaxError(words, ("x", 1, 7, "lag = 1½"))
        assert mistakes.explain(error, "lag = 1½") == "Python does not know the sign ½. Write + 1/2 in its place."


@pytest.mark.filterwarnings("ignore::SyntaxWarning")
@pytest.mark.parametrize("source", WRONG)
def test_a_usual_mistake_is_named_in_one_line(source):
    line = said(source)
    assert WRONG[source] in line
    assert "\n" not in line


@pytest.mark.parametrize("unit", [unit for unit in units.FACTORS if "1" not in unit and " " not in unit])
def test_every_unit_of_the_workbook_is_known_after_a_number(unit):
    assert f"Leave out {unit}." in said(f"answer = 12.5 {unit}")


def test_a_name_known_from_a_cell_above_is_suggested():
    assert said("heat = powr * 2", power=60) == "Python does not know the name powr. Did you mean power?"


def test_a_product_without_its_sign_is_told_from_a_unit():
    assert said("lag = 2 ramp", ramp=3) == "Between 2 and ramp a sign is missing. For a product write 2 * ramp."


def test_the_line_is_given_where_a_cell_has_several():
    assert said("a = 1\nb = 2\nc = 3 mm").startswith("Line 3: ")


def test_an_error_of_an_unknown_kind_is_quoted_in_one_line():
    class Odd(Exception):
        pass

    assert mistakes.explain(Odd("first\nsecond")) == "Python could not work this out (Odd: first)."


def test_a_decimal_comma_that_python_accepts_is_still_seen():
    assert mistakes.decimal_commas("lag = 2,5   # K\nsteps = (3, 4)\npair = 2, 50") == [("lag", "2,5")]


@pytest.mark.parametrize(
    ("source", "gives"),
    [
        ("share = 3 mm", True),
        ("share = 3", True),
        ("share == 3", False),
        ("x = share", False),
        ("share == 3 mm", False),
    ],
)
def test_whether_a_cell_gives_a_name_a_value_is_seen_even_where_python_cannot_read_it(source, gives):
    assert mistakes.assigns(source, ["share"]) is gives


@pytest.mark.parametrize(
    ("copied", "words"),
    [("x = 470\u00a0µF", "Leave out µF."), ("x = 18\u00a0000", "without spaces between thousands: 18000.")],
)
def test_a_number_copied_from_a_page_with_its_unbreakable_space_is_told_like_a_typed_one(copied, words):
    with pytest.raises(SyntaxError) as found:
        compile(copied, mistakes.CELL, "exec")
    assert words in mistakes.explain(found.value, copied)
