"""A small, bounded reader of the sheets' own workings: assignments, arithmetic, loops and little functions.

It reads Python's syntax tree and knows only what is named here: no attributes, no imports but of ``math``, no calls but
of :data:`FUNCTIONS` and of functions defined beside. Every turn of a loop and every call costs steps of a
:class:`Budget`, as many as it has nodes, and no number or list may grow without bound: a working changed by us ends.
"""

import ast
import math
import operator
import re
from collections.abc import Callable, Iterator, Sequence
from typing import Any

LONGEST = 2000
"""Items a list, a range or a text may have."""
LARGEST = 10**60
"""Whole numbers beyond this are no answer of a bench."""

_OF_MATH = (
    "acos asin atan ceil cos cosh degrees erf erfc exp floor hypot log log10 log2 pi radians sin sinh sqrt tan tanh"
)
FUNCTIONS: dict[str, Any] = {name: getattr(math, name) for name in re.findall(r"\w+", _OF_MATH)}
"""What a working may call: these of ``math``, and a few that read lists and numbers."""
_READERS: dict[str, Callable[..., Any]] = {
    "abs": abs,
    "float": float,
    "int": int,
    "len": len,
    "list": list,
    "max": max,
    "min": min,
    "range": range,
}
_READERS |= {
    "round": round,
    "sorted": sorted,
    "sum": sum,
    "tuple": tuple,
    "zip": lambda *rows: list(zip(*rows, strict=False)),
}
FUNCTIONS |= _READERS


class Beyond(ValueError):
    """A working that is not read here, or that goes beyond its budget."""


class Budget:
    """Steps that may still be taken, and how deep functions may call one another."""

    def __init__(self, steps: int):
        self.steps, self.depth = steps, 0

    def spend(self, steps: int = 1) -> None:
        """Take steps, or raise Beyond where none are left."""
        self.steps -= steps
        if self.steps < 0:
            raise Beyond("out of steps")


Names = dict[str, Any]
"""What the names of a working are worth: numbers, words, lists, tables, little functions."""
Run = Callable[[Names, Budget], Any]
"""A node as it is read: it works out what the node is worth."""
Put = Callable[[Names, Any], None]
"""What a value is assigned to, as it is read."""
Loop = tuple[Run, Put, list[Run]]
"""One loop of a list made in one line: its rows, what each is put into, and the tests it must stand."""
Made = tuple[Sequence[ast.AST], Callable[..., Any]]
"""The nodes straight below one, and what makes its value out of theirs."""


