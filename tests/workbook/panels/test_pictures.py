"""Every explorer's picture can be read at its own size, and its key shows each line as that line is drawn."""

import importlib
import re
from functools import cache, cached_property

import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.text import Text

from workbook.panels import profile
from workbook.panels.explorer import Menu, Slider, settings_of
from workbook.panels.pictures import DPI, FONT, INK, POINTS, Cells, Label, Line, _colour, looks
from workbook.topics import TOPICS
from workbook.units import COUNTED, FACTORS

EXPLORERS = [
    pytest.param((panel, name), id=name)
    for panel in (importlib.import_module(f"workbook.panels.{topic.slug}") for topic in TOPICS)
    for name in vars(panel)
    if name.endswith("_explorer")
]
SIZES = {"wide": False, "narrow": True}
WIDEST, HIGHEST = 860, {"wide": 380, "narrow": 420}


class Explorer:
    """An explorer's picture and its controls, each of them drawn once."""

    def __init__(self, panel, name):
        self.picture = getattr(panel, f"{name.removesuffix('_explorer')}_picture")
        self.controls = getattr(panel, name)()._declared

    @cached_property
    def at_start(self):
        return self.picture(settings_of(self.controls))

    @cached_property
    def lines(self):
        """The lines of the picture, at its start and where its ticks and menus stand otherwise."""
        shown = [
            self.picture(settings_of(self.controls, {control.name: value}))
            for control in self.controls
            for value in getattr(control, "options", (False, True))
        ]
        return [mark for one in shown for mark in one.marks if isinstance(mark, Line)]


explorer_of = cache(Explorer)


@pytest.fixture(scope="module", params=EXPLORERS)
def explorer(request):
    """Each explorer in turn; it is drawn as it is made, so never while tests are being collected."""
    return explorer_of(*request.param)


def figure_of(picture, narrow, dark=False):
    """Return the frame as matplotlib draws it."""
    width, height = picture.frame.narrow if narrow else picture.frame.wide
    figure = Figure(figsize=(width / DPI, height / DPI), dpi=DPI, layout="constrained")
    picture.frame.draw(figure, narrow)
    _colour(figure, dark)
    FigureCanvasAgg(figure).draw()
    return figure


def luminance(rgb):
    """WCAG 2.2, relative luminance as published by the W3C."""
    parts = (part / 255 for part in rgb)
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("moment", [0, 100, 150, 200, 300, 400])
def test_the_words_on_a_boards_map_can_be_read_on_the_colour_under_them(moment):
    """WCAG 2.2, 1.4.3: letters and ground have a contrast of 4.5 at least; cividis' middle grey leaves just that."""
    shown = profile.heat_picture(settings_of(profile.HEAT_CONTROLS, {"moment": moment}))
    (cells,) = [mark for mark in shown.marks if isinstance(mark, Cells)]
    (label,) = [mark for mark in shown.marks if isinstance(mark, Label)]
    light, dark = sorted((luminance(bytes.fromhex(label.colour[1:])), luminance(cells.rgba[-1].mean(axis=0)[:3])))[::-1]
    assert (light + 0.05) / (dark + 0.05) >= 4.5


UNITS = "|".join(map(re.escape, sorted({*FACTORS, *COUNTED, POINTS} - {"1"}, key=len, reverse=True)))
MARGIN = re.compile(rf"margin [+-]\d[\d .]* (?:{UNITS})(?=[,.])")
POWER_OF_TEN = re.compile(r"\d[eE][+-]?\d")


def corner(controls, end):
    """Return settings with every control at its lowest or its highest."""
    ends = {}
    for one in controls:
        ways = list(one.options) if isinstance(one, Menu) else [0, 1]
        ends[one.name] = (one.low, one.high)[end] if isinstance(one, Slider) else ways[-end]
    return settings_of(controls, ends)


SIMULATED = ("heat_picture", "pair_picture", "own_picture")
"""They take seconds for each programme, and their limits share one form: their start is enough."""


