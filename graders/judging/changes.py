"""The families of single changes: how one place of a working may go wrong, and what to call it.

A change puts one node of a working's tree in the place of another. Its words describe what the wrong working does
(never what the right one does), with ``{name}`` where a given or an earlier answer is named.
"""

import ast
import copy
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple, TypeGuard

if TYPE_CHECKING:

    class _Numeral(ast.Constant):
        """A constant that is a number."""

        value: int | float


FAMILIES = {
    "operator": "one step takes a sum for a difference, or a product for a quotient",
    "other way round": "a quotient or a difference is taken the other way round",
    "left out": "one step or one number of it is left out",
    "another name": "one value stands in the place of another",
    "another number": "one number of the text stands in the place of another",
    "factor": "one value is halved, doubled, squared, or off by a factor of ten",
    "kelvin": "°C and kelvin, or °C and °F, are mixed up",
    "time": "seconds, minutes, hours, days or years are mixed up",
    "power": "one power goes wrong",
    "function": "one function stands in the place of another",
    "constant": "one of the numbers of the text is changed",
    "squares": "a plain sum and the root of a sum of squares are mixed up",
    "mean": "a plain mean of the readings is taken",
    "row": "another row or column of the table, or another end of the readings, is taken",
    "case": "the other case is taken",
    "one off": "something is counted once too often or once too seldom",
    "in proportion": "something is taken in proportion that is not",
    "per cent": "a share is counted from the wrong value, or not taken at all",
    "side by side": "in series and side by side are mixed up",
    "round": "a round section and a square one are mixed up",
    "whole": "the last step turns the number round, or leaves a factor",
    "stopped": "one step is still to come",
    "as it stands": "a number of the question is given as it stands",
    "rounded": "a value is rounded on the way",
    "earlier slip": "an earlier answer goes on with a slip in it",
    "two numbers": "only two of the numbers are put together",
    "a step too many": "the number asked for is taken one step too far",
    "slip and unit": "one step goes wrong, and a unit besides",
}
"""Each family with the words that fit all of it: said where several of its changes come out alike."""


class Change(NamedTuple):
    """One change of one statement: the node ``old`` becomes ``new``, and ``what`` it then does.

    ``rank`` is how far-fetched it is: 0 is what people do, 1 is what happens. ``wide`` are words that also fit changes
    of other families with the same outcome.
    """

    family: str
    old: ast.AST
    new: ast.AST
    what: str
    wide: str = ""
    rank: int = 0


TWO = "a factor of two is too much or missing on the way"
TEN = "a factor of {} (a unit, or per cent) is too much or missing on the way"
TURNED = "one step is multiplied for divided, or divided the other way round"
KELVIN = "273 is added to a difference of temperatures"
SIGN = "one step takes a sum for a difference, or a difference the other way round"


@dataclass(frozen=True)
class Vocabulary:
    """What may stand for what in one part: names by kind of unit, counts, the text's tables, and its numbers by unit.

    ``known`` are the names a learner reads (givens and earlier answers), ``units`` those of them that hold one number;
    ``lists`` are lists of readings, each with the others of its unit and length.
    """

    peers: dict[str, tuple[str, ...]]
    known: frozenset[str]
    counts: frozenset[str]
    units: dict[str, str]
    tables: dict[str, tuple[ast.expr, ...]]
    text: tuple[tuple[float, str], ...] = ()
    lists: dict[str, tuple[str, ...]] = field(default_factory=dict)
    _of_names: dict[str, tuple[Change, ...]] = field(default_factory=dict)

    def of_name(self, name: str) -> tuple[Change, ...]:
        """Return what may happen to a name, wherever it is read."""
        if name not in self._of_names:
            self._of_names[name] = tuple(_of_name(_name(name), self))
        return self._of_names[name]


