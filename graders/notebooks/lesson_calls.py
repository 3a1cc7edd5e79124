"""What the lessons call of this package: in a lesson that a learner wrote in, it is called for ever."""

import ast
import json
from collections.abc import Iterable
from pathlib import Path

from workbook import paths


def called(sources: Iterable[str]) -> dict[str, list[str]]:
    """Return every name of this package that some code takes, with the arguments that it names.

    >>> called(["from workbook.bench.paste import layer\\nlayer.flow(2.0, area=1e-4)"])
    {'workbook.bench.paste.layer': [], 'workbook.bench.paste.layer.flow': ['area']}
    """
    found: dict[str, set[str]] = {}
    for source in sources:
        tree = ast.parse(source)
        ours = {
            alias.asname or alias.name: f"{node.module}.{alias.name}"
            for node in ast.walk(tree)
            if isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[0] in ("workbook", "graders")
            for alias in node.names
        }
        for name in ours.values():
            found.setdefault(name, set())
        for node in ast.walk(tree):
            if name := _name(node, ours):
                found.setdefault(name, set())
            if isinstance(node, ast.Call) and (name := _name(node.func, ours)):
                found.setdefault(name, set()).update(word.arg for word in node.keywords if word.arg)
    return {name: sorted(arguments) for name, arguments in sorted(found.items())}


def _name(node: ast.AST, ours: dict[str, str]) -> str:
    """Return the whole name of something of ours, as ``layer`` or ``layer.flow``; nothing for anything else."""
    if isinstance(node, ast.Name):
        return ours.get(node.id, "")
    if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) and node.value.id in ours:
        return f"{ours[node.value.id]}.{node.attr}"
    return ""


def code(lesson: Path) -> str:
    """Return a lesson's code, without the lines that are IPython's own."""
    cells = json.loads(lesson.read_text(encoding="utf-8"))["cells"]
    lines = ("".join(cell["source"]).splitlines() for cell in cells if cell["cell_type"] == "code")
    return "\n".join(line for cell in lines for line in cell if not line.startswith("%"))


def text() -> str:
    """Return what this version's lessons call, as a release keeps it."""
    return json.dumps(called(map(code, sorted(paths.lessons().glob("*.ipynb")))), indent=1) + "\n"
