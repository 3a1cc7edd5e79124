"""Exercises on the sink: heat that spreads in metal, fins, and still air around a plate."""

from math import pi, tanh

from graders.questions import Case, Choice, Exercise, Fixed, Number, Quantity, Slip, absolute, relative
from graders.sheets.paste.chain import PAGE_OF_CHAINS
from workbook.bench.paste import chain, fins, spreading
from workbook.bench.profile import films

HOT_SINK = (
    "A sink at work can burn you. Nothing is touched, loosened or measured by hand while the device runs; it is "
    "unplugged, discharged and cold first. Follow your shop's rules."
)


def _share_is_clear(drawn: dict) -> bool:
    """Whether the contact's share of the rise lies clear of one half, where the act turns."""
    g = DISC.values(drawn)
    contact = chain.resistance_over_area(g.contact, pi * g.diameter**2 / 4)
    block = spreading.isothermal_disc_on_half_space(g.diameter / 2, g.conductivity)
    return abs(contact / (contact + block) - 0.5) > 0.025


DISC = Exercise(
    id="disc-on-a-block",
    number=14,
    title="Press a hot disc on a block of aluminium",
    setup=(
        "A round part, {diameter} in diameter, sends {power} into a block of aluminium that is very large beside it. "
        "The contact between them has an area resistance of {contact}. In the block, whose conductivity is "
        "{conductivity}, the heat spreads to all sides; for a disc of diameter D on a very large body the resistance "
        "is 1 / (2 D k). Far away the block is at {block_c}."
    ),
    givens=dict(
        diameter=Quantity(20, "mm", low=12, high=30, step=1),
        power=Quantity(100, "W", low=40, high=120, step=5),
        contact=Quantity(50, "mm²K/W", low=20, high=80, step=5),
        conductivity=Fixed(177, "W/mK"),
        block_c=Quantity(27, "°C", low=20, high=35, step=1),
    ),
    parts=(
        Number(
            "joint",
            "What is the resistance of the contact?",
            points=1,
            unit="K/W",
            expected=lambda g, a: chain.resistance_over_area(g.contact, pi * g.diameter**2 / 4),
            within=relative(0.02),
            because="contacts are hardly known better",
            plausible=(0.017, 2),
            working="joint = contact / (pi * diameter**2 / 4)",
            slips=(
                Slip(
                    "diameter as radius",
                    lambda g, a: g.contact / (pi * g.diameter**2),
                    "Four times too little: you put the diameter in place of the radius.",
                ),
                Slip(
                    "square part",
                    lambda g, a: g.contact / g.diameter**2,
                    "You took a square part. This one is round.",
                ),
            ),
        ),
        Number(
            "block",
            "What is the resistance of the block?",
            points=1,
            unit="K/W",
            expected=lambda g, a: spreading.isothermal_disc_on_half_space(g.diameter / 2, g.conductivity),
            within=relative(0.02),
            because="the conductivity of an alloy is hardly known better",
            plausible=(0.058, 0.38),
            working="block = 1 / (2 * diameter * 1e-3 * conductivity)",
            slips=(
                Slip(
                    "radius for diameter",
                    lambda g, a: 1 / (g.diameter * g.conductivity),
                    "Twice too much: you put the radius where D, the diameter, belongs.",
                ),
                Slip(
                    "half of it",
                    lambda g, a: 1 / (4 * g.diameter * g.conductivity),
                    "Half of it: 1 / (4 k r) goes with the radius. The formula given goes with the diameter.",
                ),
                Slip(
                    "π put in",
                    lambda g, a: 1 / (pi * g.diameter * g.conductivity),
                    "You put a π in. This formula has none.",
                ),
            ),
        ),
        Number(
            "part_c",
            "How hot is the face of the part, on its own side of the contact?",
            points=2,
            unit="°C",
            expected=lambda g, a: chain.junction_temperature(g.block_c, g.power, a.joint, a.block),
            within=absolute(0.3),
            because="a thermometer reads about this well",
            plausible=(15, 400),
            working="part_c = block_c + power * (joint + block)",
            slips=(
                Slip(
                    "no spreading",
                    lambda g, a: g.block_c + g.power * a.joint,
                    "You stopped below the contact. In the block the heat still has to spread.",
                ),
                Slip(
                    "no contact",
                    lambda g, a: g.block_c + g.power * a.block,
                    "The contact is missing.",
                ),
                Slip(
                    "side by side",
                    lambda g, a: g.block_c + g.power * chain.in_parallel(a.joint, a.block),
                    "You took contact and block side by side. The same heat passes both.",
                ),
                Slip(
                    "rise alone",
                    lambda g, a: g.power * (a.joint + a.block),
                    "That is the rise above the block. Add the block's own temperature.",
                ),
            ),
        ),
        Number(
            "contact_share",
            "Which share of the rise is made by the contact?",
            points=1,
            unit="%",
            expected=lambda g, a: a.joint / (a.joint + a.block),
            within=relative(0.02),
            because="the two resistances are known to about this",
            plausible=(2, 98),
            working="contact_share = joint / (joint + block) * 100",
            slips=(
                Slip(
                    "over the block",
                    lambda g, a: a.joint / a.block,
                    "You divided by the block alone. A share is a part of the whole way.",
                ),
                Slip(
                    "share of the block",
                    lambda g, a: a.block / (a.joint + a.block),
                    "That is the block's share.",
                ),
            ),
        ),
        Choice(
            "act",
            "The part is too hot, and the block cannot be changed. Cleaned and refitted, a contact has half its resistance. The shop "
            "refits it where that takes away at least a quarter of the rise. What do you do?",
            points=1,
            options={
                "fan": "blow a fan at the part's top, as a part has no fins",
                "clean": "clean and refit the contact: it takes away enough",
                "power": "leave the contact: it takes away less; lower the power",
                "paste": "lay on a lot more paste, as paste is what cools it",
            },
            expected=lambda g, a: "clean" if a.contact_share >= 0.5 else "power",
            slips={
                "fan": "The heat goes into the block. A fan on the small top takes little.",
                "clean": "Half of the contact's share: is it a quarter of the rise?",
                "power": "Half of the contact's share: is it a quarter of the rise?",
                "paste": "More paste is a thicker contact.",
            },
        ),
    ),
    cases=(
        Case(
            "joint",
            0.159,
            0.0005,
            "Bergman et al., Fundamentals of Heat and Mass Transfer, problem 4.27, solution page",
            "published",
        ),
        Case(
            "block",
            0.1412,
            0.00005,
            "1 / (4 a k) in the documentation of a public library, a 10 mm, 177 W/mK",
            "published-second-hand",
        ),
        Case(
            "part_c",
            57.0,
            0.05,
            "contact and block in series, inputs of Bergman et al., problem 4.27",
            "computed",
            note="an answer site prints 49.8 °C, which does not follow from its own two resistances",
        ),
        Case(
            "contact_share",
            53.0,
            0.05,
            "by hand from 0.159 and 0.1412 K/W of Bergman et al., problem 4.27",
            "computed",
            earlier={"joint": 0.159, "block": 0.1412},
        ),
    ),
    caution=HOT_SINK,
    sound=_share_is_clear,
    floor=0.08,
)