LOAD = ast.Load()
SIGNS: dict[type[ast.operator], ast.operator] = {
    sign: sign() for sign in (ast.Add, ast.Sub, ast.Mult, ast.Div, ast.Pow)
}
"""Leaves of a tree that say nothing of their place: one of each does for all changes."""
OTHER_POWERS: dict[float, tuple[int, ...]] = {2: (3,), 3: (2, 4), 4: (2, 3)}
"""Powers that are taken one for the other."""
OPPOSITE = {ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult}
ACTS = {ast.Add: "added to", ast.Sub: "less", ast.Mult: "multiplied by", ast.Div: "divided by"}
INSTEAD = {"log": ("log10", "log2"), "log10": ("log",), "sin": ("cos", "tan"), "cos": ("sin", "tan")}
INSTEAD |= {"tan": ("sin", "cos", "atan"), "max": ("min", "sum"), "min": ("max", "sum"), "exp": ("log",)}
INSTEAD |= {"tanh": ("tan",), "atan": ("tan",), "sum": ("max", "min"), "log2": ("log", "log10")}
CALLED = {
    "log": "ln (`log`)",
    "log10": "log10",
    "log2": "log2",
    "max": "the larger",
    "min": "the smaller",
    "sum": "the sum",
}
LEFT_OUT = ("sqrt", "exp", "log", "log10", "abs", "tanh", "erf", "sin", "cos", "atan", "int")
COVERAGE = {1.282: (1.645,), 1.645: (1.282, 1.96), 1.96: (1.645, 2, 2.576), 2.326: (2.576,), 2.576: (2.326, 1.96)}
"""Normal quantiles that are taken one for the other: one-sided for two-sided, one confidence for the next."""


TIMES: dict[float, tuple[int, ...]] = {
    60: (3600, 1, 24),
    3600: (60, 24),
    24: (8, 60, 12),
    8: (24,),
    7: (5,),
    5: (7,),
    12: (24, 52),
    52: (12, 365),
}
TIMES |= {365: (360, 250, 52, 12, 7), 8760: (8000, 2000), 86400: (3600,)}
"""Numbers of a clock or a calendar, each with those that are taken for it: a day of 8 hours, a week of 5 days."""


def in_words(node: ast.AST, words: Vocabulary) -> str:
    """Return a short name for a piece of a working: a given by its own name, anything longer by what it is.

    >>> words = Vocabulary({}, frozenset({"a"}), frozenset(), {}, {})
    >>> [in_words(ast.parse(text, mode="eval").body, words) for text in ("a / 2", "a * (b + c) ** d", "sqrt(a)")]
    ['{a} over 2', 'the product', 'the root of {a}']
    """
    if isinstance(node, ast.Name):
        if node.id in words.known:
            return f"{{{node.id}}}"
        return f"`{node.id}`" if len(node.id) < 3 or node.id == "pi" else f"the {node.id.replace('_', ' ')}"
    if isinstance(node, ast.Constant) and isinstance(node.value, (int, float)):
        return f"{node.value:g}"
    if isinstance(node, ast.UnaryOp):
        return in_words(node.operand, words)
    if isinstance(node, ast.BinOp):
        return _said_of_two(node, words)
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
        calls = {"sqrt": "root", "log": "logarithm", "log10": "logarithm", "exp": "exponential", "sum": "sum"}
        kind = f"the {calls.get(node.func.id, 'value')}"
        inner = in_words(node.args[0], words) if len(node.args) == 1 and node.func.id in calls else ""
        return f"{kind} of {inner}" if "{" in inner and " " not in inner else kind
    if isinstance(node, ast.Subscript):
        return f"a reading of {in_words(node.value, words)}" if isinstance(node.value, ast.Name) else "the reading"
    return "one value"


def _said_of_two(node: ast.BinOp, words: Vocabulary) -> str:
    """Name a step by its two sides where both are short, and by what kind of step it is elsewhere."""
    kinds = {ast.Add: "sum", ast.Sub: "difference", ast.Mult: "product", ast.Div: "quotient", ast.Pow: "power"}
    if isinstance(node.op, (ast.Mult, ast.Div)) and _is_power_of_ten(node.right):
        return in_words(node.left, words)
    if isinstance(node.op, ast.Pow) and _is_number(node.right) and node.right.value in (2, 3):
        inner = in_words(node.left, words)
        if " " not in inner:
            return f"{inner} {'squared' if node.right.value == 2 else 'cubed'}"
    between = {ast.Add: "and", ast.Sub: "less", ast.Mult: "times", ast.Div: "over"}.get(type(node.op))
    sides = [in_words(side, words) for side in (node.left, node.right)]
    if between and not any(" " in side for side in sides):
        return f"{sides[0]} {between} {sides[1]}"
    return f"the {kinds.get(type(node.op), 'number')}"


