"""The intake explorers answer as counting and physics say, hold wild settings, and tell in words what they show."""

import re

import numpy as np
import pytest

from workbook.bench.intake import evidence
from workbook.panels import intake, stills
from workbook.panels.explorer import Menu, Slider, settings_of
from workbook.panels.pictures import Dots, Label, Line
from workbook.references import table, value

EXPLORERS = {
    "weigh": (intake.WEIGH_CONTROLS, intake.weigh_picture),
    "drain": (intake.DRAIN_CONTROLS, intake.drain_picture),
    "rate": (intake.RATE_CONTROLS, intake.rate_picture),
    "claim": (intake.CLAIM_CONTROLS, intake.claim_picture),
}


def given_settings(name, **given):
    return settings_of(EXPLORERS[name][0], given)


def shown(name, **given):
    return EXPLORERS[name][1](given_settings(name, **given))


def reading(picture, words):
    """Return the one line of the readout that begins so."""
    (found,) = [one for one in picture.readout if one.words.startswith(words)]
    return found


def number(picture, words):
    """Return the first number of that line's value."""
    return float(re.search(r"[-+]?\d+(\.\d+)?(e[-+]?\d+)?", reading(picture, words).value).group())


def ends(control):
    """Return values of a control that a hand can reach, and some that only a script can."""
    if isinstance(control, Slider):
        return control.low, control.high, (control.low + control.high) / 2, -1e9, 1e9, float("nan"), "much"
    return [*control.options, "none such", 3] if isinstance(control, Menu) else [True, False, "yes"]


EVERY_END = [
    pytest.param(name, {control.name: end}, id=f"{name}-{control.name}-{end}")
    for name, (controls, _) in EXPLORERS.items()
    for control in controls
    for end in ends(control)
]


def hold_drawable(picture):
    for mark in picture.marks:
        assert mark.axes < 2
        if isinstance(mark, Label):
            assert np.isfinite([mark.x, mark.y]).all()
            continue
        x, y = np.asarray(mark.x, float), np.asarray(mark.y, float)
        assert x.shape == y.shape
        assert np.isfinite(x).all()
        assert np.isfinite(y).all()
    assert all(one.value and "nan" not in one.value for one in picture.readout)


@pytest.mark.parametrize(("name", "given"), EVERY_END)
def test_settings_out_of_range_are_held_and_every_mark_can_be_drawn(name, given):
    hold_drawable(shown(name, **given))


@pytest.mark.parametrize("name", EXPLORERS)
def test_the_far_corners_of_the_station_can_be_drawn(name):
    sliders = [one for one in EXPLORERS[name][0] if isinstance(one, Slider)]
    random = np.random.default_rng(5)
    for _ in range(40):
        hold_drawable(shown(name, **{one.name: float(random.choice([one.low, one.high])) for one in sliders}))


@pytest.mark.parametrize(
    ("name", "control"), [(name, one) for name, (controls, _) in EXPLORERS.items() for one in controls]
)
def test_every_control_changes_the_marks_and_none_the_frame(name, control):
    if isinstance(control, Slider):
        other = control.low if control.value != control.low else control.high
    elif isinstance(control, Menu):
        other = next(key for key in control.options if key != control.value)
    else:
        other = not control.value
    rated = control.name == "rating"
    start, moved = shown(name), shown(name, **{control.name: other})
    assert start.frame.key == moved.frame.key
    assert start.readout != moved.readout if rated else _flat(start) != _flat(moved)


def _flat(picture):
    return [
        (mark.text, mark.x, mark.y)
        if isinstance(mark, Label)
        else (np.ravel(mark.x).tolist(), np.ravel(mark.y).tolist())
        for mark in picture.marks
    ]


@pytest.mark.parametrize("name", EXPLORERS)
def test_a_still_is_named_as_the_lesson_names_it(name):
    assert stills.picture(f"intake.{name}").words == shown(name).words


# ---- findings

