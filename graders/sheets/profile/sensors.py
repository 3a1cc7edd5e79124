"""What a thermocouple says: its cold junction, its errors, how it lags, and how far it may be off."""

from math import hypot

from graders.questions import Case, Choice, Exercise, Fixed, Number, Pick, Quantity, Slip, absolute, relative
from graders.sheets.profile.cautions import HOT, LEAD, READING
from workbook.bench.profile import conduction, films, thermocouple

COLD_JUNCTION = Exercise(
    id="cold-junction",
    number=2,
    title="Add the cold junction",
    setup=(
        "A type K thermocouple sits on a joint. A millivoltmeter that shows to 0.001 mV reads {reading}. The terminals, near the hot plate, are at "
        "{terminals_c}. From the type K table (NIST SRD 60, reference junction at 0 °C): 20 °C gives 0.798 mV, 25 °C "
        "1.000 mV, 30 °C 1.203 mV, 35 °C 1.407 mV, 40 °C 1.612 mV; 183 °C 7.460 mV, 200 °C 8.138 mV, 217 °C 8.819 mV, 230 °C 9.343 mV, 245 °C 9.950 mV, "
        "260 °C 10.561 mV. Between neighbours of the table, read in a straight line."
    ),
    givens=dict(
        reading=Quantity(8.0, "mV", low=6.9, high=8.8, step=0.05),
        terminals_c=Quantity(35, "°C", low=30, high=40, step=5),
    ),
    parts=(
        Number(
            "total",
            "Which voltage would the same joint give with its terminals at 0 °C?",
            points=1,
            unit="mV",
            expected=lambda g, a: g.reading + thermocouple.emf(g.terminals_c),
            within=absolute(0.005),
            because="the table is printed to 0.001 mV",
            plausible=(5, 20),
            working="""
if terminals_c == 30:
    from_terminals = 1.203
elif terminals_c == 35:
    from_terminals = 1.407
else:
    from_terminals = 1.612
total = reading + from_terminals
""",
            slips=(
                Slip(
                    "subtracted",
                    lambda g, a: g.reading - thermocouple.emf(g.terminals_c),
                    "You subtracted. The meter only sees the difference between joint and terminals; what the "
                    "terminals would give is missing from it.",
                ),
                Slip(
                    "not compensated",
                    lambda g, a: g.reading,
                    "That is the meter's reading as it stands. The terminals are warm: their part is missing.",
                ),
            ),
        ),
        Number(
            "joint_c",
            "How hot is the joint?",
            points=2,
            unit="°C",
            expected=lambda g, a: thermocouple.temperature_c(a.total),
            within=absolute(0.15),
            because="the table read in straight lines is good to about 0.1 °C",
            plausible=(100, 350),
            working="""
if total < 8.819:
    joint_c = 200 + (total - 8.138) * (217 - 200) / (8.819 - 8.138)
elif total < 9.343:
    joint_c = 217 + (total - 8.819) * (230 - 217) / (9.343 - 8.819)
elif total < 9.950:
    joint_c = 230 + (total - 9.343) * (245 - 230) / (9.950 - 9.343)
else:
    joint_c = 245 + (total - 9.950) * (260 - 245) / (10.561 - 9.950)
""",
            hint="Look the total voltage up in the table, and read between its two neighbours.",
            slips=(
                Slip(
                    "not compensated",
                    lambda g, a: thermocouple.temperature_c(g.reading),
                    "You looked up the reading as it stands. First add what the warm terminals take away.",
                ),
                Slip(
                    "subtracted",
                    lambda g, a: thermocouple.temperature_c(g.reading - thermocouple.emf(g.terminals_c)),
                    "The sign of the compensation is turned round: the terminals' voltage is added.",
                ),
            ),
        ),
        Choice(
            "molten",
            "SAC305 is fully liquid from 220 °C. If the bead sits on the joint, has the joint fully melted?",
            points=1,
            options={"yes": "yes: 220 °C or more at the bead", "no": "no: less than 220 °C at the bead"},
            expected=lambda g, a: "yes" if a.joint_c >= 220 else "no",
            slips={"yes": "Compare your joint with 220 °C.", "no": "Compare your joint with 220 °C."},
        ),
        Choice(
            "wrong_way_round",
            "You warm the bead with a finger, and the reading falls when it should rise. What do you do?",
            points=1,
            options={
                "compensate": "add the voltage of the terminals twice to make up for it",
                "swap": "find where plus meets minus, and change the two legs there",
                "trust": "leave it: warm and cold readings keep their order",
                "red": "connect the red leg to plus, as it is done on a battery clip",
            },
            expected=lambda g, a: "swap",
            slips={
                "compensate": "The couple is connected the wrong way round; no sum mends that.",
                "trust": "A reversed couple reads a hot joint cold: you would heat on until something burns.",
                "red": "In United States wire red is minus (yellow is plus); in IEC wire white is minus (green is plus). "
                "Neither code makes red plus for type K. Say which code your wire has, and test with a warm finger.",
            },
        ),
    ),
    cases=(
        Case(
            "joint_c",
            221.5,
            0.05,
            "type K function of NIST SRD 60, 8.000 mV at terminals of 25 °C",
            "computed",
            givens={"terminals_c": 25},
        ),
        Case(
            "total",
            12.209,
            0.001,
            "NIST SRD 60, type K table: 12.209 mV at 300 °C, seen with terminals of 20 °C",
            "published",
            givens={"reading": 12.209 - 0.798, "terminals_c": 20},
        ),
        Case(
            "joint_c",
            300,
            0.05,
            "NIST SRD 60, type K table: 12.209 mV at 300 °C, seen with terminals of 20 °C",
            "published",
            givens={"reading": 12.209 - 0.798, "terminals_c": 20},
        ),
    ),
    sound=lambda drawn: abs(drawn["reading"] + drawn["terminals_c"] * 0.04 - 8.94) > 0.1,
    caution=HOT,
    floor=0.25,
)

