"""Heat in a board: how it warms, what lies between its faces, what copper does, and whether it stays flat."""

from math import exp

from graders.questions import Case, Choice, Exercise, Fixed, Number, Pick, Quantity, Slip, absolute, relative
from graders.sheets.profile.cautions import HOT, READING
from workbook.bench.profile import conduction, flatness
from workbook.drawings import stack

SMALL = {"length": 100, "width": 100, "heat": 60, "target_c": 150}
"""The board of the cases worked by hand."""

ON_A_HEATER = Exercise(
    id="board-on-heater",
    number=11,
    title="Warm a bare board and say when it is there",
    setup=(
        "A bare board of FR-4, {length} × {width} × {thickness}, lies on a few pins over a preheater and takes up {heat} "
        "evenly by its glow. Warm air rises between: at the underside and at the top the board loses heat with a film "
        "coefficient of {film} each, as if both faces saw air of {room_c} (a bad guess for the underside, and on the safe "
        "side for the time); the narrow edges lose none. Density {density}, specific heat {specific_heat}, conductivity through "
        "the board {through}. The board starts at {room_c} and is wanted at {target_c}."
    ),
    givens=dict(
        length=Fixed(160, "mm"),
        width=Fixed(100, "mm"),
        thickness=Pick(1.6, (1.0, 1.6, 2.0), "mm"),
        density=Fixed(1850, "kg/m³"),
        specific_heat=Fixed(1100, "J/kgK"),
        through=Fixed(0.343, "W/mK"),
        heat=Quantity(96, "W", low=84, high=116, step=4),
        film=Quantity(20, "W/m²K", low=16, high=22, step=1),
        room_c=Quantity(25, "°C", low=18, high=30, step=1),
        target_c=Quantity(140, "°C", low=120, high=140, step=2),
    ),
    parts=(
        Number(
            "stored",
            "How much heat warms the whole board by one kelvin?",
            points=1,
            unit="J/K",
            expected=lambda g, a: conduction.heat_capacity(
                g.length * g.width * g.thickness, g.density, g.specific_heat
            ),
            within=relative(0.02),
            because="the specific heat is an assumption inside published ranges; the calculation is exact",
            plausible=(20, 110),
            working="stored = length / 1000 * width / 1000 * thickness / 1000 * density * specific_heat",
            slips=(
                Slip(
                    "mass only",
                    lambda g, a: g.length * g.width * g.thickness * g.density,
                    "That is the mass of the board in kilograms. The specific heat is missing.",
                ),
                Slip(
                    "for a square metre",
                    lambda g, a: g.thickness * g.density * g.specific_heat,
                    "That is for each square metre of board. Multiply by its area.",
                ),
            ),
        ),
        Number(
            "lost",
            "How much heat does the board lose in a second for each kelvin above the air?",
            points=1,
            unit="W/K",
            expected=lambda g, a: g.film * 2 * g.length * g.width,
            within=relative(0.02),
            because="the calculation is exact; the film coefficient itself is known to two figures",
            plausible=(0.32, 1.2),
            working="lost = film * 2 * length / 1000 * width / 1000",
            slips=(
                Slip(
                    "one face",
                    lambda g, a: g.film * g.length * g.width,
                    "You counted one face. The board has two, and both lose heat.",
                ),
            ),
        ),
        Number(
            "time_constant",
            "What is the time constant of the board?",
            points=1,
            unit="s",
            expected=lambda g, a: conduction.lumped_time_constant(a.stored, a.lost),
            within=relative(0.02),
            because="the calculation is exact; the film coefficient itself is known to two figures",
            plausible=(25, 1000),
            working="time_constant = stored / lost",
            slips=(
                Slip(
                    "upside down",
                    lambda g, a: a.lost / a.stored,
                    "The ratio is upside down: heat stored for each kelvin over heat lost for each kelvin.",
                ),
            ),
        ),
        Number(
            "final_c",
            "How hot would the board be in the end, if the preheater stayed on?",
            points=1,
            unit="°C",
            expected=lambda g, a: g.room_c + g.heat / a.lost,
            within=absolute(3),
            because="it carries 2 % of the loss",
            plausible=(50, 600),
            working="final_c = room_c + heat / lost",
            slips=(
                Slip(
                    "room forgotten",
                    lambda g, a: g.heat / a.lost,
                    "That is how far it rises. It starts from the room's temperature.",
                ),
                Slip(
                    "one face",
                    lambda g, a: g.room_c + 2 * g.heat / a.lost,
                    "You let only one face lose heat. Both faces do.",
                ),
            ),
        ),
        Number(
            "to_target",
            "After how long is the board at {target_c}?",
            points=2,
            unit="s",
            expected=lambda g, a: conduction.lumped_time(g.target_c, a.time_constant, g.room_c, a.final_c),
            within=relative(0.02),
            because="the calculation is exact; the film coefficient itself is known to two figures",
            plausible=(25, 2000),
            working="to_target = -time_constant * log((final_c - target_c) / (final_c - room_c))",
            hint="The distance to the final temperature falls as exp(-t / time constant).",
            slips=(
                Slip(
                    "no losses",
                    lambda g, a: a.stored * (g.target_c - g.room_c) / g.heat,
                    "You let the board keep all the heat. The hotter it gets, the more it loses: it takes longer.",
                ),
                Slip(
                    "one face",
                    lambda g, a: conduction.lumped_time(
                        g.target_c, 2 * a.time_constant, g.room_c, g.room_c + 2 * g.heat / a.lost
                    ),
                    "You let only one face lose heat. Both faces do.",
                ),
            ),
        ),
        Number(
            "biot",
            "What is the Biot number, with half the thickness and the conductivity through the board?",
            points=1,
            unit="1",
            expected=lambda g, a: conduction.biot(g.film, g.thickness / 2, g.through),
            within=relative(0.02),
            because="the film coefficient is known to two figures",
            plausible=(0.014, 0.11),
            working="biot = film * thickness / 1000 / 2 / through",
            slips=(
                Slip(
                    "whole thickness",
                    lambda g, a: conduction.biot(g.film, g.thickness, g.through),
                    "You took the whole thickness. Heat leaves by both faces: it has half the thickness to go.",
                ),
                Slip(
                    "upside down",
                    lambda g, a: g.through / (g.film * g.thickness / 2),
                    "The ratio is upside down: film times length, divided by conductivity.",
                ),
            ),
        ),
        Choice(
            "even",
            "A body counts as being at one temperature throughout if its Biot number is 0.1 or less. Was it right to use "
            "one temperature for the board?",
            points=1,
            options={"no": "no: faces and middle differ too much", "yes": "yes: faces and middle are near enough"},
            expected=lambda g, a: "yes" if a.biot <= 0.1 else "no",
            slips={"no": "Compare your Biot number with the 0.1 of the question once more."},
        ),
        Choice(
            "act",
            "The nozzle is to come down when the board is at {target_c}. When do you lower it?",
            points=1,
            options={
                "clock": "when the time you found has gone by in full",
                "sensor": "when a thermocouple on the board has {target_c}",
                "plate": "when the display of the plate has {target_c}",
            },
            expected=lambda g, a: "sensor",
            slips={
                "clock": "The time holds for a bare board of even heat. It says when to look, not when to go.",
                "plate": "The plate is hotter than the board as long as the board warms.",
            },
        ),
    ),
    cases=(
        Case("stored", 32.6, 0.05, "worked by hand: 16 cm³ of FR-4", "computed", givens=SMALL),
        Case("time_constant", 81.4, 0.05, "worked by hand: 32.56 J/K over 0.4 W/K", "computed", givens=SMALL),
        Case(
            "to_target",
            146,
            0.5,
            "worked by hand: 81.4 s times the logarithm of 6",
            "computed",
            givens=SMALL,
        ),
        Case(
            "lost",
            0.8,
            0.0005,
            "Newton's law of cooling by hand: 20 W/m²K on both faces of 0.2 m × 0.1 m",
            "computed",
            givens={"length": 200, "width": 100, "film": 20},
        ),
        Case(
            "final_c",
            125,
            0.05,
            "balance by hand: 80 W over 0.8 W/K above 25 °C",
            "computed",
            givens={"heat": 80},
            earlier={"lost": 0.8},
        ),
        Case(
            "biot",
            0.313,
            0.0005,
            "Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, example 5.4",
            "published",
            givens={"film": 500, "thickness": 80, "through": 63.9, "target_c": 26},
            note="the source's wall of 40 mm is insulated on one face: half of one that is wetted on both",
        ),
    ),
    caution=HOT,
    sound=lambda drawn: 1.1 < _final_rise(drawn) / (drawn["target_c"] - drawn["room_c"]) < 3,
    floor=0.20,
)


