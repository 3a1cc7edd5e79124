"""A ball joint: cut open, its faults told apart, how it leans, and what a dye leaves of it."""

import math
from typing import NamedTuple

from workbook.bench.joints import inspection, strain
from workbook.bench.paste import solder_ball
from workbook.drawings.pen import SMALL, Drawing, Pen, View, arc, barrel

COPPER = 35e-6
"""Thickness of a land in these drawings: one-ounce copper [m]."""

MASK = 25e-6


class Joint(NamedTuple):
    """A joint of molten solder between two round lands: its height, and the radii of upper and lower land [m]."""

    height: float
    top: float
    bottom: float

    @classmethod
    def of(cls, ball: float, package_land: float, board_land: float) -> "Joint":
        """Return the joint that a ball makes: all are diameters, the ball's before it was melted [m]."""
        top, bottom = package_land / 2, board_land / 2
        return cls(float(solder_ball.joint_height(solder_ball.ball_volume(ball), top, bottom)), top, bottom)

    @property
    def belly(self) -> float:
        """Its largest diameter [m]."""
        return float(solder_ball.joint_belly(*self))

    def void_radius(self, share: float) -> float:
        """Return the radius of a round void that covers a share of the joint's image from above [m]."""
        return float(inspection.diameter_from_area_fraction(share)) * self.belly / 2


def cut_open(
    ball=0.60e-3, package_land=0.48e-3, board_land=0.45e-3, compound=3e-6, crack_share=0.35, void_share=0.06
) -> Drawing:
    """Draw a joint cut open: lands, compound layer, a crack under the package and a round void, exact to scale.

    ``ball`` is its diameter before it was melted [m], the lands' diameters and ``compound``'s thickness are in metres.
    ``crack_share`` is how far the crack has come across the package land, and ``void_share`` the share of the joint's
    image from above that the void covers.
    """
    whole = _whole_joint(Joint.of(ball, package_land, board_land), crack_share, void_share)
    return Drawing("joint-cut-open", "A ball joint cut open", (whole, _upper_corner(compound)))


def _whole_joint(joint: Joint, crack_share: float, void_share: float) -> View:
    height, top, bottom = joint
    void, belly, crack = joint.void_radius(void_share), joint.belly, 2 * crack_share * top
    whole = Pen(330)
    whole.heading("a", "The whole joint, cut through its middle")
    pen = whole.scaled((205, 248), 290e3)
    held(pen, height, top, bottom)
    pen.shape(barrel(height, top, bottom), "solder", weight="thick", part="joint")
    pen.disc(-0.25 * bottom, 0.42 * height, void, "paper", part="void")
    below = height - 14e-6
    pen.line(ragged(-top, -top + crack, below, 6e-6), "heavy", "wrong", part="crack")
    pen.callout("package", (12, 46), (-0.40e-3, height + 75e-6))
    pen.callout("package\nland", (348, 92), (top * 0.8, height + COPPER / 2))
    pen.callout("crack", (12, 106), (-top * 0.9, below), colour="wrong")
    pen.callout("void", (12, 178), (-0.25 * bottom, 0.42 * height))
    pen.callout("solder", (348, 178), (belly / 2 * 0.8, height / 2))
    pen.callout("board\nland", (348, 236), (bottom * 0.8, -COPPER / 2))
    pen.callout("solder\nmask", (12, 222), (-bottom - 0.12e-3, -COPPER + MASK / 2))
    pen.scale_bar(14, 312, 0.2e-3, "0.2 mm")
    return whole.view(
        "The whole joint",
        f"A barrel of solder {1e3 * height:.2f} mm high and {1e3 * belly:.2f} mm wide stands between the copper land "
        f"of the package above and that of the board below. A crack has come {100 * crack_share:.0f} % of the way "
        f"across, from the left, close under the upper land. A round void covers {100 * void_share:.0f} % of the "
        "image seen from above.",
    )


