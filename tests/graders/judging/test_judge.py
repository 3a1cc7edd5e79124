"""The judge: what earns, what does not, and what a person should look at. Marking fails closed."""

import math
from dataclasses import replace

import numpy as np
import pytest

from graders.judging import floor, judge
from graders.judging.judge import Answers
from graders.questions.exercise import Case, Exercise
from graders.questions.givens import Fixed, Quantity
from graders.questions.parts.design import Design, Setting
from graders.questions.parts.number import Number, Slip
from graders.questions.parts.order import Order
from graders.questions.parts.tolerance import relative
from graders.questions.parts.words import Choice, Several
from graders.questions.parts.written import Written
from graders.questions.verdicts import Code, Margin

BOARD = Exercise(
    id="board",
    number=1,
    title="A board of the tests",
    setup="A board of {length}.",
    givens=dict(length=Quantity(100, "mm", low=80, high=120, step=5), width=Fixed(50, "mm")),
    parts=(
        Number(
            "area",
            "What is its area?",
            points=2,
            unit="mm²",
            expected=lambda g, a: g.length * g.width,
            within=relative(0.01),
            because="it is a test",
            plausible=(1000, 20000),
            working="area = length * width",
            slips=(Slip("added", lambda g, a: (g.length + g.width) * 1e-3, "You added the sides."),),
        ),
        Number(
            "heat",
            "How much heat does it lose at 1 kW/m²?",
            points=2,
            unit="W",
            expected=lambda g, a: 1000 * a.area,
            within=relative(0.01),
            because="it is a test",
            plausible=(0.1, 50),
            working="heat = 1000 * area * 1e-6",
        ),
        Choice("faces", "How many faces?", options={"one": "1", "both": "2"}, expected=lambda g, a: "both"),
        Several("tools", "Which?", points=2, options=dict.fromkeys("abcd", ""), expected=lambda g, a: {"a", "b"}),
        Order(
            "steps",
            "In which order?",
            points=2,
            options=dict.fromkeys(("unplug", "measure", "touch"), ""),
            expected=lambda g, a: [["unplug"], ["measure"], ["touch"]],
            never={("measure", "touch"): "Measure before you touch."},
        ),
        Design(
            "plate",
            "Which plate temperature?",
            points=2,
            settings=(Setting("plate_c", "plate", "°C", 25, 400),),
            simulate=lambda g, a, c: (
                Margin("at least 100", c["plate_c"], c["plate_c"] - 100 + 0 / (c["plate_c"] - 77), "°C", guard=1),
                Margin("at most 200", c["plate_c"], 200 - c["plate_c"], "°C"),
            ),
            example=lambda g, a: {"plate_c": 150},
            idle=0.0,
        ),
    ),
)
RIGHT = BOARD.key(BOARD.worked())


def verdict(part, **answers):
    return judge.judge_part(BOARD, part, BOARD.worked(), Answers(RIGHT | answers))


def test_the_key_earns_every_point():
    assert sum(v.points for v in judge.judge(BOARD, BOARD.worked(), Answers(RIGHT))) == BOARD.points


@pytest.mark.parametrize("side", [-1, 1])
def test_the_band_ends_where_it_says(side):
    """5,000 mm² within 1 %: a millionth inside earns, a millionth outside does not."""
    edge = 5000 * (1 + side * 0.01)
    assert verdict("area", area=edge - side * 5e-3).points == 2
    assert verdict("area", area=edge + side * 5e-3).points == 0


def test_a_right_method_on_a_wrong_earlier_value_earns_its_marks_and_is_said_so():
    carried = verdict("heat", area=4000, heat=4.0)
    assert (carried.points, carried.verdict) == (2, Code.CARRIED_THROUGH)
    assert "earlier answer" in carried.remark


@pytest.mark.parametrize("area", [0, -5000, 1e9, float("nan"), "5000", None, True])
def test_an_earlier_value_that_no_board_has_is_not_carried(area):
    """Two zeros would otherwise earn full marks."""
    follows = 1000 * area * 1e-6 if isinstance(area, (int, float)) else 0
    assert verdict("heat", area=area, heat=follows).points == 0


def test_a_known_slip_is_carried_even_outside_the_plausible_range():
    assert verdict("area", area=150).verdict == "slip"
    assert verdict("heat", area=150, heat=0.15).verdict == Code.CARRIED_THROUGH
    assert verdict("heat", area=160, heat=0.16).points == 0, "160 is neither plausible nor a slip"


