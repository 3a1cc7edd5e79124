"""How a part's working is tried: the statements its number hangs on, and what each change of them gives.

A change is worked out where it stands and carried up to its statement's value; only statements that read what changed
are run again. Every trial is paid for in nodes worked out, so the time of a part is bounded whatever its working does.
"""

import ast
import itertools
import math
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from functools import cached_property, lru_cache
from typing import Any, NamedTuple

from graders.judging import arithmetic
from graders.judging.arithmetic import Beyond, Budget, Names, Put, Reader, Run
from graders.judging.changes import (
    FAMILIES,
    TEN,
    TWO,
    WHOLE_ROWS,
    Change,
    Place,
    Vocabulary,
    above,
    between_rows,
    changes,
    in_words,
    replaced,
)
from graders.judging.slip_words import numbers_of_the_text
from graders.questions.exercise import Exercise
from graders.questions.givens import Given
from graders.questions.parts.figures import is_number
from graders.questions.parts.number import Number
from workbook import units

NODES_IN_ALL = 45_000
"""Nodes of workings that all changes of one part may work out together, on one learner's numbers."""
NODES_OF_ONE = 6_000
"""Nodes that one changed working may work out."""
CHANGES = 1000
"""Changes tried for one part."""
NODES = 1500
"""A working with more nodes than this is not read."""


class Variant(NamedTuple):
    """What one changed working gives, in the part's unit.

    ``rank`` is how far-fetched the change is: 0 is what people do, 1 is what happens, 2 is two things at once; below 0
    nothing was changed at all: the number stands in the question or in its table, which is true however it came about.
    ``wide`` are words that also fit changes of other families with the same outcome.
    """

    family: str
    what: str
    value: float
    rank: int = 0
    wide: str = ""


Rung = tuple[tuple[ast.AST, ...], Callable[..., Any], int]
"""One step up from a node: all parts of the node above it, what makes its value of theirs, and which part it is."""


class _Step:
    """One statement of a working: what it reads and writes, what working it out costs, and how its nodes hang together.

    It is read once for all parts whose number hangs on it.
    """

    def __init__(self, tree: ast.stmt):
        self.tree = tree
        self.nodes = tuple(ast.walk(tree))
        self.cost = len(self.nodes)
        self.read = Reader()
        rows = [node.target for node in self.nodes if isinstance(node, ast.comprehension)]
        inner = {id(node) for target in rows for node in ast.walk(target)}
        reads: set[str] = set()
        writes: set[str] = set()
        for node in self.nodes:
            if isinstance(node, ast.Name) and id(node) not in inner:
                (reads if isinstance(node.ctx, ast.Load) else writes).add(node.id)
        if isinstance(tree, ast.AugAssign):
            reads |= writes
        if isinstance(tree, ast.FunctionDef):
            writes = {tree.name}
        self.reads, self.writes = frozenset(reads), frozenset(writes)
        self.value = tree.value if isinstance(tree, ast.Assign) else None
        self._ways: dict[int, tuple[Rung, ...] | None] = {id(self.value): ()}

    @cached_property
    def run(self) -> Run:
        """What runs the statement; it raises Beyond where it is not read."""
        return self.read(self.tree)

    @cached_property
    def puts(self) -> list[Put]:
        """What puts a value into each name that the statement assigns."""
        return [self.read.put(target) for target in getattr(self.tree, "targets", ())]

    @cached_property
    def over(self) -> dict[int, Place]:
        return above(self.tree)

    @cached_property
    def known(self) -> frozenset[int]:
        return frozenset(id(node) for node in self.nodes)

    @cached_property
    def _rungs(self) -> dict[int, tuple[ast.AST, Rung]]:
        """The node above each node of a plain assignment's value, as far as all is made of its parts."""
        rungs: dict[int, tuple[ast.AST, Rung]] = {}
        if self.value is None:
            return rungs
        self.read(self.tree)
        for node in self.nodes:
            if id(node) in self.read.above:
                parts, make = self.read.above[id(node)]
                rungs |= {id(part): (node, (tuple(parts), make, at)) for at, part in enumerate(parts)}
        return rungs

    def way(self, node: ast.AST) -> tuple[Rung, ...] | None:
        """Return the rungs from a node up to the value that is assigned, or None where there is no such way."""
        if id(node) not in self._ways:
            up = self._rungs.get(id(node))
            rest = self.way(up[0]) if up else None
            self._ways[id(node)] = None if up is None or rest is None else (up[1], *rest)
        return self._ways[id(node)]


