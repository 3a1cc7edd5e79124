"""What should have been seen in lesson 6."""

from workbook.bench.shorts import uncertainty
from workbook.bench.signoff import budget, choices, cold_starts, promise
from workbook.case import afterwards, belief, deciding, search, ways
from workbook.case.playing import play
from workbook.panels.pictures import percent
from workbook.panels.seen import before_margin, hold, look
from workbook.references import value

PACKAGE, COLDEST, HOTTEST = "package top, at most", "coldest joint, at least", "hottest joint, at most"
RULE = "by the rule agreed"


def empty_column() -> list[str]:
    """The column that is empty on most pages."""
    return [
        "For most jobs the third: how far each reading could have been wrong. Without it “inside” cannot be told from “nearly outside”. Chapters 2 and 3 fill it."
    ]


def which_to_halve() -> list[str]:
    """Halve one of four uncertainties."""
    lines = [
        budget.Line("wire", value("signoff", "thermocouple_k_class_1"), "rectangular"),
        budget.Line("meter", 1.0, "rectangular"),
        budget.Line("bead", 2.0, "rectangular"),
        budget.Line("display", 0.1, "display step"),
    ]
    whole = budget.combine(lines).standard
    halved = {
        line.name: budget.combine([one._replace(limit=one.limit / 2) if one is line else one for one in lines]).standard
        for line in lines
    }
    hold(min(halved, key=halved.get) == "bead", whole - halved["display"] < 0.005)
    return [
        f"The bead and its fixing: {whole:.2f} K become {halved['bead']:.2f} K. Half the wire's limit gives {halved['wire']:.2f} K, half the meter's {halved['meter']:.2f} K; one more digit changes "
        f"nothing you would see ({halved['display']:.2f} K)."
    ]


def three_alike() -> list[str]:
    """Three equal readings."""
    factor = uncertainty.coverage_factor(2, 0.95)
    hold(factor > 4)
    return [
        f"Repeats show what changes from reading to reading: noise, contact, hand. They never show what stays: the wire's error, a bead beside the joint, the meter's adjustment. And three repeats "
        f"say little even of the first kind: to be 95 % sure, their spread is widened by {factor:.1f}."
    ]


def reading() -> list[str]:
    """The five tries of Figure 1."""
    at, worse = look("signoff.reading", package=245), look("signoff.reading", package=245, wire="2")
    loose = {
        line: next(half / 2 for half in range(13) if look("signoff.reading", fixing=half / 2).state(line) != "pass")
        for line in ("Package top, at", "Coldest joint, at", "Neighbour at 10 mm, at")
    }
    bare, wide, start = look("signoff.reading", factor=0), look("signoff.reading", factor=3), look("signoff.reading")
    best = look("signoff.reading", package=240, meter=0.2, fixing=0)
    inside = "Package top: true value"
    hold(
        at[inside] == worse[inside] == "50 %",
        bare.state("Package top, at") == "pass",
        best.state("Package top, at") == best.state("Coldest joint, at") == "pass",
    )
    guard = best.number("guard band U, k")
    return [
        f"{at[inside]}, with either wire: a reading at the limit is as likely too low as too high. The uncertainty sets how far, and not to which side.",
        f"The package has lost it already at {loose['Package top, at']:g} K: U is {start['guard band U, k']}, and it lies {start['Package top, at'].split('margin +')[1]} inside. The neighbour's pass goes at "
        f"{loose['Neighbour at 10 mm, at']:g} K, the coldest joint's at {loose['Coldest joint, at']:g} K. The board is the same; you know less of it.",
        f"Pass and fail only. Of a reading that just passes, {bare['reading just passed']} of boards are outside all the same.",
        f"The customer gains: at worst {wide['reading just passed']} are outside ({start['reading just passed']} with k = 2). The shop pays, with good boards that go on condition: the package is now “{wide.state('Package top, at')}”.",
        f"Two guard bands. With class 1 wire, a meter of 0.2 K and a perfect seat U is {guard:.2f} K, so {2 * guard:.1f} K of the 15 K between 230 and 245 °C are gone; with the start's uncertainty "
        f"{2 * start.number('guard band U, k'):.1f} K.",
    ]


