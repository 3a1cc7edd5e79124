"""After a case: the way taken, what was hidden, where it was decided, what another look would have told, the record."""

from collections.abc import Sequence

from workbook import units
from workbook.case import acts, belief, deciding, heating, search, ways
from workbook.case.acts import HOT, Done
from workbook.case.belief import Weights
from workbook.case.board import WEAK, Board
from workbook.case.playing import Played, hours_and_minutes

SHOPS_WORDS = {
    "balls of U1": "cracked balls under U1",
    "balls of U2": "cracked balls under U2",
    "inside U1": "a cracked joint inside U1, which no ball shows",
    "shorted part": "a shorted part",
    "dead U1": "U1 itself, dead and leaking",
    **{weak: f"a joint that holds for now and opens again within weeks ({weak})" for weak in WEAK.values()},
    "sound": "nothing: the board is in order",
    "lost": "torn lands or a spoiled U2: beyond repair here",
}


def credits(amount: float) -> str:
    """Say an amount of the workbook's invented money.

    >>> credits(-12.5), credits(200.0), credits(1)
    ('-12.5 credits', '200 credits', '1 credit')
    """
    number = f"{amount:.1f}".removesuffix(".0")
    return f"{number} credit" if number == "1" else f"{number} credits"


def acts_in_words(number: int) -> str:
    """Say how many acts.

    >>> acts_in_words(1), acts_in_words(2)
    ('1 act', '2 acts')
    """
    return f"{number} act" if number == 1 else f"{number} acts"


def wrong(board: Board) -> str:
    """Say what is wrong with a board as it truly is; of a shorted part, on which rail it sits."""
    words = SHOPS_WORDS[board.cause]
    return f"{words} on the {'memory' if board.on_memory else 'core'} rail" if board.cause == "shorted part" else words


def left(board: Board) -> str:
    """Say how a board truly was at the end of a case."""
    said = [f"At the end, wrong was: {wrong(board)}."]
    said += [f"Balls under {package} were bridged." for package in sorted(board.bridged)]
    if board.residue:
        said.append("Flux was left on it.")
    if board.tilted:
        said.append("The sink stood tilted.")
    return f"{' '.join(said)} Heats at the end: U1 {board.heats_1}, U2 {board.heats_2}; {acts.MOST_HEATS} at most."


def hidden(board: Board) -> str:
    """Say what was wrong with a board, and what else was hidden, in a few sentences."""
    said = [f"Wrong was: {wrong(board)}."]
    if board.over:
        said.append(f"It was open {board.over} h too long: {acts.hours_needed(board.over)} h in the oven dry it.")
    said.append(f"{board.copper.capitalize()} copper layers. U1 had {board.heats_1} of its {acts.MOST_HEATS} heats.")
    if board.fast:
        said.append("Old paste held the sink fast.")
    if board.low:
        said.append(f"The station's plate ran {heating.PLATE_STEP} K cooler than it said.")
    return " ".join(said)


def timeline(played: Played) -> list[str]:
    """Return each act with the time it began, what it told and what it cost."""
    lines, minutes = [], 0.0
    for step in played.steps:
        cost = "not done" if step.refused else credits(step.cost)
        lines.append(f"{hours_and_minutes(minutes):>10}  {step.act}: {step.told} ({cost})")
        minutes += 0 if step.refused else acts.minutes(step.word, step.numbers)
    return lines


def way(played: Played) -> list[tuple[str, float, float]]:
    """Return each act that took time as its kind, when it began and how long it took [min]."""
    kind = {word: heading for heading, words in acts.GROUPS.items() for word in words}
    found, minutes = [], 0.0
    for step in played.did:
        took = acts.minutes(step.word, step.numbers)
        if took:
            found.append((kind[step.word], minutes, took))
        minutes += took
    return found


def decided_at(played: Played) -> float | None:
    """Return when it was decided what is done with the board [min], or None."""
    place = deciding.turning_point(played)
    if place is None:
        return None
    return sum(acts.minutes(step.word, step.numbers) for step in played.steps[:place] if not step.refused)


def suspects(weights: Weights) -> str:
    """Say how likely each cause is, the likeliest first.

    >>> suspects({}) == "" or suspects(belief.before()).startswith("balls of U1 30 %")
    True
    """
    shares = [(cause, share) for cause, share in belief.causes(weights).items() if share > 0.005]
    return ", ".join(f"{cause} {100 * share:.0f} %" for cause, share in shares)


LOOKS = {"measure core cold": "both rails", "look side U1": "U1 from the side", "look side U2": "U2 from the side"}