def changes(statement: ast.AST, words: Vocabulary) -> Iterator[Change]:
    """Yield every single change of a statement, the likeliest families of each node first."""
    nodes = list(ast.walk(statement))
    exponents = {id(node.right) for node in nodes if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Pow)}
    places = {id(inner) for node in nodes if isinstance(node, ast.Subscript) for inner in ast.walk(node.slice)}
    tests = {id(inner) for node in nodes if isinstance(node, (ast.If, ast.IfExp)) for inner in ast.walk(node.test)}
    beside = dict(_beside(nodes))
    in_a_log = {id(node.args[0]) for node in nodes if isinstance(node, ast.Call) and _is_log(node) and node.args}
    for node in nodes:
        if id(node) in tests:
            continue  # whatever goes wrong in a test, the other case is taken
        if isinstance(node, ast.BinOp):
            for change in _of_arithmetic(node, words):
                turned = id(node) in in_a_log and change.wide == TURNED  # ln(a/b) = -ln(b/a)
                yield change._replace(wide=SIGN) if turned else change
            yield from _of_shape(node, words)
        elif isinstance(node, ast.Call):
            yield from _of_call(node, words)
        elif isinstance(node, ast.Name) and isinstance(node.ctx, ast.Load):
            for change in words.of_name(node.id):
                if getattr(change.new, "id", "") != beside.get(id(node)):
                    yield change._replace(old=node)
        elif _is_number(node) and node.value != 1 and id(node) not in exponents and id(node) not in places:
            yield from _of_constant(node, words)
        elif isinstance(node, ast.Subscript):
            yield from _of_place(node, words)
        elif isinstance(node, (ast.If, ast.IfExp)):
            yield Change("case", node.test, ast.UnaryOp(ast.Not(), node.test), FAMILIES["case"])


def _beside(nodes: Sequence[ast.AST]) -> Iterator[tuple[int, str]]:
    """Yield the names that are divided by, or lessened by, another, each with that one: nobody takes it twice."""
    for node in nodes:
        if isinstance(node, ast.BinOp) and isinstance(node.op, (ast.Div, ast.Sub)):
            left, right = node.left, node.right
            if isinstance(left, ast.Name) and isinstance(right, ast.Name):
                yield from ((id(left), right.id), (id(right), left.id))


def _is_log(node: ast.Call) -> bool:
    return getattr(node.func, "id", "") in ("log", "log10", "log2")


def _of_arithmetic(node: ast.BinOp, words: Vocabulary) -> Iterator[Change]:
    left, right = in_words(node.left, words), in_words(node.right, words)
    opposite = OPPOSITE.get(type(node.op))
    wide = SIGN if isinstance(node.op, (ast.Add, ast.Sub)) else TURNED
    if opposite and not (opposite is ast.Mult and _is_one(node.left)):
        what = f"{right} is taken away from {left}" if opposite is ast.Sub else f"{left} is {ACTS[opposite]} {right}"
        yield Change("operator", node, _binary(node.left, opposite, node.right), what, wide)
    if isinstance(node.op, ast.Div):
        turned = node.right if _is_one(node.left) else _binary(node.right, ast.Div, node.left)
        what = "one over it is left out" if _is_one(node.left) else f"{right} is divided by {left}"
        yield Change("other way round", node, turned, what, wide)
    if isinstance(node.op, ast.Sub):
        turned = _binary(node.right, ast.Sub, node.left)
        yield Change("other way round", node, turned, f"{left} is taken away from {right}", wide)
    if isinstance(node.op, (ast.Add, ast.Sub, ast.Mult, ast.Div, ast.Pow)):
        if isinstance(node.right, ast.Constant) and node.right.value == 273.15:
            yield Change("kelvin", node, node.left, f"{left} stays in °C")
        elif not isinstance(node.op, ast.Pow):
            yield from _left_out(node, left, right)
    if isinstance(node.op, ast.Pow):
        yield Change("power", node, node.left, f"the power of {left} is left out")
        yield Change("power", node, _binary(node.left, ast.Mult, node.right), f"{left} is multiplied by the exponent")
        minus = ast.UnaryOp(ast.USub(), node.right)
        yield Change(
            "power", node, _binary(node.left, ast.Pow, minus), "the sign of an exponent is turned round", TURNED
        )
        turned = _binary(_constant(1), ast.Div, node.right)
        what = "the inverse of an exponent is taken"
        yield Change("power", node, _binary(node.left, ast.Pow, turned), what, rank=1)
        for other in OTHER_POWERS.get(node.right.value, ()) if _is_number(node.right) else ():
            raised = _binary(node.left, ast.Pow, _constant(other))
            yield Change("power", node, raised, f"{left} is raised to the power {other}")
        if _is_number(node.right) and node.right.value > 4:  # a chain of steps, no square and no cube
            for step, how in ((-1, "less"), (1, "more")):
                raised = _binary(node.left, ast.Pow, _constant(node.right.value + step))
                yield Change("one off", node, raised, f"one step {how} is taken", FAMILIES["one off"])
        if not (isinstance(node.right, ast.Constant) and isinstance(node.right.value, int)):
            turned = _binary(node.right, ast.Pow, node.left)
            yield Change("power", node, turned, "base and exponent change places", rank=1)
            whole = _binary(node.left, ast.Pow, _call("round", node.right))
            yield Change("rounded", node, whole, "the exponent is rounded to a whole number", rank=1)
    if isinstance(node.op, ast.Sub) and "°C" in (_unit_of(node.left, words), _unit_of(node.right, words)):
        for zero in (273.15, 273):
            what = f"{zero:g} is added to a difference of temperatures"
            yield Change("kelvin", node, _binary(node, ast.Add, _constant(zero)), what, KELVIN)
    if isinstance(node.op, (ast.Add, ast.Sub)) and not _is_number(node.left) and not _is_number(node.right):
        squares = [_binary(side, ast.Pow, _constant(2)) for side in (node.left, node.right)]
        root = _call("sqrt", _binary(squares[0], ast.Add, squares[1]))
        yield Change("squares", node, root, f"{left} and {right} are added in squares", rank=1)
    if isinstance(node.op, ast.Div) and _is_number(node.right) and node.right.value == 100:
        yield Change(
            "left out", node, _binary(_constant(1), ast.Sub, node), f"{left} stands for what is left over of it"
        )
    yield from _of_per_cent(node, words)


