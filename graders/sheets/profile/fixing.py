"""Exercises on what comes before the heat: how often it may be, how the bead is fixed, how the board is held up."""

from graders.questions import Case, Choice, Exercise, Fixed, Number, Order, Pick, Quantity, Slip, absolute, relative
from graders.sheets.profile.cautions import HOT
from workbook.bench.profile import bead_seat, heats, sag
from workbook.drawings import stack, station

SOLIDUS_C = 217
SAFE = {
    "go ahead": "go ahead as planned: both packages stay within three heats",
    "shield first": "shield and measure first: only the processor stays within three",
    "no heat": "no heat on this processor: the whole job takes it over three",
}


def _melts(g):
    return int(g.planned) if g.neighbour_peak >= SOLIDUS_C else 0


def _neighbour(g, melts=None):
    return g.sides + g.neighbour_job + (_melts(g) if melts is None else melts)


def _heat_decision(g, a):
    if a.processor_heats > 3.5:
        return "no heat"
    return "go ahead" if a.neighbour_heats < 3.5 else "shield first"


HEATS = Exercise(
    id="count-the-heats",
    number=22,
    title="Count the heats of two packages",
    setup=(
        "Two packages stand side by side. Heats in assembly with both on the board (one for each side soldered): {sides}. Heats of "
        "the processor in earlier repairs: {earlier}. Heats of the processor in the job planned (a reflow is one; off and on "
        "again are two): {planned}. The memory next to it has lead-free balls (melting from 217 °C) and was never repaired; heats of "
        "a later job of its own: {neighbour_job}. In every heat of the job planned, which has no shield, the memory's joints reach "
        "{neighbour_peak}; in the earlier repairs they stayed solid. Package makers allow three heats in all, with assembly, rework and reballing counted "
        "(J-STD-020, second-hand). A heat counts for a package where its joints melt. A shield over the memory "
        "(tried on a scrap board) keeps its joints below 217 °C. Heats are all that is counted here: that a neighbour's joints suffer "
        "from 195 °C on, before they melt, is a limit of its own."
    ),
    givens=dict(
        sides=Pick(2, (1, 2), "1"),
        earlier=Pick(1, (0, 1, 2), "1"),
        planned=Pick(1, (1, 2), "1"),
        neighbour_job=Pick(1, (0, 1, 2), "1"),
        neighbour_peak=Pick(224, (180, 186, 192, 224, 228), "°C"),
    ),
    parts=(
        Number(
            "processor_heats",
            "How many heats has the processor seen after the job?",
            points=2,
            unit="1",
            expected=lambda g, a: 3 - heats.heats_left(g.sides, g.earlier, g.planned),
            within=absolute(0.2),
            because="heats are counted in whole ones",
            plausible=(3, 5),
            working="processor_heats = sides + earlier + planned",
            slips=(
                Slip(
                    "assembly left out",
                    lambda g, a: g.earlier + g.planned,
                    "Assembly was heat too, once for each side that was soldered.",
                ),
                Slip(
                    "job left out",
                    lambda g, a: g.sides + g.earlier,
                    "That is what it has seen before your job. Your own heat counts.",
                ),
            ),
        ),
        Number(
            "neighbour_heats",
            "And the memory, after both jobs, the first as planned?",
            points=3,
            unit="1",
            expected=lambda g, a: _neighbour(g),
            within=absolute(0.2),
            because="heats are counted in whole ones",
            plausible=(2, 6),
            working="""
melted = planned if neighbour_peak >= 217 else 0
neighbour_heats = sides + neighbour_job + melted
""",
            hint="Did its joints melt in the processor's heats?",
            slips=(
                Slip(
                    "melting judged wrongly",
                    lambda g, a: _neighbour(g, 0 if _melts(g) else int(g.planned)),
                    "Hold the temperature of its joints against 217 °C: a neighbour's heat counts where they melted.",
                ),
                Slip(
                    "assembly left out",
                    lambda g, a: _neighbour(g) - g.sides,
                    "It was on the board in assembly.",
                ),
            ),
        ),
        Choice(
            "decision",
            "What do you do with the job as planned?",
            points=2,
            options=SAFE,
            expected=_heat_decision,
            hint="Hold each count against three, the processor first.",
            slips={
                "go ahead": "Hold each count against three.",
                "shield first": "Whose count is over three, and does a shield change it?",
                "no heat": "Hold each count against three: a count of three is still allowed.",
            },
        ),
        Order(
            "order",
            "Where both are to be heated one after the other, put the steps in a safe order. (A count may forbid the job. Beads and "
            "shields lie in place before any heat. On a board that is still hot the first package would soon melt again.)",
            points=2,
            options={
                "second": "heat the second package, the first one shielded",
                "log both": "a bead on each package, and on what stands between",
                "count": "count the heats of both, and write them down",
                "wait": "let the whole board cool to the hand",
                "first": "heat the first package, the second one shielded",
                "shield": "lay shields over whatever must not melt in either job",
            },
            expected=lambda g, a: [["count"], ["log both", "shield"], ["first"], ["wait"], ["second"]],
            never={
                (
                    "wait",
                    "second",
                ): "Heated straight on, the board starts hot: the first package would be near melting again.",
                ("count", "first"): "A count after the heat cannot refuse the heat.",
            },
        ),
    ),
    cases=(
        Case("processor_heats", 4, 0, "two sides, one repair, one reflow: 2 + 1 + 1", "computed"),
        Case(
            "decision",
            "no heat",
            0,
            "a package maker's paper on rework (abstract): three heats with assembly, rework and reballing",
            "published-unnamed",
        ),
        Case(
            "neighbour_heats",
            3,
            0.01,
            "by hand: two sides and one job of its own, none melted below 217 °C",
            "computed",
            givens={"neighbour_peak": 192},
        ),
    ),
    caution=HOT,
    sound=lambda drawn: drawn["sides"] + drawn["earlier"] + drawn["planned"] <= 5,
    floor=0.40,
)


