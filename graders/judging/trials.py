"""How a part's working is tried: the statements its number hangs on, and what each change of them gives.

A change is worked out where it stands and carried up to its statement's value; only statements that read what changed
are run again. Every trial is paid for in nodes worked out, so the time of a part is bounded whatever its working does.
"""

import ast
import itertools
import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple, TypeGuard

from graders.judging import arithmetic
from graders.judging.arithmetic import Beyond, Budget, Names, Reader, Run, size
from graders.judging.changes import FAMILIES, TWO, Change, Vocabulary, above, changes, in_words, replaced
from graders.judging.slip_words import numbers_of_the_text
from graders.questions.exercise import Exercise
from graders.questions.givens import Given
from graders.questions.parts import Design, Number, is_number
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


@dataclass(frozen=True)
class _Step:
    """One statement of the working: what it reads and writes, and what working it out costs."""

    tree: ast.stmt
    reads: frozenset[str]
    writes: frozenset[str]
    cost: int


Rung = tuple[tuple[Run, ...], Callable[..., Any], int]
"""One step up from a node: all parts of the node above it, what makes its value of theirs, and which part it is."""


@dataclass(frozen=True, slots=True)
class _Trial:
    """One change to try at one statement: carried up its ``way``, or with whole statements put ``instead``.

    Nothing of the tree is kept: some hundred trials of some hundred parts may be held at once.
    """

    family: str
    what: str
    rank: int
    wide: str
    place: int
    cost: int = 0
    new: Run | None = None
    way: tuple[Rung, ...] = ()
    instead: tuple[tuple[int, Run], ...] = ()
    name: str = ""


class _Changed(Reader):
    """Reads what is new in a change and keeps none of it; what stands in it unchanged is read by ``plain``.

    ``read`` counts the nodes that were new, or stood at the edge of what was.
    """

    def __init__(self, plain: Callable[[ast.AST], Run], nodes: frozenset[int]):
        super().__init__()
        self._plain, self._nodes, self.read = plain, nodes, 0

    def __call__(self, node: ast.AST) -> Run:
        self.read += 1
        return self._plain(node) if id(node) in self._nodes else self.anew(node)

    def _made_of(self, node: ast.AST, parts: Sequence[ast.AST], make: Callable[..., Any]) -> None:
        """A change is not changed again: what is above its nodes is not asked for."""


class _Known:
    """Reads nodes of the working as it stands: each is worked out once for each learner's numbers."""

    def __init__(self, plain: Reader):
        self._plain = plain
        self._read: dict[int, Run] = {}

    def __call__(self, node: ast.AST) -> Run:
        key = id(node)
        if key not in self._read:
            read = self._plain(node)

            def known(names: Names, budget: Budget) -> Any:
                if key not in budget.known:
                    budget.known[key] = read(names, budget)
                return budget.known[key]

            self._read[key] = known
        return self._read[key]