class Reader:
    """Turns nodes of a tree into functions of ``(names, budget)``; a node met again is not read again.

    ``above`` holds, by the id of a node, the nodes straight below it and what makes its value out of theirs: so a
    change deep in a tree is carried up to its root without working out again what stands beside the way.
    """

    def __init__(self) -> None:
        self._read: dict[int, tuple[Run, ast.AST]] = {}
        self.above: dict[int, Made] = {}

    def _made_of(self, node: ast.AST, parts: Sequence[ast.AST], make: Callable[..., Any]) -> None:
        self.above[id(node)] = (parts, make)

    def __call__(self, node: ast.AST) -> Run:
        kept = self._read.get(id(node))
        if kept is None:
            kept = self._read[id(node)] = (self.anew(node), node)  # the node is kept: its id must stay its own
        return kept[0]

    def anew(self, node: ast.AST) -> Run:
        """Read a node whether or not it was met before."""
        method: Callable[[ast.AST], Run] | None = getattr(self, f"_{type(node).__name__}", None)
        if method is None:
            raise Beyond(f"{type(node).__name__} is not read")
        return method(node)

    # -- statements: they return None, or a tuple of the value a function gives back

    def block(self, statements: Sequence[ast.stmt]) -> Run:
        """Return what runs some statements one after the other."""
        steps = [self(statement) for statement in statements]

        def run(names: Names, budget: Budget) -> Any:
            for step in steps:
                back = step(names, budget)
                if back is not None:
                    return back
            return None

        return run

    def _Assign(self, node: ast.Assign) -> Run:
        value, puts = self(node.value), [self.put(target) for target in node.targets]

        def run(names: Names, budget: Budget) -> Any:
            got = value(names, budget)
            for put in puts:
                put(names, got)

        return run

    def _AugAssign(self, node: ast.AugAssign) -> Run:
        if not isinstance(node.target, ast.Name):
            raise Beyond("only names are added to")
        old, value, act, name = self(_loaded(node.target)), self(node.value), _ARITHMETIC[type(node.op)], node.target.id

        def run(names: Names, budget: Budget) -> Any:
            names[name] = _bounded(act(old(names, budget), value(names, budget)))

        return run

    def put(self, target: ast.expr) -> Put:
        if isinstance(target, ast.Name):
            name = target.id
            return lambda names, value: names.__setitem__(name, value)
        if isinstance(target, (ast.Tuple, ast.List)):
            puts = [self.put(item) for item in target.elts]

            def spread(names: Names, value: Any) -> None:
                for put, item in zip(puts, value, strict=True):
                    put(names, item)

            return spread
        raise Beyond("only names are assigned to")

    def _For(self, node: ast.For) -> Run:
        if node.orelse:
            raise Beyond("else of a loop is not read")
        rows, put, body, cost = self(node.iter), self.put(node.target), self.block(node.body), size(node)

        def run(names: Names, budget: Budget) -> Any:
            for row in rows(names, budget):
                budget.spend(cost)
                put(names, row)
                back = body(names, budget)
                if back is not None:
                    return back
            return None

        return run

    def _While(self, node: ast.While) -> Run:
        if node.orelse:
            raise Beyond("else of a loop is not read")
        goes_on, body, cost = self(node.test), self.block(node.body), size(node)

        def run(names: Names, budget: Budget) -> Any:
            while goes_on(names, budget):
                budget.spend(cost)
                back = body(names, budget)
                if back is not None:
                    return back
            return None

        return run

    def _If(self, node: ast.If) -> Run:
        test, body, other = self(node.test), self.block(node.body), self.block(node.orelse)
        return lambda names, budget: (body if test(names, budget) else other)(names, budget)

    def _FunctionDef(self, node: ast.FunctionDef) -> Run:
        a = node.args
        if a.vararg or a.kwarg or a.kwonlyargs or a.defaults or a.posonlyargs or node.decorator_list:
            raise Beyond("only plain functions are read")
        defined = _Function(tuple(argument.arg for argument in a.args), self.block(node.body), size(node))
        return lambda names, budget: names.__setitem__(node.name, defined)

    def _Return(self, node: ast.Return) -> Run:
        if node.value is None:
            raise Beyond("a function that gives nothing back")
        value = self(node.value)
        return lambda names, budget: (value(names, budget),)

    def _ImportFrom(self, node: ast.ImportFrom) -> Run:
        if node.module != "math" or any(a.name not in FUNCTIONS or a.name in _READERS or a.asname for a in node.names):
            raise Beyond("only what stands in math is imported")
        return lambda names, budget: None

    # -- expressions

    def _Constant(self, node: ast.Constant) -> Run:
        if not isinstance(node.value, (int, float, str)):
            raise Beyond("no number and no word")
        value = _bounded(node.value)
        return lambda names, budget: value

    def _Name(self, node: ast.Name) -> Run:
        name = node.id
        if name in FUNCTIONS:
            fallback = FUNCTIONS[name]
            return lambda names, budget: names.get(name, fallback)

        def read(names: Names, budget: Budget) -> Any:
            try:
                return names[name]
            except KeyError:
                raise Beyond(f"{name} is not known") from None

        return read

    def _BinOp(self, node: ast.BinOp) -> Run:
        left, right, act = self(node.left), self(node.right), _ARITHMETIC.get(type(node.op))
        if act is None:
            raise Beyond("no arithmetic of a bench")
        self._made_of(node, (node.left, node.right), lambda names, budget, one, other: _bounded(act(one, other)))
        return lambda names, budget: _bounded(act(left(names, budget), right(names, budget)))

    def _UnaryOp(self, node: ast.UnaryOp) -> Run:
        act, value = _SIGNS.get(type(node.op)), self(node.operand)
        if act is None:
            raise Beyond("no arithmetic of a bench")
        self._made_of(node, (node.operand,), lambda names, budget, one: act(one))
        return lambda names, budget: act(value(names, budget))

    def _BoolOp(self, node: ast.BoolOp) -> Run:
        values, want = [self(value) for value in node.values], isinstance(node.op, ast.Or)

        def read(names: Names, budget: Budget) -> Any:
            for value in values:
                got = value(names, budget)
                if bool(got) is want:
                    break
            return got

        return read

    def _Compare(self, node: ast.Compare) -> Run:
        values, acts = [self(value) for value in [node.left, *node.comparators]], []
        for op in node.ops:
            if type(op) not in _COMPARISONS:
                raise Beyond("no comparison of numbers")
            acts.append(_COMPARISONS[type(op)])

        def make(names: Names, budget: Budget, *got: Any) -> Any:
            return all(act(one, other) for act, one, other in zip(acts, got, got[1:], strict=False))

        self._made_of(node, (node.left, *node.comparators), make)
        return lambda names, budget: make(names, budget, *[value(names, budget) for value in values])

    def _IfExp(self, node: ast.IfExp) -> Run:
        test, body, other = self(node.test), self(node.body), self(node.orelse)
        self._made_of(node, (node.test, node.body, node.orelse), lambda names, budget, so, one, two: one if so else two)
        return lambda names, budget: (body if test(names, budget) else other)(names, budget)

    def _Tuple(self, node: ast.Tuple) -> Run:
        items = [self(item) for item in node.elts]
        return lambda names, budget: tuple(item(names, budget) for item in items)

    def _List(self, node: ast.List) -> Run:
        items = [self(item) for item in node.elts]
        return lambda names, budget: [item(names, budget) for item in items]

    def _Dict(self, node: ast.Dict) -> Run:
        if None in node.keys:
            raise Beyond("no plain table")
        items = [(self(key), self(value)) for key, value in zip(node.keys, node.values, strict=True) if key]
        return lambda names, budget: {key(names, budget): value(names, budget) for key, value in items}

    def _Subscript(self, node: ast.Subscript) -> Run:
        value, place = self(node.value), self(node.slice)
        self._made_of(node, (node.value, node.slice), lambda names, budget, rows, at: rows[at])
        return lambda names, budget: value(names, budget)[place(names, budget)]

    def _Slice(self, node: ast.Slice) -> Run:
        ends = [None if end is None else self(end) for end in (node.lower, node.upper, node.step)]
        return lambda names, budget: slice(*(end and end(names, budget) for end in ends))

    def _ListComp(self, node: ast.ListComp | ast.GeneratorExp) -> Run:
        item, loops, cost = self(node.elt), [self._loop(part) for part in node.generators], size(node)

        def read(names: Names, budget: Budget) -> Any:
            return list(_rows(item, loops, dict(names), budget, cost))

        return read

    _GeneratorExp = _ListComp

    def _loop(self, part: ast.comprehension) -> Loop:
        if part.is_async:
            raise Beyond("no plain loop")
        return self(part.iter), self.put(part.target), [self(test) for test in part.ifs]

    def _Call(self, node: ast.Call) -> Run:
        if node.keywords or any(isinstance(argument, ast.Starred) for argument in node.args):
            raise Beyond("only plain calls are read")
        arguments = [self(argument) for argument in node.args]
        if isinstance(node.func, ast.Attribute) and node.func.attr == "index":  # the one method: place of a reading
            rows = self(node.func.value)

            def place(names: Names, budget: Budget) -> Any:
                return _sequence(rows(names, budget)).index(*(argument(names, budget) for argument in arguments))

            return place
        function = self(node.func)

        def make(names: Names, budget: Budget, *got: Any) -> Any:
            return _called(function(names, budget), got, names, budget)

        self._made_of(node, node.args, make)
        return lambda names, budget: make(names, budget, *[argument(names, budget) for argument in arguments])


