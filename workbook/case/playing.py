"""A case played: a list of acts goes in; what was told, what it cost, the gates, the limits and the end come out."""

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from workbook.bench.signoff.choices import expected_value
from workbook.case import acts as words_of
from workbook.case import board as boards
from workbook.case import heating
from workbook.case.acts import ENDS, HOT, MONEY, Done, Outcome, Unknown
from workbook.case.board import CHANCES, SOUND, Board, Supply
from workbook.case.sums import Sum, asked
from workbook.stream import Stream

MOST_ACTS = 80
"""A job takes some thirty-five acts. What could not be done is none."""

TO_END = 2
"""Acts of these that are kept to let the board cool and to close the case."""

MOST_LINES = 10 * MOST_ACTS
"""A list that is longer, with what could not be done, is not played."""


@dataclass(frozen=True)
class Step:
    """One act and what came of it. ``refused`` where it could not be done: it then cost nothing."""

    act: str
    word: str
    numbers: tuple[int, ...]
    told: str
    cost: float
    before: Board
    board: Board
    done_before: Done
    done: Done
    refused: bool = False


@dataclass(frozen=True)
class Gate:
    """Something that has to be known or done before something else; ``held`` is None where the way never came to it."""

    name: str
    held: bool | None
    advice: str


@dataclass(frozen=True)
class Limit:
    """One limit with its own margin: above zero is inside, within ``guard`` of zero is borderline.

    ``counts`` is false where it is no fault: a first heat may miss on a station that runs cool, a bead tells, and the
    heat is given again; nor need joints have melted on a board that goes back as it is.
    """

    words: str
    value: float
    margin: float
    unit: str
    guard: float = 0.0
    counts: bool = True


class NotPlayed(ValueError):
    """A list of acts that cannot be played; its text says where and why."""


@dataclass(frozen=True)
class Played:
    """A way through a case, so far or to its end."""

    seed: int
    hidden: Board
    supply: Supply
    steps: tuple[Step, ...]

    @property
    def done(self) -> Done:
        """What has been done."""
        return self.steps[-1].done if self.steps else Done()

    @property
    def board(self) -> Board:
        """The board as it truly is now."""
        return self.steps[-1].board if self.steps else self.hidden

    @property
    def is_over(self) -> bool:
        """Whether the case is closed or was stopped."""
        return self.done.is_over

    @property
    def spent(self) -> float:
        """What the acts cost so far [credits]."""
        return sum(step.cost for step in self.steps)

    @property
    def minutes(self) -> float:
        """The time at the bench so far [min]."""
        return sum(words_of.minutes(step.word, step.numbers) for step in self.steps if not step.refused)

    @property
    def did(self) -> tuple[Step, ...]:
        """The acts that were done."""
        return tuple(step for step in self.steps if not step.refused)

    @cached_property
    def gates(self) -> tuple[Gate, ...]:
        """What had to be known or done before something else."""
        return tuple(_gates(self.did))

    @cached_property
    def sums(self) -> tuple[Sum, ...]:
        """What had to be worked out on the way, with what was written."""
        return tuple(asked(self.did, self.supply))

    @property
    def missed(self) -> tuple[Gate | Sum, ...]:
        """The gates and the sums that were missed, each with its name and what to do."""
        gates = (gate for gate in self.gates if gate.held is False)
        return (*gates, *(one for one in self.sums if not one.held))

    @cached_property
    def limits(self) -> tuple[Limit, ...]:
        """Each limit of each heat and of the refit, with its own margin."""
        return tuple(_limits(self.did))

    @property
    def brings(self) -> float:
        """What the case brought in the end, all costs counted [credits]: on average where chance is still to decide."""
        return ends_worth(self.board, self.done) - self.spent


def hold_acts(acts: Sequence) -> None:
    """Raise NotPlayed, naming the first line that is no act, unless a list can be played."""
    if len(acts) > MOST_LINES:
        raise NotPlayed(f"{len(acts)} acts: a case takes at most {MOST_ACTS}.")
    for number, act in enumerate(acts, 1):
        try:
            words_of.read(act)
        except Unknown as why:
            raise NotPlayed(f"Act {number}, {str(act)[:60]!r}: {why}") from None