UNLOOKED = dict.fromkeys(intake.FINDINGS, "unlooked")
OUTCOMES = ("found", "absent")


def weighed(**given):
    return intake.weighed(given_settings("weigh", **(UNLOOKED | given)))


def test_before_anything_is_looked_at_the_prior_stands():
    found = weighed(prior=37)
    assert found["last"] == 0.37
    assert found["yes_like_it"] + found["no_like_it"] == intake.BOARDS


@pytest.mark.parametrize("question", intake.QUESTIONS)
@pytest.mark.parametrize("name", intake.FINDINGS)
def test_one_finding_says_what_the_predictive_values_say(question, name):
    yes, no = intake.SHARES[question][name]
    found, absent = (weighed(question=question, prior=30, **{name: outcome})["last"] for outcome in OUTCOMES)
    assert found == pytest.approx(evidence.positive_predictive_value(0.3, yes, 1 - no))
    assert absent == pytest.approx(1 - evidence.negative_predictive_value(0.3, yes, 1 - no))


def test_the_trades_prior_barely_moves_with_a_negative_press_test():
    """The bench's computed 0.912: prior 0.99, sensitivity 0.90, specificity 0.95 (both invented)."""
    assert weighed(question="cracked", prior=99, press="absent")["last"] == pytest.approx(0.912, abs=0.0005)


def test_the_thousand_boards_show_the_probability_they_stand_for():
    for prior in (5, 20, 50, 90):
        found = weighed(prior=prior, residue="found", pads="absent")
        share = found["yes_like_it"] / (found["yes_like_it"] + found["no_like_it"])
        assert share == pytest.approx(found["last"], abs=0.02)


def test_the_boards_that_look_alike_lie_on_their_side_of_the_line_and_touch_it():
    picture = shown("weigh", prior=20, residue="found", pads="unlooked")
    squares, rings = (
        next(one for one in picture.marks if isinstance(one, Dots) and one.shape == shape)
        for shape in ("square", "ring")
    )
    assert len(squares.x) == 170
    assert len(rings.x) == 80
    assert squares.x.max() == 7
    assert rings.x.min() == 8


@pytest.mark.parametrize("question", intake.QUESTIONS)
@pytest.mark.parametrize("together", [0, 30, 90])
def test_the_chances_of_all_outcomes_of_a_pair_add_up_to_one(question, together):
    shares = intake.SHARES[question]
    for side in (0, 1):
        first = shares["residue"][side]
        chances = [
            (first if residue else 1 - first) * intake._chance_of("pads", pads, side, shares, residue, together / 100)
            for residue in (True, False)
            for pads in (True, False)
        ]
        assert sum(chances) == pytest.approx(1)
        assert min(chances) >= 0
        assert chances[0] + chances[2] == pytest.approx(shares["pads"][side]), "the pads' own share stands"


def test_drawn_boards_of_one_cause_show_both_marks_as_often_as_the_chance_says():
    """Boards are drawn: on a share of them one draw decides on both marks, on the others each mark has its own."""
    random, boards, together = np.random.default_rng(2), 200_000, 0.6
    first, second = (intake.SHARES["reflowed"][name][1] for name in ("residue", "pads"))
    own, common = random.random((2, boards)), random.random(boards) < together
    residue, pads = own[0] < first, np.where(common, own[0], own[1]) < second
    expected = intake._chance_of("pads", True, 1, intake.SHARES["reflowed"], True, together)
    assert pads[residue].mean() == pytest.approx(expected, abs=0.015)


def test_a_second_mark_of_the_same_cause_adds_less_the_more_it_shares_it():
    ratios = [
        weighed(residue="found", pads="found", together=together)["ratios"]["pads"] for together in (0, 30, 60, 90)
    ]
    assert ratios == sorted(ratios, reverse=True)
    assert ratios[-1] < 1.5 < ratios[0]


