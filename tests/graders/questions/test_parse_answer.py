"""Answers as people type them: numbers, sums, decimal commas, and any unit that measures the same."""

import contextlib
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from graders.questions import parse_answer
from graders.questions.parse_answer import Unclear, number
from workbook import units

READ = {
    ("12.5", "mm"): 12.5,
    ("12,5", "mm"): 12.5,
    (" 12,5mm ", "mm"): 12.5,
    ("0,0125 m", "mm"): 12.5,
    ("680 mohm", "Ω"): 0.68,
    ("680 mOhm", "Ω"): 0.68,
    ("0,68 Ω", "mΩ"): 680,
    ("0.68 \u2126", "mΩ"): 680,
    ("12 \u03bcm", "mm"): 0.012,
    ("12 um", "µm"): 12,
    ("60/90", "K/s"): 60 / 90,
    ("60/90 K/s", "K/min"): 40,
    ("2 * (3,5 + 1) mm", "mm"): 9,
    ("2 × 3 − 1", "1"): 5,
    ("2^3", "1"): 8,
    ("sqrt(2)*pi", "1"): math.sqrt(2) * math.pi,
    ("-3", "K"): -3,
    ("1e-3 m", "mm"): 1,
    (".5", "1"): 0.5,
    ("45 %", "1"): 0.45,
    ("0.45", "%"): 0.45,
    ("5 min", "s"): 300,
    ("5 minutes", "s"): 300,
    ("500 K", "°C"): 226.85,
    ("428 °F", "°C"): 220,
    ("220 degC", "°C"): 220,
    ("5 °C", "K"): 5,
    ("150 W/m²K", "W/m²K"): 150,
    ("150 W/(m² K)", "W/m²K"): 150,
    ("150 W/m^2/K", "W/m²K"): 150,
    ("0.4 W/mK", "W/mK"): 0.4,
    ("400 mW/mK", "W/mK"): 0.4,
    ("17 ppm/K", "1/K"): 17e-6,
    ("17e-6 1/K", "ppm/K"): 17,
    ("17e-6 /K", "ppm/K"): 17,
    ("40 FIT", "1/h"): 4e-8,
    ("0.5 mΩ/sq", "mΩ/sq"): 0.5,
    ("500 cycles", "cycles"): 500,
    ("3 pieces", "pieces"): 3,
    ("8 mWh", "J"): 28.8,
    ("½", "1"): 0.5,
    ("1½ mm", "mm"): 1.5,
    ("1 ¾", "mm"): 1.75,
    ('"1.89"', "s"): 1.89,
    ("energy = 37,6", "J"): 37.6,
    ("37 600 000", "J"): 37.6e6,
    ("37\u202f600,5 J", "J"): 37600.5,
    ("37’600 J", "J"): 37600,
    # IEC 60062, as it is quoted: the letter stands for the decimal point and the unit
    ("4k7", "Ω"): 4700,
    ("4,7k", "Ω"): 4700,
    ("0R68", "mΩ"): 680,
    ("680R", "Ω"): 680,
    ("1M5", "kΩ"): 1500,
}


@pytest.mark.parametrize(("text", "unit"), READ)
def test_what_people_type_is_read_in_the_unit_asked_for(text, unit):
    assert number(text, unit) == pytest.approx(READ[text, unit], rel=1e-12)


UNCLEAR = {
    ("", "s"): "Nothing is typed",
    ("about five", "s"): "starts with a number",
    ("1.234,5", "s"): "two ways",
    ("1,234,567", "s"): "two ways",
    ("~3", "s"): "if you like: 3",
    ("≈ 3,5 s", "s"): "if you like: 3.5 s",
    ("3 s or 4 s", "s"): "one number only",
    ("3 to 4", "s"): "one number only",
    ("4k7", "s"): "does not fit",
    ("4.7k7", "Ω"): "does not fit",
    ("5 kg", "s"): "does not fit: the answer is asked for in s",
    ("5 furlongs_per", "s"): "does not fit",
    ("5 s", "1"): "as a plain number",
    ("5 S", "s"): "Did you mean s?",
    ("3 KΩ", "Ω"): "Did you mean kΩ?",
    ("The energy is 37.6 J.", "J"): "only the number, with its unit if you like: 37.6 J",
    ("density * 3", "s"): "Names cannot be used here",
    ("1 2", "s"): "two numbers. Write 12, or 1 + 2",
    ("1 1/2", "s"): "Write 1 + 1/2",
    ("2 * (3", "s"): "brackets",
    ("1/0", "s"): "divided by zero",
    ("9**9**9**9", "s"): "too large",
    ("(-2)**0.5", "s"): "no finite number",
    ("sqrt((-2)**0.5)", "s"): "no finite number",
    ("1e999", "s"): "no finite number",
    ("sqrt(-1)", "1"): "cannot be read",
    ("5" * 300, "s"): "too long",
    ("__import__('os')", "s"): "starts with a number",
    ("3 .__class__", "s"): "",
    ("5 [x for x in (1)]", "s"): "",
}


@pytest.mark.parametrize(("text", "unit"), UNCLEAR)
def test_what_cannot_be_read_gets_one_plain_line(text, unit):
    with pytest.raises(Unclear) as said:
        number(text, unit)
    assert UNCLEAR[text, unit] in str(said.value)
    assert "\n" not in str(said.value)


@settings(deadline=None)
@given(st.text(max_size=40))
def test_no_text_at_all_does_anything_but_give_a_finite_number_or_one_plain_line(text):
    with contextlib.suppress(Unclear):
        assert math.isfinite(number(text, "s"))


@pytest.mark.parametrize("unit", units.FACTORS)
def test_every_unit_of_the_workbook_can_be_typed_back_and_in_every_sibling(unit):
    assert number(f"2.5 {unit}" if unit != "1" else "2.5", unit) == 2.5
    for other in units.siblings(unit):
        if other != "1":
            assert number(f"2.5 {other}", unit) == pytest.approx(2.5 * units.FACTORS[other] / units.FACTORS[unit])


@pytest.mark.parametrize(
    "unit",
    [unit for unit in units.FACTORS if unit not in ("yr", "cycles")],
    ids=lambda unit: unit.replace("/", " per "),
)
def test_the_librarys_size_of_a_unit_is_ours(unit):
    registry = parse_answer._registry()
    for other in units.siblings(unit):
        if other not in ("yr", "cycles"):
            ratio = (
                registry.Quantity(1, parse_answer._library_spelling(other))
                .to(parse_answer._library_spelling(unit))
                .magnitude
            )
            assert ratio == pytest.approx(units.FACTORS[other] / units.FACTORS[unit])


@pytest.mark.parametrize(("text", "unit"), READ)
def test_what_is_written_into_the_cell_is_what_was_read(text, unit):
    written = parse_answer.as_python(text, unit)
    known = {name: getattr(math, name) for name in (*parse_answer.FUNCTIONS, *parse_answer.CONSTANTS)}
    assert eval(written, known) == pytest.approx(READ[text, unit], rel=1e-11)


def test_a_sum_in_the_unit_asked_for_stays_the_working_it_is():
    assert parse_answer.as_python("2 × (3,5 + 1) mm", "mm") == "2 * (3.5 + 1)"
