"""Explorers of the sign-off topic: readings against their limits, what returns allow to promise, and a board's page."""

from functools import lru_cache
from typing import NamedTuple

import numpy as np

from workbook.bench.paste import chain, coverage
from workbook.bench.profile import flatness, thermocouple
from workbook.bench.profile import log as profile_log
from workbook.bench.signoff import budget, choices, cold_starts, conformity, promise, refit
from workbook.panels.explorer import Explorer, Menu, Slider
from workbook.panels.pictures import (
    COLOURS,
    Area,
    Dots,
    Frame,
    Label,
    Line,
    Picture,
    Reading,
    key,
    legend,
    percent,
    with_margin,
)
from workbook.panels.profile import heated
from workbook.references import value

PERCENT, MM, UM = 0.01, 1e-3, 1e-6

TL_C = value("profile", "sac305_solidus_c")
COLDEST_JOINT_C, HOTTEST_JOINT_C = value("profile", "joint_peak_lead_free_c")
NEIGHBOUR_C = value("profile", "neighbour_body_lead_free_c")
"""What a neighbour may reach: joints of neighbours were damaged above 195 °C, long before they melt."""
LARGEST_BOW = value("profile", "bow_and_twist_surface_mount")

WIRES = {"1": "class 1", "2": "class 2"}
DISPLAY_STEP = 0.1
"""What the thermometer's last digit is worth, in kelvin."""

LOOKS = {
    "pass": ("blue", "round"),
    "conditional pass": ("green", "ring"),
    "conditional fail": ("orange", "ring"),
    "fail": ("red", "square"),
}
"""Colour and shape of each answer."""


class Check(NamedTuple):
    """One reading against its own limit; ``side`` is +1 where the limit is the least, -1 where it is the most."""

    name: str
    measured: float
    limit: float
    side: int
    unit: str
    standard: float
    digits: int = 0

    def margin(self) -> float:
        """Return how far inside its limit the reading lies; below zero it lies outside."""
        return self.side * (self.measured - self.limit)

    def limits(self) -> dict[str, float]:
        """Return the limit by the name it has in the conformity functions."""
        return {"lower" if self.side > 0 else "upper": self.limit}

    def answer(self, guard: float) -> str:
        """Return the answer of the rule with this guard band."""
        return conformity.answer(self.measured, guard, **self.limits())

    def probability(self) -> float:
        """Return how probable it is that the true value lies inside the limit."""
        return float(conformity.probability_of_conformity(self.measured, self.standard, **self.limits()))

    def words(self) -> str:
        """Return the check and its limit as one line."""
        return f"{self.name}, at {'least' if self.side > 0 else 'most'} {self.limit:.{self.digits}f} {self.unit}"

    def value(self) -> str:
        """Return the reading and its margin."""
        return self._with_margin(f"{self.measured:.{self.digits}f} {self.unit}")

    def _with_margin(self, reading: str) -> str:
        return with_margin(reading, self.margin(), self.unit, self.digits)

    def interval(self, guard: float) -> str:
        """Return the reading and the guard band to each side of it."""
        return f"{self.measured:.{self.digits}f} ± {guard:.{self.digits or 1}f}"

    def sentence(self, guard: float) -> str:
        """Return all there is to say of the check."""
        reading = self._with_margin(f"{self.interval(guard)} {self.unit}")
        return f"{self.words()}: {reading}, {self.answer(guard)}"


def thermometer(temperature_c: float, wire: str, meter: float, fixing: float) -> budget.Budget:
    """Return the budget of one temperature reading: wire, meter and fixing are limits, the display has steps."""
    return budget.combine(
        (
            budget.Line("wire", float(thermocouple.tolerance(temperature_c, int(wire))), "rectangular"),
            budget.Line("meter", meter, "rectangular"),
            budget.Line("fixing", fixing, "rectangular"),
            budget.Line("display", DISPLAY_STEP, "display step"),
        )
    )


# ---- readings against their limits

CHECKED = {"package": "Package top", "joint": "Coldest joint", "neighbour": "Neighbour at 10 mm"}
READING_CONTROLS = (
    Slider("package", "Package top: highest reading", "°C", 230, 260, 0.5, 242),
    Slider("joint", "Coldest joint: highest reading", "°C", 215, 245, 0.5, 235),
    Slider("neighbour", "Neighbour at 10 mm: highest reading", "°C", 170, 230, 0.5, 196),
    Menu("wire", "Thermocouple wire", WIRES, "1"),
    Slider("meter", "Meter is right within", "K", 0.2, 5, 0.1, 1),
    Slider("fixing", "Bead and its fixing are right within", "K", 0, 6, 0.5, 2),
    Slider("factor", "Guard band: U = k u, with k", "1", 0, 3, 0.1, 2),
    Menu("shown", "Draw the uncertainty of", CHECKED, "package"),
)
RATED_C = 245.0
FARTHEST = 15.0
"""How far from its limit a reading is drawn, in kelvin."""


