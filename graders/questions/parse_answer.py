"""Read an answer as people type it: a number or a sum, with or without a unit, decimal point or comma.

Nothing typed is ever run: a sum is read as a tree in which only arithmetic is known. Units are pint's, beside the
spellings the workbook prints.
"""

import ast
import math
import operator
import re
import unicodedata
from collections.abc import Callable
from functools import cache
from typing import TYPE_CHECKING, Any

from workbook import units

if TYPE_CHECKING:
    import pint


class Unclear(ValueError):
    """An answer that could not be read; its text is one plain line saying why."""


NO_NUMBER = "That gives no finite number."
FUNCTIONS: dict[str, Callable[[float], float]] = {
    name: getattr(math, name) for name in ("sqrt", "exp", "log", "log10", "sin", "cos", "tan", "atan")
}
CONSTANTS = {"pi": math.pi}


def _power(base: float, exponent: float) -> float:
    """Return a power, or raise Unclear where it is no real number: a root of something below zero."""
    value = base**exponent
    if isinstance(value, complex):
        raise Unclear(NO_NUMBER)
    return float(value)


OPERATIONS: dict[type[ast.AST], Callable[..., float]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Pow: _power,
    ast.USub: operator.neg,
    ast.UAdd: operator.pos,
}
PAPER = {"−": "-", "–": "-", "×": "*", "·": "*", "÷": "/", "^": "**", "π": "pi"}
ALIKE = str.maketrans(
    {"\u2126": "Ω", "\u00b5": "µ", "\u03bc": "µ", "\u212a": "K", "\u00a0": " ", "\u2009": " ", "\u202f": " "}
)
"""Signs that look alike and have two codes, and the narrow spaces of print."""

QUOTES = "'\"`’‘“”„«»"
NAMED = re.compile(r"[^\W\d]\w*\s*=\s*")
"""What an answer cell has before its number, and some type into a box too."""
THOUSANDS = re.compile(r"(?<![\d.,])\d{1,3}(?:[ '’]\d{3})+(?![\d'’])")
A_FRACTION = re.compile(r"(?:(\d+) ?)?([¼-¾⅐-⅞])")

SUM = re.compile(
    rf"(?:\d+\.?\d*(?:[eE][+-]?\d+)?|\.\d+(?:[eE][+-]?\d+)?|(?:{'|'.join([*FUNCTIONS, *CONSTANTS])})\b"
    rf"|[-+*/()\s{''.join(re.escape(sign) for sign in PAPER)}])+"
)
OHM_CODE = re.compile(r"(\d+(?:\.\d+)?)([RkKM])(\d*)")
"""A resistance as parts and circuit diagrams carry it (IEC 60062): 680R, 4k7, 0R68, and 4.7k as said at the bench."""

OURS = ("FIT = 1e-9 / hour = _ = fit", "sq = [] = _ = square", "piece = [] = _ = pieces = pcs")
"""Units of the workbook that the library does not know."""

PERHAPS_THOUSANDS = re.compile(r"(?<![\d.,])([1-9]\d{0,2}),(\d{3})(?![\d.,])")
"""Read with a decimal comma, and elsewhere a thousand."""

LONGEST = 200


def number(text: str, unit: str) -> float:
    """Return what was typed as a number in the unit asked for, or raise Unclear.

    >>> number("680 mohm", "Ω"), number("0,68 Ω", "mΩ"), number("60/90", "K/s")
    (0.68, 680.0, 0.6666666666666666)
    """
    written, typed_unit = _split(_plain(text, unit))
    value = _sum(written)
    return _in_unit(value, typed_unit, unit) if typed_unit else value


