"""Two large packages on one board: their heats, their neighbours, their glue, and the hours they may lie open."""

from workbook.drawings.pen import SMALL, Drawing, Pen

HEATS = (
    ("U1", ("assembly", "earlier repair", "its own repair")),
    ("U2", ("assembly", "earlier repair", "its own repair", "U1's repair: melted too")),
)
"""An invented history: the heats in which each package's joints melted, or would."""


def two_packages(heats=HEATS, limit=3, sides=(35e-3, 27e-3), apart=12e-3) -> Drawing:
    """Draw two packages, the heat of one reaching the other, and how often each has melted against a limit.

    ``heats`` are pairs of a name and the heats its joints have seen or will; ``sides`` of the square packages and the
    gap between them in metres. The board is to scale.
    """
    names = tuple(name for name, _ in heats)
    first = _side_by_side("a", names, sides, apart)
    return Drawing("two-packages", "Two packages and their count of heats", (first, _count_of_heats(heats, limit)))


def side_by_side(names=("U1", "U2"), sides=(35e-3, 27e-3), apart=12e-3) -> Drawing:
    """Draw two packages from above, a nozzle over the first and a tent of foil over the second. Exact to scale [m]."""
    return Drawing("side-by-side", "Two packages side by side", (_side_by_side("", names, sides, apart),))


def _side_by_side(letter, names, sides, apart):
    view = Pen(300)
    view.heading(letter, "Heating one warms the other")
    pen = view.scaled((30, 236), 360 / (sum(sides) + apart + 26e-3))
    deep = max(sides) + 12e-3
    pen.box(0, 0, sum(sides) + apart + 26e-3, deep, "laminate", weight="thick", cut=False)
    x = 13e-3
    centres = []
    for n, side in enumerate(sides):
        pen.box(x, (deep - side) / 2, side, side, "package", weight="thick", part=f"package-{n}")
        pen.box(x + side * 0.3, deep / 2 - side * 0.2, side * 0.4, side * 0.4, "silicon")
        pen.words(x + side / 2, deep / 2 - side * 0.36, names[n], "middle", bold=True, on="package")
        centres.append(x + side / 2)
        x += side + apart
    half = sides[0] / 2 + 2e-3
    pen.box(centres[0] - half, deep / 2 - half, 2 * half, 2 * half, "", line="hot", weight="thick", dash="8 4")
    tent = sides[1] / 2 + TENT_OVER
    pen.box(
        centres[1] - tent, deep / 2 - tent, 2 * tent, 2 * tent, "", line="cool", weight="thick", dash="3 3", part="tent"
    )
    for n in (-1, 0, 1):
        start = pen.at(centres[0] + half, deep / 2 + n * 6e-3)
        view.arrow(start, (start[0] + 15, start[1]), "thick", "hot")
    top = pen.at(centres[1], deep / 2 + tent)
    view.callout("tent of foil", (top[0] + 10, 42), top, colour="cool")
    view.callout("nozzle's edge", (30, 42), pen.at(centres[0] - half * 0.8, deep / 2 + half), colour="hot")
    view.words(30, 256, "One at a time. Let the board cool between.")
    pen.scale_bar(30, 284, 10e-3, "10 mm")
    return view.view(
        "Heating one warms the other",
        f"A board from above with two square packages, {1e3 * sides[0]:.0f} and {1e3 * sides[1]:.0f} mm wide, "
        f"{1e3 * apart:.0f} mm apart. The nozzle stands over the first; its gas runs towards the second, which stands "
        "under a tent of foil as a shield.",
    )