def _upper_corner(compound: float) -> View:
    corner = Pen(330)
    corner.heading("b", "Its upper left corner, much larger")
    near = corner.scaled((60, 128), 5.4e6)
    near.box(-11e-6, -28e-6, 78e-6, 28e-6, "solder")
    scallops = ragged(-11e-6, 67e-6, -compound, 1.0e-6, step=3e-6)
    near.shape([*scallops, (67e-6, 0), (-11e-6, 0)], "compound", part="compound")
    near.box(-11e-6, 0, 78e-6, 14e-6, "copper")
    path = ragged(-11e-6, 44e-6, -compound - 5e-6, 1.6e-6, step=4e-6)
    near.line(path, "heavy", "wrong")
    near.words(-8e-6, 10e-6, "copper land", on="copper")
    near.words(-8e-6, -21e-6, "solder", on="solder")
    near.callout(f"compound layer of tin and copper, {1e6 * compound:.1f} µm", (40, 38), (50e-6, -compound / 2))
    near.arrow((12e-6, -17e-6), (path[7][0], path[7][1] - 1e-6), colour="ink")
    near.words(12e-6, -20e-6, "crack, close along the layer", on="solder")
    near.words(48e-6, -11e-6, "still whole", on="solder")
    near.scale_bar(14, 312, 10e-6, "10 µm")
    return corner.view(
        "Its upper left corner",
        f"Between copper and solder lies a compound layer {1e6 * compound:.1f} µm thick. The crack runs in the solder, "
        "close along that layer, and ends where the solder is still whole.",
    )


def told_apart(ball=0.60e-3, package_land=0.48e-3, board_land=0.45e-3) -> Drawing:
    """Draw four faults of a ball joint that a meter cannot tell apart: where each one parts. Exact in its outlines.

    Lengths are diameters in metres: the ball before it was melted, and the lands.
    """
    joint, radius = Joint.of(ball, package_land, board_land), ball / 2
    views = (_head_in_pillow(joint, radius), _non_wetting(joint, radius), _torn_resin(joint), _lifted_land(joint))
    return Drawing("faults-told-apart", "Four faults under one ball: where does it part?", views)


def _head_in_pillow(joint: Joint, radius: float) -> View:
    top, bottom = joint.top, joint.bottom
    view = Pen(272)
    view.heading("a", "Head in pillow: two skins, no joint")
    pen = view.scaled((140, 201), 250e3)
    middle = _pillow(pen, top, bottom, radius)
    pen.callout("ball: melted, and\nfroze by itself", (272, 88), (radius * 0.55, middle + 0.05e-3))
    pen.callout("skin of oxide", (285, 146), (radius * 0.62, middle - radius * 0.80), colour="wrong")
    pen.callout("paste: melted, and\nfroze by itself", (272, 183), (bottom * 0.9, 0.03e-3))
    view.note("They touch, so it may conduct until it is flexed.")
    return view.view(
        "Head in pillow",
        "The ball rests like a head in a dent of the solder on the board's land. Both melted, but a skin of oxide "
        "lies between them: they touch and are not joined.",
    )


def _non_wetting(joint: Joint, radius: float) -> View:
    top, bottom = joint.top, joint.bottom
    view = Pen(272)
    view.heading("b", "Non-wetting: the land stayed bare")
    pen = view.scaled((140, 201), 250e3)
    _bare(pen, top, bottom, radius)
    pen.callout("all the solder\nwent up to the\nball", (285, 92), (radius * 0.6, radius))
    pen.callout("land dull, flat:\nnothing stuck", (285, 170), (bottom * 0.85, 4e-6), colour="wrong")
    view.note("The dirty or oxidised face is on the board.")
    return view.view(
        "Non-wetting",
        "The ball kept all the solder and only stands on the board's land, which is flat and bare: solder never "
        "wetted it.",
    )


def _torn_resin(joint: Joint) -> View:
    height, top, bottom = joint
    view = Pen(272)
    view.heading("c", "Crater: the resin below is torn")
    pen = view.scaled((140, 196), 250e3)
    _crater(pen, top, bottom, height)
    pen.callout("joint and land\nare whole", (275, 110), (0.27e-3, height * 0.55))
    pen.callout(
        "tear in the resin:\nlaminate will come\noff with the land",
        (265, 168),
        (0.2 * bottom, -0.08e-3),
        colour="wrong",
    )
    view.note("From bending or pulling. Often no change in resistance yet.")
    return view.view(
        "Crater",
        "Joint and land are whole. The tear runs through the resin of the board below the land, down from one edge "
        "of it: if the land comes away, laminate comes with it.",
    )


