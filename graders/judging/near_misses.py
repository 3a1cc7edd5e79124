"""A wrong number names its own slip: the part's working, changed in one place, gives the learner's number.

Hand-written slips come first; this is for a number that none of them explains. It never earns or costs a point, runs
nothing a learner wrote, and stays silent where two different explanations give the same number.
"""

import ast
import math
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache

from graders.judging import arithmetic
from graders.judging.arithmetic import Beyond, Budget, Reader
from graders.judging.changes import FAMILIES, Change, Vocabulary, changes, replaced
from graders.questions.exercise import Exercise
from graders.questions.parts import Design, Number
from workbook import units

STEPS = 2500
"""Turns of loops and calls that all changed workings of one part may take together, on one learner's numbers."""
STEPS_OF_ONE = 600
"""Turns that one working may take."""
CHANGES = 800
"""Changes tried for one part."""
NODES = 1500
"""A working with more nodes than this is not read."""
NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?", re.IGNORECASE)


@dataclass(frozen=True)
class NearMiss:
    """What a wrong number may come from: the family of the change, the words to say, and the changed value.

    ``value`` is in the part's unit, as the changed working gives it.
    """

    family: str
    words: str
    value: float


@dataclass(frozen=True)
class Variant:
    """One changed working's value, in the part's unit. ``last`` is a change of the end result alone."""

    family: str
    what: str
    value: float
    last: bool = False
    wide: str = ""


def near_miss(
    exercise: Exercise, part: Number, givens: Mapping, earlier: Mapping, answer: float, typed: str = ""
) -> NearMiss | None:
    """Return what single slip gives a wrong number, or None where none does or more than one may.

    Parameters
    ----------
    exercise, part : Exercise, Number
    givens : mapping
        The record's givens, as printed.
    earlier : mapping
        The learner's answers to earlier parts, as plain values; a part that is not in it is taken as right.
    answer : float
        The wrong number, in the part's unit.
    typed : str
        The number as it was typed, where known: its digits decide how near is near.
    """
    if not _finite(answer) or answer == 0:
        return None
    text = typed if len(typed) < 25 and NUMBER.fullmatch(typed) and float(typed) == answer else f"{answer:.12g}"
    givens = {name: givens[name] for name in exercise.givens}
    before = _before(exercise, part, givens, earlier)
    bands = _Bands(exercise, part, givens, before)
    if bands.hold(answer):
        return None
    reach = _reach(answer, text)
    near = [
        variant
        for variant in variants(exercise, part, givens, before)
        if abs(variant.value - answer) <= reach and not bands.hold(variant.value)
    ]
    found = [variant for variant in near if not variant.last] or near
    what = _one_story(found)
    if what is None:
        return None
    for teller in (_with_values, _bare):
        told = teller(what, exercise, givens, before)
        if not any(bands.hold(float(number)) for number in re.findall(r"(?<![\w.])\d+\.?\d*(?![\w.])", told)):
            words = f"Your {_shown(text)} is what comes out when {told}. Look at that step again."
            return NearMiss(found[0].family, words, found[0].value)
    return None


def _one_story(found: list[Variant]) -> str | None:
    """Return what all explanations say alike, or what fits the one family they are of, or None."""
    stories, families = {variant.what for variant in found}, {variant.family for variant in found}
    if len(stories) == 1:
        return stories.pop()
    wide = {variant.wide for variant in found}
    if len(wide) == 1 and (fits := wide.pop()):
        return fits
    return FAMILIES[families.pop()] if len(families) == 1 else None


def _reach(answer: float, text: str) -> float:
    """Return half a unit of the last digit typed, of the fourth digit at the least and of the fifth at the most.

    >>> _reach(12.34, "12.34"), _reach(12.3, "12.3")
    (0.005, 0.005)
    """
    digits = len(re.sub(r"e.*|\D", "", text.lower()).lstrip("0"))
    leading = math.floor(math.log10(abs(answer)))
    return 0.5 * 10.0 ** (leading - min(max(digits, 4), 5) + 1)


