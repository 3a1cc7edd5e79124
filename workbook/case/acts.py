"""The acts of a case: a closed list of words, what each may bring, what is unsafe, and what cannot be done now."""

import difflib
import re
from collections.abc import Sequence
from functools import cache
from math import erf, sqrt
from typing import NamedTuple

from workbook.bench.intake.capacitors import voltage_after
from workbook.bench.intake.moisture import user_bake
from workbook.bench.paste.chain import junction_temperature, layer_resistance
from workbook.bench.paste.wedge import wedge_resistance
from workbook.bench.shorts.decision import reading_uncertainty
from workbook.bench.shorts.junctions import leakage_behind, leakage_when_warm, off_state_reading
from workbook.bench.shorts.networks import parallel
from workbook.bench.signoff.cold_starts import chance_of_clean_starts
from workbook.case import heating
from workbook.case.board import CAUSES, CHANCES, LOST, RAILS, SOUND, WEAK, Board, Supply
from workbook.references import table, value

PRICES = {row: (cells["minutes"], cells["credits"]) for row, cells in table("signoff", "case_acts").items()}
MONEY = {row: cells["value"] for row, cells in table("signoff", "case_money").items()}
REPAIRS = {row: (cells["sound"], cells["weak"]) for row, cells in table("signoff", "case_repairs").items()}
METER = tuple(cells["value"] for cells in table("signoff", "case_meter").values())
COOLING = tuple(cells["value"] for cells in table("signoff", "case_cooling").values())
LEVEL, BODY_MM = value("signoff", "case_package")
RESIDUE, CLEAN, EXTRACT_AT_MOST = value("signoff", "case_extract")
BEAD_DOUBT = value("signoff", "case_bead")
SAFE_VOLTS = value("intake", "steady_dc_limit")
MOST_HEATS = value("profile", "most_heats_of_a_package")

DRAINS = (1, 2, 5, 10, 20, 60)
"""How long the discharge resistor may be held on [s]."""
BAKES = (5, 9, 17, 27, 48)
STARTS = (5, 20, 60)
NUMBERS = {"discharge": (DRAINS,), "bake": (BAKES,), "test": (STARTS,)}
NUMBERS |= dict.fromkeys(("heat U1", "heat U2", "replace U1", "reball U1"), heating.SETTINGS)
NUMBERS |= {
    "reckon volts": (range(400),),
    "reckon uncertainty": (range(2001),),
    "reckon margin": (range(-60, 61),),
    "reckon bound": (range(101),),
}
"""The numbers an act takes, each out of a few, or whole and between two."""

WORDS = {
    "ask history": "ask the customer what the set did, how long it lay open, and who worked on it",
    "look top": "look at the top: marks of earlier work, copper layers at the board's edge",
    "look bottom": "look at the bottom: brown spots at small parts",
    "unplug": "take the plug out of the wall and out of the set",
    "discharge": "drain the mains capacitor through the rated, insulated resistor",
    "prove dead": "prove the meter on a known source, measure the capacitor, prove the meter again",
    "hood on": "extraction on, goggles on",
    "loosen sink": "warm the sink gently, so that old paste lets go",
    "remove sink": "lift the sink and the pads off",
    "measure core cold": "core rail of U1 against ground, board at room temperature",
    "measure memory cold": "memory rail of U2 against ground, board at room temperature",
    "measure core warm": "core rail of U1, with the board a little warmer than the room",
    "look side U1": "look under the edge of U1 with a lamp and a loupe",
    "look side U2": "look under the edge of U2 with a lamp and a loupe",
    "find short": "small, limited current into a rail that reads low: which part grows warm?",
    "replace part": "take the part that grew warm off and put a new one on",
    "bake": "dry the board in the oven at 125 °C; it comes out hot",
    "bead U1": "a thermocouple bead in the coldest joint of U1",
    "bead U2": "a thermocouple bead in the coldest joint of U2",
    "heat U1": "reflow U1: plate, gas, time at full gas",
    "heat U2": "reflow U2: plate, gas, time at full gas",
    "replace U1": "a new U1: plate, gas, time at full gas",
    "reball U1": "U1 off, new balls, on again, three heats: plate, gas, time at full gas",
    "cool": "let the board cool to room temperature, untouched",
    "clean": "rinse flux off, three rinses, dried until no solvent is left",
    "prove clean": "measure the extract of the board",
    "paste": "old paste off, new paste on the die of U1",
    "pads": "new gap pads on U2 and the small parts",
    "fit sink": "sink on, pressed down, pins fastened",
    "check flush": "see whether the sink stands flush, and press it flush",
    "test": (
        "close the set and have it run from outside: cold starts with full cool-downs, "
        f"{MONEY['minutes at the bench for a cold start']:g} min of yours each, and a log"
    ),
    "reckon volts": "before the proof: the volts left on the capacitor after the draining so far",
    "reckon uncertainty": "U = 2u of the core rail's reading, in mΩ, by the meter's limits, before the decision",
    "reckon margin": "after the last heat: the bead's reading, less its U = 2u, less what joints need, in K",
    "reckon bound": "after a clean test: at how many % of its starts the set may still fail (95 %, one-sided)",
    "tell findings": "write to the customer what was found",
    "tell work": "write what was done, with the count of heats",
    "tell limits": "write what was not tested and what is not promised",
    "return repaired": "send it back as repaired",
    "return unrepaired": "send it back as it is, told so",
    "refuse": "turn the job down before hot work",
}
"""Every act, and what it is."""

