"""Heat on its way to the board: set point, glow, hot gas, the heat that melts, and the controller."""

from math import pi

from graders.questions import Case, Choice, Exercise, Fixed, Number, Pick, Quantity, Slip, absolute, relative
from graders.sheets.profile.cautions import HOT
from workbook.bench.profile import alloys, control, films

SETPOINT = Exercise(
    id="set-point-and-joint",
    number=5,
    title="Do not take the set point for the joint",
    setup=(
        "On a board at steady state, with {ambient_c} in the room, a bottom heater set to {set_point_c} brought the board's "
        "top face at a joint to {joint_c}. You want a preheat of {wanted_c} there, before the nozzle comes down. Take the "
        "rise above the room to be in proportion to the set point's rise above the room: good enough for a step of a "
        "few tens of kelvin, and not for one up to melting, because a hotter board loses more and glows more."
    ),
    givens=dict(
        ambient_c=Quantity(25, "°C", low=18, high=30, step=1),
        set_point_c=Quantity(180, "°C", low=160, high=200, step=5),
        joint_c=Quantity(115, "°C", low=105, high=125, step=5),
        wanted_c=Quantity(150, "°C", low=145, high=160, step=1),
    ),
    parts=(
        Number(
            "share",
            "Which share of the set point's rise reaches the joint?",
            points=1,
            unit="1",
            expected=lambda g, a: (g.joint_c - g.ambient_c) / (g.set_point_c - g.ambient_c),
            within=absolute(0.005),
            because="the temperatures are given to a degree",
            plausible=(0.2, 1),
            working="share = (joint_c - ambient_c) / (set_point_c - ambient_c)",
            slips=(
                Slip(
                    "room left in",
                    lambda g, a: g.joint_c / g.set_point_c,
                    "You divided the temperatures. What counts is the rise of each above the room.",
                ),
                Slip(
                    "upside down",
                    lambda g, a: (g.set_point_c - g.ambient_c) / (g.joint_c - g.ambient_c),
                    "The ratio is upside down: the joint gets less than the set point.",
                ),
            ),
        ),
        Number(
            "new_set_point_c",
            "Which set point brings the joint to {wanted_c}?",
            points=2,
            unit="°C",
            expected=lambda g, a: g.ambient_c + (g.wanted_c - g.ambient_c) / a.share,
            within=absolute(1.2),
            because="set points go in whole degrees",
            plausible=(100, 600),
            working="new_set_point_c = ambient_c + (wanted_c - ambient_c) / share",
            slips=(
                Slip(
                    "set point is joint",
                    lambda g, a: g.wanted_c,
                    "That is the temperature wanted at the board. The board stays well below the set point.",
                ),
                Slip(
                    "same offset",
                    lambda g, a: g.set_point_c + g.wanted_c - g.joint_c,
                    "You raised the set point by what the joint lacks. Only a share of each degree arrives.",
                ),
                Slip(
                    "room left in",
                    lambda g, a: g.wanted_c * g.set_point_c / g.joint_c,
                    "You scaled the temperatures themselves. Scale the rise above the room, then add the room.",
                ),
            ),
        ),
        Choice(
            "plan",
            "What do you do with the number you found?",
            points=1,
            options={
                "clock": "set it, and lower the nozzle after four minutes",
                "watch": "set it, and go by a thermocouple on the board",
                "display": "set it, and go by the display of the plate",
                "scale": "scale it on to 235 °C and leave the nozzle up",
            },
            expected=lambda g, a: "watch",
            slips={
                "clock": "The share was measured on one board. Another board, or a draught, is later or sooner.",
                "display": "The display shows the plate. Only a share of its rise reaches the board.",
                "scale": "A straight line does not reach so far, and a whole board at 235 °C melts or damages everything on it.",
            },
        ),
    ),
    caution=HOT,
    cases=(
        Case("new_set_point_c", 240, 0.5, "proportional rise, worked by hand: 25 + 125 × 155 / 90", "computed"),
        Case(
            "share",
            0.6,
            0.0005,
            "by hand: 90 of 150 K",
            "computed",
            givens={"ambient_c": 20, "set_point_c": 170, "joint_c": 110},
        ),
    ),
    sound=lambda drawn: drawn["wanted_c"] - drawn["joint_c"] >= 28 and _room_counts(drawn),
    floor=0.07,
)


