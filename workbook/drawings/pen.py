"""The hand that draws: line weights, hatches, words, arrows, scale bars, and the page's colours.

A :class:`Pen` draws one view, in pixels with y down; ``pen.scaled`` gives a pen that draws in metres with y up. A
:class:`Drawing` is one or more views side by side, which stack where the page is narrow, so that words stay readable
on a phone. Nothing in a drawing has an id: any number of drawings, or the same one twice, can stand on one page.
"""

import base64
import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from html import escape

Point = tuple[float, float]

NAMESPACE = "http://www.w3.org/2000/svg"
"""What an SVG that stands alone says it is."""

WIDTH = 420
"""Width of a view in pixels: a phone's, so that a word is as large there as on a desk."""

SIZE, SMALL = 14, 13
"""Heights of words in pixels."""

WEIGHTS = {"hair": 0.8, "thin": 1.2, "thick": 2.2, "heavy": 3.5}
"""Line weights in pixels: hatches and leaders, outlines, what matters, wires and cracks."""

LIGHT = {
    "paper": "#ffffff",
    "ink": "#1f2430",
    "soft": "#4d5463",
    "hot": "#a83c00",
    "cool": "#005f96",
    "right": "#00664a",
    "wrong": "#a8201a",
    "copper": "#e9b07c",
    "solder": "#cdd3db",
    "compound": "#8d72b0",
    "laminate": "#e6eecf",
    "package": "#dcd7ce",
    "silicon": "#bdd0ee",
    "mask": "#a9d3b2",
    "paste": "#f3e9b8",
    "metal": "#dfe3e8",
    "glue": "#f4d3e2",
    "dye": "#e58a84",
    "flux": "#e3c58f",
    "scorch": "#a08a5c",
}
DARK = {
    "paper": "#16181d",
    "ink": "#eceae5",
    "soft": "#b9b6ae",
    "hot": "#f6a56b",
    "cool": "#6cc0ee",
    "right": "#5bcf9f",
    "wrong": "#ff9389",
    "copper": "#7f4c20",
    "solder": "#505863",
    "compound": "#7a5fa3",
    "laminate": "#34402a",
    "package": "#443f39",
    "silicon": "#2c436b",
    "mask": "#24533a",
    "paste": "#5a5226",
    "metal": "#3b4048",
    "glue": "#63354c",
    "dye": "#8d332e",
    "flux": "#654716",
    "scorch": "#4d3f22",
}
"""The page's colours. The first seven also write words and lines; the others only fill, under a pattern or a word."""

HATCHES = {
    "laminate": ("lines", 45, 9),
    "metal": ("lines", -45, 8),
    "package": ("dots", 30, 13),
    "silicon": ("lines", 0, 8),
    "paste": ("dots", 0, 7),
    "glue": ("lines", 90, 6),
    "mask": ("lines", 60, 5),
    "compound": ("lines", 90, 3),
    "dye": ("lines", 30, 4),
    "flux": ("dots", 45, 5),
    "scorch": ("lines", -30, 4),
}
"""What is cut: each material has its own pattern, so that it is known without its colour."""

# What a mark looks like stands in its own attributes, not in a style: a page that lets no style in still shows it.
_RULES = (
    ".rwd text{font-family:system-ui,sans-serif;paint-order:stroke;stroke-width:3px;stroke-linejoin:round}"
    ".rwd text:not([fill]){fill:var(--rwd-ink)}.rwd text:not([stroke]){stroke:var(--rwd-paper)}"
    ".rwd path,.rwd circle{stroke-linejoin:round;stroke-linecap:round}"
    ".rwd .rwd-region{fill:transparent;stroke:none}"
)


def _variables(colours: dict[str, str]) -> str:
    return "".join(f"--rwd-{name}:{value};" for name, value in colours.items())


STYLE = (
    f".rwd{{{_variables(LIGHT)}}}@media (prefers-color-scheme:dark){{.rwd{{{_variables(DARK)}}}}}"
    f"@media print{{.rwd{{{_variables(LIGHT)}}}}}{_RULES}"
)
"""The style a picture carries inside itself."""