class _Bands:
    """The values that are right, whether the earlier answers are the learner's own or the true ones."""

    def __init__(self, exercise, part, givens, before):
        g, true = exercise.solved(givens)
        self._part, self._right = part, []
        for answers in (true, exercise.answers(before)):
            try:
                self._right.append(float(part.expected(g, answers)))
            except arithmetic.FAILURES:
                continue

    def hold(self, value: float) -> bool:
        in_si = units.to_si(value, self._part.unit)
        return any(self._part.near(in_si, right) for right in self._right)


def _before(exercise, part, givens, earlier) -> dict:
    """Return the answers to earlier parts: the learner's own where they are plain, the right ones elsewhere."""
    key, before = exercise.key(givens), {}
    for other in exercise.parts:
        if other.name == part.name:
            break
        for name in other.answer_names:
            own = earlier.get(name)
            plain = _finite(own) if isinstance(key[name], (int, float)) else type(own) is type(key[name])
            before[name] = own if plain else key[name]
    return before


def variants(exercise: Exercise, part: Number, givens: Mapping, before: Mapping) -> tuple[Variant, ...]:
    """Return what every single change of a part's working gives with these givens and earlier answers."""
    return _variants(exercise, part.name, _frozen(givens), _frozen(before))


def _frozen(values: Mapping) -> tuple:
    return tuple((name, tuple(value) if isinstance(value, list) else value) for name, value in values.items())


@lru_cache(maxsize=256)
def _variants(exercise, name, givens, before) -> tuple[Variant, ...]:
    plan = _plan(exercise, name)
    if plan is None:
        return ()
    names = {name: list(value) if isinstance(value, tuple) else value for name, value in givens + before}
    try:
        return tuple(plan.variants(names, dict(before)))
    except arithmetic.FAILURES:
        return ()


@lru_cache(maxsize=1024)
def _plan(exercise: Exercise, name: str) -> "_Plan | None":
    try:
        return _Plan(exercise, exercise.part(name))
    except (SyntaxError, *arithmetic.FAILURES):
        return None


@dataclass(frozen=True)
class _Step:
    """One statement of the working: what it reads and writes, and whether it belongs to an earlier part."""

    tree: ast.AST
    reads: frozenset[str]
    writes: frozenset[str]


@dataclass(frozen=True)
class _Trial:
    """One change to try: statements put in place of others, or one name's value changed everywhere."""

    change: Change
    instead: tuple[tuple[int, ast.AST], ...] = ()
    name: str = ""


