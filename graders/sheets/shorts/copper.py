"""Exercises on copper: traces and what they carry, hatched planes, needles on foil, thermal voltages in the way."""

from math import log, pi

from graders.questions import Case, Choice, Exercise, Fixed, Number, Pick, Quantity, Record, Slip, absolute, relative
from graders.sheets.shorts.words import INJECT, ON_PAPER
from workbook.bench.shorts import copper, networks, probing
from workbook.drawings import wires


def _trace(g, a):
    return copper.trace_resistance(g.resistivity, g.length, g.width, a.thickness)


def _own_reading(stream, drawn):
    """Return what four wires read through the trace to ground: less than its copper, as much, or more."""
    foil = drawn["mass_per_ounce"] * drawn["ounces"] / drawn["density"]
    trace = drawn["resistivity"] / foil * drawn["length"] / drawn["width"] * 1e3
    return [round(trace * stream.pick((0.35, 0.6, 1.0, 1.0, 1.5, 2.5)) * (1 + stream.grid(-0.02, 0.02, 0.01)), 1)]


def _where_the_short_lies(g, a):
    share = g.seen[0] / a.trace_ohms
    return "before" if share < 0.9 else "beyond" if share > 1.1 else "at end"


TRACE = Exercise(
    id="trace-resistance",
    number=13,
    title="Work out what a trace adds to a reading",
    setup=(
        "A trace is {length} long and {width} wide, in copper foil of {ounces} oz: one ounce of foil has a mass of "
        "{mass_per_ounce}. Copper has a density of {density} and at 20 °C a resistivity of "
        "{resistivity}; the resistance grows by {growth}, counted on its 20 °C value."
    ),
    givens=dict(
        length=Quantity(120, "mm", low=40, high=180, step=5),
        width=Quantity(0.4, "mm", low=0.15, high=1.2, step=0.05),
        ounces=Pick(1, (0.5, 1, 2), "1"),
        mass_per_ounce=Fixed(0.305, "kg/m²"),
        density=Fixed(8890, "kg/m³"),
        resistivity=Fixed(1.7241e-8, "Ω·m"),
        growth=Fixed(0.393, "%/K"),
        warm_c=Quantity(80, "°C", low=45, high=100, step=5),
        seen=Record((246.0,), "mΩ", _own_reading),
    ),
    parts=(
        Number(
            "thickness",
            "How thick is the foil, if it is solid copper?",
            points=1,
            unit="µm",
            expected=lambda g, a: copper.foil_thickness(g.mass_per_ounce * g.ounces, g.density),
            within=relative(0.01),
            because="the mass is given to three figures",
            plausible=(15, 80),
            working="thickness = mass_per_ounce * ounces / density * 1e6",
            hint="Mass on an area = density × thickness.",
            slips=(
                Slip(
                    "upside down",
                    lambda g, a: 1e-6 * g.density / (g.mass_per_ounce * g.ounces),
                    "The ratio is upside down: a denser metal gives a thinner foil for the same mass.",
                ),
                Slip(
                    "rounded foil",
                    lambda g, a: g.ounces * 35e-6,
                    "35 µm is a rounded figure. Work the thickness out from the mass.",
                ),
            ),
        ),
        Number(
            "squares",
            "How many squares long is the trace? (Its length counted in its own widths.)",
            points=1,
            unit="1",
            expected=lambda g, a: g.length / g.width,
            within=relative(0.01),
            because="length and width are exact as printed",
            plausible=(10, 2000),
            working="squares = length / width",
            slips=(
                Slip(
                    "upside down",
                    lambda g, a: g.width / g.length,
                    "The ratio is upside down: a long trace has many squares.",
                ),
                Slip(
                    "area",
                    lambda g, a: g.length * g.width * 1e6,
                    "That is the area in square millimetres. Squares here have the side of the trace's own width.",
                ),
            ),
        ),
        Number(
            "trace_ohms",
            "What resistance does the trace have at 20 °C?",
            points=1,
            unit="mΩ",
            expected=_trace,
            within=relative(0.02),
            because="foil thickness is known to a few percent at best",
            plausible=(5, 3000),
            working="trace_ohms = resistivity / (thickness * 1e-6) * squares * 1e3",
            hint="Resistivity / thickness is the resistance of one square.",
            slips=(
                Slip(
                    "one square",
                    lambda g, a: g.resistivity / a.thickness,
                    "That is the resistance of one square. The trace is many squares long.",
                ),
                Slip(
                    "length and width swapped",
                    lambda g, a: g.resistivity * g.width / (g.length * a.thickness),
                    "Length and width are swapped: longer is more, wider is less.",
                ),
                Slip(
                    "half as wide",
                    lambda g, a: 2 * _trace(g, a),
                    "Twice too much. You may have halved the width or the thickness.",
                ),
            ),
        ),
        Number(
            "warm_ohms",
            "What resistance does it have at {warm_c}?",
            points=1,
            unit="mΩ",
            expected=lambda g, a: copper.moved_to_temperature(a.trace_ohms, 20, g.warm_c),
            within=relative(0.02),
            because="foil thickness is known to a few percent at best",
            plausible=(5, 4000),
            working="warm_ohms = trace_ohms * (1 + growth / 100 * (warm_c - 20))",
            slips=(
                Slip(
                    "counted from zero",
                    lambda g, a: copper.moved_to_temperature(a.trace_ohms, 20, g.warm_c + 20),
                    "You counted the warming from 0 °C. The value belongs to 20 °C.",
                ),
                Slip("cold", lambda g, a: a.trace_ohms, "That is the trace at 20 °C. Warm copper resists more."),
                Slip(
                    "falling",
                    lambda g, a: a.trace_ohms * (1 - g.growth / 100 * (g.warm_c - 20)),
                    "You let it fall. The resistance of copper grows with temperature.",
                ),
            ),
        ),
        Choice(
            "search",
            "Cold again, at 20 °C: four wires from the start of this trace to ground read {seen}. A short of next to no "
            "resistance hangs on the trace or on what it feeds, and nothing else is on the way. Within 10 % of your answer to Part 3 the copper of the whole trace is all "
            "of the reading. Where do you search next?",
            points=1,
            options={
                "before": "along the trace: the short lies before its end",
                "at end": "at the end of the trace: its copper is all that is read",
                "beyond": "behind the trace: more than its copper is read",
            },
            expected=_where_the_short_lies,
            hint="Compare the reading with the trace at 20 °C.",
            slips={
                "before": "Less copper than the whole trace would read lower than this.",
                "at end": "The reading is not within 10 % of the whole trace.",
                "beyond": "No more than the trace's own copper is in this reading.",
            },
        ),
    ),
    cases=(
        Case(
            "thickness",
            34.3,
            0.05,
            "IPC-4562, quoted in design texts: 305 g/m² is 34.3 µm",
            "published-second-hand",
        ),
        Case(
            "trace_ohms",
            98.3,
            0.05,
            "open lesson on printed circuits, Trace Resistance: 100 mm × 0.5 mm × 35 µm",
            "published-second-hand",
            givens={"resistivity": 1.72e-8, "length": 100, "width": 0.5},
            earlier={"thickness": 35},
        ),
        Case("warm_ohms", 121.8, 0.2, "98.5 mΩ of 20 °C at 80 °C, by hand", "computed", earlier={"trace_ohms": 98.5}),
        Case("squares", 200, 0.05, "by hand: 100 mm over 0.5 mm", "computed", givens={"length": 100, "width": 0.5}),
    ),
    caution=ON_PAPER,
    floor=0.25,
)