def sheet() -> list[str]:
    """The six tries of Figure 2."""
    start, told = look("signoff.sheet"), look("signoff.sheet", rule="told")
    cooler, shorter = look("signoff.sheet", bottom_plate_c=325), look("signoff.sheet", hold=45)
    good = dict(shield="shielded", class_c="260", fixing=0, bottom_plate_c=325, top_gas_c=275, hold=110)
    best, agreed = look("signoff.sheet", **good), look("signoff.sheet", rule="told", **good)
    wire = look("signoff.sheet", wire="2")
    bare, thick, rail = (
        look("signoff.sheet", covered=65),
        look("signoff.sheet", bond_line=200),
        look("signoff.sheet", rail=5),
    )
    hold(start[RULE] == told[RULE] == "sent back", best[RULE] == "sent back", agreed[RULE] != "sent back")
    hold(cooler.state(COLDEST) == "fail", cooler.state(PACKAGE) == "pass")
    hold([one.value for one in bare.lines[:7]] == [one.value for one in start.lines[:7]], rail[RULE] == "sent back")
    condition = [one.words.split(",")[0] for one in best.lines if one.state == "conditional pass"]
    lost = [
        one.words.split(",")[0]
        for one, before in zip(wire.lines, start.lines, strict=False)
        if one.state != before.state
    ]
    return [
        f"{start.line(RULE).words.split('(for ')[1][:-1].capitalize()}. With the other rule the conditional ones may go out, told in writing before return; the neighbour ({before_margin(start['neighbour'])}) is a fail, and the board stays.",
        f"Package and coldest joint. Plate at 325 °C: top {before_margin(cooler[PACKAGE])}, coldest joint {before_margin(cooler[COLDEST])}. Hold of 45 s: {before_margin(shorter[PACKAGE])} and {before_margin(shorter[COLDEST])}. What cools the one cools the other.",
        f"On condition: {' and '.join(condition)} ({before_margin(best[COLDEST])}). Under the second rule it may go out ({agreed[RULE]}); the owner has to be told, in writing, before return.",
        f"{lost[0].capitalize()}: {start.state(lost[0])} before, {wire.state(lost[0])} now, on the same board.",
        f"Only the junction: {before_margin(start['junction'])} at the start, {before_margin(bare['junction'])} with 65 % covered, {before_margin(thick['junction'])} with 200 µm. No other line moves.",
        f"No. The rail reads {before_margin(rail['rail'])}, and the board is {rail[RULE]}, whatever the others say. Lines are not votes.",
    ]


def five_steps() -> list[str]:
    """Five steps at 98 %."""
    whole, needed = promise.chain_reliability(*[0.98] * 5), promise.step_reliability_needed(0.98, 5)
    hold(whole < 0.91)
    return [
        f"{percent(whole, 1)}: about one job in ten has at least one step wrong. For 98 % of the whole, each step needs {percent(needed, 2)}."
    ]


def untouched() -> list[str]:
    """The chance at which a reflow is worth nothing."""
    nothing = choices.chance_to_match(0, 150, 35, 20)
    hold(abs(choices.expected_value(nothing, 150, 35, 20)) < 1e-9)
    return [
        f"By these invented figures below {percent(nothing)}, where a reflow is worth nothing. Earlier, if the count of heats says no, or if you cannot say where your chance comes from."
    ]


def none_of_forty() -> list[str]:
    """None of forty came back."""
    bound = promise.return_rate_bound(0, 40)
    hold(0.06 < bound < 0.08)
    return [
        f"Up to about {100 * bound:.0f} of a hundred: none of forty does not rule out a rate of {percent(bound, 1)} (95 %). Zero is what you counted, and not what you may promise."
    ]


