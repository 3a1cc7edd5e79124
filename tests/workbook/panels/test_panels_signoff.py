"""The sign-off explorers decide as the rules say, hold wild settings, and tell in words what they show."""

import itertools

import numpy as np
import pytest

from workbook.panels import signoff, stills
from workbook.panels.explorer import Menu, Slider, settings_of
from workbook.panels.pictures import Dots, Label
from workbook.references import value

EXPLORERS = {
    "reading": (signoff.READING_CONTROLS, signoff.reading_picture, 2),
    "promise": (signoff.PROMISE_CONTROLS, signoff.promise_picture, 2),
    "sheet": (signoff.SHEET_CONTROLS, signoff.sheet_picture, 1),
}


def settings(name, **given):
    return settings_of(EXPLORERS[name][0], given)


def shown(name, **given):
    return EXPLORERS[name][1](settings(name, **given))


def checks(**given):
    """Return the checks of the invented board's page by their names."""
    return {check.name: check for check in signoff.sheet_checks(settings("sheet", **given))}


def answer(check):
    return check.answer(signoff.SHEET_FACTOR * check.standard)


def hold_drawable(picture, axes):
    for mark in picture.marks:
        assert mark.axes < axes
        if isinstance(mark, Label):
            assert np.isfinite([mark.x, mark.y]).all()
            continue
        x, y = np.asarray(mark.x, float), np.asarray(mark.y, float)
        assert x.shape == y.shape
        assert np.isfinite(x).all()
        assert np.isfinite(y).all()
        assert not isinstance(mark, Dots) or isinstance(mark.colours, str) or len(mark.colours) == x.size
    assert all(one.value and "nan" not in one.value for one in picture.readout)


def ends(control):
    """Return values of a control that a hand can reach, and some that only a script can."""
    if isinstance(control, Slider):
        return control.low, control.high, -1e9, 1e9, float("nan"), "much"
    return [*control.options, "none such", 3]


@pytest.mark.parametrize("name", EXPLORERS)
def test_settings_out_of_range_are_held_and_every_mark_can_be_drawn(name):
    for control in EXPLORERS[name][0]:
        for end in ends(control):
            hold_drawable(shown(name, **{control.name: end}), EXPLORERS[name][2])


@pytest.mark.parametrize("side", [0, -1])
@pytest.mark.parametrize("name", EXPLORERS)
def test_all_controls_at_one_end_together_can_be_drawn(name, side):
    far = {
        one.name: (one.low, one.high)[side] if isinstance(one, Slider) else list(one.options)[side]
        for one in EXPLORERS[name][0]
    }
    hold_drawable(shown(name, **far), EXPLORERS[name][2])


@pytest.mark.parametrize("name", EXPLORERS)
def test_the_frame_stands_still_while_a_control_is_moved(name):
    keys = {
        shown(name, **{one.name: end}).frame.key
        for one in EXPLORERS[name][0]
        for end in ((one.low, one.high) if isinstance(one, Slider) else one.options)
    }
    assert len(keys) == 1


@pytest.mark.parametrize(
    ("name", "control"),
    [
        pytest.param(name, one, id=f"{name}-{one.name}")
        for name, (controls, *_) in EXPLORERS.items()
        for one in controls
    ],
)
def test_every_control_changes_what_is_said(name, control):
    others = {
        Slider: lambda: control.high if control.value == control.low else control.low,
        Menu: lambda: next(key for key in reversed(control.options) if key != control.value),
    }
    start, moved = shown(name), shown(name, **{control.name: others[type(control)]()})
    assert (start.readout, start.words) != (moved.readout, moved.words)


@pytest.mark.parametrize("name", EXPLORERS)
def test_a_still_is_named_as_the_lesson_names_it(name):
    assert stills.picture(f"signoff.{name}").words == shown(name).words


# ---- readings against their limits


def package(**given):
    return signoff.checked(settings("reading", **given))["package"]


def test_a_reading_on_its_limit_is_inside_as_often_as_outside_whatever_the_wire():
    for wire in signoff.WIRES:
        assert package(package=signoff.RATED_C, wire=wire).probability() == pytest.approx(0.5)


@pytest.mark.parametrize("worse", [dict(wire="2"), dict(meter=4.0), dict(fixing=6.0)])
def test_a_worse_thermometer_takes_the_pass_from_a_reading_that_has_not_moved(worse):
    good, poor = package(package=241.5), package(package=241.5, **worse)
    assert good.answer(2 * good.standard) == "pass"
    assert poor.answer(2 * poor.standard) == "conditional pass"
    assert poor.probability() < good.probability()
    assert poor.margin() == good.margin()


def test_hotter_readings_of_the_package_go_through_all_four_answers_in_their_order():
    answers = [
        check.answer(2 * check.standard) for check in (package(package=hot) for hot in np.arange(230, 260.5, 0.5))
    ]
    assert [word for word, _ in itertools.groupby(answers)] == list(signoff.LOOKS)


def test_a_colder_joint_and_a_hotter_package_both_lose_margin():
    found = [signoff.checked(settings("reading", joint=cold, package=hot)) for cold, hot in ((235, 240), (232, 243))]
    for name in ("joint", "package"):
        assert found[1][name].margin() == found[0][name].margin() - 3


