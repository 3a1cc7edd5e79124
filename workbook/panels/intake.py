"""Explorers of the intake topic: a capacitor drained, a test and its base rate, findings weighed, a claim counted."""

from functools import lru_cache

import numpy as np

from workbook.bench.intake import capacitors, causes, evidence
from workbook.panels.explorer import Explorer, Menu, Slider, Tick
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
from workbook.references import value
from workbook.units import figures

MICRO, MILLI, PERCENT = 1e-6, 1e-3, 0.01


# ---- findings weighed one by one

QUESTIONS = {
    "reflowed": "Was it reflowed before by someone else?",
    "cracked": "Is a joint under the large package cracked?",
}
FINDINGS = {
    "residue": ("Flux residue at the large package", "seen", "none"),
    "pads": ("Adhesive pads and strips", "lifted or scorched", "flat, unstressed"),
    "screws": ("Screw heads and seals", "marred", "untouched"),
    "press": ("Reading, unpowered, under a light press", "changes", "stays"),
}
"""What is looked at, and the words for finding it and for not finding it."""

SHARES = {
    "reflowed": {"residue": (0.85, 0.10), "pads": (0.80, 0.20), "screws": (0.75, 0.25), "press": (0.50, 0.40)},
    "cracked": {"residue": (0.30, 0.20), "pads": (0.30, 0.25), "screws": (0.35, 0.30), "press": (0.90, 0.05)},
}
"""Share of boards that show the finding where the answer is yes, and where it is no. All of them are invented."""

BOARDS, ROWS = 1000, 25
LOWEST, HIGHEST = 0.0005, 0.9995
"""Ends of the drawn scale of probability."""

WEIGH_CONTROLS = (
    Menu("question", "Question", QUESTIONS, "reflowed"),
    Slider("prior", "Yes, before you look", "%", 1, 99, 1, 20),
    *(
        Menu(name, words, {"unlooked": "not looked at", "found": found, "absent": absent}, start)
        for (name, (words, found, absent)), start in zip(
            FINDINGS.items(), ("found", "absent", "unlooked", "unlooked"), strict=True
        )
    ),
    Slider("together", "Residue and lifted pads come from one cause on", "% of boards", 0, 90, 10, 0),
)  # fmt: skip


def weigh_picture(settings) -> Picture:
    """Return the probability moved by each finding in turn, and the thousand boards behind the last of them."""
    steps = weighed(settings)
    return Picture(
        WEIGH_FRAME,
        (*_ladder(steps), *thousand(steps["yes"], steps["yes_like_it"], steps["no_like_it"])),
        weigh_words(steps, settings),
        weigh_readings(steps, settings),
    )


def weighed(settings) -> dict:
    """Return each finding's likelihood ratio and the probability after it, and of how many boards of a thousand.

    A finding that follows another with the same cause counts only for what it adds to it.
    """
    shares, prior = SHARES[settings.question], settings.prior * PERCENT
    together = settings.together * PERCENT
    looked = {name: getattr(settings, name) == "found" for name in FINDINGS if getattr(settings, name) != "unlooked"}
    ratios, chance_yes, chance_no = {}, 1.0, 1.0
    for name, found in looked.items():
        given = looked.get("residue") if name == "pads" else None
        yes, no = (_chance_of(name, found, side, shares, given, together) for side in (0, 1))
        ratios[name] = yes / no
        chance_yes, chance_no = chance_yes * yes, chance_no * no
    order = list(ratios)
    after = {
        name: float(evidence.updated_probability(prior, *(ratios[one] for one in order[: place + 1])))
        for place, name in enumerate(order)
    }
    yes = round(BOARDS * prior)
    return {
        "prior": prior,
        "looked": looked,
        "ratios": ratios,
        "after": after,
        "last": after[order[-1]] if order else prior,
        "half_as_strong": float(evidence.updated_probability(prior, *np.sqrt(list(ratios.values())))),
        "yes": yes,
        "yes_like_it": round(yes * chance_yes),
        "no_like_it": round((BOARDS - yes) * chance_no),
    }


def _chance_of(name, found, side, shares, residue, together) -> float:
    """Return the chance of a finding as it came out, on boards with the answer of one side (0 yes, 1 no).

    ``residue`` is how the residue came out where pads follow it: on a share of the boards, ``together``, one cause made
    both marks, and the rarer mark never appears there without the commoner one.
    """
    share = shares[name][side]
    if residue is None:
        return share if found else 1 - share
    first = shares["residue"][side]
    both = together * min(first, share) + (1 - together) * first * share
    given = both / first if residue else (share - both) / (1 - first)
    return given if found else 1 - given