CALIBRATION = Exercise(
    id="two-fixed-points",
    number=3,
    title="Put a thermocouple right with two fixed points",
    setup=(
        "A bead in ice water (0 °C) reads {ice_reading}. Pressed into freezing Sn63Pb37 solder, whose plateau is at "
        "183 °C, it reads {plateau_reading}. On a joint it reads {joint_reading}. Take the error to be a straight line. This bench "
        "corrects a couple by its own line up to 3 K of error at the joint, and throws it out above."
    ),
    givens=dict(
        ice_reading=Quantity(2.0, "°C", low=-4, high=2, step=0.5),
        plateau_reading=Quantity(189.0, "°C", low=182, high=189, step=0.5),
        joint_reading=Quantity(225.0, "°C", low=215, high=240, step=1),
    ),
    parts=(
        Number(
            "gain",
            "By how many degrees does the reading change for each true degree?",
            points=1,
            unit="1",
            expected=lambda g, a: 1 / thermocouple.calibrate(g.ice_reading, 0, g.plateau_reading, 183).gain,
            within=absolute(0.0015),
            because="the readings are given to half a degree over 183 degrees",
            plausible=(0.8, 1.2),
            working="gain = (plateau_reading - ice_reading) / (183 - 0)",
            slips=(
                Slip(
                    "upside down",
                    lambda g, a: thermocouple.calibrate(g.ice_reading, 0, g.plateau_reading, 183).gain,
                    "That is the true change for each degree read: the ratio is upside down.",
                ),
                Slip(
                    "offset forgotten",
                    lambda g, a: g.plateau_reading / 183,
                    "The ice reading is not zero: it has to come off first.",
                ),
            ),
        ),
        Number(
            "joint_true_c",
            "How hot is the joint?",
            points=3,
            unit="°C",
            expected=lambda g, a: (g.joint_reading - g.ice_reading) / a.gain,
            within=absolute(0.3),
            because="each fixed point is read to half a degree, so to a quarter either way",
            plausible=(150, 300),
            working="joint_true_c = (joint_reading - ice_reading) / gain",
            slips=(
                Slip(
                    "offset forgotten",
                    lambda g, a: g.joint_reading / a.gain,
                    "You divided by the gain and left the ice reading in. Take it off first.",
                ),
                Slip(
                    "offset only",
                    lambda g, a: g.joint_reading - g.ice_reading,
                    "You took off the ice reading only. The reading also grows too fast: divide by the gain.",
                ),
                Slip(
                    "error at the plateau",
                    lambda g, a: g.joint_reading - (g.plateau_reading - 183),
                    "You took off the error at 183 °C. The error grows with temperature, so at the joint it is larger.",
                ),
                Slip(
                    "offset added",
                    lambda g, a: (g.joint_reading + g.ice_reading) / a.gain,
                    "The ice reading has the wrong sign: it is taken off, with the sign it has.",
                ),
            ),
        ),
        Choice(
            "keep_it",
            "What do you do with this thermocouple?",
            points=1,
            options={
                "correct": "write its line on its tag and correct by it",
                "discard": "cut it up, so that nobody uses it again",
                "offset": "take the ice reading off and use it so",
                "average": "use it beside a second one, and take means",
            },
            expected=lambda g, a: "correct" if abs(g.joint_reading - a.joint_true_c) <= 3 else "discard",
            slips={
                "correct": "Its error at the joint is more than the 3 K of this bench. What drifts so far drifts on.",
                "discard": "Its error at the joint is within the 3 K of this bench.",
                "offset": "The error grows with the temperature: at the joint the ice reading alone does not mend it.",
                "average": "A mean with a wrong reading in it is wrong by half of it.",
            },
        ),
    ),
    cases=(
        Case(
            "joint_true_c",
            218.2,
            0.05,
            "straight line through two fixed points, worked by hand: 223.0 / 1.02186",
            "computed",
        ),
        Case(
            "gain",
            1.02,
            0.0005,
            "two-point calibration by hand: 186.66 K shown for 183",
            "computed",
            givens={"ice_reading": 1.0, "plateau_reading": 187.66},
        ),
    ),
    caution=HOT + " " + LEAD,
    floor=0.15,
    sound=lambda drawn: (
        drawn["plateau_reading"] - drawn["ice_reading"] > 185.5 and abs(_error_at_joint(drawn) - 3) > 0.4
    ),
)