@lru_cache(maxsize=512)
def statements(working: str) -> tuple[_Step, ...]:
    """Return the statements of a working, each read once for all parts whose number hangs on it."""
    return tuple(_Step(tree) for tree in ast.parse(working.strip()).body)


class _Trial(NamedTuple):
    """One change to try at one statement: ``new`` carried up its ``way``, or whole statements put ``instead``.

    With ``names``, these are worth something else wherever they are read.
    """

    family: str
    what: str
    rank: int
    wide: str
    place: int
    new: ast.AST | None = None
    way: tuple[Rung, ...] = ()
    instead: tuple[tuple[int, Run], ...] = ()
    names: tuple[tuple[str, ast.AST], ...] = ()


class _Changed(Reader):
    """Reads what is new in a change and keeps none of it; what stands in it unchanged is read by ``plain``."""

    def __init__(self, plain: Reader, nodes: frozenset[int]):
        super().__init__()
        self._plain, self._nodes = plain, nodes

    def __call__(self, node: ast.AST) -> Run:
        return self._plain(node) if id(node) in self._nodes else self.anew(node)

    def _made_of(self, node: ast.AST, parts: Sequence[ast.AST], make: Callable[..., Any]) -> None:
        """A change is not changed again: what is above its nodes is not asked for."""