def _ladder(steps):
    """Yield the way of the probability from row to row: a bar for each finding, blue towards yes, orange towards no."""
    now, above = steps["prior"], len(FINDINGS)
    yield Dots([_inside(now)], [above], "ink", 11)
    yield _at_the_edge(now, above, f"{_share(now)} before")
    for row, name in zip(reversed(range(len(FINDINGS))), FINDINGS, strict=True):
        if name not in steps["after"]:
            continue
        then = steps["after"][name]
        yield Line([_inside(now)] * 2, [above, row], "grey", 1.5, (3, 3))
        yield Line([_inside(now), _inside(then)], [row, row], "blue" if then >= now else "orange", 9)
        yield Dots([_inside(then)], [row], "ink", 9)
        yield _at_the_edge(max(now, then), row, f"odds × {_times(steps['ratios'][name])}: {_share(then)}")
        now, above = then, row
    yield Line([_inside(now)] * 2, [above, -0.7], "grey", 1.5, (3, 3))


def _inside(probability: float) -> float:
    """Return a probability held to the drawn scale, on which equal steps multiply the odds alike."""
    return float(np.clip(probability, LOWEST, HIGHEST))


def _at_the_edge(highest: float, row: float, words: str) -> Label:
    """Return the words of a row, at the end of it that what is drawn there leaves free."""
    right = highest < 0.9
    return Label(0.9994 if right else 0.0006, row + 0.32, words, "ink", "end" if right else "start")


def thousand(yes: int, yes_like_it: int, no_like_it: int):
    """Yield a thousand boards column by column, yes at the left; those that look like yours meet at the border."""
    place = np.arange(BOARDS)
    x, y = place // ROWS, ROWS - 1 - place % ROWS
    like_yes = (place >= yes - yes_like_it) & (place < yes)
    like_no = (place >= yes) & (place < yes + no_like_it)
    other = ~(like_yes | like_no)
    yield Dots(x[other], y[other], "grey", 2.5, axes=1)
    yield Dots(x[like_yes], y[like_yes], "blue", 7, "square", axes=1)
    yield Dots(x[like_no], y[like_no], "orange", 7, "ring", axes=1)
    column, rest = divmod(yes, ROWS)
    border = [column - 0.5, column - 0.5, column + 0.5, column + 0.5]
    step = ROWS - 0.5 - rest
    yield Line(border, [-0.5, step, step, ROWS - 0.5], "ink", 1.5, axes=1)


def weigh_readings(steps, settings) -> tuple[Reading, ...]:
    """Return each finding's ratio, and what all of them together leave."""
    found = (
        Reading(
            f"{FINDINGS[name][0]}: {FINDINGS[name][1 if seen else 2]}",
            f"odds × {_times(steps['ratios'][name])}",
            _weight(steps["ratios"][name]),
        )
        for name, seen in steps["looked"].items()
    )
    like_it = steps["yes_like_it"] + steps["no_like_it"]
    return (
        *found,
        Reading("yes, before you looked", _share(steps["prior"])),
        Reading("yes, after all findings", _share(steps["last"])),
        Reading("the same if each ratio is only its root", _share(steps["half_as_strong"]), "shares are invented"),
        Reading(f"of {BOARDS} boards, like this one in all you saw", f"{like_it}", f"{steps['yes_like_it']} are yes"),
    )


def _weight(ratio: float) -> str:
    """Return what a likelihood ratio says; between a half and two it says little."""
    return "speaks for yes" if ratio >= 2 else "speaks for no" if ratio <= 0.5 else "says little"


def _share(probability: float) -> str:
    """Return a share in per cent, finer where it nears nothing or certainty.

    >>> _share(0.3469), _share(0.9991), _share(0.012)
    ('35 %', '99.91 %', '1.2 %')
    """
    near = min(probability, 1 - probability)
    return f"{100 * probability:.{0 if near >= 0.095 else 1 if near >= 0.01 else 2}f} %"


def _times(ratio: float) -> str:
    return f"{ratio:.3g}" if ratio < 100 else f"{ratio:.0f}"


def weigh_words(steps, settings) -> str:
    """Say how the probability moved, finding by finding."""
    said = "".join(
        f" {FINDINGS[name][0]}, {FINDINGS[name][1 if seen else 2]}: odds times {_times(steps['ratios'][name])}, "
        f"now {_share(steps['after'][name])}."
        for name, seen in steps["looked"].items()
    )
    return (
        f"{QUESTIONS[settings.question]} Before you look, yes on {_share(steps['prior'])} of such boards."
        f"{said or ' Nothing was looked at yet.'} "
        f"Of {BOARDS} boards, {steps['yes']} of them yes, {steps['yes_like_it'] + steps['no_like_it']} look like this "
        f"one in all that was looked at; {steps['yes_like_it']} of those are yes. All shares are invented."
    )