class Plan:
    """How one part's working is tried: the statements it needs, and every change of them."""

    def __init__(self, exercise: Exercise, part: Number):
        self.exercise, self.part, self.read = exercise, part, Reader()
        self.steps = _needed(exercise, part)
        if sum(step.cost for step in self.steps) > NODES:
            raise Beyond("too long a working")
        self.run = [self.read(step.tree) for step in self.steps]
        self.words = _vocabulary(exercise, part, self.steps)
        self._nodes = [(place, node) for place, step in enumerate(self.steps) for node in ast.walk(step.tree)]
        unchanged, self._known = frozenset(id(node) for _, node in self._nodes), _Known(self.read)
        self._new, self._whole = _Changed(self._known, unchanged), _Changed(self.read, unchanged)
        self._above = [above(step.tree) for step in self.steps]
        self._rungs = [self._rungs_of(step.tree) for step in self.steps]
        self.puts = [[self.read.put(target) for target in getattr(step.tree, "targets", ())] for step in self.steps]
        self.trials = list(itertools.islice(self._all(), CHANGES))

    def _rungs_of(self, statement: ast.stmt) -> dict[int, tuple[ast.AST, Rung]]:
        """Return for each node of a plain assignment's value the one above it, as far as all is made of its parts."""
        rungs: dict[int, tuple[ast.AST, Rung]] = {}
        if isinstance(statement, ast.Assign):
            for node in ast.walk(statement.value):
                if id(node) in self.read.above:
                    parts, make = self.read.above[id(node)]
                    known = tuple(self._known(part) for part in parts)
                    rungs |= {id(part): (node, (known, make, at)) for at, part in enumerate(parts)}
        return rungs

    def _trial(self, change: Change, place: int) -> _Trial:
        statement, node = self.steps[place].tree, change.old
        way: list[Rung] = []
        while node is not getattr(statement, "value", None) and id(node) in self._rungs[place]:
            node, rung = self._rungs[place][id(node)]
            way.append(rung)
        told = (change.family, change.what, change.rank, change.wide)
        if isinstance(statement, ast.Assign) and node is statement.value:
            before, new = self._new.read, self._new(change.new)
            cost = self._new.read - before + sum(len(parts) for parts, _, _ in way)
            return _Trial(*told, place, cost, new, tuple(way))
        whole = self._whole(replaced(change.old, change.new, self._above[place]))
        return _Trial(*told, place, instead=((place, whole),))

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
        for name, others in self.words.lists.items():
            for other in others:
                what = f"{{{other}}} stands in place of {{{name}}}"
                yield _Trial("row", what, 0, "", 0, 0, self._whole(ast.Name(other, ast.Load())), name=name)
        for renamed, what in self._places_changed():
            yield from self._renamed(renamed, ("another name", what))
        reads = [node.id for _, node in self._nodes if isinstance(node, ast.Name)]
        powers = [node.left for _, node in self._nodes if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Pow)]
        in_a_power = {node.id for node in powers if isinstance(node, ast.Name)}
        for name in self.words.peers:
            if name in self.words.known and (reads.count(name) > 1 or name in in_a_power):
                node = ast.Name(name, ast.Load())
                for change in changes(node, self.words):
                    told = (change.family, change.what, change.rank, change.wide)
                    yield _Trial(*told, 0, 0, self._whole(change.new), name=name)
        for place in reversed(range(len(self.steps))):  # the part's own last line first, should there be too many
            for change in changes(self.steps[place].tree, self.words):
                try:
                    yield self._trial(change, place)
                except Beyond:
                    continue

    def _everywhere(
        self, meant: Callable[[ast.AST], bool], instead: Callable[[Any], ast.AST], told: tuple[str, str]
    ) -> Iterator[_Trial]:
        """Yield the one trial that changes several places alike, where there are several."""
        found = [(place, node) for place, node in self._nodes if meant(node)]
        if len(found) > 1:
            trees: dict[int, ast.AST] = {place: self.steps[place].tree for place, _ in found}
            for place, node in found:
                trees[place] = replaced(node, instead(node), above(trees[place]))
            whole = tuple((place, self._whole(tree)) for place, tree in trees.items())
            yield _Trial(*told, 0, "", min(trees), instead=whole)

    def _renamed(self, renamed: Mapping[str, str], told: tuple[str, str]) -> Iterator[_Trial]:
        """Yield the one trial that takes several names for others, all at once."""
        yield from self._everywhere(
            lambda node: isinstance(node, ast.Name) and node.id in renamed,
            lambda node: ast.Name(renamed[node.id], ast.Load()),
            told,
        )

    def _places_changed(self) -> Iterator[tuple[dict[str, str], str]]:
        """Yield names that may be taken for one another all at once: two that change places, hot ones and cold ones."""
        read = frozenset[str]().union(*(step.reads for step in self.steps))
        peers = {name: others for name, others in self.words.peers.items() if name in read}
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

    def outcome(self, givens: Mapping[str, Any], before: Mapping[str, Any]) -> "Outcome":
        """Run the working as it is, on these givens and earlier answers."""
        return Outcome(self, givens, before)


