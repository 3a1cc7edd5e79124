"""The shorts explorers answer as the physics says, hold wild settings, and tell in words what they show."""

import re

import numpy as np
import pytest

from workbook.bench.shorts import decision, junctions, networks
from workbook.panels import shorts, stills
from workbook.panels.explorer import Menu, Press, Slider, Tick, settings_of
from workbook.panels.pictures import Cells, Dots, Label, Line
from workbook.references import value

EXPLORERS = {
    "meter": (shorts.METER_CONTROLS, shorts.meter_picture),
    "climb": (shorts.CLIMB_CONTROLS, shorts.climb_picture),
    "find": (shorts.FIND_CONTROLS, shorts.find_picture),
}
AXES = {"meter": 2, "climb": 1, "find": 2}
ALL_TOUCHED = len(shorts.PLACES)


def shown(name, **given):
    controls, picture = EXPLORERS[name]
    return picture(settings_of(controls, given))


def reading(picture, words):
    """Return the one line of the readout that begins so."""
    (found,) = [one for one in picture.readout if one.words.startswith(words)]
    return found


def measured(**given):
    return shorts.measured(settings_of(shorts.METER_CONTROLS, given))


def searched(**given):
    return shorts.searched(settings_of(shorts.FIND_CONTROLS, dict(touch=ALL_TOUCHED) | given))


def ends(control):
    """Return values of a control that a hand can reach, and some that only a script can."""
    if isinstance(control, Slider):
        return control.low, control.high, (control.low + control.high) / 2, -1e9, 1e9, float("nan"), "much"
    if isinstance(control, Press):
        return 1, 5, ALL_TOUCHED, 1000, -3, "often"
    return [*control.options, "none such", 3] if isinstance(control, Menu) else [True, False, "yes"]


EVERY_END = [
    pytest.param(name, {control.name: end}, id=f"{name}-{control.name}-{end}")
    for name, (controls, _) in EXPLORERS.items()
    for control in controls
    for end in ends(control)
]


def hold_drawable(picture, axes):
    for mark in picture.marks:
        assert mark.axes < axes
        if isinstance(mark, Cells):
            assert np.asarray(mark.rgba).shape[2] == 4
            continue
        if isinstance(mark, Label):
            assert np.isfinite([mark.x, mark.y]).all()
            continue
        x, y = np.asarray(mark.x, float), np.asarray(mark.y, float)
        assert x.shape == y.shape
        assert np.isfinite(x).all()
        assert np.isfinite(y).all()
        if isinstance(mark, Dots) and not isinstance(mark.colours, str):
            assert len(mark.colours) == x.size
    assert all(one.value and "nan" not in one.value for one in picture.readout)


@pytest.mark.parametrize(("name", "given"), EVERY_END)
def test_settings_out_of_range_are_held_and_every_mark_can_be_drawn(name, given):
    hold_drawable(shown(name, **given), AXES[name])


@pytest.mark.parametrize("name", EXPLORERS)
@pytest.mark.parametrize("side", [0, -1])
@pytest.mark.parametrize("ticked", [False, True])
def test_far_corners_of_the_station_can_be_drawn(name, side, ticked):
    far = {one.name: (one.low, one.high)[side] for one in EXPLORERS[name][0] if isinstance(one, Slider)}
    far |= {one.name: ticked for one in EXPLORERS[name][0] if isinstance(one, Tick)}
    far |= {one.name: list(one.options)[side] for one in EXPLORERS[name][0] if isinstance(one, Menu)}
    hold_drawable(shown(name, **far, touch=ALL_TOUCHED), AXES[name])


@pytest.mark.parametrize("name", EXPLORERS)
def test_the_frame_stands_still_while_a_slider_is_dragged(name):
    keys = {
        shown(name, **{one.name: end}).frame.key
        for one in EXPLORERS[name][0]
        if isinstance(one, Slider)
        for end in (one.low, one.high)
    }
    assert len(keys) == 1


PREPARED = {
    ("find", "warm"): dict(touch=3),
    ("find", "both"): dict(touch=3, warm=5),
    ("meter", "by_design"): dict(fault="0.2"),
    ("meter", "touch"): dict(contact=0.5),
}
"""Controls that show only beside others."""