@pytest.mark.parametrize("end", [0, 1], ids=["lowest", "highest"])
def test_a_readout_writes_its_numbers_out_and_each_margin_with_its_unit(explorer, end):
    """What is read at a bench near mains is 1 600 W, and never 1.6e+03."""
    simulated = explorer.picture.__name__ in SIMULATED
    shown = explorer.at_start if simulated else explorer.picture(corner(explorer.controls, end))
    for told in (shown.words, *(f"{one.words}: {one.value}. {one.state}" for one in shown.readout)):
        assert not POWER_OF_TEN.search(told), told
        assert len(MARGIN.findall(told)) == told.count("margin "), told


@pytest.mark.parametrize("size", SIZES)
def test_letters_are_large_enough_to_read_and_lie_in_the_picture(explorer, size):
    figure = figure_of(explorer.at_start, SIZES[size])
    frame = figure.bbox.extents
    ticks = {id(text) for axes in figure.axes for text in (*axes.get_xticklabels(), *axes.get_yticklabels())}
    minor = {id(text) for axes in figure.axes for text in (*axes.get_xticklabels(True), *axes.get_yticklabels(True))}
    for text in figure.findobj(Text):
        if text.get_visible() and text.get_text().strip():
            assert text.get_fontsize() >= FONT, text.get_text()
            if id(text) in ticks | minor:  # those beyond an axis are not drawn
                continue
            left, _, right, _ = text.get_window_extent().extents
            assert frame[0] - 3 <= left, text.get_text()
            assert right <= frame[2] + 3, text.get_text()


def every_end(controls):
    """Yield the starting settings, and those with one control, or all, at an end."""
    yield settings_of(controls)
    yield from (corner(controls, end) for end in (0, 1))
    for one in controls:
        ends = (one.low, one.high) if isinstance(one, Slider) else getattr(one, "options", (False, True))
        yield from (settings_of(controls, {one.name: end}) for end in ends)


BESIDE = 5
"""How far words may reach beyond their axes, in pixels: as far as a tick does."""


@pytest.mark.parametrize("size", SIZES)
def test_words_among_the_marks_lie_in_their_axes_at_every_end_of_every_control(explorer, size):
    slow = explorer.picture.__name__ in SIMULATED
    figures = {}
    for shown in [explorer.at_start] if slow else map(explorer.picture, every_end(explorer.controls)):
        if shown.frame not in figures:
            figure = figure_of(shown, SIZES[size])
            figures[shown.frame] = figure, figure.axes
        figure, axes = figures[shown.frame]
        for label in (mark for mark in shown.marks if isinstance(mark, Label)):
            on = axes[label.axes]
            side = {"start": "left", "middle": "center", "end": "right"}[label.anchor]
            text = on.text(label.x, label.y, label.text, ha=side, va="center", fontsize=FONT)
            left, bottom, right, top = text.get_window_extent(figure.canvas.get_renderer()).extents
            text.remove()
            box = on.get_window_extent()
            assert box.x0 - BESIDE <= left, label.text
            assert right <= box.x1 + BESIDE, label.text
            assert box.y0 - BESIDE <= bottom, label.text
            assert top <= box.y1 + BESIDE, label.text


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_a_key_shows_a_line_as_the_line_is_drawn(explorer, dark):
    drawn = {
        drawing(looks(INK[dark] if line.colour == "ink" else line.colour, line.width, line.dash))
        for line in explorer.lines
    }
    for axes in figure_of(explorer.at_start, False, dark).axes:
        for handle in axes.get_legend().legend_handles if axes.get_legend() else ():
            if hasattr(handle, "get_dash_capstyle") and handle.get_linestyle() != "None":
                assert drawing_of(handle) in drawn, handle.get_label()


def drawing(how):
    style = how["ls"][1] if isinstance(how["ls"], tuple) else ()
    return how["color"], round(how["lw"], 3), tuple(round(step * how["lw"], 3) for step in style)


def drawing_of(handle):
    _, dashes = handle._dash_pattern
    return handle.get_color(), round(handle.get_linewidth(), 3), tuple(round(float(step), 3) for step in dashes or ())


def test_a_picture_leaves_room_on_a_small_screen_for_its_controls_and_its_readout(explorer):
    frame = explorer.at_start.frame
    assert frame.wide[0] <= WIDEST
    assert frame.wide[1] <= HIGHEST["wide"]
    assert frame.narrow[1] <= HIGHEST["narrow"]
