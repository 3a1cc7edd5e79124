"""What a worker must be to be given work: this very code."""

import hashlib
from functools import cache
from importlib.metadata import version
from pathlib import Path

import graders
import workbook

HELD_TO = (".py", ".toml", ".json")
"""What decides a mark: code, reference values, editions."""
ELSEWHERE = ("labextensions", "__pycache__")
"""Folders of what runs in a browser, or is made from the rest."""


@cache
def name() -> str:
    """Return this package's version and a hash of its files: the resource that jobs ask for and workers declare.

    >>> name().startswith("rework-workbook-")
    True
    """
    digest = hashlib.sha256()
    for package in (graders, workbook):
        root = Path(str(package.__file__)).parent
        for path in sorted(root.rglob("*")):
            inside = path.relative_to(root)
            if path.suffix in HELD_TO and not set(inside.parts) & set(ELSEWHERE):
                digest.update(inside.as_posix().encode() + b"\0" + hashlib.sha256(path.read_bytes()).digest())
    return f"rework-workbook-{version('rework-workbook')}-{digest.hexdigest()[:16]}"
