"""Exercises on the way of the heat: a layer of paste, the chain to the air, a reading on top, two ways, a tester."""

from graders.questions import Case, Choice, Exercise, Fixed, Number, Quantity, Record, Slip, absolute, relative
from workbook.bench.paste import bond_line, chain

PAGE_OF_CHAINS = "worked example on a public formula page for thermal chains: 5 W through 3 + 1 + 8 K/W, air of 25 °C"

POWERED = (
    "A running sink can burn you. Sensors are fixed while the device is unplugged, discharged and cold, and read from "
    "outside with the covers on; nothing is touched or loosened while it runs. Follow your shop's rules."
)

LAYER = Exercise(
    id="layer-of-paste",
    number=1,
    title="Find what a layer of paste costs",
    setup=(
        "Paste fills the gap between a square die, {side} on a side, and its sink. The paste is {thickness} thick and "
        "its conductivity is {conductivity}. At each of its two faces, towards die and sink, the contact adds an area "
        "resistance of {contact}. The die sends {power} through the joint. All heat goes straight through."
    ),
    givens=dict(
        side=Quantity(14, "mm", low=12, high=24, step=1),
        thickness=Quantity(50, "µm", low=25, high=120, step=5),
        conductivity=Quantity(3, "W/mK", low=2, high=6, step=0.5),
        contact=Quantity(5, "mm²K/W", low=3, high=10, step=0.5),
        power=Quantity(20, "W", low=8, high=40, step=2),
    ),
    parts=(
        Number(
            "area_resistance",
            "What is the area resistance of the paste alone, thickness over conductivity, without its contacts?",
            points=1,
            unit="mm²K/W",
            expected=lambda g, a: chain.layer_area_resistance(g.thickness, g.conductivity),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(2.6, 96),
            working="area_resistance = thickness * 1e-6 / conductivity * 1e6",
            hint="Thickness in metres over conductivity gives m²K/W. One m² is a million mm².",
            slips=(
                Slip(
                    "multiplied",
                    lambda g, a: g.thickness * g.conductivity,
                    "You multiplied. A paste that conducts better must resist less: divide by the conductivity.",
                ),
                Slip(
                    "contacts added",
                    lambda g, a: chain.layer_area_resistance(g.thickness, g.conductivity) + 2 * g.contact,
                    "You added the contacts. The question asks for the paste alone.",
                ),
            ),
        ),
        Number(
            "layer",
            "What is the resistance of the paste alone over the whole die?",
            points=1,
            unit="K/W",
            expected=lambda g, a: chain.resistance_over_area(a.area_resistance, g.side**2),
            within=relative(0.02),
            because="a bond line is hardly known better",
            plausible=(0.0053, 0.9),
            working="layer = area_resistance / side**2",
            slips=(
                Slip(
                    "side for area",
                    lambda g, a: a.area_resistance / (g.side * 1e-3),
                    "You divided by the side. The heat passes through the area of the square.",
                ),
                Slip(
                    "four sides",
                    lambda g, a: a.area_resistance / (4 * g.side * 1e-3),
                    "You divided by the way round the die. The heat passes through the area of the square.",
                ),
                Slip(
                    "multiplied by the area",
                    lambda g, a: a.area_resistance * g.side**2 * 1e12,
                    "You multiplied by the area. A larger die has a lower resistance.",
                ),
                Slip(
                    "contacts added",
                    lambda g, a: chain.resistance_over_area(a.area_resistance + 2 * g.contact, g.side**2),
                    "You added the contacts. The question asks for the paste alone.",
                ),
            ),
        ),
        Number(
            "joint",
            "What is the resistance of the whole joint, paste and both contacts?",
            points=2,
            unit="K/W",
            expected=lambda g, a: a.layer + chain.contact_resistance(g.contact, g.side**2),
            within=relative(0.02),
            because="a bond line is hardly known better",
            plausible=(0.014, 0.9),
            working="joint = (area_resistance + 2 * contact) / side**2",
            slips=(
                Slip(
                    "no contacts",
                    lambda g, a: a.layer,
                    "That is the paste alone. Its contacts with die and sink are missing.",
                ),
                Slip(
                    "one contact",
                    lambda g, a: a.layer + chain.contact_resistance(g.contact, g.side**2, 1),
                    "You counted one contact. A layer between two parts has two faces.",
                ),
            ),
        ),
        Number(
            "drop",
            "By how much is the die hotter than the sink?",
            points=1,
            unit="K",
            expected=lambda g, a: g.power * a.joint,
            within=relative(0.02),
            because="it carries the uncertainty of the joint",
            plausible=(0.05, 200),
            working="drop = power * joint",
            slips=(
                Slip(
                    "divided",
                    lambda g, a: a.joint / g.power,
                    "You divided by the power. K/W says how many kelvin each watt costs.",
                ),
                Slip(
                    "paste alone",
                    lambda g, a: g.power * a.layer,
                    "That is the drop over the paste alone. Take the whole joint.",
                ),
                Slip(
                    "one contact",
                    lambda g, a: g.power * (a.layer + g.contact / g.side**2),
                    "You counted one contact. The paste has a face on either side.",
                ),
            ),
        ),
        Choice(
            "spend",
            "You can halve the bond line by pressing evenly, or buy a paste of twice the conductivity. Which do you do first?",
            points=1,
            options={
                "buy": "buy the paste: only its conductivity counts here",
                "press": "press evenly: it costs nothing and does as much",
                "more": "put on more of this paste, so that no air is left",
                "neither": "neither: the contacts are all that counts here",
            },
            expected=lambda g, a: "press",
            slips={
                "buy": "Thickness over conductivity: half of the one does what twice the other does.",
                "more": "More paste makes a thicker layer, until it is pressed out again.",
                "neither": "Compare the paste alone with the whole joint: the paste has its share.",
            },
        ),
    ),
    cases=(
        Case("drop", 15, 0.5, PAGE_OF_CHAINS, "published-second-hand", givens={"power": 5}, earlier={"joint": 3}),
        Case(
            "area_resistance",
            50_000,
            1,
            "documentation of the library ht, R_to_k: 0.025 m with 0.5 W/mK is 0.05 m²K/W",
            "published",
            givens={"thickness": 25_000, "conductivity": 0.5},
        ),
        Case(
            "layer",
            0.0051,
            0.00005,
            "solution page to Çengel, Heat Transfer: epoxy layer of 0.2 mm, 1.8 W/mK, 0.0216 m²",
            "published",
            givens={"thickness": 200, "conductivity": 1.8, "side": 146.96938},
            note="a square of the same area",
        ),
        Case("layer", 0.0425, 0.00005, "plane wall, 14 mm x 14 mm, 25 µm", "computed", givens={"thickness": 25}),
        Case("layer", 0.0850, 0.00005, "plane wall, 14 mm x 14 mm, 50 µm", "computed"),
        Case("layer", 0.170, 0.0005, "plane wall, 14 mm x 14 mm, 100 µm", "computed", givens={"thickness": 100}),
        Case(
            "joint",
            0.3,
            0.0005,
            "by hand: 60 µm of 3 W/mK and twice 5 mm²K/W, 30 mm²K/W over 100 mm²",
            "computed",
            givens={"side": 10, "thickness": 60, "contact": 5},
        ),
    ),
    caution=POWERED,
    floor=0.05,
)

