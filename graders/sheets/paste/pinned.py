"""Exercises on a sink that is held by soldered pins, and on getting a stuck sink off without bending the board."""

from math import log, log10

from graders.questions import Case, Choice, Exercise, Fixed, Number, Order, Pick, Quantity, Slip, relative
from graders.sheets.paste.fitting import CLEANING
from workbook.bench.paste import chain, loosening, wedge
from workbook.bench.profile import conduction
from workbook.drawings import sink

PINS = (
    "An iron and a warm sink burn, and flux fumes: extraction, eye protection. Only a device that is unplugged, discharged "
    "and measured to be so is opened; mains parts are for people allowed to by your local code. A die chips easily."
)


def _wedge(g):
    return wedge.wedge_resistance(g.thin_edge, g.thick_edge, g.conductivity, g.side**2)


def _flat(g, gap):
    return chain.layer_resistance(gap, g.conductivity, g.side**2)


WEDGE = Exercise(
    id="sink-on-pins",
    number=26,
    title="Seat a sink that is held by soldered pins",
    setup=(
        "A sink hangs on four pins that are soldered into the board. Its pins were soldered while it stood tilted. The paste (conductivity "
        "{conductivity}) on the square die, {side} on a side, is {thin_edge} at one edge and {thick_edge} at the opposite one, "
        "widening evenly. With heat straight across, strips lie side by side and R = (h₂ − h₁) / (k A ln(h₂ / h₁)). The die "
        "gives {power}. The shop solders the pins anew where the tilt costs more than {allowed} at the die."
    ),
    givens=dict(
        thin_edge=Quantity(50, "µm", low=30, high=70, step=5),
        thick_edge=Quantity(150, "µm", low=130, high=300, step=10),
        side=Quantity(14, "mm", low=11, high=20, step=1),
        conductivity=Quantity(3, "W/mK", low=2, high=6, step=0.5),
        power=Quantity(30, "W", low=15, high=60, step=1),
        allowed=Pick(2, (2, 3, 4, 5), "K"),
    ),
    drawing_of_answer=lambda g: sink.pinned_wedge(g.side, g.thin_edge, g.thick_edge, g.conductivity),
    parts=(
        Number(
            "tilted",
            "What is the resistance of the wedge of paste?",
            points=3,
            unit="K/W",
            expected=lambda g, a: _wedge(g),
            within=relative(0.015),
            because="edges are not measured more finely",
            plausible=(0.028, 0.66),
            working="""
area = side**2 / 1e6
tilted = (thick_edge - thin_edge) / 1e6 / (conductivity * area * log(thick_edge / thin_edge))
""",
            hint="ln is the natural logarithm, `log` in Python.",
            slips=(
                Slip(
                    "mean gap",
                    lambda g, a: _flat(g, (g.thin_edge + g.thick_edge) / 2),
                    "That is a flat layer of the mean gap. The thin side carries more than its share, so the wedge is better than that.",
                ),
                Slip("thin edge", lambda g, a: _flat(g, g.thin_edge), "That is a flat layer as thin as the thin edge."),
                Slip(
                    "thick edge",
                    lambda g, a: _flat(g, g.thick_edge),
                    "That is a flat layer as thick as the thick edge.",
                ),
                Slip(
                    "common logarithm",
                    lambda g, a: _wedge(g) / log10(2.718281828459045),
                    "You took the logarithm to base 10. The formula has the natural one.",
                ),
            ),
        ),
        Number(
            "flush",
            "And of a flat layer as thin as the thin edge, with the sink pressed flush?",
            points=1,
            unit="K/W",
            expected=lambda g, a: _flat(g, g.thin_edge),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(0.012, 0.3),
            working="flush = thin_edge / 1e6 / (conductivity * area)",
            slips=(
                Slip("the thick edge", lambda g, a: _flat(g, g.thick_edge), "You took the thick edge."),
                Slip(
                    "side for area",
                    lambda g, a: _flat(g, g.thin_edge) * g.side,
                    "You divided by the side. Heat passes the area.",
                ),
            ),
        ),
        Number(
            "tilt_costs",
            "By how much does the tilt heat the die?",
            points=1,
            unit="K",
            expected=lambda g, a: g.power * (a.tilted - a.flush),
            within=relative(0.03),
            because="a difference carries the rounding of both",
            plausible=(0.23, 23),
            working="tilt_costs = power * (tilted - flush)",
            slips=(
                Slip(
                    "the whole wedge",
                    lambda g, a: g.power * a.tilted,
                    "That is what the whole wedge costs. The flush layer costs some of it too.",
                ),
            ),
        ),
        Choice(
            "anew",
            "By the shop's rule, are the pins soldered anew?",
            points=1,
            options={
                "more paste": "no, but more paste goes on the thick side",
                "anew": "yes: the tilt costs more than is allowed",
                "leave it": "no: the tilt costs less than is allowed",
            },
            expected=lambda g, a: "anew" if a.tilt_costs > g.allowed else "leave it",
            slips={
                "more paste": "The wedge is full of paste already. What helps is less of it.",
                "anew": "Hold your answer to Part 3 against what the shop allows.",
                "leave it": "Hold your answer to Part 3 against what the shop allows.",
            },
        ),
        Order(
            "pins",
            "The sink is off, faces clean, paste on. Put the soldering of its pins in order. (Each pin is hard before the next is "
            "begun. The first one is to hold the sink where the die is, the second against it.)",
            points=2,
            options={
                "opposite": "solder the pin opposite to the one nearest to the die",
                "release": "take the hand off the sink",
                "nearest": "solder the pin nearest to the die",
                "press": "press the sink flush on the die",
                "the other pins": "solder the two pins that are left, one at a time",
            },
            expected=lambda g, a: [["press"], ["nearest"], ["opposite"], ["the other pins"], ["release"]],
            never={
                ("press", "nearest"): "A pin that is soldered first holds the sink where it stood: tilted.",
                ("the other pins", "release"): "Let go early, the sink lifts while solder is soft.",
            },
        ),
        Choice(
            "oil",
            "Old gap pads have left oil on the memory and the board. What before the new pads?",
            points=1,
            options={
                "leave": "leave it: the oil helps the new pads to touch",
                "wipe": "wipe it off cold, dry first and then with its cleaner",
                "paste": "spread paste over it, which takes up the oil",
            },
            expected=lambda g, a: "wipe",
            slips={
                "leave": "Pads slide on it, dirt sticks in it, and paste near it does not stay.",
                "paste": "Paste with oil in it runs.",
            },
        ),
        Choice(
            "large_pad",
            "The new pad is 2 mm larger than the memory on each side. The memory is wholly covered, and the pad meets nothing else. Fit it?",
            points=1,
            options={
                "trim": "no: the heat flows into the edges and is lost",
                "fit": "yes: what counts is that the chip is covered",
                "fold": "yes, once its edges are folded under the chip",
            },
            expected=lambda g, a: "fit",
            slips={
                "trim": "The edge over nothing carries no heat and does no harm, where it meets nothing else.",
                "fold": "A folded edge is twice as thick: it lifts the sink.",
            },
        ),
    ),
    cases=(
        Case("tilted", 0.1548, 0.0001, "paths side by side by hand, 50 to 150 µm", "computed"),
        Case("flush", 0.0850, 0.0001, "plane wall by hand, 50 µm", "computed"),
        Case(
            "tilt_costs",
            3,
            0.005,
            "by hand: 30 W through 0.1 K/W",
            "computed",
            givens={"power": 30},
            earlier={"tilted": 0.2, "flush": 0.1},
        ),
    ),
    caution=PINS,
    sound=lambda drawn: _clear(drawn),
    floor=0.35,
)