def reading_picture(settings) -> Picture:
    """Return each reading as an interval about its distance from its own limit, and how uncertain one is."""
    checks = checked(settings)
    marks = []
    for row, (name, check) in zip((2, 1, 0), checks.items(), strict=True):
        guard = settings.factor * check.standard
        marks += _interval_marks(row, name, check, guard)
    marks += _bell_marks(checks[settings.shown])
    return Picture(READING_FRAME, tuple(marks), reading_words(checks, settings), reading_readings(checks, settings))


def checked(settings) -> dict[str, Check]:
    """Return the three checks of the readings, each with its own limit and standard uncertainty."""
    limits = {"package": (RATED_C, -1), "joint": (COLDEST_JOINT_C, 1), "neighbour": (NEIGHBOUR_C, -1)}
    found = {}
    for name, (limit, side) in limits.items():
        measured = getattr(settings, name)
        uncertainty = thermometer(measured, settings.wire, settings.meter, settings.fixing)
        found[name] = Check(CHECKED[name], measured, limit, side, "°C", uncertainty.standard, 1)
    return found


def _interval_marks(row, name, check, guard):
    """Yield the guard band about the limit, the interval about the reading, and the answer in words."""
    colour, shape = LOOKS[check.answer(guard)]
    low, high = row - 0.36, row + 0.24
    yield Area([0, guard, guard, 0], [low, low, high, high], "sky", 0.35)
    yield Area([-guard, 0, 0, -guard], [low, low, high, high], "orange", 0.35)
    at = _held(check.margin())
    ends = [_held(check.margin() - guard), _held(check.margin() + guard)]
    middle = row - 0.06
    yield Line(ends, [middle, middle], "ink", 2.5)
    for end in ends:
        yield Line([end, end], [middle - 0.1, middle + 0.1], "ink", 2.5)
    yield Dots([at], [middle], colour, 13 if shape == "round" else 17, shape)
    yield Label(-FARTHEST + 0.4, row + 0.38, f"{CHECKED[name]}: {check.answer(guard)}")


def _held(margin: float) -> float:
    return float(np.clip(margin, -FARTHEST, FARTHEST))


def _bell_marks(check):
    """Yield the curve of what the true value may be, its part outside the limit filled in red."""
    inside = np.linspace(0, FARTHEST, 101)
    outside = np.linspace(-FARTHEST, 0, 101)
    for margins, colour in ((inside, "sky"), (outside, "red")):
        height = _bell(margins, check)
        yield Area(np.concatenate([margins, margins[::-1]]), np.concatenate([height, 0 * height]), colour, 0.6, axes=1)
    whole = np.linspace(-FARTHEST, FARTHEST, 241)
    yield Line(whole, _bell(whole, check), "ink", 2, axes=1)
    yield Line([check.margin()] * 2, [0, _bell(check.margin(), check)], "ink", 1.5, (4, 3), axes=1)
    probability = check.probability()
    yield Label(-FARTHEST + 0.4, 1.13, f"outside {_chance(1 - probability)}", axes=1)
    yield Label(FARTHEST - 0.4, 1.13, f"inside {_chance(probability)}", "ink", "end", axes=1)


def _bell(margins, check):
    """Return the height of the normal curve over its top."""
    return np.exp(-0.5 * np.square((margins - check.margin()) / check.standard))


def _chance(share: float) -> str:
    """Return a probability in per cent, never as a certainty.

    >>> _chance(0.5), _chance(0.00004), _chance(0.9321), _chance(0.99996)
    ('50 %', 'under 0.1 %', '93 %', 'over 99.9 %')
    """
    if share < 0.001:
        return "under 0.1 %"
    if share > 0.999:
        return "over 99.9 %"
    return f"{100 * share:.{0 if 0.01 <= share <= 0.99 else 1}f} %"