def _lifted_land(joint: Joint) -> View:
    height, top, bottom = joint
    view = Pen(272)
    view.heading("d", "Lifted land: copper off the laminate")
    pen = view.scaled((140, 202), 250e3)
    lift = _lifted(pen, top, bottom, height)
    pen.callout("joint is whole", (275, 110), (0.27e-3, height * 0.55))
    pen.callout(
        "clean gap between\nland and laminate", (262, 158), (-bottom * 0.55, -COPPER + 0.4 * lift), colour="wrong"
    )
    view.note("From too much heat, or from lifting before all was molten.")
    return view.view(
        "Lifted land",
        "The joint is whole and the land with it, but the land has peeled off the laminate from one side: a clean "
        "wedge of air lies under the copper.",
    )


SEEN = {
    "whole": ("solder from land to land without a break", ""),
    "crack": ("a line through the solder, from its edge part of the way, close under the upper land", "fatigue"),
    "pillow": ("a round ball in a dent of the solder below it, with a line all along between them", "never joined"),
    "bare": ("a round ball on a flat land, which it touches at its lowest point", "never joined"),
    "crater": ("solder and land without a break, and a line through the board below the land", "board torn"),
    "lifted": ("solder without a break, and a wedge of air between the land and the board", "board torn"),
}
"""How :func:`row_cut_open` can show a joint: what is seen, and what it tells."""