def _room_counts(drawn):
    """Whether leaving the room in would be seen."""
    share = (drawn["joint_c"] - drawn["ambient_c"]) / (drawn["set_point_c"] - drawn["ambient_c"])
    return abs(drawn["joint_c"] / drawn["set_point_c"] - share) > 0.02


GLOW = Exercise(
    id="glow-of-the-plate",
    number=15,
    title="Find what the plate's glow brings to the board",
    setup=(
        "A plate at {plate_c} faces a board at {board_c}, so near and so wide that each sees little but the other. The "
        "emissivity that counts between them is {emissivity}. Heat by radiation for each square metre is emissivity × σ × "
        "(T_plate⁴ - T_board⁴), with temperatures in kelvin (°C + 273.15) and σ = 5.670 × 10⁻⁸ W/m²K⁴. The radiation "
        "coefficient is this heat divided by the difference of the temperatures. The face of the board that sees the plate "
        "is {length} × {width}."
    ),
    givens=dict(
        plate_c=Quantity(300, "°C", low=260, high=400, step=10),
        board_c=Quantity(150, "°C", low=100, high=200, step=10),
        emissivity=Quantity(0.9, "1", low=0.7, high=0.9, step=0.05),
        length=Quantity(120, "mm", low=100, high=200, step=10),
        width=Quantity(90, "mm", low=80, high=150, step=10),
        later_c=Quantity(220, "°C", low=210, high=235, step=5),
    ),
    parts=(
        Number(
            "flux",
            "How much heat goes from plate to board by radiation, for each square metre?",
            points=2,
            unit="kW/m²",
            expected=lambda g, a: films.radiation_flux(g.emissivity, g.plate_c, g.board_c),
            within=relative(0.02),
            because="the emissivity is not known better",
            plausible=(0.81, 15),
            working="flux = emissivity * 5.670e-8 * ((plate_c + 273.15)**4 - (board_c + 273.15)**4) / 1000",
            slips=(
                Slip(
                    "°C in the fourth power",
                    lambda g, a: g.emissivity * 5.670e-8 * (g.plate_c**4 - g.board_c**4),
                    "You put °C into the fourth power. Radiation needs kelvin.",
                ),
                Slip(
                    "no emissivity",
                    lambda g, a: films.radiation_flux(1.0, g.plate_c, g.board_c),
                    "You left the emissivity out: real faces give and take a share only.",
                ),
                Slip(
                    "plate alone",
                    lambda g, a: films.radiation_flux(g.emissivity, g.plate_c, -273.149),
                    "You counted what the plate sends out. The board sends some back.",
                ),
                Slip(
                    "difference to the fourth power",
                    lambda g, a: g.emissivity * 5.670e-8 * (g.plate_c - g.board_c) ** 4,
                    "You raised the difference to the fourth power. First the fourth powers, then the difference.",
                ),
            ),
        ),
        Number(
            "coefficient",
            "What is the radiation coefficient?",
            points=1,
            unit="W/m²K",
            expected=lambda g, a: a.flux / (g.plate_c - g.board_c),
            within=relative(0.03),
            because="the emissivity is not known better",
            plausible=(2.3, 200),
            working="coefficient = flux * 1000 / (plate_c - board_c)",
            slips=(
                Slip(
                    "over the plate's temperature",
                    lambda g, a: a.flux / g.plate_c,
                    "You divided by the plate's temperature. Divide by the difference between plate and board.",
                ),
                Slip(
                    "multiplied",
                    lambda g, a: a.flux * (g.plate_c - g.board_c),
                    "You multiplied. Heat for each square metre, divided by kelvin, is a film coefficient.",
                ),
                Slip(
                    "over the plate's kelvin",
                    lambda g, a: a.flux / (g.plate_c + 273.15),
                    "You divided by the plate's temperature in kelvin. Divide by the difference between plate and board.",
                ),
            ),
        ),
        Number(
            "to_board",
            "How much heat does the whole face take up?",
            points=1,
            unit="W",
            expected=lambda g, a: a.flux * g.length * g.width,
            within=relative(0.03),
            because="the emissivity is not known better",
            plausible=(1.8, 380),
            working="to_board = flux * 1000 * length / 1000 * width / 1000",
            slips=(
                Slip(
                    "both faces",
                    lambda g, a: 2 * a.flux * g.length * g.width,
                    "You counted both faces. One of them sees the plate.",
                ),
                Slip(
                    "emissivity twice",
                    lambda g, a: a.flux * g.length * g.width * g.emissivity,
                    "You put in the emissivity once more. The flux has it already.",
                ),
            ),
        ),
        Number(
            "share_later",
            "Later the board is at {later_c}, the plate as before. Which share of the first heat does it still take up?",
            points=2,
            unit="1",
            expected=lambda g, a: films.radiation_flux(g.emissivity, g.plate_c, g.later_c) / a.flux,
            within=absolute(0.015),
            because="it carries the uncertainty of the first heat",
            plausible=(0.1, 1),
            working="""
later = emissivity * 5.670e-8 * ((plate_c + 273.15)**4 - (later_c + 273.15)**4) / 1000
share_later = later / flux
""",
            slips=(
                Slip(
                    "in proportion to the difference",
                    lambda g, a: (g.plate_c - g.later_c) / (g.plate_c - g.board_c),
                    "You took radiation to go with the difference of temperatures. It goes with the difference of their "
                    "fourth powers.",
                ),
                Slip(
                    "what is lost",
                    lambda g, a: 1 - films.radiation_flux(g.emissivity, g.plate_c, g.later_c) / a.flux,
                    "That is the share that is gone. The question asks for what is still taken up.",
                ),
                Slip(
                    "degrees Celsius",
                    lambda g, a: (g.plate_c**4 - g.later_c**4) / (g.plate_c**4 - g.board_c**4),
                    "You took fourth powers of °C. Radiation goes by kelvin.",
                ),
            ),
        ),
        Choice(
            "bare",
            "A shiny metal can on the board has an emissivity near 0.15. A heat camera, set for black plastic (0.95), looks at it from "
            "above, out of a cool room. What do you expect, compared with black plastic on the same board?",
            points=1,
            options={
                "more": "it takes up more, and a heat camera reads it right",
                "less": "it takes up less, and a heat camera reads it cold",
                "same": "it takes up as much, as it sees the same plate",
                "hot": "it takes up less, and a heat camera reads it hot",
            },
            expected=lambda g, a: "less",
            slips={
                "more": "Shiny metal throws the glow back.",
                "same": "It sees the same plate, but how much it takes up goes with its emissivity.",
                "hot": "The camera takes it for a black face. What does a face that glows less look like to it?",
            },
        ),
    ),
    cases=(
        Case("flux", 3.87, 0.005, "Stefan-Boltzmann law, worked by hand: 300 to 150 °C, emissivity 0.9", "computed"),
        Case(
            "coefficient", 25.81, 0.005, "formula of Incropera and DeWitt, example 5.3, at 300 and 150 °C", "computed"
        ),
        Case(
            "coefficient",
            15.0,
            0.05,
            "Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, example 5.3: oven and hot panel",
            "published",
            givens={"plate_c": 175, "board_c": 150, "emissivity": 0.8},
        ),
        Case(
            "coefficient",
            8.8,
            0.05,
            "Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, example 5.3: hot panel in a cool room",
            "published",
            givens={"plate_c": 150, "board_c": 25, "emissivity": 0.8},
        ),
        Case(
            "to_board",
            816.8,
            0.05,
            "Documentation of the library ht, q_rad: emissivity 0.85, from 400 to 305 K, one square metre",
            "published",
            givens={"plate_c": 126.85, "board_c": 31.85, "emissivity": 0.85, "length": 1000, "width": 1000},
        ),
        Case(
            "share_later",
            0.678,
            0.0005,
            "Stefan-Boltzmann law by hand: (5⁴ - 4⁴) over (5⁴ - 3⁴), 500 K to 400 and to 300 K",
            "computed",
            givens={"plate_c": 226.85, "board_c": 26.85, "later_c": 126.85},
        ),
    ),
    caution=HOT,
    floor=0.10,
)