def _steps(second):
    """Four parts: the second follows from the first, the fourth is the sum of the second and the third."""
    same = dict(unit="1", within=relative(0.01), because="it is a test", plausible=(1, 100), working="")
    expected = dict(
        first=lambda g, a: 10.0, second=second, third=lambda g, a: 30.0, fourth=lambda g, a: a.second + a.third
    )
    parts = tuple(Number(name, "?", expected=formula, **same) for name, formula in expected.items())
    return replace(BOARD, parts=parts)


def test_an_earlier_answer_that_no_board_has_is_taken_as_what_follows_from_those_before_it():
    """First 12, so second 24; the 0.5 that was given for it is no answer, and 24 + 30 follows from the 12."""
    steps = _steps(lambda g, a: 2 * a.first)
    given = Answers({"first": 12, "second": 0.5, "third": 30, "fourth": 54})
    found = judge.judge_part(steps, "fourth", BOARD.worked(), given)
    assert (found.points, found.verdict) == (1, Code.CARRIED_THROUGH)


@pytest.mark.parametrize("fails", [lambda: 1 / 0, lambda: math.sqrt(-1), lambda: math.exp(1e4)])
def test_where_nothing_follows_from_an_earlier_answer_the_right_one_stands_in_its_place(fails):
    """Nothing follows from 12, so the second is the right 20, and 20 + 33 follows from the 33 of the third."""
    steps = _steps(lambda g, a: 20.0 if a.first == 10 else fails())
    given = Answers({"first": 12, "second": 0.5, "third": 33, "fourth": 53})
    found = judge.judge_part(steps, "fourth", BOARD.worked(), given)
    assert (found.points, found.verdict) == (1, Code.CARRIED_THROUGH)


@pytest.mark.parametrize(
    "answer",
    [math.nan, math.inf, True, "5000", [5000], (5000,), None, 10**400, {"a": 1}, np.float64("nan"), 5000j],
    ids=repr,
)
def test_what_is_no_finite_number_earns_nothing_and_is_flagged(answer):
    found = verdict("area", area=answer)
    assert found.points == 0
    assert (found.verdict, bool(found.flag)) == (Code.NEEDS_A_LOOK, True)


@pytest.mark.parametrize(("answer", "unit"), [(50, "cm²"), (0.005, "m²")], ids=["centimetres", "metres"])
def test_the_right_size_in_another_unit_is_named(answer, unit):
    found = verdict("area", area=answer)
    assert (found.points, found.verdict) == (0, Code.OTHER_UNIT)
    assert unit in found.remark


def test_a_lost_prefix_is_named():
    assert "prefix" in verdict("heat", heat=5e6).remark


@pytest.mark.parametrize("part", ["area", "heat"])
def test_no_remark_gives_the_answer_away(part):
    for answer in (0, 1, 4321, RIGHT[part] * 1.2, RIGHT[part] * 1000):
        assert f" {RIGHT[part]:g} " not in verdict(part, **{part: answer}).remark


def test_a_missing_answer_and_three_dots_are_simply_not_yet():
    for reason in ("missing", "not yet"):
        found = judge.judge_part(BOARD, "area", BOARD.worked(), Answers({}, {"area": reason}))
        assert (found.points, found.verdict, found.flag) == (0, Code.NOT_YET, "")


def test_a_decimal_comma_is_explained():
    found = judge.judge_part(BOARD, "area", BOARD.worked(), Answers({"area": None}, {"area": "decimal comma"}))
    assert "12.5, not 12,5" in found.remark


@pytest.mark.parametrize("answer", ["Both", " both "])
def test_a_word_is_read_without_regard_to_case_and_spaces(answer):
    assert verdict("faces", faces=answer).points == 1


@pytest.mark.parametrize("answer", ["two", "", 2, ["both"], None])
def test_a_word_that_is_not_on_the_list_needs_a_look(answer):
    found = verdict("faces", faces=answer)
    assert (found.points, found.verdict) == (0, Code.NEEDS_A_LOOK)


@pytest.mark.parametrize(
    ("words", "points"),
    [
        (["a", "b"], 2),
        (["b", "a", "a"], 2),
        (["a"], 1),
        (["a", "c"], 0),
        (list("abcd"), 0),
        ([], 0),
        (["a", "b", "c"], 1),
    ],
)
def test_wrong_words_in_a_set_cost_what_right_ones_earn(words, points):
    assert verdict("tools", tools=words).points == points


