"""What the learner's kernel says beside the points of a marking cell: of how many, and why."""

import ast

from graders import stock
from graders.desk import render
from graders.questions.verdicts import NOT_ANSWERED

_CALL = "stock.points"


def line(source: str, namespace: dict) -> str:
    """Return a line about the part that a marking cell's text is about, or nothing where it is no marking cell.

    >>> line("from graders import stock\\nstock.points('profile', 'bead-lag', 'lag', globals())", {"lag": ...})
    '0 of 1 point: no answer yet.'
    """
    call = _call(source)
    if call is None:
        return ""
    plain = {word.arg: ast.literal_eval(word.value) for word in call.keywords}
    try:
        found = stock.verdict(*map(ast.literal_eval, call.args[:3]), namespace, **plain)
    except KeyError:  # an instructor's own exercise, whose sheet the last cell runs
        return "The last cell of this page checks this exercise."
    remark = "" if found.points == found.out_of or found.remark == NOT_ANSWERED else f" {found.remark}"
    return f"{render.points(found)}: {render.in_short(found.verdict)}.{remark}"


def _call(source: str) -> ast.Call | None:
    """Return the one call of a marking cell."""
    try:
        last = ast.parse(source).body[-1]
    except (SyntaxError, IndexError):
        return None
    is_call = isinstance(last, ast.Expr) and isinstance(last.value, ast.Call) and len(last.value.args) == 4
    return last.value if is_call and ast.unparse(last.value.func) == _CALL else None