def _error_at_joint(drawn):
    """Return by how much the bead reads too high at the joint [K]."""
    gain = (drawn["plateau_reading"] - drawn["ice_reading"]) / 183
    return drawn["joint_reading"] - (drawn["joint_reading"] - drawn["ice_reading"]) / gain


BEAD_LAG = Exercise(
    id="bead-lag",
    number=4,
    title="See how far a bead lags behind",
    setup=(
        "A thermocouple bead is a ball {diameter} across, with density {density} and specific heat {specific_heat}. Hot air "
        "reaches it with a film coefficient of {film}. The air warms at {ramp}."
    ),
    givens=dict(
        diameter=Quantity(0.5, "mm", low=0.3, high=1.0, step=0.1),
        density=Fixed(8500, "kg/m³"),
        specific_heat=Fixed(400, "J/kgK"),
        film=Quantity(150, "W/m²K", low=100, high=250, step=10),
        ramp=Quantity(2, "K/s", low=1, high=3, step=0.25),
    ),
    parts=(
        Number(
            "time_constant",
            "What is the time constant of the bead? (Heat stored per kelvin, divided by heat taken up per second and kelvin.)",
            points=2,
            unit="s",
            expected=lambda g, a: thermocouple.bead_time_constant(g.diameter, g.density, g.specific_heat, g.film),
            within=relative(0.03),
            because="the film coefficient is known to two figures",
            plausible=(0.42, 9.1),
            working="""
radius = diameter / 1000 / 2
heat_per_kelvin = density * 4 / 3 * pi * radius**3 * specific_heat
taken_up = film * 4 * pi * radius**2
time_constant = heat_per_kelvin / taken_up
""",
            hint="A ball has volume π d³/6 and surface π d².",
            slips=(
                Slip(
                    "d/2 for volume over area",
                    lambda g, a: g.density * g.specific_heat * g.diameter / (2 * g.film),
                    "Volume over surface of a ball is d/6, not d/2. (π d³/6 over π d².)",
                ),
                Slip(
                    "radius for diameter",
                    lambda g, a: g.density * g.specific_heat * g.diameter / (3 * g.film),
                    "Twice too long: volume over surface of a ball is d/6. You may have used d where the radius belongs.",
                ),
                Slip(
                    "whole diameter",
                    lambda g, a: g.density * g.specific_heat * g.diameter / g.film,
                    "You took the whole diameter. What counts is volume over surface, and for a ball that is much less.",
                ),
            ),
        ),
        Number(
            "lag",
            "Once the start has died away, by how much does the bead read too cold?",
            points=1,
            unit="K",
            expected=lambda g, a: thermocouple.bead_lag(a.time_constant, g.ramp),
            within=relative(0.03),
            because="it carries the uncertainty of the time constant",
            plausible=(0.66, 100),
            working="lag = ramp * time_constant",
            slips=(
                Slip(
                    "divided",
                    lambda g, a: a.time_constant / g.ramp,
                    "You divided the time constant by the ramp. In one time constant the air gains ramp × time constant.",
                ),
                Slip(
                    "after one time constant",
                    lambda g, a: thermocouple.bead_lag(a.time_constant, g.ramp, a.time_constant),
                    "That is the lag after one time constant. The question asks for the lag once it has settled.",
                ),
            ),
        ),
        Choice(
            "act",
            "This bench wants a bead to lag by less than 3 K. What do you do with this one?",
            points=1,
            options={
                "use": "use it as it is, and write its size to the log",
                "thinner": "take a thinner couple and hold it to the metal",
                "slower": "cut the ramp in half for every board from now on",
                "add": "add the lag to every reading, heating or cooling",
            },
            expected=lambda g, a: "use" if a.lag < 3 else "thinner",
            slips={
                "use": "Its lag is more than the 3 K of this bench.",
                "thinner": "Its lag is within the 3 K of this bench.",
                "slower": "The ramp belongs to the board's profile. A thinner bead on the metal costs nothing.",
                "add": "The lag changes sign when the air cools, and goes where the ramp is flat.",
            },
        ),
        Choice(
            "reads",
            "During cooling, does the same bead read too hot or too cold?",
            points=1,
            options={
                "too cold": "too cold: below the air's own temperature",
                "too hot": "too hot: above the air's own temperature",
                "right": "right: a bead lags only while it is heated",
            },
            expected=lambda g, a: "too hot",
            slips={
                "right": "It is late whenever the air changes, in either direction.",
                "too cold": "When the air cools, the bead is late again. Late means: still at an earlier temperature.",
            },
        ),
    ),
    cases=(
        Case(
            "time_constant",
            1.0,
            0.005,
            "Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, example 5.1: bead of 0.706 mm with 1 s",
            "published",
            givens={"diameter": 0.706, "film": 400},
            note="the example gives the time constant and asks for the diameter; it also takes these ρ, c and h",
        ),
        Case(
            "time_constant",
            1.116,
            0.0005,
            "Lienhard and Lienhard, A Heat Transfer Textbook, example 1.4: solder bead of 1 mm",
            "published",
            givens={"diameter": 1, "density": 9300, "specific_heat": 180, "film": 250},
            note="the answer is published; film and density are partly from memory and give it exactly",
        ),
        Case("lag", 3.8, 0.05, "ramp times time constant, worked by hand: 2 K/s, 1.89 s", "computed"),
    ),
    caution=READING,
    sound=lambda drawn: abs(_lag(drawn) - 3) > 0.2,
    floor=0.20,
)


