"""The paste explorers answer as the physics says, hold wild settings, and tell in words what they show."""

import re

import numpy as np
import pytest

from workbook.bench.paste import chain, closing, deposits, spread, volumes
from workbook.panels import paste, stills
from workbook.panels.explorer import Slider, settings_of
from workbook.panels.pictures import Area, Cells, Dots, Label, Line
from workbook.references import value

EXPLORERS = {
    "spread": (paste.SPREAD_CONTROLS, paste.spread_picture),
    "chain": (paste.CHAIN_CONTROLS, paste.chain_picture),
    "pads": (paste.PADS_CONTROLS, paste.pads_picture),
}


def settings(name, **given):
    return settings_of(EXPLORERS[name][0], given)


def shown(name, **given):
    return EXPLORERS[name][1](settings(name, **given))


def reading(picture, words):
    """Return the one line of the readout that begins so."""
    (found,) = [one for one in picture.readout if one.words.startswith(words)]
    return found


def number(picture, words):
    """Return the first number of that line's value."""
    return float(re.search(r"[-+]?\d+(\.\d+)?", reading(picture, words).value).group())


def ends(control):
    """Return values of a control that a hand can reach, and some that only a script can."""
    if isinstance(control, Slider):
        return control.low, control.high, -1e9, 1e9, float("nan"), "much"
    return [*control.options, "none such", 3]


EVERY_END = [
    pytest.param(name, {control.name: end}, id=f"{name}-{control.name}-{end}")
    for name, (controls, _) in EXPLORERS.items()
    for control in controls
    for end in ends(control)
]


@pytest.mark.parametrize(("name", "given"), EVERY_END)
def test_settings_out_of_range_are_held_and_every_mark_can_be_drawn(name, given):
    can_be_drawn(shown(name, **given))


@pytest.mark.parametrize("name", EXPLORERS)
@pytest.mark.parametrize("side", [0, -1])
def test_the_far_corners_of_the_station_can_be_drawn(name, side):
    can_be_drawn(shown(name, **{one.name: (one.low, one.high)[side] for one in EXPLORERS[name][0] if _drags(one)}))


@pytest.mark.parametrize("pattern", deposits.PATTERNS)
@pytest.mark.parametrize("volume", [4, 80])
def test_the_least_and_the_most_paste_of_every_pattern_come_to_rest(pattern, volume):
    for far in (dict(force=5, yield_stress=800, time=0), dict(force=150, yield_stress=20, time=300)):
        can_be_drawn(shown("spread", pattern=pattern, volume=volume, **far))


def _drags(control):
    return isinstance(control, Slider)


def can_be_drawn(picture):
    for mark in picture.marks:
        assert mark.axes < 2
        if isinstance(mark, Cells):
            assert np.asarray(mark.rgba).shape == (paste.SPREAD_CELLS, paste.SPREAD_CELLS, 4)
            continue
        if isinstance(mark, Label):
            assert np.isfinite([mark.x, mark.y]).all()
            continue
        x, y = np.asarray(mark.x, float), np.asarray(mark.y, float)
        assert x.shape == y.shape
        assert np.isfinite(x).all()
        assert np.isfinite(y).all()
    assert all(one.value and "nan" not in one.value for one in picture.readout)


@pytest.mark.parametrize("name", EXPLORERS)
def test_the_frame_stands_still_while_a_slider_is_dragged(name):
    keys = {
        shown(name, **{one.name: end}).frame.key
        for one in EXPLORERS[name][0]
        if _drags(one)
        for end in (one.low, one.high)
    }
    assert len(keys) == 1


@pytest.mark.parametrize(
    ("name", "control"), [(name, one) for name, (controls, _) in EXPLORERS.items() for one in controls]
)
def test_every_control_changes_marks_and_readout(name, control):
    other = control.low if _drags(control) else list(control.options)[-1]
    start, moved = shown(name), shown(name, **{control.name: other})
    assert _flat(start) != _flat(moved)
    assert start.readout != moved.readout


def _flat(picture):
    return [
        np.ravel(mark.rgba).tolist()
        if isinstance(mark, Cells)
        else (np.ravel(mark.x).tolist(), np.ravel(mark.y).tolist(), getattr(mark, "text", ""))
        for mark in picture.marks
    ]


@pytest.mark.parametrize("name", EXPLORERS)
def test_a_still_is_named_as_the_lesson_names_it(name):
    assert stills.picture(f"paste.{name}").words == shown(name).words


@pytest.mark.parametrize(
    ("name", "given", "words"),
    [
        ("spread", dict(pattern="ring"), "air was shut in"),
        ("spread", dict(grain=60), "hold the gap at 60 µm"),
        ("chain", dict(fill="air"), "nothing but air"),
        ("chain", dict(fill="air"), "above the top of the picture"),
        ("pads", dict(free=2.5), "lifted off the die"),
        ("pads", dict(free=0.9), "rests on the die"),
    ],
)
def test_the_words_say_what_has_changed(name, given, words):
    assert words in shown(name, **given).words


