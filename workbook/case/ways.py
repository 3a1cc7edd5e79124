"""Ways of working a case: the best one that was found, three simple habits, and ways at random.

Each works real cases, act by act, and knows only what it was told. What they bring on average is in ``worth.toml``;
``python -m workbook.case.ways`` works it out anew, in some minutes.
"""

import tomllib
from collections.abc import Callable
from functools import cache
from pathlib import Path
from statistics import mean, stdev

from workbook.case import acts, belief, search, sums
from workbook.case.acts import Done
from workbook.case.belief import Weights, chance
from workbook.case.board import SOUND
from workbook.case.playing import Case, Played, Step, repairs
from workbook.case.search import Known
from workbook.stream import Stream

FILE = Path(__file__).with_name("worth.toml")
LONG_ENOUGH = 70
"""Acts after which a way at random is ended; the best way takes fewer."""

_OPENINGS: dict[tuple, Weights] = {}


class Bench:
    """A case at work: acts go in by their words, and what is known follows what is told."""

    def __init__(self, seed: int, reckons: bool = False):
        self.case, self.weights, self.reckons = Case(seed), belief.before(), reckons
        self.told = ()

    def do(self, *wanted: str) -> Step | None:
        """Do acts one after another, stop where the case does, and return the last step of it."""
        for act in wanted:
            if not self.case.is_over:
                step = self.case.do(act)
                if not step.done.stopped:
                    self.told += ((act, step.told),)
                    self.weights = self._known(step)
        return self.case.steps[-1] if self.case.steps else None

    def _known(self, step: Step) -> Weights:
        """Return what is known after a step; the first looks at a board tell the same few things every time."""
        if len(self.told) > 3:
            return belief.after(self.weights, self.case.supply, step)
        if self.told not in _OPENINGS:
            _OPENINGS[self.told] = belief.after(self.weights, self.case.supply, step)
        return _OPENINGS[self.told]

    @property
    def done(self) -> Done:
        """What has been done."""
        return self.case.done

    def open(self) -> None:
        """Have the set unplugged, drained and proved dead."""
        if not self.done.proven:
            self.do("unplug", "discharge 20")
            self.reckon("reckon volts", acts.volts_left(self.case.supply, self.done.drained))
            self.do("prove dead")
            while not self.done.proven and not self.case.is_over:
                self.do("discharge 60", "prove dead")

    def reckon(self, word: str, right: float | None) -> None:
        """Write down what was worked out, where this way works anything out."""
        if self.reckons and right is not None and not self.case.is_over:
            self.do(f"{word} {round(right)}")

    def bare(self) -> None:
        """Have the board open, the sink off and the hood on."""
        self.open()
        if not self.done.sink_off:
            self.do("loosen sink", "remove sink")
        if not self.done.hood:
            self.do("hood on")

    def dry(self) -> None:
        """Bake for as long as the longest that could be needed."""
        needed = max(acts.hours_needed(board.over) for board in self.weights)
        if self.done.baked < needed:
            self.do(f"bake {min(hours for hours in acts.BAKES if hours >= needed - self.done.baked)}", "cool")

    def programme(self) -> str:
        """Return the programme that most likely melts every joint and harms nothing, as an act writes it."""
        return " ".join(map(str, search.programme_for(self.weights)))

    def hot_work(self, job: str) -> None:
        """Do a repair with all that belongs to it, but the closing."""
        self.bare()
        if job == "replace part":
            self.do("find short")
            if self.done.found:
                self.do("replace part", "cool")
            return
        self.dry()
        self.do(f"bead {job[-2:]}", f"{job} {self.programme()}", "cool")
        self.reckon("reckon margin", sums.bead_margin(self.case.steps[-2].told))

    def close(self, starts: int) -> None:
        """Clean and prove it, read the rail, refit and test."""
        while f"Extract {acts.RESIDUE}" in self.do("clean", "prove clean").told and not self.case.is_over:
            pass
        self.do("measure core cold", "measure memory cold")
        if chance(self.weights, lambda board: bool(board.shorted)) < 0.02:
            step = self.do("paste", "pads", "fit sink", "check flush", f"test {starts}")
            if "clean" in step.told:
                self.reckon("reckon bound", sums.start_bound(starts))

    def look(self, look: str) -> None:
        """Take a look at the open board; of the rails both, the core rail's reading with its uncertainty."""
        self.open()
        step = self.do(look)
        if look == "measure core cold" and not self.case.is_over:
            self.reckon("reckon uncertainty", sums.rail_uncertainty(step.told))
            self.do("measure memory cold")

    def end(self, end: str) -> Played:
        """Tell the customer, and close the case."""
        if self.done.hot:
            self.do("cool")
        self.do("tell findings", *(["tell work"] if self.done.hot_work else []), "tell limits", end)
        return self.case.played()

    @property
    def known(self) -> Known:
        """What is known, as the smaller model of the search has it."""
        return search.known(self.weights, self.done, repairs(self.case.steps))


def best_way(seed: int) -> Played:
    """Work a case in the best way that was found."""
    bench = Bench(seed, reckons=True)
    bench.do("ask history", "look top", "look bottom")
    return _on(bench, lambda known: search.best(known)[1])


