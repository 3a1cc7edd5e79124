"""What Python could not run, said in one plain line: where, what it is, and what to write instead.

Learners here do not program. The words name the mistakes that people make in one-line answers: a unit after the
number, a decimal comma, a bracket left open, a word without quotes, a sign that is on paper but not in Python.
"""

import ast
import difflib
import keyword
import re
import traceback
from collections.abc import Collection

from workbook import units

CELL = "<cell>"
"""The file name under which answer cells are compiled outside a kernel."""

NUMBER = r"(?<![\w.])\d+(?:[.,]\d+)?(?:[eE][+-]?\d+)?"
AFTER_A_NUMBER = re.compile(rf"({NUMBER})[ \t]*([^\W\d]|[°%Ωµ])([^\s#,;()+]*)")
SIGNS = {
    "×": "*",
    "·": "*",
    "÷": "/",
    "−": "-",
    "–": "-",
    "²": "**2",
    "³": "**3",
    "^": "**",
    "√": "sqrt( )",
    "π": "pi",
    "’": "'",
    "‘": "'",
    "“": "'",
    "”": "'",
    "„": "'",
    "≈": "=",
    "½": "+ 1/2",
    "¼": "+ 1/4",
    "¾": "+ 3/4",
}
"""Signs of paper and of word processors, with what Python writes for them."""

TYPED_UNITS = {"ohm", "ohms", "mohm", "uohm", "kohm", "sec", "deg", "degc", "kelvin", "volt", "amp", "watt", "percent"}


def explain(error: BaseException, source: str = "", names: Collection[str] = ()) -> str:
    """Return one plain line about an error in a cell.

    Parameters
    ----------
    error : BaseException
    source : str
        The cell's text.
    names : collection of str
        The names that hold a value, to suggest one that is spelled nearly the same.

    >>> explain(NameError("name 'powr' is not defined", name="powr"), "heat = powr * 2", ["power"])
    'Python does not know the name powr. Did you mean power?'
    """
    where = _line(error, source)
    said = _said(error, source, names)
    return f"Line {where}: {said}" if where > 1 or source.strip().count("\n") else said


def _said(error: BaseException, source: str, names: Collection[str]) -> str:
    if isinstance(error, SyntaxError):
        return _syntax(error, source, names)
    for kind, words in _BY_KIND:
        if isinstance(error, kind):
            return words(error, names)
    return _as_python_says(error)


def _line(error: BaseException, source: str) -> int:
    """Return the line of the cell at which it went wrong, counted from 1."""
    if isinstance(error, SyntaxError):
        return min(error.lineno or 1, source.rstrip().count("\n") + 1)
    frames = [frame for frame in traceback.extract_tb(error.__traceback__) if _is_cell(frame.filename)]
    return frames[-1].lineno or 1 if frames else 1


def _is_cell(filename: str) -> bool:
    """Whether a frame is code of a cell: ours, or a kernel's (which names cells by a number in a scratch folder)."""
    return filename == CELL or bool(re.search(r"ipykernel_\d+|<ipython-input", filename))


def _syntax(error: SyntaxError, source: str, names: Collection[str]) -> str:
    lines = source.splitlines() or [error.text or ""]
    line = lines[min(error.lineno or 1, len(lines)) - 1].replace(units.NO_BREAK, " ")  # as a page has it before a unit
    message = error.msg or ""
    ways = (_unit(line), _thousands(line), _sign(message), _bracket(message), _no_sign(line, names))
    for words in (*ways, _layout(error, message, line)):
        if words:
            return words
    return "Python cannot read this line. A usual cause is a sign too many or one left out, such as * or a bracket."


def _sign(message: str) -> str:
    found = re.match(r"invalid (?:non-printable )?character (?:'(.)' )?\(?U\+([0-9A-F]+)", message)
    if not found:
        return ""
    sign = chr(int(found.group(2), 16))
    if sign in SIGNS:
        return f"Python does not know the sign {sign}. Write {SIGNS[sign]} in its place."
    if sign in "°Ωµ%":
        return _no_unit(sign)
    if not sign.isprintable() or sign.isspace():
        return "There is an invisible sign in this line. Type the line anew."
    return f"Python does not know the sign {sign}. Leave it out."


def _bracket(message: str) -> str:
    if found := re.search(r"'(.)' was never closed", message):
        closing = {"(": ")", "[": "]", "{": "}"}[found.group(1)]
        return f"A bracket {found.group(1)} is opened and not closed. Add the missing {closing}."
    if found := re.search(r"unmatched '(.)'", message):
        return f"There is one {found.group(1)} too many, or its opening bracket is missing."
    if "does not match opening" in message:
        return "A bracket is closed by one of another kind. Each ( needs a ), each [ a ]."
    if "unterminated" in message and "string" in message:
        return "A quote mark is opened and not closed. Put one at each end of the word."
    return ""


def _words_after_numbers(line: str) -> list[tuple[str, str]]:
    found = AFTER_A_NUMBER.findall(line.split("#")[0])
    return [(number, first + rest) for number, first, rest in found if not keyword.iskeyword(first + rest)]


def _unit(line: str) -> str:
    for _, word in _words_after_numbers(line):
        if word in units.FACTORS or word.lower() in TYPED_UNITS or word[0] in "°%Ωµ":
            return _no_unit(word)
    return ""