MIL = 25.4e-6


def _chart_area(g, constant):
    """Return the area of copper for the current, by the fit to the old charts [mil²]."""
    return copper.chart_width(g.current, g.warming, g.foil, constant) * g.foil / MIL**2


CHART = Exercise(
    id="trace-current",
    number=14,
    title="Keep an injected current within what a trace carries",
    setup=(
        "Before current is injected, the narrowest trace on the way is checked against an old curve of IPC-2221: I = "
        "k × ΔT^0.44 × A^0.725, with I in ampere, ΔT the warming in kelvin, and A the area of copper across the "
        "current in square mil (1 mil = 25.4 µm). k is {k_outer} on outer and {k_inner} on inner layers. It is a curve laid "
        "through old charts, for boards without planes: a rough guard, and no prediction. The foil is {foil} thick; "
        "the trace may warm by {warming}."
    ),
    givens=dict(
        current=Quantity(2.0, "A", low=0.6, high=3.5, step=0.1),
        warming=Pick(10, (5, 10, 15, 20), "K"),
        foil=Pick(35, (17.5, 35, 70), "µm"),
        narrow=Quantity(0.25, "mm", low=0.15, high=0.60, step=0.05),
        station=Quantity(1.2, "A", low=0.3, high=3, step=0.1),
        k_outer=Fixed(0.048),
        k_inner=Fixed(0.024),
    ),
    parts=(
        Number(
            "outer_area",
            "How much area of copper, in square mil, does {current} need on an outer layer?",
            points=2,
            unit="1",
            expected=lambda g, a: _chart_area(g, copper.CHART_EXTERNAL),
            within=relative(0.01),
            because="only rounding is left; the curve itself is rough",
            plausible=(2, 400),
            working="outer_area = (current / (k_outer * warming**0.44)) ** (1 / 0.725)",
            hint="Solve the curve for A: the power 0.725 is undone by the power 1/0.725.",
            slips=(
                Slip(
                    "power not undone",
                    lambda g, a: g.current / (0.048 * g.warming**0.44),
                    "That is A to the power 0.725. One more step gives A.",
                ),
                Slip(
                    "same power again",
                    lambda g, a: (g.current / (0.048 * g.warming**0.44)) ** 0.725,
                    "You raised to 0.725 once more. The power has to be undone.",
                ),
                Slip(
                    "inner for outer",
                    lambda g, a: _chart_area(g, copper.CHART_INTERNAL),
                    "That is the inner layer. The question asks for the outer one.",
                ),
                Slip(
                    "warming left out",
                    lambda g, a: (g.current / 0.048) ** (1 / 0.725),
                    "You left the warming out. A trace that may get warmer can be narrower.",
                ),
            ),
        ),
        Number(
            "outer_width",
            "How wide must the trace be there?",
            points=1,
            unit="mm",
            expected=lambda g, a: a.outer_area * MIL**2 / g.foil,
            within=relative(0.01),
            because="it carries the accuracy of the area",
            plausible=(0.02, 12),
            working="outer_width = outer_area * 0.0254**2 / (foil / 1e3)",
            hint="Bring the area to square millimetres; mind that the 25.4 µm are squared.",
            slips=(
                Slip(
                    "mil not squared",
                    lambda g, a: a.outer_area * 25.4e-3 * 1e-6 / g.foil,
                    "You turned square mil into square millimetres with 0.0254. It has to be squared.",
                ),
                Slip(
                    "square trace",
                    lambda g, a: a.outer_area**0.5 * MIL,
                    "You took the root, as if the copper were a square bar. Divide the area by the thickness of the "
                    "foil.",
                ),
            ),
        ),
        Number(
            "inner_width",
            "How wide must it be on an inner layer, by the same old curve?",
            points=1,
            unit="mm",
            expected=lambda g, a: a.outer_width * 2 ** (1 / 0.725),
            within=relative(0.01),
            because="it carries the accuracy of the area",
            plausible=(0.05, 30),
            working="inner_width = (current / (k_inner * warming**0.44)) ** (1 / 0.725) * 0.0254**2 / (foil / 1e3)",
            slips=(
                Slip(
                    "twice",
                    lambda g, a: 2 * a.outer_width,
                    "You doubled the width because k is half. The current does not grow in proportion to the width.",
                ),
                Slip(
                    "half",
                    lambda g, a: a.outer_width / 2,
                    "You went the wrong way: with a smaller k the same current needs more copper.",
                ),
                Slip("outer", lambda g, a: a.outer_width, "That is the outer layer. The inner one has another k."),
            ),
        ),
        Number(
            "narrow_current",
            "The narrowest trace on the way is {narrow} wide, on an outer layer. What current may be injected through "
            "it?",
            points=2,
            unit="A",
            expected=lambda g, a: copper.chart_current(g.warming, g.narrow, g.foil),
            within=relative(0.01),
            because="only rounding is left; the curve itself is rough",
            plausible=(0.1, 8),
            working="""
narrow_area = narrow * foil / 1e3 / 0.0254**2
narrow_current = k_outer * warming**0.44 * narrow_area**0.725
""",
            slips=(
                Slip(
                    "inner k",
                    lambda g, a: copper.chart_current(g.warming, g.narrow, g.foil, copper.CHART_INTERNAL),
                    "You used k of the inner layer. This trace is on an outer one.",
                ),
                Slip(
                    "in proportion",
                    lambda g, a: g.current * g.narrow / a.outer_width,
                    "You scaled the current with the width. The curve grows more slowly: use its power.",
                ),
                Slip(
                    "square millimetre",
                    lambda g, a: 0.048 * g.warming**0.44 * (g.narrow * g.foil * 1e6) ** 0.725,
                    "You put in square millimetres. This curve wants square mil.",
                ),
            ),
        ),
        Choice(
            "inject",
            "The supply's current limit is set to {station}. What do you do before the clips go on?",
            points=1,
            options={
                "as set": "leave it as set: the narrowest trace carries it",
                "lower": "turn it down to what the narrowest trace carries",
                "short burst": "leave it as set, and inject in short bursts only",
            },
            expected=lambda g, a: "as set" if g.station <= a.narrow_current else "lower",
            slips={
                "as set": "Compare the setting with your answer to Part 4.",
                "lower": "The narrowest trace carries what is set. Less current only makes the drops smaller.",
                "short burst": "A thin trace follows a current within seconds. The limit of the supply is what protects it.",
            },
        ),
    ),
    cases=(
        Case("outer_area", 42.4, 0.05, "texts quoting IPC-2221, 6.2: 2 A and 10 K, outside", "published-second-hand"),
        Case(
            "outer_width",
            30.8 * 0.0254,
            0.05 * 0.0254,
            "texts quoting IPC-2221, 6.2: 2 A and 10 K, 30.8 mil outside",
            "published-second-hand",
        ),
        Case(
            "inner_width",
            80.0 * 0.0254,
            0.08 * 0.0254,
            "texts quoting IPC-2221, 6.2: 2 A and 10 K, 80.0 mil inside",
            "published-second-hand",
            note="the texts take the foil as 1.378 mil; 35 µm is 1.37795 mil",
        ),
        Case(
            "narrow_current",
            0.8855,
            0.0002,
            "open lesson, Trace Current Capacity, recomputed: 10 mil, 10 K (the lesson rounds half way, 0.884)",
            "computed",
            givens={"narrow": 0.254},
        ),
    ),
    caution=INJECT,
    sound=lambda drawn: _clear_of_the_limit(drawn),
    floor=0.15,
)


