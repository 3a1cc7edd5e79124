"""The sink and what lies under it: a wedge of paste, patterns of paste, pads, a layer close up, and loosening."""

import math

from workbook.bench.paste import chain, loosening, volumes, wedge
from workbook.drawings.pen import Drawing, Pen, View, arc
from workbook.references import value


def pinned_wedge(die=14e-3, low=50e-6, high=150e-6, conductivity=3.0, enlarged=25) -> Drawing:
    """Draw a sink held by soldered pins, one pressed home and one not, and the wedge of paste it leaves.

    ``die`` is a square die's side, ``low`` and ``high`` the paste at its two edges, in metres; ``conductivity`` of the
    paste in W/m/K. The wedge is drawn ``enlarged`` times as thick.
    """
    views = (_tilted_sink(), _wedge_of_paste(die, low, high, conductivity, enlarged))
    return Drawing("pinned-wedge", "A sink on soldered pins, and its wedge of paste", views)


def _tilted_sink() -> View:
    view = Pen(300)
    view.heading("a", "One pin in, one pin not: the sink tilts")
    slope = math.tan(math.radians(5))

    def base(x):
        return 128 - (x - 60) * slope

    view.box(24, 196, 372, 14, "laminate", weight="thick")
    view.box(150, 170, 120, 20, "package", weight="thick")
    for n in range(6):
        view.disc(160 + 20 * n, 193, 4, "solder", weight="hair")
    view.box(186, 156, 48, 14, "silicon", weight="thick")
    left, right = base(44), base(376)
    view.shape([(186, 156), (234, 156), (234, base(234) + 14 + 2), (186, base(186) + 16)], "paste")
    view.shape([(44, left), (376, right), (376, right + 16), (44, left + 16)], "metal", weight="thick")
    for n in range(9):
        x = 62 + 36 * n
        view.shape([(x, base(x)), (x, base(x) - 44), (x + 9, base(x) - 44), (x + 9, base(x + 9))], "metal")
    for x, home in ((66, True), (352, False)):
        foot = 226 if home else 203
        view.shape(
            [(x - 4, base(x) + 16), (x + 4, base(x) + 16), (x + 4, foot), (x - 4, foot)], "metal", weight="thick"
        )
        if home:
            view.shape([(x - 13, 210), (x + 13, 210), (x + 5, 222), (x - 5, 222)], "solder")
        view.verdict(x, 244, home)
    view.words(82, 244, "pressed home")
    view.words(336, 244, "froze too early", "end", "wrong")
    view.words(14, 270, "Press flush, nearest pin first, one pin at a time.")
    view.note("Not to scale.", 290)
    return view.view(
        "The sink tilts",
        "A finned sink over a die is held by two pins soldered into the board. The left pin is home; the right "
        "one froze too early, so the sink stands higher there and the paste on the die is a wedge.",
    )


def _wedge_of_paste(die: float, low: float, high: float, conductivity: float, enlarged: float) -> View:
    tilted = float(wedge.wedge_resistance(low, high, conductivity, die**2))
    flat = float(chain.layer_resistance(low, conductivity, die**2))
    view = Pen(300)
    view.heading("b", "The wedge of paste on the die")
    pen = view.scaled((40, 178), 340 / die, enlarged)
    thick = 30 / (340 / die * enlarged)
    pen.box(0, -thick, die, thick, "silicon", weight="thick", part="die")
    pen.shape([(0, 0), (die, 0), (die, high), (0, low)], "paste", weight="thick", part="wedge")
    pen.shape([(0, low), (die, high), (die, high + thick), (0, low + thick)], "metal", weight="thick")
    view.words(46, pen.at(0, low / 2)[1], f"{1e6 * low:.0f} µm", on="paste")
    view.words(374, pen.at(0, high / 2)[1], f"{1e6 * high:.0f} µm", "end", on="paste")
    view.words(210, 193, "die", "middle", on="silicon")
    pen.scale_bar(40, 240, 2e-3, f"2 mm; thickness drawn {enlarged} times")
    view.words(14, 274, f"wedge {tilted:.3f} K/W", bold=True)
    view.words(186, 274, f"flat at {1e6 * low:.0f} µm: {flat:.3f} K/W")
    return view.view(
        "The wedge of paste",
        f"Over a die {1e3 * die:.0f} mm wide the paste is {1e6 * low:.0f} µm thick at one edge and "
        f"{1e6 * high:.0f} at the other: {tilted:.3f} K/W, against {flat:.3f} if it were {1e6 * low:.0f} µm all over.",
    )