class Outcome:
    """A working run on one learner's numbers: the names before each statement, those at the end, and what changes give.

    ``right`` is what the unchanged working gives; it raises one of ``arithmetic.FAILURES`` where it gives no number.
    """

    def __init__(self, plan: Plan, givens: Mapping[str, Any], before: Mapping[str, Any]):
        self.plan, self.answers = plan, dict(before)
        self.budget = Budget(NODES_IN_ALL)
        self.states: list[Names] = []
        names: Names = {**givens, **before}
        for step, run in zip(plan.steps, plan.run, strict=True):
            self.states.append(dict(names))
            self.budget.spend(step.cost)
            run(names, self.budget)
            names |= self.answers
        self.names, self.right = names, names[plan.part.name]
        if not finite(self.right):
            raise ValueError("no number comes out")

    def variants(self) -> Iterator[Variant]:
        """Yield what each single change gives."""
        yield from self.rows()
        for trial in self.plan.trials:
            value = self._within_bounds(self._tried, trial)
            if value is not None:
                yield Variant(trial.family, trial.what, value, trial.rank, trial.wide)
            if self.budget.steps <= 0:
                return
        yield from self._earlier_slips()
        yield from self._rounded_early()
        for told, value in self.pieces():
            yield Variant("stopped", f"the work stops at {told}", value)

    def _within_bounds(self, try_it: Callable[..., Any], *arguments: object) -> float | None:
        own = Budget(min(NODES_OF_ONE, self.budget.steps), self.budget.known)
        before = own.steps
        try:
            value = try_it(*arguments, budget=own)
        except arithmetic.FAILURES:
            return None
        finally:
            self.budget.steps -= before - max(own.steps, 0)
        return value if finite(value) else None

    def _tried(self, trial: _Trial, budget: Budget) -> Any:
        plan, names = self.plan, dict(self.states[trial.place])
        if trial.new is None:
            return self._on(trial.place, names, set(), dict(trial.instead), budget=budget)
        if trial.name:
            names[trial.name] = trial.new(names, budget)
            return self._on(0, names, {trial.name}, kept=trial.name, budget=budget)
        budget.spend(trial.cost)
        value = trial.new(names, budget)
        for parts, make, at in trial.way:
            got = [value if place == at else part(names, budget) for place, part in enumerate(parts)]
            value = make(names, budget, *got)
        step = plan.steps[trial.place]
        for put in plan.puts[trial.place]:
            put(names, value)
        names |= {name: self.answers[name] for name in step.writes & self.answers.keys()}
        return self._on(trial.place + 1, names, set(step.writes), budget=budget)

    def _on(
        self,
        place: int,
        names: Names,
        touched: set[str],
        instead: Mapping[int, Run] | None = None,
        kept: str = "",
        *,
        budget: Budget,
    ) -> Any:
        """Go on from a statement with some names changed, and return the part's number."""
        plan, instead = self.plan, instead or {}
        for at in range(place, len(plan.steps)):
            step = plan.steps[at]
            if at in instead or step.reads & touched:
                budget.spend(step.cost)
                instead.get(at, plan.run[at])(names, budget)
                names |= {name: self.answers[name] for name in step.writes & self.answers.keys() if name != kept}
                touched |= step.writes
            else:
                after = self.states[at + 1] if at + 1 < len(self.states) else self.names
                names |= {name: after[name] for name in step.writes}
        return names.get(plan.part.name)

    def pieces(self) -> Iterator[tuple[str, float]]:
        """Yield the pieces of the part's own last line, and the names on the way to it, each with its value."""
        plan, last = self.plan, self.plan.steps[-1].tree
        for node in ast.walk(getattr(last, "value", last)):
            if isinstance(node, (ast.BinOp, ast.Call)) and node is not getattr(last, "value", last):
                value = self._within_bounds(plan.read(node), self.states[-1])
                if value is not None:
                    yield in_words(node, plan.words), value
        for name, value in self.names.items():
            if name != plan.part.name and name not in plan.words.known and finite(value):
                yield plain(name), value

    def rows(self) -> Iterator[Variant]:
        """Yield the other numbers of the table or the cases that the part's number is read from."""
        numbers: dict[float, str] = {}
        values: Sequence[ast.expr]
        for step in self.plan.steps:
            for node in ast.walk(step.tree):
                if isinstance(node, ast.Dict):
                    values, family = node.values, "row"
                elif isinstance(node, ast.IfExp):
                    values, family = (node.body, node.orelse), "case"
                elif isinstance(node, ast.If):
                    inside = (*node.body, *node.orelse)
                    values, family = [inner.value for inner in inside if isinstance(inner, ast.Assign)], "case"
                else:
                    continue
                numbers |= {v.value: family for v in values if isinstance(v, ast.Constant) and finite(v.value)}
        if self.right in numbers:
            for value in sorted(numbers.keys() - {self.right}):
                yield Variant(numbers[value], FAMILIES[numbers[value]], value, -2)

    def _earlier_slips(self) -> Iterator[Variant]:
        """Yield what follows where an earlier answer has one of its own slips in it, though it may be right by now."""
        exercise, plan = self.plan.exercise, self.plan
        g = exercise.values({name: self.states[0][name] for name in exercise.givens})
        a, read = exercise.answers(self.answers), frozenset[str]().union(*(step.reads for step in plan.steps))
        for other in exercise.parts[: exercise.parts.index(plan.part)]:
            if not isinstance(other, Number) or other.name not in read:
                continue
            for slip in other.slips:
                try:
                    wrong = units.from_si(float(slip.value(g, a)), other.unit)
                except arithmetic.FAILURES:
                    continue
                alike = [name for name, value in self.states[0].items() if finite(value) and value == wrong]
                wide = f"{{{alike[0]}}} stands in place of {{{other.name}}}" if len(alike) == 1 else ""
                names = self.states[0] | {other.name: wrong}
                value = self._within_bounds(self._on, 0, names, {other.name}, None, other.name)
                if value is not None:
                    what = f"you go on from `{other.name}` with a slip in it: {slip.words.rstrip('.')}"
                    twice = any(math.isclose(value, times * self.right) for times in (2, 0.5))
                    yield Variant("earlier slip", what, value, wide=TWO if twice else wide)

    def _rounded_early(self) -> Iterator[Variant]:
        """Yield what comes out where one value on the way is rounded to one, two or three figures."""
        plan = self.plan
        places = dict.fromkeys(self.answers, 0) | {
            name: place + 1 for place, step in enumerate(plan.steps) for name in step.writes if name != plan.part.name
        }
        for name, place in places.items():
            value = self.names.get(name)
            if not finite(value) or place >= len(plan.steps) or not value:
                continue
            for figures in (1, 2, 3):
                names = dict(self.states[place])
                names[name] = float(f"{value:.{figures}g}")
                got = self._within_bounds(self._on, place, names, {name})
                if got is not None:
                    told = f"{{{name}}}" if name in plan.words.known else plain(name)
                    what = f"{told} is rounded to {figures} figure{'s' * (figures > 1)} on the way"
                    yield Variant("rounded", what, got, 1)