@pytest.mark.parametrize(
    ("name", "control"),
    [pytest.param(name, one, id=f"{name}-{one.name}") for name, (controls, _) in EXPLORERS.items() for one in controls],
)
def test_every_control_changes_what_is_shown(name, control):
    beside = PREPARED.get((name, control.name), {})
    others = {
        Slider: lambda: control.high if control.value == control.low else control.low,
        Menu: lambda: next(key for key in reversed(control.options) if key != control.value),
        Tick: lambda: not control.value,
        Press: lambda: control.value + 1,
    }
    start, moved = shown(name, **beside), shown(name, **beside | {control.name: others[type(control)]()})
    assert (start.readout, start.words) != (moved.readout, moved.words)


@pytest.mark.parametrize("name", EXPLORERS)
def test_a_still_is_named_as_the_lesson_names_it(name):
    assert stills.picture(f"shorts.{name}").words == shown(name).words


# ---- a reading and its verdict


@pytest.mark.parametrize(
    ("fault", "verdict"),
    [("0.2", decision.DEAD_SHORT), ("1.0", decision.UNDECIDED), ("3", decision.NO_DEAD_SHORT)],
)
def test_far_faults_are_decided_and_one_at_the_limit_is_not(fault, verdict):
    assert measured(fault=fault)["verdict"] == verdict


@pytest.mark.parametrize("touch", range(12))
@pytest.mark.parametrize("fault", ["none", "3", "1.2", "0.8", "0.2"])
@pytest.mark.parametrize("wires", shorts.RANGES)
def test_the_interval_holds_what_is_on_the_rail_however_the_probes_touch(touch, fault, wires):
    found = measured(touch=touch, fault=fault, range=wires)
    assert abs(found["estimate"] - found["true"]) <= found["expanded"]


def test_leads_left_in_miss_a_short():
    assert measured(fault="0.8", leads=1.0, subtract=False)["verdict"] == decision.NO_DEAD_SHORT
    assert measured(fault="0.8", leads=1.0, range="four")["verdict"] == decision.DEAD_SHORT


def test_leads_and_contacts_do_not_reach_four_wires():
    assert measured(range="four", leads=0, contact=0) == measured(range="four", leads=1, contact=0.5)


def test_a_coarser_range_widens_the_band_and_four_wires_narrow_it():
    wide = {key: measured(range=key)["expanded"] for key in shorts.RANGES}
    assert wide["four"] < wide["200"] < wide["2000"]


def test_a_rail_near_zero_by_design_is_never_called_shorted():
    assert measured(fault="0.2", by_design=True)["verdict"] == decision.UNDECIDED
    assert reading(shown("meter", fault="0.2", by_design=True), "verdict").state == "borderline"


def test_a_good_board_with_a_low_rail_passes_for_a_dead_short_while_it_is_hot_and_is_told_to_cool():
    hot = shown("meter", fault="none", board_c=90, cold=10)
    assert reading(hot, "verdict").state == "outside"
    assert reading(hot, "temperature").state == "let it cool first"
    assert reading(shown("meter", fault="none"), "against a good board").state == "inside"


def test_a_hard_fault_hardly_moves_with_temperature():
    cold, warm = (shorts.warm_rail(64.0, 0.2, board_c) for board_c in (20.0, 50.0))
    assert warm == pytest.approx(cold, rel=0.1)
    assert shorts.warm_rail(64.0, np.inf, 50.0) < 0.2 * shorts.warm_rail(64.0, np.inf, 20.0)


def test_the_current_of_the_rail_and_of_its_fault_add_up_to_the_test_current():
    leakage = junctions.leakage_when_warm(junctions.leakage_behind(1e-3, 64.0, 20.0), 25.0, shorts.DOUBLING)
    volts = 1e-3 * shorts.warm_rail(64.0, 9.0, 45.0)
    channel = leakage * -np.expm1(-volts / junctions.thermal_voltage(45.0))
    assert channel + volts / 9.0 == pytest.approx(1e-3, rel=1e-6)


# ---- a reading that climbs


def test_the_prints_of_the_references_are_reached_by_the_reading_and_the_wait():
    first, _, wait = value("shorts", "capacitor_reading_1000_uf")
    found = shorts.climbing(settings_of(shorts.CLIMB_CONTROLS, dict(rail="64", capacitance="1000", time=0.05)))
    assert found["reading"] == pytest.approx(first, abs=0.05)
    assert found["wait"] == pytest.approx(wait, abs=0.0005)


def test_a_leak_makes_the_reading_stand_still_sooner_and_lower():
    sound, leaking = (
        shorts.climbing(settings_of(shorts.CLIMB_CONTROLS, dict(leak=leak, time=20))) for leak in ("none", "1")
    )
    assert leaking["wait"] < sound["wait"]
    assert leaking["end"] == pytest.approx(networks.parallel(1000.0, 1.0))
    assert reading(shown("climb", leak="1"), "99 %").state == "stands still"
    assert reading(shown("climb", leak="none"), "99 %").state == "wait"