def print_of_paste(side=20e-3, squares=144, bare=18) -> Drawing:
    """Draw the print that a lifted sink leaves on its die, under a grid: exactly so many squares are bare.

    ``squares`` is a square number; which of them are bare is the same every time. ``side`` in metres, to scale. Raise
    ValueError for another number, or more bare squares than there are.
    """
    rows = math.isqrt(squares)
    if rows**2 != squares or not 0 <= bare <= squares:
        raise ValueError(f"a square number of squares, and no more bare than there are (got {squares}, {bare})")
    view = Pen(338)
    view.heading("", "The print on the die, under a grid")
    pen, cell = view.scaled((28, 286), 246 / side), side / rows
    step = next(step for step in range(round(0.618 * squares), squares) if math.gcd(step, squares) == 1)
    without = {n * step % squares for n in range(bare)}  # never the same square twice, and scattered
    pen.box(0, 0, side, side, "paste", weight="thick", part="die")
    for n in range(1, rows):
        pen.line([(n * cell, 0), (n * cell, side)], "hair")
        pen.line([(0, n * cell), (side, n * cell)], "hair")
    for row, column in (divmod(n, rows) for n in without):
        pen.box(column * cell, row * cell, cell, cell, "paper", weight="hair", part=f"bare-{row}-{column}")
    view.box(296, 62, 18, 18, "paste")
    view.words(322, 71, "paste")
    view.box(296, 96, 18, 18, "paper")
    view.words(322, 105, "bare")
    view.words(296, 146, f"{rows} by {rows}\nsquares")
    pen.scale_bar(28, 316, 5e-3, "5 mm")
    return Drawing(
        "print-of-paste",
        "What a lifted sink leaves on its die",
        (
            view.view(
                "The print on the die",
                f"A die {1e3 * side:.0f} mm wide under a grid of {squares} squares. Paste lies on "
                f"{squares - bare} of them, and {bare}, scattered all over, are bare.",
            ),
        ),
    )


def bare_patches(side=14e-3, covered=0.80) -> Drawing:
    """Draw two prints with the same share bare: as many small patches, and as one round void. Exact to scale [m]."""
    views, bare = [], (1 - covered) * side**2
    for letter, name, across in (("a", "Many small patches", 6), ("b", "One round void", 1)):
        view = Pen(316)
        view.heading(letter, name)
        pen, radius, pitch = view.scaled((82, 272), 232 / side), math.sqrt(bare / across**2 / math.pi), side / across
        pen.box(0, 0, side, side, "paste", weight="thick", part="die")
        for n in range(across**2):
            row, column = divmod(n, across)
            pen.disc((column + 0.5) * pitch, (row + 0.5) * pitch, radius, "paper", part="bare")
        pen.scale_bar(14, 300, 5e-3, "5 mm")
        views.append(
            view.view(
                name,
                f"Paste covers {100 * covered:.0f} % of a die {1e3 * side:.0f} mm wide. The rest is bare: "
                + ("small round patches all over it." if across > 1 else "one round void in its middle."),
            )
        )
    return Drawing("bare-patches", "The same share bare, in two ways", tuple(views))


