"""The rework station: beads in right and wrong seats, how a bead is fixed, heat through the board, the hood."""

import math

from workbook.bench.intake import air
from workbook.bench.joints import bow
from workbook.drawings.pen import SMALL, Drawing, Pen, View, arc


def five_beads() -> Drawing:
    """Draw the station from the side with five thermocouples in right seats, and four in wrong ones. Not to scale."""
    return Drawing("five-beads", "Where a thermocouple must sit", (_right_seats(), _wrong_seats()))


def _right_seats() -> View:
    view = Pen(366)
    view.heading("a", "Five right seats")
    _station(view)
    for number, x, y, lead in (
        (1, 152, 166, (60, 196)),
        (2, 210, 170, (210, 196)),
        (3, 210, 136, (60, 112)),
        (4, 62, 174, (24, 152)),
        (5, 366, 165, (398, 140)),
    ):
        _bead(view, x, y)
        view.number(*lead, number)
        view.line([(x, y), _short(lead, (x, y))], "hair")
    key = (
        "corner joint, in solder",
        "middle joint, from below",
        "on the package, glued",
        "board, away from the part",
        "nearest neighbour, on its leg",
    )
    for n, words in enumerate(key):
        view.number(20 + 205 * (n % 2), 266 + 27 * (n // 2), n + 1)
        view.words(36 + 205 * (n % 2), 266 + 27 * (n // 2), words, size=SMALL)
    view.note("Not to scale. Plate below, hot gas above.", 350)
    return view.view(
        "Five right seats",
        "A board lies over a heated plate, with a hot-gas nozzle over its package. Beads sit 1 in the solder of "
        "a corner "
        "joint, 2 at the middle joint, reached through a hole from below, 3 glued on the package, 4 on the board away "
        "from the part, 5 on a leg of the nearest neighbour.",
    )


def _wrong_seats() -> View:
    wrong = Pen(366)
    wrong.heading("b", "Wrong seats, and what they read")
    _station(wrong)
    wrong.line(arc(308, 178, 13, 0, -180), "thick", "soft")
    for letter, x, y, lead in (
        ("A", 236, 108, (290, 98)),
        ("B", 110, 214, (40, 204)),
        ("C", 308, 169, (330, 124)),
        ("D", 176, 128, (130, 104)),
    ):
        _bead(wrong, x, y)
        wrong.line([(x, y), _short(lead, (x, y))], "hair")
        wrong.number(*lead, letter)
    for n, words in enumerate(
        (
            "A hangs in the gas: reads the gas, too high",
            "B faces the plate: reads its glow, too high",
            "C under loose tape: reads air, too low",
            "D above the package: not one joint is known",
        )
    ):
        wrong.verdict(20, 262 + 24 * n, False)
        wrong.words(36, 262 + 24 * n, words)
    wrong.note("Not to scale.", 354)
    return wrong.view(
        "Wrong seats",
        "Four beads in wrong seats: A hangs in the gas and reads the gas; B faces the plate and reads its glow; C lies "
        "under loose tape and reads air; D stands off the package, and tells nothing of a joint.",
    )


SEATS = {
    "board": (62, 174, (24, 150), "soldered flat to the board, away from the package", ""),
    "plate": (110, 214, (40, 206), "between board and plate, touching neither", "it reads the plate's glow"),
    "corner": (152, 166, (112, 140), "in the solder of the joint at the package's corner", ""),
    "above": (176, 128, (106, 106), "over the package, with a gap between the two", "it reads gas, not the package"),
    "middle": (210, 170, (210, 206), "at a joint in the middle, put there through a hole from below", ""),
    "gas": (236, 108, (300, 100), "free in the stream under the nozzle", "it reads the gas"),
    "top": (254, 136, (304, 134), "glued flat to the top of the package", ""),
    "tape": (304, 169, (330, 120), "on the board, under a strip of tape that stands up off it", "it reads air"),
    "leg": (366, 165, (398, 140), "in the solder at a leg of the neighbour part", ""),
}
"""Where :func:`seats` can set a bead: its place and its letter's in pixels, what is seen, and what is wrong with it."""


def seats(shown=("board", "plate", "corner", "gas", "top", "leg")) -> Drawing:
    """Draw the station from the side with beads in those of the ``SEATS`` that are named, to be pointed at.

    Not to scale. A region ``tells`` something where the bead does not read what it seems to sit on. Raise ValueError
    for a seat that is none of them.
    """
    if strangers := set(shown) - set(SEATS):
        raise ValueError(f"no such seat: {', '.join(sorted(strangers))}; there are {', '.join(SEATS)}")
    view = Pen(266)
    view.heading("", "Beads on a board that is about to be heated")
    _station(view)
    if "middle" in shown:
        view.box(206, 176, 8, 14, "paper", weight="thin")
    for name, (x, y, tag, words, tells) in SEATS.items():
        if name in shown:
            if name == "tape":
                view.line(arc(x, 178, 13, 0, -180), "thick", "soft")
            if name == "top":
                view.shape([(x - 10, 140), (x - 6, 131), (x + 6, 131), (x + 10, 140)], "glue")
            if name == "board":
                view.shape([(x - 11, 176), (x - 6, 169), (x + 6, 169), (x + 11, 176)], "solder")
            _bead(view, x, y)
            view.line([(x, y), _short(tag, (x, y))], "hair")
            reach = [
                (x + 13 * math.cos(turn), y + 13 * math.sin(turn)) for turn in (0.4 + math.pi / 4 * n for n in range(8))
            ]
            view.region(name, f"bead {words}", reach, tells, letter_at=tag)
    view.note("Not to scale. Plate below, hot gas above.", 252)
    return Drawing(
        "seats",
        "Which bead reads what it is meant for?",
        (
            view.view(
                "Beads on a board",
                "A board lies over a heated plate, with a hot-gas nozzle over its package. "
                + " ".join(f"{one.words[0].upper()}{one.words[1:]}." for one in view.regions),
            ),
        ),
    )


def bead_fixed(
    joint_c=225.0, gas_c=270.0, film=150.0, area=3e-6, seat=0.5e-6, thickness=0.5e-3, glue=0.3, solder=50.0
) -> Drawing:
    """Draw a bead held by adhesive and one held by solder, and what each reads. Bead and seat are to scale.

    ``film`` [W/m²/K] acts on ``area`` [m²] of the bead; the seat has an area [m²], a thickness [m] and a conductivity,
    ``glue`` or ``solder`` [W/m/K].
    """
    views = []
    for letter, name, fill, conductivity in (("a", "adhesive", "glue", glue), ("b", "solder", "solder", solder)):
        gain, seat_gain = film * area, conductivity * seat / thickness
        share = gain / (gain + seat_gain)
        reading = joint_c + share * (gas_c - joint_c)
        off = f"{abs(reading - joint_c):.1f} K too {'high' if reading >= joint_c else 'low'}"
        view = Pen(262)
        view.heading(letter, f"Held by {name}")
        pen = view.scaled((120, 196), 90e3)
        pen.box(-1.05e-3, -0.25e-3, 2.1e-3, 0.25e-3, "copper")
        pen.words(-0.95e-3, -0.125e-3, f"joint {joint_c:.0f} °C", on="copper")
        radius = math.sqrt(area / (4 * math.pi))
        half = math.sqrt(seat / math.pi)
        pen.shape([(-half * 1.8, 0), (half * 1.8, 0), (half, thickness), (-half, thickness)], fill, part="seat")
        pen.disc(0, thickness + radius * 0.85, radius, "metal", weight="thick", part="bead")
        pen.line([(radius * 0.7, thickness + radius * 1.5), (0.95e-3, 1.55e-3)], "thick")
        pen.line([(radius * 0.3, thickness + radius * 1.8), (0.80e-3, 1.68e-3)], "thick")
        for n in range(3):
            view.arrow((24 + 22 * n, 52), (24 + 22 * n, 92), "thin", "hot")
        view.words(14, 40, f"gas {gas_c:.0f} °C", colour="hot")
        view.words(226, 66, f"k = {conductivity:g} W/mK")
        view.words(226, 90, f"gas share f = {share:.2g}")
        view.words(226, 124, f"reads {reading:.1f} °C", bold=True, size=16)
        view.verdict(238, 152, share < 0.05)
        view.words(254, 152, off)
        pen.scale_bar(14, 246, 0.5e-3, "0.5 mm")
        views.append(
            view.view(
                f"Held by {name}",
                f"A bead on a seat of {name} {1e3 * thickness:g} mm thick, in gas of {gas_c:.0f} °C over a joint of "
                f"{joint_c:.0f} °C. It takes {share:.2g} of the way to the gas and reads {reading:.1f} °C, {off}.",
            )
        )
    return Drawing("bead-fixed", "What a bead reads depends on what holds it", tuple(views))


def through_the_board(
    top_c=220.0, bottom_c=120.0, guarded_bottom_c=205.0, length=200e-3, thickness=1.6e-3, expansion=15e-6, enlarged=5
) -> Drawing:
    """Draw a board heated from above only, and one with heat from below: the fall through it, and how it bows.

    Temperatures in °C, lengths in metres, ``expansion`` in 1/K. The bow is drawn ``enlarged`` times.
    """
    views = []
    for letter, title, low in (
        ("a", "Hot gas alone", bottom_c),
        ("b", "Hot gas, and heat from below", guarded_bottom_c),
    ):
        curvature = abs(float(bow.gradient_curvature(expansion, top_c - low, thickness)))
        rise = float(bow.centre_bow(curvature, length))
        view = Pen(262)
        view.heading(letter, title)
        scale = 330 / length
        pen = view.scaled((210, 132), scale)
        half = length / 2
        steps = [n / 20 for n in range(-20, 21)]
        upper = [(s * half, enlarged * rise * (1 - s * s)) for s in steps]
        thick = 12 / scale
        pen.line([(-half, 0), (half, 0)], "hair", "soft", dash="5 4")
        pen.shape(
            [*upper, *[(x, y - thick) for x, y in reversed(upper)]], "laminate", weight="thick", part=f"board-{letter}"
        )
        for n in range(5):
            view.arrow((170 + 20 * n, 34), (170 + 20 * n, 58), "thin", "hot")
            if letter == "b":
                view.arrow((90 + 60 * n, 214), (90 + 60 * n, 186), "thick", "hot")
        view.words(14, 52, f"top {top_c:.0f} °C", colour="hot")
        view.words(14, 164, f"bottom {low:.0f} °C", colour="cool" if letter == "a" else "hot")
        view.words(300, 164, f"bow {1e3 * rise:.1f} mm", bold=True)
        if letter == "b":
            view.box(60, 216, 300, 12, "metal", weight="thick")
        pen.scale_bar(14, 246, 20e-3, f"20 mm; the bow is drawn {enlarged} times")
        views.append(
            view.view(
                title,
                f"A board {1e3 * length:.0f} mm long, {top_c:.0f} °C on top and {low:.0f} °C below, stands up "
                "in the middle "
                f"by {1e3 * rise:.1f} mm. The bow is drawn {enlarged} times too large.",
            )
        )
    return Drawing("through-the-board", "Heat from below keeps a board flat", tuple(views))


def hood(nozzle=75e-3, flow=413 / 3600, distances=(75e-3, 150e-3, 300e-3)) -> Drawing:
    """Draw how fast air moves in front of an extraction nozzle. Exact to scale.

    ``nozzle`` is the opening's diameter [m], ``flow`` the air it draws [m³/s], ``distances`` from the opening [m].
    """
    face = math.pi * nozzle**2 / 4
    view = Pen(318)
    view.heading("", "The nozzle must be close")
    pen = view.scaled((52, 160), min(320 / max(distances), 190 / nozzle))
    pen.shape(
        [(0, -nozzle / 2), (0, nozzle / 2), (-40e-3, nozzle / 2), (-40e-3, -nozzle / 2)],
        "metal",
        weight="thick",
        part="nozzle",
    )
    rows, before = [], -math.inf
    for distance in distances:
        speed = float(air.capture_velocity(flow, distance, face))
        pen.line(arc(0, 0, distance, -20, 20), "thin", "cool", dash="6 4", part=f"reach-{1e3 * distance:.0f}")
        pen.arrow((distance - 8e-3, 0), (max(distance - 8e-3 - 60e-3 * min(speed, 1), 4e-3), 0), "thick", "cool")
        rows.append(f"{1e3 * distance:g} mm: {speed:.2f} m/s")
        x, y = pen.at(distance * math.cos(0.35), distance * math.sin(-0.35))
        if x - before < 70:  # words under the next arc would lie on those under the last
            x, y = pen.at(distance * math.cos(0.35), distance * math.sin(0.35))
            y -= 34
        before = x
        view.words(x, y + 12, f"{1e3 * distance:g} mm\n{speed:.2f} m/s", "middle", "cool", bold=True)
    view.words(14, 46, f"{1e3 * nozzle:.0f} mm wide, draws {3600 * flow:.0f} m³/h")
    pen.scale_bar(14, 302, 50e-3, "50 mm")
    return Drawing(
        "hood",
        "Fume extraction works only near its opening",
        (
            view.view(
                "The nozzle must be close",
                f"In front of a nozzle {1e3 * nozzle:.0f} mm wide that draws {3600 * flow:.0f} cubic metres an "
                "hour, air moves "
                f"at {'; at '.join(rows)}. Well away from it, twice as far is a quarter of the speed.",
            ),
        ),
    )


def _station(view: Pen) -> None:
    """Draw plate, board with package and neighbour, and nozzle, in pixels."""
    view.box(60, 222, 300, 14, "metal", weight="thick")
    for n in range(7):
        view.arrow((80 + 43 * n, 219), (80 + 43 * n, 200), "thin", "hot")
    view.box(36, 176, 348, 14, "laminate", weight="thick")
    for n in range(5):
        view.disc(152 + 29 * n, 168, 8, "solder")
    view.box(138, 140, 144, 20, "package", weight="thick")
    view.box(326, 150, 40, 14, "package")
    view.shape([(320, 176), (320, 170), (328, 157), (332, 157), (325, 172), (325, 176)], "solder")
    view.shape([(372, 176), (372, 170), (364, 157), (360, 157), (367, 172), (367, 176)], "solder")
    view.shape(
        [(160, 34), (160, 66), (140, 92), (140, 100), (280, 100), (280, 92), (260, 66), (260, 34)], "", weight="thick"
    )
    view.words(210, 52, "nozzle", "middle")
    view.words(304, 52, "hot gas", colour="hot")
    for x in (172, 210, 248):
        view.arrow((x, 74), (x, 118), "thin", "hot")


def _bead(view: Pen, x: float, y: float) -> None:
    view.disc(x, y, 5.5, "copper", weight="thick")


def _short(start: tuple[float, float], end: tuple[float, float], by: float = 10) -> tuple[float, float]:
    """Return the point a little way from start towards end: where a leader leaves its number."""
    long = math.hypot(end[0] - start[0], end[1] - start[1])
    return start[0] + (end[0] - start[0]) * by / long, start[1] + (end[1] - start[1]) * by / long