def row_cut_open(kinds=tuple(SEEN), ball=0.60e-3, package_land=0.48e-3, board_land=0.45e-3) -> Drawing:
    """Draw six joints cut open, each of a kind of ``SEEN``, to be pointed at. Exact in their outlines.

    Lengths are diameters in metres: the ball before it was melted, and the lands. Raise ValueError unless there are six
    kinds, all of ``SEEN``.
    """
    if len(kinds) != 6 or not set(kinds) <= set(SEEN):
        raise ValueError(f"six kinds of joint are needed, of {', '.join(SEEN)}; got {', '.join(kinds)}")
    (height, top, bottom), radius = Joint.of(ball, package_land, board_land), ball / 2
    view = Pen(404)
    view.heading("", "Six joints of one board, cut open")
    for n, kind in enumerate(kinds):
        x, y = 72 + 138 * (n % 3), 178 + 168 * (n // 3)
        pen = view.scaled((x, y), 140e3)
        if kind == "pillow":
            _pillow(pen, top, bottom, radius)
        elif kind == "bare":
            _bare(pen, top, bottom, radius)
        elif kind == "crater":
            _crater(pen, top, bottom, height)
        elif kind == "lifted":
            _lifted(pen, top, bottom, height)
        else:
            held(pen, height, top, bottom)
            pen.shape(barrel(height, top, bottom), "solder", weight="thick")
            if kind == "crack":
                pen.line(ragged(-top, -top + 0.6 * package_land, height - 14e-6, 6e-6), "heavy", "wrong")
        corner = (x - 66, y - 126)
        outline = [corner, (x + 66, y - 126), (x + 66, y + 28), (x - 66, y + 28)]
        words, tells = SEEN[kind]
        view.region(f"joint-{n + 1}", words, outline, tells, letter_at=(x - 56, y - 112))
    view.scaled((0, 0), 140e3).scale_bar(14, 388, 0.5e-3, "0.5 mm")
    return Drawing(
        "row-cut-open",
        "Six joints of one board, cut open",
        (
            view.view(
                "Six joints cut open",
                "Each stands between the land of the package above and that of the board below. "
                + " ".join(f"Joint {n}: {SEEN[kind][0]}." for n, kind in enumerate(kinds, 1)),
            ),
        ),
    )


def crack_and_voids(land=0.44e-3, depth=0.09e-3, ball=0.58e-3, voids=(0.24e-3, 0.12e-3, 0.12e-3, 0.12e-3)) -> Drawing:
    """Draw a section of one joint, cracked from both sides, and the X-ray picture of another with its voids, to scale.

    ``land`` is the diameter of the joint where the crack runs, ``depth`` how far it has come in from each side, and
    ``voids`` the diameters of the voids, the largest first [m].
    """
    view = Pen(330)
    view.heading("a", "Section through the middle")
    pen = view.scaled((205, 248), 290e3)
    half = land / 2
    height = float(solder_ball.joint_height(solder_ball.ball_volume(land / 0.75), half, half))
    held(pen, height, half, half)
    pen.shape(barrel(height, half, half), "solder", weight="thick")
    level = height - 14e-6
    for part, start, end in (("left-crack", -half, depth - half), ("right-crack", half - depth, half)):
        pen.line(ragged(start, end, level, 4e-6), "heavy", "wrong", part=part)
    pen.callout("crack", (12, 106), (-0.9 * half, level), colour="wrong")
    pen.callout("crack", (408, 106), (0.9 * half, level), "end", colour="wrong")
    pen.dimension((-half, -0.21e-3), (half, -0.21e-3), f"{1e3 * land:.2f} mm", offset=(0, 13))
    pen.scale_bar(14, 312, 0.2e-3, "0.2 mm")
    section = view.view(
        "Section through the middle",
        f"A joint {1e3 * land:.2f} mm across where it meets the package. Close under the package land a crack has "
        f"come in from the left, {1e3 * depth:.2f} mm deep, and another from the right, as deep.",
    )
    view = Pen(330)
    view.heading("b", "X-ray picture of another ball")
    pen = view.scaled((205, 170), 380e3)
    pen.disc(0, 0, ball / 2, "solder", weight="thick", part="ball")
    largest, *small = voids
    middle = 0.98 * ball / 2 - largest / 2  # as far to the left as it can lie
    pen.disc(-middle, 0, largest / 2, "paper", part="void-0")
    ring = 0.98 * ball / 2 - max(small, default=0) / 2
    for n, void in enumerate(small, 1):
        angle = math.radians(-76 + 152 * (n - 1) / max(1, len(small) - 1))
        pen.disc(ring * math.cos(angle), ring * math.sin(angle), void / 2, "paper", part=f"void-{n}")
    pen.scale_bar(14, 312, 0.2e-3, "0.2 mm")
    sizes = ", ".join(f"{1e3 * void:.2f}" for void in voids)
    picture = view.view(
        "X-ray picture of another ball",
        f"From above, a ball {1e3 * ball:.2f} mm across. In it lie {len(voids)} round voids that do not "
        f"overlap, {sizes} mm across.",
    )
    return Drawing("crack-and-voids", "A crack in a section, and voids in an X-ray picture", (section, picture))


def layers(first=2.4e-6, later=6.5e-6, after="after 40 days at 150 °C") -> Drawing:
    """Draw the compound layer of a fresh joint and of the same kind of joint after some time, exact to scale [m]."""
    views = []
    for letter, name, thickness in (("a", "Fresh", first), ("b", after[:1].upper() + after[1:], later)):
        view = Pen(262)
        view.heading(letter, name)
        pen = view.scaled((60, 112), 5.4e6)
        pen.box(-11e-6, -20e-6, 78e-6, 20e-6, "solder")
        edge = ragged(-11e-6, 67e-6, -thickness, 0.8e-6, step=3e-6)
        pen.shape([*edge, (67e-6, 0), (-11e-6, 0)], "compound", part="compound")
        pen.box(-11e-6, 0, 78e-6, 12e-6, "copper")
        pen.words(-8e-6, 6e-6, "copper land", on="copper")
        pen.words(-8e-6, -16e-6, "solder", on="solder")
        pen.callout(f"layer {1e6 * thickness:.1f} µm", (270, 34), (50e-6, -thickness / 2))
        pen.scale_bar(14, 244, 10e-6, "10 µm")
        views.append(
            view.view(
                name,
                f"Between copper land and solder lies a layer of tin and copper {1e6 * thickness:.1f} µm thick, "
                "with an uneven edge towards the solder.",
            )
        )
    return Drawing("layers", "The layer between copper and solder", tuple(views))


def leaning_row(
    pitch=1.0e-3, joints=7, height=0.45e-3, part_expansion=6e-6, board_expansion=18e-6, swing=80.0, enlarged=25
) -> Drawing:
    """Draw a row of joints from the middle of a package to its corner, hot: how each leans. Exact but for the lean.

    Lengths are in metres, expansions in 1/K, ``swing`` in kelvins; the lean is drawn ``enlarged`` times.
    """
    top = bottom = 0.22e-3
    mismatch = (board_expansion - part_expansion) * swing
    more, way = ("board", "inwards") if mismatch > 0 else ("package", "outwards")
    last = (joints - 1) * pitch
    view = Pen(308)
    view.heading("", f"Hot: the {more} has grown more")
    pen = view.scaled((34, 178), 350 / (last + 2 * 0.35e-3))
    left, right = -0.35e-3, last + 0.35e-3
    pen.box(left, height, right - left, 0.5e-3, "package")
    pen.box(left, -0.4e-3, right - left, 0.4e-3, "laminate")
    pen.line([(0, -0.55e-3), (0, height + 0.65e-3)], "hair", dash="6 3 1 3")
    for n in range(joints):
        lean = enlarged * mismatch * n * pitch
        outline = barrel(height, top, bottom)
        x0 = n * pitch - lean
        leant = [(x0 + x + lean * (1 - y / height), y) for x, y in outline]
        pen.shape(leant, "solder", weight="thick" if n == joints - 1 else "thin", part=f"joint-{n}")
    share = float(strain.mismatch_strain(last, height, part_expansion, board_expansion, swing))
    middle = pen.at(0, 0)[0]
    view.words(middle + 6, 44, "middle of the package")
    corner = pen.at(last, height)
    view.callout("corner joint:\nleans most", (400, 62), (corner[0] - 2, corner[1] + 18), "end", "wrong")
    view.arrow((70, 232), (330, 232), "thick", "hot")
    view.words(60, 252, f"board grows by {1e6 * board_expansion:.0f} ppm for each kelvin,", colour="hot")
    view.words(60, 270, f"package by {1e6 * part_expansion:.0f}: corner strain {100 * share:.1f} %", colour="hot")
    pen.scale_bar(14, 292, 1e-3, f"1 mm; the lean is drawn {enlarged} times too large")
    return Drawing(
        "leaning-row",
        "Why the corner joint goes first",
        (
            view.view(
                "A row of joints, hot",
                f"The {more} has grown more. From the middle of the package, whose joint stands straight, the head of "
                f"each next joint leans further {way}. The corner joint, {1e3 * last:.1f} mm out, leans most: a "
                f"strain of {100 * share:.1f} %. The lean is drawn {enlarged} times too large.",
            ),
        ),
    )


def dye_map(shares=None, pitch=1.0e-3, land=0.45e-3) -> Drawing:
    """Draw a package pulled off after a dye test, seen from above: how much of each joint the dye has reached.

    ``shares`` are rows of dyed shares of the joints' area, 0 to 1; lengths in metres. Exact to scale.
    """
    shares = shares or _CORNER_CRACKS
    rows, columns = len(shares), len(shares[0])
    view = Pen(346)
    view.heading("", "From above: what the dye has reached")
    pen = view.scaled((210 - 29 * (columns - 1), 56), 58 / pitch)
    for row, line in enumerate(shares):
        for column, share in enumerate(line):
            x, y = column * pitch, -row * pitch
            pen.disc(x, y, land / 2, "solder", part=f"land-{row}-{column}")
            if share:
                away = math.atan2((rows - 1) / 2 - row, column - (columns - 1) / 2)
                pen.shape(segment(x, y, land / 2, share, away), "dye", part=f"dye-{row}-{column}")
                pen.words(x, y - 0.34e-3, f"{100 * share:.0f} %", "middle", size=SMALL)
    foot = 56 + 58 * rows
    view.shape(arc(30, foot + 4, 10, 0, 360)[:-1], "dye")
    view.words(48, foot + 4, "dyed: open before the pull")
    view.shape(arc(284, foot + 4, 10, 0, 360)[:-1], "solder")
    view.words(302, foot + 4, "torn by the pull")
    pen.scale_bar(14, foot + 30, 0.5e-3, "0.5 mm")
    dyed = sum(share > 0 for line in shares for share in line)
    each = "; ".join(", ".join(f"{100 * share:.0f}" for share in line) for line in shares)
    return Drawing(
        "dye-map",
        "A dye-and-pull map",
        (
            view.view(
                "Dye map",
                f"{rows} by {columns} joints. Dye reached {dyed} of them, from the side that faces away from the "
                f"middle; the rest were whole until pulled. Dyed, in per cent of each joint, row by row from the top: "
                f"{each}.",
            ),
        ),
    )


_CORNER_CRACKS = (
    (0.55, 0.15, 0.0, 0.0, 0.10, 0.40),
    (0.20, 0.0, 0.0, 0.0, 0.0, 0.05),
    (0.0, 0.0, 0.0, 0.0, 0.0, 0.0),
    (0.30, 0.0, 0.0, 0.0, 0.0, 0.15),
)
"""An invented quarter of a test: corners first, as everywhere."""


def held(pen: Pen, height: float, top: float, bottom: float, land: bool = True) -> None:
    """Draw what a joint stands between: package and its land above, board, mask and land below."""
    half = 0.46e-3
    pen.box(-half, height + COPPER, 2 * half, 0.12e-3, "package")
    pen.box(-top, height, 2 * top, COPPER, "copper")
    pen.box(-half, -COPPER - 0.14e-3, 2 * half, 0.14e-3, "laminate")
    for side in (-half, bottom + 0.06e-3):
        pen.box(side, -COPPER, half - bottom - 0.06e-3, MASK, "mask")
    if land:
        pen.box(-bottom, -COPPER, 2 * bottom, COPPER, "copper")


def _pillow(pen: Pen, top: float, bottom: float, radius: float) -> float:
    """Draw a ball that rests in a dent of the paste and is not joined to it; return how high its middle is [m]."""
    centre = math.sqrt(radius**2 - top**2)  # how far the ball's centre hangs under the package land
    standing = radius + centre + 0.05e-3
    held(pen, standing, top, bottom)
    middle, gap = standing - centre, 9e-6
    rim = math.degrees(math.asin(0.70))
    dent = arc(0, middle, radius + gap, 270 - rim, 270 + rim)
    pen.shape([(-bottom, 0), (-bottom * 1.04, 0.05e-3), *dent, (bottom * 1.04, 0.05e-3), (bottom, 0)], "solder")
    pen.shape(arc(0, middle, radius, 90 + _half(top, radius), 450 - _half(top, radius)), "solder", weight="thick")
    pen.line(arc(0, middle, radius + gap / 2, 270 - rim, 270 + rim), "thick", "wrong")
    return middle


def _bare(pen: Pen, top: float, bottom: float, radius: float) -> None:
    """Draw a ball that kept all solder and only stands on the board's land."""
    held(pen, radius + math.sqrt(radius**2 - top**2), top, bottom)
    pen.shape(arc(0, radius, radius, 90 + _half(top, radius), 450 - _half(top, radius)), "solder", weight="thick")
    pen.line([(-bottom, 2e-6), (bottom, 2e-6)], "heavy", "wrong")


def _crater(pen: Pen, top: float, bottom: float, height: float) -> None:
    """Draw a whole joint over a tear in the resin."""
    held(pen, height, top, bottom)
    pen.shape(barrel(height, top, bottom), "solder", weight="thick")
    tear = [
        (-bottom - 0.01e-3, -COPPER),
        (-bottom * 0.8, -0.075e-3),
        (-bottom * 0.3, -0.10e-3),
        (0.15 * bottom, -0.07e-3),
    ]
    pen.line([*tear, (0.45 * bottom, -0.10e-3), (0.7 * bottom, -0.085e-3)], "heavy", "wrong")


def _lifted(pen: Pen, top: float, bottom: float, height: float) -> float:
    """Draw a whole joint whose land has peeled off the laminate from one side; return how far [m]."""
    lift = 0.06e-3
    held(pen, height, top, bottom, land=False)

    def raised(x, y):
        return x, y + lift * (bottom - x) / (2 * bottom) * (1 - max(y, 0) / height)

    pen.shape([raised(x, y) for x, y in barrel(height, top, bottom)], "solder", weight="thick")
    pen.shape([(-bottom, lift), (bottom, 0), (bottom, -COPPER), (-bottom, lift - COPPER)], "copper", weight="thick")
    pen.shape([(-bottom, lift - COPPER), (bottom, -COPPER), (-bottom, -COPPER)], "paper", line="wrong", weight="thick")
    return lift


def ragged(start: float, end: float, y: float, swing: float, step: float = 9e-6) -> list[tuple[float, float]]:
    """Return a ragged line, the same every time."""
    count = max(2, round((end - start) / step))
    return [
        (start + (end - start) * n / count, y + swing * math.sin(2.4 * n) * math.cos(0.7 * n)) for n in range(count + 1)
    ]


def _half(land_radius: float, radius: float) -> float:
    """Return the angle in degrees under which a ball's centre sees the half of its land."""
    return math.degrees(math.asin(land_radius / radius))


def segment(x: float, y: float, radius: float, share: float, towards: float) -> list[tuple[float, float]]:
    """Return the part of a disc that a crack with a straight front has parted, from the side it came in by."""
    half = half_angle(share)
    return arc(x, y, radius, math.degrees(towards - half), math.degrees(towards + half))


def half_angle(share: float) -> float:
    """Return half the angle [rad] under which the middle of a disc sees the chord that cuts off a share of its area.

    The segment's share grows with it, so it is found by halving.
    """
    low, high = 0.0, math.pi
    for _ in range(60):
        half = (low + high) / 2
        low, high = (half, high) if (half - math.sin(2 * half) / 2) / math.pi < share else (low, half)
    return half