def _clear_of_the_limit(drawn):
    """Whether the supply's setting is not so near the trace's limit that the curve could not tell."""
    carried = CHART.key(drawn)["narrow_current"]
    return abs(drawn["station"] / carried - 1) > 0.15


def _along_two(g):
    return g.link * networks.lattice_resistance(2, 0)


def _in_links(m, n):
    """Return the slip of leaving a resistance in links."""
    return Slip(
        "in links",
        lambda g, a: 1e-3 * networks.lattice_resistance(m, n),
        "Right in links. The question asks for mΩ: how many has one link?",
        worth=0.5,
    )


def _own_between(stream, drawn):
    """Return what four wires read between neighbours of the net: the link between is sound, or it is open."""
    return [round(drawn["link"] * stream.pick((0.5, 1.0)) * (1 + stream.grid(-0.02, 0.02, 0.01)), 2)]


HATCH = Exercise(
    id="hatched-ground",
    number=15,
    title="Read a net of equal links",
    setup=(
        "Some ground areas are not solid but hatched: a square grid of links, {link} each, so wide that its edge "
        "plays no part. Let R(m, n) be the resistance between two crossings m links apart one way and n the other, "
        "counted in links: 1 link is {link}; multiply at the end. R(0, 0) = 0, R(1, 1) = 2/π, and turning or "
        "mirroring changes nothing. For every crossing other than (0, 0), four times its R is the sum of the R of its "
        "four neighbours. Between nearest neighbours it helps to overlay two currents: one fed in at one crossing and "
        "leaving far away, one arriving from far away and drawn out at the other."
    ),
    givens=dict(
        link=Quantity(10, "mΩ", low=4, high=40, step=0.5),
        cage_link=Quantity(25, "mΩ", low=10, high=60, step=1),
        between=Record((9.9,), "mΩ", _own_between),
    ),
    drawing=lambda g: wires.net_of_links(),
    parts=(
        Number(
            "next_crossing",
            "What does a four-wire meter show between nearest neighbours, R(1, 0)?",
            points=1,
            unit="mΩ",
            expected=lambda g, a: g.link * networks.lattice_resistance(1, 0),
            within=relative(0.01),
            because="the result is exact",
            plausible=(1, 50),
            working="next_crossing = link / 2",
            hint="Each of the two currents sends a quarter through the link that joins them.",
            slips=(
                _in_links(1, 0),
                Slip("link alone", lambda g, a: g.link, "That is the link alone. Current also goes round it."),
                Slip(
                    "four beside each other",
                    lambda g, a: g.link / 4,
                    "One current alone sends a quarter through the link. There are two currents.",
                ),
                Slip(
                    "three ways",
                    lambda g, a: g.link * 3 / 4,
                    "You counted the link and the ways round its next square. The grid goes on further.",
                ),
            ),
        ),
        Number(
            "two_along",
            "What does it show two links apart in a row, R(2, 0)?",
            points=2,
            unit="mΩ",
            expected=lambda g, a: _along_two(g),
            within=relative(0.01),
            because="the result is exact",
            plausible=(1, 80),
            working="two_along = link * (4 * 1 / 2 - 0 - 2 * 2 / pi)",
            hint="Write the rule for the crossing (1, 0): its neighbours are (0, 0), (2, 0), (1, 1) and (1, −1).",
            slips=(
                _in_links(2, 0),
                Slip(
                    "twice one link",
                    lambda g, a: 2 * g.link,
                    "You added links as along a wire. In a grid the current spreads.",
                ),
                Slip(
                    "twice nearest neighbours",
                    lambda g, a: 2 * g.link * networks.lattice_resistance(1, 0),
                    "You added R(1, 0) twice. In a grid, resistances along a row do not add.",
                ),
                Slip(
                    "one diagonal",
                    lambda g, a: g.link * (2 - 2 / pi),
                    "One neighbour is missing from the sum: (1, 1) and its mirror image both count.",
                ),
            ),
        ),
        Number(
            "knight",
            "What does it show two links one way and one the other, R(2, 1)?",
            points=2,
            unit="mΩ",
            expected=lambda g, a: g.link * networks.lattice_resistance(2, 1),
            within=relative(0.01),
            because="the result is exact",
            plausible=(1, 80),
            working="knight = link * (4 * 2 / pi - 2 * 1 / 2) / 2",
            hint="Write the rule for the crossing (1, 1): two neighbours are as R(1, 0), two as R(2, 1).",
            slips=(
                _in_links(2, 1),
                Slip(
                    "three links",
                    lambda g, a: 3 * g.link,
                    "You added links as along a wire. In a grid the current spreads.",
                ),
                Slip(
                    "both at once",
                    lambda g, a: g.link * (8 / pi - 1),
                    "Twice too much: two of the four neighbours are as R(2, 1), and you need one.",
                ),
                Slip(
                    "nearest neighbour once",
                    lambda g, a: g.link * (8 / pi - 0.5) / 2,
                    "Of the neighbours of (1, 1), two are as R(1, 0). You took off one.",
                ),
            ),
        ),
        Number(
            "through_cage",
            "Twelve links of {cage_link} form the edges of a cube, a cage over a circuit. What does the meter show "
            "between two corners that lie farthest apart?",
            points=2,
            unit="mΩ",
            expected=lambda g, a: networks.resistance_between(networks.cube_links(g.cage_link), (0, 0, 0), (1, 1, 1)),
            within=relative(0.01),
            because="the result is exact",
            plausible=(5.2, 100),
            working="through_cage = cage_link / 3 + cage_link / 6 + cage_link / 3",
            hint="By symmetry the current splits evenly: over three links, then six, then three.",
            slips=(
                Slip(
                    "along the edges",
                    lambda g, a: 3 * g.cage_link,
                    "That is one way of three links alone. The current takes all ways.",
                ),
                Slip(
                    "three ways",
                    lambda g, a: g.cage_link,
                    "You took three ways of three links. In the middle of the way there are six links, not three.",
                ),
                Slip(
                    "edge",
                    lambda g, a: g.cage_link * 7 / 12,
                    "That is between two corners of one edge. These lie farthest apart.",
                ),
                Slip(
                    "all in a row",
                    lambda g, a: 12 * g.cage_link,
                    "You put all twelve links in a row. The current shares itself out over several ways.",
                ),
            ),
        ),
        Choice(
            "next_step",
            "Between two neighbours of the hatched area four wires read {between}. If the link between them were open, "
            "R(1, 0) would be 1 link. What does the bench do?",
            points=1,
            options={
                "flood": "bridge the crossings with solder, whatever it is",
                "look": "look at that link under the microscope: it is open",
                "go on": "go on elsewhere: the link there is sound",
            },
            expected=lambda g, a: "look" if g.between[0] > 0.75 * g.link else "go on",
            hint="Compare the reading with your answer to Part 1, and with one whole link.",
            slips={
                "flood": "Solder over copper that was not looked at hides the fault and may bridge to the next net.",
                "look": "The reading is that of a sound link with the net around it.",
                "go on": "The reading is too high for a sound link with the net around it.",
            },
        ),
    ),
    cases=(
        Case("next_crossing", 5.0, 1e-5, "OEIS A355565: R(1,0) = 1/2", "published"),
        Case("two_along", 7.26760, 5e-6, "OEIS A355565: R(2,0) = 2 − 4/π", "published"),
        Case("knight", 7.73240, 5e-6, "OEIS A355565: R(2,1) = 4/π − 1/2", "published"),
        Case(
            "through_cage",
            250 / 12,
            1e-6,
            "old exercise, on four pages: 5/6 of a link through the cube",
            "published-second-hand",
        ),
    ),
    caution=ON_PAPER,
    floor=0.10,
    sound=lambda drawn: abs(drawn["link"] - drawn["cage_link"]) > 1,
)