def _count_of_heats(heats, limit):
    view = Pen(300)
    view.heading("b", f"How often has each melted? At most {limit}")
    floor, tall = 244, 40
    for n, (name, seen) in enumerate(heats):
        left = 16 + 204 * n
        over = len(seen) - limit
        for k, heat in enumerate(seen):
            beyond = k >= limit
            view.box(
                left,
                floor - tall * (k + 1),
                186,
                tall,
                "dye" if beyond else "metal",
                weight="thick",
                part=f"heat-{n}-{k}",
            )
            view.box(left + 24, floor - tall * (k + 1) + 5, 158, tall - 10, "paper", line="")
            view.words(left + 12, floor - tall * (k + 0.5), str(k + 1), "middle", bold=True)
            lines = heat.split(": ")
            view.words(left + 30, floor - tall * (k + 0.5) - 8 * (len(lines) - 1), "\n".join(lines), size=SMALL)
        view.verdict(left + 12, floor + 20, over <= 0)
        too_many = "one too many" if over == 1 else f"{over} too many"
        words = f"{name}: {len(seen)}{f', {too_many}' if over > 0 else ', at the limit' if over == 0 else ''}"
        view.words(left + 28, floor + 20, words, bold=True, size=SMALL)
    line = floor - tall * limit
    view.line([(8, line), (412, line)], "heavy", "wrong", dash="9 5")
    view.words(16, line - 50 if len(heats[0][1]) <= limit else 40, f"limit: {limit}", colour="wrong", bold=True)
    view.note("A neighbour's heat counts when the joints melted.", 288)
    counts = "; ".join(f"{name}: {', '.join(seen)}, {len(seen)} in all" for name, seen in heats)
    return view.view("How often has each melted", f"{counts}. The limit is {limit}.")


def clearances(
    side=35e-3, nozzle=38e-3, parts=(("connector", 4e-3, False), ("capacitor", 9e-3, True), ("crystal", 16e-3, True))
) -> Drawing:
    """Draw what stands around a package under its nozzle, and how far off. Exact to scale.

    ``side`` of the package and of the square nozzle [m]; ``parts`` are a name, its distance from the package's edge
    [m], and whether that is enough without a shield.
    """
    view = Pen(338)
    view.heading("", "What stands close by")
    pen = view.scaled((120, 150), 4.2e3)
    half = side / 2
    pen.box(-27e-3, -30e-3, 96e-3, 56e-3, "laminate", weight="thick", cut=False)
    pen.box(-half, -half, side, side, "package", weight="thick", part="package")
    pen.words(0, 0, f"package\n{1e3 * side:.0f} mm", "middle", on="package")
    pen.box(-nozzle / 2, -nozzle / 2, nozzle, nozzle, "", line="hot", weight="thick", dash="8 4", part="nozzle")
    for n, (name, gap, enough) in enumerate(parts):
        y = half - 5e-3 - 13e-3 * n
        pen.box(half + gap, y - 3e-3, 12e-3, 6e-3, "metal" if n == 0 else "paste", weight="thick", part=f"part-{n}")
        if not enough:
            x = half + gap - 1.2e-3
            pen.line([(x, y - 5e-3), (x, y + 5e-3), (x + 15e-3, y + 5e-3)], "heavy", "cool")
        pen.arrow((half, y), (half + gap, y), "hair", both=gap > 5e-3)
        pen.words(
            half + gap + 13.5e-3,
            y,
            f"{name}\n{1e3 * gap:.0f} mm",
            "start",
            on="laminate",
            size=SMALL,
        )
        if not enough:
            pen.verdict(half + gap + 5e-3, y, False)
    view.words(14, 294, "dashed: nozzle's edge", colour="hot")
    view.words(190, 294, "heavy: shield of foil", colour="cool")
    pen.scale_bar(14, 320, 10e-3, "10 mm")
    listed = "; ".join(
        f"{name} {1e3 * gap:.0f} mm away" + ("" if enough else ", which needs a shield") for name, gap, enough in parts
    )
    return Drawing(
        "clearances",
        "Look around the package before you heat",
        (
            view.view(
                "What stands close by",
                f"A package {1e3 * side:.0f} mm wide from above, the nozzle's edge around it, and beside it: {listed}.",
            ),
        ),
    )