JUNCTION = Exercise(
    id="junction-from-chain",
    number=2,
    title="Follow the heat from the junction to the air",
    setup=(
        "A package turns {power} into heat. From the junction to the top of the case it has {theta_jc}. A square of "
        "paste, {side} on a side and {thickness} thick, with a conductivity of {conductivity} and a contact of "
        "{contact} (area resistance) on each of its two faces, joins the case to a sink. The sink has {sink} to the "
        "air, which is at {air_c}. All the heat takes this one way."
    ),
    givens=dict(
        power=Quantity(12, "W", low=8, high=20, step=1),
        theta_jc=Quantity(0.5, "K/W", low=0.3, high=1.0, step=0.05),
        side=Quantity(18, "mm", low=14, high=22, step=1),
        thickness=Quantity(60, "µm", low=40, high=100, step=5),
        conductivity=Quantity(4, "W/mK", low=1.5, high=4, step=0.5),
        contact=Quantity(5, "mm²K/W", low=4, high=10, step=0.5),
        sink=Quantity(3.2, "K/W", low=1.6, high=4, step=0.1),
        air_c=Quantity(35, "°C", low=25, high=45, step=1),
    ),
    parts=(
        Number(
            "joint",
            "What is the resistance of the paste joint, with both contacts?",
            points=2,
            unit="K/W",
            expected=lambda g, a: (
                chain.layer_resistance(g.thickness, g.conductivity, g.side**2)
                + chain.contact_resistance(g.contact, g.side**2)
            ),
            within=relative(0.02),
            because="a bond line is hardly known better",
            plausible=(0.026, 0.7),
            working="joint = (thickness / conductivity + 2 * contact) / side**2",
            hint="µm over W/mK gives mm²K/W, the unit the contacts are in.",
            slips=(
                Slip(
                    "no contacts",
                    lambda g, a: chain.layer_resistance(g.thickness, g.conductivity, g.side**2),
                    "The contacts are missing: the paste touches the case and the sink.",
                ),
                Slip(
                    "one contact",
                    lambda g, a: (g.thickness / g.conductivity + g.contact) / g.side**2,
                    "You counted one contact. The paste has two faces.",
                ),
            ),
        ),
        Number(
            "case_c",
            "How hot is the top of the case, under the paste?",
            points=1,
            unit="°C",
            expected=lambda g, a: chain.junction_temperature(g.air_c, g.power, a.joint, g.sink),
            within=absolute(0.3),
            because="the air is given to a degree, and a thermometer reads about this well",
            plausible=(20, 250),
            working="case_c = air_c + power * (joint + sink)",
            hint="Add up the resistances from the place asked for to the air.",
            slips=(
                Slip(
                    "base of the sink",
                    lambda g, a: g.air_c + g.power * g.sink,
                    "That is the base of the sink. The paste lies between it and the case.",
                ),
                Slip(
                    "junction",
                    lambda g, a: g.air_c + g.power * (g.theta_jc + a.joint + g.sink),
                    "That is the junction. The question asks for the top of the case.",
                ),
                Slip(
                    "air left out",
                    lambda g, a: g.power * (a.joint + g.sink),
                    "That is the rise above the air. Add the air's own temperature.",
                ),
            ),
        ),
        Number(
            "junction_c",
            "How hot is the junction?",
            points=2,
            unit="°C",
            expected=lambda g, a: chain.junction_temperature(g.air_c, g.power, g.theta_jc, a.joint, g.sink),
            within=absolute(0.3),
            because="the air is given to a degree, and a thermometer reads about this well",
            plausible=(20, 300),
            working="junction_c = air_c + power * (theta_jc + joint + sink)",
            slips=(
                Slip(
                    "case",
                    lambda g, a: g.air_c + g.power * (a.joint + g.sink),
                    "That is the case. Inside the package there is one more resistance.",
                ),
                Slip(
                    "side by side",
                    lambda g, a: g.air_c + g.power * chain.in_parallel(g.theta_jc, a.joint, g.sink),
                    "You took the three side by side. The same heat passes them one after another.",
                ),
                Slip(
                    "no joint",
                    lambda g, a: g.air_c + g.power * (g.theta_jc + g.sink),
                    "The paste joint is missing from the chain.",
                ),
                Slip(
                    "air left out",
                    lambda g, a: g.power * (g.theta_jc + a.joint + g.sink),
                    "That is the rise above the air. Add the air's own temperature.",
                ),
            ),
        ),
        Choice(
            "most",
            "Halving which of the three would cool the junction most?",
            points=1,
            options={
                "paste": "the joint between the case and the sink",
                "package": "the way from the junction to the case",
                "sink": "the way from the sink's base to the air",
            },
            expected=lambda g, a: max(
                {"paste": a.joint, "package": g.theta_jc, "sink": g.sink}.items(), key=lambda item: item[1]
            )[0],
            slips={
                "paste": "Compare the three resistances you have. The paste is not the largest here: good paste on a "
                "poor sink saves little.",
                "package": "Compare the three resistances you have. The largest one gives most.",
                "sink": "Compare the three resistances you have. The largest one gives most.",
            },
        ),
    ),
    cases=(
        Case(
            "junction_c",
            85,
            0.05,
            PAGE_OF_CHAINS,
            "published-second-hand",
            givens={"power": 5, "theta_jc": 3, "sink": 8, "air_c": 25},
            earlier={"joint": 1},
        ),
        Case(
            "case_c",
            70,
            0.05,
            PAGE_OF_CHAINS,
            "published-second-hand",
            givens={"power": 5, "theta_jc": 3, "sink": 8, "air_c": 25},
            earlier={"joint": 1},
        ),
        Case("joint", 0.0772, 0.00005, "layer and two contacts, by hand: (15 + 10) mm²K/W over 324 mm²", "computed"),
        Case("junction_c", 80.3, 0.05, "sum of the chain, by hand: 35 + 12 × 3.777", "computed"),
    ),
    caution=POWERED,
    floor=0.20,
)