def reading_readings(checks, settings) -> tuple[Reading, ...]:
    """Return each reading with its own margin and answer, how probable it is that it conforms, and the makings of U."""
    shown = checks[settings.shown]
    uncertainty = thermometer(shown.measured, settings.wire, settings.meter, settings.fixing)
    largest = max(uncertainty.shares, key=uncertainty.shares.get)
    guard = settings.factor * uncertainty.standard
    answers = []
    for check in checks.values():
        guarded = settings.factor * check.standard
        answers += [
            Reading(check.words(), check.value(), check.answer(guarded)),
            Reading(f"{check.name}: true value inside its limit", _chance(check.probability())),
        ]
    return (
        *answers,
        Reading(
            "standard uncertainty u",
            f"{uncertainty.standard:.2f} K",
            f"{largest} is {percent(uncertainty.shares[largest])} of u²",
        ),
        Reading(f"guard band U, k = {settings.factor:.1f}", f"{guard:.2f} K"),
        Reading(
            "reading just passed: outside all the same",
            _chance(float(conformity.risk_at_acceptance_limit(guard, uncertainty.standard))),
            "at worst",
        ),
    )


def reading_words(checks, settings) -> str:
    """Say each reading, its interval and its answer."""
    said = " ".join(
        f"{check.sentence(settings.factor * check.standard)}, inside with {_chance(check.probability())}."
        for check in checks.values()
    )
    return (
        f"Three readings as intervals about their distance from their own limits, {WIRES[settings.wire]} wire, "
        f"k = {settings.factor:.1f}. {said} Drawn as a bell: the uncertainty of the {CHECKED[settings.shown].lower()}."
    )


def _draw_reading(figure, narrow):
    shape = {"nrows": 2, "height_ratios": (3, 2)} if narrow else {"ncols": 2, "width_ratios": (3, 2)}
    rows, bell = figure.subplots(**shape)
    rows.set(xlim=(-FARTHEST, FARTHEST), ylim=(-0.5, 2.65), yticks=[], xlabel="how far inside its limit [K]")
    rows.axvline(0, color=COLOURS["grey"], lw=1.5)
    rows.set_title("left of 0 outside, right of 0 inside; bands: ± U", fontsize=9)
    bell.set(xlim=(-FARTHEST, FARTHEST), ylim=(0, 1.25), yticks=[], xlabel="how far inside its limit [K]")
    bell.axvline(0, color=COLOURS["grey"], lw=1.5)
    bell.set_title("where the true value may be", fontsize=9)
    for axes in (rows, bell):
        axes.grid(alpha=0.2, axis="x")
        axes.tick_params(labelsize=9)
    return [rows, bell]


READING_FRAME = Frame("reading", _draw_reading, wide=(860, 350), narrow=(380, 420))


# ---- what the shop may promise

CONFIDENCES = {"0.8": "80 %", "0.9": "90 %", "0.95": "95 %", "0.99": "99 %"}
MOST_RETURNS = 40
PROMISE_CONTROLS = (
    Slider("repairs", "Repairs sent out and watched", "1", 1, 300, 1, 50),
    Slider("returns", "Of them came back", "1", 0, 30, 1, 2),
    Slider("watched", "Each of them watched for", "months", 1, 36, 1, 6),
    Menu("confidence", "Confidence", CONFIDENCES, "0.95"),
    Slider("next", "Boards the promise is for", "1", 1, 100, 1, 40),
    Slider("allowed", "Returns among them at most, you promise", "1", 0, 20, 1, 3),
    Slider("months", "Promised for", "months", 1, 36, 1, 6),
)


def promise_picture(settings) -> Picture:
    """Return the rate that the count leaves possible, and the chance of more returns than promised."""
    found = promised(settings)
    returns = np.arange(MOST_RETURNS + 1)
    steps = np.repeat(returns, 2)[1:]
    counted, bound = (np.repeat(more_than(returns, found["next"], rate), 2)[:-1] for rate in found["rates"])
    share, highest = (100 * rate for rate in found["rates"])
    counted_risk, bound_risk = map(_chance, found["broken"])
    risks = f"more than {found['allowed']}: {counted_risk}", f"at the bound {bound_risk}"
    marks = (
        Line([0, highest], [0, 0], "orange", 9),
        Line([highest, highest], [-0.35, 0.35], "orange", 4),
        Dots([share], [0], "blue", 13),
        Line(steps, counted, "blue", 2.5, axes=1),
        Line(steps, bound, "orange", 2.5, (7, 3), axes=1),
        Line([found["allowed"]] * 2, [0, 1], "ink", 1.5, (3, 3), axes=1),
        Dots([found["allowed"]] * 2, list(found["broken"]), ("blue", "orange"), 11, axes=1),
        *(
            Label(MOST_RETURNS - 0.5, height, words, "ink", "end", 1)
            for height, words in zip((0.96, 0.88), risks, strict=True)
        ),
    )
    return Picture(PROMISE_FRAME, marks, promise_words(found, settings), promise_readings(found, settings))