GROUPS = {
    "At the door": ("ask history", "look top", "look bottom"),
    "Make safe": ("unplug", "discharge", "prove dead", "hood on"),
    "Open": ("loosen sink", "remove sink"),
    "Find out": (
        "measure core cold",
        "measure memory cold",
        "measure core warm",
        "look side U1",
        "look side U2",
        "find short",
    ),
    "Prepare": ("bake", "bead U1", "bead U2"),
    "Hot work": ("replace part", "heat U1", "heat U2", "replace U1", "reball U1", "cool"),
    "Close": ("clean", "prove clean", "paste", "pads", "fit sink", "check flush", "test"),
    "Work out": ("reckon volts", "reckon uncertainty", "reckon margin", "reckon bound"),
    "Tell and end": ("tell findings", "tell work", "tell limits", "return repaired", "return unrepaired", "refuse"),
}
"""Every act in the order of a job, under a heading."""

ENDS = ("return repaired", "return unrepaired", "refuse")
EYES_ONLY = {"ask history", "look top", "look bottom", "unplug", "discharge", "prove dead", "hood on", "cool", "test"}
EYES_ONLY |= {"tell findings", "tell work", "tell limits", *GROUPS["Work out"], *ENDS}
"""Acts in which nobody has a hand or a tool on the board."""
HOT = {"heat U1", "heat U2", "replace U1", "reball U1", "replace part"}
SETTLED = {"ask history", "look top", "look bottom"}
"""Looks that no work changes."""


NUMBER = re.compile(r"-?[0-9]{1,4}")


class Unknown(ValueError):
    """A line that is no act; its text says what to write."""


def read(line: str) -> tuple[str, tuple[int, ...]]:
    """Return the word of an act and its numbers, or raise Unknown.

    >>> read("heat U1 320 300 90")
    ('heat U1', (320, 300, 90))
    """
    if not isinstance(line, str):
        raise Unknown("An act is a text.")
    if re.search(r"\d[.,]\d", line):
        raise Unknown("The numbers of an act are whole.")
    pieces = line.split()
    words = " ".join(piece for piece in pieces if not NUMBER.fullmatch(piece)).lower()
    word = next((word for word in WORDS if word.lower() == words), None)
    if word is None:
        near = difflib.get_close_matches(words[:80], [word.lower() for word in WORDS], n=1)
        raise Unknown("No act has this name." + (f" Did you mean {near[0]!r}?" if near else ""))
    numbers = tuple(int(piece) for piece in pieces if NUMBER.fullmatch(piece))
    wanted = NUMBERS.get(word, ())
    if len(numbers) != len(wanted) or any(one not in ways for one, ways in zip(numbers, wanted, strict=True)):
        asked = " and ".join(map(spelled_out, wanted))
        raise Unknown(f"{word} takes {asked}." if wanted else f"{word} takes no number.")
    return word, numbers


