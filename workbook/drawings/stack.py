"""The board itself: its stack of planes and vias, its bow and twist, and how it sags when hot."""

import math

from workbook.bench.profile import flatness
from workbook.bench.profile.sag import sag_from_own_weight
from workbook.drawings.pen import Drawing, Pen, View, arc

SIX_LAYERS = (35e-6, 0.20e-3, 35e-6, 0.36e-3, 35e-6, 0.30e-3, 35e-6, 0.36e-3, 35e-6, 0.20e-3, 35e-6)
"""Copper and laminate by turns, from the top, of an invented board of six layers, 1.63 mm thick [m]."""


def planes_and_vias(layers=SIX_LAYERS, drill=0.30e-3, planes=(1, 4)) -> Drawing:
    """Draw a board cut through a via, exact to scale, and the same land from above with and without spokes.

    ``layers`` are thicknesses of copper and laminate by turns from the top [m], ``drill`` the hole's diameter [m],
    ``planes`` the copper layers, counted from 0 at the top, that are whole sheets.
    """
    views = (_cut_at_a_via(layers, drill, planes), _lands_from_above(drill))
    return Drawing("planes-and-vias", "Where a board's heat runs to", views)


def _cut_at_a_via(layers, drill: float, planes) -> View:
    total = math.fsum(layers)  # Python 3.12 adds floats up more exactly than 3.11, and a line moved by 0.1 px
    view = Pen(300)
    view.heading("a", "A board cut open at a via")
    pen = view.scaled((150, 60), 125e3)
    half, wall = 0.92e-3, 25e-6
    pen.box(-half, -total, 2 * half, total, "laminate", part="board")
    depth = 0.0
    for number, thickness in enumerate(layers):
        if number % 2 == 0:
            copper = number // 2
            whole = copper in planes
            joined = whole and copper == planes[0]
            reach = half if whole else 0.42e-3
            for side in (-1, 1):
                near = drill / 2 if joined or not whole else drill / 2 + 0.2e-3
                ends = sorted((side * near, side * reach))
                pen.box(ends[0], -depth - thickness, ends[1] - ends[0], thickness, "copper", part=f"copper-{copper}")
            if whole:
                name = "plane, joined:\nheat runs off here" if joined else "plane, passed by"
                view.callout(name, (280, 94 if joined else 214), pen.at(half * 0.97, -depth - thickness / 2))
        depth += thickness
    for side in (-1, 1):
        x = side * drill / 2 - (wall if side > 0 else 0)
        pen.box(x, -total, wall, total, "copper", line="")
        pen.line([(side * drill / 2, 0), (side * drill / 2, -total)])
        pen.line([(side * (drill / 2 - wall), 0), (side * (drill / 2 - wall), -total)])
    pen.box(-drill / 2 + wall, -total, drill - 2 * wall, total, "paper", line="")
    view.callout("via: a tube of copper", (250, 44), pen.at(drill / 2 - wall / 2, -0.02e-3))
    pen.dimension((-half - 0.06e-3, 0), (-half - 0.06e-3, -total), "", offset=(0, 0))
    each = sorted({round(1e6 * copper) for copper in layers[::2]})
    thick = f"{each[0]} µm each" if len(each) == 1 else f"{each[0]} to {each[-1]} µm"
    view.words(14, 284, f"{1e3 * total:.2f} mm thick, {len(layers) // 2 + 1} layers of copper, {thick}", size=13)
    pen.scale_bar(280, 246, 0.5e-3, "0.5 mm")
    return view.view(
        "A board cut open at a via",
        f"{len(layers) // 2 + 1} layers of copper, {thick}, in {1e3 * total:.2f} mm. A copper tube, the via, goes "
        "through all of them. It is joined to one plane, into which heat runs off, and passes the other in a clear "
        "hole.",
    )