def promised(settings) -> dict:
    """Return the counted rate, its bound, and the chance to break the promise at either of the two."""
    repairs, following = round(settings.repairs), round(settings.next)
    returns, allowed = min(round(settings.returns), repairs), min(round(settings.allowed), following)
    confidence = float(settings.confidence)
    bound = float(promise.return_rate_bound(returns, repairs, confidence))
    rates = returns / repairs, bound
    return {
        "repairs": repairs,
        "returns": returns,
        "next": following,
        "allowed": allowed,
        "rates": rates,
        "interval": promise.return_rate_interval(returns, repairs, confidence),
        "expected": tuple(float(promise.expected_returns(rate, following)) for rate in rates),
        "bear": returns_to_bear(bound, following, confidence),
        "broken": tuple(float(more_than(allowed, following, rate)) for rate in rates),
    }


def more_than(returns, boards: int, rate: float):
    """Return the probability of more returns than so many among boards that come back at a rate."""
    kept = promise.chance_of_returns_at_most(np.minimum(returns, boards), boards, rate)
    return np.clip(1 - kept, 0, 1)


@lru_cache(maxsize=1024)
def returns_to_bear(rate: float, boards: int, confidence: float) -> int:
    """Return how many returns have to be borne so as to be short only rarely."""
    return promise.returns_to_allow_for(rate, boards, confidence)


def promise_readings(found, settings) -> tuple[Reading, ...]:
    """Return the rate with its bound, the returns to come, and what the promise risks."""
    sure, (counted, bound) = CONFIDENCES[settings.confidence], found["rates"]
    chance_missed = 1 - float(settings.confidence)
    low, high = found["interval"]
    return (
        Reading("came back", f"{found['returns']} of {found['repairs']}", f"{100 * counted:.1f} %"),
        Reading(f"two-sided interval, {sure}", f"{100 * low:.1f} to {100 * high:.1f} %"),
        Reading(f"return rate at most, {sure} one-sided", f"{100 * bound:.1f} %", "promise from this"),
        Reading(
            f"returns of the next {found['next']}, on average",
            f"{found['expected'][0]:.1f}, at the bound {found['expected'][1]:.1f}",
        ),
        Reading("promise broken, at the counted rate", _chance(found["broken"][0]), "too kind"),
        Reading(
            f"promise broken, at the bound, at most {100 * chance_missed:.0f} % wanted",
            _chance(found["broken"][1]),
            "inside" if found["broken"][1] <= chance_missed else "outside",
        ),
        Reading("returns to have time and parts for", f"{found['bear']}", f"promised {found['allowed']}"),
        Reading(
            f"promised for {settings.months:.0f} months, watched {settings.watched:.0f}",
            f"margin {settings.watched - settings.months:+.0f} months",
            "shown" if settings.months <= settings.watched else "not shown",
        ),
    )


def promise_words(found, settings) -> str:
    """Say what the count supports and what the promise risks."""
    counted, bound = found["rates"]
    beyond = "" if settings.months <= settings.watched else " The promise runs longer than anything was watched."
    return (
        f"{found['returns']} of {found['repairs']} repairs came back, {100 * counted:.1f} %; at "
        f"{CONFIDENCES[settings.confidence]} confidence the rate may be as high as {100 * bound:.1f} %. "
        f"At most {found['allowed']} returns of the next {found['next']} boards are promised: broken with "
        f"{_chance(found['broken'][0])} at the counted rate, with {_chance(found['broken'][1])} at the bound.{beyond}"
    )


def _draw_promise(figure, narrow):
    rate, more = figure.subplots(nrows=2, height_ratios=(1, 4))
    rate.set_xscale("function", functions=(lambda share: np.sqrt(np.clip(share, 0, None)), np.square))
    rate.set(xlim=(0, 100), ylim=(-0.8, 0.8), yticks=[])
    ticks = (0, 2, 10, 30, 60, 100) if narrow else (0, 1, 3, 5, 10, 20, 40, 60, 100)
    rate.set_xticks(ticks, [f"{tick} %" for tick in ticks], fontsize=9)
    rate.set_title("return rate: counted (dot), and up to the bound", fontsize=9)
    more.set(xlim=(-0.5, MOST_RETURNS), ylim=(0, 1.03), xlabel="returns among the next boards")
    shares = np.linspace(0, 1, 6)
    more.set_yticks(shares, [f"{100 * share:.0f} %" for share in shares], fontsize=9)
    more.set_ylabel("chance of more than so many", fontsize=9)
    key(more, "at the counted rate", "blue", 2.5)
    key(more, "at the bound", "orange", 2.5, (7, 3))
    key(more, "what you promise", "ink", 1.5, (3, 3))
    legend(more, loc="center right")
    for axes in (rate, more):
        axes.grid(alpha=0.2)
    return [rate, more]