def spelled_out(ways: Sequence[int]) -> str:
    """Say which numbers an act takes.

    >>> spelled_out((5, 20, 60)), spelled_out(range(101))
    ('one of 5, 20, 60', 'a whole number from 0 to 100')
    """
    if isinstance(ways, range):
        return f"a whole number from {ways[0]} to {ways[-1]}"
    return f"one of {', '.join(map(str, ways))}"


class Done(NamedTuple):
    """What has been done: known to everybody. ``told`` are the looks that would tell the same again."""

    unplugged: bool = False
    drained: int = 0
    proven: bool = False
    hood: bool = False
    loosened: bool = False
    sink_off: bool = False
    hot: bool = False
    baked: int = 0
    found: bool = False
    hot_work: bool = False
    pasted: bool = False
    padded: bool = False
    beads: frozenset = frozenset()
    told: frozenset = frozenset()
    stopped: str = ""
    end: str = ""

    @property
    def is_over(self) -> bool:
        """Whether the case is closed or was stopped."""
        return bool(self.end or self.stopped)


class Outcome(NamedTuple):
    """One way an act may end: its chance, what is told, the board and what has been done after it."""

    chance: float
    told: str
    board: Board
    done: Done


@cache
def price(word: str, numbers: tuple[int, ...] = ()) -> float:
    """Return what an act costs, the time at the bench with it [credits].

    >>> price("look top"), price("test", (20,))
    (2.0, 3.0)
    """
    return minutes(word, numbers) * MONEY["a minute at the bench"] + PRICES[word][1]


def minutes(word: str, numbers: Sequence[int] = ()) -> float:
    """Return how long an act takes at the bench [min]; a test more for each cold start."""
    starts = sum(numbers) if word == "test" else 0
    return PRICES[word][0] + starts * MONEY["minutes at the bench for a cold start"]


def refused(done: Done, word: str) -> str:
    """Say why an act cannot be done now, or nothing. It then costs nothing and changes nothing."""
    fitted = {"remove sink", "loosen sink", "test"}
    bare = {"find short", "replace part", "paste", "pads", "fit sink", "bead U1", "bead U2", "clean", "bake"} | HOT
    if word in fitted and done.sink_off:
        return "The sink is off."
    if word in bare and not done.sink_off:
        return "The sink is still on."
    if word == "check flush" and done.sink_off:
        return "The sink is off."
    if word == "replace part" and not done.found:
        return "No part has been found that grows warm."
    if word == "cool" and not done.hot:
        return "Nothing is hot."
    if word == "fit sink" and not done.pasted:
        return "There is no new paste on the die yet."
    if word == "refuse" and done.hot_work:
        return "Hot work has been done: the board goes back, repaired or not."
    if word in ENDS and done.hot:
        return "The board is still hot."
    if word == "discharge" and done.drained >= max(DRAINS):
        return "The resistor has been on for a minute and more."
    return ""


def unsafe(board: Board, done: Done, word: str) -> str:
    """Say why an act is stopped, for a hurt, a fire, or a burst part; or nothing."""
    if word in ("discharge", "prove dead") and not done.unplugged:
        return "The set was still plugged in. Nobody works on a set that is: the plug comes out first."
    if word not in EYES_ONLY and not done.proven:
        return "You had a hand on the board before it was proved dead. Unplug, drain, prove: then touch."
    if word not in EYES_ONLY and done.hot and word != "cool":
        return "You touched a board that was still hot. It burns, and joints that are not solid yet tear."
    if word in HOT | {"clean"} and not done.hood:
        return "Flux or solvent fumed without extraction and goggles."
    if word in HOT - {"replace part"} and done.baked < hours_needed(board.over):
        return "The package was wet. Steam burst it under hot air: it was open too long, and not dried for long enough."
    if word == "test" and done.hot:
        return "The set was closed over a board that was still hot."
    if word == "test" and board.shorted:
        return "A part on the shorted rail burst at the first start. A rail that reads a short is not put under power."
    return ""