class Case:
    """A case under way: acts are done one after another, and what is hidden stays hidden until it is over."""

    def __init__(self, seed: int):
        self.seed = seed
        self.hidden, self.supply = boards.drawn(seed)
        self.board, self.done = self.hidden, Done()
        self.steps: list[Step] = []
        self._count = Counter()

    @property
    def is_over(self) -> bool:
        """Whether the case is closed or was stopped."""
        return self.done.is_over

    def do(self, act: str) -> Step:
        """Do an act and return what came of it, or raise `acts.Unknown`. After the end every act is refused."""
        word, numbers = words_of.read(act)
        board, done = self.board, self.done
        why = self._no_more(word) or words_of.refused(done, word)
        if why:
            step = Step(act, word, numbers, why, 0.0, board, board, done, done, refused=True)
        else:
            self._count[word] += 1
            stream = Stream(boards.key(self.seed), f"{word}\x1f{self._count[word]}")
            way = _taken(stream, words_of.outcomes(board, self.supply, done, word, numbers))
            step = Step(act, word, numbers, way.told, words_of.price(word, numbers), board, way.board, done, way.done)
            self.board, self.done = way.board, way.done
        self.steps.append(step)
        return step

    def _no_more(self, word: str) -> str:
        """Say why a case takes an act no more, or nothing: it is over, or full but for what closes it."""
        if self.is_over:
            return "The case is over."
        if self._count.total() >= MOST_ACTS - TO_END and word not in ("cool", *ENDS):
            return f"A case takes at most {MOST_ACTS} acts. Now close it: {', '.join(ENDS)}."
        return ""

    def played(self) -> Played:
        """Return the way so far."""
        return Played(self.seed, self.hidden, self.supply, tuple(self.steps))


def play(seed: int, acts: Sequence[str]) -> Played:
    """Return what becomes of a case under a list of acts, or raise NotPlayed with the first that is no act.

    >>> [step.told for step in play(117, ["unplug", "look top"]).steps]
    ['Out of the wall.', 'Four copper layers; no mark of earlier work.']
    """
    hold_acts(acts)
    case = Case(seed)
    for act in acts:
        case.do(act)
    return case.played()


def _taken(stream: Stream, ways: Sequence[Outcome]) -> Outcome:
    return ways[0] if len(ways) == 1 else boards.picked(stream, ways)


def ends_worth(board: Board, done: Done) -> float:
    """Return what the end brings on average, costs of the acts not counted [credits]; nothing while it is open."""
    if done.stopped:
        return -MONEY["a case that is stopped"]
    if done.end != "return repaired":
        return 0.0
    return float(expected_value(holds(board, done), MONEY["a board that holds"], 0, MONEY["a board that comes back"]))


def holds(board: Board, done: Done) -> float:
    """Return how likely the board holds a year at the customer's place."""
    if board.cause != SOUND or board.bridged or done.sink_off or (done.hot_work and not done.padded):
        return 0.0
    for_residue = 1 - CHANCES["comes back for residue"] if board.residue else 1.0
    hot = words_of.junction_c(board.tilted) > words_of.JUNCTION_AT_MOST_C
    return for_residue * (1 - CHANCES["comes back for a hot junction"] if hot else 1.0)


def repairs(steps: Sequence[Step]) -> int:
    """Return how often hot work was done that melted what it was for."""
    return sum(map(melted, steps))


def melted(step: Step) -> bool:
    """Whether an act was hot work that melted every joint it was for."""
    if step.refused or step.word not in HOT:
        return False
    return step.word == "replace part" or words_of.programme_on(step.before, step.numbers).melted


def _first(did: Sequence[Step], words) -> int:
    return next((place for place, step in enumerate(did) if step.word in words), len(did))


def _last(did: Sequence[Step], words) -> int:
    return max((place for place, step in enumerate(did) if step.word in words), default=-1)


def _gates(did: Sequence[Step]):
    """Return the gates of a way. What is unsafe stops a case; these are missed, and the case goes on."""
    names = [step.word for step in did]
    hot, last_hot = _first(did, HOT), _last(did, HOT)
    worked = last_hot >= 0
    over = bool(names) and names[-1] in ENDS
    start = min(hot, _last(did, ENDS) if over else len(did))
    before = set(names[:start])
    arises = worked or over

    def gate(name, wanted, advice, asked=arises):
        return Gate(name, wanted if asked else None, advice)

    yield gate(
        "the past known first",
        {"ask history", "look top", "look bottom"} <= before,
        "Ask, and look at both sides, before hot work or a decision: moisture, earlier heats, burnt parts.",
    )
    yield gate(
        "the rails read before heat",
        before >= RAILS_READ,
        "Both rails: a short is not cured by heat, and a part of it bursts under power.",
        asked=worked or (over and names[-1] != "refuse"),
    )
    heats = [step for step in did if step.word in HOT - {"replace part"}]
    yield gate(
        "a bead in every joint heated",
        all(step.word[-2:] in step.done_before.beads for step in heats),
        "Without a bead nobody knows whether the coldest joint melted.",
        asked=bool(heats),
    )
    repaired = over and names[-1] == "return repaired"
    tested = _last(did, {"test"})
    closings = _closings(did)
    yield gate(
        "proved clean",
        all(_proved_clean(between) for between in closings),
        "Clean, prove it, and clean again where the extract is too high; then close.",
        asked=bool(closings),
    )
    yield gate(
        "the rails read again after heat",
        all({step.word for step in between} >= RAILS_READ for between in closings),
        "Balls can bridge under heat: read both rails before they get power.",
        asked=bool(closings),
    )
    seen = _seen_flush(did)
    yield gate("the sink seen flush", all(seen), "Look at the sink's corners before it runs.", asked=bool(seen))
    yield gate(
        "tested before it goes back",
        tested > last_hot,
        "Cold starts, closed, with a log, after the last work on it.",
        asked=repaired,
    )
    yield gate(
        "the customer told",
        {"tell findings", "tell limits"} | ({"tell work"} if worked else set()) <= set(names[_last(did, NEWS) + 1 :]),
        "In writing: what was found, what was done, what was not tested and is not promised.",
        asked=over,
    )


