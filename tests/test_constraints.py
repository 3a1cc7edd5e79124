"""The pinned versions are ones that the project says it works with, and leave none of its dependencies free."""

import importlib.metadata
import re
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.specifiers import SpecifierSet
from packaging.utils import canonicalize_name

ROOT = Path(__file__).resolve().parent.parent


def wanted():
    """Return what the package, a classroom and the tests need."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras = project["optional-dependencies"]
    return [Requirement(line) for line in project["dependencies"] + extras["classroom"] + extras["test"]]


def pinned(path):
    """Return version by name; a line that pins nothing fails."""
    found = {}
    for line in path.read_text(encoding="utf-8").splitlines():
        if line and not line.startswith("#"):
            name, version = re.fullmatch(r"([\w.-]+)==([\w.]+)", line).groups()
            found[canonicalize_name(name)] = version
    return found


@pytest.mark.parametrize("path", sorted((ROOT / ".constraints").glob("*.txt")), ids=lambda path: path.stem)
def test_every_dependency_is_pinned_within_its_range(path):
    pins = pinned(path)
    free = {need.name for need in wanted() if canonicalize_name(need.name) not in pins}
    outside = {
        str(need) for need in wanted() if not need.specifier.contains(pins.get(canonicalize_name(need.name), "0"))
    }
    assert free == set()
    assert outside == set()


@pytest.mark.parametrize("path", sorted((ROOT / ".constraints").glob("*.txt")), ids=lambda path: path.stem)
def test_what_is_pinned_installs_on_the_first_python_of_its_name(path):
    """A system's own Python stays at an early patch for years; of pins that are not installed here nothing is known."""
    first, pins = f"{path.stem.partition('-')[2]}.0", pinned(path)
    installed = [
        one for one in importlib.metadata.distributions() if pins.get(canonicalize_name(one.name)) == one.version
    ]
    if not installed:
        pytest.skip("none of these versions is installed here")
    needs = {one.name: one.metadata.get("Requires-Python") or "" for one in installed}
    assert [name for name, need in needs.items() if not SpecifierSet(need).contains(first)] == []
