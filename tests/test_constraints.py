"""The pinned versions are ones that the project says it works with, and leave none of its dependencies free."""

import re
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement
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
