"""An answer cell and the box above it: what is typed becomes the cell's text, and a cell's text what a box shows.

A cell may hold a learner's own working. A box cannot show that, and leaves it alone.
"""

import ast
import re

from graders.questions import parse_answer
from graders.questions.parts import TEXT_STUB, Acts, Choice, Number, Part, Worded, Written
from workbook.server.folder import is_open


def source(part: Part, typed: dict) -> tuple[str, dict[str, str]]:
    """Return the answer cell's text for what was typed or chosen, and what to say of a field that cannot be read.

    ``typed`` holds a text for each field; a list of words for several and for an order. A field that is empty or
    cannot be read stays as it was handed out.
    """
    if isinstance(part, Written):
        return str(typed.get(part.name, "")).strip() or TEXT_STUB, {}
    if isinstance(part, Worded):
        words = typed.get(part.name) or None
        return (f"{part.name} = {words!r}" if words and part.takes_words(words) else f"{part.stub()}\n"), {}
    if isinstance(part, Acts):
        acts = typed.get(part.name) or None
        return (f"{part.name} = {acts!r}" if acts and part.takes_acts(acts) else f"{part.stub()}\n"), {}
    lines, said = part.stub().split("\n"), {}
    for index, name in enumerate(part.answer_names):
        text = str(typed.get(name, ""))
        if text.strip():
            try:
                lines[index] = lines[index].replace("...", parse_answer.as_python(text, part.answer_units[name]), 1)
            except parse_answer.Unclear as why:
                said[name] = str(why)
    return "\n".join(lines) + "\n", said


def held(part: Part, source: str) -> dict | None:
    """Return what a box shows of an answer cell, a value for each field, or None where the cell holds more than that.

    >>> from graders import sheets
    >>> bead = sheets.find("profile", "bead-lag")
    >>> held(bead.part("lag"), "lag = 60/90   # K"), held(bead.part("lag"), "lag = ramp * time_constant")
    ({'lag': '60/90'}, None)
    """
    if isinstance(part, Written):
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
    fits = part.takes_acts if isinstance(part, Acts) else part.takes_words
    return words if fits(words) else None


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
    if not isinstance(part, Number):
        return ""
    if re.fullmatch(r"([\'\"‘’“”]).*\1", answer):
        return "A number stands without quotes."
    if parse_answer.A_FRACTION.search(answer):
        return "Python knows no fraction signs."
    return "A number is written without spaces between thousands." if parse_answer.THOUSANDS.search(answer) else ""


def _form(part: Part, code: str) -> str:
    """Return the answer that a cell seems to mean, as it should stand there; nothing where that cannot be seen."""
    answer = code.partition("=")[2] if "=" in code else code
    answer = answer.strip().removeprefix(part.name).strip()
    if isinstance(part, Number):
        numbers = re.findall(r"(?<!\w)-?\d[\d.,  ’']*(?: ?[¼-¾⅐-⅞])?|[¼-¾⅐-⅞]", answer)
        try:
            return parse_answer.as_python(numbers[0], part.unit) if len(numbers) == 1 else ""
        except parse_answer.Unclear:
            return ""
    if isinstance(part, Choice):
        words = [word for word in part.options if word == answer.strip("'\"‘’“” ").lower()]
        return repr(words[0]) if words else "'one of the words'"
    return "['first word', 'second word']" if isinstance(part, Worded) else ""