def _final_rise(drawn):
    return drawn["heat"] / (2 * drawn["film"] * drawn["length"] * drawn["width"] * 1e-6)


THROUGH_THE_BOARD = Exercise(
    id="through-the-board",
    number=12,
    title="Do not take the board's bottom for the joint",
    setup=(
        "Heat passes steadily through a board, from the plate below to the package above. The heat flux is {flux}. The "
        "board is {thickness} thick. FR-4 conducts {through} through its thickness and {along} along its plane (Sarvar, "
        "Poole and Witting, 1990). A thermocouple on the bottom face reads {bottom_c}."
    ),
    givens=dict(
        flux=Quantity(6, "kW/m²", low=3, high=8, step=0.5),
        thickness=Pick(1.6, (1.0, 1.2, 1.6, 2.0, 2.4), "mm"),
        through=Fixed(0.343, "W/mK"),
        along=Fixed(1.059, "W/mK"),
        bottom_c=Quantity(240, "°C", low=225, high=255, step=1),
        allowed=Quantity(10, "K", low=6, high=12, step=1),
    ),
    parts=(
        Number(
            "between_faces",
            "How many kelvin lie between the two faces of the board?",
            points=2,
            unit="K",
            expected=lambda g, a: conduction.through_board_drop(g.flux, g.thickness, g.through),
            within=relative(0.03),
            because="the heat is known to one or two figures",
            plausible=(5.4, 200),
            working="between_faces = flux * 1000 * thickness / 1000 / through",
            slips=(
                Slip(
                    "conductivity along",
                    lambda g, a: conduction.through_board_drop(g.flux, g.thickness, g.along),
                    "You took the conductivity along the board. This heat goes through it.",
                ),
                Slip(
                    "copper",
                    lambda g, a: conduction.through_board_drop(g.flux, g.thickness, 400),
                    "You took the conductivity of copper. Between the copper layers lies laminate, and it decides.",
                ),
                Slip(
                    "half the thickness",
                    lambda g, a: conduction.through_board_drop(g.flux, g.thickness / 2, g.through),
                    "You took half the thickness. This heat goes all the way through.",
                ),
                Slip(
                    "upside down",
                    lambda g, a: g.flux * g.through / g.thickness,
                    "Conductivity and thickness have changed places. A thicker board has more kelvin across it.",
                ),
            ),
        ),
        Number(
            "top_c",
            "How hot is the top face, where the joints are?",
            points=1,
            unit="°C",
            expected=lambda g, a: g.bottom_c - a.between_faces,
            within=absolute(1),
            because="it carries 3 % of the drop",
            plausible=(100, 300),
            working="top_c = bottom_c - between_faces",
            slips=(
                Slip(
                    "bottom is top",
                    lambda g, a: g.bottom_c,
                    "That is the bottom's reading. Heat only flows because the other face is colder.",
                ),
                Slip(
                    "added",
                    lambda g, a: g.bottom_c + a.between_faces,
                    "You made the top face hotter than the bottom. Heat goes from hot to cold, and it comes from below.",
                ),
                Slip(
                    "conductivity along",
                    lambda g, a: g.bottom_c - g.flux * g.thickness / g.along,
                    "You used the conductivity along the board. This heat goes through it.",
                ),
            ),
        ),
        Choice(
            "melting",
            "The solder begins to melt at 217 °C (TL). Is the top face at 217 °C or above?",
            points=1,
            options={"no": "no: the top face is below 217 °C", "yes": "yes: the top face is at 217 °C or above"},
            expected=lambda g, a: "yes" if a.top_c >= 217 else "no",
            slips={
                "yes": "Compare the top face, not the bottom, with 217 °C.",
                "no": "Compare the top face with 217 °C.",
            },
        ),
        Number(
            "largest_flux",
            "You want at most {allowed} between the faces. What is the largest flux that may pass through?",
            points=1,
            unit="kW/m²",
            expected=lambda g, a: g.through * g.allowed / g.thickness,
            within=relative(0.03),
            because="it carries the uncertainty of the conductivity",
            plausible=(0.53, 6.6),
            working="largest_flux = through * allowed / (thickness / 1000) / 1000",
            slips=(
                Slip(
                    "conductivity along",
                    lambda g, a: g.along * g.allowed / g.thickness,
                    "You took the conductivity along the board. This heat goes through it.",
                ),
                Slip(
                    "ratio upside down",
                    lambda g, a: g.flux * a.between_faces / g.allowed,
                    "A larger flux makes a larger difference. For a smaller difference the flux must be smaller.",
                ),
            ),
        ),
        Choice(
            "sensor",
            "You have one thermocouple left. Where does it go, to say when the joints are molten?",
            points=1,
            options={
                "bottom": "under the board, with your kelvins taken off",
                "joint": "beside a corner joint, with its bead on metal",
                "top": "on the package top, where the nozzle blows",
                "air": "in the gap beside the package, held in the air",
            },
            expected=lambda g, a: "joint",
            slips={
                "bottom": "The kelvins between the faces change with the flux, and you do not measure the flux.",
                "top": "The top is a limit of its own. It does not tell when the last joint melts.",
                "air": "A bead in the air reads gas and glow, not a joint.",
            },
        ),
    ),
    cases=(
        Case(
            "largest_flux",
            2.0,
            0.017,
            "OpenStax, College Physics, window problem with glass of Table 14.3: 6.0e3 W through 3.00 m²",
            "published",
            givens={"through": 0.84, "thickness": 6.35, "allowed": 15},
        ),
        Case("between_faces", 28.0, 0.05, "worked by hand: 6 kW/m², 1.6 mm, 0.343 W/mK", "computed"),
        Case(
            "top_c",
            210,
            0.005,
            "by hand: 240 less 30",
            "computed",
            givens={"bottom_c": 240},
            earlier={"between_faces": 30},
        ),
    ),
    caution=HOT,
    sound=lambda drawn: (
        abs(_top_face(drawn) - 217) > 3 and abs(drawn["flux"] * drawn["thickness"] / 0.343 / drawn["allowed"] - 1) > 0.1
    ),
    floor=0.20,
)