def _of_per_cent(node: ast.BinOp, words: Vocabulary) -> Iterator[Change]:
    """Yield what a step in per cent is taken for: a difference, a share of the other value, losses that add up."""
    hundred = _constant(100)
    above = _one_is_above(node)
    if above:
        one, other = above
        told, base = in_words(one, words), in_words(other, words)
        yield Change("per cent", node, _binary(one, ast.Sub, other), f"{base} is taken from {told}, and no share of it")
        less = node.left
        if isinstance(less, ast.BinOp) and _is_one(less.right):  # elsewhere the base has a name of its own
            counted = _binary(_binary(_binary(one, ast.Sub, other), ast.Div, one), ast.Mult, hundred)
            yield Change("per cent", node, counted, f"the share is counted from {told}, not from {base}")
    below = _is_below_one(node)
    if below:
        one, other = below
        told, base = in_words(one, words), in_words(other, words)
        yield Change("per cent", node, _binary(other, ast.Sub, one), f"{told} is taken from {base}, and no share of it")
    both = _both_in_a_product(node)
    if both:
        one, other = both
        if all(_unit_of(side, words) == "%" for side in both):
            added = _binary(_binary(one, ast.Add, other), ast.Sub, hundred)
            yield Change("in proportion", node, added, "what is lost in each step is added up")
        for value, share in (both, both[::-1]):
            if _unit_of(share, words) == "%":
                divided = _binary(_binary(value, ast.Div, share), ast.Mult, hundred)
                what = f"{in_words(value, words)} is divided by the share {in_words(share, words)}"
                yield Change("operator", node, divided, what, TURNED)


def _one_is_above(node: ast.BinOp) -> tuple[ast.expr, ast.expr] | None:
    """Return a and b of ``(a / b - 1) * 100`` or ``(a - b) / b * 100``, or None where it is no such share."""
    if isinstance(node.op, ast.Mult) and _is_number(node.right) and node.right.value == 100:
        part = node.left
        if isinstance(part, ast.BinOp) and isinstance(part.op, ast.Sub) and _is_one(part.right):
            part = part.left
            if isinstance(part, ast.BinOp) and isinstance(part.op, ast.Div):
                return part.left, part.right
        elif isinstance(part, ast.BinOp) and isinstance(part.op, ast.Div):
            less = part.left
            if isinstance(less, ast.BinOp) and isinstance(less.op, ast.Sub):
                return (less.left, less.right) if ast.dump(less.right) == ast.dump(part.right) else None
    return None


def _is_below_one(node: ast.BinOp) -> tuple[ast.expr, ast.expr] | None:
    """Return a and b of ``(1 - a / b) * 100``, or None where it is no such share."""
    if isinstance(node.op, ast.Mult) and _is_number(node.right) and node.right.value == 100 and _one_less(node.left):
        share = node.left.right
        if isinstance(share, ast.BinOp) and isinstance(share.op, ast.Div):
            return share.left, share.right
    return None


def _both_in_a_product(node: ast.BinOp) -> tuple[ast.expr, ast.expr] | None:
    """Return a and b of ``a * b / 100``, or None where it is no such product."""
    if isinstance(node.op, ast.Div) and _is_number(node.right) and node.right.value == 100:
        product = node.left
        if isinstance(product, ast.BinOp) and isinstance(product.op, ast.Mult):
            return product.left, product.right
    return None


