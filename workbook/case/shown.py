"""What a page shows of a case under way, as plain data: its acts, the board as it stands, and the page after it."""

from workbook.case import acts, afterwards
from workbook.case.board import Supply
from workbook.case.playing import Played, hours_and_minutes
from workbook.drawings.bench import board_at_work, way_taken
from workbook.drawings.pen import Drawing

UNITS = {"discharge": (" s",), "bake": (" h",), "test": (" starts",)}
UNITS |= {"reckon volts": (" V",), "reckon uncertainty": (" mΩ",), "reckon margin": (" K",), "reckon bound": (" %",)}
PROGRAMME_UNITS = (" °C", " °C", " s")

SIGHTS = {
    "A dark line at a ball of U1": "line at U1",
    "A dark line at a ball of U2": "line at U2",
    "A brown spot": "brown spot",
    "flux round U1": "flux round U1",
}
"""What is drawn on the board, by the words that tell it."""


def vocabulary() -> dict[str, str]:
    """Return every act with what it is, the numbers it takes, and what it costs."""
    words = {}
    for word, meaning in acts.WORDS.items():
        minutes, material = acts.PRICES[word]
        numbers = zip(acts.NUMBERS.get(word, ()), UNITS.get(word, PROGRAMME_UNITS), strict=False)
        choice = "; ".join(f"{_few(ways)}{unit}" for ways, unit in numbers)
        takes = f"{minutes:g} min" + (f", {afterwards.credits(material)}" if material else "")
        words[word] = f"{meaning}{f': {choice}' if choice else ''} ({takes})"
    return words


def _few(ways) -> str:
    return acts.spelled_out(ways) if isinstance(ways, range) else ", ".join(map(str, ways))


def numbers() -> dict[str, list]:
    """Return the numbers each act takes, as plain data: a list to choose from, or the least and the most."""
    return {
        word: [{"least": way[0], "most": way[-1]} if isinstance(way, range) else list(way) for way in ways]
        for word, ways in acts.NUMBERS.items()
    }


def at_the_door(supply: Supply) -> list[str]:
    """Return what is known of a set when it comes in."""
    return [
        "A set stands at your door: a main board with two large packages, U1 and U2, a sink over both, and a mains "
        "supply. Board, shop and prices are invented. What is told depends on the board; an unsafe act stops the case.",
        f"Its mains capacitor: {supply.capacitance_uf} µF at {supply.volts} V. Your discharge resistor: "
        f"{supply.bleeder_kohm:g} kΩ. At a real bench your local code decides who may open a mains supply.",
    ]


def so_far(played: Played) -> dict:
    """Return each act with what it told and cost, the board as it stands, and once it is over the page after."""
    stopped = played.done.stopped
    return {
        "steps": [
            {"act": step.act, "told": step.told, "cost": afterwards.credits(step.cost), "refused": step.refused}
            for step in played.steps
        ],
        "so_far": f"So far {afterwards.credits(played.spent)} and {hours_and_minutes(played.minutes)}.",
        "over": played.is_over,
        "stopped": stopped,
        "drawing": drawn(played).html(),
        "line": way_taken(afterwards.way(played), afterwards.decided_at(played), bool(stopped)).html()
        if played.is_over
        else "",
        "page": afterwards.page(played) if played.is_over else [],
    }


def drawn(played: Played) -> Drawing:
    """Draw the board as whoever works on it sees it: nothing hidden goes in."""
    done = played.done
    return board_at_work(
        not done.unplugged,
        done.proven,
        done.hood,
        not done.sink_off,
        done.hot,
        tuple(sorted(done.beads)),
        _seen(played),
    )


def _seen(played: Played) -> tuple[str, ...]:
    """Return what was seen and may still be there: of what hot work changes, what was seen since the last of it."""
    seen: set[str] = set()
    settled: set[str] = set()
    for step in played.did:
        if step.word in acts.HOT:
            seen = seen & settled
        told = {sight for words, sight in SIGHTS.items() if words in step.told}
        seen |= told
        settled |= told if step.word in acts.SETTLED else set()
    return tuple(sight for sight in SIGHTS.values() if sight in seen)