def _draw_weigh(figure, narrow):
    shape = {"nrows": 2, "height_ratios": (1, 1)} if narrow else {"ncols": 2, "width_ratios": (6, 5)}
    ladder, boards = figure.subplots(**shape)
    ladder.set_xscale("logit")
    ladder.set(xlim=(LOWEST, HIGHEST), ylim=(-0.7, len(FINDINGS) + 0.7), xlabel="probability of yes")
    ticks = (0.001, 0.01, 0.1, 0.5, 0.9, 0.99, 0.999)
    ladder.set_xticks(ticks, [f"{100 * tick:g} %" for tick in ticks], fontsize=9)
    ladder.minorticks_off()
    names = ("before", "residue", "pads", "screws,\nseals", "press")
    ladder.set_yticks(range(len(FINDINGS), -1, -1), names, fontsize=9)
    ladder.axvline(0.5, color=COLOURS["grey"], lw=1, ls=":")
    ladder.grid(alpha=0.2, axis="x")
    ladder.set_title("each finding multiplies the odds", fontsize=9)
    _draw_boards(boards)
    boards.set_xlabel("squares and rings: all that look like yours", fontsize=9)
    return [ladder, boards]


def _draw_boards(boards):
    boards.set(xlim=(-1, BOARDS / ROWS), ylim=(-1, ROWS), xticks=[], yticks=[], aspect="equal")
    boards.set_title(f"{BOARDS} boards: left of the line yes, right of it no", fontsize=9)


WEIGH_FRAME = Frame("weigh", _draw_weigh, wide=(860, 380), narrow=(380, 420))


# ---- a capacitor drained

PLUG_PULLED_LIMIT, PLUG_PULLED_TIME = value("intake", "residual_voltage"), value("intake", "residual_time")
POWER_LIMIT, POWER_TIME = value("intake", "power_capacitor_residual_voltage"), 60.0
SHOCK_VOLTAGE, SHOCK_ENERGY = value("intake", "shock_voltage"), value("intake", "shock_energy")
HEAT_ENERGY = value("intake", "thermal_energy")
REFLEX_VOLTAGE, REFLEX_ENERGY = value("intake", "reflex_voltage"), value("intake", "reflex_energy")
RESISTORS = {"100": "100 Ω", "1000": "1 kΩ", "2200": "2.2 kΩ", "4700": "4.7 kΩ", "5600": "5.6 kΩ", "10000": "10 kΩ",
             "22000": "22 kΩ", "47000": "47 kΩ", "100000": "100 kΩ"}  # fmt: skip
RATINGS = {watts: f"{watts} W" for watts in ("0.25", "0.5", "1", "2", "3", "5", "10", "25", "50")}
OHMS_VOLTAGE = 1.0
"""An ohmmeter is put on below this only: common practice, as in topic 4."""
LONGEST, MOST_VOLTS = 60.0, 450.0
LEAST_VOLTS, LEAST_JOULES = 5.0, 0.01
"""Lower ends of the drawn plane; what is less is drawn there."""

DRAIN_CONTROLS = (
    Slider("capacitance", "Capacitance", "µF", 10, 2000, 10, 470),
    Slider("volts", "Charged to", "V", 10, MOST_VOLTS, 5, 400),
    Menu("resistor", "Discharge resistor", RESISTORS, "10000"),
    Menu("rating", "Resistor is rated for", RATINGS, "5"),
    Slider("waited", "Time since it was connected", "s", 0, LONGEST, 0.5, 5),
    Tick("broken", "The resistor is broken, or its clip does not touch"),
)


def drain_picture(settings) -> Picture:
    """Return the voltage over time, calculated and real, and where the charge stands among published thresholds."""
    found = drained(settings)
    time = np.linspace(0, LONGEST, 161)
    capacitance, ohms = settings.capacitance * MICRO, float(settings.resistor)
    calculated = capacitors.voltage_after(time, capacitance, ohms, settings.volts)
    real = np.full_like(time, settings.volts) if settings.broken else calculated
    way = np.geomspace(max(found["volts_now"], LEAST_VOLTS), settings.volts, 40)
    marks = (
        Line(time, calculated, "grey", 2, (4, 3)),
        Line(time, real, "blue", 3),
        Line([settings.waited] * 2, [0, found["volts_now"]], "ink", 1, (2, 3)),
        Dots([settings.waited], [found["volts_now"]], "ink", 10),
        Label(*_beside_time(settings.waited, found["volts_now"]), _volts(found["volts_now"]), *_turn(settings.waited)),
        Line(way, capacitors.stored_energy(capacitance, way), "blue", 3, axes=1),
        Dots([settings.volts], [found["energy"]], "blue", 9, "square", axes=1),
        Dots([max(found["volts_now"], LEAST_VOLTS)], [max(found["energy_now"], LEAST_JOULES)], "ink", 10, axes=1),
    )
    return Picture(DRAIN_FRAME, marks, drain_words(found, settings), drain_readings(found, settings))