@pytest.mark.parametrize(
    ("words", "points"),
    [
        (["unplug", "measure", "touch"], 2),
        (["measure", "unplug", "touch"], 0.67),
        (["touch", "measure", "unplug"], 0),
        (["unplug", "touch", "measure"], 0),
    ],
)
def test_an_order_earns_by_its_pairs_and_nothing_for_a_dangerous_one(words, points):
    assert verdict("steps", steps=words).points == points


@pytest.mark.parametrize("words", [["unplug"], ["unplug", "unplug", "touch"], "unplug", ["unplug", "measure", "x"]])
def test_an_order_without_every_word_once_needs_a_look(words):
    assert verdict("steps", steps=words).verdict == Code.NEEDS_A_LOOK


@pytest.mark.parametrize(("plate", "points"), [(150, 2), (99.5, 2), (98, 1.4), (201, 1), (24, 0), (401, 0), ("150", 0)])
def test_a_design_is_held_against_each_limit_with_its_guard_band(plate, points):
    assert verdict("plate", plate_c=plate).points == points


def test_a_sheet_that_fails_on_an_answer_gives_nothing_and_is_flagged():
    """At 77 the sheet of these tests divides by zero."""
    found = verdict("plate", plate_c=77)
    assert (found.points, found.verdict) == (0, Code.NEEDS_A_LOOK)
    assert "ZeroDivisionError" in found.flag


@pytest.mark.parametrize("plate_c", [99.5, 100, 200], ids=["within the guard", "on it", "on it, without a guard"])
def test_a_margin_at_its_limit_is_said_to_count_as_held(plate_c):
    assert "borderline: at the limit, counted as held" in verdict("plate", plate_c=plate_c).remark


def test_a_share_typed_for_a_percentage_is_told_how_to_type_it():
    share = Design(
        "share",
        "Which share?",
        settings=(Setting("share_back", "share", "%", 0.5, 40),),
        simulate=lambda g, a, choices: (),
        example=lambda g, a: {"share_back": 10},
        idle=0.0,
    )
    sheet = Exercise(id="x", number=1, title="x", setup="", givens={}, parts=(share,))
    remarks = [judge.judge(sheet, {}, Answers({"share_back": typed}))[0].remark for typed in (0.075, 41)]
    assert remarks == [
        "share (share_back) is outside its bounds (0.5 to 40 %). Type 7.5 for 7.5 %.",
        "share (share_back) is outside its bounds (0.5 to 40 %).",
    ]


def test_names_that_shadow_python_or_repeat_are_refused():
    for name in ("sum", "lambda", "pi", "Area", "length"):
        with pytest.raises(ValueError, match=name):
            Exercise(
                id="x",
                number=1,
                title="x",
                setup="",
                givens=dict(length=Fixed(1)),
                parts=(Choice(name, "?", options={"a": ""}, expected=lambda g, a: "a"),),
            )


def test_a_case_keeps_its_source_and_standing():
    assert Case("area", 5000, 1, "a source", "published").standing == "published"


def test_a_margin_of_temperatures_is_told_in_kelvin():
    told = Margin("Coldest joint at its peak", 236.0, 6.0, "°C").told()
    assert told == "Coldest joint at its peak: 236 °C, held, margin +6 K."


def test_an_earlier_name_set_anew_is_carried_as_it_was_read_at_its_own_marking_cell():
    kept = {}
    judge.as_read(BOARD, BOARD.part("area"), Answers({"area": RIGHT["area"]}), kept)
    at_heat = judge.as_read(BOARD, BOARD.part("heat"), Answers({"area": 2000.0, "heat": 2.0}), kept)
    assert judge.judge_part(BOARD, "heat", BOARD.worked(), at_heat).points == 0
    honest = judge.as_read(BOARD, BOARD.part("heat"), Answers({"area": 2000.0, "heat": 2.0}), {"area": 2000.0})
    assert judge.judge_part(BOARD, "heat", BOARD.worked(), honest).verdict is Code.CARRIED_THROUGH


def test_an_earlier_part_whose_marking_cell_was_not_reached_is_not_carried():
    at_heat = judge.as_read(BOARD, BOARD.part("heat"), Answers({"area": 2000.0, "heat": 2.0}), {})
    assert judge.judge_part(BOARD, "heat", BOARD.worked(), at_heat).points == 0


TYPED = {
    "a plain number": (1000.0, 1.0),
    "a given": (50_000.0, 50.0),
    "a bound": (1000.0, 1000.0),
    "an earlier answer": (8000.0, 8000.0),  # heat goes with the square of the area here
}


