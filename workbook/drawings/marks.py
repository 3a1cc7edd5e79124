"""A board with marks of earlier repair, to be pointed at; and whiskers."""

import math
from dataclasses import dataclass

from workbook.drawings.pen import SMALL, Drawing, Pen, Point, arc

MARKS = ("flux", "turned-part", "solder-balls", "scorch", "wire", "scratched-mask", "worn-screw", "paste-over-edge")
"""The marks of earlier repair that :func:`earlier_repair` can draw."""


def earlier_repair(shown=MARKS) -> Drawing:
    """Draw an invented board from above, with those of the ``MARKS`` that are named. Not to scale.

    Every part that one may point at is a region, marks and innocent parts alike. A region's ``words`` say where it is
    and what is seen; ``tells`` what it is evidence of, and is empty where the part is as it left the factory. Raise
    ValueError for a mark that is none of them.
    """
    if strangers := set(shown) - set(MARKS):
        raise ValueError(f"no such mark: {', '.join(sorted(strangers))}; there are {', '.join(MARKS)}")
    view = _Board(430, shown=frozenset(shown))
    view.heading("", "A board that came in")
    view.box(10, 36, 400, 384, "mask", line="", cut=False)
    view.box(10, 36, 400, 384, "", weight="thick")
    for draw in (_large_package, _second_package, _row_of_parts, _bare_corner, _test_points, _scratch, _screws, _label):
        draw(view)
    return Drawing(
        "earlier-repair",
        "What tells of an earlier repair?",
        (
            view.view(
                "A board that came in",
                "A board from above, not to scale. "
                + " ".join(f"{one.words[0].upper()}{one.words[1:]}." for one in view.regions),
            ),
        ),
    )


@dataclass
class _Board(Pen):
    """A view of a board with those marks that are ``shown``."""

    shown: frozenset[str] = frozenset()

    def seen(self, mark, name, where, fresh, tells, points, letter_at=None) -> bool:
        """Name a region by how it looks here, marked or as it left the factory; return whether it is marked."""
        marked = mark in self.shown
        self.region(name, f"{where}: {tells[0] if marked else fresh}", points, tells[1] if marked else "", letter_at)
        return marked


def _large_package(view: _Board) -> None:
    """Draw U1 with its die, and the board round it."""
    x, y, side = 62, 92, 128
    around = [(x - 22, y - 18), (x + side + 20, y - 22), (x + side + 26, y + side + 20), (x - 18, y + side + 24)]
    tells = ("a dull brown film, a finger wide", "the package was heated with flux before")
    if view.seen(
        "flux", "U1-edge", "round the large package U1", "green up to its edge", tells, around, letter_at=(24, 150)
    ):
        view.shape(_blob(x + side / 2, y + side / 2, 86, 9, 7), "flux", dash="3 3")
    view.box(x, y, side, side, "package", weight="thick")
    view.box(x + 38, y + 38, 52, 52, "silicon", weight="thick")
    view.words(x + 10, y + 16, "U1", bold=True, on="package")
    tells = ("two pale lumps lie over its edge", "the sink was off, and paste was put on anew")
    here = _rectangle(x + 26, y + 26, 76, 76)
    if view.seen(
        "paste-over-edge", "U1-die", "die of U1", "grey, all four edges in view", tells, here, letter_at=(108, 138)
    ):
        view.shape(_blob(x + 92, y + 64, 17, 2.5, 3), "paste", weight="thin")
        view.shape(_blob(x + 62, y + 92, 14, 2, 4), "paste", weight="thin")