def _top_face(drawn):
    return drawn["bottom_c"] - drawn["flux"] * drawn["thickness"] / 0.343


COPPER_PLANES = Exercise(
    id="copper-planes",
    number=13,
    title="See what copper planes do to a board",
    setup=(
        "A board is {thickness} thick in all. In it lie {planes} copper layers of {foil} each; of each layer {coverage} of "
        "the area is copper, the rest is filled with laminate. Copper conducts {copper}. The laminate conducts {along} "
        "along its plane and {through} through its thickness.\n\n"
        "Along the board the layers share the heat: the conductivity is the mean of the layers, each counted by its "
        "thickness. A layer that is partly copper counts with the mean of copper and laminate, by area. Through the board "
        "the layers lie one behind the other: total thickness over conductivity is the sum of thickness over conductivity "
        "of each. Count the copper layers as whole there. Plated holes are left out. Both figures hold for copper without gaps between its islands: real planes are cut by gaps, so the conductivity along is an upper bound."
    ),
    givens=dict(
        thickness=Fixed(1.6, "mm"),
        planes=Pick(4, (2, 4, 6, 8), "1"),
        foil=Pick(35, (18, 35, 70), "µm"),
        coverage=Quantity(60, "%", low=55, high=90, step=5),
        copper=Fixed(400, "W/mK"),
        along=Fixed(0.9, "W/mK"),
        through=Fixed(0.343, "W/mK"),
    ),
    parts=(
        Number(
            "layer",
            "What is the conductivity along one copper layer, as etched?",
            points=1,
            unit="W/mK",
            expected=lambda g, a: conduction.plane_conductivity(g.coverage, g.copper, g.along),
            within=relative(0.02),
            because="the coverage is known to two figures",
            plausible=(130, 400),
            working="layer = coverage / 100 * copper + (1 - coverage / 100) * along",
            slips=(
                Slip(
                    "the part without copper",
                    lambda g, a: conduction.plane_conductivity(1 - g.coverage, g.copper, g.along),
                    "You exchanged the part with copper and the part without.",
                ),
            ),
        ),
        Number(
            "along_board",
            "What is the conductivity along the whole board?",
            points=2,
            unit="W/mK",
            expected=lambda g, a: conduction.in_plane_conductivity(
                [g.planes * g.foil, g.thickness - g.planes * g.foil], [a.layer, g.along]
            ),
            within=relative(0.02),
            because="the coverage is known to two figures",
            plausible=(1.1, 200),
            working="""
copper_thick = planes * foil / 1000   # mm
along_board = (copper_thick * layer + (thickness - copper_thick) * along) / thickness
""",
            hint="Weigh each material with its thickness, and divide by the whole thickness.",
            slips=(
                Slip(
                    "one layer",
                    lambda g, a: conduction.in_plane_conductivity([g.foil, g.thickness - g.foil], [a.layer, g.along]),
                    "You counted one copper layer. The board has more.",
                ),
                Slip(
                    "one behind the other",
                    lambda g, a: conduction.through_conductivity(
                        [g.planes * g.foil, g.thickness - g.planes * g.foil], [a.layer, g.along]
                    ),
                    "You set the layers one behind the other. Along the board they lie side by side and share the heat.",
                ),
                Slip(
                    "whole copper",
                    lambda g, a: conduction.in_plane_conductivity(
                        [g.planes * g.foil, g.thickness - g.planes * g.foil], [g.copper, g.along]
                    ),
                    "You counted the copper layers as whole. A part of each is etched away.",
                ),
            ),
        ),
        Number(
            "through_board",
            "What is the conductivity through the board, the copper layers counted as whole?",
            points=2,
            unit="W/mK",
            expected=lambda g, a: conduction.through_conductivity(
                [g.planes * g.foil, g.thickness - g.planes * g.foil], [g.copper, g.through]
            ),
            within=relative(0.005),
            because="copper changes it by a few per cent only, and that is the point",
            plausible=(0.1, 0.85),
            working="""
through_board = thickness / (copper_thick / copper + (thickness - copper_thick) / through)
""",
            slips=(
                Slip(
                    "side by side",
                    lambda g, a: conduction.in_plane_conductivity(
                        [g.planes * g.foil, g.thickness - g.planes * g.foil], [g.copper, g.through]
                    ),
                    "You set the layers side by side. Heat that goes through the board has to cross each of them in turn.",
                ),
                Slip(
                    "laminate alone",
                    lambda g, a: g.through,
                    "That is the laminate alone. It is near, but the copper layers leave less laminate to cross.",
                ),
            ),
        ),
        Number(
            "times_better",
            "How many times better does this board conduct along than through?",
            points=1,
            unit="1",
            expected=lambda g, a: a.along_board / a.through_board,
            within=relative(0.02),
            because="it carries the uncertainty of both",
            plausible=(2.6, 1000),
            working="times_better = along_board / through_board",
            slips=(
                Slip(
                    "upside down",
                    lambda g, a: a.through_board / a.along_board,
                    "The ratio is upside down: along over through.",
                ),
            ),
        ),
        Choice(
            "means",
            "You heat one package from above on a board with many copper layers. What follows?",
            points=1,
            options={
                "through": "heat goes straight down: the neighbours stay cold",
                "spreads": "heat goes sideways: the joints want a warm board",
                "nothing": "heat stays in the package: copper is too thin",
                "hotter": "heat goes sideways: the joints want hotter gas",
            },
            expected=lambda g, a: "spreads",
            slips={
                "through": "You have just found which way conducts better.",
                "nothing": "Compare the two conductivities you found.",
                "hotter": "All that goes sideways then comes through the package. Its top is at its rating first.",
            },
        ),
    ),
    cases=(
        Case(
            "along_board",
            35.8,
            0.05,
            "layers side by side, worked by hand: four whole planes of 35 µm",
            "computed",
            givens={"coverage": 100},
        ),
        Case(
            "along_board",
            18.4,
            0.05,
            "layers side by side, worked by hand: four half planes of 35 µm",
            "computed",
            givens={"coverage": 50},
        ),
        Case("through_board", 0.376, 0.0005, "layers in series, worked by hand: four planes of 35 µm", "computed"),
        Case(
            "layer",
            200.5,
            0.05,
            "rule of mixtures by hand: half copper of 400, half laminate of 1 W/mK",
            "computed",
            givens={"coverage": 50, "along": 1},
        ),
        Case(
            "times_better",
            50,
            0.05,
            "by hand: 20 over 0.4 W/mK",
            "computed",
            earlier={"along_board": 20, "through_board": 0.4},
        ),
    ),
    caution=HOT,
    floor=0.18,
)