@pytest.mark.parametrize(
    ("name", "colour", "given"),
    [
        ("spread", "blue", dict(time=40)),
        ("spread", "blue", dict(pattern="dot", time=200)),
        ("chain", "orange", dict(bond_line=125)),
        ("pads", "orange", dict(free=0.7)),
        ("pads", "orange", dict(free=2.1)),
    ],
)
def test_the_ring_that_says_now_lies_on_the_curve(name, colour, given):
    picture = shown(name, **given)
    curve = next(one for one in picture.marks if isinstance(one, Line) and one.axes == 1 and one.colour == colour)
    (ring,) = [one for one in picture.marks if isinstance(one, Dots) and one.axes == 1]
    assert np.interp(ring.x[0], curve.x, curve.y) == pytest.approx(ring.y[0], rel=0.01)
    assert np.ptp(curve.y) > 0


# ---- how paste spreads


def test_pressing_longer_closes_the_gap_and_covers_more():
    pictures = [shown("spread", time=time) for time in (0, 10, 60, 300)]
    gaps, covered = ([number(one, words) for one in pictures] for words in ("gap now", "covered"))
    assert gaps == sorted(gaps, reverse=True)
    assert gaps[0] > 2 * gaps[-1]
    assert covered == sorted(covered)


def test_twice_the_force_takes_a_paste_without_much_yield_half_the_time():
    soft = dict(yield_stress=20, viscosity=500, volume=60)
    slow, quick = (paste.pressed(settings("spread", **soft, **one)) for one in (
        dict(force=20, time=80), dict(force=40, time=40)
    ))  # fmt: skip
    assert quick["gap"] == pytest.approx(slow["gap"], rel=0.03)


def test_a_full_die_stops_where_the_formula_for_a_square_says():
    """F = tau a^3 / (3 h), by the sand hill over a full square."""
    stiff = settings("spread", pattern="line", volume=80, force=40, yield_stress=800)
    side = paste.SPREAD_DIE.length
    assert paste.pressed(stiff)["rest"] == pytest.approx(800 * side**3 / (3 * 40) * 1e6, rel=0.03)


def test_softer_paste_and_more_force_come_to_rest_thinner_until_the_grains_touch():
    rest = [
        number(shown("spread", yield_stress=stress, force=force, volume=60, grain=15), "comes to rest")
        for stress, force in ((800, 40), (400, 40), (400, 80))
    ]
    assert rest[0] > rest[1] > rest[2] > 15
    grains = shown("spread", yield_stress=20, force=150, grain=40)
    assert number(grains, "comes to rest") == 40
    assert reading(grains, "comes to rest").state == "by its grains"


def test_only_the_ring_shuts_air_in():
    states = {
        pattern: reading(shown("spread", pattern=pattern, time=300), "air shut in").state
        for pattern in deposits.PATTERNS
    }
    assert states == dict.fromkeys(deposits.PATTERNS, "inside") | {"ring": "outside"}


def test_air_once_shut_in_stays_marked_as_the_gap_falls():
    early, late = (number(shown("spread", pattern="ring", time=time), "air shut in") for time in (4, 300))
    assert late >= early > 0


def test_more_paste_than_the_film_holds_goes_over_the_edge_and_covers_no_more():
    enough, much = (shown("spread", volume=volume, time=300) for volume in (40, 80))
    assert number(much, "paste over") > number(enough, "paste over")
    assert reading(much, "paste over").state == "outside"
    assert number(much, "covered") >= number(enough, "covered") >= 99


def test_too_little_paste_leaves_the_die_partly_bare_with_nothing_lost():
    dry = shown("spread", pattern="dot", volume=4, time=300)
    assert reading(dry, "covered").state == "outside"
    assert number(dry, "paste over") == 0


def test_what_is_drawn_beside_the_die_is_what_left_over_the_edge():
    found = paste.pressed(settings("spread", volume=70, time=300))
    left = sum(side.sum() for side in paste.over_edge_volumes(found["map"]))
    assert left == pytest.approx(found["over_edge"] * 70e-9, rel=1e-6)
    assert left > 10e-9


def test_the_film_at_rest_holds_area_times_gap():
    picture = shown("spread", grain=60, force=150, yield_stress=20)
    assert number(picture, "a film") == pytest.approx(volumes.film_volume(24e-3**2, 60e-6) * 1e9, abs=0.5)