def _base(g):
    return spreading.SpreadingPlate(g.source**2, g.side**2, g.thickness, g.conductivity, g.below)


def _shape(g):
    """Return radius ratio, depth ratio and phi, written out for the slips."""
    source, plate = g.source / pi**0.5, g.side / pi**0.5
    wave = pi + plate / (pi**0.5 * source)
    slack, sag = wave * pi * g.conductivity * plate * g.below, tanh(wave * g.thickness / plate)
    return source / plate, g.thickness / plate, (sag + slack) / (1 + slack * sag)


def _with_half_for_root(g):
    ratio, depth, phi = _shape(g)
    return (ratio * depth / pi**0.5 + (1 - ratio) * phi / 2) / (g.conductivity * g.source)


def _without_straight_part(g):
    ratio, _, phi = _shape(g)
    return (1 - ratio) * phi / pi**0.5 / (g.conductivity * g.source)


SPREAD = Exercise(
    id="heat-spreads-in-the-base",
    number=15,
    title="Spread the heat in the base of a sink",
    setup=(
        "A square chip, {source} on a side, sits in the middle of the square base of a sink, {side} on a side and "
        "{thickness} thick, of {conductivity}. From the whole far face of the base to the air there is {below}. The "
        "closed form of Lee, Song, Au and Moran (1995) gives the resistance from the hottest point of the chip's face to "
        "the mean of the far face. Make both squares round: a = source / √π, b = side / √π. Then ε = a / b, τ = thickness "
        "/ b, Bi = 1 / (π k b R), with R the resistance from far face to air, λ = π + 1 / (√π ε), φ = (tanh(λ τ) + λ "
        "/ Bi) / (1 + (λ / Bi) tanh(λ τ)), ψ = (ε τ + (1 − ε) φ) / √π (a plain number), and the spreading resistance is ψ / "
        "(√π × k × a). It contains the straight way through the base already. The chip sends {power}; the air is at {air_c}."
    ),
    givens=dict(
        source=Quantity(25, "mm", low=12, high=30, step=1),
        side=Quantity(100, "mm", low=60, high=100, step=5),
        thickness=Quantity(5, "mm", low=3, high=8, step=0.5),
        conductivity=Fixed(200, "W/mK"),
        below=Quantity(1.2, "K/W", low=0.5, high=2.5, step=0.1),
        power=Quantity(30, "W", low=10, high=40, step=2),
        air_c=Quantity(25, "°C", low=20, high=35, step=1),
    ),
    parts=(
        Number(
            "straight",
            "What would the base resist if the heat came in over its whole face?",
            points=1,
            unit="K/W",
            expected=lambda g, a: spreading.one_dimensional_share(_base(g)),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(0.00093, 0.018),
            working="straight = thickness * 1e-3 / (conductivity * (side * 1e-3)**2)",
            slips=(
                Slip(
                    "column below the chip",
                    lambda g, a: g.thickness / (g.conductivity * g.source**2),
                    "That is a column below the chip. The question lets the heat in over the whole face.",
                ),
            ),
        ),
        Number(
            "spread_resistance",
            "What is the spreading resistance by the closed form?",
            points=3,
            unit="K/W",
            expected=lambda g, a: spreading.maximum_spreading_resistance(_base(g)),
            within=relative(0.005),
            because="the formula is given; against the exact series it may itself be some per cent off",
            plausible=(0.02, 0.7),
            working="""
a = source / 1000 / sqrt(pi)
b = side / 1000 / sqrt(pi)
eps = a / b
depth = thickness / 1000 / b      # τ
biot = 1 / (pi * conductivity * b * below)
lam = pi + 1 / (sqrt(pi) * eps)
phi = (tanh(lam * depth) + lam / biot) / (1 + lam / biot * tanh(lam * depth))
psi = (eps * depth + (1 - eps) * phi) / sqrt(pi)
spread_resistance = psi / (sqrt(pi) * conductivity * a)
""",
            hint="Work in metres, one symbol after the other. ε, τ and φ are plain numbers; ε is below 1.",
            slips=(
                Slip(
                    "straight way added again",
                    lambda g, a: spreading.maximum_spreading_resistance(_base(g)) + a.straight,
                    "You added the straight way through the base. The closed form contains it already.",
                ),
                Slip(
                    "column below the chip",
                    lambda g, a: g.thickness / (g.conductivity * g.source**2),
                    "That is a straight column below the chip. The heat spreads sideways through the thin base, which "
                    "is a longer way.",
                ),
                Slip(
                    "half for one over root pi",
                    lambda g, a: _with_half_for_root(g),
                    "You put 1/2 where 1/√π belongs. A magazine reprint of the formula has that misprint.",
                ),
                Slip(
                    "straight part left out",
                    lambda g, a: _without_straight_part(g),
                    "The term ε τ is missing.",
                ),
            ),
        ),
        Number(
            "total",
            "What is the resistance from the hottest point of the chip's face to the air?",
            points=1,
            unit="K/W",
            expected=lambda g, a: g.below + a.spread_resistance,
            within=absolute(0.001),
            because="it is one sum of numbers you have; a wider band would not show a way left out or counted twice",
            plausible=(0.33, 10),
            working="total = spread_resistance + below",
            slips=(
                Slip(
                    "straight way counted twice",
                    lambda g, a: g.below + a.spread_resistance + a.straight,
                    "You added the straight way through the base. Look again at what the closed form contains.",
                ),
                Slip(
                    "no spreading",
                    lambda g, a: g.below,
                    "That is the way from the far face on. Before it comes the base.",
                ),
            ),
        ),
        Number(
            "face_c",
            "How hot is the hottest point of the chip's face?",
            points=1,
            unit="°C",
            expected=lambda g, a: g.air_c + g.power * a.total,
            within=absolute(0.5),
            because="the closed form is not better than this",
            plausible=(15, 300),
            working="face_c = air_c + power * total",
            slips=(
                Slip(
                    "rise alone",
                    lambda g, a: g.power * a.total,
                    "That is the rise above the air. Add the air's own temperature.",
                ),
                Slip(
                    "no spreading",
                    lambda g, a: g.air_c + g.power * g.below,
                    "That is the mean of the far face. The chip is hotter.",
                ),
            ),
        ),
        Choice(
            "act",
            "This chip may have 60 °C at its face. Two sinks have the same resistance to the air. Which one do you fit?",
            points=1,
            options={
                "same": "either: the same resistance means the same face",
                "thick": "the one with the thicker base, if it still fits",
                "wide": "the one with the wider base, however thin it is",
            },
            expected=lambda g, a: "thick",
            slips={
                "same": "The resistance to the air is counted from the whole base. Before it the heat has to spread.",
                "wide": "A wide thin base makes the spreading longer and narrower.",
            },
        ),
    ),
    cases=(
        Case(
            "face_c",
            70,
            0.5,
            PAGE_OF_CHAINS,
            "published-second-hand",
            givens={"power": 5, "air_c": 25},
            earlier={"total": 9},
        ),
        Case("straight", 0.0025, 0.00005, "plane wall: 5 mm, 200 W/mK, 100 mm x 100 mm", "computed"),
        Case("spread_resistance", 0.191, 0.0005, "closed form of Lee et al. 1995, 25 mm on 100 mm x 5 mm", "computed"),
        Case(
            "spread_resistance",
            0.340,
            0.0005,
            "closed form of Lee et al. 1995, 14 mm on 60 mm x 3 mm",
            "computed",
            givens={"source": 14, "side": 60, "thickness": 3, "below": 2.0},
        ),
        Case(
            "spread_resistance",
            0.927,
            0.0005,
            "closed form of Lee et al. 1995, 14 mm on 60 mm x 1 mm",
            "computed",
            givens={"source": 14, "side": 60, "thickness": 1, "below": 2.0},
        ),
        Case(
            "total",
            1.191,
            0.0005,
            "closed form of Lee et al. 1995 and 1.0 K/W below",
            "computed",
            givens={"below": 1.0},
        ),
    ),
    caution=HOT_SINK,
    floor=0.05,
)