STEEL_WALL = {
    "thickness": 40,
    "film": 500,
    "through": 63.9,
    "diffusivity": 18.8,
    "after": 480,
    "start_c": -20,
    "gas_c": 60,
}
"""The wall of the published case: Incropera and DeWitt, example 5.4."""

THICK_BOARD = Exercise(
    id="thick-board",
    number=14,
    title="Warm a thick board from one face",
    setup=(
        "A thick backplane board of {thickness} lies with one face under an insulating mat, so that no heat leaves there. "
        "Hot air of {gas_c} blows on the other face with a film coefficient of {film}. The board starts at {start_c} "
        "throughout. Conductivity through the board {through}, diffusivity {diffusivity}. Heat flows through the thickness "
        "only.\n\n"
        "With one face covered, the length L is the whole thickness. Biot number film × L / conductivity; Fourier number "
        "diffusivity × time / L². From a Fourier number of 0.2 one term is enough: at the covered face\n\n"
        "(T - T_air) / (T_start - T_air) = C × exp(-ζ² × Fourier number)\n\n"
        "and at the heated face the same times cos ζ, the angle in radians. From the table (Çengel, table 4-2), between "
        "its rows in a straight line:\n\n"
        "| Biot number | ζ | C |\n"
        "|---:|---:|---:|\n"
        "| 0.1 | 0.3111 | 1.0161 |\n"
        "| 0.2 | 0.4328 | 1.0311 |\n"
        "| 0.3 | 0.5218 | 1.0450 |\n"
        "| 0.5 | 0.6533 | 1.0701 |\n"
        "| 1 | 0.8603 | 1.1191 |"
    ),
    givens=dict(
        thickness=Pick(3.2, (2.4, 2.8, 3.2), "mm"),
        film=Quantity(40, "W/m²K", low=30, high=50, step=1),
        gas_c=Quantity(250, "°C", low=200, high=300, step=5),
        start_c=Quantity(25, "°C", low=18, high=30, step=1),
        after=Quantity(70, "s", low=30, high=90, step=5),
        through=Fixed(0.343, "W/mK"),
        diffusivity=Fixed(0.169, "mm²/s"),
    ),
    parts=(
        Number(
            "biot",
            "What is the Biot number?",
            points=1,
            unit="1",
            expected=lambda g, a: conduction.biot(g.film, g.thickness, g.through),
            within=relative(0.01),
            because="it is a product of printed numbers",
            plausible=(0.13, 0.75),
            working="biot = film * thickness / 1000 / through",
            slips=(
                Slip(
                    "half the thickness",
                    lambda g, a: conduction.biot(g.film, g.thickness / 2, g.through),
                    "You took half the thickness. That is for a board heated at both faces; here one is covered.",
                ),
                Slip(
                    "upside down",
                    lambda g, a: g.through / (g.film * g.thickness),
                    "The ratio is upside down: film times length, divided by conductivity.",
                ),
            ),
        ),
        Number(
            "fourier",
            "What is the Fourier number after {after}?",
            points=1,
            unit="1",
            expected=lambda g, a: conduction.fourier(g.diffusivity, g.after, g.thickness),
            within=relative(0.01),
            because="it is a product of printed numbers",
            plausible=(0.3, 4.3),
            working="fourier = diffusivity * after / thickness**2",
            slips=(
                Slip(
                    "half the thickness",
                    lambda g, a: conduction.fourier(g.diffusivity, g.after, g.thickness / 2),
                    "You took half the thickness. With one face covered, the length is the whole thickness.",
                ),
                Slip(
                    "not squared",
                    lambda g, a: 1e3 * g.diffusivity * g.after / g.thickness,
                    "The length stands squared in the Fourier number.",
                ),
            ),
        ),
        Number(
            "covered_c",
            "How hot is the covered face after {after}?",
            points=3,
            unit="°C",
            expected=lambda g, a: g.gas_c + (g.start_c - g.gas_c) * conduction.slab_one_term(a.biot, a.fourier),
            within=absolute(2),
            because="the table read in straight lines is good to about 1 % of the whole difference",
            plausible=(25, 400),
            working="""
if biot < 0.3:
    zeta = 0.4328 + (biot - 0.2) * (0.5218 - 0.4328) / (0.3 - 0.2)
    weight = 1.0311 + (biot - 0.2) * (1.0450 - 1.0311) / (0.3 - 0.2)      # C of the table
else:
    zeta = 0.5218 + (biot - 0.3) * (0.6533 - 0.5218) / (0.5 - 0.3)
    weight = 1.0450 + (biot - 0.3) * (1.0701 - 1.0450) / (0.5 - 0.3)
covered_c = gas_c + (start_c - gas_c) * weight * exp(-zeta**2 * fourier)
""",
            hint="What is left of the first difference is C × exp(-ζ² × Fourier number). The rest has been made up.",
            slips=(
                Slip(
                    "one temperature",
                    lambda g, a: g.gas_c + (g.start_c - g.gas_c) * exp(-a.biot * a.fourier),
                    "You took the board to be at one temperature throughout. Its Biot number is too large for that.",
                ),
                Slip(
                    "rise alone",
                    lambda g, a: (g.gas_c - g.start_c) * (1 - conduction.slab_one_term(a.biot, a.fourier)),
                    "That is how far the face has risen. It started from the start temperature.",
                ),
                Slip(
                    "share that is left",
                    lambda g, a: g.start_c + (g.gas_c - g.start_c) * conduction.slab_one_term(a.biot, a.fourier),
                    "You added what is left of the difference to the start. It is what still lacks to the air.",
                ),
                Slip(
                    "ζ not squared",
                    lambda g, a: (
                        g.gas_c
                        + (g.start_c - g.gas_c)
                        * conduction.slab_one_term(a.biot, a.fourier)
                        * exp((_root(a) ** 2 - _root(a)) * a.fourier)
                    ),
                    "ζ stands squared in the exponent.",
                ),
                Slip(
                    "row 0.3",
                    lambda g, a: g.gas_c + (g.start_c - g.gas_c) * 1.0450 * exp(-(0.5218**2) * a.fourier),
                    "You took the row of 0.3 as it stands. Read between the rows.",
                ),
            ),
        ),
        Number(
            "heated_c",
            "How hot is the heated face at that moment?",
            points=1,
            unit="°C",
            expected=lambda g, a: g.gas_c + (a.covered_c - g.gas_c) * _cosine_of_root(a),
            within=absolute(2),
            because="the table read in straight lines is good to about 1 % of the whole difference",
            plausible=(32, 400),
            working="heated_c = gas_c + (covered_c - gas_c) * cos(zeta)",
            slips=(
                Slip(
                    "cosine in degrees",
                    lambda g, a: a.covered_c,
                    "Your two faces are equally hot. If you took the cosine: ζ is in radians, not in degrees.",
                ),
                Slip(
                    "divided by the cosine",
                    lambda g, a: g.gas_c + (a.covered_c - g.gas_c) / _cosine_of_root(a),
                    "Your heated face is colder than the covered one. Less is missing where the air blows.",
                ),
            ),
        ),
        Choice(
            "lumped",
            "Would one temperature for the whole board have been good enough, by the rule of a Biot number of 0.1 or less?",
            points=1,
            options={"yes": "yes: its two faces are near enough", "no": "no: its two faces differ too much"},
            expected=lambda g, a: "yes" if a.biot <= 0.1 else "no",
            slips={"yes": "Compare your Biot number with 0.1, and your two faces with each other."},
        ),
        Choice(
            "act",
            "Parts on the covered face must not pass 125 °C. At the moment asked about, what do you do?",
            points=1,
            options={
                "mat": "take the mat off, so that the covered face is even",
                "on": "go on, and read both faces again at the next step",
                "off": "take the air off, as the covered face is too hot",
            },
            expected=lambda g, a: "on" if a.covered_c <= 125 else "off",
            slips={
                "on": "Compare your covered face with 125 °C.",
                "off": "Compare your covered face with 125 °C: it is not there yet.",
                "mat": "The mat is not what heats the face.",
            },
        ),
    ),
    cases=(
        Case(
            "biot",
            0.313,
            0.0005,
            "Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, example 5.4: steel wall of 40 mm",
            "published",
            givens=STEEL_WALL,
        ),
        Case(
            "fourier",
            5.64,
            0.005,
            "Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, example 5.4: after 480 s",
            "published",
            givens=STEEL_WALL,
        ),
        Case(
            "covered_c",
            42.9,
            0.2,
            "Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, example 5.4: insulated face",
            "published",
            givens=STEEL_WALL,
            note="the book reads its root from a table",
        ),
        Case(
            "heated_c",
            45.2,
            0.25,
            "Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, example 5.4: wetted face",
            "published",
            givens=STEEL_WALL,
            note="the book reads its root from a table",
        ),
    ),
    caution=HOT,
    sound=lambda drawn: abs(_covered_c(drawn) - 125) > 5,
    floor=0.25,
)