class TrialPlan:
    """How one part's working is tried: the statements it needs, and every change of them."""

    def __init__(self, exercise: Exercise, part: Number):
        self.exercise, self.part = exercise, part
        self.steps = _needed(exercise, part)
        if sum(step.cost for step in self.steps) > NODES:
            raise Beyond("too long a working")
        self.run = [step.run for step in self.steps]
        before = itertools.takewhile(lambda other: other.name != part.name, exercise.parts)
        answers = frozenset(name for other in before for name in other.answer_names)
        self.answered = [step.writes & answers for step in self.steps]
        self.reads = frozenset[str]().union(*(step.reads for step in self.steps))
        self.words = _vocabulary(exercise, part, self.steps)
        self.trials = list(itertools.islice(self._all(), CHANGES))

    def _trial(self, change: Change, place: int) -> _Trial:
        step, told = self.steps[place], (change.family, change.what, change.rank, change.wide)
        way = step.way(change.old)
        if way is not None:
            return _Trial(*told, place, change.new, way)
        whole = self._whole(place, replaced(change.old, change.new, step.over))
        return _Trial(*told, place, instead=((place, whole),))

    def _whole(self, place: int, tree: ast.AST) -> Run:
        """Read a changed statement."""
        step = self.steps[place]
        return _Changed(step.read, step.known)(tree)

    def _all(self) -> Iterator[_Trial]:
        yield from self._everywhere(
            lambda node: isinstance(node, ast.Constant) and node.value == 273.15,
            lambda node: ast.Constant(0),
            ("kelvin", "temperatures stay in °C"),
        )
        yield from self._everywhere(
            lambda node: isinstance(node, ast.BinOp) and isinstance(node.op, ast.Pow) and _is_two(node.right),
            lambda node: node.left,
            ("power", "the squares are left out"),
        )
        yield from self._whole_rows()
        for name, others in self.words.lists.items():
            for other in others:
                what = f"{{{other}}} stands in place of {{{name}}}"
                yield _Trial("row", what, 0, "", 0, names=((name, _name(other)),))
        nodes = [node for step in self.steps for node in step.nodes]
        reads = [node.id for node in nodes if isinstance(node, ast.Name)]
        for renamed, what in self._places_changed():
            if sum(reads.count(name) for name in renamed) > 1:
                names = tuple((name, _name(other)) for name, other in renamed.items())
                yield _Trial("another name", what, 0, "", 0, names=names)
        powers = [node.left for node in nodes if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Pow)]
        in_a_power = {node.id for node in powers if isinstance(node, ast.Name)}
        for name in self.words.peers:
            if name in self.words.known and (reads.count(name) > 1 or name in in_a_power):
                for change in self.words.of_name(name):
                    told = (change.family, change.what, change.rank, change.wide)
                    yield _Trial(*told, 0, names=((name, change.new),))
        for place in reversed(range(len(self.steps))):  # the part's own last line first, should there be too many
            for change in changes(self.steps[place].tree, self.words):
                try:
                    yield self._trial(change, place)
                except Beyond:
                    continue

    def _whole_rows(self) -> Iterator[_Trial]:
        """Yield the trials that read no further than to a row, the one before or the one after, at each place."""
        found = [
            (place, node, ends)
            for place, step in enumerate(self.steps)
            for node in step.nodes
            if (ends := between_rows(node))
        ]
        for which in itertools.product((0, 1), repeat=len(found)) if 0 < len(found) <= 3 else ():
            trees: dict[int, ast.AST] = {place: self.steps[place].tree for place, _, _ in found}
            for (place, node, ends), end in zip(found, which, strict=True):
                trees[place] = replaced(node, ends[end], above(trees[place]))
            whole = tuple((place, self._whole(place, tree)) for place, tree in trees.items())
            yield _Trial("row", WHOLE_ROWS, 0, FAMILIES["row"], min(trees), instead=whole)

    def _everywhere(
        self, meant: Callable[[ast.AST], bool], instead: Callable[[Any], ast.AST], told: tuple[str, str]
    ) -> Iterator[_Trial]:
        """Yield the one trial that changes several places alike, where there are several."""
        found = [(place, node) for place, step in enumerate(self.steps) for node in step.nodes if meant(node)]
        if len(found) > 1:
            trees: dict[int, ast.AST] = {place: self.steps[place].tree for place, _ in found}
            for place, node in found:
                trees[place] = replaced(node, instead(node), above(trees[place]))
            whole = tuple((place, self._whole(place, tree)) for place, tree in trees.items())
            yield _Trial(*told, 0, "", min(trees), instead=whole)

    def _places_changed(self) -> Iterator[tuple[dict[str, str], str]]:
        """Yield names that may be taken for one another all at once: two that change places, hot ones and cold ones."""
        peers = {name: others for name, others in self.words.peers.items() if name in self.reads}
        for one, other in itertools.combinations(peers, 2):
            if other in peers[one]:
                yield {one: other, other: one}, f"{{{one}}} and {{{other}}} change places"
        pairs: dict[tuple[str, str], dict[str, str]] = {}
        for name, others in peers.items():
            for other in others:
                words, instead = name.split("_"), other.split("_")
                differ = [pair for pair in zip(words, instead, strict=False) if pair[0] != pair[1]]
                if len(words) == len(instead) and len(differ) == 1:
                    pairs.setdefault(differ[0], {})[name] = other
        for (word, other), renamed in pairs.items():
            if len(renamed) > 1:
                yield renamed, f"the `{other}` values stand in place of the `{word}` ones"

    @cached_property
    def pieces(self) -> list[tuple[str, ast.expr]]:
        """The pieces of the part's own last line, each with its name."""
        last = self.steps[-1].tree
        whole = getattr(last, "value", last)
        found = (node for node in ast.walk(whole) if isinstance(node, (ast.BinOp, ast.Call)) and node is not whole)
        return [(in_words(node, self.words), node) for node in found]

    @cached_property
    def between(self) -> list[tuple[str, str, int]]:
        """The names that may lie between two readings, each with their list and the statement they are read from.

        They are earlier answers in the unit of a list, and what is counted on from a reading.
        """
        exercise, names = self.exercise, self.words.units
        earlier = [name for name in names if name in self.reads and name not in exercise.givens]
        found = [
            (name, rows, 0)
            for name in earlier
            for rows in self.words.lists
            if exercise.givens[rows].unit == names[name]
        ]
        for place, step in enumerate(self.steps[:-1]):
            first = getattr(step.value, "left", None) if isinstance(step.value, ast.BinOp) else None
            rows = getattr(first.value, "id", "") if isinstance(first, ast.Subscript) else ""
            if rows in self.words.lists:
                found += [(name, rows, place + 1) for name in step.writes]
        return found

    @cached_property
    def numbers(self) -> dict[float, str]:
        """The numbers of the working's tables and cases, each with its family."""
        numbers: dict[float, str] = {}
        values: Sequence[ast.expr]
        for node in (node for step in self.steps for node in step.nodes):
            if isinstance(node, ast.Dict):
                values, family = node.values, "row"
            elif isinstance(node, ast.IfExp):
                values, family = (node.body, node.orelse), "case"
            elif isinstance(node, ast.If):
                inside = (*node.body, *node.orelse)
                values, family = [inner.value for inner in inside if isinstance(inner, ast.Assign)], "case"
            else:
                continue
            numbers |= {v.value: family for v in values if isinstance(v, ast.Constant) and is_number(v.value)}
        return numbers

    def outcome(self, givens: Mapping[str, Any], before: Mapping[str, Any]) -> "Outcome":
        """Run the working as it is, on these givens and earlier answers."""
        return Outcome(self, givens, before)