RAILS_READ = {"measure core cold", "measure memory cold"}

NEWS = set(words_of.LOOKS) | HOT | {"find short", "test"}
"""Acts that tell or change something the customer is to know: what was written before them says nothing of it."""


def _closings(did: Sequence[Step]) -> list[Sequence[Step]]:
    """Return what was done between hot work and the first test after it, or the return of the board as repaired."""
    found, since = [], None
    for place, step in enumerate(did):
        if step.word in HOT:
            since = place + 1
        elif since is not None and step.word in ("test", "return repaired"):
            found.append(did[since:place])
            since = None
    return found


def _proved_clean(between: Sequence[Step]) -> bool:
    proofs = [step for step in between if step.word == "prove clean"]
    return bool(proofs) and not proofs[-1].before.residue


def _seen_flush(did: Sequence[Step]) -> list[bool]:
    """Return for each time the set ran or went back with the sink newly fitted whether the sink was seen flush."""
    found, fitted, flush = [], False, False
    for step in did:
        if step.word in HOT | {"fit sink"}:
            fitted, flush = True, False
        elif step.word == "check flush":
            flush = True
        elif fitted and step.word in ("test", "return repaired"):
            found.append(flush)
            fitted = False
    return found


def _limits(did: Sequence[Step]):
    """Return the limits of a way: of each heat, the count of heats, what is left of flux, the junction."""
    heats = [step for step in did if step.word in HOT - {"replace part"}]
    repaired = bool(did) and did[-1].done.end == "return repaired"
    for number, step in enumerate(heats, 1):
        heat, package = words_of.programme_on(step.before, step.numbers), step.word[-2:]
        last = repaired and not any(later.word[-2:] == package for later in heats[number:])
        for words, value, margin, unit, guard, counts in (
            ("coldest joint", heat.coldest_c, heat.coldest_c - heating.LEAST_PEAK_C, "°C", heating.GUARD_K, last),
            ("package top", heat.top_c, heating.RATING_C - heat.top_c, "°C", heating.GUARD_K, True),
            ("above 217 °C", heat.above, heat.above - heating.LEAST_ABOVE, "s", heating.GUARD_S, last),
            ("neighbour", heat.neighbour_c, heating.NEIGHBOUR_C - heat.neighbour_c, "°C", heating.GUARD_K, True),
        ):
            yield Limit(f"heat {number}, {package}, {words}", value, round(margin, 1), unit, guard, counts)
    if _first(did, HOT) == len(did):
        return
    board = did[-1].board
    for package, count in (("U1", board.heats_1), ("U2", board.heats_2)):
        yield Limit(f"heats of {package}, at most {words_of.MOST_HEATS}", count, words_of.MOST_HEATS - count, "1")
    if repaired:
        extract = words_of.RESIDUE if board.residue else words_of.CLEAN
        yield Limit("extract of the board", extract, round(words_of.EXTRACT_AT_MOST - extract, 2), "µg/cm²")
        junction = words_of.junction_c(board.tilted)
        yield Limit("junction of U1", junction, round(words_of.JUNCTION_AT_MOST_C - junction, 1), "°C", 1.0)


def hours_and_minutes(minutes: float) -> str:
    """Say a time at the bench.

    >>> hours_and_minutes(95)
    '1 h 35 min'
    """
    whole = math.floor(minutes + 0.5)
    return f"{whole // 60} h {whole % 60:02d} min" if whole >= 60 else f"{whole} min"