PROMISE_FRAME = Frame("promise", _draw_promise, wide=(860, 380), narrow=(380, 420))


# ---- the sign-off page of an invented board

DIE_AREA = (14 * MM) ** 2
PASTE_CONDUCTIVITY, PASTE_CONTACTS = 3.0, 10e-6
SINK, POWER, BENCH_AIR_C = 0.45, 60.0, 24.0
JUNCTION_LIMIT_C, RAIL_LIMIT = 95.0, 20.0
BOARD_LENGTH, LEAST_TIME = 200 * MM, 45.0
METER = 1.0
SHEET_FACTOR = 2.0
SHIELDED_BY = 15.0
"""An invented board: die and paste [m2, W/m/K, m2 K/W], sink [K/W], power [W], its shop's limits [°C, ohm, s];
by how much a shield kept the neighbour cooler in that shop's trial [K]."""

SHIELDS = {"bare": "bare", "shielded": f"behind a shield, {SHIELDED_BY:.0f} K cooler in the shop's trial"}
RULES = {"guarded": "only a pass goes out", "told": "a conditional pass may go out, in writing"}
SHEET_CONTROLS = (
    Menu("rule", "Agreed before the job", RULES, "guarded"),
    Menu("class_c", "Package rated to", {"245": "245 °C", "250": "250 °C", "260": "260 °C"}, "245"),
    Slider("bottom_plate_c", "Bottom plate", "°C", 25, 425, 5, 350),
    Slider("top_gas_c", "Top gas", "°C", 200, 500, 5, 270),
    Slider("hold", "Hold at full top heat", "s", 10, 120, 5, 60),
    Menu("shield", "Neighbour at 10 mm", SHIELDS, "bare"),
    Menu("wire", "Thermocouple wire", WIRES, "1"),
    Slider("fixing", "Bead and its fixing are right within", "K", 0, 6, 0.5, 2),
    Slider("rail", "Rail to ground, unpowered", "Ω", 0, 60, 0.5, 34),
    Slider("rise", "Bow of the board, 200 mm long", "mm", 0, 3, 0.05, 0.8),
    Slider("covered", "Die covered with paste", "%", 30, 100, 5, 95),
    Slider("bond_line", "Thickness of the paste", "µm", 20, 200, 10, 50),
    Slider("room_c", "Customer's room, at the inlet", "°C", 20, 45, 1, 35),
)
WIDEST = 6.0
"""How many guard bands from its limit a reading is drawn at most."""


def sheet_picture(settings) -> Picture:
    """Return the page: every check with its value, limit, own margin and answer, and what stands in the board's way."""
    checks = sheet_checks(settings)
    marks = []
    for row, check in zip(reversed(range(len(checks))), checks, strict=True):
        marks += _sheet_marks(row, check)
    return Picture(SHEET_FRAME, tuple(marks), sheet_words(checks, settings), sheet_readings(checks, settings))


def sheet_checks(settings) -> tuple[Check, ...]:
    """Return every check of the invented board, in the order of the job."""
    return (*_heat_checks(settings), _rail_check(settings), _bow_check(settings), _junction_check(settings))


def _heat_checks(settings):
    """Yield the checks of the heating, read as the display shows them; time is uncertain by what a kelvin shifts it."""
    shielded_by = SHIELDED_BY if settings.shield == "shielded" else 0.0
    traces = heated("medium", settings.bottom_plate_c, settings.top_gas_c, settings.hold, 120.0)
    peaks = traces.joints_c.max(axis=0)
    for name, measured, limit, side in (
        ("package top", traces.temperature_c["package top"].max(), float(settings.class_c), -1),
        ("coldest joint", peaks.min(), COLDEST_JOINT_C, 1),
        ("hottest joint", peaks.max(), HOTTEST_JOINT_C, -1),
        ("neighbour", traces.temperature_c["neighbour at 10 mm"].max() - shielded_by, NEIGHBOUR_C, -1),
    ):
        uncertainty = thermometer(float(measured), settings.wire, METER, settings.fixing)
        yield Check(name, round(float(measured), 1), float(limit), side, "°C", uncertainty.standard, 1)
    yield _time_check(traces, settings)


