"""What an explorer shows: a frame drawn once, marks that move, words that say the same, and a readout.

A picture is plain data, made by a pure function of the settings. It is drawn either by the browser, which lays the
marks over the frame, or as a still by matplotlib where there is no browser (in print, and before anything is run).
"""

import io
from collections.abc import Callable, Hashable
from dataclasses import dataclass, field

import numpy as np
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from workbook.units import of_difference, signed

COLOURS = {
    "black": "#000000",
    "orange": "#e69f00",
    "sky": "#56b4e9",
    "green": "#009e73",
    "yellow": "#f0e442",
    "blue": "#0072b2",
    "red": "#d55e00",
    "purple": "#cc79a7",
    "grey": "#8a8a8a",
}
"""Eight colours that colour-blind readers tell apart (Okabe and Ito), and a grey for what stands back."""

DPI = 100
WIDE, NARROW = (860, 380), (380, 420)
"""Sizes of a picture in pixels: on a page, and on a phone."""


@dataclass(frozen=True)
class Line:
    """A line through points in the axes' own units. ``dash`` tells lines apart without colour."""

    x: object
    y: object
    colour: str
    width: float = 2.0
    dash: tuple[float, ...] = ()
    axes: int = 0


@dataclass(frozen=True)
class Area:
    """A filled shape through points in the axes' own units."""

    x: object
    y: object
    colour: str
    opacity: float = 0.3
    axes: int = 0


@dataclass(frozen=True)
class Dots:
    """Dots at points; ``colours`` is one colour for all or one for each. ``shape`` is round, square or ring."""

    x: object
    y: object
    colours: str | tuple[str, ...]
    size: float = 6.0
    shape: str = "round"
    axes: int = 0


@dataclass(frozen=True)
class Cells:
    """A grid of coloured cells: ``rgba`` is (rows, columns, 4) of 0 to 255, first row at the bottom of ``extent``.

    ``extent`` is (left, right, bottom, top) in the axes' own units.
    """

    rgba: object
    extent: tuple[float, float, float, float]
    axes: int = 0


@dataclass(frozen=True)
class Label:
    """A few words at a point in the axes' own units."""

    x: float
    y: float
    text: str
    colour: str = "ink"
    anchor: str = "start"
    axes: int = 0


Mark = Line | Area | Dots | Cells | Label


@dataclass(frozen=True)
class Frame:
    """What stands still: ``draw(figure, narrow)`` makes the axes and returns them. Same ``key``, same frame."""

    key: Hashable
    draw: Callable[[Figure, bool], list] = field(compare=False)
    wide: tuple[int, int] = WIDE
    narrow: tuple[int, int] = NARROW


@dataclass(frozen=True)
class Reading:
    """One line of the readout: what, how much, and whether it is good, poor, near the limit, or neither."""

    words: str
    value: str
    state: str = ""


@dataclass(frozen=True)
class Picture:
    """A whole picture. ``words`` tells a person who cannot see it what it shows."""

    frame: Frame
    marks: tuple[Mark, ...]
    words: str
    readout: tuple[Reading, ...] = field(default=())


@dataclass(frozen=True)
class Drawn:
    """A frame as drawn: its image, its size, and for each axes its clip box and the way from data to pixels."""

    png: bytes
    size: tuple[int, int]
    boxes: tuple[tuple[float, float, float, float], ...]
    to_pixels: tuple[Callable, ...]


def percent(share: float, places: int = 0) -> str:
    """Return a share as percent, with the space that stands before every unit.

    >>> percent(0.632, 1), percent(0.07)
    ('63.2 %', '7 %')
    """
    return f"{100 * share:.{places}f} %"


POINTS = "% points"
"""The unit of a difference of two shares in per cent: 40 % is 10 % points above 30 %, and a third more."""


def with_margin(value: str, margin: float, unit: str, places: int = 0) -> str:
    """Return a value and its own margin, each with its unit; of temperatures the margin is in kelvin.

    >>> with_margin("242 °C", 3.2, "°C"), with_margin("0.40 %", 0.35, "%", 2)
    ('242 °C, margin +3 K', '0.40 %, margin +0.35 % points')
    """
    return f"{value}, margin {signed(margin, places)} {POINTS if unit == '%' else of_difference(unit)}"


def stands(margin: float, doubt: float = 0.0) -> str:
    """Return where a value stands by its margin; within its doubt it is too near to call.

    >>> stands(3, 1), stands(-1, 1), stands(-2, 1)
    ('inside', 'borderline', 'outside')
    """
    return "borderline" if abs(margin) <= doubt else "inside" if margin > 0 else "outside"


FONT = 9
"""The smallest letters of a picture, in points: smaller ones are not read on a bench [pt]."""


TO_BE_INKED = "#010203"
"""Stands for the theme's ink in a legend, until the theme is known."""


def looks(colour: str, width: float, dash: tuple[float, ...] = ()) -> dict:
    """Return how matplotlib draws a line as the browser draws it: width and dashes are pixels there."""
    style = (0, tuple(step / width for step in dash)) if dash else "solid"
    return {"color": COLOURS.get(colour, colour), "lw": width * 72 / DPI, "ls": style}


def key(axes, words: str, colour: str, width: float, dash: tuple[float, ...] = ()) -> None:
    """Give a line that moves its place in the legend, with the line's own looks."""
    axes.plot([], [], label=words, **looks(TO_BE_INKED if colour == "ink" else colour, width, dash))


