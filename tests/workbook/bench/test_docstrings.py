"""The docstring of every public bench function says what goes in, what comes out, in which unit, and from where."""

import importlib
import inspect
import pkgutil
import re

import pytest

from workbook import bench

HEADING = re.compile(r"^([A-Z][A-Za-z ]+)\n-+$", re.MULTILINE)
ENTRY = re.compile(r"^(\S.*)$", re.MULTILINE)
UNIT = re.compile(r"\[[^\]]+\]")
UNITLESS = re.compile(r"(bool|str|callable|node|\{[\"']|[A-Z]\w+)")
"""Types that carry no unit: a choice, a word, a function, a node's name, a class that says its own units."""

MODULES = sorted(
    info.name
    for info in pkgutil.walk_packages(bench.__path__, "workbook.bench.")
    if not info.ispkg and info.name != "workbook.bench.checks"
)


def published(kind):
    """Return everything of a kind that a bench module names in its `__all__`, by dotted name."""
    found = {}
    for name in MODULES:
        module = importlib.import_module(name)
        for public in module.__all__:
            thing = getattr(module, public)
            if kind(thing) and thing.__module__ == name:
                found[f"{name}.{public}".removeprefix("workbook.bench.")] = thing
    return found


def sections(docstring):
    """Return the sections of a numpydoc docstring by heading; what stands before the first is under ''."""
    parts = HEADING.split(inspect.cleandoc(docstring))
    return {"": parts[0]} | dict(zip(parts[1::2], parts[2::2], strict=True))


def entries(section):
    """Return what each entry of a section says, by the line it starts with."""
    parts = ENTRY.split(section)
    return dict(zip(parts[1::2], parts[2::2], strict=True))


def lacks_unit(type_, told):
    return not UNITLESS.match(type_) and not UNIT.search(told)


def faults(name, docstring, parameters):
    """Return what is missing in a docstring, one sentence a fault."""
    found = sections(docstring)
    said = []
    claim = found[""].split("\n\n")[0]
    if not claim.endswith("."):
        said.append("does not begin with one claim that ends in a full stop")
    written = {
        word.strip().lstrip("*"): (line.partition(" : ")[2], told)
        for line, told in entries(found.get("Parameters", "")).items()
        for word in line.partition(" : ")[0].split(",")
    }
    said += [f"does not describe {parameter}" for parameter in parameters if parameter not in written]
    said += [f"describes {word}, which it does not take" for word in written if word not in parameters]
    if list(written) != parameters and not said:
        said.append("describes its parameters in another order than it takes them")
    said += [f"gives no [unit] for {word}" for word, (type_, told) in written.items() if lacks_unit(type_, told)]
    returned = found.get("Returns", found.get("Yields", ""))
    if not returned.strip():
        said.append("does not say what it returns")
    said += [
        f"gives no [unit] for the returned {line}"
        for line, told in entries(returned).items()
        if lacks_unit(line.rpartition(" : ")[2], line + told)
    ]
    said += [f"has no {heading}" for heading in ("References", "Examples") if not found.get(heading, "").strip()]
    if ">>>" not in found.get("Examples", ">>>"):
        said.append("has Examples without a line that runs")
    return [f"{name} {sentence}" for sentence in said]


def test_every_bench_module_says_what_it_is_and_names_what_is_public():
    modules = {name: importlib.import_module(name) for name in MODULES}
    silent = [name for name, module in modules.items() if not module.__doc__ or not hasattr(module, "__all__")]
    assert not silent, "without docstring or __all__: " + ", ".join(silent)


def test_names_in_all_exist_and_are_named_once():
    offenders = []
    for name in MODULES:
        module = importlib.import_module(name)
        offenders += [f"{name}.{public}" for public in module.__all__ if not hasattr(module, public)]
        offenders += [f"{name}.{public}" for public in set(module.__all__) if module.__all__.count(public) > 1]
    assert not offenders, "named in __all__ and missing, or twice: " + ", ".join(offenders)


def test_every_public_function_describes_each_parameter_and_result_with_its_unit():
    offenders = []
    for name, function in published(inspect.isroutine).items():
        offenders += faults(name, function.__doc__ or "", list(inspect.signature(function).parameters))
    assert not offenders, f"{len(offenders)} to mend:\n" + "\n".join(offenders)


def test_every_public_class_says_what_it_is():
    # A dataclass or named tuple that says nothing is given a docstring made of its own signature.
    silent = [
        name
        for name, thing in published(inspect.isclass).items()
        if not thing.__doc__ or thing.__doc__.startswith(f"{thing.__name__}(")
    ]
    assert not silent, "classes without a docstring: " + ", ".join(silent)


SOUND = """Return the heat capacity.

Parameters
----------
mass, extra_mass : float
    Masses [kg].
specific_heat : float
    Specific heat [J/kg/K].

Returns
-------
float
    Heat capacity [J/K].

References
----------
Definition.

Examples
--------
>>> 1
1
"""


def test_a_sound_docstring_has_no_fault():
    assert faults("f", SOUND, ["mass", "extra_mass", "specific_heat"]) == []


@pytest.mark.parametrize(
    ("docstring", "parameters", "fault"),
    [
        (SOUND, ["mass", "extra_mass"], "f describes specific_heat, which it does not take"),
        (SOUND, ["mass", "extra_mass", "specific_heat", "loss"], "f does not describe loss"),
        (SOUND, ["specific_heat", "mass", "extra_mass"], "f describes its parameters in another order"),
        (
            SOUND.replace(" [J/kg/K]", ""),
            ["mass", "extra_mass", "specific_heat"],
            "f gives no [unit] for specific_heat",
        ),
        (
            SOUND.replace(" [J/K]", ""),
            ["mass", "extra_mass", "specific_heat"],
            "f gives no [unit] for the returned float",
        ),
        (SOUND.replace("References", "Notes"), ["mass", "extra_mass", "specific_heat"], "f has no References"),
        (
            SOUND.replace(">>> 1", "1"),
            ["mass", "extra_mass", "specific_heat"],
            "f has Examples without a line that runs",
        ),
        ("Return it", [], "f does not begin with one claim"),
        ("", ["mass"], "f does not say what it returns"),
    ],
)
def test_the_reader_of_docstrings_finds_each_fault(docstring, parameters, fault):
    assert any(said.startswith(fault) for said in faults("f", docstring, parameters))