def corner_glue(side=27e-3, dot=3e-3, gap=0.45e-3) -> Drawing:
    """Draw underfill and corner glue, from above to scale and cut open, and what each means for taking the part off.

    ``side`` of the package, width of the glue's ``dot``s and height of the ``gap`` under the package, in metres.
    """
    views = []
    for letter, title, fill in (("a", "Glue at the corners", False), ("b", "Underfill: the whole gap is full", True)):
        view = Pen(300)
        view.heading(letter, title)
        pen = view.scaled((104, 102), 3.4e3)
        half = side / 2
        if fill:
            rim = half + 1.2e-3
            pen.box(-rim, -rim, 2 * rim, 2 * rim, "glue", weight="thin", part="fillet")
        pen.box(-half, -half, side, side, "package", weight="thick", part="package")
        if not fill:
            for x in (-1, 1):
                for y in (-1, 1):
                    pen.shape(
                        [
                            (x * (half + 0.8e-3), y * (half + 0.8e-3)),
                            (x * (half + 0.8e-3), y * (half - dot)),
                            (x * (half - 1e-3), y * (half - dot)),
                            (x * (half - dot), y * (half - 1e-3)),
                            (x * (half - dot), y * (half + 0.8e-3)),
                        ],
                        "glue",
                        part="dot",
                    )
        pen.scale_bar(214, 158, 5e-3, "5 mm")
        pen = view.scaled((212, 244), 60e3)
        pen.box(-3.2e-3, -0.3e-3, 6.4e-3, 0.3e-3, "laminate")
        if fill:
            pen.shape([(-3.1e-3, 0), (-2.6e-3, gap * 1.4), (2.6e-3, gap * 1.4), (3.1e-3, 0)], "glue")
        for n in range(5):
            pen.disc((n - 2) * 1.0e-3, gap / 2, gap / 2 * 1.1, "solder")
        if not fill:
            for s in (-1, 1):
                pen.shape(
                    [(s * 3.0e-3, 0), (s * 2.55e-3, gap * 1.5), (s * 2.35e-3, gap * 1.5), (s * 2.35e-3, 0)], "glue"
                )
        pen.box(-2.6e-3, gap, 5.2e-3, 0.45e-3, "package", weight="thick")
        words = (
            "Soften and cut it\nfirst, or lifting\nthe part pulls\nlands off."
            if not fill
            else "Between all balls.\nMost is never\nmeant to be taken\noff: refuse, or\nask for more."
        )
        view.words(214, 62, words)
        view.note("below: cut open at the edge, larger", 288)
        views.append(
            view.view(
                title,
                (
                    "Glue holds only the four corners. It must be softened and cut before the part is lifted, "
                    "or lands come off."
                    if not fill
                    else "Glue fills the whole gap between package and board and stands as a rim around it. "
                    "Most of it is never meant to come off."
                ),
            )
        )
    return Drawing("corner-glue", "Glue at the corners, or underfill?", tuple(views))


TENT_OVER = 5e-3
"""How far a tent of foil stands out over its package on each side [m]."""

AT_EDGES = {
    "free": ("balls in an open gap, and nothing beside them", ""),
    "film": ("balls in an open gap, and a thin film on the board beside the package that does not reach it", ""),
    "dot": ("a lump that reaches from the board up the side of the package, and an open gap behind it", "held"),
    "full": ("no gap at all: the same stuff lies between all balls and in a slope up the side", "full"),
    "short": ("two leads, and a hair from the left one that ends half way", ""),
    "across": ("two leads, and a hair that goes from one to the other", "short"),
}
"""What :func:`edges` can show: what is seen, and what it tells."""