TOP_READING = Exercise(
    id="reading-on-top",
    number=3,
    title="Read a junction from the top of the package",
    setup=(
        "A package on a board, without a sink, turns {power} into heat. A thermocouple at the centre of its top reads "
        "{top_c}. The data sheet gives two figures. Psi-JT, {psi_jt}, is junction less top, divided by the package's "
        "total power, most of which leaves through the board (JESD51-12). Theta-JC(top), {theta_jc}, is junction less "
        "top, divided by the heat that really leaves through the top."
    ),
    givens=dict(
        power=Quantity(6, "W", low=2, high=10, step=0.5),
        top_c=Quantity(72, "°C", low=55, high=95, step=1),
        psi_jt=Quantity(0.25, "K/W", low=0.1, high=0.5, step=0.05),
        theta_jc=Quantity(2.5, "K/W", low=1.5, high=6, step=0.25),
    ),
    parts=(
        Number(
            "rise",
            "By how much is the junction hotter than the top?",
            points=2,
            unit="K",
            expected=lambda g, a: chain.junction_temperature_from_top(g.top_c, g.power, g.psi_jt) - g.top_c,
            within=relative(0.01),
            because="only rounding is left",
            plausible=(0.12, 8),
            working="rise = psi_jt * power",
            hint="You know the total power. Which of the two figures goes with it?",
            slips=(
                Slip(
                    "theta with total power",
                    lambda g, a: g.theta_jc * g.power,
                    "You sent the whole power through the top. Without a sink most of it leaves through the board; "
                    "theta-JC goes only with the heat that really passes the top.",
                ),
                Slip(
                    "both added",
                    lambda g, a: (g.psi_jt + g.theta_jc) * g.power,
                    "You added the two figures. Each of them alone reaches from junction to top.",
                ),
                Slip(
                    "divided",
                    lambda g, a: g.power / g.psi_jt,
                    "You divided by psi. It says how many kelvin each watt of total power makes.",
                ),
            ),
        ),
        Number(
            "junction_c",
            "How hot is the junction?",
            points=1,
            unit="°C",
            expected=lambda g, a: g.top_c + a.rise,
            within=absolute(0.05),
            because="the sum is exact; the thermocouple itself is not that good",
            plausible=(20, 250),
            working="junction_c = top_c + rise",
            slips=(
                Slip(
                    "taken off",
                    lambda g, a: g.top_c - a.rise,
                    "You took the rise off. The heat flows from the junction to the top, so the junction is hotter.",
                ),
            ),
        ),
        Number(
            "heat_up",
            "How many watts really leave through the top?",
            points=2,
            unit="W",
            expected=lambda g, a: a.rise / g.theta_jc,
            within=relative(0.02),
            because="data-sheet figures are rounded to about this",
            plausible=(0.025, 13),
            working="heat_up = rise / theta_jc",
            hint="The same rise, now written with theta-JC(top) and the heat through the top.",
            slips=(
                Slip(
                    "through the board",
                    lambda g, a: g.power - a.rise / g.theta_jc,
                    "That is what leaves by the other ways, mainly the board.",
                ),
                Slip(
                    "multiplied",
                    lambda g, a: a.rise * g.theta_jc,
                    "You multiplied. A theta times watts gives kelvin; kelvin over a theta gives watts.",
                ),
            ),
        ),
        Choice(
            "chain",
            "Later a sink is fitted, and nearly all heat leaves through the top. Which figure goes into the chain from "
            "junction to air?",
            points=1,
            options={
                "psi": "psi-JT, which goes with the whole power",
                "theta": "theta-JC(top), which goes with the top",
                "both": "psi-JT and theta-JC(top), in series",
            },
            expected=lambda g, a: "theta",
            slips={
                "psi": "Psi holds only as long as the heat leaves as it did in the test. It is no resistance and "
                "is never put in series.",
                "both": "Each of them alone reaches from junction to top; together they would count that way twice.",
            },
        ),
    ),
    cases=(
        Case(
            "junction_c", 85, 0.5, PAGE_OF_CHAINS, "published-second-hand", givens={"top_c": 70}, earlier={"rise": 15}
        ),
        Case(
            "rise",
            0.14,
            0.005,
            "psi-JT 0.014 K/W of a data-sheet table of a ceramic array package, at 10 W",
            "computed",
            givens={"psi_jt": 0.014, "power": 10, "theta_jc": 0.54},
            note="the figure is published, the product ours",
        ),
        Case("heat_up", 2, 0.005, "by hand: 5 K over 2.5 K/W", "computed", earlier={"rise": 5}),
    ),
    caution=POWERED,
    sound=lambda drawn: drawn["theta_jc"] >= 5 * drawn["psi_jt"],
    floor=0.06,
)

