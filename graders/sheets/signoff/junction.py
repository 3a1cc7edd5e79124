"""The heat after the refit: from a reading on the case to the junction, here and in the owner's cabinet."""

from math import hypot

from graders.questions import Case, Choice, Exercise, Fixed, Number, Pick, Quantity, Slip, absolute, relative
from graders.sheets.paste.chain import PAGE_OF_CHAINS
from graders.sheets.signoff.rail import ANSWERS
from graders.sheets.signoff.words import RUNNING, story
from workbook.bench.paste import chain
from workbook.bench.signoff import conformity, refit

CHAIN_SUM = "sum of the chain by hand: 5 W through 3 + 1 + 8 K/W into air of 25 °C"
CERAMIC = "data sheet of a ceramic array package: psi-JT 0.014, theta-JC 0.54 K/W"

BARE_TOP = Exercise(
    id="bare-top",
    number=6,
    title="Decide whether the processor may run without its sink",
    setup=story(
        "First run after the reflow, on stand-by only, the sink still off; an authorised colleague reads it from outside.",
        "On stand-by the processor turns {power} into heat; with a full picture it turns {full_power} into heat. The air around it "
        "is at {air_c}. A thin bead on the middle of its bare top reads {top_c}, and stands still. The data sheet "
        "gives two figures for still air: θ-JC = {theta_jc}, per watt that leaves **through the top**, and ψ-JT = {psi_jt}, per "
        "watt of the **whole** power, with the top bare as here. Both are about the same difference, junction less top. The "
        "junction may reach {limit_c}.",
    ),
    givens=dict(
        power=Quantity(1.5, "W", low=0.8, high=2.4, step=0.1),
        air_c=Quantity(23, "°C", low=19, high=26, step=1),
        top_c=Quantity(54.5, "°C", low=42, high=68, step=0.5),
        theta_jc=Quantity(2.4, "K/W", low=1.5, high=4, step=0.1),
        psi_jt=Quantity(0.6, "K/W", low=0.4, high=0.9, step=0.05),
        full_power=Quantity(11, "W", low=9, high=14, step=0.5),
        limit_c=Fixed(105, "°C"),
    ),
    parts=(
        Number(
            "rise",
            "How much hotter than the top is the junction?",
            points=1,
            unit="K",
            expected=lambda g, a: g.power * g.psi_jt,
            within=relative(0.02),
            because="the figures of the data sheet are exact as printed",
            plausible=(0.1, 5),
            working="rise = power * psi_jt",
            hint="Two figures speak of this difference. Which of them belongs to the power that you know?",
            slips=(
                Slip(
                    "theta for psi",
                    lambda g, a: g.power * g.theta_jc,
                    "You used θ-JC with the whole power. θ-JC counts only what leaves through the top, and you do not know that.",
                ),
                Slip(
                    "divided",
                    lambda g, a: g.power / g.psi_jt,
                    "You divided. So many kelvin for each watt, times so many watts.",
                ),
            ),
        ),
        Number(
            "junction_c",
            "How hot is the junction?",
            points=1,
            unit="°C",
            expected=lambda g, a: g.top_c + a.rise,
            within=absolute(0.1),
            because="only rounding is left",
            plausible=(30, 120),
            working="junction_c = top_c + rise",
            slips=(
                Slip(
                    "subtracted",
                    lambda g, a: g.top_c - a.rise,
                    "You made the junction colder than the top. The heat comes from the junction.",
                ),
                Slip(
                    "all through the top",
                    lambda g, a: g.top_c + g.theta_jc * g.power,
                    "You let all the power pass through the top. Only a share of it does.",
                ),
            ),
        ),
        Number(
            "top_share",
            "Which share of the heat leaves through the bare top?",
            points=1,
            unit="%",
            expected=lambda g, a: refit.share_of_heat_through_top(g.psi_jt, g.theta_jc),
            within=relative(0.02),
            because="the figures of the data sheet are exact as printed",
            plausible=(6.2, 80),
            working="top_share = psi_jt / theta_jc * 100",
            hint="θ-JC times the heat through the top is the same difference as ψ-JT times the whole power.",
            slips=(
                Slip(
                    "other way",
                    lambda g, a: 1 - refit.share_of_heat_through_top(g.psi_jt, g.theta_jc),
                    "That is the share that goes down into the board.",
                ),
                Slip(
                    "upside down",
                    lambda g, a: g.theta_jc / g.psi_jt,
                    "Upside down: a share of the heat cannot be more than the whole.",
                ),
                Slip(
                    "per watt",
                    lambda g, a: g.psi_jt / g.theta_jc / g.power,
                    "You divided by the power as well. It stands on both sides and drops out.",
                ),
                Slip(
                    "over the sum",
                    lambda g, a: g.psi_jt / (g.psi_jt + g.theta_jc),
                    "You divided by the sum of the two. Divide by the resistance of the case alone.",
                ),
            ),
        ),
        Number(
            "bare_most",
            "The junction's rise over the air grows in proportion to the power. At which power does the bare processor reach "
            "{limit_c} in this air?",
            points=2,
            unit="W",
            expected=lambda g, a: g.power * (g.limit_c - g.air_c) / (a.junction_c - g.air_c),
            within=relative(0.02),
            because="it carries the rounding of the junction",
            plausible=(1, 12),
            working="bare_most = power * (limit_c - air_c) / (junction_c - air_c)",
            hint="How many times the present rise over the air is the rise that is allowed?",
            slips=(
                Slip(
                    "air forgotten",
                    lambda g, a: g.power * g.limit_c / a.junction_c,
                    "You compared temperatures in °C. What grows with the power is the rise over the air.",
                ),
                Slip(
                    "what is left",
                    lambda g, a: g.power * (g.limit_c - a.junction_c) / (a.junction_c - g.air_c),
                    "That is the power to add to the present one. The question asks for the whole.",
                ),
            ),
        ),
        Choice(
            "next_step",
            "The owner wants to see a full picture before the sink goes on. What does the shop do?",
            points=1,
            options={
                "try": "let it run bare: the top is only warm to the touch",
                "short": "let it run bare for a minute: a package heats slowly",
                "sink": "unplug, drain, and fit the sink before showing it",
            },
            expected=lambda g, a: "sink",
            slips={
                "try": "Nobody touches a running board, and the top at stand-by does not show the junction at full power.",
                "short": "A bare package of a few grams heats by tens of kelvin in a minute, and nobody measures it meanwhile. "
                "Compare the full power with your answer to Part 4.",
            },
        ),
    ),
    cases=(
        Case(
            "junction_c", 85, 0.5, PAGE_OF_CHAINS, "published-second-hand", givens={"top_c": 70}, earlier={"rise": 15}
        ),
        Case("top_share", 2.6, 0.05, CERAMIC, "computed", givens={"psi_jt": 0.014, "theta_jc": 0.54}),
        Case("rise", 0.14, 0.0005, CERAMIC + ", at 10 W", "computed", givens={"psi_jt": 0.014, "power": 10}),
        Case(
            "bare_most",
            4,
            0.005,
            "by hand: 2 W for 40 K, and 80 K are left",
            "computed",
            givens={"power": 2, "air_c": 25, "limit_c": 105},
            earlier={"junction_c": 65},
        ),
    ),
    caution=RUNNING,
    sound=lambda drawn: drawn["top_c"] - drawn["air_c"] > 12 * drawn["power"],
    floor=0.10,
)