def _on(bench: Bench, choose: Callable[[Known], str]) -> Played:
    """Work on by a rule that chooses the next job on what is known."""
    while not bench.case.is_over:
        choice = _forced(bench) or choose(bench.known)
        if choice in acts.ENDS:
            return bench.end("refuse" if choice == "return unrepaired" and not bench.done.hot_work else choice)
        if choice in search.LOOKS:
            bench.look(choice)
            continue
        bench.hot_work(choice)
        if _may_have_worked(bench):
            bench.close(search.TEST)
    return bench.case.played()


def _forced(bench: Bench) -> str:
    """Return what is left to do where the smaller model of the search does not see it, or nothing."""
    if len(bench.case.steps) > LONG_ENOUGH:
        return "return unrepaired"
    if chance(bench.weights, lambda board: board.bridged) > 0.5:
        job = max(("heat U1", "heat U2"), key=lambda job: chance(bench.weights, lambda b: job[-2:] in b.bridged))
        return job if search.allowed(job, bench.known) else "return unrepaired"
    return ""


def _may_have_worked(bench: Bench) -> bool:
    return chance(bench.weights, lambda board: board.cause == SOUND) > 0.1


def heat_at_once(seed: int) -> Played:
    """Reflow U1 without asking, looking or measuring; send it back if it starts."""
    bench = Bench(seed)
    bench.bare()
    step = bench.do("heat U1 320 300 90", "cool", "paste", "pads", "fit sink", "test 5")
    return bench.end("return repaired" if "clean" in step.told else "return unrepaired")


def measure_everything(seed: int) -> Played:
    """Take every look there is, then one repair for the likeliest cause, a long test, and the end it tells."""
    bench = Bench(seed)
    bench.do("ask history", "look top", "look bottom")
    bench.open()
    bench.do("measure core cold", "measure memory cold", "measure core warm", "look side U1", "look side U2")
    bench.bare()
    bench.do("find short", "bead U1", "bead U2")
    likeliest = next(iter(belief.causes(bench.weights)))
    job = {"balls of U1": "heat U1", "balls of U2": "heat U2", "inside U1": "replace U1", "dead U1": "replace U1"}
    if likeliest not in job and not bench.done.found:
        return bench.end("return unrepaired")
    bench.hot_work(job.get(likeliest, "replace part"))
    bench.close(acts.STARTS[-1])
    clean = "clean" in bench.case.steps[-1].told
    return bench.end("return repaired" if clean else "return unrepaired")


def refuse_everything(seed: int) -> Played:
    """Ask and look, and turn the job down."""
    bench = Bench(seed)
    bench.do("ask history", "look top", "look bottom")
    return bench.end("refuse")


def at_random(seed: int, rule: int) -> Played:
    """Work a case by one of many rules drawn at random: each always answers the same knowledge with the same job."""
    bench = Bench(seed)
    drawn = Stream(str(rule).encode(), "first")
    bench.do(*(look for look in ("ask history", "look top", "look bottom") if drawn.below(5)))

    def choose(known: Known) -> str:
        jobs = [look for look in search.LOOKS if look not in known.looked]
        jobs += [job for job in search.JOBS if search.allowed(job, known)]
        rough = tuple(share // 250_000 for share in known.belief)
        ends = ["return repaired"] if known.repairs else []
        return Stream(str(rule).encode(), repr((rough, sorted(known.looked), known.repairs))).pick(
            [*jobs, *ends, "return unrepaired"]
        )

    return _on(bench, choose)


WAYS = {
    "the best way found": best_way,
    "heat at once": heat_at_once,
    "measure everything": measure_everything,
    "refuse everything": refuse_everything,
}


def mean_of(way: Callable[[int], Played], seeds) -> tuple[float, float]:
    """Return what a way brings on average over seeds, and the standard error of it [credits]."""
    brought = [way(seed).brings for seed in seeds]
    return mean(brought), stdev(brought) / len(brought) ** 0.5


@cache
def worth() -> dict[str, tuple[float, float]]:
    """Return what each way of `WAYS` brings on average, and its standard error [credits], as the file holds it."""
    held = tomllib.loads(FILE.read_text(encoding="utf-8"))
    return {name: tuple(held["ways"][name]) for name in WAYS} | {"told for nothing": (held["told_for_nothing"], 0.0)}


SEEDS = range(1_000_000, 1_002_000)
"""The seeds the means are taken over: none is handed out."""


def main() -> None:
    """Write the means anew."""
    found = {name: mean_of(way, SEEDS) for name, way in WAYS.items()}
    lines = [
        f"# What ways of working a case bring on average, over {len(SEEDS)} seeds, and the standard error [credits];",
        "# told_for_nothing is what somebody would get who is told the cause at once: python -m workbook.case.ways",
        f"told_for_nothing = {search.told_for_nothing():.1f}",
        "",
        "[ways]",
        *(f'"{name}" = [{average:.2f}, {error:.2f}]' for name, (average, error) in found.items()),
    ]
    FILE.write_text("\n".join(lines) + "\n", encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
