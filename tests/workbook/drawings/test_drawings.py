"""Every drawing is sound: well-formed, with words, legible in both themes, and true to the numbers it was given."""

import ast
import importlib
import math
import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from tests.workbook.drawings.pointing import inside, region_at
from workbook.bench.joints import inspection
from workbook.bench.paste import solder_ball, volumes
from workbook.drawings import collapse, curve, gallery, joint, looks, marks, packages, pen, sink, stack, station, wires

DRAWINGS = gallery.drawings()
SVG = "{http://www.w3.org/2000/svg}"
each = pytest.mark.parametrize("name", DRAWINGS)


def views(name):
    return DRAWINGS[name].views


def contrast(one, other):
    """WCAG 2.2, contrast ratio and relative luminance as published by the W3C."""

    def luminance(colour):
        parts = (int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5))
        linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_words_of_a_level_do_not_lie_on_the_line_of_the_next():
    (view,) = curve.log_curve(levels_c=(200.0, 217.0)).views
    root = ET.fromstring(view.svg())
    words = next(one for one in root.iter(f"{SVG}text") if "".join(one.itertext()) == "200 °C")
    lines = (one.get("d") for one in root.iter(f"{SVG}path") if (one.get("data-part") or "").startswith("level-"))
    for height in (float(re.findall(r"[\d.]+", line)[1]) for line in lines):
        assert not float(words.get("y")) - pen.SMALL <= height <= float(words.get("y"))


def measured(view):
    """Return each named part's outline in metres, read from the SVG with its own scale bar as the ruler."""
    root = ET.fromstring(view.svg())
    bar = next(path for path in root.iter(f"{SVG}path") if path.get("data-part") == "scale-bar")
    (x1, _), (x2, _) = points(bar)
    metre = (x2 - x1) / float(bar.get("data-length"))
    return {
        path.get("data-part"): [(x / metre, y / metre) for x, y in points(path)]
        for path in root.iter(f"{SVG}path")
        if path.get("data-part") not in (None, "scale-bar")
    }


def points(path):
    numbers = [float(number) for number in re.findall(r"-?\d+\.?\d*", path.get("d"))]
    return list(zip(numbers[::2], numbers[1::2], strict=True))


def width(outline):
    return max(x for x, _ in outline) - min(x for x, _ in outline)


def height(outline):
    return max(y for _, y in outline) - min(y for _, y in outline)


def area(outline):
    turns = zip(outline, outline[1:] + outline[:1], strict=True)
    return abs(sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in turns)) / 2


# What every drawing must be


def test_there_are_at_least_twenty_and_each_has_a_name_of_its_own():
    names = [drawing.name for drawing in DRAWINGS.values()]
    assert len(set(names)) == len(names) >= 20


def test_every_drawing_made_by_a_module_hangs_in_the_gallery():
    room = Path(gallery.__file__).parent
    for path in room.glob("[a-z]*.py"):
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.FunctionDef) and node.returns and ast.unparse(node.returns) == "Drawing":
                assert f"{path.stem}.{node.name}" in DRAWINGS


@each
def test_it_is_well_formed_and_says_in_words_what_it_shows(name):
    drawing = DRAWINGS[name]
    ET.fromstring(drawing.svg)
    ET.fromstring(drawing.html())
    for view in drawing.views:
        root = ET.fromstring(view.svg())
        title, words = root.find(f"{SVG}title").text, root.find(f"{SVG}desc").text
        assert title
        assert len(words.split()) >= 12
        assert words.endswith(".")
        assert root.get("role") == "img"
        assert root.get("aria-label") == f"{title}. {words}"
        assert "nan" not in view.body


@each
def test_no_id_can_collide_and_nothing_is_asked_of_another_place(name):
    drawing = DRAWINGS[name]
    for text in (drawing.svg, drawing.html(), *(view.svg() for view in drawing.views)):
        assert not re.search(r"\bid=|href|url\(|<script|<foreignObject|\bon\w+=", text)


@each
def test_words_are_large_enough_on_a_phone(name):
    for view in views(name):
        assert view.width <= 420
        for text in ET.fromstring(view.svg()).iter(f"{SVG}text"):
            assert float(text.get("font-size")) >= 13