@pytest.mark.parametrize("kind", TYPED)
def test_what_could_be_typed_without_the_method_does_not_follow(kind):
    """Own numbers are never drawn so that a given is the answer; nor may an earlier answer be chosen so."""
    area, heat = TYPED[kind]
    bounds, expected = {
        "a bound": ((0.1, 1000.0), lambda g, a: 1e6 * a.area),
        "an earlier answer": ((0.1, 10_000.0), lambda g, a: 1e6 * a.area**2 / 8e-3),
    }.get(kind, ((0.1, 60.0), lambda g, a: 1000 * a.area))
    area_part = replace(BOARD.part("area"), plausible=(1000, 60_000))
    heat_part = replace(BOARD.part("heat"), plausible=bounds, expected=expected)
    board = replace(BOARD, parts=(area_part, heat_part))
    answers = Answers({"area": area, "heat": heat})
    assert judge.judge_part(board, "heat", BOARD.worked(), answers).points == 0
    other = Answers({"area": area * 1.1, "heat": heat * 1.1})
    worked_out = judge.judge_part(board, "heat", BOARD.worked(), other).verdict
    assert (worked_out is Code.CARRIED_THROUGH) == (kind in ("a plain number", "a given"))


def test_a_slip_does_not_follow_where_it_gives_what_follows():
    slip = Slip("nothing lost below 2 W", lambda g, a: 3.0 if a.area < 4e-3 else 9.0, "It loses heat all the same.")
    board = replace(BOARD, parts=(BOARD.part("area"), replace(BOARD.part("heat"), slips=(slip,))))
    same = Answers({"area": 3000.0, "heat": 3.0})
    assert judge.judge_part(board, "heat", BOARD.worked(), same).points == 0
    assert judge.judge_part(board, "heat", BOARD.worked(), Answers({"area": 3500.0, "heat": 3.5})).points == 2


def test_an_earlier_answer_may_follow_where_the_right_one_is_an_earlier_one_too():
    smaller = Number(
        "smaller",
        "Which is smaller?",
        points=1,
        unit="mm²",
        expected=lambda g, a: min(a.area, 1.0),
        within=relative(0.01),
        because="it is a test",
        plausible=(900, 30_000),
    )
    board = replace(BOARD, parts=(BOARD.part("area"), smaller))
    answers = Answers({"area": 4000.0, "smaller": 4000.0})
    assert judge.judge_part(board, "smaller", BOARD.worked(), answers).verdict is Code.CARRIED_THROUGH


def test_a_guess_is_found_on_some_numbers_and_counted_on_others():
    """A tenth of the area is what the text says on the first draw, and on no other."""
    draws = [BOARD.worked() | {"length": length} for length in (100, 100, 80, 120)]
    asked = replace(BOARD.part("area"), ask="What is its area? Not 5000.")
    board = replace(BOARD, parts=(asked,))
    assert floor.most_without_the_method(board, draws).points["area"] == 0
    assert floor.most_without_the_method(board, draws[:1] * 4).points["area"] == 2


REASONS = {
    "not yet": (Code.NOT_YET, ""),
    "missing": (Code.NOT_YET, ""),
    "decimal comma": (Code.NOT_RIGHT, "decimal comma"),
    "error in the cell": (Code.NOT_RIGHT, "error in the cell"),
    "not reached": (Code.NEEDS_A_LOOK, "not reached"),
    "cell missing": (Code.NEEDS_A_LOOK, "cell missing"),
    "too long a list": (Code.NEEDS_A_LOOK, "too long a list"),
}


@pytest.mark.parametrize(("reason", "found"), REASONS.items())
def test_an_answer_that_could_not_be_read_earns_nothing_even_where_it_is_right(reason, found):
    unread = judge.judge_part(BOARD, "area", BOARD.worked(), Answers(RIGHT, {"area": reason}))
    assert (unread.verdict, unread.flag, unread.points, unread.out_of) == (*found, 0, 2)
    assert unread.remark


def test_a_part_of_several_names_is_not_judged_before_all_are_there():
    settings = tuple(Setting(name, name, "°C", 25, 400) for name in ("top_c", "bottom_c"))
    pair = replace(
        BOARD.part("plate"),
        settings=settings,
        simulate=lambda g, a, c: (Margin("x", 1.0, 1.0, "K"),),
        example=lambda g, a: {"top_c": 150, "bottom_c": 150},
    )
    board = replace(BOARD, parts=(pair,))
    both = {"top_c": 100, "bottom_c": 100}
    assert judge.judge_part(board, "plate", BOARD.worked(), Answers(both)).points == 2
    for name in both:
        found = judge.judge_part(board, "plate", BOARD.worked(), Answers({name: 100}))
        assert (found.points, found.verdict) == (0, Code.NOT_YET)


