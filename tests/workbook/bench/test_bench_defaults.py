"""What a bench function takes where nothing is said: nothing, no change, no end, or what a bench usually has.

One name means one thing in all functions. Volume resistivity of annealed copper is 1/58 µΩ·m at 20 °C, its coefficient
0.00393 /K and its density 8890 kg/m³ (IEC 60028, second-hand). A profile's tp is the time within 5 K of its peak
(J-STD-020, second-hand). An outer conductor carries current with a constant of 0.048 (IPC-2221, second-hand), a diode
of no type has 1e-14 A of saturation current, isopropanol takes 664 kJ/kg to dry and air conducts 0.026 W/m/K (SPICE and
handbooks, from memory); a pad gives by 20 to 45 % (a distributor's slides, second-hand). 217 °C is where a lead-free
alloy is liquid, soaks lie between 150 and 200 °C, a package is baked at 125 °C, an exposure limit is a mean of 8 h or
of 15 min, a wrist strap has a megohm, an interaction is pooled from a chance of 0.25 on, a job is soaked two minutes
and held for one: common-practice.
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
USUAL |= {"density": 8890.0, "band": 5.0, "constant": 0.048, "saturation": 1e-14, "latent_heat": 664e3}
USUAL |= {"void_conductivity": 0.026, "pool_above": 0.25, "soak": 120.0, "hold": 60.0}
USUAL |= {"longest_gap": 5.0, "window": 10.0, "share": 0.5, "chance": 0.9}  # definitions of this workbook
USUAL |= {"shift_hours": 8, "window_minutes": 15, "faces": 2, "limit": 1.0, "lower": -math.inf, "doubling": 10.0}
MEANT = (
    dict.fromkeys(NOTHING, 0) | dict.fromkeys(NO_CHANGE | THE_FIRST, 1) | dict.fromkeys(WITHOUT_END, math.inf) | USUAL
)


def defaults():
    """Yield what stands for what is not said, with its function and its name."""
    for one in pkgutil.walk_packages(bench.__path__, "workbook.bench."):
        module = importlib.import_module(one.name)
        for name in getattr(module, "__all__", ()):
            if inspect.isfunction(function := getattr(module, name)):
                for parameter in inspect.signature(function).parameters.values():
                    yield name, parameter.name, parameter.default


TAKEN = list(defaults())


def taken_for(name):
    return {function: value for function, parameter, value in TAKEN if parameter == name}


@pytest.mark.parametrize("name", sorted(MEANT))
def test_what_is_not_said_is_nothing_no_change_no_end_or_the_usual(name):
    taken = {function: value for function, value in taken_for(name).items() if type(value) in (int, float)}
    assert taken
    assert taken == pytest.approx(dict.fromkeys(taken, MEANT[name]), rel=1e-12)


def test_a_bench_is_at_25_degrees_and_a_junction_at_300_kelvin():
    taken = {one: value for one, value in taken_for("temperature_c").items() if type(value) is float}
    junctions = {function for function in taken if "diode" in function}
    assert taken == {function: 27.0 if function in junctions else 25.0 for function in taken}


def test_what_only_some_jobs_have_is_not_there_unless_it_is_said():
    """No flange, no rail that is low by design. Latent heat is in the quick model of two packages, to count heats."""
    for name in ("flanged", "near_zero_by_design"):
        found = [value for function, parameter, value in TAKEN if parameter == name and type(value) is bool]
        assert found
        assert not any(found)
    melting = [(function, value) for function, parameter, value in TAKEN if parameter == "melting"]
    assert {function for function, value in melting if value is True} == {"run_pair"}
    assert {value for function, value in melting if function != "run_pair"} == {False}


def test_boards_march_by_seconds_and_the_pair_by_two():
    steps = [(function, value) for function, parameter, value in TAKEN if parameter == "time_step"]
    assert {function for function, value in steps} == {"run", "simulate", "run_pair", "simulate_pair"}
    assert {value for function, value in steps if function != "run_pair"} == {1.0}
    assert taken_for("time_step")["run_pair"] == 2.0


def test_a_strap_has_a_megohm_a_link_an_ohm_and_a_contact_what_probes_have():
    said = {function: value for function, value in taken_for("resistance").items() if type(value) is float}
    assert said == {"strap_current": 1e6, "cube_links": 1.0, "grid_links": 1.0}
    assert taken_for("contact")["two_wire_reading"] == 0
    assert taken_for("contact")["reading_uncertainty"] == 0.1


def test_a_pad_gives_by_a_fifth_to_somewhat_less_than_half():
    assert {taken_for("compression")[name] for name in ("choose_pad", "fitting_thicknesses")} == {(0.20, 0.45)}