class Outcome:
    """A working run on one learner's numbers: the names before each statement, those at the end, and what changes give.

    ``right`` is what the unchanged working gives; it raises one of ``arithmetic.FAILURES`` where it gives no number.
    """

    def __init__(self, plan: TrialPlan, givens: Mapping[str, Any], before: Mapping[str, Any]):
        self.plan, self.answers = plan, dict(before)
        self.states: list[Names] = []
        self._known: dict[int, Any] = {}
        self._beside: dict[int, list[Any]] = {}
        self._budget = budget = Budget(NODES_IN_ALL)
        self._place = 0  # the statement that is tried
        names: Names = {**givens, **before}
        for step, run in zip(plan.steps, plan.run, strict=True):
            self.states.append(dict(names))
            budget.spend(step.cost)
            run(names, budget)
            names |= self.answers
        self.left = budget.steps
        self.names, self.right = names, names[plan.part.name]
        if not is_number(self.right):
            raise ValueError("no number comes out")

    def variants(self) -> Iterator[Variant]:
        """Yield what each single change gives."""
        yield from self.rows()
        for trial in self.plan.trials:
            value = self._within_bounds(self._tried, trial)
            if value is not None:
                yield Variant(trial.family, trial.what, value, trial.rank, trial.wide)
            if self.left <= 0:
                return
        yield from self._earlier_slips()
        yield from self._rounded_early()
        yield from self._on_whole_rows()
        for told, value in self.pieces:
            yield Variant("stopped", f"the work stops at {told}", value)

    def _within_bounds(self, try_it: Callable[..., Any], *arguments: object) -> float | None:
        budget = self._budget
        before = budget.steps = min(NODES_OF_ONE, self.left)
        budget.depth = 0
        try:
            value = try_it(*arguments)
        except arithmetic.FAILURES:
            return None
        finally:
            self.left -= before - max(budget.steps, 0)
        return value if is_number(value) else None

    def _tried(self, trial: _Trial) -> Any:
        self._place = place = trial.place
        state, budget = self.states[place], self._budget
        if trial.names:
            new = {name: self._worth(node) for name, node in trial.names}
            return self._on(0, state | new, set(new), {}, new.keys())
        if trial.new is None:
            return self._on(place, dict(state), set(), dict(trial.instead), ())
        value = self._worth(trial.new)
        for rung in trial.way:
            got = self._beside.get(id(rung)) or self._parts(rung)
            budget.steps -= len(got)
            got[rung[2]] = value
            value = rung[1](state, budget, *got)
        budget.spend(0)
        step, names = self.plan.steps[place], dict(state)
        for put in step.puts:
            put(names, value)
        for name in self.plan.answered[place]:
            names[name] = self.answers[name]
        return self._on(place + 1, names, set(step.writes), {}, ())

    def _parts(self, rung: Rung) -> list[Any]:
        """Return what the parts beside the changed one are worth on a rung, with room for what that one becomes."""
        parts, _, at = rung
        worth = [None if one == at else self._as_it_stands(part) for one, part in enumerate(parts)]
        self._beside[id(rung)] = worth
        return worth

    def _as_it_stands(self, node: ast.AST) -> Any:
        """Return what a node of the working is worth, worked out once."""
        if id(node) not in self._known:
            read = self.plan.steps[self._place].read(node)
            self._known[id(node)] = read(self.states[self._place], self._budget)
        return self._known[id(node)]

    def _worth(self, node: ast.AST) -> Any:
        """Return what a node is worth, most of which a change made new."""
        self._budget.spend()
        if id(node) in self._known:
            return self._known[id(node)]
        step, state = self.plan.steps[self._place], self.states[self._place]
        if id(node) in step.known:
            return self._as_it_stands(node)
        put_together = arithmetic.AT_ONCE.get(type(node))
        if put_together:
            return put_together(node, self._worth, state, self._budget)
        return _Changed(step.read, step.known).anew(node)(state, self._budget)

    def _on(
        self,
        place: int,
        names: Names,
        touched: set[str],
        instead: Mapping[int, Run],
        kept: Collection[str],
    ) -> Any:
        """Go on from a statement with some names changed, and return the part's number.

        Names that are ``kept`` stay as they were changed, though they are earlier answers.
        """
        plan, budget = self.plan, self._budget
        for at in range(place, len(plan.steps)):
            step = plan.steps[at]
            if at in instead or not step.reads.isdisjoint(touched):
                budget.spend(step.cost)
                instead.get(at, plan.run[at])(names, budget)
                for name in plan.answered[at]:
                    if name not in kept:
                        names[name] = self.answers[name]
                touched |= step.writes
            else:
                after = self.states[at + 1] if at + 1 < len(self.states) else self.names
                for name in step.writes:
                    names[name] = after[name]
        return names.get(plan.part.name)

    @cached_property
    def pieces(self) -> list[tuple[str, float]]:
        """The pieces of the part's own last line, and the names on the way to it, each with its value."""
        plan, self._place = self.plan, len(self.states) - 1
        worth = [(told, self._within_bounds(self._as_it_stands, node)) for told, node in plan.pieces]
        found = [(told, value) for told, value in worth if value is not None]
        for name, value in self.names.items():
            if name != plan.part.name and name not in plan.words.known and is_number(value):
                found.append((plain(name), value))
        return found

    def rows(self) -> Iterator[Variant]:
        """Yield the other numbers of the table or the cases that the part's number is read from."""
        numbers = self.plan.numbers
        if self.right in numbers:
            for value in sorted(numbers.keys() - {self.right}):
                yield Variant(numbers[value], FAMILIES[numbers[value]], value, -2, FAMILIES[numbers[value]])

    def _earlier_slips(self) -> Iterator[Variant]:
        """Yield what follows where an earlier answer has one of its own slips in it, though it may be right by now."""
        exercise, plan = self.plan.exercise, self.plan
        g = exercise.values({name: self.states[0][name] for name in exercise.givens})
        a = exercise.answers(self.answers)
        for other in exercise.parts[: exercise.parts.index(plan.part)]:
            if not isinstance(other, Number) or other.name not in plan.reads:
                continue
            for slip in other.slips:
                try:
                    wrong = other.slipped(slip, g, a)
                except arithmetic.FAILURES:
                    continue
                alike = [name for name, value in self.states[0].items() if is_number(value) and value == wrong]
                wide = f"{{{alike[0]}}} stands in place of {{{other.name}}}" if len(alike) == 1 else ""
                names = self.states[0] | {other.name: wrong}
                value = self._within_bounds(self._on, 0, names, {other.name}, {}, (other.name,))
                if value is not None:
                    what = f"you go on from `{other.name}` with a slip in it: {slip.words.rstrip('.')}"
                    twice = any(math.isclose(value, times * self.right) for times in (2, 0.5))
                    own = self.answers.get(other.name)
                    if is_number(own) and own and wrong:
                        apart = max(wrong / own, own / wrong)
                        wide = next(
                            (TEN.format(power) for power in (10, 100, 1000) if math.isclose(apart, power)), wide
                        )
                    yield Variant("earlier slip", what, value, wide=TWO if twice else wide)

    def _rounded_early(self) -> Iterator[Variant]:
        """Yield what comes out where one value on the way is rounded to one, two or three figures."""
        plan = self.plan
        places = dict.fromkeys(self.answers, 0) | {
            name: place + 1 for place, step in enumerate(plan.steps) for name in step.writes if name != plan.part.name
        }
        for name, place in places.items():
            value = self.names.get(name)
            if not is_number(value) or place >= len(plan.steps) or not value:
                continue
            for figures in (1, 2, 3):
                names = dict(self.states[place])
                names[name] = float(f"{value:.{figures}g}")
                got = self._within_bounds(self._on, place, names, {name}, {}, ())
                if got is not None:
                    told = f"{{{name}}}" if name in plan.words.known else plain(name)
                    what = f"{told} is rounded to {figures} figure{'s' * (figures > 1)} on the way"
                    yield Variant("rounded", what, got, 1)

    def _on_whole_rows(self) -> Iterator[Variant]:
        """Yield what comes out where a value that lies between two readings is read as one of them."""
        for name, rows, place in self.plan.between:
            value, readings = self.names.get(name), self.states[0].get(rows)
            if is_number(value) and isinstance(readings, (list, tuple)):
                below = max((one for one in readings if is_number(one) and one < value), default=None)
                over = min((one for one in readings if is_number(one) and one > value), default=None)
                for row in (below, over) if below is not None and over is not None else ():
                    names = self.states[place] | {name: row}
                    got = self._within_bounds(self._on, place, names, {name}, {}, (name,))
                    if got is not None:
                        yield Variant("row", WHOLE_ROWS, got, 0, FAMILIES["row"])