def test_the_order_of_looking_does_not_matter_to_where_it_ends():
    shares = intake.SHARES["reflowed"]
    ratios = [shares[name][0] / shares[name][1] for name in intake.FINDINGS]
    found = weighed(prior=5, **dict.fromkeys(intake.FINDINGS, "found"))
    assert found["last"] == pytest.approx(evidence.updated_probability(0.05, *reversed(ratios)))


def test_words_name_each_finding_and_call_the_shares_invented():
    words = shown("weigh", screws="found").words
    assert "Screw heads and seals, marred" in words
    assert "invented" in words


# ---- charge


def test_the_published_capacitor_starts_with_its_printed_energy_and_takes_its_printed_time():
    picture = shown("drain", capacitance=470, volts=400, resistor="10000")
    assert number(picture, "stored at the start") == value("intake", "discharge_470uf_energy")
    assert number(picture, f"{intake.POWER_LIMIT:.0f} V") == value("intake", "discharge_470uf_time")


def test_the_largest_resistor_of_the_menu_for_five_seconds_is_the_one_just_below_the_computed():
    kept = [ohms for ohms in intake.RESISTORS if reading(shown("drain", resistor=ohms), "60 V").state == "inside"]
    assert max(map(float, kept)) <= value("intake", "discharge_resistor_5s")
    assert all(ohms in kept for ohms in intake.RESISTORS if float(ohms) <= value("intake", "discharge_resistor_5s"))


def test_a_smaller_resistor_is_quicker_and_bears_more():
    small, large = shown("drain", resistor="1000"), shown("drain", resistor="47000")
    assert number(small, "time constant") < number(large, "time constant")
    assert number(small, "power as") > number(large, "power as")


def test_a_broken_resistor_leaves_all_the_voltage_whatever_the_sum_says():
    whole, broken = (shown("drain", waited=30, broken=broken) for broken in (False, True))
    assert number(broken, "left after 30 s") == 400
    assert number(whole, "left after 30 s") < 1
    assert reading(broken, "60 V").value == "never"
    assert "still has 400 V" in broken.words
    assert reading(broken, "power as") == reading(whole, "power as"), "what is only reckoned cannot tell"


def test_the_drawn_voltage_now_is_the_one_in_the_readout():
    picture = shown("drain", waited=7)
    dot = next(one for one in picture.marks if isinstance(one, Dots))
    assert dot.y[0] == pytest.approx(number(picture, "left after 7 s"), abs=0.6)


def test_a_charge_that_is_all_but_gone_is_drawn_at_the_foot_of_the_plane_and_told_to_be_measured():
    picture = shown("drain", capacitance=10, resistor="100", waited=60)
    dot = [one for one in picture.marks if isinstance(one, Dots) and one.axes == 1][-1]
    assert (dot.x[0], dot.y[0]) == (intake.LEAST_VOLTS, intake.LEAST_JOULES)
    assert reading(picture, "left after").state == "no line: measure"


@pytest.mark.parametrize("given", [{}, dict(volts=10), dict(waited=60), dict(volts=450, capacitance=2000)])
def test_no_setting_is_ever_called_safe(given):
    picture = shown("drain", **given)
    said = picture.words + " ".join(f"{one.words} {one.value} {one.state}" for one in picture.readout)
    assert "safe" not in said
    assert "measure" in picture.words
    assert reading(picture, "may it be touched?").state == "measure first"


@pytest.mark.parametrize(
    ("given", "line"),
    [(dict(volts=400), "shock"), (dict(volts=95, capacitance=2000), "no line: measure"),
     (dict(volts=450, capacitance=10), "start and reflex")],
)  # fmt: skip
def test_the_readout_names_the_published_lines_that_the_charge_reaches(given, line):
    assert reading(shown("drain", **given), "stored at the start").state == line


# ---- a test and its base rate