def _lag(drawn):
    g = BEAD_LAG.values(drawn)
    return _time_constant(g) * g.ramp


BEAD_SETTLES = Exercise(
    id="bead-settles",
    number=9,
    title="Wait until the bead has settled",
    setup=(
        "A bare bead at {start_c} is put into hot gas of {gas_c}. It is a ball {diameter} across, with conductivity "
        "{conductivity}, density {density} and specific heat {specific_heat}. The film coefficient is {film}. A body is "
        "at one temperature throughout if its Biot number is 0.1 or less; for a ball, the length in the Biot number is "
        "volume over surface, a sixth of the diameter.\n\n"
        "In part 3 the bead also sees hot walls: the heater around it, at {walls_c}. Its emissivity is "
        "{emissivity}. Radiation between bead and walls is emissivity × σ × (T_walls⁴ - T_bead⁴) for each square metre, "
        "with temperatures in kelvin (°C + 273.15) and σ = 5.670 × 10⁻⁸ W/m²K⁴. To the gas it passes on film × (T_bead - "
        "T_gas) for each square metre. In the end the two are equal. Along the wires nothing flows."
    ),
    givens=dict(
        diameter=Quantity(0.7, "mm", low=0.4, high=1.2, step=0.1),
        conductivity=Fixed(20, "W/mK"),
        density=Fixed(8500, "kg/m³"),
        specific_heat=Fixed(400, "J/kgK"),
        film=Quantity(300, "W/m²K", low=200, high=400, step=10),
        start_c=Quantity(25, "°C", low=20, high=30, step=1),
        gas_c=Quantity(240, "°C", low=200, high=280, step=5),
        left=Quantity(2, "K", low=2, high=6, step=0.5),
        walls_c=Quantity(400, "°C", low=350, high=450, step=10),
        emissivity=Fixed(0.9),
    ),
    parts=(
        Number(
            "biot",
            "What is the Biot number of the bead?",
            points=1,
            unit="1",
            expected=lambda g, a: conduction.biot(g.film, g.diameter / 6, g.conductivity),
            within=relative(0.02),
            because="the film coefficient is known to two figures",
            plausible=(0.00041, 0.0064),
            working="biot = film * diameter / 1000 / 6 / conductivity",
            slips=(
                Slip(
                    "diameter",
                    lambda g, a: conduction.biot(g.film, g.diameter, g.conductivity),
                    "You took the whole diameter. The length here is volume over surface: a sixth of the diameter.",
                ),
                Slip(
                    "radius",
                    lambda g, a: conduction.biot(g.film, g.diameter / 2, g.conductivity),
                    "You took the radius. The length here is volume over surface: a sixth of the diameter.",
                ),
                Slip(
                    "upside down",
                    lambda g, a: g.conductivity / (g.film * g.diameter / 6),
                    "The ratio is upside down: film times length, divided by conductivity.",
                ),
            ),
        ),
        Number(
            "settling",
            "After how long is the bead within {left} of the gas (walls at the gas's temperature)?",
            points=2,
            unit="s",
            expected=lambda g, a: conduction.lumped_time(
                g.gas_c - g.left, _time_constant(g), start_c=g.start_c, final_c=g.gas_c
            ),
            within=relative(0.01),
            because="only rounding is left; a wider band would let a forgotten start pass",
            plausible=(1.2, 26),
            working="""
time_constant = density * specific_heat * diameter / 1000 / (6 * film)
settling = time_constant * log((gas_c - start_c) / left)
""",
            hint="What is left of the difference falls as exp(-t / time constant).",
            slips=(
                Slip(
                    "one time constant",
                    lambda g, a: _time_constant(g),
                    "That is the time constant. After it, a third of the difference is still there.",
                ),
                Slip(
                    "from zero",
                    lambda g, a: _settling_from_zero(g),
                    "You started at 0 °C. What shrinks is the difference between gas and start.",
                ),
                Slip(
                    "logarithm to base 10",
                    lambda g, a: (
                        conduction.lumped_time(g.gas_c - g.left, _time_constant(g), start_c=g.start_c, final_c=g.gas_c)
                        / 2.302585
                    ),
                    "You took the logarithm to base 10. The law of cooling has the natural one.",
                ),
                Slip(
                    "radius for diameter",
                    lambda g, a: (
                        conduction.lumped_time(g.gas_c - g.left, _time_constant(g), start_c=g.start_c, final_c=g.gas_c)
                        * 2
                    ),
                    "Twice too long: volume over surface of a ball is d/6. You may have used d/3.",
                ),
                Slip(
                    "five time constants",
                    lambda g, a: 5 * _time_constant(g),
                    "You took five time constants. The question says how near to the gas the bead must come.",
                ),
            ),
        ),
        Number(
            "reads_c",
            "Now the walls glow at {walls_c}. What does the bead read at last?",
            points=3,
            unit="°C",
            expected=lambda g, a: films.bead_equilibrium_c(g.gas_c, g.walls_c, g.film, g.emissivity),
            within=absolute(0.5),
            because="the emissivity is not known better, and your trial may stop there",
            plausible=(100, 500),
            working="""
# Start with the bead as hot as the gas, and put each answer back in. Mean of old and new keeps the steps from swinging.
walls = emissivity * 5.670e-8 * (walls_c + 273.15)**4      # W/m2 from the walls
try_1 = gas_c
new_1 = gas_c + (walls - emissivity * 5.670e-8 * (try_1 + 273.15)**4) / film
try_2 = (try_1 + new_1) / 2
new_2 = gas_c + (walls - emissivity * 5.670e-8 * (try_2 + 273.15)**4) / film
try_3 = try_2 + 0.85 * (new_2 - try_2)
new_3 = gas_c + (walls - emissivity * 5.670e-8 * (try_3 + 273.15)**4) / film
try_4 = try_3 + 0.85 * (new_3 - try_3)
new_4 = gas_c + (walls - emissivity * 5.670e-8 * (try_4 + 273.15)**4) / film
reads_c = try_4 + 0.85 * (new_4 - try_4)
""",
            hint="Try a temperature a little above the gas, and compare the two heats. Then try a better one.",
            slips=(
                Slip(
                    "bead taken as hot as the gas",
                    lambda g, a: g.gas_c + films.radiation_flux(g.emissivity, g.walls_c, g.gas_c) / g.film,
                    "A good first step: you took the radiation as if the bead were at gas temperature. It is warmer, so "
                    "it gains less. Put your number back in and go round once or twice more.",
                ),
                Slip(
                    "°C in the fourth power",
                    lambda g, a: _balance_in_celsius(g),
                    "You put °C into the fourth power. Radiation needs kelvin.",
                ),
            ),
        ),
        Choice(
            "use",
            "A bead hangs in the air under the nozzle, beside the package. What does its reading tell you?",
            points=1,
            options={
                "joint": "the temperature of the joint, some seconds late",
                "gas": "the temperature of the gas, with nothing else in",
                "neither": "a value between the gas and the glowing walls",
                "board": "the temperature of the board's top face there",
            },
            expected=lambda g, a: "neither",
            slips={
                "joint": "The joint is on the board, and the board takes its heat away. A bead in the air does not feel that.",
                "gas": "You have just found how far the walls can move it.",
                "board": "The bead hangs free. It has no contact with the board.",
            },
        ),
    ),
    cases=(
        Case(
            "biot",
            2.35e-3,
            0.005e-3,
            "Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, example 5.1",
            "published",
            givens={"diameter": 0.706, "film": 400},
        ),
        Case(
            "settling",
            5.2,
            0.05,
            "Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, example 5.1: 25 to 199 °C in gas of 200 °C",
            "published",
            givens={"diameter": 0.706, "film": 400, "start_c": 25, "gas_c": 200, "left": 1},
        ),
        Case(
            "settling",
            10,
            0.1,
            "Çengel, Heat Transfer: A Practical Approach, example 4-1: to 1 % of the difference",
            "published",
            givens={
                "diameter": 1,
                "conductivity": 35,
                "specific_heat": 320,
                "film": 210,
                "start_c": 0,
                "gas_c": 100,
                "left": 1,
            },
            note="the book rounds 9.94 to 10",
        ),
        Case(
            "reads_c",
            218.73,
            0.05,
            "inputs of Incropera and DeWitt, example 5.2, root of the balance",
            "computed",
            givens={"film": 400, "gas_c": 200, "walls_c": 400},
        ),
    ),
    caution=HOT,
    floor=0.10,
)