def paste_patterns(die=14e-3, bond_line=75e-6, bead=1.5e-3) -> Drawing:
    """Draw the same volume of paste as a dot, a bead and a cross, before the sink comes down. Exact to scale.

    ``die`` is its side, ``bond_line`` the layer that is to be filled, ``bead`` the width of a half-round bead [m].
    """
    volume = volumes.film_volume(die**2, bond_line)
    dot = volumes.dot_diameter(volume)
    shown, wide = _on_the_die(volume, bead, 0.94 * die)
    shared = 2 * volumes.bead_volume(bead, die) - volumes.cross_volume(bead, die)
    arm = _round_ended((volume + shared) / 2, bead)
    view = Pen(262)
    view.heading("", f"The same {1e9 * volume:.1f} mm³, three ways")
    for n, (name, fate) in enumerate(
        (("dot", "air at corners"), ("bead", "air at two sides"), ("cross", "reaches corners"))
    ):
        pen = view.scaled((74 + 136 * n, 112), 118 / die)
        half = die / 2
        pen.shape(
            [(-half, -half), (half, -half), (half, half), (-half, half)], "silicon", weight="thick", part=f"die-{n}"
        )
        if n == 0:
            pen.disc(0, 0, dot / 2, "paste", weight="thick", part="dot")
        elif n == 1:
            pen.shape(_bead(shown, wide, 0), "paste", weight="thick", part="bead")
        else:
            for turn in (45, -45):
                pen.shape(_bead(arm, bead, turn), "paste", weight="thick", part=f"arm-{turn}")
        view.words(74 + 136 * n, 192, name, "middle", bold=True)
        view.words(74 + 136 * n, 212, fate, "middle", size=13)
    pen.scale_bar(14, 244, 5e-3, "5 mm")
    return Drawing(
        "paste-patterns",
        "Where paste is put decides where air stays",
        (
            view.view(
                "Three ways",
                f"On a die {1e3 * die:.0f} mm wide the same {1e9 * volume:.1f} cubic millimetres lie as a dot "
                "in the middle, as a "
                "bead across it, and as a cross along its diagonals. Pressed flat, the dot leaves air at the corners, "
                "the bead at two sides; the cross reaches the corners.",
            ),
        ),
    )


def paste_and_pad(die_step=0.8e-3, memory_step=0.3e-3, bond_line=75e-6, pad=0.75e-3) -> Drawing:
    """Draw one sink over a die with paste and over a lower part with a pad: the step decides the pad. Exact heights.

    ``die_step`` and ``memory_step`` are heights over the board, ``pad`` the pad's thickness before squeezing [m].
    """
    gap = die_step + bond_line - memory_step
    squeeze = 1 - gap / pad
    low, high = value("paste", "pad_compression_percent")
    fits = low <= 100 * squeeze <= high
    view = Pen(290)
    view.heading("", "Paste on the die, a pad where it is lower")
    pen = view.scaled((20, 208), 110e3)
    pen.box(0, -0.25e-3, 3.45e-3, 0.25e-3, "laminate", weight="thick")
    pen.box(0.2e-3, 0, 1.25e-3, die_step, "silicon", weight="thick", part="die")
    pen.box(0.2e-3, die_step, 1.25e-3, bond_line, "paste", part="paste")
    pen.box(1.85e-3, 0, 1.3e-3, memory_step, "package", weight="thick", part="memory")
    pen.box(1.78e-3, memory_step, 1.44e-3, min(gap, pad), "glue", weight="thick", part="pad")
    pen.box(0, die_step + bond_line, 3.45e-3, 0.4e-3, "metal", weight="thick")
    pen.words(0.825e-3, die_step / 2, "die", "middle", on="silicon")
    pen.words(2.5e-3, memory_step / 2, "memory", "middle", on="package")
    view.words(214, 96, "sink", "middle", on="metal")
    pen.dimension((3.3e-3, memory_step), (3.3e-3, die_step + bond_line), "", offset=(0, 0))
    view.callout(f"paste {1e6 * bond_line:.0f} µm", (20, 50), pen.at(0.5e-3, die_step + bond_line / 2))
    view.callout(
        f"pad {1e3 * pad:.2f} mm in a gap of {1e3 * gap:.2f} mm", (178, 50), pen.at(2.3e-3, memory_step + gap * 0.6)
    )
    found = (
        f"squeezed by {100 * squeeze:.0f} %" if squeeze > 0 else f"does not touch: {1e6 * (gap - pad):.0f} µm of air"
    )
    view.verdict(24, 250, fits)
    view.words(42, 250, found, bold=True)
    pen.scale_bar(298, 250, 0.5e-3, "0.5 mm")
    view.note("A pad too thick lifts the sink off the paste.")
    return Drawing(
        "paste-and-pad",
        "One sink, two heights",
        (
            view.view(
                "Paste and pad",
                f"One sink lies on {1e6 * bond_line:.0f} µm of paste over a die {1e3 * die_step:.2f} mm high. "
                f"Over a memory {1e3 * memory_step:.2f} mm high the gap is {1e3 * gap:.2f} mm; a pad of "
                f"{1e3 * pad:.2f} mm {'is ' if squeeze > 0 else ''}{found}, {'within' if fits else 'outside'} the "
                f"{low:g} to {high:g} % at which pads are used.",
            ),
        ),
    )