def _second_package(view: _Board) -> None:
    """Draw U2, and the strip of board beside it."""
    view.box(258, 84, 96, 96, "package", weight="thick")
    view.words(306, 132, "U2", "middle", bold=True, on="package")
    view.region("U2", "second package U2: parallel to the board, green up to its edge", _rectangle(258, 84, 96, 96))
    tells = ("tiny bright balls lie on the green", "solder was melted here by hand or with too much paste")
    here = _rectangle(360, 84, 42, 96)
    if view.seen(
        "solder-balls", "U2-right", "right of U2", "green, with nothing on it", tells, here, letter_at=(382, 194)
    ):
        for n in range(9):
            view.disc(372 + 9 * (n % 3) + 2 * (n % 2), 98 + 25 * (n // 3) + 7 * (n % 3), 3 + 0.8 * (n % 3), "solder")


def _row_of_parts(view: _Board) -> None:
    """Draw a row of small parts, the last of which may stand turned."""
    for n in range(4):
        px, py = 214 + 36 * n, 226
        turned = n == 3 and "turned-part" in view.shown
        _chip(view, px, py, 24 if turned else 0)
        view.words(px, py + 26, f"C{n + 1}", "middle", size=SMALL, on="mask")
    view.region(
        "C1-C3",
        "small parts C1, C2 and C3: in one line, each along its two lands",
        _rectangle(200, 208, 100, 36),
        letter_at=(250, 204),
    )
    tells = ("at an angle to its two lands, a drop of solder beside one end", "the part was melted or put on by hand")
    here = _rectangle(306, 206, 32, 38)
    view.seen(
        "turned-part",
        "C4",
        "small part C4",
        "in line with the others, along its two lands",
        tells,
        here,
        letter_at=(322, 202),
    )


def _bare_corner(view: _Board) -> None:
    """Draw the bare board at the lower left, which may be scorched."""
    tells = ("a brown patch with a soft edge", "the board was overheated here")
    if view.seen(
        "scorch",
        "lower-left",
        "bare board at the lower left",
        "one green all over",
        tells,
        _rectangle(28, 300, 104, 84),
    ):
        view.shape(_blob(80, 342, 38, 3, 5), "scorch", line="")
        view.hatched(_blob(80, 342, 24, 3, 5), "mask")


def _test_points(view: _Board) -> None:
    """Draw a connector and two test points, between which a wire may be."""
    view.box(170, 360, 120, 36, "metal", weight="thick")
    view.words(230, 378, "J1", "middle", bold=True, on="metal")
    view.region("J1", "connector J1: nine pins of one length in a row", _rectangle(170, 344, 120, 52))
    for n in range(9):
        view.box(178 + 12.5 * n, 350, 5, 10, "solder")
    for px, py in ((182, 300), (262, 300)):
        view.disc(px, py, 7, "copper")
        view.disc(px, py, 3, "paper")
    tells = ("a thin wire from one to the other, solder at both ends", "somebody mended a trace or a lifted land")
    here = _rectangle(170, 278, 104, 40)
    if view.seen(
        "wire", "test-points", "between the two test points", "green alone", tells, here, letter_at=(222, 322)
    ):
        wire = [(182 + 80 * s / 12, 300 - 15 * math.sin(math.pi * s / 12)) for s in range(13)]
        view.line(wire, "heavy", "hot")
        view.disc(182, 300, 6, "solder")
        view.disc(262, 300, 6, "solder")


def _scratch(view: _Board) -> None:
    """Name the board right of the test points, which may be scratched."""
    tells = ("a bent line runs through the green, copper in it", "a tool slipped, or a trace was laid bare to probe it")
    here, where = _rectangle(282, 272, 60, 60), "board right of the test points"
    if view.seen(
        "scratched-mask", "lower-middle", where, "green, with no line in it", tells, here, letter_at=(354, 302)
    ):
        view.line([(292, 322), (306, 302), (314, 300), (332, 282)], "heavy", "copper")
        view.line([(296, 324), (310, 305), (318, 303), (336, 285)], "thin")
        view.line([(288, 318), (302, 299), (310, 297), (328, 279)], "thin")


def _screws(view: _Board) -> None:
    """Draw two screws, of which one may have a worn head."""
    for name, px, py, where, letter_at in (
        ("screw-lower-right", 382, 388, "lower right", (392, 362)),
        ("screw-upper-left", 36, 62, "upper left", (64, 56)),
    ):
        view.disc(px, py, 14, "metal", weight="thick")
        worn = name == "screw-lower-right" and "worn-screw" in view.shown
        for turn in (20, 110):
            arms = arc(px, py, 8, turn, turn + 180, 1)
            view.line(arms, "heavy")
        if worn:
            view.shape(_blob(px, py, 7, 3, 5), "paper", weight="thin")
            view.line([(px - 13, py - 7), (px - 4, py - 12), (px + 3, py - 5)], "thin")
        words = f"screw at the {where}: " + (
            "the middle of its head is a ragged hole, a bright line beside it" if worn else "a cross in its head"
        )
        tells = "the sink or the case was opened before" if worn else ""
        view.region(name, words, arc(px, py, 17, 0, 330, 11), tells, letter_at)


def _label(view: _Board) -> None:
    """Draw a printed label, which tells nothing."""
    view.box(316, 346, 40, 54, "paper", weight="thin")
    for n in range(8):
        view.line([(322 + 4 * n, 352), (322 + 4 * n, 384)], "thick" if n % 3 else "thin")
    view.words(336, 393, "0427", "middle", size=SMALL, on="paper")
    view.region("label", "printed label: flat, all four corners in view", _rectangle(316, 346, 40, 54))


def whiskers(pitch=0.50e-3, lead=0.22e-3, longest=0.30e-3) -> Drawing:
    """Draw leads plated with pure tin and the whiskers on them, the longest across the gap or not. Exact to scale.

    ``pitch`` of the leads, their width, and the longest whisker's length, in metres.
    """
    gap = pitch - lead
    bridged = longest >= gap
    view = Pen(290)
    view.heading("", "Tin whiskers between leads")
    pen = view.scaled((46, 212), 190e3)
    pen.box(-0.15e-3, 0.62e-3, 3 * pitch + 0.55e-3, 0.16e-3, "package", weight="thick")
    for n in range(4):
        pen.box(n * pitch, 0.0, lead, 0.62e-3, "solder", weight="thick", part=f"lead-{n}")
    base, right = pitch + lead, 2 * pitch
    pen.line([(base, 0.34e-3), (base + longest, 0.34e-3)], "thick", "wrong", part="whisker")
    for start, height, long, turn in (
        (lead, 0.5e-3, 0.13e-3, 30),
        (lead, 0.2e-3, 0.09e-3, -40),
        (right + lead, 0.26e-3, 0.15e-3, 62),
        (right + lead, 0.44e-3, 0.07e-3, 20),
    ):
        end = (start + long * math.cos(math.radians(turn)), height + long * math.sin(math.radians(turn)))
        pen.line([(start, height), end], "thin", "wrong")
    view.callout("whisker", (100, 48), pen.at(base + longest * 0.4, 0.34e-3), colour="wrong")
    pen.dimension((base, -0.05e-3), (right, -0.05e-3), f"gap {1e3 * gap:.2f} mm", offset=(0, 14))
    view.verdict(24, 262, not bridged)
    view.words(
        42,
        262,
        f"longest {1e3 * longest:.2f} mm: " + ("across the gap, a short" if bridged else "still short of the gap"),
        bold=True,
    )
    pen.scale_bar(290, 234, 0.2e-3, "0.2 mm")
    return Drawing(
        "whiskers",
        "Whiskers: thin, and long enough",
        (
            view.view(
                "Tin whiskers",
                f"Four leads with gaps of {1e3 * gap:.2f} mm. Fine straight hairs of tin grow from their sides; "
                "the longest, "
                f"{1e3 * longest:.2f} mm, " + ("reaches the next lead." if bridged else "ends in the gap."),
            ),
        ),
    )


def _rectangle(x: float, y: float, width: float, height: float) -> list[Point]:
    return [(x, y), (x + width, y), (x + width, y + height), (x, y + height)]


def _blob(x: float, y: float, radius: float, swing: float, lobes: int) -> list[Point]:
    """Return an uneven round outline, the same every time."""
    points = []
    for n in range(72):
        turn = math.radians(5 * n)
        reach = radius + swing * math.sin(lobes * turn) * math.cos(2 * turn + 1)
        points.append((x + reach * math.cos(turn), y + reach * math.sin(turn)))
    return points


def _chip(view: Pen, x: float, y: float, turn: float) -> None:
    """Draw a small two-ended part on its two lands; turned, its solder is uneven."""
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))

    def turned(points):
        return [(x + px * cos - py * sin, y + px * sin + py * cos) for px, py in points]

    for side in (-1, 1):
        view.box(x + side * 9 - 5, y - 8, 10, 16, "solder")
    view.shape(turned(_rectangle(-11, -6, 22, 12)), "paste")
    for side in (-11, 6):
        view.shape(turned(_rectangle(side, -6, 5, 12)), "metal")
    if turn:
        view.shape(_blob(x + 12, y + 8, 5, 1.5, 3), "solder")