class _Plan:
    """How a part's working is tried: the statements it needs, and every change of them."""

    def __init__(self, exercise: Exercise, part: Number):
        self.part, self.read = part, Reader()
        self.steps = _needed(exercise, part)
        if sum(1 for step in self.steps for _ in ast.walk(step.tree)) > NODES:
            raise Beyond("too long a working")
        self.run = [self.read(step.tree) for step in self.steps]
        self.words = _vocabulary(exercise, part, self.steps)
        self.trials = list(self._all())[:CHANGES]

    def _all(self) -> Iterator[_Trial]:
        constants = [
            (place, node)
            for place, step in enumerate(self.steps)
            for node in ast.walk(step.tree)
            if isinstance(node, ast.Constant) and node.value == 273.15
        ]
        if len(constants) > 1:
            instead = {place: self.steps[place].tree for place, _ in constants}
            for place, node in constants:
                instead[place] = replaced(instead[place], node, ast.Constant(0))
            change = Change("kelvin", constants[0][1], constants[0][1], "temperatures stay in °C")
            yield _Trial(change, tuple(instead.items()))
        reads = [n.id for step in self.steps for n in ast.walk(step.tree) if isinstance(n, ast.Name)]
        for name in self.words.peers:
            if name in self.words.known and (reads.count(name) > 1 or self._in_a_power(name)):
                node = ast.Name(name, ast.Load())
                for change in changes(node, self.words):
                    yield _Trial(change, name=name)
        by_step = [changes(step.tree, self.words) for step in self.steps]
        for place in reversed(range(len(self.steps))):  # the part's own last line first, should there be too many
            for change in by_step[place]:
                yield _Trial(change, ((place, replaced(self.steps[place].tree, change.old, change.new)),))

        last = self.steps[-1].tree
        if isinstance(last, ast.Assign):
            for node in ast.walk(last.value):
                if isinstance(node, (ast.BinOp, ast.Call)) and node is not last.value:
                    change = Change("stopped", last.value, node, FAMILIES["stopped"])
                    yield _Trial(change, ((len(self.steps) - 1, replaced(last, last.value, node)),))

    def _in_a_power(self, name) -> bool:
        return any(
            isinstance(node, ast.BinOp) and isinstance(node.op, ast.Pow) and getattr(node.left, "id", "") == name
            for step in self.steps
            for node in ast.walk(step.tree)
        )

    def variants(self, names: dict, answers: dict) -> Iterator[Variant]:
        budget = Budget(STEPS)
        states, outcome = self._base(names, answers, budget)
        right = outcome[self.part.name]
        if not _finite(right):
            return
        for trial in self.trials:
            try:
                value = self._tried(trial, states, outcome, answers, budget)
            except arithmetic.FAILURES:
                if budget.steps <= 0:
                    break
                continue
            if _finite(value):
                change = trial.change
                yield Variant(change.family, change.what, value, change.family == "stopped", change.wide)
        yield from _of_the_end(right, self.part, names, outcome, self.words)

    def _base(self, names, answers, budget):
        """Run the working as it is; return the names before each statement, and those at the end."""
        states, names = [], dict(names)
        for run in self.run:
            states.append(dict(names))
            run(names, budget)
            names |= answers
        return states, names

    def _tried(self, trial: _Trial, states, outcome, answers, budget) -> float | None:
        instead = dict(trial.instead)
        first = min(instead, default=0)
        names, touched = dict(states[first]), set()
        own = Budget(min(STEPS_OF_ONE, budget.steps))
        before = own.steps
        try:
            if trial.name:
                names[trial.name] = self.read(trial.change.new)(names, own)
                touched.add(trial.name)
            for place in range(first, len(self.steps)):
                step = self.steps[place]
                if place in instead or step.reads & touched:
                    run = self.read(instead[place]) if place in instead else self.run[place]
                    run(names, own)
                    names |= {name: answers[name] for name in step.writes & answers.keys() if name != trial.name}
                    touched |= step.writes
                else:
                    after = states[place + 1] if place + 1 < len(states) else outcome
                    names |= {name: after[name] for name in step.writes}
        finally:
            budget.steps -= before - max(own.steps, 0)
        return names.get(self.part.name)


def _needed(exercise: Exercise, part: Number) -> list[_Step]:
    """Return the statements of this part's and earlier workings that its number hangs on, in order."""
    steps, answers = [], set()
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


def _step(tree: ast.AST) -> _Step:
    rows = [node.target for node in ast.walk(tree) if isinstance(node, ast.comprehension)]
    inner = {id(node) for target in rows for node in ast.walk(target)}
    reads, writes = set(), set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Name) and id(node) not in inner:
            (reads if isinstance(node.ctx, ast.Load) else writes).add(node.id)
    if isinstance(tree, ast.AugAssign):
        reads |= writes
    if isinstance(tree, ast.FunctionDef):
        writes = {tree.name}
    return _Step(tree, frozenset(reads), frozenset(writes))


def _vocabulary(exercise: Exercise, part: Number, steps) -> Vocabulary:
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
        target.id: tuple(step.tree.value.keys)
        for step in steps
        if isinstance(step.tree, ast.Assign) and isinstance(step.tree.value, ast.Dict)
        for target in step.tree.targets
        if isinstance(target, ast.Name)
    }
    celsius = frozenset(name for name, unit in kind.items() if unit == "°C")
    return Vocabulary(peers, frozenset(known), frozenset(counts), celsius, tables)


def _alike(unit: str, other: str) -> bool:
    same = unit == other or other in units.siblings(unit)
    return same or {unit, other} == {"°C", "K"}


def _is_count(given) -> bool:
    return given.unit in ("1", "pieces") and type(given.worked) is int and given.worked > 1