def drained(settings) -> dict:
    """Return energies [J], times [s], currents [A], powers [W] and the thresholds reached, at the start and now."""
    capacitance, ohms, volts = settings.capacitance * MICRO, float(settings.resistor), settings.volts
    calculated = float(capacitors.voltage_after(settings.waited, capacitance, ohms, volts))
    now = volts if settings.broken else calculated
    return {
        "energy": float(capacitors.stored_energy(capacitance, volts)),
        "time_constant": capacitance * ohms,
        "calculated_now": calculated,
        "volts_now": now,
        "energy_now": float(capacitors.stored_energy(capacitance, now)),
        "to_limit": _time_to(PLUG_PULLED_LIMIT, capacitance, ohms, volts),
        "to_power_limit": _time_to(POWER_LIMIT, capacitance, ohms, volts),
        "to_ohms": _time_to(OHMS_VOLTAGE, capacitance, ohms, volts),
        "current": capacitors.peak_current(volts, ohms),
        "power": capacitors.peak_power(volts, ohms),
        "reached": capacitors.hazards(capacitance, volts),
        "reached_now": capacitors.hazards(capacitance, now),
    }


def _time_to(limit, capacitance, ohms, volts) -> float:
    return float(capacitors.time_to_voltage(min(limit, volts), capacitance, ohms, volts))


def _beside_time(time: float, volts: float) -> tuple[float, float]:
    return time + (0.9 if time < 0.8 * LONGEST else -0.9), volts + 14


def _turn(time: float) -> tuple[str, str]:
    return "ink", "start" if time < 0.8 * LONGEST else "end"


def _volts(volts: float) -> str:
    return f"{volts:.0f} V" if volts >= 10 else f"{volts:.1f} V" if volts >= 0.1 else "under 0.1 V"


def _joules(energy: float) -> str:
    """Return an energy as a person would say it.

    >>> _joules(37.6), _joules(0.846), _joules(0.0004)
    ('37.6 J', '0.85 J', 'under 0.01 J')
    """
    return f"{energy:.1f} J" if energy >= 10 else f"{energy:.2f} J" if energy >= 0.01 else "under 0.01 J"


def drain_readings(found, settings) -> tuple[Reading, ...]:
    """Return the charge, the resistor's burden, and each limit with its own margin; none is a permission to touch."""
    rated = float(settings.rating)
    return (
        Reading("stored at the start", _joules(found["energy"]), _lines(found["reached"])),
        Reading(
            f"left after {settings.waited:g} s",
            f"{_volts(found['volts_now'])}, {_joules(found['energy_now'])}",
            _lines(found["reached_now"]),
        ),
        Reading("may it be touched?", "no calculation says so", "measure first"),
        Reading("time constant", f"{figures(found['time_constant'])} s"),
        _timed(f"{PLUG_PULLED_LIMIT:.0f} V, wanted in {PLUG_PULLED_TIME:.0f} s (machines)", found["to_limit"],
               PLUG_PULLED_TIME, settings.broken),
        _timed(f"{POWER_LIMIT:.0f} V, wanted in {POWER_TIME:.0f} s (power capacitors)", found["to_power_limit"],
               POWER_TIME, settings.broken),
        Reading(
            f"{OHMS_VOLTAGE:.0f} V, before any reading in ohms",
            "never" if settings.broken else f"{figures(found['to_ohms'])} s",
            "measure volts first",
        ),
        Reading("current as it is connected", f"{figures(found['current'] / MILLI, 3)} mA"),
        Reading(
            f"power as it is connected, rated {settings.rating} W",
            f"{figures(found['power'], 3)} W, margin {figures(rated - found['power'], 3, '+')} W",
            "inside" if found["power"] <= rated else "outside",
        ),
    )  # fmt: skip


def _lines(reached: tuple[str, ...]) -> str:
    """Return the published lines that are reached; where none is, the meter is as needed as before."""
    return ", ".join(reached) or "no line: measure"


def _timed(words: str, time: float, wanted: float, broken: bool) -> Reading:
    """Return how long a resistor takes to a limit, with the margin; a broken one never gets there."""
    if broken:
        return Reading(words, "never", "outside")
    value = f"{figures(time)} s, margin {figures(wanted - time, sign='+')} s"
    return Reading(words, value, "inside" if time <= wanted else "outside")


def drain_words(found, settings) -> str:
    """Say what was stored, what is left, and that only a meter knows."""
    resistor = RESISTORS[settings.resistor]
    start = (
        f"{settings.capacitance:.0f} µF at {settings.volts:.0f} V hold {_joules(found['energy'])}; "
        f"published thresholds reached: {', '.join(found['reached']) or 'none'}. "
    )
    then = (
        f"The resistor of {resistor} is broken: the calculation says {_volts(found['calculated_now'])} after "
        f"{settings.waited:g} s, the capacitor still has {_volts(found['volts_now'])}. "
        if settings.broken
        else f"Through {resistor} {_volts(found['volts_now'])} and {_joules(found['energy_now'])} are left after "
        f"{settings.waited:g} s. "
    )
    return (
        f"{start}{then}Thresholds reached now: {', '.join(found['reached_now']) or 'none'}. "
        "Reaching none is no permission to touch: measure."
    )