def _lands_from_above(drill: float) -> View:
    top = Pen(300)
    top.heading("b", "The same land from above")
    for n, (name, spokes) in enumerate(
        (("joined all round:\ndrinks heat", False), ("four spokes:\nheats up quickly", True))
    ):
        pen = top.scaled((112 + 200 * n, 138), 100e3)
        outer = 0.42e-3
        frame = [(-0.8e-3, -0.8e-3), (0.8e-3, -0.8e-3), (0.8e-3, 0.8e-3), (-0.8e-3, 0.8e-3)]
        pen.shape(frame, "copper", weight="thick")
        if spokes:
            for start in (0, 90, 180, 270):
                ring = arc(0, 0, outer + 0.18e-3, start + 14, start + 76) + arc(0, 0, outer, start + 76, start + 14)
                pen.shape(ring, "laminate", cut=False)
        pen.disc(0, 0, drill / 2, "paper", weight="thick")
        top.words(112 + 200 * n, 238, name, "middle")
    pen.scale_bar(14, 286, 0.5e-3, "0.5 mm")
    return top.view(
        "The same land from above",
        "Left, the hole's land is one with the plane all round and drinks heat. Right, a ring of clear laminate leaves "
        "only four spokes of copper, and the land heats up quickly.",
    )


def bow_and_twist(length=220e-3, width=160e-3, bow_percent=0.75, twist_percent=0.75, enlarged=10, told=True) -> Drawing:
    """Draw a bowed board and a twisted one on a flat table, with what is measured.

    Lengths in metres; bow and twist in percent, as their limits are written. Twist is drawn ``enlarged`` times, bow
    twice that. ``told=False`` leaves the percents out, for whoever is asked for them.
    """
    views = (_bow(length, bow_percent, 2 * enlarged, told), _twist(length, width, twist_percent, enlarged, told))
    return Drawing("bow-and-twist", "Bow and twist are measured differently", views)


def _bow(length: float, percent: float, enlarged: float, told: bool) -> View:
    rise = float(flatness.largest_bow(percent, length))
    view = Pen(238)
    view.heading("a", "Bow: all four corners lie on the table")
    scale = 320 / length
    pen = view.scaled((210, 150), scale)
    half = length / 2
    upper = [(s / 20 * half, enlarged * rise * (1 - (s / 20) ** 2)) for s in range(-20, 21)]
    pen.shape([*[(x, y + 8 / scale) for x, y in upper], *reversed(upper)], "laminate", weight="thick", part="bowed")
    pen.line([(-half * 1.15, 0), (half * 1.15, 0)], "heavy")
    pen.dimension((0, 1 / scale), (0, enlarged * rise), "")
    pen.words(0, enlarged * rise + 20 / scale, f"{1e3 * rise:.2f} mm", "middle", bold=True)
    pen.dimension((-half, -14 / scale), (half, -14 / scale), f"{1e3 * length:.0f} mm", offset=(0, 13))
    formula = f"bow = rise / length = {percent:g} %; rise" if told else "The rise is"
    view.note(f"{formula} drawn {enlarged} times")
    return view.view(
        "Bow",
        f"The board curves along its {1e3 * length:.0f} mm: all corners down, the middle up {1e3 * rise:.2f} mm"
        + (f", {percent:g} %." if told else "."),
    )