TWO_WAYS = Exercise(
    id="two-ways-out",
    number=4,
    title="Let the heat out on two sides",
    setup=(
        "A thin chip makes {heat}, counted over its own area. Upwards, air takes the heat at once with a film "
        "coefficient of {film}. Downwards the chip is glued to aluminium, {thickness} thick with a conductivity of "
        "{conductivity}; the glue has {glue}, contacts included, and below the aluminium the same air takes the heat "
        "with the same film coefficient. The air is at {air_c} on both sides. Work with area resistances: all layers "
        "have the area of the chip, and the area resistance of a film is 1 / film coefficient."
    ),
    givens=dict(
        heat=Quantity(10, "kW/m²", low=4, high=12, step=0.5),
        film=Quantity(100, "W/m²K", low=80, high=200, step=10),
        thickness=Quantity(8, "mm", low=4, high=12, step=1),
        conductivity=Fixed(239, "W/mK"),
        glue=Quantity(90, "mm²K/W", low=50, high=200, step=10),
        air_c=Quantity(25, "°C", low=18, high=32, step=1),
    ),
    parts=(
        Number(
            "below",
            "What is the area resistance of the whole way down, from the chip to the air below?",
            points=2,
            unit="mm²K/W",
            expected=lambda g, a: chain.in_series(
                g.glue, chain.layer_area_resistance(g.thickness, g.conductivity), 1 / g.film
            ),
            within=relative(0.001),
            because="only rounding is left",
            plausible=(3100, 21000),
            working="below = glue + thickness * 1e-3 / conductivity * 1e6 + 1e6 / film",
            hint="Three layers one after another, all in mm²K/W: 1 m²K/W is a million of them.",
            slips=(
                Slip(
                    "no film",
                    lambda g, a: g.glue + g.thickness / g.conductivity,
                    "The heat has not reached the air yet: the film below the aluminium is missing.",
                ),
                Slip(
                    "no glue",
                    lambda g, a: g.thickness / g.conductivity + 1 / g.film,
                    "The glue is missing.",
                ),
                Slip(
                    "no aluminium",
                    lambda g, a: g.glue + 1 / g.film,
                    "The aluminium is missing.",
                ),
            ),
        ),
        Number(
            "both",
            "What is the area resistance of both ways together?",
            points=2,
            unit="mm²K/W",
            expected=lambda g, a: chain.in_parallel(1 / g.film, a.below),
            within=relative(0.002),
            because="only rounding is left",
            plausible=(390, 11000),
            working="both = 1 / (film / 1e6 + 1 / below)",
            hint="The heat may choose: side by side, it is the inverses that add.",
            slips=(
                Slip(
                    "added",
                    lambda g, a: 1 / g.film + a.below,
                    "You added the two ways. The same heat does not pass both: they lie side by side.",
                ),
                Slip(
                    "mean",
                    lambda g, a: (1 / g.film + a.below) / 2,
                    "You took the mean. Two ways together are easier than either of them alone.",
                ),
            ),
        ),
        Number(
            "chip_c",
            "How hot is the chip?",
            points=1,
            unit="°C",
            expected=lambda g, a: g.air_c + g.heat * a.both,
            within=absolute(0.3),
            because="film coefficients are never known better",
            plausible=(11, 500),
            working="chip_c = air_c + heat * 1000 * both * 1e-6",
            slips=(
                Slip(
                    "up only",
                    lambda g, a: g.air_c + g.heat / g.film,
                    "You let the heat out upwards only. It leaves downwards too.",
                ),
                Slip(
                    "down only",
                    lambda g, a: g.air_c + g.heat * a.below,
                    "You let the heat out downwards only. It leaves upwards too.",
                ),
                Slip(
                    "in series",
                    lambda g, a: g.air_c + g.heat * (1 / g.film + a.below),
                    "You sent all the heat through both ways one after the other. They lie side by side.",
                ),
            ),
        ),
        Choice(
            "help_most",
            "The chip is still too hot. What helps most?",
            points=1,
            options={
                "thinner glue": "half the glue: a thin layer, well pressed",
                "copper": "copper for aluminium: a better conductor",
                "more air": "twice the film: a fan, or fins on the metal",
            },
            expected=lambda g, a: "more air",
            slips={
                "thinner glue": "Look at the three layers below the chip: the glue is a small part of their sum.",
                "copper": "Look at the three layers below the chip: the metal is the smallest of them.",
            },
        ),
    ),
    cases=(
        Case(
            "chip_c",
            75.3,
            0.05,
            "Bergman et al., Fundamentals of Heat and Mass Transfer, chapter 3, chip, epoxy and aluminium",
            "computed",
            note="the inputs are second-hand, the answer is worked out here",
        ),
        Case(
            "below",
            10100,
            0.5,
            "series by hand: 50 mm²K/W of glue, 10 mm of 200 W/mK, a film of 100 W/m²K",
            "computed",
            givens={"glue": 50, "thickness": 10, "conductivity": 200, "film": 100},
        ),
        Case(
            "both", 5000, 0.5, "parallel by hand: two alike", "computed", givens={"film": 100}, earlier={"below": 10000}
        ),
    ),
    caution=POWERED,
    floor=0.06,
)