@each
def test_it_says_how_true_to_scale_it_is(name):
    """A view with a measure in it has a scale bar, or says that it is not to scale."""
    for view in views(name):
        if re.search(r"\d mm wide|\d mm high", view.words):
            assert "scale-bar" in view.body or "drawn" in view.body or "Not to scale" in view.body


@each
def test_it_stays_small(name):
    assert all(len(view.svg().encode()) < 64_000 for view in views(name))
    assert len(DRAWINGS[name].still()) < 160_000


@each
def test_the_same_numbers_give_the_same_drawing(name):
    module, function = name.split(".")
    assert getattr(importlib.import_module(f"workbook.drawings.{module}"), function)() == DRAWINGS[name]


@pytest.mark.parametrize("theme", [pen.LIGHT, pen.DARK], ids=["light", "dark"])
def test_words_and_lines_pass_contrast_on_all_they_stand_on(theme):
    """WCAG 2.2: 4.5 to 1 for words (1.4.3), 3 to 1 for what must be seen (1.4.11)."""
    fills = set(theme) - {"ink", "soft", "hot", "cool", "right", "wrong"}
    for fill in fills - {"compound", "scorch", "flux", "dye"}:
        assert contrast(theme["ink"], theme[fill]) >= 4.5, fill
    for fill in fills:
        assert contrast(theme["ink"], theme[fill]) >= 3, fill
    for words in ("ink", "soft", "hot", "cool", "right", "wrong"):
        assert contrast(theme[words], theme["paper"]) >= 4.5, words
    for line in ("hot", "cool", "wrong"):
        for fill in ("solder", "laminate", "package", "silicon", "metal", "paste"):
            assert contrast(theme[line], theme[fill]) >= 3, (line, fill)