def _of_shape(node: ast.BinOp, words: Vocabulary) -> Iterator[Change]:
    """Yield what a step of a known shape is taken for: a parallel, a chance of several, a round section, a long sum."""
    if isinstance(node.op, ast.Div):
        beside = _inverses(node.right) if _is_one(node.left) else _over_their_sum(node)
        if len(beside) > 1:
            total = _sum(beside)
            yield Change("side by side", node, total, "they are added up, as if one came after the other")
            mean = _binary(total, ast.Div, _constant(len(beside)))
            yield Change("side by side", node, mean, "the mean of what lies side by side is taken")
    if isinstance(node.op, ast.Pow) and _one_less(node.left):
        added = _binary(_constant(1), ast.Sub, _binary(node.left.right, ast.Mult, node.right))
        yield Change("in proportion", node, added, "the chances are added up, or multiplied by how many there are")
    if isinstance(node.op, (ast.Mult, ast.Div)):
        square = _without_pi(node)
        if square is not None:
            yield Change("round", node, square, "a round section is taken for a square one")
    if isinstance(node.op, ast.Add):
        terms = _terms(node)
        kinds = {_unit_of(term, words) for term in terms}
        if len(kinds) == 1 and kinds != {""}:
            mean = _binary(node, ast.Div, _constant(len(terms)))
            yield Change("mean", node, mean, "a mean is taken where the sum is asked for")
        if len(terms) > 2:
            root = _call("sqrt", _sum([_binary(term, ast.Pow, _constant(2)) for term in terms]))
            yield Change("squares", node, root, "all are added in squares", rank=1)
        if len(terms) == 2 and all(_unit_of(term, words) in ("Ω", "mΩ", "kΩ", "MΩ", "K/W") for term in terms):
            left, right = terms
            parallel = _binary(_binary(left, ast.Mult, right), ast.Div, node)
            what = (
                f"{in_words(left, words)} and {in_words(right, words)} are taken side by side, not one after the other"
            )
            yield Change("side by side", node, parallel, what)


def _terms(node: ast.expr) -> list[ast.expr]:
    """Return what a chain of sums adds up."""
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add):
        return _terms(node.left) + _terms(node.right)
    return [node]


def _inverses(node: ast.expr) -> list[ast.expr]:
    """Return a, b, ... of ``1/a + 1/b + ...``, or nothing where it is no such sum."""
    terms = _terms(node)
    found = [term.right for term in terms if _is_one_over(term)]
    return found if len(found) == len(terms) else []


def _is_one_over(node: ast.expr) -> TypeGuard[ast.BinOp]:
    """Whether a node is ``1 / a``."""
    return isinstance(node, ast.BinOp) and isinstance(node.op, ast.Div) and _is_one(node.left)


def _over_their_sum(node: ast.BinOp) -> list[ast.expr]:
    """Return a, b of ``a * b / (a + b)``, or nothing where it is no such quotient."""
    terms = _terms(node.right)
    if len(terms) == 2 and isinstance(node.left, ast.BinOp) and isinstance(node.left.op, ast.Mult):
        factors = {ast.dump(node.left.left), ast.dump(node.left.right)}
        return terms if {ast.dump(term) for term in terms} == factors else []
    return []


def _sum(terms: Sequence[ast.expr]) -> ast.expr:
    total = terms[0]
    for term in terms[1:]:
        total = _binary(total, ast.Add, term)
    return total


def _one_less(node: ast.AST) -> TypeGuard[ast.BinOp]:
    """Whether a node is ``1 - p``."""
    return isinstance(node, ast.BinOp) and isinstance(node.op, ast.Sub) and _is_one(node.left)


def _without_pi(node: ast.BinOp) -> ast.expr | None:
    """Return d² of ``pi * d**2 / 4`` (the square about a round section), or None where it is no such area."""
    if not (isinstance(node.op, ast.Div) and _is_number(node.right) and node.right.value == 4):
        return None
    product = node.left
    if isinstance(product, ast.BinOp) and isinstance(product.op, ast.Mult):
        if getattr(product.left, "id", "") == "pi":
            return product.right
        if getattr(product.right, "id", "") == "pi":
            return product.left
    return None


def _unit_of(node: ast.AST, words: Vocabulary) -> str:
    return words.units.get(node.id, "") if isinstance(node, ast.Name) else ""