def layer_of_paste(bond_line=40e-6, grain=20e-6, void=0.12e-3) -> Drawing:
    """Draw a layer of paste close up: filler grains, rough faces, a void. Bond line, largest grain and void to scale.

    All in metres: the layer, the largest grain's diameter and the void's width.
    """
    view = Pen(262)
    view.heading("", "A layer of paste, close up")
    pen = view.scaled((20, 176), 1.0e6)
    wide = 380e-6
    lower = [(n * 5e-6, 1.5e-6 * math.sin(1.9 * n) * math.cos(0.6 * n)) for n in range(77)]
    upper = [(x, bond_line + 1.4 * y * math.cos(x * 9e4)) for x, y in lower]
    pen.shape([*lower, *reversed(upper)], "paste", line="")
    pen.shape([*lower, (wide, -34e-6), (0, -34e-6)], "silicon")
    pen.shape([*upper, (wide, bond_line + 34e-6), (0, bond_line + 34e-6)], "metal")
    middle = 0.27e-3
    rim = bond_line * 0.44
    bulge = [*arc(middle + void / 2 - rim, bond_line / 2, rim, -90, 90, 16)]
    other = [*arc(middle - void / 2 + rim, bond_line / 2, rim, 90, 270, 16)]
    pen.shape([*bulge, *other], "paper", weight="thick", part="void")
    for n in range(26):
        x = 9e-6 + 0.0143e-3 * n
        size = grain / 2 * (1.0 if n % 6 == 2 else 0.32 + 0.08 * (n % 3))
        y = bond_line / 2 + (bond_line / 2 - size - 3e-6) * math.sin(2.2 * n)
        if abs(x - middle) > void / 2 + 8e-6:
            pen.disc(x, y, size, "solder", weight="hair")
    view.words(396, 192, "die", "end", on="silicon")
    view.words(396, 116, "sink", "end", on="metal")
    view.callout("largest grain: no layer\ngets thinner than this", (20, 44), pen.at(0.0376e-3, bond_line / 2))
    view.callout("air: conducts a hundredth\nof what paste does", (214, 44), pen.at(middle, bond_line / 2))
    pen.dimension((0.185e-3, 1e-6), (0.185e-3, bond_line - 1e-6), "", offset=(0, 0))
    view.words(216, 224, f"layer {1e6 * bond_line:.0f} µm", bold=True)
    pen.scale_bar(20, 234, 50e-6, "50 µm")
    return Drawing(
        "layer-of-paste",
        "What a layer of paste is made of",
        (
            view.view(
                "A layer of paste",
                f"Between die and sink lie {1e6 * bond_line:.0f} µm of paste: grains up to {1e6 * grain:.0f} µm "
                f"in a soft filling, faces that are rough, and a void {1e3 * void:.2f} mm wide that holds air.",
            ),
        ),
    )


BEND_ENLARGED = 4
"""How many times too large :func:`loosen` draws the bend of the board."""


def loosen(length=90e-3, thickness=1.6e-3, deflection=2e-3, lets_go_c=70.0) -> Drawing:
    """Draw a sink pried off a cold board, which bends, and warmed and turned off, which does not.

    The bent ``length``, the board's ``thickness`` and how far it is bent, in metres. Old paste lets go from about
    ``lets_go_c`` on [°C]: a shop's experience.
    """
    views = (_pried_up(length, thickness, deflection), _turned_off(length, lets_go_c))
    return Drawing("loosen", "Loosen a stuck sink without bending the board", views)