def _stuck(g, conductivity=None):
    return bead_seat.share_of_gas(g.film, g.bare, g.seat, g.thick, g.adhesive if conductivity is None else conductivity)


def _behind(g, share):
    """Return the joint behind a reading, for a share of gas in it."""
    return (g.shown - share * g.gas) / (1 - share)


BEAD_SEAT = Exercise(
    id="bead-seat",
    number=23,
    title="Fix the bead so that it reads the joint",
    setup=(
        "A bead sits on a ball joint in hot air of {gas}, film {film}. The air touches {bare} of it. Its seat on the joint is "
        "{seat} large and {thick} thick: of adhesive ({adhesive}) or of high-temperature solder ({solder}). In steady heat the bead reads "
        "T_joint + f (T_gas − T_joint) with f = hA / (hA + G), A what the air touches and G = k × seat / thickness."
    ),
    givens=dict(
        film=Quantity(150, "W/m²K", low=100, high=250, step=10),
        gas=Quantity(270, "°C", low=260, high=320, step=5),
        bare=Quantity(3, "mm²", low=2, high=5, step=0.5),
        seat=Quantity(0.5, "mm²", low=0.4, high=1.2, step=0.1),
        thick=Quantity(0.5, "mm", low=0.2, high=0.5, step=0.05),
        adhesive=Quantity(0.3, "W/mK", low=0.25, high=0.6, step=0.05),
        solder=Fixed(50, "W/mK"),
        shown=Quantity(250, "°C", low=230, high=262, step=1),
    ),
    drawing_of_answer=lambda g: station.bead_fixed(225.0, g.gas, g.film, g.bare, g.seat, g.thick, g.adhesive, g.solder),
    parts=(
        Number(
            "gas_share",
            "Stuck on with adhesive: which share f of the gas is in the reading?",
            points=2,
            unit="%",
            expected=lambda g, a: _stuck(g),
            within=relative(0.02),
            because="a film coefficient is not known better",
            plausible=(5, 87),
            working="""
to_gas = film * bare / 1e6
to_joint = adhesive * seat / 1e6 / (thick / 1e3)
gas_share = to_gas / (to_gas + to_joint) * 100
""",
            hint="Two conductances in W/K: h times area, and k times area over thickness.",
            slips=(
                Slip(
                    "share of the joint",
                    lambda g, a: 1 - _stuck(g),
                    "That is the share of the joint. The question is about the gas.",
                ),
                Slip(
                    "ratio of the two",
                    lambda g, a: _stuck(g) / (1 - _stuck(g)),
                    "You divided one conductance by the other. The share is one over both.",
                ),
            ),
        ),
        Number(
            "reads_stuck",
            "The joint is at 225 °C. What does the bead read, stuck on?",
            points=1,
            unit="°C",
            expected=lambda g, a: bead_seat.bead_reading_c(225, g.gas, a.gas_share),
            within=absolute(0.7),
            because="the share is not known better",
            plausible=(226, 310),
            working="reads_stuck = 225 + gas_share / 100 * (gas - 225)",
            slips=(
                Slip(
                    "share from the gas",
                    lambda g, a: g.gas - a.gas_share * (g.gas - 225),
                    "You counted the share from the gas. At f = 0 the bead reads the joint.",
                ),
            ),
        ),
        Number(
            "reads_soldered",
            "And soldered on?",
            points=2,
            unit="°C",
            expected=lambda g, a: bead_seat.bead_reading_c(225, g.gas, _stuck(g, g.solder)),
            within=absolute(0.1),
            because="the share is small, so its uncertainty is smaller",
            plausible=(225.05, 228.5),
            working="""
to_solder = solder * seat / 1e6 / (thick / 1e3)
reads_soldered = 225 + to_gas / (to_gas + to_solder) * (gas - 225)
""",
            slips=(
                Slip(
                    "the stuck one",
                    lambda g, a: a.reads_stuck,
                    "That is the bead stuck on. Solder conducts a hundred times better.",
                ),
            ),
        ),
        Number(
            "joint_behind",
            "A bead stuck on like this shows {shown}. Which temperature has its joint?",
            points=2,
            unit="°C",
            expected=lambda g, a: _behind(g, a.gas_share),
            within=absolute(1.5),
            because="turned round, the uncertainty of the share grows",
            plausible=(150, 260),
            working="joint_behind = (shown - gas_share / 100 * gas) / (1 - gas_share / 100)",
            hint="Solve T = T_joint + f (T_gas − T_joint) for T_joint.",
            slips=(
                Slip(
                    "share taken off the display",
                    lambda g, a: g.shown - a.gas_share * (g.gas - g.shown),
                    "You took the share of the distance from display to gas. It is a share of the distance from joint to gas.",
                ),
            ),
        ),
        Choice(
            "stop",
            "Every joint has to pass 230 °C, and the display of the bead stuck on shows {shown}. Stop the heat?",
            points=1,
            options={
                "stop": "stop: the display is what counts",
                "go on": "go on with care: the joint is short of 230 °C",
                "cool now": "cool at once: the joint has passed 230 °C",
            },
            expected=lambda g, a: "cool now" if a.joint_behind >= 230 else "go on",
            slips={
                "stop": "The display of such a bead is a good part gas. Your answer to Part 4 is what counts.",
                "go on": "Hold your answer to Part 4 against 230 °C.",
                "cool now": "Hold your answer to Part 4 against 230 °C.",
            },
        ),
        Choice(
            "fix",
            "How is the bead fixed for the next board?",
            points=1,
            options={
                "corrected": "stuck on as before, and the display corrected by the sum",
                "soldered": "soldered on, with a solder that melts above 290 °C",
                "taped": "held by polyimide tape, which comes off so cleanly",
                "hovering": "held close over the joint, so that nothing pulls",
            },
            expected=lambda g, a: "soldered",
            slips={
                "corrected": "Film and seat are not known well enough: the sum tells how to fix a bead, not what it would have read.",
                "taped": "Hot tape lets go, and then the bead reads the gas.",
                "hovering": "Without contact it reads the gas.",
            },
        ),
    ),
    cases=(
        Case("gas_share", 60.0, 0.05, "two conductances by hand: 0.45 and 0.30 mW/K", "computed"),
        Case("reads_stuck", 252.0, 0.05, "two conductances by hand", "computed"),
        Case("reads_soldered", 225.4, 0.05, "two conductances by hand: 0.45 and 50 mW/K", "computed"),
        Case(
            "fix",
            "soldered",
            0,
            "an assembler's page on temperature profiles: solder above 290 °C; tape lets go when hot",
            "published-unnamed",
        ),
        Case(
            "joint_behind",
            220,
            0.05,
            "by hand: a tenth of the way from 220 to 270 °C shows 225 °C",
            "computed",
            givens={"shown": 225, "gas": 270},
            earlier={"gas_share": 10},
        ),
    ),
    caution=HOT,
    sound=lambda drawn: _readable(drawn),
)