JET = Exercise(
    id="hot-gas-jet",
    number=16,
    title="Find what a jet of hot gas brings to a package",
    setup=(
        "A round nozzle of {bore} bore blows air of 250 °C at {speed} on a package, from {distance} above. Averaged over a "
        "disc of radius {radius} around the axis, larger in area than the package (Martin's formula, as in Incropera and DeWitt, chapter 7):\n\n"
        "Nu = G × 2 × √(Re × (1 + 0.005 Re^0.55)) × Pr^0.42, with "
        "G = 2 b (1 - 2.2 b) / (1 + 0.2 (H/D - 6) b) and b = D / (2 r)\n\n"
        "D is the bore, H the distance, r the radius of the disc. Reynolds number Re = speed × bore / viscosity; film "
        "coefficient = Nu × conductivity of air / bore. Air at 250 °C: kinematic viscosity {viscosity}, conductivity "
        "{conducts}, Pr {prandtl}. The formula holds for Re from 2000 and a disc of 2.5 to 7.9 bores radius. The package is "
        "{side} square and its top is at {package_c}. The mean over the larger disc is a lower bound for the package, which "
        "stands where the jet is strongest."
    ),
    givens=dict(
        bore=Pick(8, (6, 8), "mm"),
        speed=Quantity(21, "m/s", low=16, high=30, step=1),
        distance=Quantity(24, "mm", low=20, high=40, step=2),
        radius=Quantity(20, "mm", low=20, high=30, step=1),
        viscosity=Fixed(41.5, "mm²/s"),
        conducts=Fixed(0.0414, "W/mK"),
        prandtl=Fixed(0.699),
        side=Quantity(32, "mm", low=25, high=40, step=1),
        package_c=Quantity(150, "°C", low=100, high=200, step=10),
    ),
    parts=(
        Number(
            "reynolds",
            "What is the Reynolds number of the jet?",
            points=1,
            unit="1",
            expected=lambda g, a: films.jet_reynolds(g.bore, g.speed, 250),
            within=relative(0.02),
            because="the speed is known to two figures",
            plausible=(1400, 9300),
            working="reynolds = speed * bore / 1000 / (viscosity / 1e6)",
            slips=(
                Slip(
                    "radius of the nozzle",
                    lambda g, a: films.jet_reynolds(g.bore, g.speed, 250) / 2,
                    "You took the radius of the nozzle. The Reynolds number goes by the bore.",
                ),
                Slip(
                    "distance for bore",
                    lambda g, a: films.jet_reynolds(g.distance, g.speed, 250),
                    "You took the distance. The Reynolds number goes by the bore.",
                ),
            ),
        ),
        Number(
            "nusselt",
            "What is the Nusselt number, averaged over the disc?",
            points=2,
            unit="1",
            expected=lambda g, a: films.jet_nusselt(a.reynolds, 0.699, g.distance / g.bore, g.radius / g.bore),
            within=relative(0.02),
            because="it carries the uncertainty of the Reynolds number",
            plausible=(9, 160),
            working="""
b = bore / (2 * radius)
G = 2 * b * (1 - 2.2 * b) / (1 + 0.2 * (distance / bore - 6) * b)
nusselt = G * 2 * sqrt(reynolds * (1 + 0.005 * reynolds**0.55)) * prandtl**0.42
""",
            hint="Find b, then G, then the root, then Pr^0.42, one line each.",
            slips=(
                Slip(
                    "without Pr",
                    lambda g, a: films.jet_nusselt(a.reynolds, 1.0, g.distance / g.bore, g.radius / g.bore),
                    "You left out the last factor, Pr^0.42.",
                ),
                Slip(
                    "the 2 before the root",
                    lambda g, a: films.jet_nusselt(a.reynolds, 0.699, g.distance / g.bore, g.radius / g.bore) / 2,
                    "Half of it: the 2 before the root is missing.",
                ),
            ),
        ),
        Number(
            "jet_film",
            "What is the film coefficient?",
            points=1,
            unit="W/m²K",
            expected=lambda g, a: a.nusselt * g.conducts / g.bore,
            within=relative(0.03),
            because="the formula itself is good to about a tenth; the calculation is better",
            plausible=(37, 2000),
            working="jet_film = nusselt * conducts / (bore / 1000)",
            slips=(
                Slip(
                    "over the disc",
                    lambda g, a: a.nusselt * g.conducts / g.radius,
                    "You divided by the radius of the disc. This Nusselt number belongs to the bore.",
                ),
                Slip(
                    "half the bore",
                    lambda g, a: a.nusselt * g.conducts / (g.bore / 2),
                    "You divided by half the bore. This Nusselt number belongs to the whole bore.",
                ),
                Slip(
                    "across the disc",
                    lambda g, a: a.nusselt * g.conducts / (2 * g.radius),
                    "You divided by the width of the disc. This Nusselt number belongs to the bore.",
                ),
            ),
        ),
        Number(
            "taken_up",
            "Taking this film coefficient all over its top: how much heat does the package take up at this moment?",
            points=1,
            unit="W",
            expected=lambda g, a: a.jet_film * g.side**2 * (250 - g.package_c),
            within=relative(0.03),
            because="it carries the uncertainty of the film coefficient",
            plausible=(0.79, 160),
            working="taken_up = jet_film * (side / 1000)**2 * (250 - package_c)",
            slips=(
                Slip(
                    "gas alone",
                    lambda g, a: a.jet_film * g.side**2 * 250,
                    "You took the gas temperature. What drives the heat is how much hotter the gas is than the package.",
                ),
                Slip(
                    "for a square metre",
                    lambda g, a: a.jet_film * (250 - g.package_c),
                    "That is the heat for a whole square metre. Multiply by the area of the package.",
                ),
                Slip(
                    "area of the disc",
                    lambda g, a: a.jet_film * pi * g.radius**2 * (250 - g.package_c),
                    "You took the area of the disc. The heat goes into the top of the package.",
                ),
            ),
        ),
        Number(
            "flow",
            "Your station shows the flow of gas, not its speed. Which flow through the bore is this speed (at 250 °C)?",
            points=1,
            unit="L/min",
            expected=lambda g, a: g.speed * 3.14159265 * g.bore**2 / 4,
            within=relative(0.02),
            because="the speed is known to two figures",
            plausible=(16, 150),
            working="flow = speed * 3.1416 * (bore / 1000)**2 / 4 * 1000 * 60",
            hint="Speed times the area of the bore; 1 m³ is 1000 L, 1 min is 60 s.",
            slips=(
                Slip(
                    "diameter as radius",
                    lambda g, a: g.speed * 3.14159265 * g.bore**2,
                    "Four times too much: you put the bore in place of the radius.",
                ),
                Slip(
                    "a second for a minute",
                    lambda g, a: g.speed * 3.14159265 * g.bore**2 / 4 / 60,
                    "That is the flow in a second. The display counts litres in a minute.",
                ),
            ),
        ),
        Choice(
            "too_slow",
            "The joints lag and the package top nears its rating. What do you try first?",
            points=1,
            options={
                "flow": "more flow through the nozzle, plate as it is",
                "gas": "hotter gas through the nozzle, flow as it is",
                "plate": "more heat from the plate, nozzle as it is",
                "near": "the nozzle nearer to the top, flow as it is",
            },
            expected=lambda g, a: "plate",
            slips={
                "flow": "More flow gives more watts at the top face, and that is where the rating is.",
                "gas": "Hotter gas gives more watts at the top face, and that is where the rating is.",
                "near": "A nearer nozzle gives more watts at the top face, and blows parts away.",
            },
        ),
    ),
    cases=(
        Case(
            "reynolds",
            3858,
            5,
            "Martin's formula with air of CoolProp: 8 mm, 20 m/s, 250 °C",
            "computed",
            givens={"speed": 20},
            note="a difference of 2 comes from the last digit of the viscosity",
        ),
        Case(
            "nusselt",
            33.0,
            0.05,
            "Martin's formula worked by hand: 3 bores away, disc of 2.5 bores",
            "computed",
            givens={"speed": 20},
        ),
        Case(
            "jet_film",
            171,
            0.5,
            "Martin's formula worked by hand: 8 mm, 20 m/s, 250 °C",
            "computed",
            givens={"speed": 20},
        ),
        Case(
            "taken_up",
            4,
            0.005,
            "Newton's law of cooling by hand: 100 W/m²K, 20 mm × 20 mm, 100 K",
            "computed",
            givens={"side": 20, "package_c": 150},
            earlier={"jet_film": 100},
        ),
        Case(
            "flow",
            47.1,
            0.05,
            "by hand: 10 m/s through a bore of 10 mm, 78.5 mm²",
            "computed",
            givens={"bore": 10, "speed": 10, "radius": 30},
        ),
    ),
    caution=HOT,
    sound=lambda drawn: 3.1416 * drawn["radius"] ** 2 > drawn["side"] ** 2,
    floor=0.10,
)

