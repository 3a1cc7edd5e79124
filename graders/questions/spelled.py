"""A working in plain arithmetic: one line a step, with the numbers and units in it, for whoever never programmed."""

import ast
import re
from collections.abc import Mapping, Sequence
from functools import cache
from types import CodeType
from typing import Any

from graders.questions import left_out
from workbook import units

SIGNS = {ast.Add: "+", ast.Sub: "−", ast.Mult: "×", ast.Div: "/"}
ROOMS = {ast.Add: 1, ast.Sub: 1, ast.Mult: 2, ast.Div: 2, ast.Pow: 4}
MINUS = 3
RAISED = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")
CALLS = {"sqrt": "√", "log": "ln", "log10": "log", "int": "whole part of "}
OF_SEVERAL = {"max": "the largest of", "min": "the smallest of"}
LONGEST_LINE = 200
"""A step of more letters is told by its result alone: nobody follows it in one line."""


OF_PYTHON = "Python counts from 0."


class Untold(ValueError):
    """A step that is no plain arithmetic; its result is told alone."""


def steps(working: str, names: Mapping[str, Any], unit_of: Mapping[str, str]) -> list[str]:
    """Return the steps of a working as plain arithmetic, after what its own remarks say.

    Parameters
    ----------
    working : str
        As the sheet has it.
    names : mapping
        What the names are worth before it: givens and earlier answers as printed, lists for records.
    unit_of : mapping
        The unit of each given and answer that has one.

    Examples
    --------
    >>> steps("energy = capacitance * 1e-6 * voltage**2 / 2", {"capacitance": 470, "voltage": 400},
    ...       {"capacitance": "µF", "voltage": "V", "energy": "J"})
    ['energy = 470 µF × 10⁻⁶ × (400 V)² / 2 = 37.6 J']
    """
    names = left_out.KNOWN | dict(names)
    said = [line[1:].strip() for line in working.strip().splitlines() if line.startswith("#")]
    told = [line.replace(OF_PYTHON, "").strip() for line in said]
    for statement in _parsed(working).body:
        told += _told(statement, names, unit_of)
    kept = {line.split(" = ")[0]: place for place, line in enumerate(told)}
    return [line for place, line in enumerate(told) if line.count(" = ") > 1 or kept[line.split(" = ")[0]] == place]


@cache
def _parsed(working: str) -> ast.Module:
    """Return a working as parsed; kept, for a class has one working with many numbers."""
    return ast.parse(working.strip())


@cache
def _code(node: ast.stmt | ast.expr) -> CodeType:
    """Return a statement to be run, or an expression to be worked out."""
    if isinstance(node, ast.expr):
        return compile(ast.Expression(node), "<working>", "eval")
    return compile(ast.Module([node], []), "<working>", "exec")


def _told(statement: ast.stmt, names: dict[str, Any], unit_of: Mapping[str, str]) -> list[str]:
    """Run a statement, and return what it says; of a choice, what the branch says that these numbers take."""
    if isinstance(statement, ast.If):
        holds = eval(_code(statement.test), dict(names))
        branch = statement.body if holds else statement.orelse
        return [line for one in branch for line in _told(one, names, unit_of)]
    before = dict(names)
    exec(_code(statement), names)
    if not isinstance(statement, ast.Assign):
        return []
    target = statement.targets[0]
    if not isinstance(target, ast.Name) or not isinstance(names[target.id], (int, float)):
        return []
    result = f"{number(names[target.id])}{units.shown(unit_of.get(target.id, '1'))}"
    try:
        arithmetic = _spell(statement.value, before, unit_of)[0]
    except Untold:
        arithmetic = ""
    middle = f"{arithmetic} = " if arithmetic not in ("", result) and len(arithmetic) <= LONGEST_LINE else ""
    return [f"{target.id.removesuffix('_c').replace('_', ' ')} = {middle}{result}"]


def number(value: float) -> str:
    """Return a number as a hand would write it, to five figures.

    >>> number(37.6), number(0.00012345678), number(120000), number(-2.5)
    ('37.6', '1.2346 × 10⁻⁴', '120 000', '−2.5')
    """
    sign, size = ("−", -value) if value < 0 else ("", value)
    if size and not 1e-3 <= size < 1e7:
        digits, power = f"{size:.4e}".split("e")
        digits = digits.rstrip("0").rstrip(".")
        ten = f"10{str(int(power)).translate(RAISED)}"
        return f"{sign}{ten}" if digits == "1" else f"{sign}{digits} × {ten}"
    places = f"{size:.5g}" if size < 1e5 else f"{size:.0f}"
    return sign + (f"{int(places):,}".replace(",", " ") if places.isdigit() and size >= 1e4 else places)


def _spell(node: ast.AST, names: Mapping[str, Any], unit_of: Mapping[str, str]) -> tuple[str, int]:
    """Return an expression with its numbers in it, and how firmly it holds together (0 loosest)."""
    if isinstance(node, ast.Constant) and isinstance(node.value, (int, float)):
        return number(node.value), 5 if node.value >= 0 else MINUS
    if isinstance(node, (ast.Name, ast.Subscript)):
        return _worth(node, names, unit_of)
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
        return f"−{_inside(node.operand, MINUS + 1, names, unit_of)}", MINUS
    if isinstance(node, ast.BinOp) and type(node.op) in ROOMS:
        return _spell_operation(node, names, unit_of)
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
        return _spell_call(node.func.id, node.args, names, unit_of)
    raise Untold


def _worth(node: ast.Name | ast.Subscript, names: Mapping[str, Any], unit_of: Mapping[str, str]) -> tuple[str, int]:
    value = eval(_code(node), dict(names))
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise Untold
    name = node.id if isinstance(node, ast.Name) else getattr(node.value, "id", "")
    if not name:
        raise Untold
    unit = units.shown(unit_of.get(name, "1"))
    return f"{number(value)}{unit}", MINUS if value < 0 or unit else 5


def _spell_operation(node: ast.BinOp, names: Mapping[str, Any], unit_of: Mapping[str, str]) -> tuple[str, int]:
    room = ROOMS[type(node.op)]
    if isinstance(node.op, ast.Pow):
        base = _inside(node.left, 5, names, unit_of)
        power, _ = _spell(node.right, names, unit_of)
        short = re.fullmatch(r"−?\d+", power)
        return base + (power.replace("−", "-").translate(RAISED) if short else f"^({power})"), room
    tighter = isinstance(node.op, (ast.Sub, ast.Div))
    left = _inside(node.left, room, names, unit_of)
    right = _inside(node.right, room + tighter, names, unit_of)
    return f"{left} {SIGNS[type(node.op)]} {right}", room


def _spell_call(
    name: str, given: Sequence[ast.expr], names: Mapping[str, Any], unit_of: Mapping[str, str]
) -> tuple[str, int]:
    arguments = [_spell(argument, names, unit_of)[0] for argument in given]
    if name in OF_SEVERAL and len(arguments) > 1:
        return f"({OF_SEVERAL[name]} {' and '.join(arguments)})", 5
    if len(arguments) != 1:
        raise Untold
    return (f"|{arguments[0]}|" if name == "abs" else f"{CALLS.get(name, name)}({arguments[0]})"), 5


def _inside(node: ast.AST, room: int, names: Mapping[str, Any], unit_of: Mapping[str, str]) -> str:
    """Return an expression as it stands inside another one: in brackets where it holds together more loosely."""
    told, own = _spell(node, names, unit_of)
    bracketed = own < room and not (own == MINUS and room <= 2 and not told.startswith("−"))
    return f"({told})" if bracketed else told