def plain(name: str) -> str:
    """Return a name of the working as words, a short one as code.

    >>> plain("cold_volts"), plain("z")
    ('the cold volts', '`z`')
    """
    return f"`{name}`" if len(name) < 3 else f"the {name.replace('_', ' ')}"


def finite(value: object) -> TypeGuard[float]:
    """Whether a value is one plain number of a size that arithmetic bears."""
    return is_number(value)


def _is_two(node: ast.AST) -> bool:
    return isinstance(node, ast.Constant) and node.value == 2


def _needed(exercise: Exercise, part: Number) -> list[_Step]:
    """Return the statements of this part's and earlier workings that its number hangs on, in order."""
    steps: list[tuple[_Step, frozenset[str]]] = []
    answers: set[str] = set()
    for other in exercise.parts:
        if other.name == part.name:
            break
        if isinstance(other, Number):
            steps += [(_step(tree), frozenset(other.answer_names)) for tree in ast.parse(other.working.strip()).body]
        answers |= set(other.answer_names)
    steps += [(_step(tree), frozenset()) for tree in ast.parse(part.working.strip()).body]
    wanted, kept = {part.name}, []
    for step, given_there in reversed(steps):
        if step.writes & (wanted - answers) or (not given_there and step.writes & wanted):
            if isinstance(step.tree, (ast.Assign, ast.FunctionDef)):
                wanted -= step.writes
            wanted |= step.reads
            kept.append(step)
    return kept[::-1]


def _step(tree: ast.stmt) -> _Step:
    rows = [node.target for node in ast.walk(tree) if isinstance(node, ast.comprehension)]
    inner = {id(node) for target in rows for node in ast.walk(target)}
    reads: set[str] = set()
    writes: set[str] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Name) and id(node) not in inner:
            (reads if isinstance(node.ctx, ast.Load) else writes).add(node.id)
    if isinstance(tree, ast.AugAssign):
        reads |= writes
    if isinstance(tree, ast.FunctionDef):
        writes = {tree.name}
    return _Step(tree, frozenset(reads), frozenset(writes), size(tree))


def _vocabulary(exercise: Exercise, part: Number, steps: Sequence[_Step]) -> Vocabulary:
    kind = {name: given.unit for name, given in exercise.givens.items() if type(given.worked) in (int, float)}
    known = set(exercise.givens)
    for other in exercise.parts:
        if other.name == part.name:
            break
        known |= set(other.answer_names)
        if isinstance(other, Number):
            kind[other.name] = other.unit
        elif isinstance(other, Design):
            kind |= {setting.name: setting.unit for setting in other.settings}
    peers = {name: tuple(other for other in kind if other != name and _alike(kind[name], kind[other])) for name in kind}
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
    return Vocabulary(peers, frozenset(known), frozenset(counts), kind, tables, text, lists)


def _alike(unit: str, other: str) -> bool:
    same = unit == other or other in units.siblings(unit)
    return same or {unit, other} == {"°C", "K"}


def _is_count(given: Given) -> bool:
    return given.unit in ("1", "pieces") and type(given.worked) is int and given.worked > 1