def _thousands(line: str) -> str:
    if apart := re.search(r"(?<![\w.])\d{1,3}(?: \d{3})+(?![\d])", line.split("#")[0]):
        return f"A number is written without spaces between thousands: {apart.group().replace(' ', '')}."
    return ""


def _no_sign(line: str, names: Collection[str]) -> str:
    for number, word in _words_after_numbers(line):
        if word in names:
            return f"Between {number} and {word} a sign is missing. For a product write {number} * {word}."
        if word in SIGNS:  # an earlier patch of Python speaks of the number, and not of the sign
            return f"Python does not know the sign {word}. Write {SIGNS[word]} in its place."
        return f"After the number {number} stands {word}, which Python cannot read. " + _no_unit("")
    return ""


def _no_unit(unit: str) -> str:
    leave = f" Leave out {unit}." if unit else ""
    return f"Write the number alone, in the unit that the question asks for.{leave}"


def _layout(error: SyntaxError, message: str, line: str) -> str:
    if isinstance(error, IndentationError):
        return "The line is set in with spaces, or should be. Start each plain line at the left edge."
    if "cannot assign" in message or "Maybe you meant '=='" in message:
        return "The name stands on the left of the sign =, its value on the right: name = value."
    if words := re.fullmatch(r"\s*\w+\s*=\s*([^\W\d]\w*(?: [^\W\d]\w*)+)\s*(?:#.*)?", line):
        return f"Words as an answer go in quotes: '{words.group(1)}'."
    if answer := re.fullmatch(r"\s*([^\W\d]\w*)\s+(-?\d[\d.]*)\s*(?:#.*)?", line):
        return f"The sign = is missing between the name and the number: {answer.group(1)} = {answer.group(2)}"
    if re.search(r"=\s*(#.*)?$", line):
        return "After the sign = there is nothing yet. Write your answer there."
    if "leading zeros" in message:
        return "A number cannot start with 0 unless a decimal point follows: 0.5, not 05."
    if "expected ':'" in message:
        return "This line needs a colon (:) at its end."
    return ""


def _unknown_name(error: NameError, names: Collection[str]) -> str:
    name = error.name or re.sub(r"^name '(.*)' is not defined$", r"\1", str(error))
    near = difflib.get_close_matches(name, [other for other in names if not other.startswith("_")], n=1, cutoff=0.75)
    if near:
        return f"Python does not know the name {name}. Did you mean {near[0]}?"
    return (
        f"Python does not know the name {name}. A word as an answer goes in quotes: '{name}'. "
        "A value from a cell above is known once that cell was run."
    )


def _wrong_kind(error: TypeError, names: Collection[str]) -> str:
    message = str(error)
    if "ellipsis" in message:
        return "This needs an earlier answer that is still open (it holds ...). Answer that one first."
    if "tuple" in message:
        return "A number here has a decimal comma, which Python reads as two numbers. Write a point: 12.5, not 12,5."
    if "unsupported operand type(s) for ^" in message:
        return "Python writes a power with two stars: 2 ** 3, not 2 ^ 3."
    if "is not callable" in message:
        return "Before a bracket a sign is missing. For a product write a * between them."
    if "sequence" in message or "list" in message or "str" in message:
        return (
            "A whole list, or a text in quotes, stands where one number is needed. Pick one reading of a list, such as "
            "time[0] for the first, and write numbers without quotes."
        )
    return _as_python_says(error)


def _as_python_says(error: BaseException) -> str:
    said = str(error).strip().splitlines()
    return f"Python could not work this out ({type(error).__name__}{': ' + said[0][:160] if said else ''})."


_BY_KIND = (
    (NameError, _unknown_name),
    (TypeError, _wrong_kind),
    (ZeroDivisionError, lambda error, names: "Something is divided by zero here."),
    (OverflowError, lambda error, names: "A number becomes too large for Python. Look at its powers and its units."),
    (RecursionError, lambda error, names: "A function calls itself without end."),
    (ModuleNotFoundError, lambda error, names: f"The library {error.name} is not installed here; answers need none."),
    (IndexError, lambda error, names: "The list has no such place. The first place is 0, the last is -1."),
    (
        KeyError,
        lambda error, names: f"The table has no entry {error.args[0] if error.args else ''!r}. Look at its entries.",
    ),
    (KeyboardInterrupt, lambda error, names: "Stopped."),
    (MemoryError, lambda error, names: "This needs more memory than there is."),
)


def decimal_commas(source: str) -> list[tuple[str, str]]:
    """Return (name, what was typed) for each answer that is two whole numbers because of a decimal comma.

    >>> decimal_commas("lag = 2,5   # K\\nsteps = (3, 4)\\nlag = 2, 50")
    [('lag', '2,5')]
    """
    return re.findall(r"^([^\W\d]\w*)[ \t]*=[ \t]*(-?\d+,\d+)[ \t]*(?:#.*)?$", source, re.MULTILINE)


def assigns(source: str, names: Collection[str]) -> bool:
    """Whether a cell's text gives a value to one of the names, even if Python cannot read all of it.

    >>> assigns("share = 3 mm", ["share"]), assigns("share == 3", ["share"])
    (True, False)
    """
    try:
        tree = ast.parse(source)
    except SyntaxError:
        return any(re.search(rf"^\s*{re.escape(name)}\s*=(?!=)", source, re.MULTILINE) for name in names)
    stored = {node.id for node in ast.walk(tree) if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store)}
    return not stored.isdisjoint(names)
