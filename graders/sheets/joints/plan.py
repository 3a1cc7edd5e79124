"""The design exercise: a test plan and a promise that it can bear."""

from functools import lru_cache

from graders.questions import (
    Case,
    Design,
    Exercise,
    Fixed,
    Margin,
    Number,
    Pick,
    Quantity,
    Setting,
    Slip,
    absolute,
    relative,
)
from workbook.bench.joints import fatigue, weibull

TIN_LEAD = fatigue.CyclingConstants.from_references("norris_landzberg_tin_lead")
DAY = 86400.0
REFERENCE_HOT_END = 100.0
CLEAR_OF_GLASS = 20.0
CHANCE_WANTED = 0.6
LONGEST_RUN = 1.5
WIRING_HOURS = 1.5
WATCHING_HOURS = 0.5


def _cycle_time(g, hot_end):
    """Return how long one test cycle takes [s]: a rest at each end, and the way there and back."""
    return 2 * g.rest + 2 * (hot_end - g.test_cold_c) / g.ramp


def _acceleration(g, hot_end):
    field = fatigue.ThermalCycle(g.field_cold_c, g.field_hot_c)
    test = fatigue.ThermalCycle(g.test_cold_c, hot_end)
    return _acceleration_between(test, field, _cycle_time(g, hot_end), g.field_cycle)


@lru_cache
def _acceleration_between(test, field, test_time, field_time):
    return fatigue.norris_landzberg_acceleration(
        test, field, test_frequency=1 / test_time, field_frequency=1 / field_time, constants=TIN_LEAD
    )


def _with_cycle_time(g, seconds):
    """Return what AF would be if one test cycle up to the reference hot end took this long."""
    test_time = _cycle_time(g, REFERENCE_HOT_END)
    return _acceleration(g, REFERENCE_HOT_END) * (seconds / test_time) ** (1 / 3)


def _field_cycles(g):
    return g["promised_years"] * 365 * g.per_day


def _chance_all_hold(g, boards, lives):
    """Return the chance that no board fails in this many promised lives, if the shop's expected life is right."""
    return weibull.package_reliability(weibull.reliability(lives, g.life_ratio, g.shape), boards)


def _shown(g, boards, lives):
    """Return the reliability that clean boards show at one life, each having run this many lives."""
    return (1 - g.confidence) ** (1 / (boards * lives**g.shape))  # less than one board's life shows next to nothing


def _margins(g, choices):
    """Return the seven limits of a plan, each with its own margin."""
    boards, cycles, hot_end = choices["samples"], choices["test_cycles"], choices["hot_end"]
    lives = cycles * _acceleration(g, hot_end) / _field_cycles(g)
    shown = 100 * _shown(g, boards, lives)
    chance = 100 * _chance_all_hold(g, boards, lives)
    days = cycles * _cycle_time(g, hot_end) / DAY
    hours = WIRING_HOURS * boards + WATCHING_HOURS * days
    below_glass = g["glass_c"] - hot_end
    claimed = choices["claimed"]
    limits = (
        (
            "claim against what is asked",
            claimed,
            claimed - g["asked"],
            "%",
            0.05,
            "The customer asks for more than you claim.",
        ),
        (
            "claim against what the clean boards show",
            shown,
            shown - claimed,
            "%",
            0.1,
            "So many boards, run so long, do not support the claim: more boards, longer, or claim less.",
        ),
        (
            "chance that all boards hold",
            chance,
            chance - 100 * CHANCE_WANTED,
            "%",
            1.0,
            "Good joints may well fail such a test: it asks for more than the promise needs.",
        ),
        (
            "promised lives that each board runs",
            lives,
            LONGEST_RUN - lives,
            "1",
            0.01,
            "So long after the promised life boards wear in ways that use never shows: run more boards for less long.",
        ),
        (
            "days in the chamber",
            days,
            g["chamber_days"] - days,
            "d",
            0.25,
            "The chamber is not yours for so long: fewer cycles, or a hotter end that makes each worth more.",
        ),
        (
            "hours of work",
            hours,
            g["work_hours"] - hours,
            "h",
            0.25,
            "Fewer boards to wire up, or fewer days to watch.",
        ),
        (
            "hot end below the glass transition",
            below_glass,
            below_glass - CLEAR_OF_GLASS,
            "K",
            0.5,
            "So close to its glass transition the laminate moves otherwise than in use, and other things fail.",
        ),
    )
    return tuple(
        Margin(limit, float(value), float(margin), unit, guard, advice)
        for limit, value, margin, unit, guard, advice in limits
    )


def _best_plan(g):
    """Return the plan whose tightest margin, counted in guard bands, is the widest, and that margin."""
    hot_end = min(120, g["glass_c"] - 25)
    cycles_for_one_life = _field_cycles(g) / _acceleration(g, hot_end)
    plans = []
    for boards in range(4, 25):
        for lives in (1.2, 1.3, 1.4):
            cycles = round(lives * cycles_for_one_life)
            shown = 100 * float(_shown(g, boards, cycles / cycles_for_one_life))
            claimed = round((g["asked"] + shown) / 2, 1)
            plan = {"samples": boards, "test_cycles": cycles, "hot_end": hot_end, "claimed": claimed}
            plans.append((min(margin.margin / margin.guard for margin in _margins(g, plan)), plan))
    return max(plans, key=lambda scored: scored[0])