def test_answers_may_be_given_as_they_were_at_each_marking_cell():
    each = {part.name: Answers(RIGHT) for part in BOARD.parts} | {"area": Answers(RIGHT | {"area": 1.0})}
    assert [found.points for found in judge.judge(BOARD, BOARD.worked(), each)][:3] == [0, 2, 1]


def test_an_answer_in_words_waits_for_a_person_whether_or_not_it_could_be_read():
    essay = Written("why", "Why?", points=3, model="Because.")
    board = replace(BOARD, parts=(essay,))
    assert judge.judge_part(board, "why", BOARD.worked(), Answers({})).verdict is Code.BY_HAND
    gone = judge.judge_part(board, "why", BOARD.worked(), Answers({}, {"why": "cell missing"}))
    assert (gone.verdict, gone.flag) == (Code.NEEDS_A_LOOK, "cell missing")


def test_the_slip_behind_a_wrong_number_is_said_only_where_it_is_asked_for_and_never_earns():
    divided = Answers(RIGHT | {"area": 2.0})  # 100 over 50
    told = judge.judge_part(BOARD, "area", BOARD.worked(), divided)
    assert (told.points, told.verdict, told.flag) == (0, Code.SLIP, "operator")
    assert "`length` (100 mm) is divided by `width` (50 mm)" in told.remark
    untold = judge.judge_part(BOARD, "area", BOARD.worked(), divided, explain=False)
    assert (untold.points, untold.verdict, untold.flag) == (0, Code.NOT_RIGHT, "")
    unknown = judge.judge_part(BOARD, "area", BOARD.worked(), Answers(RIGHT | {"area": 4321.7}))
    assert unknown.verdict is Code.NOT_RIGHT
    word = judge.judge_part(BOARD, "faces", BOARD.worked(), Answers(RIGHT | {"faces": "one"}))
    assert word.verdict is not Code.RIGHT
    assert word.points == 0


def test_a_slip_is_looked_for_on_the_learners_own_earlier_answer():
    """A tenth of what follows from 4123 mm²; of the right area it is nothing that anybody does."""
    tenth = 0.4123
    own = judge.judge_part(BOARD, "heat", BOARD.worked(), Answers(RIGHT | {"area": 4123.0, "heat": tenth}))
    assert own.verdict is Code.SLIP
    right = judge.judge_part(BOARD, "heat", BOARD.worked(), Answers(RIGHT | {"heat": tenth}))
    assert right.verdict is Code.NOT_RIGHT


def test_whatever_fails_in_looking_for_a_slip_leaves_the_mark_as_it_was(monkeypatch):
    def fails(*_):
        raise RuntimeError("no slip")

    monkeypatch.setattr(judge, "near_miss", fails)
    assert verdict("area", area=2.0).verdict is Code.NOT_RIGHT


def test_what_is_carried_past_a_part_that_is_no_step_is_what_was_carried_to_it():
    essay = Written("why", "Why?", points=3, model="Because.")
    g, true = BOARD.solved(BOARD.worked())
    assert judge.carry_on(BOARD, essay, g, true, {"why": "x"}, {"area": 4000.0}) == {"area": 4000.0}
    assert judge.carry_on(BOARD, BOARD.part("area"), g, true, {"area": 4000.0}, {}) == {"area": 4000.0}
    assert judge.carry_on(BOARD, BOARD.part("area"), g, true, {"area": "x"}, {}) == {"area": pytest.approx(5000)}


def test_what_fails_in_a_sheet_is_told_to_the_instructor_in_short():
    long = replace(BOARD.part("plate"), simulate=lambda g, a, c: (_ for _ in ()).throw(KeyError("x" * 500)))
    board = replace(BOARD, parts=(long,))
    found = judge.judge_part(board, "plate", BOARD.worked(), Answers({"plate_c": 150}))
    assert found.flag.startswith("the sheet failed: KeyError")
    assert len(found.flag) == 200


def test_at_a_marking_cell_later_answers_are_not_read_and_own_ones_are_kept_for_later():
    kept = {"area": 4000.0, "steps": ["later"]}
    found = judge.as_read(BOARD, BOARD.part("heat"), Answers({"heat": 4.0, "faces": "one"}, {"x": "y"}), kept)
    assert found == Answers({"area": 4000.0, "heat": 4.0}, {"x": "y"})
    assert kept == {"area": 4000.0, "steps": ["later"], "heat": 4.0}
