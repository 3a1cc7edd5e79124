"""What should have been seen in lesson 4."""

from workbook.bench.shorts import charging, decision, meter
from workbook.panels import shorts
from workbook.panels.pictures import percent
from workbook.panels.seen import before_margin, hold, look
from workbook.references import value

INTERVAL, VERDICT = "reading with its interval", "verdict"


def rail_of_one_point_six() -> list[str]:
    """The rail that displays 1.6 ohm."""
    share, counts, digit, _ = value("shorts", "hand_meter_200_ohm")
    left = meter.lead_null(1.6, 0.3)
    u = decision.reading_uncertainty(1.6, share, counts, digit, contact=0.1)
    over = decision.probability_above(left, u, 1.0)
    hold(left - 2 * u > 1.0, over > 0.95)
    return [
        f"No dead short: {left:.1f} Ω ± {2 * u:.2f} Ω lies wholly above 1 Ω, and it is over the limit with {percent(over, 1)}. "
        "Near it, though: another contact, or a limit of a little more, and it would be undecided."
    ]


def readings() -> list[str]:
    """The seven tries of Figure 1."""
    touches = [look("shorts.meter", touch=times) for times in range(8)]
    bare, short_bare = look("shorts.meter", subtract=False), look("shorts.meter", subtract=False, fault="0.5")
    short = look("shorts.meter", fault="0.5")
    coarse, four = look("shorts.meter", range="2000"), look("shorts.meter", range="four", leads=1, contact=0.5)
    faults = ["2", "1.5", "1.2", "1.0", "0.8", "0.5", "0.2"]
    open_ = [fault for fault in faults if look("shorts.meter", fault=fault)[VERDICT].startswith("undecided")]
    nine, design = look("shorts.meter", fault="9"), look("shorts.meter", fault="0.2", by_design=True)
    hold(
        short[VERDICT].startswith("dead short"),
        short_bare[VERDICT].startswith("undecided"),
        bare[VERDICT].startswith("no dead short"),
    )
    hold(nine.state("against a good board") == "outside", design[VERDICT].startswith("undecided"))
    hold(all(seen[VERDICT].startswith("undecided") for seen in touches))
    shown = sorted({seen["display"] for seen in touches})
    return [
        f"The contacts: the display moves between {shown[0]} and {shown[-1]}. The verdict stays undecided, because the interval already counts that.",
        f"A missed short. The leads are taken for the rail: this fault becomes “{before_margin(bare[VERDICT])}”, and one of 0.5 Ω only “undecided”, "
        "where it was a dead short.",
        f"All between {coarse['undecided between']}: a count of this range is ten times larger, and the reading is {coarse[INTERVAL]}.",
        f"Two wires bring the current, two others take the voltage on the rail itself. With leads of 1 Ω and contacts of 0.5 Ω it still reads {four[INTERVAL]}.",
        f"Undecided are {open_[-1]} Ω to {open_[0]} Ω; {faults[faults.index(open_[-1]) + 1]} Ω is a dead short and {faults[faults.index(open_[0]) - 1]} Ω is none.",
        f"No. It reads {nine[INTERVAL]} where a good board reads 64 Ω: {before_margin(nine['against a good board'])} of it. The line “against a good board” knows.",
        f"“{design[VERDICT]}”: a reading alone cannot call such a rail shorted.",
    ]


def warm() -> list[str]:
    """The three tries of chapter 3."""
    hot = look("shorts.meter", fault="none", board_c=90)
    falls = next(
        warmth
        for warmth in range(20, 92, 2)
        if look("shorts.meter", fault="none", cold=10, board_c=warmth)[VERDICT].startswith("dead short")
    )
    unseen = next(
        warmth
        for warmth in range(20, 92, 2)
        if look("shorts.meter", fault="none", board_c=warmth).number("display")
        < look("shorts.meter", fault="9").number("display")
    )
    back = look("shorts.meter", fault="none")
    hold(hot.number("display") < 5 < back.number("display"))
    return [
        f"{hot[INTERVAL]} of the 64 Ω. With 10 Ω when cold it is called a dead short from {falls} °C on, and it is a perfect board.",
        f"From about {unseen} °C a good rail reads lower than this faulty one does when cold, and on a warm board the two curves draw together: "
        "without the temperature the number says nothing.",
        f"Neither. The good rail is back at {back['display']}; the fault stays where it was. Cold is the state in which readings can be compared.",
    ]


def written_down_too_soon() -> list[str]:
    """A rail that climbs from 200 ohm."""
    seconds = charging.drifting_reading(1.0, 2000.0, 1000e-6)
    hold(seconds < 2000)
    return [
        f"That the board has a leak that it does not have. The capacitors were filling: a rail of 2 kΩ with 1000 µF shows only {float(seconds):.0f} Ω after one second. "
        "Wait until it stands still, or write down the seconds waited."
    ]