def test_the_mark_of_the_textbook_question_is_worth_what_is_printed():
    found = intake.rated(given_settings("rate", base_rate=10, sensitivity=80, specificity=90))
    assert found["after_found"] == pytest.approx(value("intake", "ppv_47"), abs=5e-4)
    assert (found["true_marks"], found["false_marks"]) == (80, 90)


def test_both_printed_predictive_values_stand_on_the_two_curves():
    positive, negative = value("intake", "ppv_npv_80")
    found = intake.rated(given_settings("rate", base_rate=80, sensitivity=90, specificity=95))
    assert found["after_found"] == pytest.approx(positive, abs=5e-4)
    assert 1 - found["after_absent"] == pytest.approx(negative, abs=5e-4)


def test_a_coin_tossed_for_a_mark_leaves_you_where_you_were():
    found = intake.rated(given_settings("rate", base_rate=30, sensitivity=50, specificity=50))
    assert found["after_found"] == pytest.approx(0.3)
    assert found["after_absent"] == pytest.approx(0.3)


def test_the_rarer_the_fault_the_less_the_same_mark_says():
    afters = [number(shown("rate", base_rate=rate), "fault, after the mark") for rate in (1, 10, 50, 90)]
    assert afters == sorted(afters)
    assert afters[0] < 10 < 90 < afters[-1]


def test_the_dots_lie_on_their_curves():
    picture = shown("rate", base_rate=35)
    _, found, absent = [one for one in picture.marks if isinstance(one, Line)][:3]
    square, ring = [one for one in picture.marks if isinstance(one, Dots) and one.axes == 0]
    assert np.interp(square.x[0], found.x, found.y) == pytest.approx(square.y[0], abs=1e-3)
    assert np.interp(ring.x[0], absent.x, absent.y) == pytest.approx(ring.y[0], abs=1e-3)


# ---- claims


def test_the_intervals_of_18_of_20_are_those_of_the_references():
    found = intake.counted(given_settings("claim", trials=20, failed=2))
    low, high, exact_low, exact_high = table("intake", "repair_intervals")["18 of 20"].values()
    assert found["Wilson"] == pytest.approx((low, high), abs=5e-4)
    assert found["exact"] == pytest.approx((exact_low, exact_high), abs=5e-4)


def test_the_claim_of_99_percent_needs_as_many_repairs_as_the_success_run_says():
    assert number(shown("claim"), "repairs that support it") == value("intake", "claim_99_n")


@pytest.mark.parametrize("failed", [0, 1, 5])
def test_a_claim_is_borne_out_from_the_needed_number_on_and_not_one_before(failed):
    needed = intake.needed(95.0, 0.95, failed)
    before, enough = (
        reading(shown("claim", claim=95, failed=failed, trials=trials), "at least so many").state
        for trials in (needed - 1, needed)
    )
    assert (before, enough) == ("outside", "inside")


def test_few_failures_leave_a_claim_open_and_many_speak_against_it():
    verdicts = [reading(shown("claim", trials=50, failed=failed), "the claim of").value for failed in (0, 4)]
    assert verdicts == ["left open", "spoken against"]


def test_more_cannot_fail_than_were_counted():
    picture = shown("claim", trials=5, failed=30)
    assert reading(picture, "held").value == "0 of 5"


def test_wald_gives_a_count_without_failures_no_width_and_the_readout_says_so():
    assert reading(shown("claim"), "Wald").state == "no width"
    assert reading(shown("claim", trials=20, failed=1), "Wald").state == "leaves 0 to 100 %"


def test_the_ring_lies_on_the_curve_where_it_crosses_the_claim():
    picture = shown("claim", claim=97, failed=2)
    curve = next(one for one in picture.marks if isinstance(one, Line) and one.axes == 1)
    ring = next(one for one in picture.marks if isinstance(one, Dots) and one.shape == "ring")
    drawn = np.exp(np.interp(np.log(ring.x[0]), np.log(curve.x), np.log(curve.y)))
    assert drawn == pytest.approx(ring.y[0], rel=0.02)