def _fin_area(g):
    return 2 * g.count * g.reach * g.base


def _all_area(g):
    return _fin_area(g) + (g.base - g.count * g.thickness) * g.base


FINS = Exercise(
    id="fins",
    number=16,
    title="Find what fins are worth",
    setup=(
        "A sink has a square base, {base} on a side. On it stand {count} plate fins as long as the base, {thickness} "
        "thick and {reach} high, of {conductivity}. Air passes fins and bare base with a film coefficient of {film}. "
        "A fin is cooler at its tip. Its parameter is m = √(2 h / (k t)), with film coefficient h, conductivity k and "
        "thickness t, and its efficiency tanh(m L) / (m L), with the height L; tips and ends of the fins are left "
        "out. Bare base is what lies between the fins."
    ),
    givens=dict(
        base=Quantity(60, "mm", low=40, high=90, step=5),
        count=Quantity(12, "1", low=8, high=16, step=1),
        thickness=Quantity(1.2, "mm", low=0.5, high=1.5, step=0.1),
        reach=Quantity(20, "mm", low=15, high=40, step=1),
        conductivity=Quantity(200, "W/mK", low=140, high=230, step=10),
        film=Quantity(50, "W/m²K", low=25, high=60, step=5),
    ),
    parts=(
        Number(
            "parameter",
            "What is the fin parameter m?",
            points=1,
            unit="1/m",
            expected=lambda g, a: fins.plate_fin_parameter(g.film, g.conductivity, g.thickness),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(7.5, 64),
            working="parameter = sqrt(2 * film / (conductivity * thickness * 1e-3))",
            slips=(
                Slip(
                    "root forgotten",
                    lambda g, a: 2 * g.film / (g.conductivity * g.thickness),
                    "The root is missing.",
                ),
                Slip(
                    "one face",
                    lambda g, a: (g.film / (g.conductivity * g.thickness)) ** 0.5,
                    "You counted one face. A fin has air on both: the 2 is missing.",
                ),
                Slip(
                    "round pin",
                    lambda g, a: (4 * g.film / (g.conductivity * g.thickness)) ** 0.5,
                    "That is the parameter of a round pin, with 4. These are plates.",
                ),
            ),
        ),
        Number(
            "efficiency",
            "What is the efficiency of one fin, as a number from 0 to 1?",
            points=1,
            unit="1",
            expected=lambda g, a: fins.fin_efficiency(a.parameter, g.reach),
            within=absolute(0.005),
            because="film coefficients are hardly known well enough for more",
            plausible=(0.05, 0.999),
            working="""
m_reach = parameter * reach * 1e-3
efficiency = tanh(m_reach) / m_reach
""",
            slips=(
                Slip(
                    "tanh alone",
                    lambda g, a: tanh(a.parameter * g.reach),
                    "You did not divide by m L.",
                ),
                Slip(
                    "half height",
                    lambda g, a: fins.fin_efficiency(a.parameter, g.reach / 2),
                    "You put half of the height. The air on both faces is in m already.",
                ),
            ),
        ),
        Number(
            "resistance",
            "What is the resistance from the base of the sink to the air?",
            points=2,
            unit="K/W",
            expected=lambda g, a: fins.sink_resistance(g.film, a.efficiency, _fin_area(g), _all_area(g)),
            within=relative(0.004),
            because="only rounding is left; a film coefficient itself is hardly known to 20 %",
            plausible=(0.1, 5),
            working="""
fin_area = 2 * count * reach * base * 1e-6
bare_area = (base - count * thickness) * base * 1e-6
resistance = 1 / (film * (efficiency * fin_area + bare_area))
""",
            hint="A resistance to the air is 1 / (h × area). Both faces of the fins count by their efficiency; the "
            "bare base counts in full.",
            slips=(
                Slip(
                    "fins fully hot",
                    lambda g, a: chain.film_resistance(g.film, _all_area(g)),
                    "You took the fins to be as hot as the base all over. Their efficiency is missing.",
                ),
                Slip(
                    "one face of each fin",
                    lambda g, a: 1 / (g.film * (a.efficiency * _fin_area(g) / 2 + _all_area(g) - _fin_area(g))),
                    "You counted one face of each fin. Air passes both.",
                ),
                Slip(
                    "no bare base",
                    lambda g, a: 1 / (g.film * a.efficiency * _fin_area(g)),
                    "The bare base between the fins is missing.",
                ),
                Slip(
                    "no fins",
                    lambda g, a: 1 / (g.film * g.base**2),
                    "That is a flat base without fins.",
                ),
            ),
        ),
        Choice(
            "next_step",
            "With a strong fan the film coefficient doubles. What becomes of the efficiency of a fin?",
            points=1,
            options={
                "stays": "it stays: it belongs to the metal and its shape",
                "rises": "it rises: more air takes more heat at the tip",
                "falls": "it falls: the tip is cooled further than before",
            },
            expected=lambda g, a: "falls",
            slips={
                "stays": "Look at m: the film coefficient is in it.",
                "rises": "The fin carries more heat, but less of what it could. Put twice the film into m and see.",
            },
        ),
        Choice(
            "act",
            "A sink chokes with dust, and its film coefficient has fallen. What do you do?",
            points=1,
            options={
                "faster": "set the fan faster, and leave the dust inside",
                "clean": "unplug, let it cool, and clean fins and fan",
                "blow": "blow the fins out while the fan still turns",
            },
            expected=lambda g, a: "clean",
            slips={
                "faster": "The fan cannot push air through dust; it only wears out sooner.",
                "blow": "An over-spun fan makes a voltage of its own, and the dust goes into your lungs.",
            },
        ),
    ),
    cases=(
        Case(
            "parameter",
            10.80,
            0.005,
            "solution page to Çengel, Heat Transfer: plate fin 2 mm x 20 mm, 45 W/m²K, 386 W/mK",
            "published",
            givens={"thickness": 2, "film": 45, "conductivity": 386},
        ),
        Case(
            "efficiency",
            0.985,
            0.0005,
            "solution page to Çengel, Heat Transfer: plate fin 2 mm x 20 mm, 45 W/m²K, 386 W/mK",
            "published",
            givens={"thickness": 2, "film": 45, "conductivity": 386},
        ),
        Case(
            "efficiency",
            0.938,
            0.0005,
            "tanh(mL) / (mL): 200 W/mK, 1 mm x 20 mm, 50 W/m²K",
            "computed",
            givens={"thickness": 1},
        ),
        Case(
            "efficiency",
            0.814,
            0.0005,
            "tanh(mL) / (mL): 200 W/mK, 0.5 mm x 30 mm, 40 W/m²K",
            "computed",
            givens={"thickness": 0.5, "reach": 30, "film": 40},
        ),
        Case(
            "resistance",
            0.741,
            0.0005,
            "by hand: 27 000 mm² of fins and base in 50 W/m²K, all of them as warm as the base",
            "computed",
            givens={"base": 60, "count": 10, "thickness": 1.0, "reach": 20, "film": 50},
            earlier={"efficiency": 1.0},
        ),
    ),
    caution=HOT_SINK,
    floor=0.20,
)