def _draw_drain(figure, narrow):
    shape = {"nrows": 2} if narrow else {"ncols": 2}
    over_time, plane = figure.subplots(**shape)
    over_time.set(xlim=(0, LONGEST), ylim=(0, MOST_VOLTS + 30), xlabel="time since the resistor was connected [s]")
    over_time.set_ylabel("voltage [V]")
    lines = ((SHOCK_VOLTAGE, "shock line, with 10 J", "bottom"), (PLUG_PULLED_LIMIT, "machines, after 5 s", "top"))
    for volts, words, side in lines:
        over_time.axhline(volts, color=COLOURS["grey"], lw=1, ls="--")
        over_time.text(
            LONGEST - 0.5,
            volts + (4 if side == "bottom" else -4),
            f"{volts:.0f} V: {words}",
            fontsize=9,
            ha="right",
            va=side,
        )
    over_time.set_title("solid: what is there; dashed: the calculation", fontsize=9)
    plane.set(xlim=(LEAST_VOLTS, 1000), ylim=(LEAST_JOULES, 1000), xscale="log", yscale="log")
    plane.set(xlabel="voltage [V]", ylabel="stored energy [J]")
    plane.set_title("published lines; below them, measure", fontsize=9)
    plane.fill_between([SHOCK_VOLTAGE, 1000], SHOCK_ENERGY, 1000, color=COLOURS["red"], alpha=0.3, lw=0)
    plane.fill_between([LEAST_VOLTS, SHOCK_VOLTAGE], HEAT_ENERGY, 1000, color=COLOURS["orange"], alpha=0.3, lw=0)
    plane.fill_between([REFLEX_VOLTAGE, 1000], REFLEX_ENERGY, 1000, color=COLOURS["purple"], alpha=0.35, lw=0)
    for x, y, words in ((SHOCK_VOLTAGE * 1.1, 500, "shock"), (6, 500, "heat and flash")):
        plane.text(x, y, words, fontsize=9, va="center")
    plane.text(REFLEX_VOLTAGE * 1.05, 0.55, "start,\nreflex", fontsize=9, va="center")
    plane.text(6, 0.02, "no line reached: no permission to touch", fontsize=9, va="center")
    plane.set_xticks([10, 100, 1000], ["10", "100", "1000"])
    plane.set_yticks([0.01, 0.1, 1, 10, 100, 1000], ["0.01", "0.1", "1", "10", "100", "1000"])
    plane.grid(alpha=0.2)
    for axes in (over_time, plane):
        axes.tick_params(labelsize=9)
    return [over_time, plane]


DRAIN_FRAME = Frame("drain", _draw_drain, wide=(860, 380), narrow=(380, 420))


# ---- a test and its base rate

RATE_CONTROLS = (
    Slider("base_rate", "Boards with the fault (base rate)", "%", 1, 99, 1, 10),
    Slider("sensitivity", "Mark found, of boards with the fault", "%", 50, 99, 1, 80),
    Slider("specificity", "Mark absent, of boards without it", "%", 50, 99, 1, 90),
)


def rate_picture(settings) -> Picture:
    """Return what a mark found and a mark not found say at every base rate, and the thousand boards at this one."""
    found = rated(settings)
    before = np.linspace(0.002, 0.998, 120)
    after_found, after_absent = _after(before, settings)
    marks = (
        Line([0, 1], [0, 1], "grey", 1.5, (2, 3)),
        Line(before, after_found, "blue", 3),
        Line(before, after_absent, "orange", 3, (8, 3)),
        Line([found["base_rate"]] * 2, [found["after_absent"], found["after_found"]], "ink", 1, (2, 3)),
        Dots([found["base_rate"]], [found["after_found"]], "blue", 10, "square"),
        Dots([found["base_rate"]], [found["after_absent"]], "orange", 11, "ring"),
        *thousand(found["faulty"], found["true_marks"], found["false_marks"]),
    )
    return Picture(RATE_FRAME, marks, rate_words(found), rate_readings(found))


def rated(settings) -> dict:
    """Return the probabilities after a mark found and not found, and the boards of a thousand behind them."""
    base_rate = settings.base_rate * PERCENT
    after_found, after_absent = _after(base_rate, settings)
    faulty = round(BOARDS * base_rate)
    return {
        "base_rate": base_rate,
        "after_found": float(after_found),
        "after_absent": float(after_absent),
        "faulty": faulty,
        "true_marks": round(faulty * settings.sensitivity * PERCENT),
        "false_marks": round((BOARDS - faulty) * (1 - settings.specificity * PERCENT)),
    }


def _after(base_rate, settings):
    """Return the probability of the fault after the mark was found, and after it was looked for and not found."""
    shares = settings.sensitivity * PERCENT, settings.specificity * PERCENT
    return (
        evidence.positive_predictive_value(base_rate, *shares),
        1 - evidence.negative_predictive_value(base_rate, *shares),
    )


