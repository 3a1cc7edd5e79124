"""The explorers of the additions: held settings, drawable marks, controls that change something, and the check values.

The check values are sums worked by hand from the stated inputs (computed), each beside its explorer.
"""

import numpy as np
import pytest

from workbook.panels import intake, joints, paste, profile, signoff
from workbook.panels.explorer import Menu, Slider, settings_of
from workbook.panels.pictures import Label

EXPLORERS = {
    "cause": (intake.CAUSE_CONTROLS, intake.cause_picture),
    "mixed": (joints.MIXED_CONTROLS, joints.mixed_picture),
    "sharp": (joints.SHARP_CONTROLS, joints.sharp_picture),
    "seat": (profile.SEAT_CONTROLS, profile.seat_picture),
    "sag": (profile.SAG_CONTROLS, profile.sag_picture),
    "own": (profile.OWN_CONTROLS, profile.own_picture),
    "wedge": (paste.WEDGE_CONTROLS, paste.wedge_picture),
    "bend": (paste.BEND_CONTROLS, paste.bend_picture),
    "clean": (paste.CLEAN_CONTROLS, paste.clean_picture),
    "choice": (signoff.CHOICE_CONTROLS, signoff.choice_picture),
    "start": (signoff.START_CONTROLS, signoff.start_picture),
}
each = pytest.mark.parametrize("name", EXPLORERS)


def shown(name, **given):
    """Return an explorer's picture at its starting settings but for some."""
    controls, picture = EXPLORERS[name]
    return picture(settings_of(controls, given))


def ends(control):
    """Return values of a control that a hand can reach, and some that only a script can."""
    if isinstance(control, Slider):
        return control.low, control.high, -1e9, 1e9, float("nan"), "much"
    return [*control.options, 3] if isinstance(control, Menu) else [True, False, "yes"]


@each
def test_settings_out_of_range_are_held_and_every_mark_can_be_drawn(name):
    for control in EXPLORERS[name][0]:
        for value in ends(control):
            picture = shown(name, **{control.name: value})
            for mark in picture.marks:
                assert np.isfinite(np.asarray(mark.x, float)).all(), (control.name, value)
                assert np.isfinite(np.asarray(mark.y, float)).all(), (control.name, value)
                assert isinstance(mark, Label) or np.shape(mark.x) == np.shape(mark.y)
            assert all(one.value and "nan" not in one.value for one in picture.readout)


@each
def test_every_control_changes_what_is_said(name):
    for control in EXPLORERS[name][0]:
        seen = {
            (picture.words, picture.readout)
            for picture in (shown(name, **{control.name: v}) for v in ends(control)[:2])
        }
        assert len(seen) == 2, control.name


def said(picture):
    """Return the values of a readout in one text."""
    return " | ".join(f"{one.words}: {one.value} {one.state}" for one in picture.readout)


CHECK_VALUES = [
    ("cause", dict(balls=40, inside=35, warm=True), ("41 %", "57 %", "1.5 %")),
    ("mixed", {}, ("2.24 %", "179 °C")),
    ("sharp", {}, ("4.75 µm", "5.00 µm", "cannot be seen")),
    ("seat", {}, ("252.0 °C", "225.4 °C")),
    ("sag", {}, ("0.72 mm", "0.78 mm")),
    ("sag", dict(modulus=22), ("0.20 mm", "0.21 mm")),
    ("wedge", {}, ("0.155 K/W", "0.085 K/W", "0.170 K/W")),
    ("bend", {}, ("2370 µε",)),
    ("clean", {}, ("1.17 µg/cm²", "2.33 µg/cm²")),
    ("choice", {}, ("38.5 credits", "41.4 credits", "56.7 %")),
    ("start", {}, ("4.9 %",)),
]


@pytest.mark.parametrize(("name", "given", "values"), CHECK_VALUES)
def test_the_sum_worked_by_hand_comes_out(name, given, values):
    for value in values:
        assert value in said(shown(name, **given))


def test_a_likelihood_ratio_is_the_ratio_of_the_shares_it_is_shown_with():
    """Odds after are odds before times the likelihood ratio (Bayes' rule in odds form, any textbook)."""
    for finding, (_, (balls, inside, _)) in intake.CAUSE_FINDINGS.items():
        given = {name: name == finding for name in intake.CAUSE_FINDINGS}
        (_, before), (_, after) = intake.cause_shares(settings_of(intake.CAUSE_CONTROLS, given))
        assert after[0] / after[1] == pytest.approx(before[0] / before[1] * balls / inside)


def test_half_the_span_leaves_a_sixteenth_of_the_sag_of_its_own_weight():
    controls = profile.SAG_CONTROLS
    whole, half = (profile.sag_of(settings_of(controls, {"support": support}))[0] for support in (False, True))
    assert whole / half == pytest.approx(16)


def test_the_drawn_sag_ends_on_the_supports_and_is_deepest_where_it_is_read():
    own, sink = profile.sag_of(settings_of(profile.SAG_CONTROLS))
    board = shown("sag").marks[1]
    assert board.y[0] == board.y[-1] == pytest.approx(0)
    assert -min(board.y) == pytest.approx(1e3 * (own + sink), rel=1e-6)


@pytest.mark.slow
def test_two_packages_straight_on_spend_a_heat_and_a_cool_down_saves_it():
    straight, cooled = (
        profile.pair_picture(settings_of(profile.PAIR_CONTROLS, given))
        for given in ({"top_gas_c": 340, "wait": 5}, {"top_gas_c": 340, "cool_down": 250})
    )
    assert "nan" not in said(straight) + said(cooled)
    heat = "U1: while the other is heated, at most 200 °C"
    states = [next(one.state for one in picture.readout if one.words == heat) for picture in (straight, cooled)]
    assert states[0] == "outside"
    assert states[1] == "inside"