def plain(name: str) -> str:
    """Return a name of the working as words, a short one as code.

    >>> plain("cold_volts"), plain("z")
    ('the cold volts', '`z`')
    """
    return f"`{name}`" if len(name) < 3 else f"the {name.replace('_', ' ')}"


def _is_two(node: ast.AST) -> bool:
    return isinstance(node, ast.Constant) and node.value == 2


def _name(name: str) -> ast.Name:
    return ast.Name(name, ast.Load())


def _needed(exercise: Exercise, part: Number) -> list[_Step]:
    """Return the statements of this part's and earlier workings that its number hangs on, in order."""
    steps: list[_Step] = []
    answers: set[str] = set()
    for other in exercise.parts:
        if other.name == part.name:
            break
        if isinstance(other, Number):
            steps += statements(other.working)
        answers |= set(other.answer_names)
    steps += statements(part.working)
    wanted, kept = {part.name}, []
    for step in reversed(steps):
        if step.writes & (wanted - answers):  # what was answered stands, whatever writes it anew
            if isinstance(step.tree, (ast.Assign, ast.FunctionDef)):
                wanted -= step.writes
            wanted |= step.reads
            kept.append(step)
    return kept[::-1]


def _vocabulary(exercise: Exercise, part: Number, steps: Sequence[_Step]) -> Vocabulary:
    unit_of = {name: given.unit for name, given in exercise.givens.items() if type(given.worked) in (int, float)}
    known = set(exercise.givens)
    for other in exercise.parts:
        if other.name == part.name:
            break
        known |= set(other.answer_names)
        unit_of |= other.answer_units
    peers = {
        name: tuple(other for other in unit_of if other != name and _alike(unit, unit_of[other]))
        for name, unit in unit_of.items()
    }
    counts = {name for name, given in exercise.givens.items() if _is_count(given)}
    tables = {
        target.id: tuple(filter(None, step.tree.value.keys))
        for step in steps
        if isinstance(step.tree, ast.Assign) and isinstance(step.tree.value, ast.Dict)
        for target in step.tree.targets
        if isinstance(target, ast.Name)
    }
    shapes = {n: (g.unit, len(g.worked)) for n, g in exercise.givens.items() if isinstance(g.worked, (list, tuple))}
    lists = {name: tuple(o for o in shapes if o != name and shapes[o] == shapes[name]) for name in shapes}
    text = numbers_of_the_text(exercise, part)
    return Vocabulary(peers, frozenset(known), frozenset(counts), unit_of, tables, text, lists)


@lru_cache(maxsize=1024)
def _alike(unit: str, other: str) -> bool:
    same = unit == other or other in units.siblings(unit)
    return same or {unit, other} == {"°C", "K"}


def _is_count(given: Given) -> bool:
    return given.unit in ("1", "pieces") and type(given.worked) is int and given.worked > 1