def _left_out(node: ast.BinOp, left: str, right: str) -> Iterator[Change]:
    """Yield a step without either side; a constant factor has a rule of its own."""
    adds = isinstance(node.op, (ast.Add, ast.Sub))
    if adds or not _is_number(node.right):
        yield Change("left out", node, node.left, f"{right} is left out")
    if isinstance(node.op, ast.Div) and not _is_number(node.left):
        yield Change("left out", node, _binary(_constant(1), ast.Div, node.right), f"{left} is left out")
    elif not isinstance(node.op, ast.Div) and (adds or not _is_number(node.left)):
        yield Change("left out", node, node.right, f"{left} is left out")


def _of_call(node: ast.Call, words: Vocabulary) -> Iterator[Change]:
    if not isinstance(node.func, ast.Name) or not node.args:
        return
    name, first = node.func.id, node.args[0]
    for other in INSTEAD.get(name, ()):
        if other == "sum" and len(node.args) > 1:
            replacement = _call("sum", ast.Tuple(list(node.args), ast.Load()))
        elif name == "sum" and not isinstance(first, (ast.Name, ast.ListComp, ast.GeneratorExp)):
            continue
        else:
            replacement = _call(other, *node.args)
        what = f"{CALLED.get(other, other)} stands in place of {CALLED.get(name, name)}"
        yield Change("function", node, replacement, what, rank=int(other in ("log2", "tan", "atan") or name == "exp"))
    if name in LEFT_OUT and len(node.args) == 1:
        yield Change("left out", node, first, f"{CALLED.get(name, 'the root' if name == 'sqrt' else name)} is left out")
    if name == "sqrt":
        plain = _without_squares(first)
        if plain is not None:
            yield Change("squares", node, plain, "the values are added as they are, not in squares")
    if name == "exp":
        turned = _call("exp", ast.UnaryOp(ast.USub(), first))
        yield Change("power", node, turned, "the sign of an exponent is turned round")
        yield Change(
            "left out",
            node,
            _binary(_constant(1), ast.Sub, node),
            "the part that is gone is taken for the part that is left",
        )
        linear = _binary(_constant(1), ast.Add, first)
        yield Change("in proportion", node, linear, "the exponential is taken for a straight line")
    if name == "log" and _one_less(first):
        small = ast.UnaryOp(ast.USub(), first.right)  # ln(1 - p) is taken for -p
        yield Change(
            "in proportion", node, small, "the logarithm is left out, and the share itself stands in its place"
        )
    if name == "log" and isinstance(first, ast.BinOp) and isinstance(first.op, ast.Div):
        less = _binary(first.left, ast.Sub, first.right)
        for whole in (first.left, first.right):
            straight = _binary(less, ast.Div, whole)
            yield Change("in proportion", node, straight, "the logarithm is taken for a share of a straight line")
        lost = _call(name, _binary(first.left, ast.Div, less))
        yield Change("left out", node, lost, "what is lost on the way is taken for what is left")
    if name == "len":
        for step, how in ((ast.Sub, "seldom"), (ast.Add, "often")):
            counted = _binary(node, step, _constant(1))
            yield Change("one off", node, counted, f"the readings are counted once too {how}", FAMILIES["one off"])
    if name in ("max", "min", "sum") and len(node.args) == 1 and isinstance(first, ast.Name):
        mean = _binary(_call("sum", first), ast.Div, _call("len", first))
        yield Change("mean", node, mean, f"the mean of {in_words(first, words)} is taken")


def _of_name(node: ast.Name, words: Vocabulary) -> Iterator[Change]:
    name, told = node.id, in_words(node, words)
    for peer in words.peers.get(name, ()):
        what = f"{{{peer}}} stands in place of {told}"
        yield Change("another name", node, _name(peer), what, what)
    for peer in words.lists.get(name, ()):
        yield Change("row", node, _name(peer), f"{{{peer}}} stands in place of {told}")
    if name not in words.peers:
        return
    for number, unit in words.text:
        if unit and unit == words.units[name] and 1e-6 < number < 1e6:  # beyond are constants of nature
            what = f"{number:g} {unit} of the text stands in place of {told}"
            yield Change("another number", node, _constant(number), what)
    two = _constant(2)
    yield Change("factor", node, _binary(node, ast.Div, two), f"{told} is halved", TWO)
    yield Change("factor", node, _binary(node, ast.Mult, two), f"{told} is doubled", TWO)
    yield Change("factor", node, _binary(node, ast.Pow, two), f"{told} is squared", rank=1)
    for power in (10, 100, 1000):
        what, wide = f"{told} is off by a factor of {power}: look at its unit", TEN.format(power)
        yield Change("factor", node, _binary(node, ast.Mult, _constant(power)), what, wide, 1)
        yield Change("factor", node, _binary(node, ast.Div, _constant(power)), what, wide, 1)
    if words.units[name] == "°C":
        what = f"273.15 is added to {told} where no kelvin are asked for"
        yield Change("kelvin", node, _binary(node, ast.Add, _constant(273.15)), what)
        fahrenheit = _binary(_binary(node, ast.Mult, _constant(1.8)), ast.Add, _constant(32))
        yield Change("kelvin", node, fahrenheit, f"{told} is turned into °F", rank=1)
    if words.units[name] == "K":
        what = f"273.15 is added to {told}, which is a difference"
        yield Change("kelvin", node, _binary(node, ast.Add, _constant(273.15)), what)
    if name in words.counts:
        for step, how in ((ast.Sub, "seldom"), (ast.Add, "often")):
            counted = _binary(node, step, _constant(1))
            yield Change("one off", node, counted, f"{told} is counted once too {how}", FAMILIES["one off"])
    if words.units[name] == "%":
        rest = _binary(_constant(100), ast.Sub, node)
        yield Change("left out", node, rest, f"what is left over of {told} is taken for {told} itself")