def _time_check(traces, settings):
    """Return the check of the time above the solidus, as uncertain as the thermometer, times seconds a kelvin."""
    above = [profile_log.time_above(traces.time, traces.coldest_joint_c, TL_C + shift) for shift in (-1, 0, 1)]
    lines = (
        budget.Line("thermometer", thermometer(TL_C, settings.wire, METER, settings.fixing).standard, "standard",
                    (above[0] - above[2]) / 2),
        budget.Line("clock", 1.0, "display step"),
    )  # fmt: skip
    return Check(f"time over {TL_C} °C", round(float(above[1])), LEAST_TIME, 1, "s", budget.combine(lines).standard)


def _rail_check(settings):
    lines = (
        budget.Line("meter", 0.01 * settings.rail + 0.2, "rectangular"),
        budget.Line("leads", 0.3, "rectangular"),
        budget.Line("display", 0.1, "display step"),
    )
    return Check("rail", settings.rail, RAIL_LIMIT, 1, "Ω", budget.combine(lines).standard, 1)


def _bow_check(settings):
    each_mm = flatness.bow_percent(1.0 * MM, BOARD_LENGTH)
    lines = (
        budget.Line("feeler", 0.05, "rectangular", each_mm),
        budget.Line("table", 0.1, "triangular", each_mm),
    )
    bow = round(float(flatness.bow_percent(settings.rise * MM, BOARD_LENGTH)), 2)
    return Check("bow", bow, float(LARGEST_BOW), -1, "%", budget.combine(lines).standard, 2)


def _junction_check(settings):
    """Return the check of the junction in the customer's room, from the sink's base read on the bench and the power."""
    paste = float(
        coverage.partly_covered_resistance(
            settings.covered * PERCENT, settings.bond_line * UM, PASTE_CONDUCTIVITY, DIE_AREA
        )
    ) + float(chain.resistance_over_area(PASTE_CONTACTS, DIE_AREA))
    on_bench = chain.junction_temperature(BENCH_AIR_C, POWER, paste, SINK)
    there = float(refit.junction_temperature_elsewhere_c(on_bench, BENCH_AIR_C, settings.room_c))
    base_c = BENCH_AIR_C + POWER * SINK
    lines = (
        budget.Line("base", thermometer(base_c, settings.wire, METER, settings.fixing).standard, "standard"),
        budget.Line("bench air", 1.0, "rectangular", -1.0),
        budget.Line("customer's air", 2.0, "rectangular"),
        budget.Line("power", 0.05 * POWER, "rectangular", paste),
        budget.Line("paste", 0.2 * paste, "rectangular", POWER),
    )
    return Check("junction there", round(there, 1), JUNCTION_LIMIT_C, -1, "°C", budget.combine(lines).standard, 1)


def _sheet_marks(row, check):
    """Yield a row of the page: the check and its limit, its value and answer, and where it lies about its limit."""
    guard = SHEET_FACTOR * check.standard
    answer = check.answer(guard)
    colour, shape = LOOKS[answer]
    bands = float(np.clip(check.margin() / guard, -WIDEST + 0.3, WIDEST - 0.3))
    strip = row - 0.2
    ends = np.clip([bands - 1, bands + 1], -WIDEST, WIDEST)
    yield Line([-WIDEST, WIDEST], [strip, strip], "grey", 1)
    yield Area([0, 1, 1, 0], [strip - 0.15, strip - 0.15, strip + 0.15, strip + 0.15], "sky", 0.4)
    yield Area([-1, 0, 0, -1], [strip - 0.15, strip - 0.15, strip + 0.15, strip + 0.15], "orange", 0.4)
    yield Line([0, 0], [strip - 0.2, strip + 0.2], "ink", 2)
    yield Line(ends, [strip, strip], "ink", 2.5)
    yield Dots([bands], [strip], colour, 11 if shape == "round" else 15, shape)
    sign = "≥" if check.side > 0 else "≤"
    yield Label(-WIDEST + 0.1, row + 0.24, f"{check.name} {sign} {check.limit:.{check.digits}f} {check.unit}")
    yield Label(WIDEST - 0.1, row + 0.24, f"{check.interval(guard)}: {answer}", "ink", "end")


def in_the_way(checks, rule: str) -> tuple[str, ...]:
    """Return the names of the checks that keep the board in the shop under the rule agreed."""
    enough = conformity.ANSWERS[: 1 if rule == "guarded" else 2]
    return tuple(check.name for check in checks if check.answer(SHEET_FACTOR * check.standard) not in enough)


