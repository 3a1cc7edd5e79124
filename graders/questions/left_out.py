"""A working with one of its steps left out: what a learner gets who has not learned that step.

An answer without a step that a part teaches must fall outside the band of the right one, or the band marks nothing.
Steps are the summands, factors, divisors, powers and functions of a part's own working. Not steps are factors of ten
(a lost prefix is far away), the rows of a table, and the items of a sum or product over readings. Lines that say the
same of one reading after another (``rise1``, ``rise2``) lose a step together, as a learner would lose it.
"""

import ast
import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import CodeType
from typing import Any

KNOWN = {
    name: getattr(math, name)
    for name in ("atan", "cos", "erf", "exp", "log", "log10", "pi", "sin", "sqrt", "tan", "tanh")
}
"""What a working may call of ``math``."""

FUNCTIONS = {*KNOWN, "abs", "int"}
MANY = 4
"""From so many items on, a sum adds up readings."""


@dataclass(frozen=True)
class Shortened:
    """A working without one step: the step that is left out, as the working writes it, and what is run instead."""

    step: str
    code: CodeType

    def value(self, name: str, names: Mapping[str, Any]) -> float | None:
        """Return what the name is then worth, or nothing where the working breaks down."""
        namespace = KNOWN | dict(names)
        try:
            exec(self.code, namespace)
            value = float(namespace[name])
        except (ArithmeticError, ValueError, TypeError, LookupError):
            return None
        return value if math.isfinite(value) else None


def after(code: CodeType, names: Mapping[str, Any]) -> dict[str, Any]:
    """Return the names after a working, as it stands."""
    namespace = KNOWN | dict(names)
    exec(code, namespace)
    return namespace


def shortened(working: str) -> list[Shortened]:
    """Return the working once for each of its steps, without that step.

    >>> [one.step for one in shortened("energy = capacitance * 1e-6 * voltage**2 / 2")]
    ['/ 2', '* voltage ** 2', 'capacitance * 1e-06 *', '** 2']
    """
    module = ast.parse(working.strip())
    rows: dict[str, list[ast.Assign]] = {}
    for statement in ast.walk(module):
        if isinstance(statement, ast.Assign):
            rows.setdefault(_row(statement), []).append(statement)
    found = []
    for row in rows.values():
        for changes in zip(*(list(_steps(statement.value)) for statement in row), strict=True):
            whole = module
            for _, old, new in changes:
                whole = _replaced(whole, old, new)
            whole = ast.fix_missing_locations(whole)
            found.append(Shortened(changes[0][0], compile(whole, "<working>", "exec")))
    return found


def _row(statement: ast.Assign) -> str:
    """Return what lines that say the same of one reading after another have in common; else, the line's own place."""
    if not ast.unparse(statement.targets[0])[-1].isdigit():
        return str(statement.lineno)
    return re.sub(r"\d+(\.\d+)?", "#", ast.unparse(statement))


def _replaced(node: Any, old: ast.AST, new: ast.AST) -> Any:
    """Return a tree with another expression in one place; the tree itself stays as it is."""
    if node is old:
        return new
    if isinstance(node, list):
        return [_replaced(one, old, new) for one in node]
    if not isinstance(node, ast.AST) or not any(one is old for one in ast.walk(node)):
        return node
    return type(node)(**{name: _replaced(value, old, new) for name, value in ast.iter_fields(node)})


def _steps(expression: ast.AST) -> Iterator[tuple[str, ast.AST, ast.AST]]:
    """Yield each step, the operation it stands in, and what is left without it."""
    readings = {id(node) for many in _over_readings(expression) for node in ast.walk(many)}
    for node in ast.walk(expression):
        if id(node) in readings:
            continue
        if isinstance(node, ast.BinOp):
            for step, rest in _sides(node):
                yield step, node, rest
        elif (
            isinstance(node, ast.Call)
            and isinstance(node.func, ast.Name)
            and node.func.id in FUNCTIONS
            and len(node.args) == 1
        ):
            yield f"{node.func.id}()", node, node.args[0]


def _sides(node: ast.BinOp) -> Iterator[tuple[str, ast.AST]]:
    """Yield what may be left out of one operation, and what then stands there."""
    sign = {ast.Add: "+", ast.Sub: "-", ast.Mult: "*", ast.Div: "/", ast.Pow: "**"}.get(type(node.op))
    if sign is None or (sign in "*/" and _is_power_of_ten(node.right)):
        return
    yield f"{sign} {ast.unparse(node.right)}", node.left
    if sign in "+*" and not _is_power_of_ten(node.left):
        yield f"{ast.unparse(node.left)} {sign}", node.right


def _over_readings(expression: ast.AST) -> Iterator[ast.AST]:
    """Yield the sums and products that take one reading after another."""
    for node in ast.walk(expression):
        for kind, many in ((ast.Add, MANY), (ast.Mult, math.inf)):
            items = list(_items(node, kind))
            numbered = sum(item.id[-1].isdigit() for item in items if isinstance(item, ast.Name))
            if len(items) >= many or numbered > 1:
                yield node


def _items(node: ast.AST, kind: type) -> Iterator[ast.AST]:
    if isinstance(node, ast.BinOp) and isinstance(node.op, kind):
        yield from _items(node.left, kind)
        yield from _items(node.right, kind)
    else:
        yield node


def _is_power_of_ten(node: ast.AST) -> bool:
    value = node.value if isinstance(node, ast.Constant) else None
    return isinstance(value, (int, float)) and value > 0 and value != 1 and math.log10(value).is_integer()
