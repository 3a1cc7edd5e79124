"""An answer cell and the box above it: what is typed becomes the cell's text, and a cell's text what a box shows.

A cell may hold a learner's own working. A box cannot show that, and leaves it alone.
"""

import ast
import contextlib
import io
import re
import tokenize

from graders.questions import parse_answer
from graders.questions.parts.base import Part
from graders.questions.parts.written import TEXT_STUB
from workbook.server.folder import is_open


def held(part: Part, source: str) -> dict | None:
    """Return what a box shows of an answer cell, a value for each field, or None where the cell holds more than that.

    >>> from graders import sheets
    >>> bead = sheets.find("profile", "bead-lag")
    >>> held(bead.part("lag"), "lag = 60/90   # K"), held(bead.part("lag"), "lag = ramp * time_constant")
    ({'lag': '60/90'}, None)
    """
    if part.is_written:
        return {part.name: "" if source.strip() == TEXT_STUB else source}
    fields = dict.fromkeys(part.answer_names, "")
    if is_open(source):
        return fields
    try:
        lines = ast.parse(source).body
    except SyntaxError:
        return None
    for line in lines:
        if not (isinstance(line, ast.Assign) and len(line.targets) == 1 and isinstance(line.targets[0], ast.Name)):
            return None
        name = line.targets[0].id
        value = _value(part, line.value, source) if name in fields else None
        if value is None:
            return None
        fields[name] = value
    return fields


def _value(part: Part, node: ast.AST, source: str):
    """Return one field's value, or None where it is no plain answer to this part."""
    if isinstance(node, ast.Constant) and node.value is ...:
        return ""
    if part.fields:
        text = ast.get_source_segment(source, node)
        try:
            parse_answer.number(text, "1")
        except parse_answer.Unclear:
            return None
        return None if isinstance(node, ast.Tuple) else text
    try:
        words = ast.literal_eval(node)
    except ValueError:
        return None
    return words if part.takes_words(words) else None


def with_comments(part: Part, source: str, before: str) -> str:
    r"""Return a cell's new text under the comments that its learner had written into it, which no box shows.

    >>> from graders import sheets
    >>> lag = sheets.find("profile", "bead-lag").part("lag")
    >>> with_comments(lag, "lag = 2.5   # K", "# twice the ramp?\nlag = ...   # K   read off the log")
    '# twice the ramp?\n# K   read off the log\nlag = 2.5   # K'
    """
    printed = set(_comments(part.stub()))
    own = [comment for comment in _comments(before) if comment not in printed]
    return "\n".join([*own, source])


def _comments(source: str) -> list[str]:
    """Return the comments of a cell; of one that is not Python, those before what cannot be read."""
    found = []
    with contextlib.suppress(tokenize.TokenError, SyntaxError):
        for token in tokenize.generate_tokens(io.StringIO(source).readline):
            if token.type == tokenize.COMMENT:
                found.append(token.string)
    return found


def advice(part: Part, source: str) -> str:
    """Return what to write instead, where an answer cell has a form that Python or the judge cannot take.

    >>> from graders import sheets
    >>> energy = sheets.find("intake", "stored-energy").parts[0]
    >>> advice(energy, "The energy is 37.6 J").endswith("Write: energy = 37.6")
    True
    """
    code = re.sub(r"#.*", "", source).strip()
    if len(part.answer_names) != 1 or not code or "\n" in code or is_open(source):
        return ""
    words = _wrong_form(part, code)
    form = _form(part, code) if words else ""
    return f"{words} Write: {part.name} = {form}" if form else words


def _wrong_form(part: Part, code: str) -> str:
    name, equals, answer = (piece.strip() for piece in code.partition("="))
    if not equals:
        return f"The cell needs the name {part.name}, the sign = and the answer."
    if name != part.name:
        return "Large and small letters are different names to Python." if name.lower() == part.name else ""
    return part.wrong_form(answer)


def _form(part: Part, code: str) -> str:
    """Return the answer that a cell seems to mean, as it should stand there; nothing where that cannot be seen."""
    answer = code.partition("=")[2] if "=" in code else code
    answer = answer.strip().removeprefix(part.name).strip()
    return part.meant(answer)
