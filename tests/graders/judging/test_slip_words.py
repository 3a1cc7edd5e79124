"""Which numbers of a text may stand for another, and how a name is told with the learner's own number."""

from dataclasses import replace

import pytest

from graders.judging.slip_words import numbers_of_the_text, with_values
from graders.questions.exercise import Exercise
from graders.questions.givens import Fixed
from graders.questions.parts.number import Number
from graders.questions.parts.tolerance import relative

PARTS = tuple(
    Number(name, ask, unit="1", expected=lambda g, a: 1.0, within=relative(0.01), because="", plausible=(0.1, 10))
    for name, ask in (("one", "At 41 mm?"), ("two", "At 42 mm?"), ("three", "At 43 mm?"))
)
SHEET = Exercise(id="x", number=1, title="x", setup="", givens={}, parts=PARTS)


def read(text):
    """Return the numbers of a setup alone, without those that the question adds."""
    found = numbers_of_the_text(replace(SHEET, setup=text), PARTS[0])
    assert (41.0, "mm") in found or len(found) == 12
    return [one for one in found if one != (41.0, "mm")]


def test_numbers_are_read_up_to_the_part_that_is_asked():
    assert numbers_of_the_text(SHEET, PARTS[1]) == ((41.0, "mm"), (42.0, "mm"))


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("A wire of 5 mm.", [(5.0, "mm")]),
        ("At 24.46 L a mole", [(24.46, "L")]),
        ("5.1 × 10⁻³ m", [(0.0051, "m")]),
        ("3.2 × 10⁶ Pa", [(3.2e6, "Pa")]),
        ("0, 1, 2, 3 and 4 faces", []),
        ("a factor of 10, 100, 1000 or 10000", []),
        ("12 faces, 12 mm and 12 mm more", [(12.0, ""), (12.0, "mm")]),
        ("In 1900, in 1998 and in 2035", []),
        ("1899 turns, 2036 turns and 1998.5 turns", [(1899.0, ""), (2036.0, ""), (1998.5, "")]),
        ("chapter 7, Table 12, equation 31, sections 8", []),
        ("the table has 12 rows", [(12.0, "")]),
        ("in table 5.2 stand 17 rows", [(17.0, "")]),
    ],
)
def test_what_is_a_number_of_the_text_and_what_is_a_year_a_chapter_or_structure(text, found):
    assert read(text) == found


def test_of_a_long_text_the_first_twelve_are_read():
    assert [value for value, _ in read(", ".join(str(number) for number in range(20, 40)))] == list(range(20, 32))


def test_a_name_is_told_with_its_number_and_an_earlier_answer_as_ones_own():
    givens = dict(wide=Fixed(5.25, "mm"), many=Fixed(9), hot=Fixed(True), rows=Fixed((3, 4)))
    sheet = replace(SHEET, givens=givens)

    def said(what, **before):
        return with_values(what, sheet, sheet.worked(), before)

    assert said("{wide} is {wide} over {many}") == "`wide` (5.25 mm) is `wide` (5.25 mm) over `many` (9)"
    assert said("{rows}, {hot}, {unknown}") == "`rows`, `hot`, `unknown`"
    assert said("{one} is halved", one=3.0) == "your `one` is halved"
    assert said("{} {A}") == "{} {A}"
