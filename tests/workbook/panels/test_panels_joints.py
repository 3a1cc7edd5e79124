"""The joints explorers answer as the physics says, hold wild settings, and tell in words what they show."""

import itertools
import re

import numpy as np
import pytest

from tests.workbook.panels.test_pictures import figure_of
from workbook.bench.joints import strain, weibull
from workbook.panels import joints, stills
from workbook.panels.explorer import Menu, Slider, Tick, settings_of
from workbook.panels.pictures import FONT, Area, Cells, Dots, Label, Line
from workbook.references import value

EXPLORERS = {
    "array": (joints.ARRAY_CONTROLS, joints.array_picture),
    "life": (joints.LIFE_CONTROLS, joints.life_picture),
    "bow": (joints.BOW_CONTROLS, joints.bow_picture),
}


def shown(name, **given):
    controls, picture = EXPLORERS[name]
    return picture(settings_of(controls, given))


def reading(picture, words):
    """Return the one line of the readout that begins so."""
    (found,) = [one for one in picture.readout if one.words.startswith(words)]
    return found


def number(picture, words):
    """Return the first number of that line's value."""
    first = re.search(r"[-+]?\d[\d ]*(\.\d+)?(e\d+)?", reading(picture, words).value).group()
    return float(first.replace(" ", ""))


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


@pytest.mark.parametrize(("name", "given"), EVERY_END)
def test_settings_out_of_range_are_held_and_every_mark_can_be_drawn(name, given):
    picture = shown(name, **given)
    axes = 2
    for mark in picture.marks:
        assert mark.axes < axes
        if isinstance(mark, Label):
            assert np.isfinite([mark.x, mark.y]).all()
            continue
        assert not isinstance(mark, Cells)
        x, y = np.asarray(mark.x, float), np.asarray(mark.y, float)
        assert x.shape == y.shape
        assert np.isfinite(x).all()
        assert np.isfinite(y).all()
        if isinstance(mark, Dots) and not isinstance(mark.colours, str):
            assert len(mark.colours) == x.size
    assert all(one.value and "nan" not in one.value for one in picture.readout)


@pytest.mark.parametrize("name", EXPLORERS)
def test_two_far_corners_of_the_station_can_be_drawn(name):
    controls, picture = EXPLORERS[name]
    for side in (0, -1):
        far = {one.name: (one.low, one.high)[side] for one in controls if isinstance(one, Slider)}
        assert picture(settings_of(controls, far)).words


@pytest.mark.parametrize("name", EXPLORERS)
def test_the_frame_stands_still_while_a_slider_is_dragged(name):
    keys = {
        shown(name, **{one.name: end}).frame.key
        for one in EXPLORERS[name][0]
        if isinstance(one, Slider)
        for end in (one.low, one.high)
    }
    assert len(keys) == 1


@pytest.mark.parametrize(
    ("name", "control"), [(name, one) for name, (controls, _) in EXPLORERS.items() for one in controls]
)
def test_every_control_changes_the_picture_or_its_frame(name, control):
    other = {Slider: lambda: control.low, Menu: lambda: list(control.options)[-1], Tick: lambda: not control.value}
    start, moved = shown(name), shown(name, **{control.name: other[type(control)]()})
    if control.value == other[type(control)]():
        moved = shown(name, **{control.name: control.high if isinstance(control, Slider) else list(control.options)[0]})
    same_marks = [_flat(mark) for mark in start.marks] == [_flat(mark) for mark in moved.marks]
    assert not same_marks or start.frame.key != moved.frame.key


def _flat(mark):
    if isinstance(mark, Label):
        return mark.text, mark.x, mark.y
    colours = mark.colours if isinstance(mark, Dots) else mark.colour
    return np.ravel(mark.x).tolist(), np.ravel(mark.y).tolist(), colours


@pytest.mark.parametrize("name", EXPLORERS)
def test_a_still_is_named_as_the_lesson_names_it(name):
    assert stills.picture(f"joints.{name}").words == shown(name).words


# ---- the ball array


def rings(picture):
    """Return the ringed balls of the array seen from above, in millimetres."""
    (ring,) = [one for one in picture.marks if isinstance(one, Dots) and one.shape == "ring" and one.axes == 0]
    return np.column_stack([ring.x, ring.y])


def test_the_four_corners_of_a_full_array_are_ringed():
    assert sorted(map(tuple, np.abs(rings(shown("array"))))) == [(12.5, 12.5)] * 4


def test_emptying_the_middle_leaves_the_worst_joint_as_strained_as_before():
    full, hollow = shown("array"), shown("array", empty=20)
    assert number(hollow, "balls") < number(full, "balls")
    assert reading(hollow, "strain of the worst") == reading(full, "strain of the worst")
    assert np.array_equal(rings(hollow), rings(full))


def test_cutting_the_corners_off_brings_other_joints_first_that_are_strained_less():
    whole, cut = shown("array"), shown("array", cut=2)
    assert number(whole, "balls") - number(cut, "balls") == 4 * 3
    assert number(cut, "strain of the worst") < number(whole, "strain of the worst")
    assert reading(cut, "centre to the worst").state == "8 alike"


