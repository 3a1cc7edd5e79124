"""What a bench function takes where nothing is said: nothing, no change, no end, or what a bench usually has.

One name means one thing in all functions. Volume resistivity of annealed copper is 1/58 µΩ·m at 20 °C and its
coefficient 0.00393 /K (IEC 60028, second-hand); 217 °C is where a lead-free alloy is liquid, soaks lie between 150 and
200 °C, a package is baked at 125 °C, an exposure limit is a mean of 8 h or of 15 min: common-practice.
"""

import importlib
import inspect
import math
import pkgutil

import pytest

from workbook import bench

NOTHING = {"comeback", "contact_per_face", "empty_columns", "empty_rows", "failures", "initial_thickness"}
NOTHING |= {"jump_length", "neighbours_melts", "position", "returns", "standard_uncertainties", "start"}
NOTHING |= {"thickness_over_spacing", "yield_stress"}
NO_CHANGE = {"acceleration", "factor", "ideality", "power_ratio"}
THE_FIRST = {"cracked", "junctions", "term", "tolerance_class"}
WITHOUT_END = {"diameter_over_spacing", "freedom", "leak", "time", "upper"}
USUAL = {"confidence": 0.95, "coefficient": 0.00393, "at_20": 1e-6 / 58, "resistivity": 1e-6 / 58, "start_c": 25.0}
USUAL |= {"liquidus_c": 217.0, "soak_from_c": 150.0, "soak_to_c": 200.0, "from_c": 150.0, "to_c": 200.0, "oven_c": 125}
USUAL |= {"shift_hours": 8, "window_minutes": 15, "faces": 2, "limit": 1.0, "lower": -math.inf, "doubling": 10.0}
MEANT = (
    dict.fromkeys(NOTHING, 0) | dict.fromkeys(NO_CHANGE | THE_FIRST, 1) | dict.fromkeys(WITHOUT_END, math.inf) | USUAL
)


def defaults():
    """Yield each number that stands for what is not said, with its function and its name."""
    for one in pkgutil.walk_packages(bench.__path__, "workbook.bench."):
        module = importlib.import_module(one.name)
        for name in getattr(module, "__all__", ()):
            if inspect.isfunction(function := getattr(module, name)):
                for parameter in inspect.signature(function).parameters.values():
                    if type(parameter.default) in (int, float):
                        yield name, parameter.name, parameter.default


TAKEN = list(defaults())


@pytest.mark.parametrize("name", sorted(MEANT))
def test_what_is_not_said_is_nothing_no_change_no_end_or_the_usual(name):
    taken = {function: value for function, parameter, value in TAKEN if parameter == name}
    assert taken
    assert taken == pytest.approx(dict.fromkeys(taken, MEANT[name]), rel=1e-12)


def test_a_bench_is_at_25_degrees_and_a_junction_at_300_kelvin():
    taken = {function: value for function, parameter, value in TAKEN if parameter == "temperature_c"}
    junctions = {function for function in taken if "diode" in function}
    assert taken == {function: 27.0 if function in junctions else 25.0 for function in taken}