def test_the_coarse_map_agrees_with_a_finer_one():
    heights = deposits.thickness_map(paste.SPREAD_DIE, deposits.deposit("cross", paste.SPREAD_DIE, 32e-9), cells=120)
    found = paste.pressed(settings("spread"))
    fine = spread.spread(paste.SPREAD_DIE, heights, found["gap"] * 1e-6)
    assert found["covered"] == pytest.approx(spread.coverage(fine), abs=0.01)
    table = paste.squeeze_table("cross", 32)
    assert closing.distance_integral(fine) == pytest.approx(
        closing.yield_force(table, fine.gap, 1.0) * fine.gap / 2, rel=0.03
    )


# ---- where the kelvins go


def test_the_parts_of_the_stack_add_up_to_the_junction_of_the_chain():
    given = settings("chain")
    junction = chain.junction_temperature(given.air, given.power, *paste.resistances(given).values())
    assert number(shown("chain"), "junction, at most") == pytest.approx(junction, abs=0.5)
    areas = [one for one in shown("chain").marks if isinstance(one, Area)]
    for below, above in zip(areas, areas[1:], strict=False):
        assert max(below.y) == pytest.approx(min(above.y))
    assert max(areas[-1].y) == pytest.approx(junction)


@pytest.mark.parametrize(
    ("part", "cooler", "hotter"),
    [
        ("sink to air", dict(fins=24), dict(fins=4)),
        ("sink to air", dict(film=80), dict(film=5)),
        ("spreading", dict(base=6), dict(base=1.5)),
        ("between", dict(conductivity=10), dict(conductivity=1)),
        ("between", dict(bond_line=20), dict(bond_line=200)),
        ("between", dict(covered=100), dict(covered=40)),
        ("between", dict(fill="paste"), dict(fill="pad")),
        ("between", dict(fill="pad"), dict(fill="air")),
        ("through the die", dict(power=20), dict(power=90)),
    ],
)
def test_each_part_drops_more_kelvins_for_the_worse_choice_and_the_junction_follows(part, cooler, hotter):
    good, poor = shown("chain", **cooler), shown("chain", **hotter)
    assert number(good, part) < number(poor, part)
    assert number(good, "junction, at most") < number(poor, "junction, at most")


def test_words_beside_the_stack_do_not_touch_each_other():
    for power in (5, 45, 100):
        heights = [one.y for one in shown("chain", power=power).marks if isinstance(one, Label) and one.x > 1]
        assert np.diff(heights).min() >= paste.LABEL_ROOM - 1e-9


# ---- pads around a die


def test_a_pad_that_fits_leaves_the_die_its_bond_line_and_a_thick_one_lifts_the_sink():
    fitting, thick = shown("pads", free=1.0), shown("pads", free=2.0)
    assert reading(fitting, "gap over the die").state == "inside"
    assert number(fitting, "gap over the die") == 50
    assert reading(thick, "gap over the die").state == "outside"
    assert number(thick, "force left for the die") == 0
    assert number(thick, "over the die's paste") > 3 * number(fitting, "over the die's paste")


def test_a_thin_pad_does_not_reach_the_sink_and_carries_nothing():
    picture = shown("pads", free=0.5)
    assert reading(picture, "pad squeezed").state == "does not touch the sink"
    assert number(picture, "force taken by the pads") == 0


def test_pads_and_die_together_carry_the_springs():
    for free in (0.6, 1.0, 1.4, 2.2):
        picture = shown("pads", free=free)
        carried = number(picture, "force taken") + number(picture, "force left")
        assert carried == pytest.approx(paste.PADS_CONTROLS[2].value, abs=1)


def test_stronger_springs_press_a_thick_pad_down_to_the_die():
    weak, strong = shown("pads", free=1.4, clamp=30), shown("pads", free=1.4, clamp=200)
    assert (reading(weak, "force left").state, reading(strong, "force left").state) == ("lifted", "")


def test_the_drawn_sink_rests_on_the_higher_of_paste_and_pads():
    for free in (0.6, 1.0, 2.0):
        boxes = [one for one in shown("pads", free=free).marks if isinstance(one, Area) and one.axes == 0]
        _, _, joint, left, right, sink = boxes
        assert max(joint.y) == pytest.approx(min(sink.y))
        assert max(left.y) == pytest.approx(max(right.y))
        assert max(left.y) <= min(sink.y) + 1e-9


def test_the_pads_that_fit_are_those_of_the_suppliers_rule():
    least, most = (percent / 100 for percent in value("paste", "pad_compression_percent"))
    thin, thick = re.findall(r"\d\.\d+", reading(shown("pads", step=0.65), "pads that fit").value)
    assert float(thin) == pytest.approx(0.7 / (1 - least), abs=0.006)
    assert float(thick) == pytest.approx(0.7 / (1 - most), abs=0.006)
