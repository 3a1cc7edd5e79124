"""What docstrings and tests say of a value's standing is no better than what its reference says."""

import ast
import importlib
import inspect
import pkgutil
import re
from pathlib import Path

import pytest

from workbook import bench
from workbook.references import entry, load
from workbook.references.loader import STANDINGS
from workbook.topics import TOPICS

TESTS = Path(__file__).parents[1]
ORDER = [*STANDINGS]
"""Standings, strongest first."""
CLAIM = re.compile(r"\bPublished(-unnamed|[ -]second-hand|):")
SAID = re.compile(r"second-hand|unnamed|not named|from memory|not seen|quote")
NAMED = re.compile(r'(?:value|entry|table)\(\s*"(\w+)", "(\w+)"')


def plain(text: str) -> str:
    return re.sub(r"[^a-z0-9 ]|\b(an?|the) ", "", " ".join(text.split()).lower())


def weak_sources() -> set[str]:
    """Return the heads of sources of which no reference was read in the source itself, or under its name."""
    best: dict[str, int] = {}
    for topic in TOPICS:
        for reference in load(topic.slug).values():
            if reference.standing.startswith("published"):
                head = plain(reference.source)[:20]
                best[head] = min(ORDER.index(reference.standing), best.get(head, len(ORDER)))
    return {head for head, rank in best.items() if ORDER[rank] != "published" and len(head) > 8}


def sources_named(docstring: str) -> str:
    return docstring.partition("References\n")[2].partition("Examples\n")[0]


def functions():
    for info in pkgutil.walk_packages(bench.__path__, "workbook.bench."):
        module = importlib.import_module(info.name)
        for name in getattr(module, "__all__", ()):
            yield f"{info.name}.{name}", sources_named(inspect.getdoc(getattr(module, name)) or "")


def test_a_bench_function_says_the_standing_of_a_source_that_no_reference_calls_published():
    weak = weak_sources()
    silent = [
        f"{name}: {head}"
        for name, text in functions()
        for head in weak
        if head in plain(text) and not SAID.search(text)
    ]
    assert silent == []


@pytest.mark.parametrize("guide", ["JCGM 106", "J-STD-020", "J-STD-033", "AIAG"])
def test_nothing_quoted_from_a_guide_that_nobody_here_has_read_is_called_published(guide):
    every = [reference for topic in TOPICS for reference in load(topic.slug).values()]
    quoted = [reference for reference in every if reference.source.startswith((guide, f"IPC/JEDEC {guide}"))]
    assert len(quoted) > 1
    assert [reference.key for reference in quoted if reference.standing == "published"] == []


def test_no_test_calls_a_value_better_published_than_its_reference():
    promoted, held = [], 0
    for path in sorted(TESTS.rglob("test_*.py")):
        source = path.read_text(encoding="utf-8")
        for node in ast.walk(ast.parse(source)):
            claim = CLAIM.search(ast.get_docstring(node) or "") if isinstance(node, ast.FunctionDef) else None
            named = NAMED.findall(ast.get_source_segment(source, node) or "") if claim else []
            if named:
                held += 1
                said = ORDER.index("published" + claim[1].replace(" ", "-"))
                if said < min(ORDER.index(entry(*one).standing) for one in named):
                    promoted.append(f"{path.name}: {node.name}")
    assert held > 20
    assert promoted == []