def legend(axes, **place) -> None:
    """Draw an axes' legend, its samples long enough to tell dashes apart."""
    axes.legend(**{"fontsize": FONT, "framealpha": 0.9, "handlelength": 3.4, "borderpad": 0.3} | place)


INK = {False: "#1f2430", True: "#e8e6e1"}
PAPER = {False: "#ffffff", True: "#16181d"}


def drawn(frame: Frame, narrow: bool = False, dark: bool = False, scale: float = 1.0) -> Drawn:
    """Draw a frame and say where its axes lie, in pixels from the top left."""
    figure = _figure(frame, narrow, dark, scale)
    axes = frame.draw(figure, narrow)
    canvas = FigureCanvasAgg(figure)
    _colour(figure, dark)
    canvas.draw()
    out = io.BytesIO()
    canvas.print_png(out, pil_kwargs={"compress_level": 1})
    width, height = frame.narrow if narrow else frame.wide
    boxes, ways = [], []
    for one in axes:
        left, bottom, right, top = one.get_window_extent().extents / scale
        boxes.append((left, height - top, right - left, top - bottom))
        ways.append(_way(one.transData.frozen(), height, scale))
    return Drawn(out.getvalue(), (width, height), tuple(boxes), tuple(ways))


def _figure(frame: Frame, narrow: bool, dark: bool, scale: float) -> Figure:
    width, height = frame.narrow if narrow else frame.wide
    return Figure(figsize=(width / DPI, height / DPI), dpi=DPI * scale, facecolor=PAPER[dark], layout="constrained")


def _way(transform, height: float, scale: float) -> Callable:
    def to_pixels(x, y):
        points = np.column_stack([np.ravel(x), np.ravel(y)]).astype(float)
        moved = transform.transform(points) / scale
        return np.column_stack([moved[:, 0], height - moved[:, 1]]).astype(np.float32)

    return to_pixels


def _colour(figure: Figure, dark: bool) -> None:
    """Give every axes the theme's ink and paper."""
    ink = INK[dark]
    for text in figure.findobj(match=lambda artist: hasattr(artist, "set_color") and hasattr(artist, "get_text")):
        text.set_color(ink)
    for line in figure.findobj(match=lambda artist: hasattr(artist, "get_dash_capstyle")):
        if line.get_color() == TO_BE_INKED:
            line.set_color(ink)
    for axes in figure.axes:
        axes.set_facecolor(PAPER[dark])
        axes.tick_params(colors=ink, which="both")
        for spine in axes.spines.values():
            spine.set_edgecolor(ink)
    for legend in figure.findobj(
        match=lambda artist: hasattr(artist, "get_frame") and hasattr(artist, "legend_handles")
    ):
        legend.get_frame().set_facecolor(PAPER[dark])
        legend.get_frame().set_edgecolor(COLOURS["grey"])


def still(picture: Picture, narrow: bool = False, dark: bool = False, scale: float = 1.0) -> bytes:
    """Return the whole picture as a PNG, marks and all, without a browser."""
    figure = _figure(picture.frame, narrow, dark, scale)
    axes = picture.frame.draw(figure, narrow)
    _colour(figure, dark)
    canvas = FigureCanvasAgg(figure)
    canvas.draw()
    figure.set_layout_engine("none")
    limits = [(one.get_xlim(), one.get_ylim()) for one in axes]
    for mark in picture.marks:
        _STILL[type(mark)](axes[mark.axes], mark, INK[dark])
    for one, (x, y) in zip(axes, limits, strict=True):
        one.set_xlim(x)
        one.set_ylim(y)
    out = io.BytesIO()
    canvas.print_png(out)
    return out.getvalue()


def _hex(colour: str, ink: str) -> str:
    return ink if colour == "ink" else COLOURS.get(colour, colour)


def _still_line(axes, mark: Line, ink: str) -> None:
    axes.plot(mark.x, mark.y, zorder=3, **looks(_hex(mark.colour, ink), mark.width, mark.dash))


def _still_area(axes, mark: Area, ink: str) -> None:
    axes.fill(mark.x, mark.y, color=_hex(mark.colour, ink), alpha=mark.opacity, lw=0, zorder=2)


def _still_dots(axes, mark: Dots, ink: str) -> None:
    colours = [mark.colours] if isinstance(mark.colours, str) else mark.colours
    colours = [_hex(colour, ink) for colour in colours]
    area = (mark.size * 72 / DPI) ** 2
    ring = mark.shape == "ring"
    faces = {"facecolors": "none", "edgecolors": colours, "linewidths": 1.5} if ring else {"c": colours}
    axes.scatter(mark.x, mark.y, s=area, marker="s" if mark.shape == "square" else "o", zorder=4, **faces)


def _still_cells(axes, mark: Cells, ink: str) -> None:
    axes.imshow(
        np.asarray(mark.rgba, np.uint8),
        extent=mark.extent,
        origin="lower",
        aspect=axes.get_aspect(),
        interpolation="nearest",
        zorder=1,
    )


def _still_label(axes, mark: Label, ink: str) -> None:
    side = {"start": "left", "middle": "center", "end": "right"}[mark.anchor]
    axes.text(mark.x, mark.y, mark.text, color=_hex(mark.colour, ink), ha=side, va="center", fontsize=9, zorder=5)


_STILL = {Line: _still_line, Area: _still_area, Dots: _still_dots, Cells: _still_cells, Label: _still_label}