def _readable(drawn):
    g = BEAD_SEAT.values(drawn)
    joint = _behind(g, _stuck(g))
    return 150 < joint < 260 and abs(joint - 230) > 4


def _own(g, modulus=None, span=None):
    return sag.sag_from_own_weight(span or g.span, g.thickness, g.density, modulus or g.warm)


def _load(g, modulus=None):
    return sag.sag_from_load(g.mass, g.span, g.width, g.thickness, modulus or g.warm)


SAG = Exercise(
    id="hold-the-board-up",
    number=24,
    title="Hold a warm board up from below",
    setup=(
        "A board of bare laminate, {width} wide and {thickness} thick ({density}), lies on two rails {span} apart. A sink of {mass} is left on "
        "at mid-span. Cool, the laminate has a modulus of {cool}; above its glass transition about {warm} (from memory, not from print; ask the "
        "laminate maker). Own weight sags it by 5 ρ g L⁴ / (32 E t²) at mid-span; a mass over the whole width by m g L³ / (48 E I), with I = width × t³ / 12. "
        "g = 9.81 m/s²."
    ),
    givens=dict(
        span=Quantity(250, "mm", low=180, high=300, step=10),
        width=Quantity(200, "mm", low=150, high=240, step=10),
        thickness=Pick(1.6, (1.2, 1.6, 2.0), "mm"),
        density=Fixed(1850, "kg/m³"),
        mass=Quantity(100, "g", low=50, high=180, step=10),
        cool=Fixed(22, "GPa"),
        warm=Quantity(6, "GPa", low=4, high=8, step=0.5),
    ),
    drawing_of_answer=lambda g: stack.sag(g.span, g.thickness, g.density, g.cool, g.warm),
    parts=(
        Number(
            "own_warm",
            "How far does the warm board sag under its own weight?",
            points=2,
            unit="mm",
            expected=lambda g, a: _own(g),
            within=relative(0.015),
            because="only rounding is left, g included",
            plausible=(0.08, 4.2),
            working="""
L, t = span / 1000, thickness / 1000
own_warm = 5 * density * 9.81 * L**4 / (32 * warm * 1e9 * t**2) * 1000
""",
            hint="In metres, kilograms and pascals; 1 GPa is 10⁹ Pa.",
            slips=(
                Slip("as if cool", lambda g, a: _own(g, g.cool), "You took the modulus of the cool laminate."),
                Slip(
                    "thickness once",
                    lambda g, a: _own(g) * g.thickness * 1e3,
                    "The thickness stands squared in the formula.",
                ),
            ),
        ),
        Number(
            "sink_warm",
            "How far does the sink press the warm board down, on top of that?",
            points=2,
            unit="mm",
            expected=lambda g, a: _load(g),
            within=relative(0.015),
            because="only rounding is left, g included",
            plausible=(0.04, 12),
            working="""
I = width / 1000 * t**3 / 12
sink_warm = mass / 1000 * 9.81 * L**3 / (48 * warm * 1e9 * I) * 1000
""",
            slips=(
                Slip("as if cool", lambda g, a: _load(g, g.cool), "You took the modulus of the cool laminate."),
                Slip(
                    "twelve left out",
                    lambda g, a: _load(g) / 12,
                    "I has a 12 below: width × t³ / 12.",
                ),
            ),
        ),
        Number(
            "bow",
            "What bow is that together, as a share of the span?",
            points=1,
            unit="%",
            expected=lambda g, a: (a.own_warm + a.sink_warm) / g.span,
            within=relative(0.015),
            because="only rounding is left",
            plausible=(0.07, 5.5),
            working="bow = (own_warm + sink_warm) / span * 100",
            slips=(
                Slip("own weight only", lambda g, a: a.own_warm / g.span, "The sink presses as well."),
                Slip(
                    "half the span",
                    lambda g, a: 2 * (a.own_warm + a.sink_warm) / g.span,
                    "You divided by half the span. Bow is a share of the whole.",
                ),
                Slip(
                    "over the width",
                    lambda g, a: (a.own_warm + a.sink_warm) / g.width,
                    "You divided by the width. The board hangs through between its supports.",
                ),
            ),
        ),
        Number(
            "own_supported",
            "The sink comes off, and a row of supports is set below mid-span. Take each half as a board of its own on two "
            "supports: how far does it sag by its own weight, warm?",
            points=2,
            unit="mm",
            expected=lambda g, a: _own(g, span=g.span / 2),
            within=relative(0.02),
            because="only rounding is left",
            plausible=(0.005, 0.27),
            working="own_supported = own_warm / 2**4",
            hint="Half the span, to the fourth power.",
            slips=(
                Slip(
                    "half",
                    lambda g, a: _own(g) / 2,
                    "Half the span is not half the sag: it stands to the fourth power.",
                ),
                Slip(
                    "an eighth",
                    lambda g, a: _own(g) / 8,
                    "To the third power goes a load at mid-span. Own weight goes to the fourth.",
                ),
            ),
        ),
        Choice(
            "support",
            "Boards with surface-mount parts are sorted out at a bow of 0.75 % that stays. What do you do before you heat this one?",
            points=1,
            options={
                "as it is": "nothing: it springs back once it is cool again",
                "more air": "raise the air, so that the heat is over sooner",
                "support": "sink off, and supports from below in mid-span",
                "weights": "weights on the corners, so that they stay down",
            },
            expected=lambda g, a: "support",
            slips={
                "as it is": "Above the glass transition it creeps: a part of the sag is still there when it is cool.",
                "more air": "Hotter air does not make it stiffer.",
                "weights": "Held corners keep the middle from nothing.",
            },
        ),
    ),
    cases=(
        Case("own_warm", 0.72, 0.005, "beam tables by hand, 6 GPa", "computed"),
        Case("own_warm", 0.20, 0.005, "beam tables by hand, 22 GPa", "computed", givens=dict(warm=22)),
        Case("sink_warm", 0.78, 0.005, "beam tables by hand, 6 GPa", "computed"),
        Case("sink_warm", 0.21, 0.005, "beam tables by hand, 22 GPa", "computed", givens=dict(warm=22)),
        Case(
            "own_supported",
            0.721,
            0.0005,
            "beam tables, 5 w L⁴ / (384 E I), by hand: 500 mm held in the middle are two spans of 250 mm of 6 GPa",
            "computed",
            givens={"span": 500},
        ),
        Case(
            "bow",
            0.5,
            0.0005,
            "by hand: 0.4 and 0.6 mm over 200 mm",
            "computed",
            givens={"span": 200},
            earlier={"own_warm": 0.4, "sink_warm": 0.6},
        ),
    ),
    caution=HOT,
)