def as_python(text: str, unit: str) -> str:
    """Return what was typed as Python writes it in the unit asked for, or raise Unclear. A sum stays a sum.

    >>> as_python("0,68 Ω", "mΩ"), as_python("60/90", "K/s"), as_python("37 600 000", "J"), as_python("1½", "1")
    ('680.0', '60/90', '37600000', '(1+1/2)')
    """
    value = number(text, unit)
    written, typed_unit = _split(_plain(text, unit))
    if typed_unit in ("", unit, unit.removesuffix("s")):
        return _as_operators(written)
    return repr(float(f"{value:.12g}"))


def _plain(text: str, unit: str) -> str:
    """Return what was typed without what people put around and into a number, or raise Unclear."""
    text = text.translate(ALIKE).strip().strip(QUOTES).strip()
    text = NAMED.sub("", text, count=1) if NAMED.match(text) else text
    if not text:
        raise Unclear("Nothing is typed yet.")
    if len(text) > LONGEST:
        raise Unclear("That is too long for one number.")
    text = THOUSANDS.sub(lambda found: re.sub(r"\D", "", found.group()), text)
    text = A_FRACTION.sub(_fraction, _with_point(text))
    return _spelled_out(text) if unit.endswith("Ω") else text


def comma_words(text: str) -> str:
    """Say how a comma is read where somebody may have meant thousands; nothing where nobody can.

    >>> comma_words("1,000 J"), comma_words("0,680"), comma_words("1,5")
    ('the comma is a decimal comma; for thousands type 1000', '', '')
    """
    found = PERHAPS_THOUSANDS.search(text)
    return f"the comma is a decimal comma; for thousands type {found[1]}{found[2]}" if found else ""


def _spelled_out(text: str) -> str:
    """Return a resistance in code as number and unit.

    >>> _spelled_out("4k7"), _spelled_out("0R68"), _spelled_out("1.5M"), _spelled_out("4.7k7")
    ('4.7 kΩ', '0.68 Ω', '1.5 MΩ', '4.7k7')
    """
    found = OHM_CODE.fullmatch(text)
    if not found or ("." in found[1] and found[3]):
        return text
    number = f"{found[1]}.{found[3]}" if found[3] else found[1]
    return f"{number} {found[2].replace('R', '').replace('K', 'k')}Ω"


def _fraction(found: re.Match[str]) -> str:
    """Return a fraction sign as a sum, with the whole number before it."""
    whole, sign = found.groups()
    over = unicodedata.normalize("NFKC", sign).replace("\u2044", "/")
    return f"({whole}+{over})" if whole else f"({over})"


def _with_point(text: str) -> str:
    """Read a comma between digits as the decimal sign; both signs in one number could mean either."""
    for run in re.findall(r"\d[\d.,]*", text):
        if "," in run and ("." in run or run.count(",") > 1):
            raise Unclear(f"{run} can be read in two ways. Type it with nothing between the thousands.")
    return re.sub(r"(?<=\d),(?=\d)", ".", text)


def _split(text: str) -> tuple[str, str]:
    """Split what was typed into the sum and the unit after it, which may begin with "per": ``5 1/K``, ``5 /K``."""
    per = re.fullmatch(r"(.*[\d)])\s+1?/\s*([^\W\d].*)", text)
    if per:
        return per.group(1), f"1/{per.group(2)}"
    found = SUM.match(text)
    if not found or not re.search(r"\d|pi|π", found.group()):
        inside = not re.search(r"[*/^×·÷+]", text) and re.search(
            r"(?<![^\s~≈<>=±])-?\d[\d.]*(?: ?[^\W\d][^\s,;.!?]*)?(?=[\s,;.!?]|$)", text
        )
        only = f"Type only the number, with its unit if you like: {inside.group()}" if inside else ""
        raise Unclear(only or "An answer starts with a number, such as 0.68 or 60/90. Names cannot be used here.")
    rest = text[found.end() :].strip()
    if re.search(r"(?<!\S)\d", rest):
        raise Unclear("Type one number only, with its unit if you like.")
    return found.group().strip(), rest


def _as_operators(written: str) -> str:
    for sign, python in PAPER.items():
        written = written.replace(sign, python)
    return written


