"""The thin widget around a pure picture: native controls in the browser, the picture computed in the kernel."""

import asyncio
import base64
import html
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from threading import RLock
from types import SimpleNamespace

import anywidget
import numpy as np
import traitlets

from workbook.panels.pictures import COLOURS, Area, Cells, Dots, Label, Line, Picture, drawn, still
from workbook.units import together

HERE = Path(__file__).parent
QUIET, PAUSE = 1.0, 0.01
"""Seconds without a question before anything is made ahead of one, and between two things made ahead [s]."""


@dataclass(frozen=True)
class Slider:
    """A number to drag, in a unit."""

    name: str
    words: str
    unit: str
    low: float
    high: float
    step: float
    value: float

    def held(self, value) -> float:
        """Return a value inside the slider's range; the starting value for what is no number."""
        if isinstance(value, bool) or not isinstance(value, (int, float)) or value != value:
            return self.value
        return min(max(value, self.low), self.high)


@dataclass(frozen=True)
class Menu:
    """One of a few words: key -> what is shown."""

    name: str
    words: str
    options: dict[str, str]
    value: str

    def held(self, value) -> str:
        """Return a key of the menu; the starting key for anything else."""
        return value if isinstance(value, str) and value in self.options else self.value


@dataclass(frozen=True)
class Tick:
    """A yes or no."""

    name: str
    words: str
    value: bool = False

    def held(self, value) -> bool:
        """Return yes or no; the starting one for anything else."""
        return value if isinstance(value, bool) else self.value


@dataclass(frozen=True)
class Press:
    """A button; its setting counts how often it was pressed."""

    name: str
    words: str
    value: int = 0

    def held(self, value) -> int:
        """Return the count; none for anything that is no count."""
        return value if isinstance(value, int) and not isinstance(value, bool) and value >= 0 else 0


Control = Slider | Menu | Tick | Press


def settings_of(controls: tuple[Control, ...], given: dict | None = None) -> SimpleNamespace:
    """Return the settings for some given values; every value is held inside its control's range."""
    given = given or {}
    return SimpleNamespace(**{one.name: one.held(given.get(one.name, one.value)) for one in controls})


class Explorer(anywidget.AnyWidget):
    """A picture that answers its controls.

    Parameters
    ----------
    title : str
        Names the whole for assistive technology.
    controls : tuple of Control
    picture : callable
        ``picture(settings) -> Picture``: pure, so the same settings always show the same.
    ahead : tuple of str
        Names of sliders whose every value is made ready as well, where a new value takes long and the result is kept.

    While nobody asks, every choice of each menu is gone through once: its model and its frame are then ready.
    """

    _esm = HERE / "explorer.js"
    _css = HERE / "explorer.css"

    title = traitlets.Unicode().tag(sync=True)
    controls = traitlets.List().tag(sync=True)
    settings = traitlets.Dict().tag(sync=True, echo_update=False)  # only the page changes these two
    screen = traitlets.Dict({"narrow": False, "dark": False, "scale": 1}).tag(sync=True, echo_update=False)
    frame = traitlets.Bytes().tag(sync=True)
    size = traitlets.List([860, 430]).tag(sync=True)
    boxes = traitlets.List().tag(sync=True)
    plan = traitlets.List().tag(sync=True)
    data = traitlets.Bytes().tag(sync=True)
    words = traitlets.Unicode().tag(sync=True)
    readout = traitlets.List().tag(sync=True)
    answered = traitlets.Int(0).tag(sync=True)
    _last_asked = 0.0
    """When any explorer was asked last, for what one makes ahead would keep the others waiting [s]."""

    def __init__(self, title: str, controls: tuple[Control, ...], picture: Callable, ahead: tuple[str, ...] = ()):
        self._declared, self._picture, self._sliders_ahead = controls, picture, ahead
        start = vars(settings_of(controls)) | {"_asked": 0}
        super().__init__(title=title, controls=[_told(one) for one in controls], settings=start)
        self._frames = lru_cache(maxsize=8)(drawn)
        self._chosen, self._waiting, self._later = None, iter(()), None
        self._one_at_a_time = RLock()  # some kernels answer widgets in a second thread, beside what is made ahead
        self._show()
        self.observe(self._show, ["settings", "screen"])

    def picture(self) -> Picture:
        """Return the picture for the settings as they stand."""
        return self._picture(settings_of(self._declared, self.settings))

    def _framed(self, shown: Picture):
        """Return the frame of a picture as drawn for the screen it is seen on."""
        screen = self.screen
        return self._frames(
            shown.frame, bool(screen.get("narrow")), bool(screen.get("dark")), 2 if screen.get("scale") == 2 else 1
        )

    def _show(self, change=None) -> None:
        Explorer._last_asked = time.monotonic()
        with self._one_at_a_time:
            with self.hold_sync():
                # First of all, for it is sent whatever comes of the picture: a page that gets no answer asks no more.
                self.answered = int(self.settings.get("_asked", 0))
                shown = self.picture()
                frame = self._framed(shown)
                self.frame, self.size, self.boxes = frame.png, list(frame.size), [list(box) for box in frame.boxes]
                self.plan, self.data = packed(shown, frame)
                self.words = shown.words
                self.readout = [[*map(together, (one.words, one.value, one.state))] for one in shown.readout]
            self._look_ahead()

    def _look_ahead(self) -> None:
        """Begin anew to make ready what may be asked, where the screen or a menu changed, once it is quiet."""
        held = vars(settings_of(self._declared, self.settings))
        menus = {one.name: held[one.name] for one in self._declared if isinstance(one, Menu)}
        if self._chosen != (menus, self.screen):
            self._chosen, self._waiting = (menus, dict(self.screen)), self._nearby(held)
        self._after(QUIET)

    def _nearby(self, held: dict) -> Iterator[dict]:
        """Yield the settings to make ready: each other choice of each menu, then the sliders to go through."""
        for one in self._declared:
            if isinstance(one, Menu):
                yield from (held | {one.name: key} for key in one.options if key != held[one.name])
        for one in self._declared:
            if one.name in self._sliders_ahead:
                values = (one.low + one.step * at for at in range(round((one.high - one.low) / one.step) + 1))
                yield from (
                    held | {one.name: value} for value in sorted(values, key=lambda value: abs(value - held[one.name]))
                )

    def _after(self, seconds: float) -> None:
        """Make the next thing ready after a while without a question; outside a kernel nobody asks."""
        if self._later is not None:
            self._later.cancel()
        try:
            self._later = asyncio.get_running_loop().call_later(seconds, self._make_next_ready)
        except RuntimeError:
            self._later = None

    def _make_next_ready(self) -> None:
        if (quiet := time.monotonic() - Explorer._last_asked) < QUIET:
            self._after(QUIET - quiet)
            return
        with self._one_at_a_time:
            settings = next(self._waiting, None)
            if settings is not None:
                self._framed(self._picture(settings_of(self._declared, settings)))
                self._after(PAUSE)

    def _repr_mimebundle_(self, **kwargs):
        """Show the widget, and beside it, for print and for pages without one, a still with its words."""
        bundle = super()._repr_mimebundle_(**kwargs)
        data = bundle[0] if isinstance(bundle, tuple) else bundle
        if data is not None:
            data["text/plain"] = self.words
        return bundle