def decided(played: Played, known: Sequence[Weights]) -> list[str]:
    """Say where it was decided what is done with the board, on what, and what another look was worth there."""
    place = deciding.turning_point(played)
    if place is None:
        return ["Nothing was decided."]
    lines = [
        f"It was decided with act {place + 1}, {played.steps[place].act!r}. By then could be known: "
        f"{suspects(known[place])}."
    ]
    for look, gain in deciding.looks_left(known[place], played, place).items():
        price = search.look_price(look)
        worth = "more than it costs" if gain > price else "less than it costs"
        lines.append(f"A look at {LOOKS[look]} was worth {credits(gain)} there: {worth} ({credits(price)}).")
    lines += [
        f"Act {one.place + 1}, {one.act!r}: {one.better!r} was better there, by {credits(one.lost)} on average."
        for one in deciding.choices(played, known)
        if one.lost
    ]
    found = deciding.decision(played, known)
    if found:
        lines.append(
            f"The end, {found.end!r}: on what was known the board held with {100 * found.holds:.0f} %, and this end "
            f"brought {credits(found.worth)} on average from there."
        )
        if found.lost:
            lines.append(f"{found.better!r} was better: {credits(found.better_worth)} on average from there.")
    return lines


def compared(played: Played) -> list[str]:
    """Say what the case brought, beside the best way that was found and the simple habits, on average over boards."""
    lines = [f"It cost {credits(played.spent)} and {hours_and_minutes(played.minutes)} at the bench."]
    if played.is_over:
        lines.append(f"With its end it brought {credits(played.brings)} (chances to come at their average).")
    lines.append("On average over many boards, with the uncertainty of that average (two standard errors):")
    worth = ways.worth()
    for name in ways.WAYS:
        average, error = worth[name]
        lines.append(f"  {name}: {average:.0f} ± {max(2 * error, 0.5):.0f} credits")
    told = worth["told for nothing"][0]
    lines.append(
        f"Who is told the cause at once and for nothing gets {told:.0f} on average. "
        "No way of working brings more on average; a single case may."
    )
    return lines


def missed(played: Played) -> list[str]:
    """Say which gates and sums were missed, each with what to do."""
    return [f"Missed: {one.name}. {one.advice}" for one in played.missed]


def record(played: Played) -> list[str]:
    """Return the written record as a customer could read it: what was found and done, with figures, and what was not.

    Only what was told stands in it: nobody can write down what was hidden. But the heats are counted as they were.
    """
    did = [step for step in played.steps if not step.refused]
    found = [f"{step.told}" for step in did if step.word.startswith(("look", "measure", "find"))]
    work = [
        f"{step.act}: {step.told}" for step in did if step.word in HOT | {"bake", "prove clean", "check flush", "test"}
    ]
    heats = _heats(did)
    tested = [step for step in did if step.word == "test"]
    done = did[-1].done if did else Done()
    lines = ["Found: " + (" ".join(found) or "nothing was looked at.")]
    lines.append("Done: " + ("; ".join(line.rstrip(".") for line in work) + "." if work else "nothing on the board."))
    if heats:
        lines.append(f"Heats given here: {heats}. Alloy: lead-free, as it was.")
    lines.append("Not tested: the safety of the closed set on the mains, which is for those licensed for it.")
    if not tested:
        lines.append("The set was not run here.")
    bound = next((step.numbers[0] for step in reversed(did) if step.word == "reckon bound"), None)
    if bound is not None:
        lines.append(f"What the test leaves open: up to {bound} % of its starts may still fail (95 %, one-sided).")
    if done.sink_off:
        lines.append("The set is open: not to be plugged in.")
    end = {
        "return repaired": "It goes back as repaired. That it holds is likely and not certain; how long, nobody knows.",
        "return unrepaired": "It goes back as it is. Nothing is charged for a repair.",
        "refuse": "The job is turned down before hot work, for the reason found above.",
    }
    lines.append(end.get(done.end, "The job was stopped." if done.stopped else "The job is not finished."))
    return lines


def _heats(did) -> str:
    """Say how many heats hot work over each package gave it: a heat in which no joint melted is none."""
    counts = {"U1": 0, "U2": 0}
    for step in did:
        if step.word in HOT - {"replace part"}:
            counts[step.word[-2:]] += acts.heats_given(step.word, acts.programme_on(step.before, step.numbers))
    return ", ".join(f"{package} {count}" for package, count in counts.items() if count)


def page(played: Played) -> list[tuple[str, list[str]]]:
    """Return the page after a case: headings, each with its lines."""
    known = belief.along(played) if not played.done.stopped else None
    sections = [("The way taken", timeline(played)), ("What was hidden", [hidden(played.hidden), left(played.board)])]
    if played.done.stopped:
        sections.append(("Stopped", [played.done.stopped]))
    else:
        sections.append(("The decision", decided(played, known)))
    if missed(played):
        sections.append(("Missed", missed(played)))
    if played.sums:
        sections.append(("Sums", [one.told() for one in played.sums]))
    margins = [
        f"{limit.words}: {limit.value:g}{units.shown(limit.unit)}, "
        f"{'held' if limit.margin >= -limit.guard else 'missed'}, "
        f"margin {limit.margin:+g}{units.shown(units.of_difference(limit.unit))}"
        for limit in played.limits
    ]
    if margins:
        sections.append(("Limits, each by itself", margins))
    return [*sections, ("What it brought", compared(played)), ("The record for the customer", record(played))]