def test_without_a_guard_band_only_pass_and_fail_are_left():
    states = {
        one.state
        for joint in range(215, 246, 3)
        for one in shown("reading", factor=0, joint=joint).readout
        if "at least" in one.words
    }
    assert states == {"pass", "fail"}


# ---- what the shop may promise


def promised(**given):
    return signoff.promised(settings("promise", **given))


def test_without_a_return_the_rate_left_possible_falls_as_repairs_are_counted_but_never_to_nothing():
    bounds = [promised(repairs=repairs, returns=0)["rates"][1] for repairs in (1, 10, 59, 300)]
    assert bounds == sorted(bounds, reverse=True)
    assert bounds[2] <= 0.05 < promised(repairs=58, returns=0)["rates"][1]
    assert bounds[-1] > 0


def test_a_promise_at_the_bound_is_broken_no_less_often_than_at_the_counted_rate():
    for returns, allowed in itertools.product((0, 2, 9), (0, 1, 5, 20)):
        counted, bound = promised(returns=returns, allowed=allowed)["broken"]
        assert bound >= counted


def test_the_returns_to_bear_are_the_fewest_that_keep_the_promise_as_surely_as_wanted():
    for confidence in signoff.CONFIDENCES:
        for following in (5, 40, 100):
            found = promised(confidence=confidence, next=following)
            doubt = 1 - float(confidence)
            assert signoff.more_than(found["bear"], following, found["rates"][1]) <= doubt
            assert signoff.more_than(found["bear"] - 1, following, found["rates"][1]) > doubt


def test_more_returns_than_repairs_and_than_boards_are_held():
    found = promised(repairs=3, returns=30, next=2, allowed=20)
    assert found["returns"] == 3
    assert found["rates"] == (1.0, 1.0)
    assert found["broken"] == (0.0, 0.0)


def test_a_promise_longer_than_anything_was_watched_is_not_shown():
    states = {months: shown("promise", watched=6, months=months).readout[-1].state for months in (6, 7)}
    assert states == {6: "shown", 7: "not shown"}


# ---- the sign-off page


def test_each_check_keeps_its_own_margin_and_there_is_no_sum_of_them():
    picture = shown("sheet")
    assert len(picture.readout) == len(checks()) + 1
    for check, line in zip(checks().values(), picture.readout, strict=False):
        assert line.state == answer(check)
        assert "margin" in line.value


def test_any_one_check_outside_sends_the_board_back_however_good_the_others_are():
    good = dict(class_c="260", top_gas_c=275, bottom_plate_c=325, hold=110, shield="shielded", rule="told")
    assert signoff.decision(checks(**good).values(), "told") == "may go out"
    for name, spoiled in (
        ("rail", dict(rail=5)),
        ("bow", dict(rise=3)),
        ("junction there", dict(covered=30, bond_line=200, room_c=45)),
    ):
        assert signoff.in_the_way(checks(**good, **spoiled).values(), "told") == (name,)


def test_a_conditional_pass_goes_out_only_where_it_was_agreed():
    found = checks(class_c="260", top_gas_c=275, bottom_plate_c=325, hold=110, shield="shielded")
    assert "conditional pass" in map(answer, found.values())
    assert signoff.decision(found.values(), "told") == "may go out"
    assert signoff.decision(found.values(), "guarded") == "sent back"
    assert signoff.in_the_way(found.values(), "guarded") == signoff.to_tell(found.values())


def test_less_bottom_heat_leaves_the_coldest_joint_short_in_temperature_and_in_time():
    warm, cold = checks(bottom_plate_c=350), checks(bottom_plate_c=200)
    for name in ("coldest joint", f"time over {signoff.TL_C} °C"):
        assert cold[name].margin() < warm[name].margin()
        assert answer(cold[name]) == "fail"


def test_a_neighbour_is_outside_its_limit_long_before_its_solder_melts():
    """Published: joints of neighbouring ball arrays were damaged above 195 °C; common practice: 200 °C at most."""
    found = checks(bottom_plate_c=345, top_gas_c=255)["neighbour"]
    assert value("profile", "neighbour_damage_centre_c") < found.measured < signoff.TL_C
    assert answer(found) == "fail"


def test_a_shield_cools_the_neighbour_and_nothing_else():
    bare, shielded = checks(), checks(shield="shielded")
    assert shielded["neighbour"].measured < bare["neighbour"].measured
    assert all(shielded[name] == bare[name] for name in bare if name != "neighbour")


def test_time_is_in_more_doubt_where_the_thermometer_is():
    name = f"time over {signoff.TL_C} °C"
    assert checks(wire="2")[name].standard > checks(wire="1")[name].standard
    assert checks(wire="2")[name].measured == checks(wire="1")[name].measured


@pytest.mark.parametrize("worse", [dict(covered=50), dict(bond_line=150), dict(room_c=45)])
def test_poorer_paste_and_a_warmer_room_heat_the_junction_and_nothing_else(worse):
    usual, spoiled = checks(), checks(**worse)
    assert spoiled["junction there"].measured > usual["junction there"].measured
    assert all(spoiled[name] == usual[name] for name in usual if name != "junction there")


def test_what_is_read_agrees_with_the_answer_given():
    """A margin printed as nothing is on the limit, and on the limit is inside."""
    for hot in range(240, 301, 5):
        for check in checks(top_gas_c=hot).values():
            assert (round(check.margin(), check.digits) >= 0) == (answer(check) in ("pass", "conditional pass"))