PAGE_STYLE = (
    f'{STYLE}[data-jp-theme-light="true"] .rwd{{{_variables(LIGHT)}}}'
    f'[data-jp-theme-light="false"] .rwd{{{_variables(DARK)}}}'
    f"@media print{{[data-jp-theme-light] .rwd{{{_variables(LIGHT)}}}}}"
    ".rwd-figure{margin:1em 0}.rwd-figure>div{display:flex;flex-wrap:wrap;gap:12px}"
    f".rwd-figure svg{{width:{WIDTH}px;max-width:100%;height:auto;break-inside:avoid}}"
    ".rwd-figure figcaption{font:600 15px/1.4 system-ui,sans-serif;margin-top:.4em}"
)
"""The style of drawings set into a page: JupyterLab's own theme goes before the system's."""

# Advance widths of a plain sans-serif face in thousandths of its size (the core Helvetica metrics), and how much wider
# than that the widest common face runs. They are used to leave room, never to place a letter.
_WIDTHS = {
    " .,:;!/I": 278, "ijl'|": 222, "frt()-[]": 333, "cksvxyz": 500, "mM": 833, "W%": 940, "w": 722, "ABEKPSVXY": 667,
    "CDHNRU": 722, "GOQ": 778, "TFZL": 611, "°": 400,
}  # fmt: skip
_WIDTH_OF = {letter: width for letters, width in _WIDTHS.items() for letter in letters}
_WIDEST_FACE = 1.16


def width_of(words: str, size: float = SIZE, bold: bool = False) -> float:
    """Return the room that words take, in pixels, in the widest common face.

    >>> width_of("mm", 10) > width_of("ii", 10)
    True
    """
    return sum(_WIDTH_OF.get(letter, 560) for letter in words) * size / 1000 * _WIDEST_FACE * (1.1 if bold else 1)


@dataclass(frozen=True)
class Region:
    """A part of a drawing that can be pointed at.

    ``words`` say where it is and what is seen there, and no more; ``tells`` says what it is evidence of, and is empty
    where it tells nothing. ``polygon`` is in the pixels of its view.
    """

    name: str
    words: str
    polygon: tuple[Point, ...]
    tells: str = ""
    letter_at: Point | None = None

    @property
    def badge(self) -> Point:
        """Where its letter stands, in the pixels of its view: at its first corner unless told otherwise."""
        return self.letter_at or self.polygon[0]


@dataclass(frozen=True)
class View:
    """One picture of a drawing: its size in pixels, its marks as SVG, and a sentence for whoever cannot see it."""

    title: str
    words: str
    width: int
    height: int
    body: str
    regions: tuple[Region, ...] = ()

    def svg(self, style: str = STYLE) -> str:
        """Return the view as SVG text with its style inside; ``style=""`` where the page has it already."""
        return (
            f'<svg xmlns="{NAMESPACE}" class="rwd" role="img" viewBox="0 0 {self.width} {self.height}" '
            f'width="{self.width}" height="{self.height}" aria-label="{escape(f"{self.title}. {self.words}")}">'
            f"<title>{escape(self.title)}</title><desc>{escape(self.words)}</desc>"
            + (f"<style>{style}</style>" if style else "")
            + f'<rect width="{self.width}" height="{self.height}" fill="var(--rwd-paper)"/>{self.body}</svg>'
        )

    def still(self) -> str:
        """Return the view as an image that carries itself, with its words as alternative text."""
        data = base64.b64encode(self.svg().encode()).decode()
        words = escape(f"{self.title}. {self.words}")
        return (
            f'<img alt="{words}" src="data:image/svg+xml;base64,{data}" width="{self.width}" height="{self.height}" '
            'style="max-width:100%;height:auto">'
        )