@cache
def hours_needed(over: int) -> int:
    """Return how long packages that lay open too long by some hours are baked at 125 °C [h].

    >>> hours_needed(0), hours_needed(48)
    (0, 17)
    """
    return user_bake(LEVEL, BODY_MM / 1000, over).hours if over else 0


def volts_left(supply: Supply, seconds: int) -> float:
    """Return the voltage left on the mains capacitor after draining it for some seconds [V].

    >>> round(volts_left(Supply(200, 325, 5.0), 1), 1)
    119.6
    """
    return float(voltage_after(seconds, supply.capacitance_uf * 1e-6, supply.bleeder_kohm * 1e3, supply.volts))


@cache
def junction_c(tilted: bool) -> float:
    """Return the junction of U1 at the customer's place with the sink flush or tilted [°C]."""
    power, air, rest, side, conductivity, flush, high, _ = COOLING
    area = (side / 1000) ** 2
    layer = (
        wedge_resistance(flush / 1000, high / 1000, conductivity, area)
        if tilted
        else layer_resistance(flush / 1000, conductivity, area)
    )
    return round(float(junction_temperature(air, power, rest, layer)), 1)


JUNCTION_AT_MOST_C = COOLING[7]


@cache
def normal(mean: float, deviation: float, step: float) -> tuple[tuple[float, float], ...]:
    """Return the numbers a display may show, each with its chance: normal about the mean, in steps, to 3.5 deviations.

    >>> normal(2.0, 0.001, 0.1)
    ((1.0, 2.0),)
    """
    first, last = (round((mean + side * 3.5 * deviation) / step) for side in (-1, 1))
    weights = []
    for place in range(max(first, 0), last + 1):
        low, high = ((place + side / 2) * step - mean for side in (-1, 1))
        weights.append((erf(high / deviation / sqrt(2)) - erf(low / deviation / sqrt(2))) / 2)
    total = sum(weights)
    return tuple((weight / total, round((max(first, 0) + k) * step, 6)) for k, weight in enumerate(weights))


@cache
def rail_ohm(board_rail: tuple[str, float], warm: bool) -> float:
    """Return what the core rail is worth against ground, cold or warm [ohm].

    A short is metal beside the leakage of a sound rail; everything else is leakage, and falls as it warms.
    """
    kind, cold = board_rail
    if not warm:
        return cold
    test_current, rise = 1e-3, METER[4]

    def leaking(ohm: float) -> float:
        leak = leakage_when_warm(leakage_behind(test_current, ohm), rise)
        return float(off_state_reading(test_current, leak, 25.0 + rise))

    if kind != "shorted part":
        return leaking(cold)
    sound = RAILS["sound"][1]
    metal = 1 / (1 / cold - 1 / sound)
    return float(parallel(metal, leaking(sound)))


def _rail(board: Board) -> tuple[str, float]:
    if "core" in board.shorted:
        return "shorted part", board.cold_ohm
    return "dead U1" if board.cause == "dead U1" else "sound", board.cold_ohm


@cache
def readings(ohm: float) -> tuple[tuple[float, float], ...]:
    """Return what the meter may show of a resistance, each with its chance."""
    share, counts, digit, contact, _ = METER
    return normal(ohm, float(reading_uncertainty(ohm, share, counts, digit, contact)), digit)


def outcomes(board: Board, supply: Supply, done: Done, word: str, numbers: tuple[int, ...] = ()) -> Sequence[Outcome]:
    """Return all an act may bring on this board, each with its chance; together 1.

    An act that is refused brings one outcome that changes nothing; one that is unsafe stops the case.
    """
    why = refused(done, word)
    if why:
        return [Outcome(1.0, why, board, done)]
    why = unsafe(board, done, word)
    if why:
        return [Outcome(1.0, why, board, done._replace(stopped=why))]
    if word in LOOKS and word in done.told:
        return [Outcome(1.0, "The same as before.", board, done)]
    if word in HOT:
        return _hot(board, done, word, numbers)
    if word in LOOKS:
        done = done._replace(told=done.told | {word})
        return [Outcome(chance, told, board, done) for chance, told in LOOKS[word](board)]
    if word in _WORKS:
        return _WORKS[word](board, supply, done, numbers)
    return [Outcome(1.0, *_plain(board, done, word))]