def rate_readings(found) -> tuple[Reading, ...]:
    """Return the counts of a thousand boards, and the probabilities they stand for."""
    marks = found["true_marks"] + found["false_marks"]
    missed = found["faulty"] - found["true_marks"]
    return (
        Reading(f"of {BOARDS} boards, with the fault", f"{found['faulty']}", f"{missed} unmarked"),
        Reading("show the mark", f"{marks}", f"{found['true_marks']} rightly"),
        Reading("fault, after the mark was found", _share(found["after_found"])),
        Reading("fault, after it was looked for and not found", _share(found["after_absent"])),
    )


def rate_words(found) -> str:
    """Say what the mark is worth at this base rate."""
    return (
        f"Of {BOARDS} boards {found['faulty']} have the fault. {found['true_marks'] + found['false_marks']} show the "
        f"mark, {found['true_marks']} of them with the fault. After the mark was found the fault is "
        f"{_share(found['after_found'])} likely, after it was not found {_share(found['after_absent'])}; before, "
        f"{_share(found['base_rate'])}."
    )


def _draw_rate(figure, narrow):
    shape = {"nrows": 2, "height_ratios": (1, 1)} if narrow else {"ncols": 2, "width_ratios": (6, 5)}
    curves, boards = figure.subplots(**shape)
    ticks = np.linspace(0, 1, 6)
    names = [percent(tick) for tick in ticks]
    curves.set(xlim=(0, 1), ylim=(-0.02, 1.02), xlabel="fault, before you look (base rate)")
    curves.set_xticks(ticks, names, fontsize=9)
    curves.set_yticks(ticks, names, fontsize=9)
    curves.set_ylabel("fault, after you looked")
    key(curves, "mark found", "blue", 3.0)
    key(curves, "not looked", "grey", 1.5, (2, 3))
    key(curves, "mark not found", "orange", 3.0, (8, 3))
    legend(curves, loc="lower right")
    curves.grid(alpha=0.2)
    _draw_boards(boards)
    boards.set_xlabel("squares and rings: all that show the mark", fontsize=9)
    return [curves, boards]


RATE_FRAME = Frame("rate", _draw_rate, wide=(860, 360), narrow=(380, 420))


# ---- a claim held to a count

CONFIDENCES = {"0.9": "90 %", "0.95": "95 %", "0.99": "99 %"}
MOST_TRIALS = 10_000
CLAIM_CONTROLS = (
    Slider("trials", "Repairs counted", "1", 1, 500, 1, 20),
    Slider("failed", "Of them failed again", "1", 0, 50, 1, 0),
    Slider("claim", "Share that is claimed to hold", "%", 50, 99.9, 0.1, 99),
    Menu("confidence", "Confidence", CONFIDENCES, "0.95"),
)
INTERVALS = {
    "Wald": ("orange", (4, 3), evidence.wald_interval),
    "Wilson": ("green", (), evidence.wilson_interval),
    "exact": ("blue", (), evidence.clopper_pearson_interval),
}
"""Colour, dash and rule of each interval, from the top."""


def claim_picture(settings) -> Picture:
    """Return three intervals for the share that holds, and how many repairs the claim would need."""
    found = counted(settings)
    marks = []
    for row, (name, (colour, dash, _)) in enumerate(INTERVALS.items()):
        low, high = found[name]
        marks += [
            Line([low, high], [2 - row] * 2, colour, 5, dash),
            Line([low, low], [1.75 - row, 2.25 - row], colour, 3),
            Line([high, high], [1.75 - row, 2.25 - row], colour, 3),
        ]
    share, claim = found["share"], settings.claim * PERCENT
    bounds = _bounds(found["failed"], float(settings.confidence))
    marks += [
        Line([claim, claim], [-0.6, 2.6], "red", 2, (8, 3)),
        Dots([share] * 3, [2, 1, 0], "ink", 9),
        Line(*bounds, "blue", 2.5, axes=1),
        Line([1, MOST_TRIALS], [1 - claim] * 2, "red", 2, (8, 3), axes=1),
        Dots([found["trials"]], [1 - found["at_least"]], "ink", 10, axes=1),
        Dots([found["needed"]], [1 - claim], "red", 13, "ring", axes=1),
    ]
    return Picture(CLAIM_FRAME, tuple(marks), claim_words(found, settings), claim_readings(found, settings))


def counted(settings) -> dict:
    """Return the intervals, the one-sided bounds and the number of repairs that the claim would need."""
    trials, confidence, claim = round(settings.trials), float(settings.confidence), settings.claim * PERCENT
    failed = min(round(settings.failed), trials)
    held = trials - failed
    return {
        "trials": trials,
        "failed": failed,
        "held": held,
        "share": held / trials,
        **{name: tuple(map(float, rule(held, trials, confidence))) for name, (*_, rule) in INTERVALS.items()},
        "at_least": float(evidence.lower_bound(held, trials, confidence)),
        "at_most": float(evidence.upper_bound(held, trials, confidence)),
        "needed": needed(round(settings.claim, 1), confidence, failed),
        "as_bad": float(evidence.chance_of_at_most(held, trials, claim)),
    }