def to_tell(checks) -> tuple[str, ...]:
    """Return the names of the checks that passed on condition only."""
    return tuple(check.name for check in checks if check.answer(SHEET_FACTOR * check.standard) == "conditional pass")


def sheet_readings(checks, settings) -> tuple[Reading, ...]:
    """Return each check with its own margin and answer, then the decision with what it rests on."""
    each = (Reading(check.words(), check.value(), check.answer(SHEET_FACTOR * check.standard)) for check in checks)
    return (*each, Reading(f"by the rule agreed ({_because(checks, settings.rule)})", decision(checks, settings.rule)))


def decision(checks, rule: str) -> str:
    """Return whether the board goes out or is sent back to the bench."""
    return "sent back" if in_the_way(checks, rule) else "may go out"


def _because(checks, rule: str) -> str:
    held, told = in_the_way(checks, rule), to_tell(checks)
    if held:
        return f"for {', '.join(held)}"
    return f"tell: {', '.join(told)}" if told else "every check passed"


def sheet_words(checks, settings) -> str:
    """Say the whole page."""
    said = " ".join(f"{check.sentence(SHEET_FACTOR * check.standard)}." for check in checks)
    return (
        f"The sign-off page of an invented board. {said} By the rule agreed, {RULES[settings.rule]}, it is: "
        f"{decision(checks, settings.rule)} ({_because(checks, settings.rule)})."
    )


def _draw_sheet(figure, narrow):
    axes = figure.subplots()
    axes.set(xlim=(-WIDEST, WIDEST), ylim=(-0.5, 7.6), yticks=[], xlabel="margin in its own guard bands U")
    axes.set_title("left of the limit: outside; right of it: inside", fontsize=9)
    axes.set_xticks(range(-6, 7, 1 if not narrow else 2))
    axes.tick_params(labelsize=9)
    return [axes]


SHEET_FRAME = Frame("sheet", _draw_sheet, wide=(860, 340), narrow=(380, 420))


# ---- reflow, reball, replace or return

JOBS = {"reflow": ("blue", ()), "reball": ("green", (8, 3)), "replace": ("orange", (2, 3))}
CHOICE_CONTROLS = (
    Slider("worth", "What a repair that holds brings", "credits", 40, 300, 5, 150),
    Slider("comeback", "What a comeback costs on top", "credits", 0, 80, 5, 20),
    Slider("reflow_cost", "Reflow costs", "credits", 10, 100, 5, 35),
    Slider("reflow", "Reflow holds", "%", 5, 95, 1, 55),
    Slider("reball_cost", "Reball costs", "credits", 20, 160, 5, 70),
    Slider("reball", "Reball holds", "%", 5, 95, 1, 70),
    Slider("replace_cost", "New package costs", "credits", 40, 250, 5, 95),
    Slider("replace", "New package holds", "%", 5, 99, 1, 92),
)


def choice_picture(settings) -> Picture:
    """Return what each job is worth over its chance to hold, and the best of them beside sending the board back."""
    chance = np.linspace(0, 1, 3)
    marks, worth = [Line([0, 1], [0, 0], "grey", 2)], {"return": 0.0}
    for job, (colour, dash) in JOBS.items():
        cost, holds = getattr(settings, f"{job}_cost"), getattr(settings, job) * PERCENT
        marks.append(
            Line(chance, choices.expected_value(chance, settings.worth, cost, settings.comeback), colour, 2.5, dash)
        )
        worth[job] = float(choices.expected_value(holds, settings.worth, cost, settings.comeback))
        marks.append(Dots([holds], [worth[job]], colour, 12))
    best = max(worth, key=worth.get)
    even = choices.chance_to_match(0.0, settings.worth, settings.reflow_cost, settings.comeback)
    meets = choices.chance_to_match(worth["replace"], settings.worth, settings.reflow_cost, settings.comeback)
    readout = (
        *(
            Reading(f"{job} is worth, on average", f"{of:.1f} credits", "most" if job == best else "")
            for job, of in worth.items()
        ),
        Reading("reflow pays for itself from a chance of", _meeting(even)),
        Reading("reflow is worth as much as a new package from", _meeting(meets)),
    )
    words = " ".join(f"{job}: {of:.1f} credits." for job, of in worth.items())
    return Picture(CHOICE_FRAME, tuple(marks), f"On average each job is worth, {words} The most has: {best}.", readout)