def _pried_up(length: float, thickness: float, deflection: float) -> View:
    limit = value("paste", "board_strain_limit")
    bent = 1e6 * float(loosening.bending_strain(deflection, thickness, length))
    within = bent <= limit
    view = Pen(262)
    view.heading("a", "Pried up, cold: the board bends")
    lift = _stuck_sink(view, length, BEND_ENLARGED * deflection)
    view.line([(268, 140 - lift), (306, 110), (360, 74)], "heavy")
    view.shape([(306, 112), (298, 151), (314, 151)], "metal", weight="thick")
    view.arrow((372, 74), (372, 108), "thick", "wrong")
    view.words(310, 58, "lever")
    if not within:  # within the limit it is not wrong, and no tick may recommend a lever
        view.verdict(24, 214, False)
    told = f"{1e3 * deflection:g} mm over {1e3 * length:g} mm: {bent:.0f} µε"
    view.words(42, 214, told, bold=True, colour="ink" if within else "wrong")
    view.words(42, 236, f"a maker's note allows {limit:.0f} µε")
    return view.view(
        "Pried up, cold: the board bends",
        f"A lever under a sink bends the board by {1e3 * deflection:g} mm over {1e3 * length:g} mm, "
        f"{bent:.0f} microstrain, {'within' if within else 'over'} the {limit:.0f} that a maker's note allows. The "
        f"bend is drawn {BEND_ENLARGED} times.",
    )


def _turned_off(length: float, lets_go_c: float) -> View:
    view = Pen(262)
    view.heading("b", "Warmed, then turned off flat")
    _stuck_sink(view, length, 0.0)
    points = [(x, 74 + (y - 74) * 0.28) for x, y in arc(210, 74, 62, -160, -20)]
    view.line(points[:-3], "thick", "right")
    view.arrow(points[-4], points[-1], "thick", "right")
    view.words(14, 72, f"from {lets_go_c:g} °C", colour="hot", bold=True)
    view.words(290, 72, "turn, then slide", colour="right")
    view.verdict(24, 214, True)
    view.words(42, 214, "no bending: slowly, from a corner", bold=True, colour="right")
    view.words(42, 236, "without small parts beside it")
    return view.view(
        "Warmed, then turned off flat",
        f"A sink warmed to {lets_go_c:g} degrees, where old paste lets go, is turned on the spot and slid off; the "
        "board stays flat.",
    )


def _stuck_sink(view: Pen, length: float, up: float) -> float:
    """Draw a sink on a board that is bent up in its middle [m], to scale along; return by how much [px]."""
    scale = 330 / length
    pen = view.scaled((210, 168), scale)
    shape = [
        (s / 20, 1 - 1.5 * abs(s / 20) ** 2 + 0.5 * abs(s / 20) ** 3) for s in range(-20, 21)
    ]  # pushed at its middle
    line = [(share * length / 2, up * height) for share, height in shape]
    pen.shape([*line, *[(x, y - 10 / scale) for x, y in reversed(line)]], "laminate", weight="thick")
    lift = up * scale
    view.box(168, 150 - lift, 84, 16, "package", weight="thick")
    view.box(190, 140 - lift, 40, 10, "paste")
    view.box(150, 122 - lift, 120, 18, "metal", weight="thick")
    for n in range(6):
        view.box(156 + 20 * n, 92 - lift, 8, 30, "metal")
    return lift


def _round_ended(volume: float, width: float) -> float:
    """Return the length of a half-round bead with round ends that holds a volume.

    Its two ends are half a ball, which holds two thirds of what the same length cut square does.
    """
    return float(volumes.bead_length(volume, width)) + width / 3


def _on_the_die(volume: float, width: float, longest: float) -> tuple[float, float]:
    """Return length and width of a bead with round ends: of this width, or wider where it would be too long."""
    length = _round_ended(volume, width)
    if length <= longest:
        return length, width
    low, high = width, longest  # a wider bead is a shorter one
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if _round_ended(volume, middle) > longest else (low, middle)
    return longest, high


def _bead(length: float, width: float, turn: float) -> list[tuple[float, float]]:
    """Return a bead with round ends from above, turned by an angle in degrees."""
    straight = (length - width) / 2
    outline = arc(straight, 0, width / 2, -90, 90, 16) + arc(-straight, 0, width / 2, 90, 270, 16)
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    return [(x * cos - y * sin, x * sin + y * cos) for x, y in outline]