def _clear(drawn):
    g = WEDGE.values(drawn)
    costs = g.power * (_wedge(g) - _flat(g, g.thin_edge))
    return costs > 0.25 and abs(costs / g.allowed - 1) > 0.08


def _tau(g):
    return conduction.lumped_time_constant(g.sink * g.specific_heat, g.loss)


LOOSEN = Exercise(
    id="loosen-without-bending",
    number=27,
    title="Loosen a stuck sink without bending the board",
    setup=(
        "A sink of aluminium, {sink} ({specific_heat}), is stuck to a package. Between it and warm air of {air}, film coefficient times surface is {loss}. Take the sink as one temperature "
        "throughout, and the board as taking up no heat. Old paste lets go from about {soft} (the shop's experience). It is at 25 °C now.\n\n"
        "Someone pries with a screwdriver, and the board, {thickness} thick, bends by {bend} at the middle of {span} between its "
        "supports. The strain at its surface is then 6 t δ / L². A device maker's application note asks for no more than 500 "
        "microstrain; one microstrain is 1 ppm."
    ),
    givens=dict(
        sink=Quantity(60, "g", low=30, high=150, step=5),
        specific_heat=Fixed(900, "J/kgK"),
        loss=Quantity(0.4, "W/K", low=0.3, high=0.8, step=0.05),
        air=Quantity(150, "°C", low=110, high=160, step=5),
        soft=Quantity(70, "°C", low=60, high=80, step=5),
        thickness=Pick(1.6, (1.2, 1.6, 2.0), "mm"),
        span=Quantity(90, "mm", low=60, high=140, step=5),
        bend=Quantity(2.0, "mm", low=0.2, high=2.4, step=0.1),
    ),
    drawing_of_answer=lambda g: sink.loosen(g.span, g.thickness, g.bend, lets_go_c=g.soft),
    parts=(
        Number(
            "warming",
            "What is the time constant of the sink in the warm air?",
            points=1,
            unit="s",
            expected=lambda g, a: _tau(g),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(33, 460),
            working="warming = sink / 1000 * specific_heat / loss",
            slips=(
                Slip(
                    "turned round", lambda g, a: 1 / _tau(g), "You have it the wrong way round: a heavy sink is slow."
                ),
                Slip(
                    "multiplied",
                    lambda g, a: g.sink * g.specific_heat * g.loss,
                    "You multiplied by the loss. More of it makes the sink quicker.",
                ),
            ),
        ),
        Number(
            "until_soft",
            "How long does the sink take from 25 °C until the paste lets go?",
            points=2,
            unit="s",
            expected=lambda g, a: conduction.lumped_time(g.soft, a.warming, 25, g.air),
            within=relative(0.02),
            because="a film is not known better",
            plausible=(10, 475),
            working="until_soft = warming * log((air - 25) / (air - soft))",
            hint="The distance to the air's temperature falls as exp(−t/τ).",
            slips=(
                Slip(
                    "straight line",
                    lambda g, a: a.warming * (g.soft - 25) / (g.air - 25),
                    "You kept the first slope all the way. The nearer it comes to the air, the slower it warms.",
                ),
                Slip(
                    "temperatures for differences",
                    lambda g, a: a.warming * log(g.soft / 25),
                    "Take the distances to the air, before and after.",
                ),
                Slip(
                    "the constant itself", lambda g, a: a.warming, "That is the time constant. It is no time to a goal."
                ),
            ),
        ),
        Number(
            "strain",
            "Which strain did the screwdriver make at the surface of the board?",
            points=2,
            unit="ppm",
            expected=lambda g, a: loosening.bending_strain(g.bend, g.thickness, g.span),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(70, 8100),
            working="strain = 6 * thickness * bend / span**2 * 1e6",
            hint="mm times mm over mm² has no unit. Times 10⁶ it is microstrain.",
            slips=(
                Slip(
                    "span once",
                    lambda g, a: 6 * g.thickness * g.bend / g.span * 1e3,
                    "The span stands squared.",
                ),
                Slip(
                    "half the thickness",
                    lambda g, a: loosening.bending_strain(g.bend, g.thickness, g.span) / 2,
                    "The half of the thickness is in the 6 already.",
                ),
            ),
        ),
        Number(
            "bend_allowed",
            "How far may that board bend over the same span for 500 microstrain?",
            points=1,
            unit="mm",
            expected=lambda g, a: loosening.largest_deflection(500e-6, g.thickness, g.span),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(0.145, 1.4),
            working="bend_allowed = 500e-6 * span**2 / (6 * thickness)",
            slips=(
                Slip(
                    "half the thickness",
                    lambda g, a: 2 * loosening.largest_deflection(500e-6, g.thickness, g.span),
                    "The half of the thickness is in the 6 already.",
                ),
            ),
        ),
        Choice(
            "after_prying",
            "Compare the strain with the limit of 500 microstrain. What follows for this board?",
            points=1,
            options={
                "straight": "nothing: it is straight again, so no joint was hurt",
                "within": "it stayed within the limit; note it on the job sheet",
                "over": "it went over: corner joints are suspect, and it is told",
            },
            expected=lambda g, a: "over" if a.strain > 500e-6 else "within",
            slips={
                "straight": "Joints and lands crack at strains that leave a board straight.",
                "within": "Hold your answer to Part 3 against 500.",
                "over": "Hold your answer to Part 3 against 500.",
            },
        ),
        Choice(
            "how",
            "How is the next one loosened?",
            points=1,
            options={
                "board": "cold, with a lever that rests on the board beside it",
                "middle": "hot, with one hard pull straight up at the middle",
                "corner": "warm, turned slowly to and fro, lifted at a corner",
                "knock": "cold, with one sharp knock against the side of the sink",
            },
            expected=lambda g, a: "corner",
            slips={
                "board": "A lever on the board bends it and crushes what lies under the tool.",
                "middle": "A hard pull lifts package and lands together with the sink.",
                "knock": "A knock shears joints, and flings off small parts.",
            },
        ),
    ),
    cases=(
        Case("warming", 135, 0.05, "definition of the time constant by hand", "computed"),
        Case("until_soft", 60.2, 0.1, "law of warming by hand: 135 ln(125/80)", "computed"),
        Case("strain", 2370, 0.5, "three-point bending, 6 t δ / L² (ASTM D790, second-hand), by hand", "computed"),
        Case(
            "bend_allowed",
            0.521,
            0.0005,
            "three-point bending, 6 t δ / L² (ASTM D790, second-hand), by hand: 100 mm, 1.6 mm",
            "computed",
            givens={"span": 100, "thickness": 1.6},
        ),
    ),
    caution=CLEANING + " Warm air and a warm sink burn.",
    sound=lambda drawn: abs(_strain(drawn) / 500e-6 - 1) > 0.05,
)


def _strain(drawn):
    g = LOOSEN.values(drawn)
    return loosening.bending_strain(g.bend, g.thickness, g.span)


EXERCISES = (WEDGE, LOOSEN)