@lru_cache(maxsize=4096)
def needed(claim: float, confidence: float, failed: int) -> int:
    """Return how many repairs, with so many failures, support a claim given in per cent."""
    return evidence.trials_to_support(claim * PERCENT, confidence, failed)


@lru_cache(maxsize=256)
def _bounds(failed: int, confidence: float):
    """Return numbers of repairs, and the largest share of failures that so many failures among them leave possible."""
    trials = np.unique(np.round(np.geomspace(max(failed, 1), MOST_TRIALS, 120)).astype(int))
    return trials, 1 - np.asarray(evidence.lower_bound(trials - failed, trials, confidence), float)


def verdict(found, claim: float) -> str:
    """Return whether the count supports the claim, speaks against it, or leaves it open."""
    if found["at_least"] >= claim:
        return "supported"
    return "spoken against" if found["at_most"] < claim else "left open"


def claim_readings(found, settings) -> tuple[Reading, ...]:
    """Return the count's share with its uncertainty, and what the claim would need."""
    claim, sure = settings.claim * PERCENT, CONFIDENCES[settings.confidence]
    wald_low, wald_high = found["Wald"]
    wald_state = "no width" if wald_low == wald_high else "leaves 0 to 100 %" if wald_high > 1 or wald_low < 0 else ""
    more = found["needed"] - found["trials"]
    return (
        Reading("held", f"{found['held']} of {found['trials']}", _fine(found["share"])),
        Reading(f"Wald interval, {sure}", _span(found["Wald"]), wald_state),
        Reading(f"Wilson interval, {sure}", _span(found["Wilson"])),
        Reading(f"exact interval, {sure}", _span(found["exact"])),
        Reading(
            f"at least so many hold, {sure} one-sided",
            with_margin(_fine(found["at_least"]), 100 * (found["at_least"] - claim), "%", 1),
            "inside" if found["at_least"] >= claim else "outside",
        ),
        Reading(f"the claim of {settings.claim:.1f} % is", verdict(found, claim)),
        Reading(
            f"repairs that support it, {found['failed']} failed",
            f"{found['needed']}",
            "enough" if more <= 0 else f"{more} more",
        ),
        Reading("chance of so few held, were the claim true", _small(found["as_bad"])),
    )


def _small(chance: float) -> str:
    """Return a chance as a number, and what is as good as none in words.

    >>> _small(0.0138), _small(1e-40)
    ('0.014', 'under 0.0001')
    """
    return figures(chance) if chance >= 1e-4 else "under 0.0001"


def _span(interval: tuple[float, float]) -> str:
    low, high = interval
    return f"{100 * low:.1f} to {100 * high:.1f} %"


def _fine(share: float) -> str:
    return f"{100 * share:.1f} %"


def claim_words(found, settings) -> str:
    """Say what the count shows of the claim."""
    sure = CONFIDENCES[settings.confidence]
    return (
        f"{found['held']} of {found['trials']} repairs held, {found['failed']} failed. Intervals at {sure}: Wald "
        f"{_span(found['Wald'])}, Wilson {_span(found['Wilson'])}, exact {_span(found['exact'])}. "
        f"One-sided, at least {_fine(found['at_least'])} hold. The claim of {settings.claim:.1f} % is "
        f"{verdict(found, settings.claim * PERCENT)}; with {found['failed']} failed it would take {found['needed']} "
        f"repairs to support it."
    )


def _draw_claim(figure, narrow):
    spans, bounds = figure.subplots(nrows=2, height_ratios=(2, 3))
    spans.set(xlim=(-0.02, 1.06), ylim=(-0.6, 2.6), yticks=range(3))
    spans.set_yticklabels(reversed(INTERVALS), fontsize=9)
    ticks = np.linspace(0, 1, 6)
    spans.set_xticks(ticks, [percent(tick) for tick in ticks], fontsize=9)
    spans.set_title("share held: counted (dot), claimed (dashed)", fontsize=9)
    spans.axvline(1, color=COLOURS["grey"], lw=1)
    spans.grid(alpha=0.2, axis="x")
    bounds.set(xlim=(1, MOST_TRIALS), ylim=(3e-4, 1.2), xscale="log", yscale="log", xlabel="repairs counted")
    bounds.set_ylabel("share of failures\nnot ruled out", fontsize=9)
    shares = (0.001, 0.01, 0.1, 1)
    bounds.set_yticks(shares, [f"{100 * share:g} %" for share in shares], fontsize=9)
    counts = (1, 10, 100, 1000, 10_000)
    bounds.set_xticks(counts, [f"{count}" for count in counts], fontsize=9)
    bounds.minorticks_off()
    bounds.set_title("dot: your count; ring: the claim is supported", fontsize=9)
    bounds.grid(alpha=0.2)
    return [spans, bounds]