def _settling_from_zero(g):
    return conduction.lumped_time(g.gas_c - g.left, _time_constant(g), start_c=0, final_c=g.gas_c)


def _time_constant(g):
    return thermocouple.bead_time_constant(g.diameter, g.density, g.specific_heat, g.film)


def _balance_in_celsius(g):
    low, high = g.gas_c, g.walls_c
    for _ in range(50):
        middle = (low + high) / 2
        gained = g.emissivity * 5.670e-8 * (g.walls_c**4 - middle**4)
        low, high = (middle, high) if gained > g.film * (middle - g.gas_c) else (low, middle)
    return middle


DOUBT = Exercise(
    id="doubt-of-a-reading",
    number=10,
    title="Say how far a reading may be off",
    setup=(
        "A type K wire at a joint near 230 °C is read by a meter that may be off by ±{meter}. Tolerance of type K wire by "
        "IEC 60584-1: class 1, ±1.5 K or ±0.4 % of the temperature in °C, whichever is more; class 2, ±2.5 K or ±0.75 % "
        "of the temperature in °C, whichever is more. Joint and package carry class 1 wire. A class 2 wire sits on the "
        "bottom plate, at {plate_c}.\n\n"
        "Two errors that have nothing to do with each other are taken together as the root of the sum of their squares; "
        "in the worst case they add. Your package is rated to {rating_c}, and every joint is to reach 230 °C (common "
        "practice for lead-free joints)."
    ),
    givens=dict(
        meter=Quantity(0.7, "K", low=0.6, high=1.8, step=0.1),
        plate_c=Quantity(380, "°C", low=350, high=420, step=5),
        rating_c=Pick(250, (245, 250, 260), "°C"),
    ),
    parts=(
        Number(
            "joint_wire",
            "How far may the wire at the joint be off (wire alone)?",
            points=1,
            unit="K",
            expected=lambda g, a: thermocouple.tolerance(230, 1),
            within=absolute(0.05),
            because="the classes are given to a tenth of a kelvin",
            plausible=(0.93, 2.4),
            working="joint_wire = max(1.5, 0.004 * 230)",
            slips=(
                Slip(
                    "the lesser",
                    lambda g, a: 0.004 * 230,
                    "You took the percentage. Of the two, the larger one holds.",
                ),
                Slip(
                    "class 2",
                    lambda g, a: thermocouple.tolerance(230, 2),
                    "That is class 2. The wire at the joint is class 1.",
                ),
            ),
        ),
        Number(
            "plate_wire",
            "How far may the wire on the plate be off (wire alone)?",
            points=1,
            unit="K",
            expected=lambda g, a: thermocouple.tolerance(g.plate_c, 2),
            within=absolute(0.05),
            because="the classes are given to a tenth of a kelvin",
            plausible=(1.6, 5.1),
            working="plate_wire = max(2.5, 0.0075 * plate_c)",
            slips=(
                Slip(
                    "the lesser",
                    lambda g, a: 2.5,
                    "You took the fixed part. On a plate this hot the percentage is more.",
                ),
                Slip(
                    "class 1",
                    lambda g, a: thermocouple.tolerance(g.plate_c, 1),
                    "That is class 1. The wire on the plate is class 2.",
                ),
            ),
        ),
        Number(
            "likely",
            "Wire and meter at the joint, taken together as independent errors: how far may the reading be off?",
            points=1,
            unit="K",
            expected=lambda g, a: hypot(a.joint_wire, g.meter),
            within=absolute(0.05),
            because="both errors are given to a tenth of a kelvin",
            plausible=(0.68, 5),
            working="likely = sqrt(joint_wire**2 + meter**2)",
            slips=(
                Slip(
                    "added",
                    lambda g, a: a.joint_wire + g.meter,
                    "You added them. That is the worst case; independent errors seldom both go all the way, and the "
                    "same way.",
                ),
                Slip(
                    "root forgotten",
                    lambda g, a: a.joint_wire**2 + g.meter**2,
                    "You added the squares and did not take the root.",
                ),
            ),
        ),
        Number(
            "worst",
            "How far may the reading at the joint be off in the worst case?",
            points=1,
            unit="K",
            expected=lambda g, a: a.joint_wire + g.meter,
            within=absolute(0.05),
            because="both errors are given to a tenth of a kelvin",
            plausible=(0.95, 6.9),
            working="worst = joint_wire + meter",
            slips=(
                Slip(
                    "root of the squares",
                    lambda g, a: hypot(a.joint_wire, g.meter),
                    "That is what is likely. In the worst case both errors go all the way, the same way.",
                ),
                Slip("class 2", lambda g, a: 2.5 + g.meter, "You took the wire at the joint as one of class 2."),
            ),
        ),
        Number(
            "apart",
            "You play safe and use the worst case at both ends: the coldest joint must *read* so high that it truly has "
            "230 °C, and the package so low that it is truly within its rating (both class 1 wire, same meter). How many kelvin "
            "lie between the highest allowed reading of the package and the lowest allowed reading of the joint?",
            points=2,
            unit="K",
            expected=lambda g, a: g.rating_c - 230 - 2 * a.worst,
            within=absolute(0.1),
            because="it carries the worst case twice",
            plausible=(-10, 36),
            working="apart = (rating_c - worst) - (230 + worst)",
            hint="Which reading of the joint is safe? Which reading of the package is?",
            slips=(
                Slip(
                    "no uncertainty",
                    lambda g, a: g.rating_c - 230,
                    "That is the room if both readings were true. Each may be off.",
                ),
                Slip(
                    "one end only",
                    lambda g, a: g.rating_c - 230 - a.worst,
                    "You kept away from one end only. The joint's reading and the package's may both be off.",
                ),
                Slip(
                    "uncertainty added",
                    lambda g, a: g.rating_c - 230 + 2 * a.worst,
                    "The uncertainty makes the room wider. It should make it narrower, from both ends.",
                ),
            ),
        ),
        Choice(
            "act",
            "With class 1 wire and this meter, this bench asks for at least 15 K between the two readings. What do you do?",
            points=1,
            options={
                "go": "go on: the two limits leave room to work in",
                "better": "stop: use a better meter and wire, or lower the aim",
                "likely": "go on: the likely error is smaller than the worst",
                "shift": "go on: let the package pass its limit for a moment",
            },
            expected=lambda g, a: "go" if a.apart >= 15 else "better",
            slips={
                "go": "Compare your number of part 5 with 15 K.",
                "better": "Your two limits are 15 K apart or more: there is room.",
                "likely": "You said you play safe with the worst case. Do not change the rule after seeing the number.",
                "shift": "A rating is a limit of the part; a moment above it counts.",
            },
        ),
    ),
    cases=(
        Case("joint_wire", 1.5, 0.05, "IEC 60584-1:2013, class 1, below 375 °C", "published-second-hand"),
        Case(
            "plate_wire",
            2.5,
            0.05,
            "IEC 60584-1:2013, class 2, below 333 °C",
            "published-second-hand",
            givens={"plate_c": 300},
        ),
        Case(
            "likely", 1.8, 0.05, "worked by hand: 1.5 and 1.0 as independent errors", "computed", givens={"meter": 1.0}
        ),
        Case("worst", 2.5, 0.05, "worked by hand: 1.5 and 1.0 added", "computed", givens={"meter": 1.0}),
        Case(
            "apart",
            20,
            0.005,
            "by hand: from 235 to 255 °C",
            "computed",
            givens={"rating_c": 260},
            earlier={"worst": 5},
        ),
    ),
    caution=READING,
    sound=lambda drawn: abs(drawn["rating_c"] - 245 - 2 * (1.5 + drawn["meter"])) > 0.3,
    floor=0.25,
)
