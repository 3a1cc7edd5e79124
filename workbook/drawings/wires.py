"""Small resistances: two wires and four, four tips on a plane, and a capacitor cracked by flexing."""

import math

from workbook.bench.shorts import copper, meter
from workbook.drawings import circuit
from workbook.drawings.pen import SMALL, Drawing, Pen, View, arc


def two_and_four(resistance=0.050, lead=0.10, contact=0.02, current=0.1) -> Drawing:
    """Draw a small resistance measured with two wires and with four, and what the meter shows.

    All resistances in ohm, each of two leads and two contacts the same; the four-wire current in ampere.
    """
    views = (_two_wires(resistance, lead, contact), _four_wires(resistance, current))
    return Drawing("two-and-four-wires", "Two wires measure themselves; four do not", views)


def _two_wires(resistance: float, lead: float, contact: float) -> View:
    two = float(meter.two_wire_reading(resistance, 2 * lead, 2 * contact))
    view = Pen(300)
    view.heading("a", "Two wires: the leads count too")
    view.box(150, 44, 120, 52, "paper", weight="thick")
    view.words(210, 60, f"{two:.3f} Ω", "middle", bold=True, size=17)
    view.words(210, 82, "ohmmeter", "middle")
    for side, x in ((-1, 90), (1, 330)):
        view.line([(210 + 60 * side, 70), (x, 70), (x, 218), (210 + 46 * side, 218)], "heavy", "hot")
        circuit.resistor(view, (x, 104), (x, 170))
    view.words(108, 138, f"lead\n{lead:.2f} Ω")
    view.words(312, 138, f"lead\n{lead:.2f} Ω", "end")
    circuit.resistor(view, (164, 218), (256, 218), upright=False)
    view.words(210, 194, f"{resistance:.3f} Ω", "middle", bold=True)
    for x in (164, 256):
        view.disc(x, 218, 5, "copper")
    view.words(210, 246, f"contacts, {contact:.2f} Ω each", "middle")
    view.verdict(22, 278, False)
    view.words(40, 278, f"{two:.3f} Ω in place of {resistance:.3f} Ω", colour="wrong")
    return view.view(
        "Two wires",
        f"An ohmmeter with two leads of {lead:.2f} ohm and two contacts of {contact:.2f} reads {two:.3f} ohm on "
        f"a resistance of {resistance:.3f}.",
    )


def _four_wires(resistance: float, current: float) -> View:
    view = Pen(300)
    view.heading("b", "Four wires: current in two, volts in two")
    view.box(24, 44, 118, 52, "paper", weight="thick")
    view.words(83, 60, f"{1e3 * current:.0f} mA", "middle", bold=True)
    view.words(83, 82, "source", "middle")
    view.box(236, 44, 150, 52, "paper", weight="thick")
    view.words(311, 60, f"{1e3 * current * resistance:.2f} mV", "middle", bold=True)
    view.words(311, 82, "voltmeter", "middle")
    view.line([(50, 96), (50, 218), (166, 218)], "heavy", "hot")
    view.line([(116, 96), (116, 124), (372, 124), (372, 218), (254, 218)], "heavy", "hot")
    view.line([(262, 96), (262, 112)], "thick", "cool")
    view.line([(262, 134), (262, 158), (178, 158), (178, 213)], "thick", "cool", dash="7 4")
    view.line([(262, 112), (262, 134)], "thick", "cool", dash="2 3")
    view.line([(354, 96), (354, 112)], "thick", "cool")
    view.line([(354, 134), (354, 172), (242, 172), (242, 213)], "thick", "cool", dash="7 4")
    view.line([(354, 112), (354, 134)], "thick", "cool", dash="2 3")
    circuit.resistor(view, (166, 218), (254, 218), upright=False)
    for x in (166, 254):
        view.disc(x, 218, 5, "copper")
    for x in (178, 242):
        view.disc(x, 218, 4, "paper")
    view.words(58, 236, "thick: the current")
    view.words(58, 256, "dashed: no current, so no drop in the leads", colour="cool")
    view.verdict(22, 280, True)
    view.words(
        40, 280, f"{1e3 * current * resistance:.2f} mV / {1e3 * current:.0f} mA = {resistance:.3f} Ω", colour="right"
    )
    return view.view(
        "Four wires",
        f"A source drives {1e3 * current:.0f} mA through two wires. A voltmeter on two others, inside them, "
        f"reads {1e3 * current * resistance:.2f} mV: {resistance:.3f} ohm.",
    )