def _plain(board: Board, done: Done, word: str) -> tuple[str, Board, Done]:
    """Return what an act brings that always ends the same."""
    if word in ENDS:
        return "The case is closed.", board, done._replace(end=word)
    if word.startswith("bead"):
        return "It holds.", board, done._replace(beads=done.beads | {word[-2:]})
    flags = {
        "unplug": ("Out of the wall.", {"unplugged": True}),
        "hood on": ("It draws.", {"hood": True}),
        "loosen sink": ("It gives a little.", {"loosened": True}),
        "cool": ("At room temperature.", {"hot": False}),
        "paste": ("A thin, even coat.", {"pasted": True}),
        "pads": ("They lie flat.", {"padded": True}),
    }
    told, changed = flags.get(word, ("Noted." if word in GROUPS["Work out"] else "Written.", {}))
    return told, board, done._replace(**changed)


def _history(board: Board):
    stories = ("stays dead", "comes and goes", "stripes in the picture")
    open_for = f"it lay open {board.over} h longer than its packages may" if board.over else "it was kept dry"
    cells = CAUSES.get(board.cause)
    chances = [cells[story] for story in stories] if cells else [1 / 3] * 3
    return [(chance, f"The set: {story}; {open_for}.") for chance, story in zip(chances, stories, strict=True)]


def _top(board: Board):
    marks = "flux round U1: it was reflowed once before" if board.worked else "no mark of earlier work"
    return [(1.0, f"{board.copper.capitalize()} copper layers; {marks}.")]


def _bottom(board: Board):
    chance = CAUSES[board.cause]["brown spot"] if board.cause in CAUSES else 0.0
    return [(chance, "A brown spot by a small part."), (1 - chance, "Nothing brown.")]


def _side(package: str):
    def look(board: Board):
        seen = CAUSES["inside U1"][f"crack at {package}"]  # what is seen where there is none
        chance = CAUSES[board.cause][f"crack at {package}"] if board.cause in CAUSES else seen
        return [(chance, f"A dark line at a ball of {package}."), (1 - chance, f"No line at the balls of {package}.")]

    return look


def _measure(warm: bool):
    def look(board: Board):
        where = "warm" if warm else "cold"
        return [(chance, f"Core rail, {where}: {ohm:.1f} Ω.") for chance, ohm in readings(rail_ohm(_rail(board), warm))]

    return look


def _measure_memory(board: Board):
    return [(chance, f"Memory rail, cold: {ohm:.1f} Ω.") for chance, ohm in readings(board.memory_ohm)]


LOOKS = {
    "ask history": _history,
    "look top": _top,
    "look bottom": _bottom,
    "look side U1": _side("U1"),
    "look side U2": _side("U2"),
    "measure core cold": _measure(warm=False),
    "measure core warm": _measure(warm=True),
    "measure memory cold": _measure_memory,
}
"""Looks, which tell the same again until something is done to the board."""


def _discharge(board, supply, done, numbers):
    return [Outcome(1.0, "Held on, hands off.", board, done._replace(drained=done.drained + numbers[0], proven=False))]


def _prove(board, supply, done, numbers):
    left = volts_left(supply, done.drained)
    dead = round(left) < SAFE_VOLTS
    told = f"Meter proven; {left:.0f} V left: {'' if dead else 'not '}below this job's limit, {SAFE_VOLTS} V."
    return [Outcome(1.0, told, board, done._replace(proven=dead))]


def _remove(board, supply, done, numbers):
    off = done._replace(sink_off=True, pasted=False, padded=False)
    board = board._replace(tilted=False)
    torn = CHANCES["land torn with a sink held fast"] if board.fast and not done.loosened else 0.0
    ways = [Outcome(1 - torn, "Off.", board._replace(fast=False), off)]
    if torn:
        lost = board._replace(cause=LOST, fast=False)
        ways.append(Outcome(torn, "It came off with a jerk: lands of U1 are torn.", lost, off))
    return ways


def _bake(board, supply, done, numbers):
    return [
        Outcome(1.0, "Dried, and as hot as the oven.", board, done._replace(baked=done.baked + numbers[0], hot=True))
    ]


