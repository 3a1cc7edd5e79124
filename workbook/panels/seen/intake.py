"""What should have been seen in lesson 1."""

from workbook.bench.intake import air, bake_law, capacitors, causes, evidence
from workbook.panels.pictures import percent
from workbook.panels.seen import before_margin, hold, look
from workbook.references import table


def half_the_voltage() -> list[str]:
    """Energy at half the voltage; the first moment of half the resistor."""
    left = capacitors.stored_energy(470e-6, 200) / capacitors.stored_energy(470e-6, 400)
    power, smaller = capacitors.peak_power(400, 10e3), capacitors.peak_power(400, 5e3)
    hold(left == 0.25, smaller == 2 * power)
    return [
        f"A quarter: the energy goes with the square, and half times half is {left:g}. With half the resistance the "
        f"current doubles, so 5 kΩ bears {smaller:.0f} W as it is connected, where 10 kΩ bears {power:.0f} W."
    ]


def drain() -> list[str]:
    """The five tries of Figure 1."""
    fits = {ohms: look("intake.drain", resistor=ohms) for ohms in ("5600", "10000")}
    hold(fits["5600"].state("60 V") == "inside", fits["10000"].state("60 V") == "outside")
    at_50, at_400 = look("intake.drain", volts=50), look("intake.drain")
    two, less = (look("intake.drain", capacitance=2000, volts=volts) for volts in (100, 95))
    hold(two.state("stored") == "shock", less.state("stored").startswith("no line"))
    whole, broken = look("intake.drain"), look("intake.drain", broken=True)
    hold(whole["current"] == broken["current"], whole["time constant"] == broken["time constant"])
    over, under = (look("intake.drain", volts=volts, capacitance=10) for volts in (405, 400))
    hold("reflex" in over.state("stored"), under.state("stored").startswith("no line"))
    return [
        f"5.6 kΩ is the largest of the menu ({before_margin(fits['5600']['60 V'])} to 60 V; 10 kΩ takes "
        f"{before_margin(fits['10000']['60 V'])}). It must bear {before_margin(fits['5600']['power'])} at first, so a small one opens.",
        f"The stored energy, from {at_400['stored']} to {at_50['stored']}: an eighth of the voltage is a sixty-fourth of the energy. "
        "The current falls only to an eighth.",
        f"No. From {two['stored']} to {less['stored']} the shock line is left behind, and nothing else has changed. A line is where "
        "a table begins, not where harm ends.",
        f"Only what is left after {at_400.line('left').words.split()[2]} s changes, to {broken['left']}, and the times, to “never”. Time constant, "
        "current and power look as good as before, because they are sums. At the bench only the meter tells.",
        f"The line of start and reflex, with {over['stored']}: a spark or a jerk needs voltage, hardly any energy.",
    ]


def bake_at_70() -> list[str]:
    """What the law says of an oven of 70 °C."""
    hot = table("intake", "bake_125c_1mm4_1999")["3"]["more than 72 h over"]
    cool = table("intake", "bake_40c_1mm4")["3"]["more than 72 h over"]
    hours = bake_law.bake_time_elsewhere(hot, 125, 70, bake_law.bake_energy_ev(cool, 40, hot, 125))
    hold(hot < hours < cool)
    return [
        f"For level 3, more than 72 h over: about {hours:.0f} h, between {hot} h at 125 °C and {cool} h at 40 °C. The table has "
        "no such column, so ask the part's maker, or bake at a temperature that the table has."
    ]


def fume() -> list[str]:
    """Two limits of fume; the nozzle at half the distance."""
    values, minutes = [0.02, 0.50, 0.02], [120, 5, 240]
    shift = air.time_weighted_average(values, [part / 60 for part in minutes])
    short = air.worst_short_term_average(values, minutes)
    far, near = (air.capture_flow(0.5, distance, face_area=0.00785) for distance in (0.15, 0.075))
    hold(shift < 0.05, short > 0.15, near < far / 3)
    return [
        f"The shift's limit is kept ({shift:.3f} of 0.05 mg/m³), the quarter hour's is broken ({short:.2f} of 0.15 mg/m³). "
        f"At half the distance {near * 3600:.0f} m³/h do what took {far * 3600:.0f} m³/h: {percent(1 - near / far)} less air."
    ]


def rate() -> list[str]:
    """The four tries of Figure 2."""
    rare, more, purer = (
        look("intake.rate", base_rate=1, **given) for given in ({}, {"sensitivity": 99}, {"specificity": 99})
    )
    often = look("intake.rate", base_rate=90)
    hold(purer.number("fault, after the mark") > 4 * more.number("fault, after the mark"))
    after = "fault, after the mark was found"
    return [
        f"{rare['show']} of 1000 show it, {rare.state('show')}: {rare[after]}. The test is the same; there is less to find.",
        f"Fewer false alarms. A mark absent on 99 % of good boards brings {rare[after]} to {purer[after]}; a mark found on 99 % "
        f"of faulty ones only to {more[after]}. Most boards are good, so most marks come from them.",
        f"Little: {often['fault, after it was looked']} of such boards have the fault all the same.",
        "That of the boards that land on your bench. Failed boards are not all boards, and only some of them come to you. "
        "Count your own, and write the count down.",
    ]