def test_the_contrast_formula_is_the_published_one():
    """W3C, WCAG 2.2: black on white is 21 to 1; and #767676 on white is the familiar grey that just passes 4.5."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


@each
def test_words_stand_only_on_fills_that_pass(name):
    allowed = {"paper", "copper", "solder", "laminate", "package", "silicon", "mask", "paste", "metal", "glue", "dye"}
    for view in views(name):
        for text in ET.fromstring(view.svg()).iter(f"{SVG}text"):
            on = re.search(r"--rwd-(\w+)", text.get("stroke", ""))
            assert on is None or on[1] in allowed
            if on and on[1] != "paper":
                colour = re.search(r"--rwd-(\w+)", text.get("fill", ""))
                words = colour[1] if colour else "ink"
                for theme in (pen.LIGHT, pen.DARK):
                    assert contrast(theme[words], theme[on[1]]) >= 4.5


def test_each_hatched_material_has_a_pattern_of_its_own():
    assert len(set(pen.HATCHES.values())) == len(pen.HATCHES)
    assert {"laminate", "metal", "package", "silicon", "paste", "glue", "dye", "flux", "compound"} <= set(pen.HATCHES)


def test_right_and_wrong_differ_by_shape_too():
    def strokes(good):
        drawn = pen.Pen(100)
        drawn.verdict(50, 50, good)
        return re.sub(r"var\([^)]*\)", "", "".join(drawn.marks))

    assert strokes(True) != strokes(False)


# Exactness: measured with the drawing's own scale bar against the numbers given


@pytest.mark.parametrize("ball", [0.45e-3, 0.60e-3, 0.76e-3])
@pytest.mark.parametrize("void_share", [0.04, 0.15])
def test_the_joint_cut_open_is_the_joint_of_its_numbers(ball, void_share):
    drawing = joint.cut_open(ball=ball, package_land=0.8 * ball, board_land=0.75 * ball, void_share=void_share)
    parts = measured(drawing.views[0])
    # Volume of a solid of revolution by Pappus and Guldinus: what was the ball is now the joint.
    half = [(max(x, 0), y) for x, y in centred(parts["joint"])]
    volume = 2 * math.pi * first_moment(half)
    assert volume == pytest.approx(math.pi * ball**3 / 6, rel=0.01)
    assert (width(parts["void"]) / width(parts["joint"])) ** 2 == pytest.approx(void_share, rel=0.01)
    assert width(parts["crack"]) == pytest.approx(0.35 * 0.8 * ball, rel=0.03)


def middle(outline):
    xs, ys = zip(*outline, strict=True)
    return (max(xs) + min(xs)) / 2, (max(ys) + min(ys)) / 2


def centred(outline):
    middle = (max(x for x, _ in outline) + min(x for x, _ in outline)) / 2
    return [(x - middle, y) for x, y in outline]


def first_moment(outline):
    """Return the first moment of area about x = 0."""
    turns = zip(outline, outline[1:] + outline[:1], strict=True)
    return abs(sum((x1 + x2) * (x1 * y2 - x2 * y1) for (x1, y1), (x2, y2) in turns)) / 6


def test_the_compound_layer_is_as_thick_as_given():
    for thickness in (2e-6, 4e-6):
        layer = measured(joint.cut_open(compound=thickness).views[1])["compound"]
        assert area(layer) / width(layer) == pytest.approx(thickness, rel=0.05)


def test_dyed_areas_are_the_shares_given():
    parts = measured(joint.dye_map(((0.5, 0.2, 0.0), (0.05, 0.0, 0.9))).views[0])
    for key, share in (("0-0", 0.5), ("0-1", 0.2), ("1-0", 0.05), ("1-2", 0.9)):
        assert area(parts[f"dye-{key}"]) / area(parts[f"land-{key}"]) == pytest.approx(share, abs=0.01)
    assert "dye-0-2" not in parts
    assert width(parts["land-0-0"]) == pytest.approx(0.45e-3, rel=0.005)


def test_whoever_cannot_see_the_map_of_dye_is_told_each_joint():
    words = joint.dye_map(((0.0, 0.2, 0.0), (0.05, 0.9, 0.0))).words
    assert "2 by 3 joints. Dye reached 3 of them" in words
    assert "0, 20, 0; 5, 90, 0." in words
    assert "corner" not in words


def test_a_package_that_grows_more_than_its_board_leans_its_joints_the_other_way():
    drawing = joint.leaning_row(part_expansion=20e-6, board_expansion=16e-6)
    corner = measured(drawing.views[0])["joint-6"]
    assert corner[48][0] > corner[0][0]  # the head lies further out than the foot
    assert "package has grown more" in drawing.views[0].body
    assert "leans further outwards" in drawing.words


def test_the_corner_joint_leans_by_the_mismatch():
    parts = measured(
        joint.leaning_row(joints=5, part_expansion=6e-6, board_expansion=16e-6, swing=100, enlarged=20).views[0]
    )
    straight, corner = parts["joint-0"], parts["joint-4"]
    foot, head = corner[0][0], corner[48][0]
    assert straight[0][0] == pytest.approx(straight[48][0], abs=1e-6)
    assert foot - head == pytest.approx(20 * 10e-6 * 100 * 4e-3, rel=0.02)


def test_a_joint_sinks_to_the_height_of_its_solder_and_no_further():
    parts = measured(collapse.stages(foil=0.12e-3, opening=0.40e-3).views[0])
    metal = solder_ball.ball_volume(0.60e-3) + 0.5 * math.pi * 0.2e-3**2 * 0.12e-3 * 0.85
    assert height(parts["joint-1"]) == pytest.approx(solder_ball.joint_height(metal, 0.24e-3, 0.24e-3), rel=0.01)
    assert height(parts["joint-2"]) == pytest.approx(height(parts["joint-1"]), rel=1e-3)
    assert height(parts["joint-0"]) > height(parts["joint-1"])


@pytest.mark.parametrize("share", [0.1, 0.5])
def test_four_looks_show_the_same_crack_and_void(share):
    drawing = looks.four_looks(crack_share=share, void_share=0.12)
    x_ray, dye, section = (measured(view) for view in drawing.views[:3])
    assert area(x_ray["x-ray-void"]) / area(x_ray["x-ray-joint"]) == pytest.approx(0.12, rel=0.01)
    assert area(dye["dye-area"]) / area(dye["dye-land"]) == pytest.approx(share, abs=0.01)
    depth = width(section["section-crack"])
    assert inspection.straight_crack_area_fraction(depth, 0.48e-3) == pytest.approx(share, abs=0.02)


def test_unsharpness_prints_the_worked_numbers():
    """f (M - 1) / M: the geometric unsharpness of radiography, referred to the object (standard texts, from memory)."""
    words = looks.unsharpness(spot=5e-6, magnification=20, pixel=100e-6).words
    assert "4.75 µm" in words
    assert "5.0 µm" in words


def test_the_board_is_as_thick_as_its_layers():
    parts = measured(stack.planes_and_vias().views[0])
    assert height(parts["board"]) == pytest.approx(sum(stack.SIX_LAYERS), rel=0.005)
    assert height(parts["copper-1"]) == pytest.approx(35e-6, rel=0.03)


def test_layers_of_unlike_copper_are_not_said_to_be_alike():
    layers = (18e-6, 0.2e-3, 70e-6, 0.2e-3, 18e-6)
    drawing = stack.planes_and_vias(layers=layers, planes=(1,))
    assert "3 layers of copper, 18 to 70 µm" in drawing.words
    assert "3 layers of copper, 18 to 70 µm" in drawing.views[0].body
    assert "35 µm each" in stack.planes_and_vias().words


@pytest.mark.parametrize("share", [0.1, 0.6])
def test_the_meter_over_a_cracked_joint_names_the_crack_it_was_given_and_that_its_numbers_are_invented(share):
    meter = looks.four_looks(crack_share=share).views[3]
    assert f"(invented): {100 * share:.0f} % cracked" in meter.body


def test_what_an_x_ray_blurs_is_told_and_not_judged_for_any_numbers():
    """A source of 1 µm magnified 100 times blurs by 0.99 µm, a pixel of 100 µm is 1 µm: less than a crack of 5 µm."""
    words = looks.unsharpness(spot=1e-6, magnification=100.0, crack=5e-6).words
    assert "blur is 0.99 µm and a pixel 1.0 µm; the crack is 5.0 µm wide" in words
    assert "wider than a crack" not in words


def test_a_bead_on_adhesive_reads_far_too_high_and_one_in_solder_does_not():
    """By hand: hA 0.45 mW/K against G 0.30 and 50 mW/K."""
    glued, soldered = station.bead_fixed().views
    assert "reads 252.0 °C" in glued.words
    assert "reads 225.4 °C" in soldered.words
    bead = measured(glued)["bead"]
    assert math.pi * width(bead) ** 2 == pytest.approx(3e-6, rel=0.01)


@pytest.mark.parametrize(("gas_c", "says"), [(270.0, "0.4 K too high"), (125.0, "0.9 K too low")])
def test_what_a_soldered_bead_is_off_by_is_told_in_kelvins(gas_c, says):
    """By hand: 0.45 of 50.45 mW/K are 0.892 %, of 45 K above the joint or 100 K below it."""
    soldered = station.bead_fixed(gas_c=gas_c).views[1]
    assert says in soldered.words
    assert says in soldered.body


def test_how_the_speed_falls_is_told_as_it_is_near_a_wide_nozzle_too():
    """Q / (10 x² + A): 140 mm wide it falls to 31 % from 67.5 to 135 mm, and to a quarter only well away from it."""
    words = station.hood(140e-3, 240 / 3600, (67.5e-3, 135e-3)).words
    assert "at 67.5 mm: 1.09 m/s; at 135 mm: 0.34 m/s" in words
    assert "Well away from it" in words


def test_a_nozzle_is_as_wide_and_its_distances_as_far_as_given():
    parts = measured(station.hood().views[0])
    assert height(parts["nozzle"]) == pytest.approx(75e-3, rel=0.005)
    nozzle_face = max(x for x, _ in parts["nozzle"])
    assert max(x for x, _ in parts["reach-150"]) - nozzle_face == pytest.approx(150e-3, rel=0.01)


def test_the_wedge_has_its_two_thicknesses_and_its_resistance():
    """0.155 K/W for 50 to 150 µm under a 14 mm die at 3 W/(m·K): integrated here, strip by strip."""
    drawing = sink.pinned_wedge()
    wedge = measured(drawing.views[1])["wedge"]
    left = [y for x, y in wedge if x == min(x for x, _ in wedge)]
    right = [y for x, y in wedge if x == max(x for x, _ in wedge)]
    assert max(left) - min(left) == pytest.approx(25 * 50e-6, rel=0.01)
    assert max(right) - min(right) == pytest.approx(25 * 150e-6, rel=0.01)
    strips = 10_000
    conductance = sum(3.0 * 14e-3 * 14e-3 / strips / (50e-6 + 100e-6 * (n + 0.5) / strips) for n in range(strips))
    assert f"{1 / conductance:.3f} K/W" in drawing.words


def half_round(outline):
    """Return the volume over an outline whose every cut across is half a disc: strip by strip of its chords."""
    left, right = min(x for x, _ in outline), max(x for x, _ in outline)
    edges = list(zip(outline, outline[1:] + outline[:1], strict=True))
    strips, volume = 2000, 0.0
    for n in range(strips):
        x = left + (right - left) * (n + 0.5) / strips
        cut = [y1 + (y2 - y1) * (x - x1) / (x2 - x1) for (x1, y1), (x2, y2) in edges if (x1 > x) != (x2 > x)]
        volume += math.pi * (max(cut) - min(cut)) ** 2 / 8 * (right - left) / strips
    return volume


@pytest.mark.parametrize("bond_line", [40e-6, 75e-6])
def test_the_dot_the_bead_and_the_cross_hold_the_same_paste(bond_line):
    """A bead that would be longer than the die is drawn wider. Where two beads cross, both claim d³/3."""
    parts = measured(sink.paste_patterns(bond_line=bond_line, bead=1.5e-3).views[0])
    volume = (14e-3) ** 2 * bond_line
    assert volumes.dot_volume(width(parts["dot"])) == pytest.approx(volume, rel=0.01)
    assert half_round(parts["bead"]) == pytest.approx(volume, rel=0.01)
    assert width(parts["bead"]) < width(parts["die-1"])
    arms = [half_round(turned(parts[name], by)) for name, by in (("arm-45", 45), ("arm--45", -45))]
    assert sum(arms) - 1.5e-3**3 / 3 == pytest.approx(volume, rel=0.01)


def turned(outline, degrees):
    cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return [(x * cos - y * sin, x * sin + y * cos) for x, y in outline]


def test_heights_under_the_sink_are_the_numbers_given():
    parts = measured(sink.paste_and_pad(die_step=0.9e-3, memory_step=0.4e-3, bond_line=100e-6).views[0])
    assert height(parts["die"]) == pytest.approx(0.9e-3, rel=0.01)
    assert height(parts["pad"]) == pytest.approx(0.6e-3, rel=0.01)
    assert height(parts["paste"]) == pytest.approx(100e-6, rel=0.02)


def test_a_pad_too_thin_for_its_gap_is_drawn_and_said_not_to_touch():
    """0.8 + 0.075 - 0.3 leaves 0.575 mm: 0.075 mm over a pad of 0.5."""
    view = sink.paste_and_pad(pad=0.5e-3).views[0]
    assert height(measured(view)["pad"]) == pytest.approx(0.5e-3, rel=0.01)
    for told in (view.body, view.words):
        assert "does not touch: 75 µm of air" in told
    assert "outside the 20 to 45 %" in view.words
    bar = re.search(r'data-part="scale-bar".*?d="M([\d.]+)', view.body)[1]
    assert 42 + pen.width_of("does not touch: 75 µm of air", bold=True) < float(bar)  # in the widest common face
    assert "squeezed" not in view.words


def test_whoever_cannot_see_the_tick_at_a_pad_is_told_whether_it_fits():
    """1 - 0.575 / 0.75 is 23 %, 1 - 0.575 / 1.5 is 62 %; pads are used at 20 to 45 %."""
    assert "squeezed by 23 %, within the 20 to 45 %" in sink.paste_and_pad(pad=0.75e-3).words
    assert "squeezed by 62 %, outside the 20 to 45 %" in sink.paste_and_pad(pad=1.5e-3).words


def test_bending_strain_is_the_worked_number_and_over_or_within_the_limit():
    """6 x 1.6 mm x 2 mm / (90 mm)² = 2370 µε; 6 x 1.2 x 0.2 / 140² = 73 µε, and 500 is the limit."""
    over, within = sink.loosen().views[0], sink.loosen(0.140, 1.2e-3, 0.2e-3).views[0]
    assert "2370 microstrain, over the 500 that a maker's note allows" in over.words
    assert "0.2 mm over 140 mm, 73 microstrain, within" in within.words
    cross, tick = pen.Pen(262), pen.Pen(262)
    cross.verdict(24, 214, False)
    tick.verdict(24, 214, True)
    assert "".join(cross.marks) in over.body
    assert "".join(tick.marks) not in within.body  # a lever is never recommended
    assert "".join(cross.marks) not in within.body


def test_tips_on_a_plane_read_what_the_distances_of_each_tip_say():
    """By hand: ln(12.5/7.5) + ln(52.5/47.5) = 0.611 at 10 mm, 2 ln(32.5/27.5) = 0.334 in the middle. Tips 18 mm apart
    reach nearer to the point: ln(19/1) + ln(59/41) = 3.31 against 2 ln(39/21) = 1.24."""
    assert "1.8, 1.0, 1.8 times" in wires.four_on_a_plane().words
    wide = wires.four_on_a_plane(tips=18e-3, places=(10e-3,))
    assert "2.7 times" in wide.words
    assert ">2.7<" in wide.views[0].body


def test_a_flex_crack_rises_at_its_angle():
    crack = measured(wires.flex_crack(angle=45).views[0])["crack"]
    assert height(crack) == pytest.approx(width(crack), rel=0.01)


@pytest.mark.parametrize(("longest", "says"), [(0.30e-3, "a short"), (0.20e-3, "still short of the gap")])
def test_a_whisker_is_as_long_as_given(longest, says):
    view = marks.whiskers(longest=longest).views[0]
    assert width(measured(view)["whisker"]) == pytest.approx(longest, rel=0.01)
    assert says in view.body


def test_the_open_hours_are_drawn_as_a_bar():
    body = packages.floor_life(used=100, hours=168).views[0].body
    parts = {
        path.get("data-part"): points(path)
        for path in ET.fromstring(f"<g>{body}</g>").iter("path")
        if path.get("data-part")
    }
    assert width(parts["used"]) / width(parts["life"]) == pytest.approx(100 / 168, rel=0.01)


def test_a_turned_spot_asks_for_a_bake_however_few_hours_are_used():
    wet = ((5, True), (10, True), (60, False))
    assert "bake first" in packages.floor_life(used=1, spots=wet).words
    assert "fits" in packages.floor_life(used=1).words
    assert "bake before" in packages.floor_life(used=150).words


def test_heats_beyond_the_limit_are_called_too_many():
    heats = (("U1", ("assembly",)), ("U2", ("assembly", "first", "second", "third")))
    drawing = packages.two_packages(heats)
    assert "one too many" in drawing.views[1].body
    assert drawing.views[1].body.count('data-part="heat-') == 5
    assert "2 too many" in packages.two_packages(heats, limit=2).views[1].body


def test_a_section_and_an_x_ray_picture_show_the_numbers_of_their_joint():
    drawing = joint.crack_and_voids(land=0.40e-3, depth=0.10e-3, ball=0.60e-3, voids=(0.20e-3, 0.10e-3))
    section, picture = (measured(view) for view in drawing.views)
    assert width(section["left-crack"]) == pytest.approx(0.10e-3, rel=0.01)
    assert width(section["right-crack"]) == pytest.approx(0.10e-3, rel=0.01)
    bright = sum(area(outline) for part, outline in picture.items() if part.startswith("void"))
    assert bright / area(picture["ball"]) == pytest.approx(
        inspection.void_area_fraction([0.20e-3, 0.10e-3], 0.60e-3), rel=0.01
    )


@pytest.mark.parametrize("ball", [0.52e-3, 0.70e-3])
@pytest.mark.parametrize("large", [0.16e-3, 0.30e-3])
@pytest.mark.parametrize("small", [(0.08e-3,) * 2, (0.15e-3,) * 4])
def test_no_void_lies_over_another_or_outside_its_ball(ball, large, small):
    parts = measured(joint.crack_and_voids(ball=ball, voids=(large, *small)).views[1])
    middle = {
        name: [(max(axis) + min(axis)) / 2 for axis in zip(*outline, strict=True)] for name, outline in parts.items()
    }
    voids = [name for name in parts if name.startswith("void")]
    for n, one in enumerate(voids):
        assert math.dist(middle[one], middle["ball"]) + width(parts[one]) / 2 < ball / 2
        for other in voids[n + 1 :]:
            assert math.dist(middle[one], middle[other]) > (width(parts[one]) + width(parts[other])) / 2


def test_each_layer_is_as_thick_as_given():
    for view, thickness in zip(joint.layers(2e-6, 6e-6).views, (2e-6, 6e-6), strict=True):
        layer = measured(view)["compound"]
        assert area(layer) / width(layer) == pytest.approx(thickness, rel=0.05)


@pytest.mark.parametrize(("squares", "bare"), [(144, 45), (100, 12), (64, 0)])
def test_exactly_so_many_squares_are_bare(squares, bare):
    parts = measured(sink.print_of_paste(20e-3, squares, bare).views[0])
    found = [outline for part, outline in parts.items() if part.startswith("bare")]
    assert len(found) == bare
    assert all(area(outline) == pytest.approx(area(parts["die"]) / squares, rel=0.02) for outline in found)


def test_both_prints_have_the_same_share_bare():
    for view in sink.bare_patches(14e-3, 0.75).views:
        root = ET.fromstring(view.svg())
        named = [
            (path.get("data-part"), area(points(path))) for path in root.iter(f"{SVG}path") if path.get("data-part")
        ]
        bare = sum(size for part, size in named if part == "bare")
        assert bare / dict(named)["die"] == pytest.approx(0.25, rel=0.02)


def test_parts_and_tips_stand_where_they_are_said_to():
    parts = measured(wires.plane_from_above(((30e-3, 20e-3), (90e-3, 60e-3)), (10e-3, 20e-3), ()).views[0])
    middles = [
        [(max(axis) + min(axis)) / 2 for axis in zip(*parts[name], strict=True)] for name in ("part-1", "part-2")
    ]
    assert middles[1][0] - middles[0][0] == pytest.approx(60e-3, rel=0.01)
    assert middles[0][1] - middles[1][1] == pytest.approx(40e-3, rel=0.01)


def test_a_section_passes_one_whole_row_of_the_edge():
    body = looks.edge_row(rows=8).views[0].body
    in_question = re.findall(r'<circle cx="([\d.]+)" cy="([\d.]+)"[^>]*--rwd-solder', body)
    assert len(in_question) == 4 * 7
    section = re.search(r'data-part="section".*?d="M[\d.]+ ([\d.]+)L', body)[1]
    assert sum(float(y) == pytest.approx(float(section), abs=0.1) for _, y in in_question) == 8


def test_a_hair_across_reaches_the_other_lead_and_a_short_one_does_not():
    parts = measured(packages.edges().views[0])
    assert width(parts["across"]) == pytest.approx(1.0e-3, rel=0.01)
    assert width(parts["short"]) == pytest.approx(0.5e-3, rel=0.01)


def test_an_edge_tells_only_where_something_holds_or_joins():
    telling = {region.words: region.tells for region in packages.edges().regions if region.tells}
    assert sorted(telling.values()) == ["full", "held", "short"]
    assert not any(re.search("glue|underfill|whisker|flux|residue", words) for words in telling)


def test_a_log_is_drawn_true_on_its_axes():
    view = curve.log_curve((0, 10, 20), (25.0, 75.0, 50.0), levels_c=(50.0,)).views[0]
    root = ET.fromstring(view.svg())
    drawn = {path.get("data-part"): points(path) for path in root.iter(f"{SVG}path") if path.get("data-part")}
    start, top, end = drawn["log"]
    assert (top[0] - start[0]) == pytest.approx(end[0] - top[0], rel=0.01)
    assert (start[1] - top[1]) == pytest.approx(2 * (end[1] - top[1]), rel=0.01)
    assert drawn["level-50"][0][1] == pytest.approx(end[1], abs=0.05)


# What can be pointed at


def test_every_mark_is_a_region_that_tells_and_the_rest_tell_nothing():
    drawing = marks.earlier_repair()
    telling = [region for region in drawing.regions if region.tells]
    assert len(telling) == len(marks.MARKS)
    assert len(drawing.regions) - len(telling) >= 4
    assert len({region.name for region in drawing.regions}) == len(drawing.regions)


@pytest.mark.parametrize("mark", marks.MARKS)
def test_without_its_mark_a_place_is_still_there_to_point_at_and_innocent(mark):
    whole, without = marks.earlier_repair(), marks.earlier_repair(tuple(set(marks.MARKS) - {mark}))
    assert [region.name for region in without.regions] == [region.name for region in whole.regions]
    changed = [a for a, b in zip(whole.regions, without.regions, strict=True) if a != b]
    assert len(changed) == 1
    assert without.svg != whole.svg


def test_a_board_without_marks_tells_nothing():
    assert not any(region.tells for region in marks.earlier_repair(()).regions)


def test_a_mark_nobody_knows_is_refused():
    with pytest.raises(ValueError, match="no such mark: gold"):
        marks.earlier_repair(("gold",))


def test_a_click_finds_the_part_under_it():
    (view,) = marks.earlier_repair().views
    for region in view.regions:
        if region.name == "U1-edge":
            continue
        x = sum(x for x, _ in region.polygon) / len(region.polygon)
        y = sum(y for _, y in region.polygon) / len(region.polygon)
        assert region_at(view, x, y).name == region.name
    assert region_at(view, 52, 160).name == "U1-edge"
    assert region_at(view, 415, 425) is None


def test_what_is_seen_gives_nothing_away():
    """The list for the keyboard says where and what is seen, not what it means."""
    for region in marks.earlier_repair().regions:
        assert not re.search(r"repair|before|somebody|reflow|evidence", region.words)


# The hand


@pytest.mark.parametrize("angle", [0, 30, 45, 90, -45])
def test_a_hatch_stays_inside_its_shape(angle):
    ring = [(0, 0), (100, 10), (60, 50), (110, 90), (10, 100)]
    ends = [float(number) for number in re.findall(r"-?\d+\.?\d*", pen.hatch(ring, "lines", angle, 7))]
    strokes = list(zip(ends[::4], ends[1::4], ends[2::4], ends[3::4], strict=True))
    assert len(strokes) > 8
    for x1, y1, x2, y2 in strokes:
        assert inside(ring, (x1 + x2) / 2, (y1 + y2) / 2) or math.dist((x1, y1), (x2, y2)) < 2


def test_words_too_wide_for_any_view_are_refused():
    with pytest.raises(ValueError, match="wider than their view"):
        pen.Pen(100).words(10, 10, "far too many words to go on one line of a view that is as wide as a phone")


def test_wrapping_keeps_every_word():
    words = "heat the board from below so that it does not bow"
    lines = pen.wrapped(words, 120)
    assert " ".join(lines) == words
    assert len(lines) > 1
    assert all(pen.width_of(line) <= 120 for line in lines)


def test_the_room_imports_no_widget_plot_or_notebook():
    room = Path(gallery.__file__).parent
    showing = {"IPython", "ipywidgets", "anywidget", "matplotlib", "nbformat", "nbgrader", "nbclient", "notebook"}
    for path in room.glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            assert not {name.split(".")[0] for name in names} & showing, path


def test_two_drawings_on_one_page_share_no_id():
    page = gallery.page()
    assert not re.search(r"\bid=", page)
    assert len(page) < 1_500_000


def test_both_themes_name_the_same_colours():
    assert list(pen.LIGHT) == list(pen.DARK)