def _root(a):
    return float(conduction.slab_eigenvalue(a.biot))


def _cosine_of_root(a):
    return conduction.slab_one_term(a.biot, 1.0, 1.0) / conduction.slab_one_term(a.biot, 1.0)


def _covered_c(drawn):
    g = THICK_BOARD.values(drawn)
    number, waited = (
        conduction.biot(g.film, g.thickness, g.through),
        conduction.fourier(g.diffusivity, g.after, g.thickness),
    )
    return g.gas_c + (g.start_c - g.gas_c) * conduction.slab_one_term(number, waited)


BOW_AND_TWIST = Exercise(
    id="bow-and-twist",
    number=19,
    title="Say whether the board came out flat",
    setup=(
        "After rework, and cold, a board of {length} × {width} lies on a flat table. In one test it curves along its long "
        "side, all four corners on the table, and its middle stands {middle} up. In another, with one corner held down "
        "and two more touching, the free corner stands {corner} up.\n\n"
        "Bow in percent: 100 × rise / length of the side that curves. Twist in percent: 100 × rise / (2 × diagonal); the 2 "
        "belongs to the method, because one corner is held (IPC-TM-650, method 2.4.22C). The method is for bare "
        "boards, as is the limit of 0.75 % for boards with surface-mounted parts (IPC-A-610F, 10.2.7); for an assembly the "
        "clause asks for no damage and a fit in its housing. This bench takes 0.75 % as a warning on assemblies too."
    ),
    givens=dict(
        length=Quantity(200, "mm", low=160, high=320, step=10),
        width=Quantity(150, "mm", low=100, high=150, step=10),
        middle=Quantity(1.1, "mm", low=0.8, high=2.6, step=0.1),
        corner=Quantity(2.8, "mm", low=1.6, high=6.0, step=0.1),
    ),
    drawing=lambda g: stack.bow_and_twist(
        g.length,
        g.width,
        flatness.bow_percent(g.middle, g.length),
        flatness.twist_percent(g.corner, g.length, g.width),
        told=False,
    ),
    parts=(
        Number(
            "bow",
            "What is the bow?",
            points=1,
            unit="%",
            expected=lambda g, a: flatness.bow_percent(g.middle, g.length) / 100,
            within=absolute(0.01),
            because="rises are read to a tenth of a millimetre and judged to a hundredth of a percent",
            plausible=(0.15, 2.6),
            working="bow = 100 * middle / length",
            slips=(
                Slip(
                    "over the width",
                    lambda g, a: flatness.bow_percent(g.middle, g.width) / 100,
                    "You divided by the short side. The board curves along its long side.",
                ),
                Slip(
                    "factor of the twist",
                    lambda g, a: flatness.bow_percent(g.middle, g.length) / 200,
                    "You put in the 2 that belongs to the twist. For the bow no corner is held down.",
                ),
                Slip(
                    "over the diagonal",
                    lambda g, a: g.middle / (g.length**2 + g.width**2) ** 0.5,
                    "You divided by the diagonal. That belongs to the twist.",
                ),
            ),
        ),
        Number(
            "diagonal",
            "How long is the diagonal?",
            points=1,
            unit="mm",
            expected=lambda g, a: (g.length**2 + g.width**2) ** 0.5,
            within=relative(0.005),
            because="the sides are given to a millimetre",
            plausible=(110, 1000),
            working="diagonal = sqrt(length**2 + width**2)",
            slips=(
                Slip(
                    "sides added",
                    lambda g, a: g.length + g.width,
                    "You added the sides. The diagonal is the short way across.",
                ),
                Slip(
                    "root of the product",
                    lambda g, a: (g.length * g.width) ** 0.5,
                    "You multiplied the sides. Add their squares, then take the root.",
                ),
            ),
        ),
        Number(
            "twist",
            "What is the twist?",
            points=2,
            unit="%",
            expected=lambda g, a: g.corner / (2 * a.diagonal),
            within=absolute(0.01),
            because="rises are read to a tenth of a millimetre and judged to a hundredth of a percent",
            plausible=(0.14, 2.5),
            working="twist = 100 * corner / (2 * diagonal)",
            slips=(
                Slip(
                    "factor 2 forgotten",
                    lambda g, a: g.corner / a.diagonal,
                    "Twice too much: with one corner held down, the free one shows the twist twice.",
                ),
                Slip(
                    "over the length",
                    lambda g, a: g.corner / (2 * g.length),
                    "You divided by the side. The twist goes by the diagonal.",
                ),
            ),
        ),
        Number(
            "highest",
            "How far may the free corner stand up at most?",
            points=1,
            unit="mm",
            expected=lambda g, a: 2 * a.diagonal * 0.0075,
            within=absolute(0.05),
            because="rises are read to a tenth of a millimetre",
            plausible=(1.7, 20),
            working="highest = 2 * diagonal * 0.75 / 100",
            slips=(
                Slip(
                    "factor 2 forgotten",
                    lambda g, a: a.diagonal * 0.0075,
                    "Half of it: the 2 of the method also stands here.",
                ),
                Slip(
                    "bow",
                    lambda g, a: flatness.largest_bow(0.75, g.length),
                    "That is how far the middle may stand up: the bow. The question is about the corner.",
                ),
            ),
        ),
        Choice(
            "flat",
            "Which of the two warnings, if any, does the board give?",
            points=1,
            options={
                "both": "both: bow and twist are above 0.75 %",
                "bow": "one: the bow alone is above 0.75 %",
                "twist": "one: the twist alone is above 0.75 %",
                "none": "none: both are at 0.75 % or below",
            },
            expected=lambda g, a: {(1, 1): "both", (1, 0): "bow", (0, 1): "twist", (0, 0): "none"}[
                int(a.bow > 0.0075), int(a.twist > 0.0075)
            ],
            slips=dict.fromkeys(
                ("both", "bow", "twist", "none"), "Compare your bow and your twist, each for itself, with 0.75 %."
            ),
        ),
        Choice(
            "act",
            "What do you do with this board?",
            points=1,
            options={
                "bend": "bend it back by hand while it is still cold",
                "fit": "go on: try it in its housing without any force",
                "joints": "stop: look at corner joints, then at the fit",
                "screw": "fit it, and let the screws pull it flat again",
            },
            expected=lambda g, a: "joints" if max(a.bow, a.twist) > 0.0075 else "fit",
            slips={
                "fit": "A warning stands: look for damage first. Joints at the corners of large packages suffer most.",
                "joints": "No warning stands. Fit without force is what is left to see.",
                "bend": "Bending a board with parts cracks joints and ceramic capacitors.",
                "screw": "Screws that flatten a bent board strain its joints from then on.",
            },
        ),
    ),
    cases=(
        Case("twist", 0.56, 0.005, "IPC-TM-650, method 2.4.22C, worked by hand: 2.8 mm over 2 × 250 mm", "computed"),
        Case("highest", 3.75, 0.005, "IPC-TM-650, method 2.4.22C and 0.75 % of IPC-A-610F, worked by hand", "computed"),
        Case(
            "bow",
            0.75,
            0.005,
            "IPC-TM-650 2.4.22 (second-hand) by hand: 1.5 mm over 200 mm",
            "computed",
            givens={"length": 200, "middle": 1.5},
        ),
        Case("diagonal", 50, 0.005, "Pythagoras: 30 and 40 mm", "computed", givens={"length": 40, "width": 30}),
    ),
    sound=lambda drawn: (
        abs(drawn["middle"] / drawn["length"] - 0.0075) > 2e-4
        and abs(drawn["corner"] / 2 / (drawn["length"] ** 2 + drawn["width"] ** 2) ** 0.5 - 0.0075) > 2e-4
    ),
    caution=READING,
    floor=0.20,
)