@dataclass(frozen=True, repr=False)
class Drawing:
    """A drawing: its name, its title, one or more views, and the parts of it that can be pointed at."""

    name: str
    title: str
    views: tuple[View, ...]

    @property
    def words(self) -> str:
        """What the whole drawing shows, for whoever cannot see it."""
        return " ".join((f"{self.title}.", *(f"{view.title}: {view.words}" for view in self.views)))

    @property
    def regions(self) -> tuple[Region, ...]:
        """The parts that can be pointed at, view by view."""
        return tuple(region for view in self.views for region in view.regions)

    @property
    def svg(self) -> str:
        """The whole drawing as one SVG text, its views one below the other."""
        if len(self.views) == 1:
            return self.views[0].svg()
        height, inner = 0, []
        for view in self.views:
            inner.append(view.svg(style="").replace("<svg ", f'<svg y="{height}" ', 1))
            height += view.height
        body = "".join(inner)
        return View(self.title, self.words, max(view.width for view in self.views), height, body).svg()

    def html(self, style: str = PAGE_STYLE) -> str:
        """Return the drawing for a page or a notebook's output: views side by side, or stacked where it is narrow.

        ``style=""`` where the page has it already.
        """
        views = "".join(view.svg(style="") for view in self.views).replace(f' xmlns="{NAMESPACE}"', "")  # HTML knows it
        styled = f"<style>{style}</style>" if style else ""
        caption = escape(self.title)
        return f'<figure class="rwd-figure">{styled}<div>{views}</div><figcaption>{caption}</figcaption></figure>'

    def markdown(self) -> str:
        """Return the drawing as Markdown that carries itself, with its words as alternative text."""
        images = []
        for view in self.views:
            words = f"{view.title}. {view.words}".translate({ord("["): "(", ord("]"): ")", ord("\n"): " "})
            images.append(f"![{words}](data:image/svg+xml;base64,{base64.b64encode(view.svg().encode()).decode()})")
        return "\n".join([*images, "", f"*{self.title}.*" if self.title[-1] not in ".?!" else f"*{self.title}*"])

    def lettered(self) -> "Drawing":
        """Return the drawing with a letter on each of its regions, which then stand for the regions' names.

        The words for whoever cannot see it say at each letter what is seen there.
        """
        views, letters = [], iter("abcdefghijklmnopqrstuvwxyz")
        for view in self.views:
            pen = Pen(view.height, view.width, [_without_regions(view.body)])
            named = [replace(region, name=next(letters)) for region in view.regions]
            for region in named:
                pen.badge(*region.badge, region.name)
            for region in named:  # last, so that nothing lies over what takes the clicks
                pen.region(region.name, region.words, region.polygon, region.tells, region.letter_at)
            seen = " ".join(f"{region.name}: {region.words}." for region in named)
            views.append(pen.view(view.title, seen))
        return replace(self, views=tuple(views))

    def still(self) -> str:
        """Return the drawing as images that carry themselves: for a Markdown cell, a feedback page, or print."""
        return " ".join(view.still() for view in self.views)

    def _repr_html_(self) -> str:
        return self.html()

    def __repr__(self) -> str:
        return self.words


def _without_regions(body: str) -> str:
    return re.sub(r'<polygon class="rwd-region"[^>]*/>', "", body)


def arc(x: float, y: float, radius: float, start: float, end: float, steps: int = 48) -> list[Point]:
    """Return points along an arc between two angles in degrees, counted from +x towards +y."""
    angles = (math.radians(start + (end - start) * n / steps) for n in range(steps + 1))
    return [(x + radius * math.cos(angle), y + radius * math.sin(angle)) for angle in angles]


def barrel(height: float, top_radius: float, bottom_radius: float) -> list[Point]:
    """Return the outline of a joint of molten solder: part of a sphere between two round lands, its foot at y = 0.

    The shape of small joints, where surface tension is all; see ``workbook.bench.paste.solder_ball.joint_height``.
    """
    centre = (height**2 + top_radius**2 - bottom_radius**2) / (2 * height)
    radius = math.hypot(bottom_radius, centre)
    low = math.degrees(math.atan2(-centre, bottom_radius))
    high = math.degrees(math.atan2(height - centre, top_radius))
    side = arc(0, centre, radius, low, high)
    return side + [(-x, y) for x, y in reversed(side)]