WIDE = pi / log(2)

FOILS = {"half": 17e-6, "one": 35e-6, "two": 70e-6}
"""Nominal thickness of the foils [m]."""

FOUR_NEEDLES = Exercise(
    id="four-needles",
    number=16,
    title="Measure the copper with four needles",
    setup=(
        "Four needles stand in a row on bare copper, {needle_spacing} from one to the next. A current of {current} "
        "goes through the outer two; between the inner two the meter shows {drop}, thermal voltages taken out. On a sheet that is wide "
        "against the needles, the resistance of a square is (π/ln 2) × V/I. In the middle of a round piece of "
        "diameter d the factor is instead π / (ln 2 + ln((x² + 3)/(x² − 3))), with x = d over the distance of two "
        "neighbours. Copper has {resistivity} at 20 °C."
    ),
    givens=dict(
        needle_spacing=Pick(1.5, (1.27, 1.5, 2.0), "mm"),
        current=Quantity(1.0, "A", low=0.8, high=2.0, step=0.1),
        drop=Quantity(110, "µV", low=40, high=260, step=1),
        disc=Quantity(15, "mm", low=12, high=28, step=1),
        resistivity=Fixed(1.7241e-8, "Ω·m"),
    ),
    parts=(
        Number(
            "square_ohms",
            "On a wide plane: what resistance does a square of it have?",
            points=1,
            unit="mΩ/sq",
            expected=lambda g, a: probing.probed_sheet_resistance(g.drop, g.current),
            within=relative(0.01),
            because="the drop is read to about a percent",
            plausible=(0.13, 2),
            working="square_ohms = pi / log(2) * drop / 1e3 / current",
            slips=(
                Slip(
                    "factor forgotten",
                    lambda g, a: g.drop / g.current,
                    "That is V/I. The current spreads over the sheet: the factor π/ln 2 is missing.",
                ),
                Slip(
                    "two pi",
                    lambda g, a: 2 * pi * g.drop / g.current,
                    "You used 2π. The factor in the question is π/ln 2.",
                ),
                Slip(
                    "log to base 10",
                    lambda g, a: pi / 0.30103 * g.drop / g.current,
                    "You took the logarithm to base 10. ln is the natural one.",
                ),
            ),
        ),
        Number(
            "foil_thickness",
            "How thick is the copper there, at 20 °C?",
            points=1,
            unit="µm",
            expected=lambda g, a: copper.ANNEALED_RESISTIVITY / a.square_ohms,
            within=relative(0.015),
            because="it carries the accuracy of the drop",
            plausible=(5, 250),
            working="foil_thickness = resistivity / (square_ohms / 1e3) * 1e6",
            hint="Resistivity = resistance of a square × thickness.",
            slips=(
                Slip(
                    "from V/I",
                    lambda g, a: copper.ANNEALED_RESISTIVITY / (g.drop / g.current),
                    "You divided by V/I. The resistance of a square is larger.",
                ),
                Slip(
                    "needle spacing in it",
                    lambda g, a: copper.ANNEALED_RESISTIVITY * g.needle_spacing / (a.square_ohms * 1e-3),
                    "The spacing of the needles plays no part on a wide sheet.",
                ),
                Slip(
                    "factor twice",
                    lambda g, a: copper.ANNEALED_RESISTIVITY / (a.square_ohms * WIDE),
                    "You put the factor in once more. The resistance of a square has it already.",
                ),
            ),
        ),
        Number(
            "disc_factor",
            "On a round piece of {disc} across, cut from a scrap board: which factor takes the place of π/ln 2?",
            points=2,
            unit="1",
            expected=lambda g, a: probing.four_point_factor(g.disc / g.needle_spacing),
            within=relative(0.005),
            because="only rounding is left",
            plausible=(1, 4.6),
            working="""
x = disc / needle_spacing
disc_factor = pi / (log(2) + log((x**2 + 3) / (x**2 - 3)))
""",
            slips=(
                Slip("wide sheet", lambda g, a: WIDE, "That is the factor of the wide sheet. The edge is near here."),
                Slip(
                    "x not squared",
                    lambda g, a: pi / (log(2) + log((g.disc / g.needle_spacing + 3) / (g.disc / g.needle_spacing - 3))),
                    "x is squared in both places.",
                ),
                Slip(
                    "radius",
                    lambda g, a: probing.four_point_factor(g.disc / g.needle_spacing / 2),
                    "You used the radius of the piece. x counts with the whole diameter.",
                ),
            ),
        ),
        Number(
            "disc_ohms",
            "The same V and I read on that piece: what resistance does a square of it have?",
            points=1,
            unit="mΩ/sq",
            expected=lambda g, a: a.disc_factor * g.drop / g.current,
            within=relative(0.005),
            because="only rounding is left",
            plausible=(0.05, 2),
            working="disc_ohms = disc_factor * drop / 1e3 / current",
            slips=(
                Slip(
                    "wide sheet",
                    lambda g, a: WIDE * g.drop / g.current,
                    "You kept the factor of the wide sheet. Near the edge the current is squeezed and the drop is "
                    "larger.",
                ),
                Slip("factor forgotten", lambda g, a: g.drop / g.current, "That is V/I. The factor is missing."),
            ),
        ),
        Choice(
            "which_foil",
            "Back on the wide plane: which foil do you calculate with when you search for a short on it? (Half an ounce is nominally 17 µm, one "
            "ounce 35 µm, two ounces 70 µm; finished foil is within 20 % of that.)",
            points=1,
            options={"two": "two ounces", "half": "half an ounce", "one": "one ounce"},
            expected=lambda g, a: min(FOILS, key=lambda name: abs(log(a.foil_thickness / FOILS[name]))),
            hint="Compare your answer to Part 2 with the three nominal values.",
        ),
    ),
    cases=(
        Case(
            "square_ohms",
            4.5324,
            0.00005,
            "laboratory note on four-point probes, rev. 7 (2004): π/ln 2",
            "published",
            givens={"drop": 1000, "current": 1.0},
        ),
        Case("disc_factor", 4.1712, 0.00005, "circle images, diameter 10 spacings", "computed"),
        Case(
            "disc_ohms",
            0.4559,
            0.0001,
            "circle images, 109.3 µV at 1 A, diameter 10 spacings",
            "computed",
            givens={"drop": 109.3},
        ),
        Case(
            "foil_thickness",
            35.0,
            0.09,
            "Open lesson on printed circuits (title not recorded): 98.3 mΩ along 200 squares of 35 µm at 1.72e-8 Ω m",
            "published-second-hand",
            earlier={"square_ohms": 0.4915},
            note="we take 1.7241e-8 Ω m, which makes it 35.08 µm",
        ),
    ),
    caution=INJECT,
    floor=0.15,
    sound=lambda drawn: (
        7 <= drawn["disc"] / drawn["needle_spacing"] <= 20 and _foil_is_clear(FOUR_NEEDLES.values(drawn))
    ),
)