def _told(control: Control) -> dict:
    """Return a control as the browser gets it."""
    return {"kind": type(control).__name__.lower(), **vars(control), "words": together(control.words)}


def packed(picture: Picture, frame) -> tuple[list[dict], bytes]:
    """Return the marks as a plan and one block of float32 pixels and bytes of colour."""
    plan, blocks, place = [], [], 0

    def put(array) -> tuple[int, int]:
        nonlocal place
        block = array.tobytes()
        block += b"\0" * (-len(block) % 4)
        blocks.append(block)
        start, place = place, place + len(block)
        return start, array.size

    for mark in picture.marks:
        step = {"kind": type(mark).__name__.lower(), "axes": mark.axes}
        if isinstance(mark, Cells):
            left, right, bottom, top = mark.extent
            corners = frame.to_pixels[mark.axes]([left, right], [bottom, top])
            rgba = np.ascontiguousarray(np.asarray(mark.rgba, np.uint8)[::-1])
            step |= {"at": put(rgba), "rows": rgba.shape[0], "columns": rgba.shape[1], "box": corners.ravel().tolist()}
        else:
            step["at"] = put(frame.to_pixels[mark.axes](mark.x, mark.y))
        if isinstance(mark, Line):
            step |= {"colour": _colour(mark.colour), "width": mark.width, "dash": list(mark.dash)}
        elif isinstance(mark, Area):
            step |= {"colour": _colour(mark.colour), "opacity": mark.opacity}
        elif isinstance(mark, Dots):
            colours = [mark.colours] if isinstance(mark.colours, str) else mark.colours
            step |= {"colours": [_colour(one) for one in colours], "size": mark.size, "shape": mark.shape}
        elif isinstance(mark, Label):
            step |= {"text": mark.text, "colour": _colour(mark.colour), "anchor": mark.anchor}
        plan.append(step)
    return plan, b"".join(blocks)


def _colour(colour: str) -> str:
    return COLOURS.get(colour, colour)


def still_html(picture: Picture, narrow: bool = False) -> str:
    """Return a still picture with its words as alternative text, for a lesson before anything is run and for print."""
    png = base64.b64encode(still(picture, narrow)).decode()
    return (
        f'<img alt="{html.escape(picture.words, quote=True)}" src="data:image/png;base64,{png}" style="max-width:100%">'
    )