def hatch(ring: Sequence[Point], kind: str, angle: float, gap: float) -> str:
    """Return a hatch that fills the inside of a closed shape, as the ``d`` of a path."""
    turn = math.radians(angle)
    cos, sin = math.cos(turn), math.sin(turn)
    turned = [(x * cos + y * sin, y * cos - x * sin) for x, y in ring]
    lows, highs = min(y for _, y in turned), max(y for _, y in turned)
    strokes, row = [], math.floor(lows / gap) + 1
    while row * gap < highs:
        y = row * gap
        crossings = sorted(
            x1 + (y - y1) / (y2 - y1) * (x2 - x1)
            for (x1, y1), (x2, y2) in zip(turned, [*turned[1:], turned[0]], strict=True)
            if (y1 > y) != (y2 > y)
        )
        for left, right in zip(crossings[::2], crossings[1::2], strict=True):
            if kind == "lines":
                strokes.append(
                    f"M{left * cos - y * sin:.1f} {left * sin + y * cos:.1f}"
                    f"L{right * cos - y * sin:.1f} {right * sin + y * cos:.1f}"
                )
            else:
                x = (math.floor(left / gap) + 1 + row % 2 / 2) * gap
                while x < right - 1:
                    if x > left + 1:
                        strokes.append(f"M{x * cos - y * sin:.1f} {x * sin + y * cos:.1f}h0")
                    x += gap
        row += 1
    return "".join(strokes)


def wrapped(words: str, room: float, size: float = SIZE) -> list[str]:
    """Return words broken into lines that fit a room in pixels. A line break in the words is kept."""
    lines = []
    for paragraph in words.split("\n"):
        lines.append("")
        for word in paragraph.split():
            longer = f"{lines[-1]} {word}".strip()
            if lines[-1] and width_of(longer, size) > room:
                lines.append(word)
            else:
                lines[-1] = longer
    return lines


def _held_in(width: int, x: float, words: str, anchor: str, room: float) -> float:
    """Return where words must start from to stay in their view, in the widest common face."""
    left = x - {"start": 0, "middle": room / 2, "end": room}[anchor]
    if room > width - 4:
        raise ValueError(f"words are wider than their view, {room:.0f} of {width} px: {words}")
    return x + max(2 - left, 0) - max(left + room - (width - 2), 0)