def _meeting(share) -> str:
    return percent(share, 1) if 0 <= share <= 1 else "no chance that there is"


def _draw_choice(figure, narrow):
    axes = figure.subplots()
    axes.set(xlim=(0, 1), ylim=(-300, 300), xlabel="chance that the repair holds", ylabel="worth on average [credits]")
    ticks = np.linspace(0, 1, 6)
    axes.set_xticks(ticks, [percent(tick) for tick in ticks])
    for job, (colour, dash) in JOBS.items():
        key(axes, job, colour, 2.5, dash)
    key(axes, "return the board", "grey", 2)
    legend(axes, loc="upper left")
    axes.grid(alpha=0.2)
    return [axes]


CHOICE_FRAME = Frame("choice", _draw_choice, wide=(860, 380), narrow=(380, 400))


# ---- release by cold starts

MOST_STARTS = 500
START_CONTROLS = (
    Slider("starts", "Cold starts, none failed", "1", 1, MOST_STARTS, 1, 60),
    Slider("fails", "A board with the fault fails of its starts", "%", 0.5, 50, 0.5, 4),
    Slider("before", "Such boards, before the starts", "%", 1, 90, 1, 25),
)


def start_picture(settings) -> Picture:
    """Return the share of failing starts that clean starts leave possible, and how likely the fault still is."""
    count = round(settings.starts)
    every = np.arange(1, MOST_STARTS + 1)
    bounds = np.array([float(promise.return_rate_bound(0, int(n))) for n in every[:: 5 if MOST_STARTS > 100 else 1]])
    rate, before = settings.fails * PERCENT, settings.before * PERCENT
    passes = cold_starts.chance_of_clean_starts(rate, every)
    still = before * passes / (before * passes + 1 - before)
    here = float(promise.return_rate_bound(0, count))
    marks = (
        Line(every[::5], bounds, "blue", 3),
        Line(every, still, "orange", 2.5, (8, 3)),
        Line([count, count], [0, 1], "grey", 1.5, (3, 3)),
        Dots([count], [here], "blue", 11),
        Dots([count], [float(still[count - 1])], "orange", 11, "square"),
    )
    readout = (
        Reading(f"{count} clean starts: failing starts not ruled out", f"{100 * here:.1f} %", "95 % sure"),
        Reading(f"a board that fails {settings.fails:g} % passes them", f"{100 * passes[count - 1]:.1f} %"),
        Reading("such a board, before", f"{settings.before:.0f} %"),
        Reading("such a board, after", f"{100 * still[count - 1]:.1f} %"),
    )
    words = (
        f"After {count} clean cold starts up to {100 * here:.1f} % of starts may still fail. A board that fails "
        f"{settings.fails:g} % of its starts passes with {100 * passes[count - 1]:.1f} %; such boards were "
        f"{settings.before:.0f} % and are now {100 * still[count - 1]:.1f} %."
    )
    return Picture(START_FRAME, marks, words, readout)


def _draw_start(figure, narrow):
    axes = figure.subplots()
    axes.set(xlim=(0, MOST_STARTS), ylim=(0, 1), xlabel="cold starts, none failed", ylabel="share")
    ticks = np.linspace(0, 1, 6)
    axes.set_yticks(ticks, [percent(tick) for tick in ticks])
    key(axes, "failing starts not ruled out", "blue", 3)
    key(axes, "the fault is still there", "orange", 2.5, (8, 3))
    legend(axes, loc="upper right")
    axes.grid(alpha=0.2)
    return [axes]


START_FRAME = Frame("start", _draw_start, wide=(860, 340), narrow=(380, 380))


def reading_explorer() -> Explorer:
    """Return the explorer of readings against their limits."""
    return Explorer("A reading, its uncertainty and its limit", READING_CONTROLS, reading_picture)


def promise_explorer() -> Explorer:
    """Return the explorer of what returns allow to promise."""
    return Explorer("What the shop may promise", PROMISE_CONTROLS, promise_picture)


def sheet_explorer() -> Explorer:
    """Return the explorer of an invented board's sign-off page."""
    return Explorer("The sign-off page of an invented board", SHEET_CONTROLS, sheet_picture)


def choice_explorer() -> Explorer:
    """Return the explorer of reflow, reball, replace or return."""
    return Explorer("Reflow, reball, replace or return", CHOICE_CONTROLS, choice_picture)


def start_explorer() -> Explorer:
    """Return the explorer of cold starts."""
    return Explorer("What clean starts show", START_CONTROLS, start_picture)