CLAIM_FRAME = Frame("claim", _draw_claim, wide=(860, 380), narrow=(380, 420))


# ---- three causes, not one

CAUSES = ("ball joints under the package", "joints inside the package", "dead part")
CAUSE_FINDINGS = {
    "warm": ("Came back at 120 °C, where no solder melts", (0.35, 0.55, 0.02)),
    "pressed": ("Ran while it was pressed, as the owner tells", (0.50, 0.55, 0.02)),
    "x_ray": ("X-ray: balls of even shape, none bridged", (0.75, 0.95, 0.95)),
    "side": ("Side view: a row of balls shows a dark line", (0.30, 0.01, 0.01)),
    "chain": ("Test pins: a corner ball open, measured cold", (0.40, 0.01, 0.01)),
    "reflow": ("A reflow brought it back for weeks", (0.60, 0.40, 0.03)),
}
"""What is looked at, and how likely it is found under each cause. All shares are invented."""

CAUSE_CONTROLS = (
    Slider("balls", "Ball joints, before you look", "%", 5, 60, 5, 40),
    Slider("inside", "Joints inside, before you look", "%", 5, 35, 5, 35),
    *(Tick(name, words, name == "warm") for name, (words, _) in CAUSE_FINDINGS.items()),
)


def cause_shares(settings):
    """Return the shares of the three causes before any finding and after each one that is ticked."""
    steps = [
        ("before you look", np.array([settings.balls, settings.inside, 100 - settings.balls - settings.inside]) / 100)
    ]
    for name, (words, likelihoods) in CAUSE_FINDINGS.items():
        if getattr(settings, name):
            steps.append((words, causes.updated_causes(steps[-1][1], likelihoods)))
    return steps


def cause_picture(settings) -> Picture:
    """Return the shares of three causes, finding by finding, and what each look is worth."""
    steps = cause_shares(settings)
    marks = []
    for row, (words, shares) in enumerate(steps):
        y, left = len(CAUSE_FINDINGS) - row, 0.0
        for share, colour in zip(shares, ("blue", "orange", "grey"), strict=True):
            right = left + float(share)
            marks.append(Area([left, right, right, left], [y - 0.2, y - 0.2, y + 0.12, y + 0.12], colour, 0.9))
            left = right
        marks.append(Label(0.0, y + 0.32, words))
    last = steps[-1][1]
    readout = [Reading(name, _share(float(share))) for name, share in zip(CAUSES, last, strict=True)]
    readout += [
        Reading(
            f"{words}: balls against inside",
            f"likelihood ratio {balls / inside:.3g}",
            "tells them apart" if not 1 / 3 < balls / inside < 3 else "says little",
        )
        for words, (balls, inside, _) in CAUSE_FINDINGS.values()
    ]
    told = "; ".join(f"{name} {_share(float(share))}" for name, share in zip(CAUSES, last, strict=True))
    words = f"After {len(steps) - 1} findings: {told}. All shares are invented."
    return Picture(CAUSE_FRAME, tuple(marks), words, tuple(readout))


def _draw_cause(figure, narrow):
    axes = figure.subplots()
    axes.set(xlim=(0, 1), ylim=(-0.5, len(CAUSE_FINDINGS) + 0.6), yticks=[], xlabel="share of boards like this one")
    ticks = np.linspace(0, 1, 6)
    axes.set_xticks(ticks, [percent(tick) for tick in ticks])
    for name, colour in zip(CAUSES, ("blue", "orange", "grey"), strict=True):
        axes.fill([], [], color=COLOURS[colour], label=name)
    place = {"ncols": 1} if narrow else {"ncols": len(CAUSES)}
    legend(axes, loc="lower left", bbox_to_anchor=(0, 1), **place)
    return [axes]


CAUSE_FRAME = Frame("cause", _draw_cause, wide=(860, 360), narrow=(380, 420))


def weigh_explorer() -> Explorer:
    """Return the explorer of findings weighed one by one."""
    return Explorer("What the findings add up to", WEIGH_CONTROLS, weigh_picture)


def drain_explorer() -> Explorer:
    """Return the explorer of a capacitor that is drained."""
    return Explorer("Draining a capacitor", DRAIN_CONTROLS, drain_picture)


def rate_explorer() -> Explorer:
    """Return the explorer of a test at every base rate."""
    return Explorer("A test and its base rate", RATE_CONTROLS, rate_picture)


def claim_explorer() -> Explorer:
    """Return the explorer of a claim held to a count."""
    return Explorer("What a count says of a claim", CLAIM_CONTROLS, claim_picture)


def cause_explorer() -> Explorer:
    """Return the explorer of three causes and what each look is worth."""
    return Explorer("Three causes, and what each look is worth", CAUSE_CONTROLS, cause_picture)