def _twist(length: float, width: float, percent: float, enlarged: float, told: bool) -> View:
    corner = float(flatness.largest_twist(percent, length, width))
    view = Pen(238)
    view.heading("b", "Twist: three corners lie on the table")
    shear = 0.55
    scale = min(
        300 / (length + shear * width), 122 / (0.62 * width + enlarged * corner)
    )  # the free corner stays in view

    def place(x, y, z=0.0):
        return 62 + scale * (x + shear * y), 176 - scale * (0.62 * y + enlarged * z)

    table = [
        place(-0.02, -0.015),
        place(length + 0.02, -0.015),
        place(length + 0.02, width + 0.01),
        place(-0.02, width + 0.01),
    ]
    view.shape(table, "", line="soft", dash="5 4")
    flat = [place(0, 0), place(length, 0), place(length, width), place(0, width)]
    steps = [n / 12 for n in range(13)]
    edges = [place(s * length, 0) for s in steps] + [place(length, s * width, s * corner) for s in steps]
    edges += [place(s * length, width, s * corner) for s in reversed(steps)] + [
        place(0, s * width) for s in reversed(steps)
    ]
    view.shape(edges, "laminate", weight="thick", cut=False)
    view.line([flat[2], edges[25]], "thick", "wrong")
    view.words(edges[25][0] - 12, edges[25][1] - 4, f"{1e3 * corner:.2f} mm", "end", "wrong", bold=True)
    view.line([flat[0], edges[25]], "hair", dash="4 3")
    view.words(54, 112, "diagonal", "middle")
    view.line([(84, 116), ((flat[0][0] + edges[25][0]) / 2, (flat[0][1] + edges[25][1]) / 2)], "hair")
    formula = f"twist = rise / (2 diagonals) = {percent:g} %;" if told else "The rise is"
    view.note(f"{formula} drawn {enlarged} times")
    return view.view(
        "Twist",
        f"Three corners lie on the table; the fourth stands {1e3 * corner:.2f} mm off it"
        + (f", {percent:g} % of twice the diagonal." if told else "."),
    )


def sag(span=250e-3, thickness=1.6e-3, density=1850.0, cold_modulus=22e9, hot_modulus=6e9, enlarged=40) -> Drawing:
    """Draw a board on two rails, cold and above its glass transition, sagging under its own weight.

    Lengths in metres, density in kg/m³, moduli in Pa. The sag, 5ρgL⁴/(32Et²), is drawn ``enlarged`` times.
    """
    view = Pen(318)
    view.heading("", "The same board, cold and hot")
    scale = 330 / span
    rows = []
    for n, (name, modulus) in enumerate((("cold", cold_modulus), ("above the glass transition", hot_modulus))):
        drop = float(sag_from_own_weight(span, thickness, density, modulus))
        rows.append((name, drop))
        pen = view.scaled((210, 76 + 92 * n), scale)
        half = span / 2
        line = [
            (s / 20 * half, -enlarged * drop * (1 - 1.2 * (s / 20) ** 2 + 0.2 * (s / 20) ** 4)) for s in range(-20, 21)
        ]
        pen.line([(-half, 0), (half, 0)], "hair", "soft", dash="5 4")
        pen.shape(
            [*line, *[(x, y - 7 / scale) for x, y in reversed(line)]], "laminate", weight="thick", part=f"sag-{n}"
        )
        for side in (-1, 1):
            x, y = pen.at(side * half, -7 / scale)
            view.shape([(x, y), (x - 10, y + 18), (x + 10, y + 18)], "metal", weight="thick")
        x, y = pen.at(0, -enlarged * drop)
        view.words(210, 62 + 92 * n, f"{name}: {1e3 * drop:.2f} mm", "middle", bold=True)
    x, y = pen.at(0, -enlarged * rows[1][1] - 7 / scale)
    view.box(x - 5, y + 3, 10, 36, "", line="right", weight="thick", dash="4 3")
    view.words(x + 26, y + 38, "a pin here would carry it", colour="right")
    view.note(f"on rails {1e3 * span:.0f} mm apart; the sag is drawn {enlarged} times")
    return Drawing(
        "sag",
        "A hot board sags: hold it up in the middle",
        (
            view.view(
                "The same board, cold and hot",
                f"Between rails {1e3 * span:.0f} mm apart a board {1e3 * thickness:.1f} mm thick sags "
                f"{1e3 * rows[0][1]:.2f} mm "
                f"cold and {1e3 * rows[1][1]:.2f} mm above its glass transition. A pin under the middle would "
                "carry it.",
            ),
        ),
    )
