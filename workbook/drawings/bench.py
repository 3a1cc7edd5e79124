"""A board on the bench: how it stands in the middle of a job, and the way that was taken."""

from workbook.drawings.pen import SMALL, Drawing, Pen

PLACES = (
    ("look top", "the board from above", (114, 40, 410, 190)),
    ("look bottom", "the board from below", (114, 234, 410, 278)),
    ("measure core cold", "the core rail's pad", (120, 41, 215, 62)),
    ("measure memory cold", "the memory rail's pad", (250, 41, 370, 62)),
    ("look side U1", "the edge of U1", (150, 146, 246, 190)),
    ("look side U2", "the edge of U2", (284, 146, 380, 190)),
)
"""Where a look is taken, by its act: what is there in words, and its left, top, right and bottom [px]."""


def board_at_work(
    plugged=False, proven=True, hood=True, sink=False, hot=False, beads=("U1",), seen=("line at U1",)
) -> Drawing:
    """Draw the board as whoever works on it sees it: plug, capacitor, hood, sink, heat, beads and what was seen.

    ``beads`` are the packages with a thermocouple in a joint; ``seen`` may hold ``"line at U1"``, ``"line at U2"``,
    ``"brown spot"``, ``"flux round U1"``. Its regions are named by the looks that are taken there. Not to scale.
    """
    view = Pen(292)
    view.heading("", "Your board")
    view.box(114, 40, 296, 150, "laminate", weight="thick", cut=False)
    for name, x in (("U1", 156), ("U2", 290)):
        view.box(x, 74, 84, 84, "package", weight="thick", part=name)
        if name == "U1" and "flux round U1" in seen:
            view.box(x - 7, 67, 98, 98, "", line="hot", weight="thick", dash="2 5", part="flux")
        if f"line at {name}" in seen:
            zigzag = [(x + 10, 158), (x + 18, 165), (x + 26, 158), (x + 34, 165)]
            view.line(zigzag, "heavy", "wrong", part=f"line-{name}")
            view.words(x + 30, 180, "dark line", "middle", colour="wrong", size=SMALL, on="laminate")
        if name in beads:
            view.disc(x + 70, 150, 5, "solder", weight="thick", part=f"bead-{name}")
            view.line([(x + 75, 150), (x + 92, 166), (x + 92, 206)], "thin")
            view.words(x + 92, 218, f"bead {name}", "middle", size=SMALL)
    if sink:
        view.box(142, 62, 246, 108, "metal", weight="thick", part="sink")
        view.words(265, 116, "sink on", "middle", bold=True, on="metal")
    else:
        for name, x in (("U1", 198), ("U2", 332)):
            view.words(x, 112, name, "middle", bold=True, on="package")
    view.disc(132, 52, 5, "solder", weight="thick", part="core rail")
    view.words(143, 52, "core rail", size=SMALL, on="laminate")
    view.disc(262, 52, 5, "solder", weight="thick", part="memory rail")
    view.words(273, 52, "memory rail", size=SMALL, on="laminate")
    view.words(10, 256, "from below")
    view.box(114, 234, 296, 44, "laminate", weight="thick", cut=False, part="underside")
    if "brown spot" in seen:
        view.disc(372, 256, 6, "scorch", weight="thick", part="brown spot")
        view.words(359, 256, "brown spot", "end", size=SMALL, on="laminate")
    if hot:
        for x in (160, 200, 240, 280, 320, 360):
            view.arrow((x, 36), (x, 24), "thick", "hot")
        view.words(10, 172, "hot:\nhands off", colour="hot", bold=True)
    view.words(10, 60, "plug: in" if plugged else "plug: out", colour="hot" if plugged else "ink", bold=plugged)
    dead = "proved dead" if proven else "not proved\ndead"
    view.words(10, 92, dead, colour="ink" if proven else "hot", bold=not proven)
    view.words(10, 140, "hood: on" if hood else "hood: off")
    for look, words, (left, top, right, bottom) in PLACES:
        view.region(look, words, [(left, top), (right, top), (right, bottom), (left, bottom)])
    states = [
        "The plug is in." if plugged else "The plug is out.",
        "The capacitor is proved dead." if proven else "The capacitor is not proved dead.",
        "The hood is on." if hood else "The hood is off.",
        "The sink is on." if sink else "The sink is off; U1 and U2 lie bare.",
        *(["The board is hot."] if hot else []),
        *([f"Beads in joints of {' and '.join(beads)}."] if beads else []),
        *([f"Seen: {', '.join(seen)}."] if seen else []),
    ]
    return Drawing("board-at-work", "Your board", (view.view("Your board", " ".join(states)),))


WAY = (
    ("At the door", 0, 13),
    ("Make safe", 13, 4),
    ("Find out", 17, 10),
    ("Open", 27, 11),
    ("Hot work", 38, 30),
    ("Close", 68, 44),
    ("Tell and end", 112, 11),
)


def way_taken(way=WAY, decided=38.0, stopped=False) -> Drawing:
    """Draw a job on a line of time: ``way`` has for each act its kind, when it began and how long it took [min].

    ``decided`` is when it was decided what is done with the board [min], or None. Exact along the line.
    """
    kinds = list(dict.fromkeys(kind for kind, _, _ in way))
    end = max((began + took for _, began, took in way), default=1.0)
    left, tall = 108, 20
    height = 76 + tall * len(kinds)
    view = Pen(height)
    view.heading("", "The way taken")
    scale = (410 - left) / max(end, 1.0)
    for row, kind in enumerate(kinds):
        y = 34 + tall * row
        view.words(10, y + tall / 2, kind, size=SMALL)
        view.line([(left, y + tall), (410, y + tall)], "hair", "soft")
        for place, (own, began, took) in enumerate(way):
            if own == kind:
                fill = "dye" if own == "Hot work" else "silicon"
                view.box(
                    left + began * scale,
                    y + 3,
                    max(took * scale, 1.5),
                    tall - 6,
                    fill,
                    weight="hair",
                    part=f"act-{place}",
                )
    floor = 34 + tall * len(kinds)
    if decided is not None:
        x = left + decided * scale
        view.line([(x, 28), (x, floor + 4)], "thick", "cool", dash="5 4", part="decided")
        view.words(min(max(x, 150), 350), floor + 16, "decided here", "middle", colour="cool", size=SMALL)
    view.words(left, floor + 32, "0 min", size=SMALL)
    view.words(410, floor + 32, f"{end:.0f} min" + (", stopped" if stopped else ""), "end", size=SMALL)
    told = "; ".join(f"{kind} {sum(took for own, _, took in way if own == kind):.0f} min" for kind in kinds)
    decision = f" It was decided after {decided:.0f} min." if decided is not None else ""
    words = f"A line of {end:.0f} min at the bench. {told}.{decision}{' The case was stopped.' if stopped else ''}"
    return Drawing("way-taken", "The way taken", (view.view("The way taken", words),))