HEAT_TO_MELT = Exercise(
    id="heat-to-melt",
    number=17,
    title="Find the heat that melts the balls",
    setup=(
        "Under a package sits a full square array of {count} × {count} solder balls of {ball} diameter. Solder: density "
        "{density}, specific heat {specific_heat}, and {latent} to melt it without warming it. The balls "
        "start at {start_c} and begin to melt at 217 °C. The heat into the balls is not read anywhere. But a thermocouple in "
        "the board under them stays {hotter} above 217 °C while they melt, and {conductance} passes from board to balls for "
        "each kelvin (both invented): heat = conductance × kelvin."
    ),
    givens=dict(
        count=Quantity(31, "1", low=15, high=35, step=1),
        ball=Quantity(0.6, "mm", low=0.4, high=0.76, step=0.02),
        density=Fixed(7380, "kg/m³"),
        specific_heat=Fixed(220, "J/kgK"),
        latent=Fixed(61, "J/g"),
        start_c=Quantity(25, "°C", low=18, high=30, step=1),
        conductance=Quantity(6, "W/K", low=4, high=8, step=0.5),
        hotter=Quantity(1.5, "K", low=0.8, high=3, step=0.1),
    ),
    parts=(
        Number(
            "solder",
            "What is the mass of all the balls?",
            points=2,
            unit="g",
            expected=lambda g, a: g.count**2 * g.density * 3.14159265 * g.ball**3 / 6,
            within=relative(0.02),
            because="a ball's diameter is known to two figures; the calculation is better",
            plausible=(0.034, 3.4),
            working="solder = count**2 * density * 1000 * pi / 6 * (ball / 1000)**3",
            hint="A ball has volume π d³/6.",
            slips=(
                Slip(
                    "diameter for radius",
                    lambda g, a: g.count**2 * g.density * 4 / 3 * 3.14159265 * g.ball**3,
                    "Eight times too much: you put the diameter where the radius belongs.",
                ),
                Slip(
                    "one row",
                    lambda g, a: g.count * g.density * 3.14159265 * g.ball**3 / 6,
                    "You counted one row. The array is square.",
                ),
                Slip(
                    "cubes",
                    lambda g, a: g.count**2 * g.density * g.ball**3,
                    "You took cubes for balls. A ball has volume π d³/6.",
                ),
            ),
        ),
        Number(
            "to_warm",
            "How much heat brings them from {start_c} to 217 °C?",
            points=1,
            unit="J",
            expected=lambda g, a: a.solder * g.specific_heat * (217 - g.start_c),
            within=relative(0.02),
            because="it carries the uncertainty of the mass",
            plausible=(0.36, 580),
            working="to_warm = solder / 1000 * specific_heat * (217 - start_c)",
            slips=(
                Slip(
                    "from zero",
                    lambda g, a: a.solder * g.specific_heat * 217,
                    "You warmed them from 0 °C. They start from the room.",
                ),
            ),
        ),
        Number(
            "to_melt",
            "How much more heat melts them?",
            points=1,
            unit="J",
            expected=lambda g, a: alloys.melting_heat(a.solder, g.latent),
            within=relative(0.02),
            because="it carries the uncertainty of the mass",
            plausible=(0.53, 2000),
            working="to_melt = solder * latent",
            slips=(
                Slip(
                    "warming counted in",
                    lambda g, a: alloys.melting_heat(a.solder, g.latent) + a.to_warm,
                    "You counted the warming in. The question asks for the melting alone.",
                ),
            ),
        ),
        Number(
            "held_up",
            "For how long does melting hold the balls near 217 °C?",
            points=1,
            unit="s",
            expected=lambda g, a: a.to_melt / _heat(g),
            within=relative(0.03),
            because="it carries the uncertainty of the mass",
            plausible=(0.1, 190),
            working="""
heat = conductance * hotter   # W
held_up = to_melt / heat
""",
            slips=(
                Slip(
                    "warming counted in",
                    lambda g, a: (a.to_melt + a.to_warm) / _heat(g),
                    "You counted the warming in. While it melts, the heat goes into melting alone.",
                ),
                Slip(
                    "upside down",
                    lambda g, a: _heat(g) / a.to_melt,
                    "The division is upside down: joules divided by joules a second gives seconds.",
                ),
            ),
        ),
        Choice(
            "in_the_log",
            "How does that show in the log of a thermocouple at a ball?",
            points=1,
            options={
                "jump": "the rise gets steeper until all is liquid",
                "flat": "the rise gets flatter until all is liquid",
                "nothing": "the rise goes on as before, only hotter",
                "drop": "the reading falls until all is liquid",
            },
            expected=lambda g, a: "flat",
            slips={
                "jump": "Melting takes heat up. What takes heat up cannot run ahead.",
                "nothing": "You have just found how much heat it needs.",
                "drop": "Heat still comes in. It goes into melting; nothing gets colder.",
            },
        ),
        Choice(
            "lift_off",
            "The corner's log has just gone flat at 217 °C. When may the nozzle go?",
            points=1,
            options={
                "now": "now: a flat line means that the corner is molten",
                "after": "after it has risen again and held its time above",
                "nudge": "when a hard push moves the package on its pads",
                "cool": "now, and blow cold air to keep the top safe",
            },
            expected=lambda g, a: "after",
            slips={
                "now": "Flat means that the corner is melting, not that it has melted.",
                "nudge": "A hard push bridges joints. A light one shows that enough are molten, not that the last corner is.",
                "cool": "The corner is half molten: it would freeze as a bad joint.",
            },
        ),
    ),
    cases=(
        Case(
            "to_melt",
            52,
            0.5,
            "worked by hand: 0.80 g at 65 J/g",
            "computed",
            givens={"latent": 65},
            note="31 × 31 balls of 0.6 mm weigh 0.802 g",
        ),
        Case(
            "solder",
            0.334,
            0.0005,
            "by hand: 400 balls of 0.8347 mg, 0.6 mm across, 7380 kg/m³",
            "computed",
            givens={"count": 20},
        ),
        Case(
            "to_warm",
            39.6,
            0.05,
            "by hand: 1 g × 220 J/kgK × 180 K",
            "computed",
            givens={"specific_heat": 220, "start_c": 37},
            earlier={"solder": 1.0},
        ),
        Case(
            "held_up",
            10,
            0.05,
            "by hand: 60 J at 6 W",
            "computed",
            givens={"conductance": 3, "hotter": 2},
            earlier={"to_melt": 60},
        ),
    ),
    caution=HOT + " Old joints may hold lead: no food at the bench, and wash your hands.",
    floor=0.15,
)