THICKNESSES = (0.25, 0.5, 1, 2)


def _own_readings(stream, drawn):
    """Return readings of an invented paste: own conductivity and own contacts, to a tenth of mm²K/W."""
    conductivity, contacts = stream.grid(1.5, 4, 0.25), stream.grid(25, 60, 5)
    return [round(thickness / conductivity * 1000 + contacts, 1) for thickness in THICKNESSES]


def _line(g):
    return bond_line.fit_meter_bar_data(g.layer, g.reading)


TESTER = Exercise(
    id="paste-on-a-tester",
    number=5,
    title="Tell the paste from its contacts",
    setup=(
        "A tester after ASTM D5470 presses a layer between two metal bars and gives the area resistance of the whole joint. "
        "Four layers of the same putty (a gap filler: a paste so stiff that it stands up to some millimetres; invented "
        "data) gave the table below; a thin paste is tested the same way, in thinner layers. The readings lie on a "
        "straight line: thickness / conductivity + both contacts together."
    ),
    givens=dict(
        layer=Record(THICKNESSES, "mm", lambda stream, drawn: THICKNESSES),
        reading=Record((113.3, 196.7, 363.3, 696.7), "mm²K/W", _own_readings),
    ),
    table=("layer", "reading"),
    parts=(
        Number(
            "conductivity",
            "What is the conductivity of the paste itself?",
            points=2,
            unit="W/mK",
            expected=lambda g, a: _line(g).conductivity,
            within=relative(0.02),
            because="two rows or a fitted line through all four give the same to well within this",
            plausible=(0.93, 6.4),
            working="conductivity = (layer[3] - layer[0]) * 1e-3 / ((reading[3] - reading[0]) * 1e-6)",
            hint="Between two rows the contacts are the same: only the thickness changes.",
            slips=(
                Slip(
                    "thinnest row alone",
                    lambda g, a: bond_line.apparent_conductivity(g.layer[0], g.reading[0]),
                    "You divided the thinnest layer by its reading. That reading holds the contacts too.",
                ),
                Slip(
                    "thickest row alone",
                    lambda g, a: bond_line.apparent_conductivity(g.layer[-1], g.reading[-1]),
                    "You divided the thickest layer by its reading. Even there the contacts count: use two rows.",
                ),
                Slip(
                    "upside down",
                    lambda g, a: 1 / _line(g).conductivity,
                    "That is the slope, resistance per thickness. The conductivity is its inverse.",
                ),
            ),
        ),
        Number(
            "contacts",
            "What do both contacts together add?",
            points=2,
            unit="mm²K/W",
            expected=lambda g, a: _line(g).contacts,
            within=relative(0.04),
            because="readings are given to 0.1 mm²K/W, and it is a small difference",
            plausible=(15, 97),
            working="contacts = reading[0] - layer[0] * 1e-3 / conductivity * 1e6",
            hint="Where does the line end when the paste gets ever thinner?",
            slips=(
                Slip(
                    "one contact",
                    lambda g, a: _line(g).contacts / 2,
                    "That is one contact. The question asks for both together.",
                ),
                Slip(
                    "thinnest reading",
                    lambda g, a: g.reading[0],
                    "That is the reading of the thinnest layer. Take its paste off.",
                ),
                Slip(
                    "paste of the thinnest layer",
                    lambda g, a: g.layer[0] / _line(g).conductivity,
                    "That is the paste in the thinnest layer. What is left of the reading are the contacts.",
                ),
            ),
        ),
        Number(
            "seeming",
            "Someone has measured only the layer of 0.25 mm and takes the whole reading for paste. Which conductivity "
            "do they print?",
            points=1,
            unit="W/mK",
            expected=lambda g, a: bond_line.apparent_conductivity(g.layer[0], g.reading[0]),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(0.68, 4.6),
            working="seeming = layer[0] * 1e-3 / (reading[0] * 1e-6)",
            slips=(
                Slip(
                    "true one",
                    lambda g, a: a.conductivity,
                    "That is the conductivity of the paste itself. They did not take the contacts off.",
                ),
                Slip(
                    "thickest layer",
                    lambda g, a: bond_line.apparent_conductivity(g.layer[-1], g.reading[-1]),
                    "You took the thickest layer. They measured the thinnest one.",
                ),
            ),
        ),
        Choice(
            "which_tube",
            "Two tubes lie on the bench, each with its conductivity printed. How do you compare them for a joint of 50 µm?",
            points=1,
            options={
                "number": "by the printed conductivity, the higher the better",
                "thick": "by readings at 2 mm, where the contacts vanish",
                "joint": "by paste and contacts together at about 50 µm",
                "price": "by the price, as a costly paste conducts better",
            },
            expected=lambda g, a: "joint",
            slips={
                "number": "At 50 µm the contacts weigh as much as the paste, and the printed number leaves them out.",
                "thick": "Your joint is 50 µm. There the contacts do not vanish.",
                "price": "The price is not measured in W/mK.",
            },
        ),
    ),
    cases=(
        Case(
            "conductivity",
            3.0,
            0.05,
            "straight line of a paste joint (InterPACK 2005, article 306012), made up with 3 W/mK",
            "computed",
        ),
        Case("contacts", 30, 0.5, "straight line of a paste joint, made up with 30 mm²K/W", "computed"),
        Case("seeming", 2.21, 0.005, "straight line of a paste joint, 0.25 mm over 113.33 mm²K/W", "computed"),
    ),
    caution=(
        "The bars of a tester are hot and press hard: keep your fingers out, and follow its instructions and your shop's "
        "rules."
    ),
    floor=0.25,
)

EXERCISES = (LAYER, JUNCTION, TOP_READING, TWO_WAYS, TESTER)