def _kelvin_forgotten(g):
    return g.emissivity * films.STEFAN_BOLTZMANN * (g.plate_c**4 - g.air_c**4)


STILL_AIR = Exercise(
    id="plate-in-still-air",
    number=17,
    title="Cool a plate in still air",
    setup=(
        "A square plate, {side} on a side, hangs upright in still air and is at {plate_c} all over. Air and walls are "
        "at {air_c}. Rising air takes heat from each face with a film coefficient of {convection}. The faces are "
        "painted, with an emissivity ε of {emissivity}, and radiate ε σ (T⁴ − T₀⁴), with T of the plate and T₀ of the "
        "walls in kelvin (0 °C is 273.15 K) and σ = 5.670 × 10⁻⁸ W/m²K⁴. The edges are left out."
    ),
    givens=dict(
        side=Quantity(50, "mm", low=40, high=100, step=5),
        plate_c=Quantity(60, "°C", low=50, high=90, step=1),
        air_c=Quantity(25, "°C", low=18, high=32, step=1),
        convection=Quantity(6.7, "W/m²K", low=4.5, high=7.5, step=0.1),
        emissivity=Quantity(0.9, "1", low=0.8, high=0.95, step=0.01),
    ),
    parts=(
        Number(
            "radiated",
            "How much does one face radiate, per area?",
            points=2,
            unit="W/m²",
            expected=lambda g, a: films.radiation_flux(g.emissivity, g.plate_c, g.air_c),
            within=relative(0.01),
            because="only rounding is left; an emissivity is hardly known to two figures",
            plausible=(63, 870),
            working="radiated = emissivity * 5.670e-8 * ((plate_c + 273.15)**4 - (air_c + 273.15)**4)",
            slips=(
                Slip(
                    "°C in the fourth power",
                    lambda g, a: _kelvin_forgotten(g),
                    "You put °C into the fourth powers. They need kelvin.",
                ),
                Slip(
                    "walls forgotten",
                    lambda g, a: g.emissivity * films.STEFAN_BOLTZMANN * (g.plate_c + 273.15) ** 4,
                    "The walls radiate back: take their part off.",
                ),
                Slip(
                    "black",
                    lambda g, a: films.radiation_flux(1, g.plate_c, g.air_c),
                    "The emissivity is missing.",
                ),
                Slip(
                    "difference to the fourth",
                    lambda g, a: g.emissivity * films.STEFAN_BOLTZMANN * (g.plate_c - g.air_c) ** 4,
                    "You took the fourth power of the difference. Take the difference of the fourth powers.",
                ),
            ),
        ),
        Number(
            "radiation_film",
            "Which film coefficient would carry off the same heat as this radiation?",
            points=1,
            unit="W/m²K",
            expected=lambda g, a: a.radiated / (g.plate_c - g.air_c),
            within=relative(0.02),
            because="it carries the uncertainty of the emissivity",
            plausible=(0.5, 50),
            working="radiation_film = radiated / (plate_c - air_c)",
            slips=(
                Slip(
                    "over kelvin",
                    lambda g, a: a.radiated / (g.plate_c + 273.15),
                    "You divided by the plate's temperature. A film works on the difference of plate and air.",
                ),
                Slip(
                    "emissivity left out",
                    lambda g, a: a.radiated / g.emissivity / (g.plate_c - g.air_c),
                    "You left the emissivity out. The plate gives off less than a black one.",
                ),
            ),
        ),
        Number(
            "one_face",
            "How many watts does one face lose, by air and by radiation?",
            points=1,
            unit="W",
            expected=lambda g, a: (
                (g.plate_c - g.air_c) / chain.film_resistance(g.convection + a.radiation_film, g.side**2)
            ),
            within=relative(0.03),
            because="films in still air are never known better",
            plausible=(0.1, 20),
            working="one_face = (convection + radiation_film) * (side * 1e-3)**2 * (plate_c - air_c)",
            slips=(
                Slip(
                    "air alone",
                    lambda g, a: g.convection * g.side**2 * (g.plate_c - g.air_c),
                    "That is what the air takes. The radiation is missing.",
                ),
            ),
        ),
        Number(
            "heat",
            "How many watts does the whole plate lose?",
            points=1,
            unit="W",
            expected=lambda g, a: 2 * a.one_face,
            within=relative(0.03),
            because="films in still air are never known better",
            plausible=(0.1, 40),
            working="heat = 2 * one_face",
            slips=(
                Slip(
                    "one face",
                    lambda g, a: a.one_face,
                    "That is one face. Air and walls are on both sides of the plate.",
                ),
                Slip(
                    "four edges",
                    lambda g, a: 6 * a.one_face,
                    "You counted a cube. A plate has two faces; its edges are left out.",
                ),
                Slip("four faces", lambda g, a: 4 * a.one_face, "That is four faces: you doubled twice."),
            ),
        ),
        Choice(
            "polished",
            "Someone polishes the plate bright, for looks. The same watts go in. What happens?",
            points=1,
            options={
                "same": "no change: the air is not able to see the polish",
                "hotter": "it gets hotter: polished metal radiates less",
                "cooler": "it gets cooler: polished metal conducts better",
            },
            expected=lambda g, a: "hotter",
            slips={
                "same": "The air does not, but compare your two film coefficients: radiation is a large part here.",
                "cooler": "The polish changes the face, not the metal inside. Which of the two ways is ruled by it?",
            },
        ),
    ),
    cases=(
        Case(
            "radiated",
            816.78,
            0.05,
            "documentation of the library ht, q_rad: emissivity 0.85, 400 K to 305 K",
            "published",
            givens={"emissivity": 0.85, "plate_c": 126.85, "air_c": 31.85},
            note="the library's σ differs from ours in the sixth figure",
        ),
        Case("radiation_film", 6.4, 0.05, "grey-body law, 50 mm plate at 60 °C in air of 25 °C", "computed"),
        Case("heat", 2.3, 0.05, "natural convection and radiation from two faces of 50 mm x 50 mm", "computed"),
        Case(
            "one_face",
            1060,
            5,
            "Bergman et al., Fundamentals of Heat and Mass Transfer, example 9.2: 7.0 W/m²K, 0.71 m × 1.02 m, 209 K",
            "published",
            givens={"side": 851, "plate_c": 234, "air_c": 25, "convection": 7.0},
            earlier={"radiation_film": 0},
            note="the source's plate is no square: 851 mm is the side of one of its area",
        ),
    ),
    caution=HOT_SINK,
    floor=0.07,
)

EXERCISES = (DISC, SPREAD, FINS, STILL_AIR)