class _Function:
    """A little function of a working."""

    def __init__(self, arguments: tuple[str, ...], body: Run, cost: int):
        self.arguments, self.body, self.cost = arguments, body, cost

    def call(self, names: Names, budget: Budget, values: Sequence[Any]) -> Any:
        budget.spend(self.cost)
        if budget.depth > 8:
            raise Beyond("functions too deep")
        budget.depth += 1
        try:
            back = self.body(names | dict(zip(self.arguments, values, strict=True)), budget)
        finally:
            budget.depth -= 1
        if back is None:
            raise Beyond("a function that gives nothing back")
        return back[0]


def _called(function: Any, values: Sequence[Any], names: Names, budget: Budget) -> Any:
    if isinstance(function, _Function):
        return function.call(names, budget, values)
    if not callable(function):
        raise Beyond("no function")
    for value in values:
        if isinstance(value, (list, tuple, range)):
            budget.spend(len(value))
    return _bounded(function(*values))


def _named(name: str, names: Names) -> Any:
    try:
        return names[name] if name in names else FUNCTIONS[name]
    except KeyError:
        raise Beyond(f"{name} is not known") from None


def _rows(item: Run, loops: Sequence[Loop], names: Names, budget: Budget, cost: int) -> Iterator[Any]:
    (source, put, tests), *inner = loops
    for row in source(names, budget):
        budget.spend(cost)
        put(names, row)
        if all(test(names, budget) for test in tests):
            if inner:
                yield from _rows(item, inner, names, budget, cost)
            else:
                yield item(names, budget)