def _foil_is_clear(g):
    """Whether the copper is within 15 % of one of the foils sold."""
    thickness = copper.ANNEALED_RESISTIVITY / probing.probed_sheet_resistance(g.drop, g.current)
    return min(abs(thickness / foil - 1) for foil in FOILS.values()) < 0.15


THERMAL = Exercise(
    id="thermal-voltage",
    number=17,
    title="Take the thermal voltage out of a small reading",
    setup=(
        "Two needles read the drop on a plane while {current} goes through it. The needle tips are coated with tin-lead "
        "solder. Where a tip meets the copper and "
        "one tip is warmer than the other, a thermal voltage arises and adds itself to the reading, whichever way "
        "the current goes. Three readings, the same time apart: {forward} forward, {backward} with the current reversed, "
        "and forward again, {change} more than the first time. Copper against tin-lead solder makes about "
        "{thermal_step}."
    ),
    givens=dict(
        current=Quantity(1.0, "A", low=0.5, high=2.0, step=0.1),
        forward=Quantity(51, "µV", low=45, high=80, step=1),
        backward=Quantity(4, "µV", low=-12, high=18, step=1),
        change=Quantity(9, "µV", low=4, high=16, step=1),
        thermal_step=Fixed(5, "µV/K"),
    ),
    parts=(
        Number(
            "by_current",
            "From the first two readings: which voltage belongs to the current?",
            points=1,
            unit="µV",
            expected=lambda g, a: probing.reversed_difference(g.forward, g.backward),
            within=absolute(0.3),
            because="the meter shows whole microvolts",
            plausible=(8.4, 80),
            working="by_current = (forward - backward) / 2",
            hint="What belongs to the current turns its sign with it; the thermal voltage does not.",
            slips=(
                Slip(
                    "mean",
                    lambda g, a: (g.forward + g.backward) / 2,
                    "You took the mean. It keeps what does not turn round, and loses what does.",
                ),
                Slip(
                    "not halved",
                    lambda g, a: g.forward - g.backward,
                    "The difference holds the voltage of the current twice.",
                ),
                Slip("forward alone", lambda g, a: g.forward, "The thermal voltage is still in it."),
            ),
        ),
        Number(
            "warmer",
            "From the same two readings: by how much is one tip, where it meets the copper, warmer than the other?",
            points=1,
            unit="K",
            expected=lambda g, a: abs(g.forward + g.backward) / 2 / g.thermal_step,
            within=absolute(0.1),
            because="half a microvolt is a tenth of a kelvin",
            plausible=(2.1, 30),
            working="warmer = abs(forward + backward) / 2 / thermal_step",
            hint="The part that does not turn round, in microvolt, over the microvolts for each kelvin.",
            slips=(
                Slip(
                    "from the current's part",
                    lambda g, a: abs(g.forward - g.backward) / 2 / g.thermal_step,
                    "You used what belongs to the current. Heat makes the other part.",
                ),
                Slip(
                    "not halved",
                    lambda g, a: abs(g.forward + g.backward) / g.thermal_step,
                    "The sum holds the thermal voltage twice.",
                ),
                Slip("whole reading", lambda g, a: g.forward / g.thermal_step, "You used the whole forward reading."),
            ),
        ),
        Number(
            "drift_free",
            "Meanwhile the difference in warmth changes steadily, so the thermal voltage moves by the same step from "
            "each reading to the next. From all three readings: which voltage belongs to the current?",
            points=2,
            unit="µV",
            expected=lambda g, a: probing.drift_free(g.forward, g.backward, g.forward + g.change),
            within=absolute(0.3),
            because="the meter shows whole microvolts",
            plausible=(9, 100),
            working="""
again = forward + change
drift_free = ((forward + again) / 2 - backward) / 2
""",
            hint="The mean of the first and the third is what a forward reading would have been at the time of the "
            "second.",
            slips=(
                Slip(
                    "last two",
                    lambda g, a: probing.reversed_difference(g.forward + g.change, g.backward),
                    "You used the last two readings. The drift between them is still in it.",
                ),
                Slip(
                    "first two",
                    lambda g, a: probing.reversed_difference(g.forward, g.backward),
                    "You used the first two readings. The drift between them is still in it.",
                ),
                Slip(
                    "not halved",
                    lambda g, a: g.forward + g.change / 2 - g.backward,
                    "The difference of forward and reversed holds the voltage of the current twice.",
                ),
                Slip(
                    "plain mean of three",
                    lambda g, a: (2 * g.forward + g.change - g.backward) / 3,
                    "You took the mean of the three. The first and the third stand together for one forward reading.",
                ),
            ),
        ),
        Choice(
            "cure",
            "What makes the voltage of the current larger against the thermal voltage?",
            points=1,
            options={
                "finger": "press the tips down with warm fingers",
                "more current": "more current, within what traces carry",
                "finer display": "a meter that shows one or two more digits",
            },
            expected=lambda g, a: "more current",
            slips={
                "finger": "A warm finger on one needle makes a thermal voltage of its own.",
                "finer display": "More digits show the thermal voltage more finely too.",
            },
        ),
    ),
    cases=(
        Case(
            "by_current",
            26,
            0.5,
            "reversal of the current, 26 µV under an offset of 25 µV, by hand",
            "computed",
            givens={"backward": -1},
        ),
        Case(
            "warmer",
            5,
            0.05,
            "guide to a bench nanovoltmeter, p. 251: copper against tin-lead solder, 25 µV at 5 µV/K",
            "computed",
            givens={"backward": -1},
        ),
        Case(
            "drift_free",
            26,
            0.05,
            "offset climbing by 4 µV a reading under 26 µV, by hand",
            "computed",
            givens={"backward": 3, "change": 8},
        ),
    ),
    caution=INJECT,
    floor=0.15,
)

EXERCISES = (TRACE, CHART, HATCH, FOUR_NEEDLES, THERMAL)