def promises() -> list[str]:
    """The six tries of Figure 3."""
    start, more = look("signoff.promise"), look("signoff.promise", repairs=300, returns=12)
    few, sure, loose = (
        look("signoff.promise", returns=0, repairs=10, allowed=0),
        look("signoff.promise", confidence="0.99"),
        look("signoff.promise", confidence="0.8"),
    )
    year = look("signoff.promise", months=12)
    bound, spare = "return rate at most", "returns to have"
    hold(
        start["came back"] != more["came back"],
        more.number(bound) < start.number(bound),
        year.state("promised for").startswith("not"),
    )
    hold(sure["came back"] == loose["came back"])
    return [
        f"For {start[spare]}. At the counted rate one would expect {before_margin(start['returns of the next'])}.",
        f"The bound: {start[bound]} with 2 of 50, {more[bound]} with 12 of 300. The more you have counted, the nearer it comes to the share.",
        f"Better not: the rate may still be {few[bound]}, and at that bound the promise is broken with {few['promise broken, at the bound']}.",
        f"Neither. The bound goes from {loose[bound]} to {sure[bound]}; the boards are the same. You only want to be surer.",
        f"The last one: {year['promised for']}, {year.state('promised for')}. Only watching longer mends it.",
        "The bound for what you sign and for parts you keep; the counted rate for what you expect in the books. Say which of the two a number is.",
    ]


def clean_starts() -> list[str]:
    """How many clean starts."""
    bounds = {starts: promise.return_rate_bound(0, starts) for starts in (10, 60, 300)}
    passes = cold_starts.chance_of_clean_starts(0.04, 10)
    hold(bounds[60] > 0.04, bounds[300] < 0.011)
    return [
        f"As many as the promise needs: 10 leave {percent(bounds[10])} of starts open (a board that fails 4 % passes them with {percent(passes)}), 60 leave {percent(bounds[60], 1)}, 300 "
        f"{percent(bounds[300], 1)}. Write: “60 starts from cold, none failed; up to {percent(bounds[60], 1)} of starts could still fail (95 %)”."
    ]


def two_records() -> list[str]:
    """Which of two pages one would rather have signed."""
    return [
        "The second. It says what was read, how sure, against which limit and by which rule, and what the owner knew. The first promises what nobody measured."
    ]


def case() -> list[str]:
    """The four tries of Figure 4."""
    hasty = play(117, ["remove sink"])
    refused = play(117, ["ask history", "look top", "look bottom", "refuse"])
    place = deciding.turning_point(refused)
    gain = deciding.looks_left(belief.along(refused)[place], refused, place)["measure core cold"]
    best = ways.best_way(117)
    brought = {name: average for name, (average, _) in ways.worth().items()}
    habits = ("heat at once", "measure everything", "refuse everything")
    hold(hasty.done.stopped != "", gain > search.look_price("measure core cold"), best.done.end == "return repaired")
    hold(best.hidden.cause == "dead U1", min(habits, key=brought.get) == "heat at once")
    return [
        f"Plug, charge and proof: {hasty.done.stopped} It cost {afterwards.credits(-hasty.brings)}.",
        f"{afterwards.credits(gain).capitalize()}, and it costs {afterwards.credits(search.look_price('measure core cold'))}. Of the causes that are still likely some are worth work, and the rails tell them apart.",
        f"How long it was open, which cause is likely, and whether the joints melted. On this board U1 itself was dead: by the best way found a new one went on, after {len(best.did)} acts for {afterwards.credits(best.spent)}.",
        f"{'; '.join(f'{habit} {brought[habit]:.0f}' for habit in habits)} credits; the best way found {brought['the best way found']:.0f}. Heating at once is the dearest: it is soon done, and then boards burst or come back.",
    ]


ANSWERS = {
    "ch1": empty_column,
    "ch2-q": which_to_halve,
    "gauge-q": three_alike,
    "ch4-try": reading,
    "ch6-try": sheet,
    "ch7-q": five_steps,
    "choices-q": untouched,
    "ch8": none_of_forty,
    "ch8-try": promises,
    "cold-starts-q": clean_starts,
    "ch9": two_records,
    "case-try": case,
}