def climb() -> list[str]:
    """The four tries of Figure 2."""
    start, tenth = look("shorts.climb"), look("shorts.climb", capacitance="100")
    leak = look("shorts.climb", leak="1")
    early = [look("shorts.climb", time=0.05, leak=one) for one in ("none", "100")]
    late = [look("shorts.climb", time=5, leak=one) for one in ("none", "100")]
    long = look("shorts.climb", rail="10000", capacitance="4700")
    still = "99 % reached"
    hold(leak.state(still) == "stands still", late[0].number("reading") > 5 * late[1].number("reading"))
    return [
        f"{before_margin(start[still])}. A tenth of the capacitance: {before_margin(tenth[still])}, a tenth of the time.",
        f"Much shorter: {before_margin(leak[still])}. Low **and** standing still is a real low resistance ({leak['end']}); low and climbing is a rail that fills.",
        f"At 0.05 s they read {early[0]['reading']} and {early[1]['reading']}, which nobody would call apart without knowing the rail. At 5 s {late[0]['reading']} and "
        f"{late[1]['reading']}: plain.",
        f"It would take {before_margin(long[still])}. Hardly; write down the reading **and** the seconds: “{long['reading']} after 0.2 s, still climbing”.",
    ]


def which_limit() -> list[str]:
    """Limits of 1 and 10 ohm on a rail of 56 ohm."""
    leaks = [float(decision.leak_behind(56.0, reading)) for reading in (50.0, 28.0, 6.2)]
    hold(min(leaks) > 1)
    return [
        f"None: they are {leaks[0]:.0f}, {leaks[1]:.0f} and {leaks[2]:.1f} Ω, and every reading is above 1 Ω. A limit of 10 Ω would call a rail shorted that reads "
        "6.2 Ω on every good board. The limit belongs to the rail."
    ]


def downhill() -> int:
    """Return after how many steps of 10 mm a free tip that always goes to the lower side finds no lower place."""

    def height(place):
        return look("shorts.find", along=place[0], across=place[1]).number("free tip")

    place = (30, 40)
    for steps in range(100):
        sides = [(place[0] + x, place[1] + y) for x, y in ((10, 0), (-10, 0), (0, 10), (0, -10))]
        lowest = min((side for side in sides if 1 <= side[0] <= 119 and 1 <= side[1] <= 79), key=height)
        if height(lowest) >= height(place):
            return steps
        place = lowest
    raise ValueError("it goes on downhill")


def search() -> list[str]:
    """The eight tries of Figure 3."""

    def lowest(**given):
        seen = look("shorts.find", touch=len(shorts.PLACES), **given)
        line = next(one for one in seen.lines if " below " in one.words)
        return seen, line.words.split(" below ")[0], line

    one, part, line = lowest()
    ground, _, far = lowest(number=2, b="ground")
    clip, second, near = lowest(number=2)
    weak, strong = lowest(current=0.1), lowest(current=3)
    cold, warm_, both = lowest(current=0.3), lowest(current=0.3, warm=8), lowest(current=0.3, warm=8, both=True)
    edges = {edge: lowest(clip=edge) for edge in ("left", "right", "top", "bottom")}
    easiest = max(edges, key=lambda edge: float(edges[edge][2].value.split()[0]))
    tried = [
        look("shorts.find", touch=len(shorts.PLACES), number=board, guess=lowest(number=board)[1])["your word"]
        for board in range(1, 6)
    ]
    uncertainty = {name: seen["newest reading"].split("± ")[1] for name, seen in (("ground", ground), ("clip", clip))}
    hold(line.state == "told apart", part == edges["left"][1], weak[2].state == "not told apart", both[1] == cold[1])
    hold(
        strong[2].state == "told apart", float(uncertainty["ground"].split()[0]) > float(uncertainty["clip"].split()[0])
    )
    return [
        f"{part} is lowest, {before_margin(line.value)} below the next: {line.state}.",
        f"All share the voltage over the short itself ({ground['newest reading'].split(',')[1].strip()} for the last part), so they look alike. The uncertainty grows with the reading: "
        f"± {uncertainty['ground']} in place of ± {uncertainty['clip']}.",
        f"The common part has gone and the readings are small differences (± {uncertainty['clip']}); {second} stands {before_margin(near.value)} below the next.",
        f"A smaller uncertainty: at 0.1 A {weak[2].state} ({weak[2].value}), at 3 A {strong[2].state} ({strong[2].value}). It costs heat, {strong[0]['heat in the leads']} in the leads, "
        f"where it was {one['heat in the leads']} at 1 A. Most of it is in the leads, not in the short.",
        f"With tips up to 8 K warmer {warm_[1]} seems lowest ({warm_[2].state}). Read both ways it is {both[1]} again, {both[2].state}.",
        f"From the {easiest} edge, where the lowest part stands {before_margin(edges[easiest][2].value)} below the next on this board.",
        f"In steps of 10 mm, always to the lower side, {downhill()} steps from where the tip stands on the first board. The lowest place is the shorted part "
        "or lies beside it.",
        f"Naming the lowest part after all eight readings, {sum('shorted' in word for word in tried)} of the first five boards are right. Two readings halve "
        "the board: begin far apart, and go on in the lower half.",
    ]


ANSWERS = {
    "ch1-leads": rail_of_one_point_six,
    "ch2-try": readings,
    "ch3-try": warm,
    "ch4": written_down_too_soon,
    "ch4-try": climb,
    "ch5-q": which_limit,
    "ch7-try": search,
}