@pytest.mark.parametrize(
    ("kinder", "harsher"),
    [
        (dict(rows=16), dict(rows=32)),
        (dict(pitch="0.5"), dict(pitch="1.27")),
        (dict(standoff=0.8), dict(standoff=0.2)),
        (dict(part=15), dict(part=5)),
        (dict(swing=20), dict(swing=120)),
    ],
)
def test_smaller_parts_taller_joints_less_mismatch_and_less_swing_make_joints_last(kinder, harsher):
    kind, harsh = shown("array", **kinder), shown("array", **harsher)
    assert number(kind, "strain of the worst") < number(harsh, "strain of the worst")
    assert number(kind, "half of such joints") > number(harsh, "half of such joints")


def test_the_worst_joint_has_the_strain_of_the_handbooks_array_counted_to_the_ball_centre():
    """The computed row of the references: the handbook's case (second-hand) with 9.5 pitches in place of 10."""
    picture = shown("array", rows=20, pitch="1.0", standoff=0.508, part=6, board=18, swing=30)
    assert number(picture, "strain of the worst") == pytest.approx(
        value("joints", "corner_strain_ball_centre"), abs=0.005
    )


def test_part_and_board_that_grow_alike_strain_no_joint():
    picture = shown("array", part=17, board=17)
    assert "no joint is strained" in picture.words
    assert rings(picture).size == 0


def test_the_joints_chances_of_going_first_add_up_to_certainty():
    balls = joints.array_balls(10, 1.0, 0, 0)
    strains = 0.01 * strain.distance_from_neutral_point(balls) / 6e-3
    lives = joints.array_lives(strains)
    chances = [joints.first_to_go(lives, [one]) for one in range(len(lives))]
    assert sum(chances) == pytest.approx(1)
    assert set(np.flatnonzero(np.isclose(chances, max(chances)))) == set(strain.worst_joints(strains))


def test_drawn_joints_go_first_as_often_as_the_chance_says():
    """Draws of Weibull lives, one for each ball of a small array, count how often a corner is the first."""
    balls = joints.array_balls(8, 1.0, 0, 0)
    lives = joints.array_lives(0.002 * strain.distance_from_neutral_point(balls) / 1e-3)
    corners = strain.worst_joints(1 / lives)
    random = np.random.default_rng(8)
    draws = lives * random.weibull(joints.ARRAY_SHAPE, (20000, lives.size))
    often = np.isin(draws.argmin(axis=1), corners).mean()
    assert often == pytest.approx(joints.first_to_go(lives, corners), abs=4 * np.sqrt(0.25 / 20000))


# ---- lives


def test_a_package_fails_before_its_worst_joint_and_sooner_the_more_joints_it_has():
    four, many = shown("life", rows=2), shown("life", rows=32)
    words = "one corner joint"
    assert number(four, words) == number(many, words)
    assert number(many, "whole package") < number(four, "whole package") < number(four, words)


def test_four_corners_alone_live_as_the_weakest_of_four_equal_joints():
    found = joints.lives_of(settings_of(joints.LIFE_CONTROLS, dict(rows=2)))
    assert found["package"] == pytest.approx(weibull.weakest_link_life(found["joint"], 3.0, 4))


@pytest.mark.parametrize("change", [dict(highest_c=90), dict(hours=12), dict(strain=3), dict(years=20), dict(daily=6)])
def test_hotter_longer_wider_and_more_cycles_use_up_the_packages(change):
    assert number(shown("life", **change), "packages failed") > number(shown("life"), "packages failed")


def test_a_slow_cycle_in_use_makes_a_test_cycle_worth_less_by_the_cube_root_of_its_length():
    quick, slow = (joints.lives_of(settings_of(joints.LIFE_CONTROLS, dict(daily=1, hours=h))) for h in (1, 8))
    assert quick["acceleration"] / slow["acceleration"] == pytest.approx(2)


def test_cycles_longer_than_the_day_allows_are_held_to_the_day():
    picture = shown("life", daily=12, hours=24)
    assert "2 h as a day allows" in reading(picture, "cycles in the wanted").state


def test_the_hundred_packages_show_the_share_that_failed():
    for years in (1, 5, 10, 30):
        picture = shown("life", years=years)
        squares, dots = (one for one in picture.marks if one.axes == 1)
        assert (squares.shape, dots.shape) == ("square", "round")
        assert len(squares.x) + len(dots.x) == 100
        assert len(squares.x) == pytest.approx(number(picture, "packages failed"), abs=0.6)
        assert f"{len(squares.x)} of 100" in picture.words


def test_on_weibull_paper_a_curve_is_a_straight_line_with_the_shape_for_its_slope():
    picture = shown("life", shape=4, paper=True)
    line = next(one for one in picture.marks if isinstance(one, Line))
    heights = np.log(-np.log1p(-np.asarray(line.y)))
    slopes = np.diff(heights) / np.diff(np.log(line.x))
    assert slopes == pytest.approx(4)