def _heat(g):
    """Return the heat that goes into the balls while they melt [W]."""
    return g.conductance * g.hotter


TUNING = Exercise(
    id="tune-the-heater",
    number=18,
    title="Tune the heater from one step",
    setup=(
        "You raise the output of a bottom heater in one step and watch its plate. Nothing happens for {dead_time}; then "
        "the plate rises towards its new temperature with a time constant of {lag}. In the end its rise over the step is "
        "{gain}, kelvin for each percent of output.\n\n"
        "Two rules for the settings. K is this ratio, L the time before anything happens, T the time "
        "constant.\n\n"
        "- Ziegler and Nichols (1942), from the response to a step. PI: gain 0.9 T/(K L), integral time 3.3 L. PID: gain "
        "1.2 T/(K L), integral time 2 L, derivative time 0.5 L.\n"
        "- Skogestad (2003), PI: gain T/(K (c + L)), integral time the smaller of T and 4 (c + L). Take c, the wanted time "
        "constant of the closed loop, equal to L."
    ),
    givens=dict(
        gain=Quantity(1.8, "K/%", low=1.2, high=3.0, step=0.1),
        dead_time=Quantity(12, "s", low=8, high=16, step=1),
        lag=Quantity(150, "s", low=140, high=240, step=10),
    ),
    parts=(
        Number(
            "pid_gain",
            "Which gain does the PID controller get by Ziegler and Nichols?",
            points=2,
            unit="%/K",
            expected=lambda g, a: control.ziegler_nichols_reaction(g.gain, g.dead_time, g.lag, "PID").gain,
            within=relative(0.02),
            because="the calculation is exact; dials go in about such steps",
            plausible=(2.3, 100),
            working="pid_gain = 1.2 * lag / (gain * dead_time)",
            slips=(
                Slip(
                    "K forgotten",
                    lambda g, a: 1.2 * g.lag / g.dead_time,
                    "You left out how far the plate rises for each percent.",
                ),
                Slip(
                    "PI row",
                    lambda g, a: control.ziegler_nichols_reaction(g.gain, g.dead_time, g.lag, "PI").gain,
                    "That is the gain of the PI controller. The question asks for the PID.",
                ),
                Slip(
                    "times exchanged",
                    lambda g, a: 1.2 * g.dead_time / (g.gain * g.lag),
                    "You exchanged the two times. A slow plate with a short wait can take a high gain.",
                ),
                Slip(
                    "K multiplied",
                    lambda g, a: 1.2 * g.gain * g.lag / g.dead_time,
                    "You multiplied by how far the plate rises for each percent. The rule divides by it.",
                ),
            ),
        ),
        Number(
            "pid_integral",
            "Which integral time does it get?",
            points=1,
            unit="s",
            expected=lambda g, a: control.ziegler_nichols_reaction(g.gain, g.dead_time, g.lag, "PID").integral_time,
            within=relative(0.02),
            because="the calculation is exact; dials go in about such steps",
            plausible=(10, 52),
            working="pid_integral = 2 * dead_time",
            slips=(
                Slip(
                    "PI row",
                    lambda g, a: 3.3 * g.dead_time,
                    "That is the integral time of the PI controller. The question asks for the PID.",
                ),
                Slip(
                    "time constant",
                    lambda g, a: 2 * g.lag,
                    "You took the time constant. The rule goes by the time before anything happens.",
                ),
                Slip(
                    "derivative time",
                    lambda g, a: 0.5 * g.dead_time,
                    "That is the derivative time of the PID. The question asks for the integral time.",
                ),
            ),
        ),
        Number(
            "calm_gain",
            "Which gain does the PI controller get by Skogestad?",
            points=1,
            unit="%/K",
            expected=lambda g, a: control.simc(g.gain, g.dead_time, g.lag).gain,
            within=relative(0.02),
            because="the calculation is exact; dials go in about such steps",
            plausible=(0.97, 20),
            working="calm_gain = lag / (gain * (dead_time + dead_time))",
            slips=(
                Slip(
                    "c left out",
                    lambda g, a: g.lag / (g.gain * g.dead_time),
                    "You left out c, the wanted time constant: it is added to the wait.",
                ),
                Slip(
                    "K forgotten",
                    lambda g, a: g.lag / (2 * g.dead_time),
                    "You left out how far the plate rises for each percent.",
                ),
            ),
        ),
        Number(
            "calm_integral",
            "Which integral time does it get?",
            points=2,
            unit="s",
            expected=lambda g, a: control.simc(g.gain, g.dead_time, g.lag).integral_time,
            within=relative(0.02),
            because="the calculation is exact; dials go in about such steps",
            plausible=(40, 210),
            working="""
calm_integral = 4 * (dead_time + dead_time)
if lag < calm_integral:      # the smaller of the two holds
    calm_integral = lag
""",
            slips=(
                Slip(
                    "the larger",
                    lambda g, a: g.lag,
                    "You took the time constant. Of the two, the smaller one holds.",
                ),
                Slip(
                    "c left out",
                    lambda g, a: 4 * g.dead_time,
                    "You left out c, the wanted time constant: it is added to the wait.",
                ),
                Slip(
                    "time constant in the sum",
                    lambda g, a: 4 * (g.lag + g.dead_time),
                    "You put the time constant T where c stands. Here c is the wait L.",
                ),
            ),
        ),
        Choice(
            "calmer",
            "The first rule makes a plate answer fast and swing. For a board that must not be cooked, which set of values do "
            "you try first?",
            points=1,
            options={
                "first": "the first rule, and watch the plate's display",
                "calm": "the second rule, and watch a board sensor",
                "higher": "a gain above both, and watch the display",
                "as sold": "the values it came with, and watch nothing",
            },
            expected=lambda g, a: "calm",
            slips={
                "first": "It was made to answer fast, and overshoots. On a plate under a board, overshoot is heat you "
                "cannot take back.",
                "higher": "A higher gain swings more, in the end without stopping.",
                "as sold": "They fit the maker's plate with nothing on it. You have just measured yours.",
            },
        ),
    ),
    cases=(
        Case("pid_gain", 8.33, 0.005, "Ziegler and Nichols (1942), step response, worked by hand", "computed"),
        Case("pid_integral", 24, 0.5, "Ziegler and Nichols (1942), step response, worked by hand", "computed"),
        Case("calm_gain", 3.47, 0.005, "Skogestad, J. Process Control 13 (2003) 291-309, worked by hand", "computed"),
        Case("calm_integral", 96, 0.5, "Skogestad, J. Process Control 13 (2003) 291-309, worked by hand", "computed"),
    ),
    caution=(
        HOT
        + " Settings are changed at the controller's front. Its wiring is on the mains: leave it to people licensed "
        "for it."
    ),
    sound=lambda drawn: drawn["lag"] > 8.5 * drawn["dead_time"],
    floor=0.04,
)