def weigh() -> list[str]:
    """The six tries of Figure 3."""
    start, after = look("intake.weigh"), "yes, after all"
    marred, whole = (look("intake.weigh", screws=seen) for seen in ("found", "absent"))
    reflowed, cracked = (
        look("intake.weigh", question=asked, press="found", pads="unlooked") for asked in ("reflowed", "cracked")
    )
    apart, shared = (look("intake.weigh", pads="found", together=share) for share in (0, 90))
    saying = look("intake.weigh", question="cracked", prior=99, residue="unlooked", pads="unlooked", press="absent")
    hold(start.number(after) < 50, apart.number("Adhesive pads") != shared.number("Adhesive pads"))
    hold(start.number("the same if") < 50, start.number(after) < 50)
    return [
        f"It began at {start['yes, before']}, and the flat pads speak against it ({start['Adhesive']}): {start[after]} is still below one half.",
        f"Marred: from {start[after]} to {marred[after]}; untouched: to {whole[after]}. The two ratios ({marred['Screw'].split()[-1]} and "
        f"{whole['Screw'].split()[-1]}) are as strong, one up and one down, as equal steps on the picture show.",
        f"For the earlier reflow {reflowed['Reading']}, which says little; for the crack {cracked['Reading']}. Residue loses its weight: "
        f"{reflowed['Flux']} against {cracked['Flux']}. A finding is worth something only for a question.",
        f"Because it was expected already: its ratio falls from {apart['Adhesive'].split()[-1]} to {shared['Adhesive'].split()[-1]}. "
        "What comes from one cause is one finding, told twice.",
        f"Only from {saying['yes, before']} to {saying[after]}. A strong prior outvotes one good test. Look again in another way "
        "(dye, X-ray at an angle, a reading when warm), and ask whose count the 99 % is.",
        f"At the start no: {start[after]} and {start['the same if']} are both below one half. Where the two lie on either side of "
        "what you would act on, the invented shares decide, and you should not.",
    ]


def warm_and_pressed() -> list[str]:
    """What follows from an answer to warmth."""
    before = [0.40, 0.40, 0.20]
    warm = causes.updated_causes(before, [0.35, 0.55, 0.02])
    pressed = causes.updated_causes(warm, [0.50, 0.55, 0.02])
    hold(warm[2] < 0.03, abs(pressed[0] - warm[0]) < 0.05)
    return [
        f"That a dead part is unlikely now ({percent(warm[2])} is left of {percent(before[2])}). Not which joints: {percent(warm[0])} for the balls, "
        f"{percent(warm[1])} for joints inside. The finger moves the balls only to {percent(pressed[0])}, because both kinds answer "
        "it nearly alike. Dye or a cut section under the package, or a picture of the balls, tells the two apart."
    ]


def twenty_of_twenty() -> list[str]:
    """Wald's rule and twenty of twenty."""
    (low, high), exact = evidence.wald_interval(20, 20), evidence.clopper_pearson_interval(20, 20)
    hold(low == high == 1)
    return [
        f"That the share is {percent(low)} to {percent(high)}, with no uncertainty at all. Nobody should sign that: the exact rule leaves "
        f"{percent(exact[0], 1)} to {percent(exact[1])} open."
    ]


def claim() -> list[str]:
    """The five tries of Figure 4."""
    start, tenth = look("intake.claim"), look("intake.claim", trials=29, claim=90)
    one, two = (look("intake.claim", failed=failed) for failed in (1, 2))
    spoken, sure = look("intake.claim", trials=50, failed=3), look("intake.claim", confidence="0.99")
    least, needed = "at least so many", "repairs that support"
    hold(spoken["the claim"] == "spoken against", tenth["the claim"] == "supported")
    hold(sure.number("exact") < start.number("exact"), sure.state("Wald") == "no width")
    return [
        f"Up to {100 - start.number(least):.1f} %: the line says at least {before_margin(start[least])} hold.",
        f"{start[needed]} for 99 %, {tenth[needed]} for 90 %. Three divided by the share of failures: 3/0.01 = 300 and 3/0.1 = 30, nearly.",
        f"{one[needed]} with one failure, {two[needed]} with two: each failure costs more than a hundred repairs.",
        f"Spoken against: were 99 % true, so few of 50 would hold with a chance of only {spoken['chance of so few']}.",
        f"Wilson's and the exact one grow (exact: from {start['exact']} to {sure['exact']}). Wald's still has no width.",
    ]


ANSWERS = {
    "ch1-q": half_the_voltage,
    "ch1-try": drain,
    "bake-law-q": bake_at_70,
    "ch2-q": fume,
    "ch3-q": rate,
    "ch4-try": weigh,
    "causes-q": warm_and_pressed,
    "ch5-q": twenty_of_twenty,
    "ch5-try": claim,
}