def four_on_a_plane(apart=60e-3, tips=5e-3, places=(10e-3, 30e-3, 50e-3)) -> Drawing:
    """Draw current spreading over a plane between two points, its lines of equal voltage, and tips to follow it with.

    ``apart`` is between the points current goes in and comes out [m], ``tips`` between the sense tips [m], ``places``
    where the tips are set, from the first point [m]. Exact for a plane without end: lines of equal voltage are circles.
    """
    view = Pen(330)
    view.heading("", "On a plane: steep near the points")
    pen = view.scaled((105, 162), 210 / apart)
    pen.box(-22e-3, -29e-3, apart + 44e-3, 58e-3, "copper", weight="thick")
    edge = 29e-3
    for step in (0.5, 1.0, 1.5, 2.0, 3.0):
        ratio = math.exp(step)
        for where, factor in ((0.0, ratio), (apart, -ratio)):
            radius = apart * ratio / (ratio**2 - 1)
            centre = where - math.copysign(apart / (ratio**2 - 1), factor)
            _inside(pen, arc(centre, 0, radius, -180, 180, 120), (-22e-3, apart + 22e-3, -edge, edge))
    pen.line([(apart / 2, -edge), (apart / 2, edge)], "hair")
    for x, words, colour in ((0, "in", "hot"), (apart, "out", "cool")):
        pen.disc(x, 0, 2e-3, "paper", line="ink", weight="heavy", part=f"point-{words}")
        px, py = pen.at(x, 0)
        view.words(px, 276, f"current {words}", "middle", colour, bold=True)
        view.arrow(
            (px, 264) if words == "in" else (px, py + 9), (px, py + 9) if words == "in" else (px, 264), "thick", colour
        )
    readings = []
    for place in places:
        for x in (place - tips / 2, place + tips / 2):
            pen.line([(x, 0), (x, 12e-3)], "thick")
            pen.disc(x, 0, 0.9e-3, "paper", weight="thick")
        px, _ = pen.at(place, 0)
        here, middle = (float(copper.plane_drop_between(1.0, 1.0, apart, at, tips)) for at in (place, apart / 2))
        readings.append(f"{here / middle:.1f}")
        view.words(px, 108, readings[-1], "middle", bold=True, on="copper")
    view.words(14, 42, f"two tips {1e3 * tips:.0f} mm apart; reading against the middle's:", size=13)
    pen.scale_bar(14, 308, 10e-3, "10 mm")
    return Drawing(
        "four-on-a-plane",
        "Four tips on a plane",
        (
            view.view(
                "On a plane",
                f"Current goes in at one point of a copper plane and out at another {1e3 * apart:.0f} mm away. "
                "Lines of equal voltage are circles, close together near the points and far apart between them. Two "
                f"tips set {1e3 * tips:.0f} mm apart along the line read most near a point and least in the middle: "
                f"from left to right {', '.join(readings)} times the middle's reading, as on a plane without end.",
            ),
        ),
    )


def plane_from_above(
    parts=((56e-3, 28e-3), (94e-3, 71e-3), (57e-3, 72e-3), (93e-3, 28e-3), (107e-3, 50e-3)),
    inject=(15e-3, 50e-3),
    tips=((35e-3, 50e-3), (120e-3, 50e-3), (75e-3, 15e-3), (75e-3, 95e-3)),
    board=(140e-3, 110e-3),
) -> Drawing:
    """Draw a plane from above with its capacitors, the injection and the tips of the readings. Exact to scale.

    Places are along and across from the lower left corner of the drawing, as ``board`` is long and wide [m]. ``inject``
    and ``tips`` may be left out where the learner chooses them.
    """
    long, wide = board
    scale = 380 / long
    view = Pen(round(wide * scale) + 96)
    view.heading("", "The plane from above")
    pen = view.scaled((20, 40 + wide * scale), scale)
    pen.box(0, 0, long, wide, "copper", weight="thick")
    for n, (x, y) in enumerate(parts, 1):
        px, py = pen.at(x, y)
        view.box(px - 7, py - 4, 14, 8, "paste", weight="thick", part=f"part-{n}")
        view.words(px, py - 13, f"C{n}", "middle", on="copper", size=SMALL)
    for n, (x, y) in enumerate(tips):
        pen.disc(x, y, 4 / scale, "paper", weight="thick", part=f"tip-{n + 1}")
        pen.words(x + 8 / scale, y, "ABCD"[n], on="copper", bold=True)
    if inject:
        pen.disc(*inject, 5 / scale, "paper", line="ink", weight="heavy", part="injection")
        px, py = pen.at(*inject)
        view.words(px, py + 17, "current in", "middle", on="copper", size=SMALL)
    foot = 62 + wide * scale
    pen.scale_bar(20, foot, 20e-3, "20 mm")
    view.note("Places count along and across from this lower left corner.", foot + 22)

    def place(point):
        return f"({1e3 * point[0]:.0f}, {1e3 * point[1]:.0f})"

    said = [f"C{n} at {place(part)}" for n, part in enumerate(parts, 1)]
    said += [f"current in at {place(inject)}"] if inject else []
    said += [f"tip {letter} at {place(tip)}" for letter, tip in zip("ABCD", tips, strict=False)]
    return Drawing(
        "plane-from-above",
        "Where the capacitors stand on the plane",
        (
            view.view(
                "The plane from above", f"Millimetres along and across from the lower left corner: {', '.join(said)}."
            ),
        ),
    )