@dataclass
class Pen:
    """Draws one view. ``scaled`` pens draw on the same view in metres, with y up."""

    height: int
    width: int = WIDTH
    marks: list[str] = field(default_factory=list)
    regions: list[Region] = field(default_factory=list)
    origin: Point = (0.0, 0.0)
    per_unit: Point = (1.0, 1.0)

    def scaled(self, origin: Point, per_metre: float, stretch: float = 1.0) -> "Pen":
        """Return a pen that draws in metres, y up, from a point of the view; ``stretch`` draws heights larger."""
        per_unit = (per_metre, -per_metre * stretch)
        return Pen(self.height, self.width, self.marks, self.regions, origin, per_unit)

    def at(self, x: float, y: float) -> Point:
        """Return where a point of this pen lies on the view, in pixels."""
        return self.origin[0] + x * self.per_unit[0], self.origin[1] + y * self.per_unit[1]

    def view(self, title: str, words: str) -> View:
        """Return what was drawn."""
        return View(title, words, self.width, self.height, "".join(self.marks), tuple(self.regions))

    # Shapes

    def shape(self, points: Iterable[Point], fill="", line="ink", weight="thin", part="", dash="", cut=True):
        """Draw a closed shape of a material, hatched where it is ``cut``. ``part`` names it, so that it can be "
        "measured."""
        ring = [self.at(*point) for point in points]
        path = "M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in ring) + "Z"
        ink = f'stroke="var(--rwd-{line})" stroke-width="{WEIGHTS[weight]}"' if line else 'stroke="none"'
        named = f' data-part="{part}"' if part else ""
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        inside = f"var(--rwd-{fill})" if fill else "none"
        self.marks.append(f'<path{named}{dashed} fill="{inside}" {ink} d="{path}"/>')
        if cut and fill in HATCHES:
            self.hatched(ring, fill)
            if line:
                self.marks.append(f'<path{dashed} fill="none" {ink} d="{path}"/>')

    def hatched(self, ring: Sequence[Point], material: str):
        """Lay a material's hatch over a closed shape given in pixels."""
        kind, angle, gap = HATCHES[material]
        weight = WEIGHTS["hair"] if kind == "lines" else 1.6
        strokes = hatch(ring, kind, angle, gap)
        self.marks.append(
            f'<path fill="none" stroke="var(--rwd-soft)" stroke-width="{weight}" stroke-opacity=".75" d="{strokes}"/>'
        )

    def box(self, x, y, width, height, fill="", **how):
        """Draw a rectangle from one corner."""
        self.shape([(x, y), (x + width, y), (x + width, y + height), (x, y + height)], fill, **how)

    def disc(self, x, y, radius, fill="", **how):
        """Draw a round thing."""
        self.shape(arc(x, y, radius, 0, 360)[:-1], fill, **how)

    def dot(self, x, y, radius, fill, weight="thin"):
        """Draw one of many round things, without hatch or name."""
        px, py = self.at(x, y)
        self.marks.append(
            f'<circle cx="{px:.1f}" cy="{py:.1f}" r="{radius * self.per_unit[0]:.2f}" fill="var(--rwd-{fill})" '
            f'stroke="var(--rwd-ink)" stroke-width="{WEIGHTS[weight]}"/>'
        )

    def line(self, points: Iterable[Point], weight="thin", colour="ink", dash="", part=""):
        """Draw an open line."""
        path = "L".join("{:.2f} {:.2f}".format(*self.at(*point)) for point in points)
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        named = f' data-part="{part}"' if part else ""
        self.marks.append(
            f'<path{named}{dashed} fill="none" stroke="var(--rwd-{colour})" '
            f'stroke-width="{WEIGHTS[weight]}" d="M{path}"/>'
        )

    def arrow(self, start: Point, end: Point, weight="thin", colour="ink", both=False):
        """Draw an arrow; its head lies within its length."""
        a, b = self.at(*start), self.at(*end)
        plain = self._pixels()
        plain.line([a, b], weight, colour)
        plain._head(a, b, weight, colour)
        if both:
            plain._head(b, a, weight, colour)

    def _pixels(self) -> "Pen":
        return Pen(self.height, self.width, self.marks, self.regions)

    def _head(self, start: Point, end: Point, weight: str, colour: str):
        """Draw an arrow head, in pixels."""
        along = math.atan2(end[1] - start[1], end[0] - start[0])
        long = 6 + 2 * WEIGHTS[weight]
        sides = [
            (end[0] - long * math.cos(along + turn), end[1] - long * math.sin(along + turn)) for turn in (-0.38, 0.38)
        ]
        self.shape([end, *sides], colour, line=colour, weight="hair")

    # Words

    def words(self, x, y, words: str, anchor="start", colour="ink", size=SIZE, bold=False, on="", room=0.0):
        """Write words with the middle of their first line at y. ``on`` names the fill they stand on; ``room`` "
        "wraps them."""
        px, py = self.at(x, y)
        lines = wrapped(words, room, size) if room else words.split("\n")
        looks = f'font-size="{size}"' + (' font-weight="600"' if bold else "")
        if on:
            looks += f' stroke="var(--rwd-{on})"'
        if colour != "ink":
            looks += f' fill="var(--rwd-{colour})"'
        for n, line in enumerate(lines):
            start = _held_in(self.width, px, line, anchor, width_of(line, size, bold))
            self.marks.append(
                f'<text x="{start:.1f}" y="{py + size * (0.35 + 1.22 * n):.1f}" text-anchor="{anchor}"'
                f" {looks}>{escape(line)}</text>"
            )

    def heading(self, letter: str, words: str):
        """Write the view's heading: its letter, and what it is."""
        self._pixels().words(10, 16, f"{letter}  {words}" if letter else words, bold=True, size=15)

    def callout(self, words: str, at: Point, to: Point, anchor="start", colour="ink"):
        """Write words at a point of the view in pixels, and lead a line from them to a point of this pen."""
        plain = self._pixels()
        lines = words.split("\n")
        wide = max(width_of(line) for line in lines)
        left = {"start": at[0], "middle": at[0] - wide / 2, "end": at[0] - wide}[anchor]
        tall = SIZE * (0.6 + 1.22 * (len(lines) - 1))
        target = self.at(*to)
        side = {"start": left - 4, "end": left + wide + 4}
        above, below = at[1] - SIZE * 0.75, at[1] + tall + 2
        if target[0] < left - 4 and anchor == "start":
            start = (side["start"], at[1])
        elif target[0] > left + wide + 4 and anchor == "end":
            start = (side["end"], at[1])
        elif target[0] > left + wide * 1.05 + 8 and above < target[1] < below:
            start = (left + wide + 4, at[1])
        else:
            middle = min(max(target[0], left + 8), left + wide - 8)
            start = (middle, above if target[1] < at[1] else below)
        plain.line([start, target], "hair", "ink")
        plain.marks.append(f'<circle cx="{target[0]:.1f}" cy="{target[1]:.1f}" r="2.2" fill="var(--rwd-ink)"/>')
        plain.words(*at, words, anchor, colour)

    def dimension(self, start: Point, end: Point, words: str, anchor="middle", offset: Point = (0, -11)):
        """Draw a measure between two points, with its words beside the middle of it."""
        self.arrow(start, end, "hair", both=True)
        (x1, y1), (x2, y2) = self.at(*start), self.at(*end)
        self._pixels().words((x1 + x2) / 2 + offset[0], (y1 + y2) / 2 + offset[1], words, anchor)

    def scale_bar(self, x: float, y: float, length: float, words: str):
        """Draw a bar of a length of this pen, its left end at a point of the view in pixels."""
        long = abs(length * self.per_unit[0])
        self.marks.append(
            f'<path data-part="scale-bar" data-length="{length:g}" fill="none" stroke="var(--rwd-ink)" '
            f'stroke-width="{WEIGHTS["thick"]}" d="M{x:.2f} {y:.2f}L{x + long:.2f} {y:.2f}"/>'
        )
        for end in (x, x + long):
            self._pixels().line([(end, y - 4), (end, y + 4)])
        self._pixels().words(x + long + 8, y, words)

    def note(self, words: str, y: float | None = None):
        """Write a small line along the foot of the view."""
        self._pixels().words(10, self.height - 12 if y is None else y, words, colour="soft", size=SMALL)

    def verdict(self, x: float, y: float, good: bool):
        """Draw a tick in a circle, or a cross in a square: right and wrong by shape as by colour."""
        px, py = self.at(x, y)
        plain, colour = self._pixels(), "right" if good else "wrong"
        if good:
            plain.disc(px, py, 9, "paper", line=colour, weight="thick")
            plain.line([(px - 4, py), (px - 1, py + 4), (px + 4.5, py - 4)], "thick", colour)
        else:
            plain.box(px - 8, py - 8, 16, 16, "paper", line=colour, weight="thick")
            plain.line([(px - 4, py - 4), (px + 4, py + 4)], "thick", colour)
            plain.line([(px - 4, py + 4), (px + 4, py - 4)], "thick", colour)

    def number(self, x: float, y: float, number: int | str):
        """Draw a number in a circle, for a key beside the picture."""
        px, py = self.at(x, y)
        plain = self._pixels()
        plain.disc(px, py, 10, "paper", weight="thin")
        plain.words(px, py, str(number), "middle", size=SMALL, bold=True)

    def badge(self, x: float, y: float, letter: str):
        """Draw a letter on a tag, by which a place can be named."""
        px, py = self.at(x, y)
        plain = self._pixels()
        plain.box(px - 9, py - 9, 18, 18, "paper", weight="thick")
        plain.words(px, py, letter, "middle", bold=True)

    def region(self, name: str, words: str, points: Iterable[Point], tells: str = "", letter_at: Point | None = None):
        """Name a part that can be pointed at. It is drawn as a clear shape that carries its name only."""
        polygon = tuple((round(x, 1), round(y, 1)) for x, y in (self.at(*point) for point in points))
        at = letter_at and self.at(*letter_at)
        self.regions.append(Region(name, words, polygon, tells, at))
        path = " ".join(f"{x:g},{y:g}" for x, y in polygon)
        self.marks.append(f'<polygon class="rwd-region" data-region="{name}" points="{path}"/>')