def test_the_margin_of_the_wanted_years_is_the_year_in_which_one_in_a_hundred_has_failed():
    found = joints.lives_of(settings_of(joints.LIFE_CONTROLS))
    at_that_year = joints.lives_of(settings_of(joints.LIFE_CONTROLS, dict(years=found["allowed_years"])))
    assert at_that_year["failed"] == pytest.approx(joints.ALLOWED)


# ---- bow


def test_without_heat_crossing_it_the_board_stays_flat():
    picture = shown("bow", flux=0)
    assert number(picture, "middle of the heated board") == 0
    assert reading(picture, "middle of the heated board").state == "flat"


def test_at_one_heat_flow_a_thicker_board_bows_as_much_as_a_thin_one():
    thin, thick = (joints.bows(settings_of(joints.BOW_CONTROLS, dict(thickness=t))) for t in (0.8, 3.2))
    assert thick["difference"] == pytest.approx(4 * thin["difference"])
    assert thick["over_span"] == pytest.approx(thin["over_span"])


def test_top_heat_lifts_the_boards_middle_and_twice_the_length_lifts_it_four_times():
    short, long = (joints.bows(settings_of(joints.BOW_CONTROLS, dict(span=span))) for span in (80, 160))
    assert short["over_span"] > 0
    assert long["over_span"] == pytest.approx(4 * short["over_span"])


def test_a_package_stands_middle_up_when_cold_and_middle_down_when_its_joints_melt():
    assert reading(shown("bow", package_c=25), "package, corner").value.startswith("+")
    assert reading(shown("bow", package_c=220), "package, corner").value.startswith("-")


def test_top_heat_alone_stretches_the_corner_joint_further_and_squeezes_the_centre():
    even, top = shown("bow", flux=0), shown("bow", flux=8)
    assert number(top, "joint at the corner") > number(even, "joint at the corner") > 0
    assert number(top, "joint at the centre") < number(even, "joint at the centre") < 0
    assert reading(top, "joint at the corner").state == "stretched"


def test_below_melting_the_joints_are_told_to_be_solid():
    assert reading(shown("bow", package_c=150), "joint at the corner").state == "solid: stressed"


def test_the_floating_package_keeps_the_mean_height_of_its_joints():
    x = np.linspace(-13.5, 13.5, 401)
    radius = np.hypot(*np.meshgrid(x, x))
    stretch = joints.joint_stretch(0.8, 27.0, radius)
    assert stretch.mean() == pytest.approx(0, abs=0.01 * np.abs(stretch).max())


def test_the_drawn_board_is_as_high_over_its_ends_as_the_readout_says():
    picture = shown("bow", flux=8)
    board = next(one for one in picture.marks if isinstance(one, Area) and one.axes == 0)
    top = np.asarray(board.y)[:41]
    assert top[20] - top[0] == pytest.approx(number(picture, "middle of the heated board"), abs=0.006)


BOW_NAMES = ("flux", "thickness", "expansion", "package_c", "side")
BOW_CORNERS = list(itertools.product((0, 8), (0.8, 3.2), (11, 22), (25, 250), (10, 35)))


@pytest.mark.parametrize("narrow", [False, True], ids=["wide", "narrow"])
def test_words_about_the_joints_stand_clear_of_board_package_and_frame_for_every_package(narrow):
    figure = figure_of(shown("bow"), narrow)
    axes = figure.axes[1]
    for values in BOW_CORNERS:
        picture = shown("bow", **dict(zip(BOW_NAMES, values, strict=True)))
        (label,) = [mark for mark in picture.marks if isinstance(mark, Label) and "corner" in mark.text]
        text = axes.text(label.x, label.y, label.text, ha="center", va="center", fontsize=FONT)
        inside = text.get_window_extent(figure.canvas.get_renderer()).transformed(axes.transData.inverted())
        text.remove()
        assert max(np.max(mark.y) for mark in picture.marks if isinstance(mark, Area) and mark.axes == 1) < inside.y0
        assert axes.get_xlim()[0] < inside.x0 < inside.x1 < axes.get_xlim()[1]
        assert inside.y1 < axes.get_ylim()[1]


def test_joints_of_every_package_are_drawn_apart_from_one_another_on_a_phone():
    axes = figure_of(shown("bow"), narrow=True).axes[1]
    to_pixels = axes.get_window_extent().width / np.ptp(axes.get_xlim())
    for side in range(10, 36):
        joints_drawn = [mark for mark in shown("bow", side=side).marks if isinstance(mark, Line) and mark.axes == 1]
        apart = np.diff(sorted(mark.x[0] for mark in joints_drawn)) * to_pixels
        assert apart.min() > max(mark.width for mark in joints_drawn), side


def test_a_bow_is_not_judged_while_the_solder_is_solid():
    """The limit is for the package at soldering heat: what it does when cold says nothing of the melt."""
    assert reading(shown("bow", package_c=25, side=35), "package, corner to corner").state == "solid: not judged"


def test_a_bow_larger_than_the_standards_is_outside_by_its_own_margin():
    picture = shown("bow", package_c=250, side=35)
    found = reading(picture, "package, corner to corner")
    assert found.state == "outside"
    assert "margin -" in found.value