def net_of_links() -> Drawing:
    """Draw a part of an endless square net, with the crossings counted from one of them. Not to scale."""
    view = Pen(330)
    view.heading("", "A hatched ground: a net of equal links")
    x0, y0, step = 110, 224, 66
    for column in range(-1, 5):
        x = x0 + column * step
        view.line([(x, 40), (x, 276)], "thick", "copper")
        view.line([(x, 40), (x, 276)], "hair")
    for row in range(3):
        y = y0 - row * step
        view.line([(12, y), (408, y)], "thick", "copper")
        view.line([(12, y), (408, y)], "hair")
    for m, n, words in ((0, 0, "(0, 0)"), (1, 0, "(1, 0)"), (2, 0, "(2, 0)"), (1, 1, "(1, 1)"), (2, 1, "(2, 1)")):
        view.disc(x0 + m * step, y0 - n * step, 6, "solder", weight="thick", part=f"crossing-{m}-{n}")
        view.words(x0 + m * step + 7, y0 - n * step + 17, words, size=SMALL)
    view.arrow((x0 + 4, y0 + 34), (x0 + step - 4, y0 + 34), "hair", both=True)
    view.words(x0 + step / 2, y0 + 48, "one link", "middle", size=SMALL)
    view.note("Not to scale. The net goes on to all sides.")
    return Drawing(
        "net-of-links",
        "Crossings of a net of equal links",
        (
            view.view(
                "A net of equal links",
                "A square net of equal links that goes on to all sides. Crossings are named by how many links they "
                "lie along and across from one of them: (0, 0), (1, 0) and (2, 0) in one row, (1, 1) and (2, 1) in the "
                "next.",
            ),
        ),
    )


def flex_crack(length=2.0e-3, height=1.25e-3, angle=45.0, plates=12) -> Drawing:
    """Draw a ceramic capacitor that bending of the board has cracked, cut open. Exact to scale but for its plates.

    Lengths in metres, the crack's angle in degrees; the real number of plates is in the hundreds.
    """
    view = Pen(326)
    view.heading("", "Cracked by a bent board")
    pen = view.scaled((182, 244), 118e3)
    half, end = length / 2, 0.35e-3
    pen.box(-half - 0.35e-3, -0.25e-3, length + 0.7e-3, 0.25e-3, "laminate")
    pen.box(-half - 0.25e-3, 0, 0.6e-3, 0.05e-3, "copper")
    pen.box(half - 0.35e-3, 0, 0.6e-3, 0.05e-3, "copper")
    base = 0.08e-3
    pen.box(-half, base, length, height, "paste", weight="thick", part="body")
    for n in range(plates):
        y = base + height * (0.14 + 0.72 * n / (plates - 1))
        left = -half if n % 2 == 0 else -half + 0.5e-3
        pen.line([(left, y), (left + length - 0.5e-3, y)], "thin")
    for side in (-1, 1):
        x = -half if side < 0 else half - end
        pen.box(x, base - 0.03e-3, end, height + 0.06e-3, "metal", weight="thick")
        outer = side * half
        pen.shape([(outer, base * 0.6), (outer + side * 0.24e-3, 0.05e-3), (outer, 0.05e-3)], "solder")
        pen.shape([(outer, base + height * 0.6), (outer + side * 0.24e-3, 0.05e-3), (outer, 0.05e-3)], "solder")
    start = half - end
    rise = height * 0.72
    run = rise / math.tan(math.radians(angle))
    pen.line([(start - 0.01e-3, base), (start - 0.01e-3 - run, base + rise)], "heavy", "wrong", part="crack")
    view.callout(
        f"crack, up at {angle:.0f}° from\nthe end of the metal",
        (120, 44),
        pen.at(start - 0.01e-3 - run * 0.8, base + rise * 0.8),
        colour="wrong",
    )
    view.words(14, 292, "It may cut plates that then touch: a short under load.")
    pen.scale_bar(14, 312, 0.5e-3, "0.5 mm")
    return Drawing(
        "flex-crack",
        "A capacitor cracked by flexing",
        (
            view.view(
                "Cracked by a bent board",
                f"A ceramic capacitor {1e3 * length:.1f} mm long, cut open. From the inner edge of its end "
                "metal a crack goes "
                f"up into the stack of plates at {angle:.0f} degrees. Plates that it cuts may touch: a short.",
            ),
        ),
    )


def _inside(pen: Pen, points, box) -> None:
    """Draw the stretches of a line that lie inside a box."""
    left, right, low, high = box
    run = []
    for point in [*points, (math.inf, 0)]:
        if left <= point[0] <= right and low <= point[1] <= high:
            run.append(point)
        else:
            if len(run) > 1:
                pen.line(run, "hair")
            run = []