def _find(board, supply, done, numbers):
    warm = CHANCES["short found by its heat"] if board.cause == "shorted part" else 0.0
    return [
        way
        for way in (
            Outcome(warm, "One small part grows warm.", board, done._replace(found=True)),
            Outcome(1 - warm, "No part grows warm.", board, done),
        )
        if way.chance
    ]


def _clean(board, supply, done, numbers):
    left = CHANCES["residue left after cleaning"] if board.residue else 0.0
    ways = [Outcome(1 - left, "Rinsed.", board._replace(residue=False), done)]
    return [*ways, Outcome(left, "Rinsed.", board, done)] if left else ways


def _prove_clean(board, supply, done, numbers):
    extract = RESIDUE if board.residue else CLEAN
    return [Outcome(1.0, f"Extract {extract:.1f} µg/cm², at most {EXTRACT_AT_MOST:.1f} agreed.", board, done)]


def _fit(board, supply, done, numbers):
    tilted, on = CHANCES["sink left tilted"], done._replace(sink_off=False)
    return [
        Outcome(chance, "On.", board._replace(tilted=way), on) for chance, way in ((tilted, True), (1 - tilted, False))
    ]


def _flush(board, supply, done, numbers):
    told = "One corner stood up: pressed flush." if board.tilted else "Flush."
    return [Outcome(1.0, told, board._replace(tilted=False), done)]


def _test(board, supply, done, numbers):
    starts = numbers[0]
    charged = done._replace(unplugged=False, drained=0, proven=False)
    log = f"junction {junction_c(board.tilted):.0f} °C in the log" if done.pasted else "old paste, no log"
    clean = 1.0 if board.cause == SOUND else 0.0
    if board.cause in WEAK.values():
        clean = float(chance_of_clean_starts(CHANCES["a weak joint fails at a cold start"], starts))
    ways = (
        Outcome(clean, f"{starts} of {starts} cold starts clean; {log}.", board, charged),
        Outcome(1 - clean, "It does not start every time.", board, charged),
    )
    return [way for way in ways if way.chance]


_WORKS = {
    "discharge": _discharge,
    "prove dead": _prove,
    "remove sink": _remove,
    "bake": _bake,
    "find short": _find,
    "clean": _clean,
    "prove clean": _prove_clean,
    "fit sink": _fit,
    "check flush": _flush,
    "test": _test,
}


def programme_on(board: Board, numbers: Sequence[int]) -> heating.Heated:
    """Return what a programme does on this board and this station."""
    plate, gas, hold = numbers
    return heating.heated(board.copper, plate - heating.PLATE_STEP * board.low, gas, hold)


@cache
def repaired(word: str, cause: str) -> tuple[tuple[float, str], ...]:
    """Return what hot work that melts every joint makes of a cause: causes, each with its chance; together 1.

    >>> [(round(chance, 2), cause) for chance, cause in repaired("heat U1", "inside U1")]
    [(0.4, 'weak: inside U1'), (0.6, 'inside U1')]
    """
    place = next((place for place, weak in WEAK.items() if weak == cause), cause)
    reaches, row = {
        "replace part": (cause == "shorted part", word),  # a weak joint of it does not grow warm, and is not found
        "replace U1": (place in ("balls of U1", "inside U1", "dead U1"), word),
        "heat U1": (place in ("balls of U1", "inside U1"), f"{word}, {'balls' if place != 'inside U1' else 'inside'}"),
        "heat U2": (place == "balls of U2", f"{word}, balls"),
        "reball U1": (place == "balls of U1", f"{word}, balls"),
    }[word]
    if not reaches:
        return ((1.0, cause),)
    sound, weak = REPAIRS[row]
    left = WEAK["balls of U1" if word == "replace U1" else place]  # a new package can only be weak in its balls
    ways = ((sound, SOUND), (weak, left), (1 - sound - weak, cause))
    return tuple((chance, now) for chance, now in ways if chance > 1e-12)