def _of_the_end(right: float, part: Number, names: dict, outcome: dict, words: Vocabulary) -> Iterator[Variant]:
    """Yield what may be done to the right number at the very end, or given in its place."""
    whole = {
        "the sign is turned round": -right,
        "the last quotient is taken the other way round": 1 / right if right else math.nan,
        "the last step leaves a factor of two too much": 2 * right,
        "the last step leaves a factor of two too little": right / 2,
        "the last root is left out": right * right,
        "a root too many is drawn": math.sqrt(abs(right)),
    }
    rest = {"%": 100 - right, "1": 1 - right}.get(part.unit)
    if rest is not None:
        whole["the part that is left over is taken for the part asked for"] = rest
    if right == int(right):
        whole |= {"one too few is counted": right - 1, "one too many is counted": right + 1}
    for what, value in whole.items():
        if _finite(value):
            yield Variant("whole", what, value, last=True)
    for name, value in names.items():
        if isinstance(value, list) and value and all(_finite(item) for item in value):
            many = len(value)
            for what, taken in (
                (f"the plain mean of {{{name}}} is taken", sum(value) / many),
                (f"the sum of {{{name}}} is taken", sum(value)),
                (f"the largest of {{{name}}} is taken", max(value)),
                (f"the smallest of {{{name}}} is taken", min(value)),
                (f"the root of the mean square of {{{name}}} is taken", math.hypot(*value) / math.sqrt(many)),
            ):
                yield Variant("mean", what, taken, last=True)
    for name, value in outcome.items():
        if name != part.name and _finite(value):
            told = (
                f"{{{name}}} itself is given"
                if name in words.known
                else f"only the first steps are done (as far as {_plain(name)})"
            )
            yield Variant("stopped", told, value, last=True)
            if part.unit == "%":
                yield Variant("stopped", told, 100 * value, last=True)


def _plain(name: str) -> str:
    return f"`{name}`" if len(name) < 3 else name.replace("_", " ")


def _with_values(what: str, exercise: Exercise, givens: Mapping, before: Mapping) -> str:
    """Fill the names of a change in, each with the learner's own number."""

    def fill(match):
        name = match.group(1)
        value = givens.get(name)
        if name in before:
            return f"your `{name}`"
        if not _finite(value):
            return f"`{name}`"
        return f"`{name}` ({value:g}{units.shown(exercise.givens[name].unit)})"

    return re.sub(r"\{([a-z][a-z0-9_]*)\}", fill, what)


def _bare(what: str, exercise: Exercise, givens: Mapping, before: Mapping) -> str:
    return re.sub(r"\{([a-z][a-z0-9_]*)\}", r"`\1`", what)


def _shown(text: str) -> str:
    return text if len(text) < 9 else f"{float(text):.6g}"


def _finite(value) -> bool:
    plain = isinstance(value, (int, float)) and not isinstance(value, bool)
    return plain and abs(value) < 1e300 and math.isfinite(value)


@dataclass(frozen=True)
class Unnamed:
    """A near miss without a slip of its own, for an author: ``inside`` where the part's band takes it for right."""

    exercise: str
    part: str
    family: str
    what: str
    value: float
    unit: str
    inside: bool


def unnamed(exercises: Iterable[Exercise]) -> Iterator[Unnamed]:
    """Yield the near misses of worked numbers that no hand-written slip or unit covers, and those inside the band."""
    for exercise in exercises:
        givens = exercise.worked()
        g, true = exercise.solved(givens)
        for part in exercise.parts:
            if isinstance(part, Number):
                before = _before(exercise, part, givens, {})
                bands = _Bands(exercise, part, givens, before)
                slips = [float(slip.value(g, true)) for slip in part.slips]
                told = set()
                for variant in variants(exercise, part, givens, before):
                    in_si, shown = units.to_si(variant.value, part.unit), f"{variant.value:.4g}"
                    exact = math.isclose(in_si, float(part.expected(g, true)), rel_tol=1e-9)
                    if exact or shown in told or any(part.near(in_si, slip) for slip in slips):
                        continue
                    told.add(shown)
                    what = _bare(variant.what, exercise, givens, before)
                    inside = bands.hold(variant.value)
                    yield Unnamed(exercise.id, part.name, variant.family, what, variant.value, part.unit, inside)
