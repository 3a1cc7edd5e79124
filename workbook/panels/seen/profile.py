"""What should have been seen in lesson 3."""

from workbook.bench.profile import bead_seat, conduction, sag
from workbook.panels.seen import before_margin, hold, look

COLDEST, CENTRE, TOP = "coldest joint's peak", "hottest joint's peak", "package top"


def twice_as_thick() -> list[str]:
    """Time constant and end of a board twice as thick."""
    once, twice = (
        conduction.lumped_time_constant(conduction.heat_capacity(0.01 * thick, 1850, 1100), 20 * 2 * 0.01)
        for thick in (1.6e-3, 3.2e-3)
    )
    hold(twice == 2 * once)
    return [
        f"The time constant doubles, from {once:.0f} to {twice:.0f} s: twice the heat is stored and the faces lose as before. The final "
        "temperature stays: there the heat that comes in equals the heat lost, and thickness is in neither."
    ]


def heat() -> list[str]:
    """The four tries of Figure 1."""
    start, low, gas = (
        look("profile.heat"),
        look("profile.heat", bottom_plate_c=300),
        look("profile.heat", top_gas_c=280),
    )
    heavy, hotter = look("profile.heat", board="heavy"), look("profile.heat", board="heavy", bottom_plate_c=400)
    above = next(
        (gas_c, seen)
        for gas_c in range(300, 505, 5)
        if (seen := look("profile.heat", top_only=True, top_gas_c=gas_c)).state(TOP) == "outside"
    )
    hold(low.number(CENTRE) > 217 > low.number(COLDEST), gas.state(TOP) == "outside", gas.number(COLDEST) > 217)
    hold(
        heavy.state(COLDEST) == "outside",
        hotter.state("neighbour") == "outside",
        above[1].state("joints molten") == "not all",
    )
    return [
        f"The corner: its coldest joint peaks at {before_margin(low[COLDEST])}, the centre at {before_margin(low[CENTRE])}. Only {low['joints molten']} of the joints "
        f"melt, where it was {start['joints molten']}.",
        f"The package's rating: at 280 °C gas its top reaches {before_margin(gas[TOP])}. The corner has melted already at the start "
        f"({before_margin(start[COLDEST])}); what more gas buys it is hotter joints over the whole package.",
        f"More heat from below, for longer: as it stands the coldest joint reaches {before_margin(heavy[COLDEST])}. With the plate at 400 °C it reaches "
        f"{before_margin(hotter[COLDEST])}, but the neighbour {before_margin(hotter['neighbour'])} and the top {before_margin(hotter[TOP])}. No programme here holds all.",
        f"At {above[0]} °C gas the top passes its rating ({before_margin(above[1][TOP])}), and {above[1]['joints molten']} of the joints are molten: "
        f"they are {before_margin(above[1]['joints apart'])} apart.",
    ]


def supports() -> list[str]:
    """A row of supports at mid-span."""
    whole, half = (sag.sag_from_own_weight(span, 1.6e-3, 1850, 6e9) for span in (0.250, 0.125))
    hold(abs(half / whole - 1 / 16) < 1e-9)
    return [
        f"A sixteenth: {half * 1e3:.3f} mm in place of {whole * 1e3:.2f} mm at 250 mm when hot. The cheapest support is one in the middle."
    ]


def lag_or_air() -> list[str]:
    """A lagging bead and a bead in the air."""
    share = bead_seat.share_of_gas(150, bare_area=3e-6, seat_area=0.5e-6, seat_thickness=0.5e-3, seat_conductivity=0.3)
    off = float(bead_seat.bead_reading_c(225, 270, share)) - 225
    hold(off > 4)
    return [
        "The bead in the air. A lag shows in the log: it goes when the ramp ends, and it is a few kelvin. A bead beside the joint reads gas, "
        f"smoothly and all the time (already an adhesive seat is {off:.0f} K off in gas of 270 °C), and nothing in the log tells you. Look at the bead again after the run."
    ]


def stuck_bead() -> list[str]:
    """A bead held by adhesive that shows 235 °C."""
    share = bead_seat.share_of_gas(150, bare_area=3e-6, seat_area=0.5e-6, seat_thickness=0.5e-3, seat_conductivity=0.3)
    joint = (235 - share * 270) / (1 - share)
    hold(joint < 230)
    return [
        f"No. With the seat of the cell above and gas of 270 °C the joint would be near {joint:.0f} °C, below 230 °C; and film and seat are not known well "
        "enough to trust that either. Go on by a bead that is soldered, or by another sign, within the package's rating."
    ]


def log() -> list[str]:
    """The three tries of Figure 2."""
    noisy, narrow, wide, rare = (
        look("profile.log", **given) for given in (dict(noise=1), dict(window=2), dict(window=20), dict(step=20))
    )
    step, ramp, peak, above = "steepest step", "steepest ramp", "highest reading", "time above"
    hold(noisy.number(step) > 3 * 1.5, narrow.number(ramp) > wide.number(ramp) > 1.5, rare.number(peak) < 243)
    return [
        f"The steepest step between two readings: {noisy[step]}, {noisy.state(step)}. It takes the noise of two readings for a ramp.",
        f"The ramp comes from {narrow[ramp]} to {wide[ramp]} ({wide.state(ramp)}): less noise gets in. Lost is what happens within 20 s, "
        "such as a short steep piece.",
        f"The time above becomes {rare[above]} ({rare.state(above)}), and the highest reading {rare[peak]} ({rare.state(peak)}): the peak "
        "fell between two readings.",
    ]


def own_board() -> list[str]:
    """The three tries of Figure 3."""
    two, four, again = (look("profile.own", **given) for given in ({}, dict(beads="four"), dict(trials="2")))
    cool, hot = look("profile.own", bottom_plate_c=310), look("profile.own", bottom_plate_c=370)

    def width(seen, peak):
        low, high = (float(end) for end in seen[peak].split(" °C")[0].split(" to "))
        return high - low

    peaks = [line.words for line in two.lines[:5]]
    most = max(peaks, key=lambda peak: width(two, peak) - width(four, peak))
    hold(most == "peak of the neighbour at 10 mm")
    doubts = [line.words for line in two.lines[5:]]
    hold(*(float(again[words][:-2]) < float(two[words][:-2]) for words in doubts))
    fallen = ", ".join(
        f"{words.removeprefix('doubt left of the ')} {two[words]}, now {again[words]}" for words in doubts
    )
    cold = "peak of the coldest joint"
    hold(abs(width(hot, cold) - width(cool, cold)) > 0.3)
    return [
        f"The bar of the neighbour at 10 mm, from {width(two, most):.1f} to {width(four, most):.1f} K: a bead sits on it now. A place that no bead feels is known "
        "by what the others tell of the board between, and no better.",
        f"Each, by a little: {fallen}. A second trial much like the first tells the same once more; a bead at a new place tells something new.",
        f"No: {width(cool, cold):.1f} K at 310 °C and {width(hot, cold):.1f} K at 370 °C. The same doubt of the board moves one programme's peak more "
        "than another's: ask for the interval of the programme you mean to run.",
    ]


def still_air() -> list[str]:
    """What a log without the nozzle tells of the nozzle."""
    return [
        "Nothing: no bead felt the jet. What is assumed of it comes out as it went in, and the doubt left is 100 %. Log a run with the nozzle down."
    ]


ANSWERS = {
    "ch1-q": twice_as_thick,
    "ch2-try": heat,
    "before-heat-q": supports,
    "ch3-q": lag_or_air,
    "seat-q": stuck_bead,
    "ch4-try": log,
    "ch6-try": own_board,
    "ch6-q": still_air,
}