def _of_constant(node: "_Numeral", words: Vocabulary) -> Iterator[Change]:
    value = node.value
    if value == 0:
        yield Change("constant", node, _constant(1), "1 stands in place of 0", rank=1)
        return
    told = f"{value:g}"
    for other in COVERAGE.get(value, ()):
        yield Change("constant", node, _constant(other), f"{other:g} stands in place of {told}")
    for other in TIMES.get(value, ()):
        yield Change("time", node, _constant(other), f"{other:g} stands in place of {told}")
    for other, _ in _others_of_the_text(value, words.text):
        what = f"{other:g} of the text stands in place of {told}"
        yield Change("another number", node, _constant(other), what)
    units_of = {unit for number, unit in words.text if number == value}
    for name, unit in words.units.items():
        if unit in units_of:
            yield Change("another name", node, _name(name), f"{{{name}}} stands in place of {told}")
    if value == 273.15:
        return
    if value < 1 and value != 0.5 and value not in (1e-3, 1e-6, 1e-9):
        yield Change("left out", node, _constant(1 - value), f"what is left over of {told} is taken for {told} itself")
    if _is_power_of_ten(node):
        size = round(max(value, 1 / value))
        wide = TEN.format(size)
        yield Change("factor", node, _constant(1), f"the factor {told} is left out", wide)
        yield Change("factor", node, _constant(1 / value), wide, wide)
        for power in {10, 1000} - {size}:
            for factor in (power, 1 / power):
                yield Change("factor", node, _constant(value * factor), TEN.format(power), TEN.format(power), 1)
        return
    yield Change("left out", node, _constant(1), f"{told} is left out", TWO if value in (2, 0.5) else "")
    yield Change("constant", node, _constant(2 * value), f"{told} is doubled", TWO, 1)
    if value != 2:
        yield Change("constant", node, _constant(value / 2), f"{told} is halved", TWO, 1)
    yield Change("constant", node, _constant(-value), f"{told} is negative", SIGN, 1)
    if isinstance(value, int):
        for step, how in ((-1, "less"), (1, "more")):
            if value + step != 1:
                what = f"one {how} than {told} is taken"
                yield Change("one off", node, _constant(value + step), what, FAMILIES["one off"], 1)
    for power in (10, 100):
        for factor in (power, 1 / power):
            what = f"{told} is off by a factor of {power}"
            yield Change("constant", node, _constant(value * factor), what, TEN.format(power), 1)


def _others_of_the_text(value: float, text: Sequence[tuple[float, str]]) -> Iterator[tuple[float, str]]:
    """Yield the numbers of the text that may be taken for one of them: of the same unit, or of about its size."""
    units_of = {unit for number, unit in text if number == value}
    for number, unit in text:
        alike = unit in units_of and (unit or 0.1 < number / value < 10)
        if number != value and alike:
            yield number, unit


def _of_place(node: ast.Subscript, words: Vocabulary) -> Iterator[Change]:
    if isinstance(node.slice, ast.Slice):
        return
    if isinstance(node.slice, (ast.Constant, ast.UnaryOp)):
        try:
            place = ast.literal_eval(node.slice)
        except ValueError:
            return
        if type(place) is not int:
            return
        for other in sorted({place - 2, place - 1, place + 1, place + 2, 0, -1} - {place}):
            if other >= -2:
                yield Change("row", node, _subscript(node.value, _constant(other)), FAMILIES["row"], FAMILIES["row"])
        return
    table = node.value if isinstance(node.value, ast.Dict) else None
    keys = tuple(filter(None, table.keys)) if table else words.tables.get(getattr(node.value, "id", ""), ())
    for key in keys[:16]:
        yield Change("row", node, _subscript(node.value, key), FAMILIES["row"], FAMILIES["row"])
    if not keys:
        for step in (ast.Add, ast.Sub):
            place = _binary(node.slice, step, _constant(1))
            yield Change("row", node, _subscript(node.value, place), FAMILIES["row"], FAMILIES["row"])


