"""What each look at a joint can see, and what it cannot."""

import math

from workbook.drawings.joint import Joint, half_angle, held, ragged, segment
from workbook.drawings.pen import Drawing, Pen, View, barrel


def four_looks(ball=0.60e-3, package_land=0.48e-3, board_land=0.45e-3, crack_share=0.35, void_share=0.10) -> Drawing:
    """Draw one joint with a crack and a void as X-ray, dye, section and resistance show it. Exact to scale.

    ``crack_share`` is the share of the land's area that the crack has parted, ``void_share`` the void's share of the
    image; lengths in metres.
    """
    joint = Joint.of(ball, package_land, board_land)
    views = (
        _x_ray(joint, void_share),
        _dye(joint, crack_share),
        _section(joint, crack_share, void_share),
        _resistance(crack_share),
    )
    return Drawing("four-looks", "One joint, four looks: what each one sees", views)


SPOT = 0.07e-3
"""How far right of the joint's middle the void lies [m]."""


def _look(letter: str, title: str, sees: str, misses: str) -> Pen:
    """Begin the view of a look: beside the picture stands what it sees and what it does not."""
    view = Pen(262)
    view.heading(letter, title)
    for y, good, words in ((78, True, sees), (156, False, misses)):
        view.verdict(262, y, good)
        view.words(278, y, words, room=136)
    return view


def _x_ray(joint: Joint, void_share: float) -> View:
    sees, misses = f"void: {100 * void_share:.0f} % of the image", "closed crack, thinner than the blur"
    view = _look("a", "X-ray, from above", sees, misses)
    pen = view.scaled((122, 136), 240e3)
    pen.disc(0, 0, joint.belly / 2, "solder", weight="thick", part="x-ray-joint")
    pen.disc(SPOT, 0, joint.void_radius(void_share), "paper", part="x-ray-void")
    pen.disc(0, 0, joint.top, "", dash="4 3")
    pen.scale_bar(14, 246, 0.2e-3, "0.2 mm")
    return view.view("X-ray", "From above: the joint is a disc, the void a round spot in it. The crack does not show.")


def _dye(joint: Joint, crack_share: float) -> View:
    sees, misses = "crack: its area, if the dye got in", "void inside; and the part is lost"
    view = _look("b", "Dye, after pulling off", sees, misses)
    pen = view.scaled((122, 136), 240e3)
    pen.disc(0, 0, joint.top, "solder", weight="thick", part="dye-land")
    pen.shape(segment(0, 0, joint.top, crack_share, math.pi), "dye", part="dye-area")
    pen.words(-joint.top * 0.62, 0, f"{100 * crack_share:.0f} %", "middle", on="dye")
    pen.scale_bar(14, 246, 0.2e-3, "0.2 mm")
    return view.view(
        "Dye",
        f"The torn face of the upper land: dye covers {100 * crack_share:.0f} % of it, from one side. The "
        "void does not show.",
    )


def _section(joint: Joint, crack_share: float, void_share: float) -> View:
    sees, misses = "crack, void and compound layer in one plane", "all other planes; and the part is lost"
    view = _look("c", "Section, cut and polished", sees, misses)
    height, top, _ = joint
    pen = view.scaled((122, 196), 225e3)
    held(pen, *joint)
    pen.shape(barrel(*joint), "solder", weight="thick")
    pen.disc(SPOT, height * 0.45, joint.void_radius(void_share), "paper")
    depth = top * (1 - math.cos(half_angle(crack_share)))
    pen.line(ragged(-top, -top + depth, height - 0.014e-3, 6e-6), "heavy", "wrong", part="section-crack")
    pen.scale_bar(14, 246, 0.2e-3, "0.2 mm")
    return view.view(
        "Section", "One plane through the joint shows the crack under the upper land, from the left, and the void."
    )


def _resistance(crack_share: float) -> View:
    sees, misses = "a joint that is open, or opens when hot or flexed", "a crack that still touches"
    view = _look("d", "Resistance, four wires", sees, misses)
    view.box(38, 66, 168, 74, "paper", weight="thick")
    view.box(52, 78, 140, 34, "metal", line="ink")
    view.words(122, 95, "12.1 mΩ", "middle", size=20, bold=True, on="metal")
    view.words(122, 127, "ohmmeter", "middle")
    for x, colour in ((80, "hot"), (164, "cool")):
        view.line([(x, 140), (x, 186)], "thick", colour)
    view.box(70, 186, 20, 14, "copper")
    view.box(154, 186, 20, 14, "copper")
    view.line([(90, 193), (154, 193)], "thick")
    view.words(122, 216, "chain of joints", "middle")
    view.note(f"12.0 mΩ when new (invented): {100 * crack_share:.0f} % cracked, hardly a rise")
    return view.view(
        "Resistance",
        "A meter reads 12.1 milliohm on a chain of joints that read 12.0 when new (invented): a crack that "
        "still touches hardly shows.",
    )