def _hot(board: Board, done: Done, word: str, numbers: Sequence[int]) -> list[Outcome]:
    """Return what hot work may bring: the causes it reaches, a package cooked or heated too often, spill, a bridge.

    A programme that does not melt every joint lifts no package and mends nothing.
    """
    after = done._replace(
        hot=True, hot_work=True, found=False, beads=frozenset(), told=done.told & SETTLED, pasted=False, padded=False
    )
    board = board._replace(residue=True)
    if word == "replace part":
        return _mixed(_mended(board, word), "A new part is on.", after)
    package, heat = word[-2:], programme_on(board, numbers)
    counted = _counted(board, word, package, heat)
    rose = {name for name, was, now in zip(("U1", "U2"), _heats(board), _heats(counted), strict=True) if now > was}
    ways = _mended(counted, word) if heat.melted else [(1.0, counted)]
    ways = [(p * q, b) for p, one in ways for q, b in _strained(one, package, heat, rose)]
    if heat.melted:
        ways = [(p * q, b) for p, one in ways for q, b in _bridged(one, package)]
    lifts = "" if heat.melted or word.startswith("heat") else "The package does not lift: nothing was changed. "
    if package not in done.beads:
        return _mixed(ways, f"{lifts}No bead in the joint: nothing was read.", after)
    told = [(q, lifts + _read_on_bead(shown, heat)) for q, shown in normal(heat.coldest_c, BEAD_DOUBT, 1.0)]
    return [Outcome(p * q, words, b, after) for q, words in told for p, b in ways]


def _read_on_bead(shown: float, heat: heating.Heated) -> str:
    return f"Coldest joint {shown:.0f} °C, above 217 °C for {heat.above:.0f} s."


def _mixed(ways, told: str, done: Done) -> list[Outcome]:
    return [Outcome(chance, told, board, done) for chance, board in ways]


def _heats(board: Board) -> tuple[int, int]:
    return board.heats_1, board.heats_2


def heats_given(word: str, heat: heating.Heated) -> int:
    """Return how many heats hot work over a package gives it: three for new balls, none where no joint melted."""
    return 3 if word == "reball U1" and heat.melted else int(heat.counts)


def _counted(board: Board, word: str, package: str, heat: heating.Heated) -> Board:
    own, near = heats_given(word, heat), int(heat.spilled)
    if word == "replace U1" and heat.melted:
        board, own = board._replace(heats_1=0), 1
    one, two = (own, near) if package == "U1" else (near, own)
    return board._replace(heats_1=board.heats_1 + one, heats_2=board.heats_2 + two)


def _mended(board: Board, word: str):
    return [(chance, board._replace(cause=cause)) for chance, cause in repaired(word, board.cause)]


def _bridged(board: Board, package: str):
    """Return the board with a bridge at a package whose balls melted, and without: what was there melted too."""
    bridge, others = CHANCES["bridge after a heat"], board.bridged - {package}
    return [(bridge, board._replace(bridged=others | {package})), (1 - bridge, board._replace(bridged=others))]


def _strained(board: Board, package: str, heat: heating.Heated, rose: set[str]):
    """Return what too much heat makes of the board: of packages that had one more heat, and of the neighbour."""
    if board.cause == LOST:
        return [(1.0, board)]
    if heat.cooked:
        return [(1.0, board._replace(cause="dead U1" if package == "U1" else LOST))]
    over = {name for name, count in zip(("U1", "U2"), _heats(board), strict=True) if count > MOST_HEATS} & rose
    worn = CHANCES["package spoiled by a heat too many"] if over else 0.0
    near = CHANCES["neighbour spoiled by spill"] if heat.spilled and board.cause == SOUND else 0.0
    spoiled = f"balls of {'U2' if package == 'U1' else 'U1'}"
    ways = (
        (worn, board._replace(cause=LOST if "U2" in over else "dead U1")),
        ((1 - worn) * near, board._replace(cause=spoiled)),
        ((1 - worn) * (1 - near), board),
    )
    return [(chance, way) for chance, way in ways if chance > 0]


def hangs_on_board(word: str) -> bool:
    """Whether what an act brings, or that it is safe, hangs on what is hidden."""
    return word in HOT or word in LOOKS or (word in _WORKS and word not in ("discharge", "prove dead", "bake"))