def _doubt(g, through):
    return hypot(g.case_doubt, through * g.theta_jc * g.theta_share)


JUNCTION = Exercise(
    id="junction-after-refit",
    number=7,
    title="Find the junction after the refit",
    setup=story(
        "The sink is on again with new paste, and the set has run closed until nothing changed any more.",
        "The processor turns {power} into heat, before and after. After the refit {through} of it goes up through the case into "
        "the sink, the rest down into the board (with the old, dry paste it was less, and nobody measured how much). The bead sits in a groove on the case. Before the job it read {case_before_c} with air of "
        "{air_before_c}; after the refit {case_after_c} with air of {air_after_c}. θ-JC is {theta_jc}, per watt that goes through the case. "
        "The standard uncertainty of the case reading is {case_doubt}; that of θ-JC is {theta_share} of its value; the two are independent of each other, and the heat "
        "is taken as exact.\n\n"
        "At the owner's place the air around the set is at {cabinet_c}, and the processor works at {load} times the power of "
        "the bench. Resistances are taken to be the same there. The junction may reach {limit_c}.",
    ),
    givens=dict(
        power=Quantity(11, "W", low=9, high=14, step=0.5),
        through=Pick(80, (60, 65, 70, 75, 80, 85), "%"),
        case_before_c=Quantity(82, "°C", low=74, high=88, step=1),
        air_before_c=Quantity(26, "°C", low=24, high=30, step=1),
        case_after_c=Quantity(64, "°C", low=56, high=68, step=1),
        air_after_c=Quantity(23, "°C", low=18, high=25, step=1),
        theta_jc=Quantity(0.9, "K/W", low=0.6, high=1.5, step=0.1),
        case_doubt=Quantity(1.2, "K", low=0.8, high=1.6, step=0.1),
        theta_share=Pick(15, (10, 15, 20), "%"),
        cabinet_c=Quantity(38, "°C", low=32, high=45, step=1),
        load=Quantity(1.25, "1", low=1.15, high=1.5, step=0.05),
        limit_c=Fixed(105, "°C"),
    ),
    parts=(
        Number(
            "through_case",
            "How much heat goes up through the case after the refit?",
            points=1,
            unit="W",
            expected=lambda g, a: g.power * g.through,
            within=relative(0.005),
            because="only rounding is left",
            plausible=(3, 16),
            working="through_case = power * through / 100",
            slips=(
                Slip(
                    "into the board",
                    lambda g, a: g.power * (1 - g.through),
                    "That is what goes down into the board.",
                ),
            ),
        ),
        Number(
            "saved",
            "By how much did the refit lower the case's rise over its air, for each watt of the whole power?",
            points=2,
            unit="K/W",
            expected=lambda g, a: refit.resistance_saved(
                g.case_before_c, g.air_before_c, g.case_after_c, g.air_after_c, g.power
            ),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(-1, 6),
            working="saved = ((case_before_c - air_before_c) - (case_after_c - air_after_c)) / power",
            hint="Each case reading against its own air; then for each watt of the power, which was the same both times.",
            slips=(
                Slip(
                    "air forgotten",
                    lambda g, a: (g.case_before_c - g.case_after_c) / g.power,
                    "You took case against case. The room was not the same: that part is no gift of the paste.",
                ),
                Slip(
                    "share of after, both times",
                    lambda g, a: refit.resistance_saved(
                        g.case_before_c, g.air_before_c, g.case_after_c, g.air_after_c, a.through_case
                    ),
                    "You divided by the heat through the case after the refit. Before it, less went that way: only the whole "
                    "power was the same.",
                ),
            ),
        ),
        Number(
            "junction_c",
            "How hot is the junction on the bench, after the refit?",
            points=2,
            unit="°C",
            expected=lambda g, a: refit.junction_temperature_from_case_c(g.case_after_c, a.through_case, g.theta_jc),
            within=absolute(0.3),
            because="the case is read to a degree, the rest is exact as printed",
            plausible=(50, 110),
            working="junction_c = case_after_c + theta_jc * through_case",
            slips=(
                Slip(
                    "whole power",
                    lambda g, a: chain.junction_temperature(g.case_after_c, g.power, g.theta_jc),
                    "You sent the whole power through the case. Part of it goes down into the board.",
                ),
                Slip(
                    "subtracted",
                    lambda g, a: g.case_after_c - a.through_case * g.theta_jc,
                    "You made the junction colder than the case. The heat comes from the junction.",
                ),
                Slip(
                    "counted from the air",
                    lambda g, a: chain.junction_temperature(g.air_after_c, a.through_case, g.theta_jc),
                    "You started from the air. θ-JC only leads from the case to the junction.",
                ),
            ),
        ),
        Number(
            "junction_doubt",
            "What is the standard uncertainty of that junction temperature?",
            points=2,
            unit="K",
            expected=lambda g, a: _doubt(g, a.through_case),
            within=relative(0.03),
            because="an uncertainty is worth two figures",
            plausible=(0.5, 8),
            working="junction_doubt = sqrt(case_doubt**2 + (theta_share / 100 * theta_jc * through_case)**2)",
            hint="The case counts as it is. The other line is a share of the step from case to junction.",
            slips=(
                Slip(
                    "added straight",
                    lambda g, a: g.case_doubt + a.through_case * g.theta_jc * g.theta_share,
                    "You added the two straight. They are independent of each other: their squares add.",
                ),
                Slip(
                    "share of the junction",
                    lambda g, a: hypot(g.case_doubt, g.theta_share * a.junction_c),
                    "You took the share of the whole temperature. It is a share of θ-JC, and θ-JC makes only the last step.",
                ),
            ),
        ),
        Number(
            "elsewhere_c",
            "How hot will the junction be at the owner's place?",
            points=2,
            unit="°C",
            expected=lambda g, a: refit.junction_temperature_elsewhere_c(
                a.junction_c, g.air_after_c, g.cabinet_c, g.load
            ),
            within=absolute(0.5),
            because="it carries the rounding of the junction, times the load",
            plausible=(60, 180),
            working="elsewhere_c = cabinet_c + (junction_c - air_after_c) * load",
            hint="What stays the same per watt is the junction's distance from the air.",
            slips=(
                Slip(
                    "load forgotten",
                    lambda g, a: refit.junction_temperature_elsewhere_c(a.junction_c, g.air_after_c, g.cabinet_c),
                    "You moved it to the warmer air only. It also works harder there.",
                ),
                Slip(
                    "air forgotten",
                    lambda g, a: refit.junction_temperature_elsewhere_c(
                        a.junction_c, g.air_after_c, g.air_after_c, g.load
                    ),
                    "You counted the load and left the air of the bench. The owner's is warmer.",
                ),
                Slip(
                    "whole temperature",
                    lambda g, a: a.junction_c * g.load,
                    "You multiplied a temperature in °C. The load acts on the distance from the air.",
                ),
                Slip(
                    "load on the whole, moved",
                    lambda g, a: a.junction_c * g.load + g.cabinet_c - g.air_after_c,
                    "The load acts on the junction's distance from the air, not on its temperature in °C.",
                ),
            ),
        ),
        Choice(
            "answer",
            "The guard band there is w = 2 × load × the standard uncertainty of Part 4. Which answer does the junction get "
            "against {limit_c}?",
            points=1,
            options=dict(reversed(ANSWERS.items())),
            expected=lambda g, a: conformity.answer(a.elsewhere_c, 2 * g.load * a.junction_doubt, upper=g.limit_c),
            hint="Take the junction from the limit. Is what is left above zero, and is it more than w?",
        ),
        Choice(
            "next_step",
            "What does the bench do with this answer?",
            points=1,
            options={
                "open": "run the set with its cover off, so that it stays cooler",
                "refit": "unplug, drain, and look at paste and clamp again",
                "tell": "write it on the page and tell the owner before return",
                "sign": "write it on the page as a pass, and go on to the verdict",
            },
            expected=lambda g, a: _next_step(g, a),
            hint="Take your answer to Part 6: a pass, a pass with a condition, or outside the limit?",
            slips={
                "open": "A supply with its cover off can kill, and the owner's set runs closed.",
                "refit": "The junction is inside its limit. Another refit is not owed for that.",
                "tell": "To tell the owner is the rule for a pass with a condition. This is another answer.",
                "sign": "Only what is inside by w or more is a pass without a word.",
            },
        ),
    ),
    cases=(
        Case(
            "junction_c",
            85,
            0.5,
            CHAIN_SUM,
            "computed",
            givens={"power": 5, "through": 100, "theta_jc": 3, "case_after_c": 70},
        ),
        Case(
            "saved",
            0.50,
            0.005,
            "rise over air for each watt, taken twice: 82 to 74 °C at 10 W, the room 3 K cooler",
            "computed",
            givens={"power": 10, "through": 100, "case_after_c": 74},
        ),
        Case(
            "elsewhere_c",
            118,
            0.5,
            "chain written for two places: 85 °C at 25 °C, moved to 40 °C and 1.3 times the load",
            "computed",
            givens={"air_after_c": 25, "cabinet_c": 40, "load": 1.3},
            earlier={"junction_c": 85},
        ),
        Case("through_case", 6, 0.005, "by hand: 60 % of 10 W", "computed", givens={"power": 10, "through": 60}),
        Case(
            "junction_doubt",
            1.5,
            0.005,
            "root of the sum of squares by hand: 0.9 and 1.2 K",
            "computed",
            givens={"case_doubt": 1.2, "theta_share": 10, "theta_jc": 0.9},
            earlier={"through_case": 10},
        ),
    ),
    caution=RUNNING,
    sound=lambda drawn: _clear_of_limit(JUNCTION.values(drawn)),
    floor=0.15,
)


def _next_step(g, a):
    answer = conformity.answer(a.elsewhere_c, 2 * g.load * a.junction_doubt, upper=g.limit_c)
    return {"pass": "sign", "conditional pass": "tell"}.get(answer, "refit")


def _clear_of_limit(g):
    through = g.power * g.through
    step = through * g.theta_jc
    left = g.limit_c - g.cabinet_c - (g.case_after_c + step - g.air_after_c) * g.load
    band = 2 * g.load * _doubt(g, through)
    cooler_room = g.air_before_c - g.air_after_c
    better = (g.case_before_c - g.air_before_c) - (g.case_after_c - g.air_after_c)
    return (
        better > 3
        and cooler_room >= 1
        and abs(left) < 3 * band
        and all(abs(left - edge) > 0.6 for edge in (0, band, -band))
    )