def _copied_plan_fails(g):
    """Whether the boards, lives and hot end of the other parts, typed as a plan, miss some limit."""
    cycles = round(1.4 * _field_cycles(g) / _acceleration(g, REFERENCE_HOT_END))
    copied = {"samples": 12, "test_cycles": cycles, "hot_end": REFERENCE_HOT_END, "claimed": g["asked"]}
    return any(margin.margin < -margin.guard for margin in _margins(g, copied))


def _a_plan_exists(drawn):
    """Whether some plan holds every limit by twice its guard band, and the numbers in the text are none."""
    g = TEST_PLAN.values(drawn)
    return _best_plan(g)[0] > 2 and _copied_plan_fails(g)


TEST_PLAN = Exercise(
    id="test-plan",
    number=17,
    title="Plan a test and a promise it can bear",
    setup=(
        "A shop reballs the large package of a board with tin-lead solder and wants to promise how many will last "
        "{promised_years} (made-up case). In use the joints go from {field_cold_c} to {field_hot_c}, {per_day} a day, and one "
        "such cycle takes {field_cycle}. The test chamber goes from {test_cold_c} to a hot end that can be chosen. It rests "
        "{rest} at each end and heats and cools at {ramp}, so one cycle takes 2 × {rest} + 2 × swing / ({ramp}).\n\n"
        "One test cycle is worth AF field cycles (Norris and Landzberg, tin-lead): AF = (swing in test / swing in "
        "field)^1.9 × (time of a test cycle / time of a field cycle)^(1/3) × exp( 1414 · (1/T of field − 1/T of test) ), "
        "T the hottest temperature in kelvin (°C + 273.15).\n\n"
        "Lives scatter by a Weibull law of shape β = {shape}: the share still good after t is exp( −(t/η)^β ). From "
        "earlier tests the shop expects η to be {life_ratio} times the promised life. When n boards each run k times the "
        "promised life and none fails, they show R = (1 − C)^( 1/(n · k^β) ) with confidence C; here "
        "C = {confidence}. (k = test cycles × AF / field cycles of the promise.) A year has 365 days."
    ),
    givens=dict(
        promised_years=Quantity(3, "yr", low=3, high=5, step=1),
        per_day=Pick(2, (2, 3), "cycles"),
        field_cold_c=Fixed(25, "°C"),
        field_hot_c=Quantity(65, "°C", low=58, high=72, step=1),
        field_cycle=Fixed(6, "h"),
        test_cold_c=Fixed(0, "°C"),
        rest=Fixed(10, "min"),
        ramp=Fixed(10, "K/min"),
        shape=Quantity(3, "1", low=2.5, high=3.5, step=0.1),
        life_ratio=Quantity(5.2, "1", low=4.6, high=6.6, step=0.1),
        confidence=Pick(90, (80, 90), "%"),
        asked=Pick(90, (85, 90), "%"),
        chamber_days=Quantity(20, "d", low=16, high=40, step=1),
        work_hours=Quantity(30, "h", low=24, high=42, step=1),
        glass_c=Pick(140, (135, 140, 150), "°C"),
    ),
    parts=(
        Number(
            "field_cycles",
            "How many field cycles does the promise cover?",
            points=1,
            unit="cycles",
            expected=lambda g, a: _field_cycles(g),
            within=relative(0.005),
            because="a product of whole numbers leaves only rounding",
            plausible=(500, 20000),
            working="field_cycles = promised_years * 365 * per_day",
            slips=(
                Slip(
                    "one a day",
                    lambda g, a: _field_cycles(g) / g.per_day,
                    "You let one cycle come each day. How many come?",
                ),
                Slip(
                    "without a break",
                    lambda g, a: _field_cycles(g) / g.per_day * 24 * 3600 / g.field_cycle,
                    "You let one cycle follow the other without a break. Count the cycles that a day in the field brings.",
                ),
            ),
        ),
        Number(
            "acceleration",
            "How many field cycles is one test cycle between {test_cold_c} and 100 °C worth (AF)?",
            points=2,
            unit="1",
            expected=lambda g, a: _acceleration(g, REFERENCE_HOT_END),
            within=relative(0.02),
            because="it carries the rounding of three factors",
            plausible=(0.5, 40),
            working="""
test_minutes = 2 * rest + 2 * (100 - test_cold_c) / ramp
swings = (100 - test_cold_c) / (field_hot_c - field_cold_c)
heat = exp(1414 * (1 / (field_hot_c + 273.15) - 1 / (100 + 273.15)))
acceleration = swings**1.9 * (test_minutes / (field_cycle * 60))**(1/3) * heat
""",
            slips=(
                Slip(
                    "times upside down",
                    lambda g, a: _with_cycle_time(g, g.field_cycle**2 / _cycle_time(g, REFERENCE_HOT_END)),
                    "The ratio of the times is upside down: the time of a test cycle is on top.",
                ),
                Slip(
                    "rests only",
                    lambda g, a: _with_cycle_time(g, 2 * g.rest),
                    "You let a test cycle take the two rests alone. Heating and cooling take time as well.",
                ),
                Slip(
                    "one way only",
                    lambda g, a: _with_cycle_time(g, g.rest + _cycle_time(g, REFERENCE_HOT_END) / 2),
                    "You counted the way up or the way down. A cycle has both.",
                ),
            ),
        ),
        Number(
            "one_life",
            "How many such test cycles stand for the promised life?",
            points=1,
            unit="cycles",
            expected=lambda g, a: a.field_cycles / a.acceleration,
            within=relative(0.02),
            because="it carries the rounding of AF",
            plausible=(50, 10000),
            working="one_life = field_cycles / acceleration",
            slips=(
                Slip(
                    "multiplied",
                    lambda g, a: a.field_cycles * a.acceleration,
                    "You multiplied. One test cycle is worth several field cycles, so fewer are needed.",
                ),
            ),
        ),
        Number(
            "chance",
            "12 boards each run 1.4 times the promised life. If the shop is right about η ({life_ratio} times the promised "
            "life, see above), what is the chance that none of them fails?",
            points=2,
            unit="%",
            expected=lambda g, a: _chance_all_hold(g, 12, 1.4),
            within=absolute(0.5),
            because="only rounding stands between",
            plausible=(0.5, 99.9),
            working="chance = exp(-12 * (1.4 / life_ratio)**shape) * 100",
            hint="First the chance that one board holds; all of them must.",
            slips=(
                Slip(
                    "one board",
                    lambda g, a: _chance_all_hold(g, 1, 1.4),
                    "That is the chance of one board. All of them must hold.",
                ),
                Slip(
                    "some fail",
                    lambda g, a: 1 - _chance_all_hold(g, 12, 1.4),
                    "That is the chance that at least one fails.",
                ),
            ),
        ),
        Design(
            "plan",
            "Now plan the test and the promise. Choose how many boards run (`samples`), for how many test cycles each "
            "(`test_cycles`), up to which hot end (`hot_end`), and which share of boards you promise to last "
            "{promised_years} (`claimed`). A hotter end makes each test cycle worth more, and last longer. Your plan is "
            "worked through and compared with seven limits, each on its own:\n\n"
            "1. you claim at least {asked}, which the customer asks for;\n"
            "2. you claim no more than the boards show if none fails;\n"
            "3. if the shop is right about η, the chance that none fails is at least 60 %;\n"
            "4. no board runs more than 1.5 times the promised life;\n"
            "5. the chamber is free for {chamber_days}, day and night; all boards run in it at once, and parts of a day count as parts;\n"
            "6. there are {work_hours} of work: 1.5 h to wire up each board and half an hour for each day in the chamber;\n"
            "7. the hot end stays at least 20 K below the glass transition of the laminate, {glass_c}.",
            points=6,
            settings=(
                Setting("samples", "boards on test", "1", 2, 60, whole=True),
                Setting("test_cycles", "cycles that each board runs", "cycles", 100, 8000, whole=True),
                Setting("hot_end", "hot end of the test cycle", "°C", 80, 125),
                Setting("claimed", "share of boards promised to last", "%", 50, 99.9),
            ),
            simulate=lambda g, a, choices: _margins(g, choices),
            example=lambda g, a: _best_plan(g)[1],
            idle=0.72,
        ),
    ),
    cases=(
        Case(
            "field_cycles",
            7300,
            0.5,
            "by hand: 5 years of 365 days, 4 cycles a day",
            "computed",
            givens={"promised_years": 5, "per_day": 4},
        ),
        Case(
            "one_life",
            1825,
            0.5,
            "by hand: 7300 cycles over 4",
            "computed",
            earlier={"field_cycles": 7300, "acceleration": 4},
        ),
        Case(
            "chance",
            4.98,
            0.005,
            "Weibull law by hand: exp(-12 / 4) for twelve boards at half of their life, slope 2",
            "computed",
            givens={"shape": 2, "life_ratio": 2.8},
        ),
        Case(
            "acceleration",
            1,
            1e-6,
            "by hand: a test cycle that is the field cycle, in swing, length and hot end, is worth itself",
            "computed",
            givens={"field_cold_c": 0, "field_hot_c": 100, "field_cycle": 40 / 60, "test_cold_c": 0},
        ),
    ),
    caution=(
        "A test chamber burns, and hot boards fume: follow its instructions and your shop's rules. Boards are wired up and "
        "read unpowered. Nothing here is run from the mains."
    ),
    sound=_a_plan_exists,
    floor=0.20,
)