# ---- the search


@pytest.mark.parametrize("number", range(1, 41))
@pytest.mark.parametrize("clip", shorts.CLIPS)
def test_the_shorted_part_reads_lowest_from_every_edge(number, clip):
    found = searched(number=number, clip=clip)
    first, _, apart, doubt = shorts.lowest_against_next(found["touched"])
    assert first == found["short"]
    assert apart > doubt


def test_every_part_is_the_short_on_some_board():
    assert {shorts.hidden(number)[0] for number in range(1, 41)} == set(shorts.PLACES)


def test_the_reading_over_current_stands_still_and_its_doubt_shrinks_as_the_current_grows():
    little, much = searched(current=0.2), searched(current=2.0)
    for name in shorts.PLACES:
        assert little["touched"][name][0] == pytest.approx(much["touched"][name][0], abs=1e-9)
        assert little["touched"][name][1] > much["touched"][name][1]


def test_against_ground_the_common_drop_in_the_short_widens_every_doubt():
    ground, part = searched(number=1, b="ground"), searched(number=1, b=searched(number=1)["short"])
    assert all(ground["touched"][name][1] > 3 * part["touched"][name][1] for name in shorts.PLACES)


def test_the_shorted_part_against_ground_reads_its_own_resistance():
    for number in (1, 2, 3):
        found = searched(number=number, b="ground")
        assert found["touched"][found["short"]][0] == pytest.approx(1e3 * found["ohms"], abs=1e-6)


def test_reading_both_ways_takes_a_warm_tip_out():
    cold, warm = searched(current=0.3), searched(current=0.3, warm=8)
    both = searched(current=0.3, warm=8, both=True)
    assert any(abs(warm["touched"][name][0] - cold["touched"][name][0]) > 0.05 for name in shorts.PLACES)
    for name in shorts.PLACES:
        assert both["touched"][name][0] == pytest.approx(cold["touched"][name][0], abs=1e-9)


def test_the_free_tip_on_a_pad_reads_nearly_what_the_pad_reads():
    found = searched(along=96, across=44)
    assert found["free"][0] == pytest.approx(found["touched"]["C7"][0], abs=0.02)


def test_the_free_tip_beside_the_short_is_lower_than_far_from_it():
    short = searched()["short"]
    x, y = shorts.PLACES[short]
    assert searched(along=x + 5, across=y)["free"][0] < searched(along=10, across=40)["free"][0]


def test_nothing_gives_the_short_away_before_the_map_is_shown():
    closed, shown_map = shown("find", touch=3), shown("find", touch=3, map=True)
    short = shorts.hidden(1)[0]
    assert "shorted part," not in closed.words
    assert f"{short}, the shorted part" in shown_map.words
    rings = [one for one in closed.marks if isinstance(one, Dots) and one.colours == "red"]
    assert rings == []
    (ring,) = [one for one in shown_map.marks if isinstance(one, Dots) and one.colours == "red"]
    assert (ring.x[0], ring.y[0]) == shorts.PLACES[short]


def test_the_map_is_darkest_at_the_short():
    (cells,) = [one for one in shown("find", map=True).marks if isinstance(one, Cells)]
    light = np.asarray(cells.rgba, int)[..., :3].sum(axis=2)
    row, column = np.unravel_index(light.argmin(), light.shape)
    x, y = shorts.PLACES[shorts.hidden(1)[0]]
    assert abs(column + 0.5 - x) <= shorts.PAD
    assert abs(row + 0.5 - y) <= shorts.PAD


def test_readings_come_one_by_one_and_begin_again_after_the_last():
    for touch, count in ((0, 0), (1, 1), (8, 8), (9, 0), (10, 1)):
        bars = [one for one in shown("find", touch=touch).marks if isinstance(one, Line) and one.axes == 1]
        assert len(bars) == count


def test_a_right_word_is_found_and_a_wrong_one_is_not():
    short = shorts.hidden(7)[0]
    for guess in shorts.PLACES:
        state = reading(shown("find", number=7, guess=guess), "your word").state
        assert state == ("found" if guess == short else "look again")


def test_two_parts_within_each_others_doubt_are_not_told_apart():
    line = shown("find", number=1, touch=8, current=0.1).readout[1]
    margin = float(re.search(r"margin ([-+][\d.]+)", line.value).group(1))
    assert (line.state == "told apart") == (margin > 0)
    assert margin < 0