def _without_squares(node: ast.expr) -> ast.expr | None:
    """Return the plain sum of what is summed in squares, or None where it is no sum of squares."""
    if isinstance(node, ast.BinOp) and isinstance(node.op, (ast.Add, ast.Sub)):
        left, right = _without_squares(node.left), _without_squares(node.right)
        return _binary(left, type(node.op), right) if left is not None and right is not None else None
    if (
        isinstance(node, ast.BinOp)
        and isinstance(node.op, ast.Pow)
        and _is_number(node.right)
        and node.right.value == 2
    ):
        return node.left
    if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "sum" and len(node.args) == 1:
        rows = node.args[0]
        if isinstance(rows, (ast.GeneratorExp, ast.ListComp)):
            plain = _without_squares(rows.elt)
            return None if plain is None else _call("sum", ast.ListComp(plain, rows.generators))
    return None


WHOLE_ROWS = "whole rows are read, and nothing between two of them"


def between_rows(node: ast.AST) -> tuple[ast.expr, ast.expr] | None:
    """Return a and c of ``a + (x - b) * (c - a) / (d - b)``, which lies between two rows, or None where it is none."""
    if not (isinstance(node, ast.BinOp) and isinstance(node.op, (ast.Add, ast.Sub))):
        return None
    first, step = node.left, node.right
    names = [inner for inner in ast.walk(step) if isinstance(inner, ast.BinOp) and isinstance(inner.op, ast.Sub)]
    quotient = any(isinstance(inner, ast.BinOp) and isinstance(inner.op, ast.Div) for inner in ast.walk(step))
    for less in names if quotient and isinstance(first, (ast.Subscript, ast.Name, ast.Constant)) else ():
        for one, other in ((less.left, less.right), (less.right, less.left)):
            if ast.dump(other) == ast.dump(first) and isinstance(one, type(first)):
                return first, one
    return None


Place = tuple[ast.AST, str, int | None]
"""Where a node stands in a tree: the node above it, the field, and its place where that is a list."""


def above(tree: ast.AST) -> dict[int, Place]:
    """Return for each node of a tree, by its id, the node above it, the field it stands in, and its place in a list."""
    found: dict[int, Place] = {}
    for node in ast.walk(tree):
        for name, value in ast.iter_fields(node):
            if isinstance(value, ast.AST):
                found[id(value)] = (node, name, None)
            elif isinstance(value, list):
                found |= {id(item): (node, name, at) for at, item in enumerate(value) if isinstance(item, ast.AST)}
    return found


def replaced(old: ast.AST, new: ast.AST, over: dict[int, Place]) -> ast.AST:
    """Return a tree with one node in place of another; only what holds it is made anew, the rest is shared.

    ``over`` is what :func:`above` gives for the tree.
    """
    while id(old) in over:
        old, name, at = over[id(old)]
        changed = copy.copy(old)
        if at is None:
            setattr(changed, name, new)
        else:
            setattr(changed, name, [new if place == at else item for place, item in enumerate(getattr(old, name))])
        new = changed
    return new


def _binary(left: ast.expr, op: type[ast.operator], right: ast.expr) -> ast.BinOp:
    return ast.BinOp(left, SIGNS[op], right)


@lru_cache(maxsize=4096, typed=True)
def _constant(value: float) -> ast.Constant:
    """Return a node for a number: one does wherever it stands."""
    return ast.Constant(value)


def _name(name: str) -> ast.Name:
    return ast.Name(name, LOAD)


def _call(name: str, *arguments: ast.expr) -> ast.Call:
    return ast.Call(_name(name), list(arguments), [])


def _subscript(value: ast.expr, place: ast.expr) -> ast.Subscript:
    return ast.Subscript(value, place, LOAD)


def _is_number(node: ast.AST) -> "TypeGuard[_Numeral]":
    return isinstance(node, ast.Constant) and type(node.value) in (int, float)


def _is_one(node: ast.AST) -> bool:
    return _is_number(node) and node.value == 1


def _is_power_of_ten(node: ast.AST) -> bool:
    return _is_number(node) and node.value in (1e-9, 1e-6, 1e-3, 1e-2, 0.1, 10, 100, 1000, 1e6, 1e9)