def edge_row(rows=10, pitch=1.0e-3, ball=0.60e-3) -> Drawing:
    """Draw a ball array from above: the joints along its edges, and the one row that a section goes through.

    ``rows`` balls stand along each side; lengths in metres. Exact to scale.
    """
    view = Pen(338)
    view.heading("", "Which joints does a section pass?")
    side = (rows - 1) * pitch
    pen = view.scaled((34, 272), 222 / side)
    margin = 0.08 * side
    pen.box(-margin, -margin, side + 2 * margin, side + 2 * margin, "package")
    for row in range(rows):
        for column in range(rows):
            edge = {row, column} & {0, rows - 1}
            pen.dot(column * pitch, row * pitch, ball / 2, *(("solder", "thick") if edge else ("paper", "hair")))
    pen.line([(-1.3 * margin, 0), (side + 1.3 * margin, 0)], "thick", "wrong", dash="7 4", part="section")
    view.disc(304, 74, 9, "solder", weight="thick")
    view.words(320, 74, "in question:", room=96)
    view.words(320, 92, "all along the\nfour edges")
    view.disc(304, 148, 9, "paper", weight="hair")
    view.words(320, 148, "inside")
    view.line([(292, 196), (316, 196)], "thick", "wrong", dash="7 4")
    view.words(320, 196, "section: one\nrow, ground\ndown to here", colour="wrong")
    pen.scale_bar(14, 322, 2e-3, "2 mm")
    return Drawing(
        "edge-row",
        "A section passes one row",
        (
            view.view(
                "Which joints does a section pass?",
                f"A ball array from above, {rows} balls along each side. The joints in question stand along all four "
                "edges; the section is ground down to one row of them, at one edge, from corner to corner.",
            ),
        ),
    )


def unsharpness(spot=5e-6, magnification=20.0, pixel=100e-6, crack=1e-6, told=True) -> Drawing:
    """Draw how an X-ray source of some width blurs an edge. Not to scale; the numbers are exact.

    ``spot`` is the width of the source, ``pixel`` that of the detector's pixels, ``crack`` the gap looked for [m].
    ``told=False`` leaves out what they come to at the joint, for whoever is asked for it.
    """
    blur = spot * (magnification - 1) / magnification
    seen = pixel / magnification
    view = Pen(330)
    title = "Why X-ray misses a closed crack" if told else "An edge in the X-ray cabinet"
    view.heading("", title)
    source, part, plate = 62, 150, 286
    view.line([(40, plate), (250, plate)], "heavy")
    left, right, edge = 132, 158, 145
    reach = (plate - part) / (part - source)
    blurred = sorted(edge + (edge - x) * reach for x in (left, right))
    view.shape([(left, source), (edge, part), (blurred[1], plate)], "", line="hot", dash="5 3")
    view.shape([(right, source), (edge, part), (blurred[0], plate)], "", line="hot", dash="5 3")
    view.line([(left, source), (right, source)], "heavy", "hot")
    view.box(60, part - 8, edge - 60, 16, "solder", weight="thick")
    view.line([(blurred[0], plate), (blurred[1], plate)], "heavy", "wrong")
    view.words(174, source, f"source, {1e6 * spot:g} µm wide", colour="hot")
    view.words(174, part, f"an edge in the joint,\nmagnified {magnification:.0f} times")
    view.words(20, plate - 40, "blur at\nthe plate", colour="wrong")
    view.words(262, plate, f"detector, pixels\n{1e6 * pixel:g} µm wide")
    comes_to = "what the detector gets is wider than the edge"
    if told:
        view.words(262, plate - 92, "at the joint:")
        view.words(262, plate - 68, f"blur {1e6 * blur:.2f} µm", colour="wrong")
        view.words(262, plate - 48, f"pixel {1e6 * seen:.1f} µm")
        view.words(262, plate - 28, f"crack {1e6 * crack:.1f} µm", bold=True)
        comes_to = (
            f"counted back to the joint the blur is {1e6 * blur:.2f} µm and a pixel {1e6 * seen:.1f} µm; the crack "
            f"is {1e6 * crack:.1f} µm wide"
        )
    view.note("Not to scale.")
    return Drawing(
        "unsharpness",
        "What blurs an X-ray image",
        (
            view.view(
                title,
                f"Rays from both ends of a source {1e6 * spot:g} µm wide pass the same edge in the joint and meet "
                f"the detector apart from each other; at {magnification:.0f} times {comes_to}.",
            ),
        ),
    )