def size(node: ast.AST) -> int:
    """Return how many nodes a tree has: what working it out once may cost.

    >>> size(ast.parse("a + b", mode="eval").body)
    6
    """
    return sum(1 for _ in ast.walk(node))


def _loaded(name: ast.Name) -> ast.Name:
    return ast.Name(name.id, ast.Load())


def _sequence(value: Any) -> Sequence[Any]:
    if not isinstance(value, (list, tuple)):
        raise Beyond("no list")
    return value


def _bounded(value: Any) -> Any:
    if type(value) is float:  # nearly all are
        return value
    if isinstance(value, int) and abs(value) > LARGEST:
        raise Beyond("too large a number")
    if isinstance(value, (list, tuple, range, str)) and len(value) > LONGEST:
        raise Beyond("too long a list")
    return value


def _power(base: Any, exponent: Any) -> Any:
    if isinstance(base, int) and isinstance(exponent, int) and (abs(exponent) > 64 or abs(base) > 10**6):
        base = float(base)
    return base**exponent


def _times(one: Any, other: Any) -> Any:
    if type(one) is float or type(other) is float:
        return one * other
    for many, rows in ((one, other), (other, one)):
        if isinstance(rows, (list, tuple, str)) and isinstance(many, int) and many * len(rows) > LONGEST:
            raise Beyond("too long a list")
    return one * other


_ARITHMETIC: dict[type[ast.operator], Callable[[Any, Any], Any]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: _times,
    ast.Div: operator.truediv,
    ast.FloorDiv: operator.floordiv,
    ast.Mod: lambda one, other: math.fmod(one, other),
    ast.Pow: _power,
}
_SIGNS: dict[type[ast.unaryop], Callable[[Any], Any]] = {
    ast.USub: operator.neg,
    ast.UAdd: operator.pos,
    ast.Not: operator.not_,
}
_COMPARISONS: dict[type[ast.cmpop], Callable[[Any, Any], Any]] = {ast.Lt: operator.lt, ast.LtE: operator.le}
_COMPARISONS |= {ast.Gt: operator.gt, ast.GtE: operator.ge}
_COMPARISONS |= {ast.Eq: operator.eq, ast.NotEq: operator.ne}
_COMPARISONS |= {ast.In: lambda one, many: one in many, ast.NotIn: lambda one, many: one not in many}

AtOnce = Callable[[Any, Callable[[ast.AST], Any], Names, Budget], Any]
AT_ONCE: dict[type[ast.AST], AtOnce] = {
    ast.BinOp: lambda node, worth, names, budget: _bounded(
        _ARITHMETIC[type(node.op)](worth(node.left), worth(node.right))
    ),
    ast.UnaryOp: lambda node, worth, names, budget: _SIGNS[type(node.op)](worth(node.operand)),
    ast.Constant: lambda node, worth, names, budget: _bounded(node.value),
    ast.Name: lambda node, worth, names, budget: _named(node.id, names),
    ast.Subscript: lambda node, worth, names, budget: worth(node.value)[worth(node.slice)],
    ast.Call: lambda node, worth, names, budget: _called(
        worth(node.func), [worth(part) for part in node.args], names, budget
    ),
}
"""What a node is worth that is worked out once and dropped, by its kind: to read such a one would cost more.

``worth`` tells what the nodes straight below it are worth. Other kinds are read. The nodes are changes of ours.
"""

FAILURES = (ArithmeticError, ValueError, TypeError, LookupError, RecursionError, AttributeError)
"""What a changed working may raise: it is then no explanation."""