def _sum(written: str) -> float:
    try:
        value = _value(ast.parse(_as_operators(written), mode="eval").body)
    except (SyntaxError, ValueError, MemoryError, RecursionError) as error:
        if isinstance(error, Unclear):
            raise
        if apart := re.search(r"(\d[\d.]*) +(\d[\d./]*)", written):
            first, second = apart.groups()
            one = "" if "/" in second else f"{first}{second}, or "
            raise Unclear(f"{apart.group()} is two numbers. Write {one}{first} + {second}.") from None
        raise Unclear("The sum cannot be read. Look at its brackets and signs.") from None
    except ZeroDivisionError:
        raise Unclear("Something is divided by zero.") from None
    except OverflowError:
        raise Unclear("The number becomes too large.") from None
    if not math.isfinite(value):
        raise Unclear(NO_NUMBER)
    return value


def _value(node: ast.AST) -> float:
    match node:
        case ast.Constant(value=(int() | float()) as written) if not isinstance(written, bool):
            return float(written)
        case ast.UnaryOp(op=op, operand=inner) if type(op) in OPERATIONS:
            return OPERATIONS[type(op)](_value(inner))
        case ast.BinOp(left=left, op=op, right=right) if type(op) in OPERATIONS:
            return OPERATIONS[type(op)](_value(left), _value(right))
        case ast.Name(id=name) if name in CONSTANTS:
            return CONSTANTS[name]
        case ast.Call(func=ast.Name(id=name), args=[inner], keywords=[]) if name in FUNCTIONS:
            return FUNCTIONS[name](_value(inner))
    raise Unclear("Only numbers, + - * / **, brackets and functions such as sqrt( ) can be used.")


def _in_unit(value: float, typed: str, unit: str) -> float:
    """Turn a value in the unit typed into the unit asked for, or raise Unclear."""
    if typed in (unit, unit.removesuffix("s")):  # one cycle, many cycles
        return value
    if typed in units.siblings(unit):
        same: float = units.from_si(units.to_si(value, typed), unit)
        return same
    if unit == "K" and typed in ("°C", "degC", "C"):
        return value  # a difference of temperatures is as large in °C as in K
    asked = "as a plain number" if unit == "1" else f"in {unit}"
    registry = _registry()
    try:
        if unit == "°C":
            return float(registry.Quantity(value, _library_spelling(typed)).to("degC").magnitude)
        return float((value * registry.Unit(_library_spelling(typed))).to(_library_spelling(unit)).magnitude)
    except Exception:  # the library raises many kinds of error on what is no unit
        case = next((one for one in (unit, *units.siblings(unit)) if one.lower() == typed.lower()), "")
        meant = f" Did you mean {case}? Large and small letters are different units." if case else ""
        raise Unclear(f"The unit {typed} does not fit: the answer is asked for {asked}.{meant}") from None


@cache
def _registry() -> "pint.UnitRegistry[Any]":
    import pint

    registry: pint.UnitRegistry[Any] = pint.UnitRegistry()
    for definition in OURS:
        registry.define(definition)
    return registry


def _library_spelling(unit: str) -> str:
    """Return a unit as the library reads it: in the trade, W/mK has both m and K below the stroke.

    >>> _library_spelling("W/m²K"), _library_spelling("kOhm")
    ('W/(m**2*K)', 'kohm')
    """
    if unit in ("1", "%"):
        return {"1": "dimensionless", "%": "percent"}[unit]
    text = re.sub(r"[Oo]hms?\b", "ohm", unit.removesuffix(" of air"))
    for sign, word in {"°": "deg", "·": "*", "²": "**2", "³": "**3", "^": "**"}.items():
        text = text.replace(sign, word)
    above, stroke, below = text.partition("/")
    if not stroke:
        return text
    below = re.sub(r"(?<=[\dgm])(?=K\b)", "*", below.strip("()").replace("/", "*"))
    return f"{above or 1}/({below})"