def edges(kinds=tuple(AT_EDGES), gap=0.45e-3) -> Drawing:
    """Draw six edges of one board, each of a kind of ``AT_EDGES``, to be pointed at.

    Four packages are cut open at their edge, with a ``gap`` [m] under them; two places show a pair of leads from the
    front. Gap and balls are exact to scale. Raise ValueError unless there are six kinds, all of ``AT_EDGES``.
    """
    if len(kinds) != 6 or not set(kinds) <= set(AT_EDGES):
        raise ValueError(f"six kinds of edge are needed, of {', '.join(AT_EDGES)}; got {', '.join(kinds)}")
    view = Pen(360)
    view.heading("", "Six edges on one board")
    for n, kind in enumerate(kinds):
        x, y = 8 + 138 * (n % 3), 150 + 148 * (n // 3)
        pen = view.scaled((x, y), 48e3)
        pen.box(0, -0.3e-3, 2.66e-3, 0.3e-3, "laminate")
        if kind in ("short", "across"):
            for left in (0.35e-3, 1.75e-3):
                pen.box(left, 0, 0.4e-3, 1.1e-3, "solder", weight="thick")
            reach = 1.0e-3 if kind == "across" else 0.5e-3
            hair = [(0.75e-3, 0.55e-3), (0.75e-3 + 0.6 * reach, 0.66e-3), (0.75e-3 + reach, 0.6e-3)]
            pen.line(hair, "thick", "wrong", part=kind)
        else:
            if kind == "full":
                pen.shape([(0, 0), (0, gap), (1.9e-3, gap), (1.9e-3, 1.4 * gap), (2.4e-3, 0)], "glue")
            for ball in (0.3e-3, 1.0e-3, 1.7e-3 if kind != "dot" else 0.3e-3):
                pen.disc(ball, gap / 2, gap / 2 * 1.05, "solder")
            if kind == "dot":
                pen.shape([(1.45e-3, 0), (1.45e-3, gap), (1.9e-3, gap), (1.9e-3, 1.5 * gap), (2.4e-3, 0)], "glue")
            if kind == "film":
                pen.shape([(2.05e-3, 0), (2.1e-3, 0.05e-3), (2.5e-3, 0.05e-3), (2.55e-3, 0)], "flux", weight="hair")
            pen.box(0, gap, 1.9e-3, 0.55e-3, "package", weight="thick")
        words, tells = AT_EDGES[kind]
        outline = [(x - 4, y - 96), (x + 132, y - 96), (x + 132, y + 20), (x - 4, y + 20)]
        view.region(f"edge-{n + 1}", words, outline, tells, letter_at=(x + 8, y - 82))
    view.scaled((0, 0), 48e3).scale_bar(14, 344, 1e-3, "1 mm")
    return Drawing(
        "edges",
        "Six edges on one board",
        (
            view.view(
                "Six edges",
                "Packages cut open at their edge, and leads from the front. "
                + " ".join(f"Place {n}: {AT_EDGES[kind][0]}." for n, kind in enumerate(kinds, 1)),
            ),
        ),
    )


def floor_life(
    level="3", hours=168.0, used=130.0, job=24.0, spots=((5, False), (10, False), (60, False)), bake_spot=10
) -> Drawing:
    """Draw a package's open hours as a bar, and the humidity card from its bag. The bar is exact.

    ``hours`` of floor life of a ``level``, ``used`` so far and needed for the ``job`` [h]; ``spots`` are a humidity in
    percent and whether the spot has turned. A turned ``bake_spot`` asks for a bake however few hours are used: 10 % for
    levels 2a to 5a (J-STD-033, from memory).
    """
    left = hours - used
    wet = dict(spots).get(bake_spot, False)
    fits = job <= left and not wet
    verdict = (
        "fits: do it, then back into a dry bag"
        if fits
        else f"the {bake_spot} % spot has turned: bake first"
        if wet
        else "does not fit: bake before heating"
    )
    view = Pen(286)
    view.heading("", f"Level {level}: {hours:g} h in the open")
    scale = 380 / max(hours, used + job)
    view.box(20, 58, hours * scale, 38, "paper", weight="thick", part="life")
    view.box(20, 58, used * scale, 38, "metal", weight="thick", part="used")
    view.box(20 + used * scale, 66, job * scale, 22, "mask" if fits else "dye", weight="thick", part="job")
    view.words(26, 112, f"used: {used:g} h")
    view.words(400, 112, f"this job: {job:g} h of {left:g} h left", "end")
    view.verdict(30, 140, fits)
    view.words(48, 140, verdict, bold=True)
    view.box(20, 168, 380, 84, "paper", weight="thick")
    view.words(32, 184, "humidity card, as the bag was opened")
    for n, (humidity, turned) in enumerate(spots):
        x = 62 + 120 * n
        view.disc(x, 220, 17, "dye" if turned else "silicon", weight="thick")
        view.words(x + 24, 213, f"{humidity} %\n{'turned' if turned else 'dry'}")
    view.note("The clock starts when the bag is opened.")
    return Drawing(
        "floor-life",
        "How long has the package lain open?",
        (
            view.view(
                f"Level {level}",
                f"Of {hours:g} hours of floor life {used:g} are used and {left:g} left; this job needs {job:g}: "
                + f"{verdict}. The card shows "
                + ", ".join(f"{humidity} % {'turned' if turned else 'dry'}" for humidity, turned in spots)
                + ".",
            ),
        ),
    )
