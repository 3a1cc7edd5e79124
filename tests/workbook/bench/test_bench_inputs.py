"""What a bench function is given: what is no number or outside its range is refused, small integers and lists count.

Every public function is called as its own worked example calls it, with its numbers replaced.
"""

import contextlib
import dataclasses
import doctest
import importlib
import inspect
import io
import pkgutil
import re

import numpy as np
import pytest

from workbook import bench
from workbook.bench.joints.bow import Layer
from workbook.bench.joints.fatigue import ThermalCycle
from workbook.bench.paste.air_cooling import Face
from workbook.bench.paste.deposits import Plate
from workbook.bench.paste.spreading import SpreadingPlate

NO_NUMBERS = (float("nan"), None, "3", 1j)
NARROW = (np.int8, np.int16, np.uint8)
TRIED = (100, 30, 6, 2, 1)
"""Whole numbers that fit one byte, and whose products do not."""

NUMBER = r"(-?\d[\d ]*(?:\.\d+)?)"
RANGES = {
    r"(?<!together )(?<!value )above zero(?: \[|[,;])": lambda: ((1e-6,), (0.0, -1.0)),
    r"(?:at least zero|0 or more)(?: \[|[,;])": lambda: ((0.0,), (-1.0,)),
    r"above (?:absolute zero|-273\.15)(?: \[|[,;])": lambda: ((-273.1499,), (-273.15, -300.0)),
    rf"above {NUMBER}(?: \[|[,;])": lambda low: ((low + 1e-4,), (low, low - 1e-4)),
    rf"at least {NUMBER} \[": lambda least: ((least,), (least - 1,)),
    rf"(?<!must be )(?:from|,) {NUMBER} to {NUMBER}(?: \[|[,;])": lambda low, high: (
        (low, high),
        (low - (high - low) / 1000, high + (high - low) / 1000),
    ),
    rf"from {NUMBER} to below {NUMBER} \[": lambda low, high: (
        (low, high - (high - low) / 1000),
        (low - (high - low) / 1000, high),
    ),
    rf"above {NUMBER},? (?:up )?to {NUMBER} \[": lambda low, high: (
        (low + (high - low) / 1000, high),
        (low, high + (high - low) / 1000),
    ),
    rf"between {NUMBER} and {NUMBER} \[": lambda low, high: (
        (low + (high - low) / 1000, high - (high - low) / 1000),
        (low, high),
    ),
}
"""How a docstring states a range, and numbers that lie inside and outside of it, at its very ends."""


def public():
    """Return every public function of the bench by its dotted name."""
    found = {}
    for one in pkgutil.walk_packages(bench.__path__, "workbook.bench."):
        module = importlib.import_module(one.name)
        for name in getattr(module, "__all__", ()):
            if inspect.isfunction(getattr(module, name)):
                found[f"{one.name}.{name}".removeprefix("workbook.bench.")] = getattr(module, name)
    return found


PUBLIC = public()


def signature_of(name):
    """Return the parameters of a public function."""
    return inspect.signature(PUBLIC[name]).parameters.values()


each = pytest.mark.parametrize("name", PUBLIC)


class Called(Exception):
    """The example has come to its call."""


def example_of(function):
    """Return the arguments, by name, with which a function's own worked example calls it first."""
    module, signature, name = inspect.getmodule(function), inspect.signature(function), function.__name__

    def listening(*args, **named):
        raise Called(signature.bind(*args, **named).arguments)

    (test,) = doctest.DocTestFinder(recurse=False).find(function, name, module=module)
    space = {**vars(module), name: listening}
    for example in test.examples:
        if not example.exc_msg:
            try:
                with contextlib.redirect_stdout(io.StringIO()):
                    exec(compile(example.source, name, "single"), space)
            except Called as called:
                return dict(called.args[0])
    raise AssertionError(f"{name} has no example that calls it")


def answered(function, arguments):
    """Return what a function makes of arguments by name, those of a star among them."""
    bound = inspect.signature(function).bind_partial()
    bound.arguments.update(arguments)
    with np.errstate(all="ignore"):
        made = function(*bound.args, **bound.kwargs)
        return list(made) if inspect.isgenerator(made) else made


def documented(function, kind):
    """Return the parameters that the docstring says are of a kind, but for those of a star."""
    text = inspect.getdoc(function).partition("\nParameters\n")[2].partition("\nReturns\n")[0]
    lines = re.findall(r"^(\w[\w, ]*) : (.*)$", text, re.MULTILINE)
    return [name for names, told in lines if re.match(kind, told) for name in names.split(", ")]


def refuses(function, arguments):
    try:
        answered(function, arguments)
    except (ValueError, TypeError):  # TypeError too: a count must be whole
        return True
    return False


@each
def test_what_is_no_number_is_refused(name):
    function = PUBLIC[name]
    given, taken = example_of(function), inspect.signature(function).parameters
    numbers = [one for one in documented(function, r"(float|int|number)\b") if one in given]
    assert [
        (one, wrong)
        for one in numbers
        for wrong in NO_NUMBERS
        if wrong is not taken[one].default and not refuses(function, given | {one: wrong})
    ] == []


def stated(function, name):
    """Return what a function's docstring says of one parameter, in a line."""
    told = re.search(rf"^\*?(?:\w+, )*{name}(?:, \w+)* : .*\n((?:    .*\n)+)", inspect.getdoc(function), re.MULTILINE)
    return " ".join(told[1].split()) if told else ""


def numbers_at_the_ends(words):
    """Return numbers inside and outside of the range that is stated in some words."""
    inside, outside = [], []
    for pattern, numbers in RANGES.items():
        if found := re.search(pattern, words):
            taken, refused = numbers(*(float(bound.replace(" ", "")) for bound in found.groups()))
            inside, outside = [*inside, *taken], [*outside, *refused]
    return inside, outside


def of_the_same_kind(number, value):
    """Return a number as whole as another is, where it can be: a count is asked for as one."""
    return int(number) if type(value) is int and number == int(number) else number


def stated_ranges():
    """Yield each number of each function's example that has a range: what is inside of it, and what outside."""
    for name, function in PUBLIC.items():
        given = example_of(function)
        for one, value in given.items():
            if type(value) in (int, float):
                inside, outside = numbers_at_the_ends(stated(function, one))
                yield name, given, one, [of_the_same_kind(number, value) for number in inside], outside


def test_a_number_outside_the_range_that_the_docstring_states_is_refused():
    tried, let_in = 0, []
    for name, given, one, _, outside in stated_ranges():
        for number in outside:
            tried += 1
            let_in += [] if refuses(PUBLIC[name], given | {one: number}) else [(name, one, number)]
    assert tried > 900
    assert let_in == []


TOGETHER = {
    "intake.capacitors.discharge_resistance start_voltage": "start voltage - voltage",
    "intake.capacitors.time_to_voltage start_voltage": "start voltage - voltage",
    "intake.evidence.chance_of_at_most trials": "failures (trials - successes)",
    "intake.evidence.clopper_pearson_interval trials": "failures (trials - successes)",
    "intake.evidence.lower_bound trials": "failures (trials - successes)",
    "intake.evidence.wald_interval trials": "failures (trials - successes)",
    "intake.evidence.wilson_interval trials": "failures (trials - successes)",
    "intake.static.time_to_drain_body start_voltage": "start voltage - voltage",
    "joints.inspection.chance_of_missing joints": "cut over joints",
    "joints.inspection.ring_crack_area_fraction diameter": "depth over diameter",
    "joints.inspection.straight_crack_area_fraction diameter": "depth over diameter",
    "joints.weibull.median_rank count": "count minus rank",
    "paste.closing.stop_gap force": "force over twice the yield stress",
    "paste.closing.stop_gap yield_stress": "force over twice the yield stress",
    "paste.contact.spot_conductance hardness": "pressure over hardness",
    "paste.fins.array_efficiency total_area": "total area less fin area",
    "paste.fins.sink_resistance total_area": "total area less fin area",
    "profile.films.film_facing_down length": "Rayleigh number of a face that looks down",
    "profile.films.film_facing_up length": "Rayleigh number of a face that looks up",
    "profile.films.film_under_jet diameter": "Reynolds number of a jet",
    "profile.films.film_under_jet gas_c": "Reynolds number of a jet",
    "profile.thermocouple.junction_temperature_c terminals_c": "emf",
    "shorts.copper.coefficient_referred_to from_c": "resistance at the second temperature over that at the first",
    "shorts.copper.plane_drop_between separation": "second tip from the short",
    "shorts.decision.leak_behind reference": "reference minus reading",
    "signoff.promise.return_rate_interval repairs": "failures (trials - successes)",
    "signoff.refit.share_of_heat_through_top case_resistance": "theta-JC minus psi-JT",
}
"""What a number at the end of its own range is refused for: something it makes together with the others."""


def test_a_number_inside_the_range_that_the_docstring_states_is_taken_up_to_its_very_ends():
    """Or it is refused in the words of what it makes together with the others of the example."""
    tried, refused = 0, {}
    for name, given, one, inside, _ in stated_ranges():
        for number in inside:
            tried += 1
            try:
                answered(PUBLIC[name], given | {one: number})
            except (ValueError, TypeError, ArithmeticError) as error:
                refused[f"{name} {one}"] = str(error)
    assert tried > 700
    assert refused.keys() == TOGETHER.keys()
    assert [place for place, words in TOGETHER.items() if words not in refused[place]] == []


def with_first(values, number):
    """Return several numbers of an example with another first one, or None where they are no numbers."""
    with contextlib.suppress(ValueError, TypeError):
        changed = np.array(values, float)
        if changed.ndim:
            changed.flat[0] = number
            return changed if isinstance(values, np.ndarray) else changed.tolist()
    return None


ONE_OF_SEVERAL = {
    "intake.causes.chance_of_finding priors": "together they are 1",
    "intake.causes.updated_causes priors": "together they are 1",
    "profile.board_melting.melt liquid": "not looked at: it is worked out a thousand times a run, by ourselves",
    "profile.board_melting.melt response": "not looked at: it is worked out a thousand times a run, by ourselves",
    "profile.cooling_log.cooling_line excess": "the first of a line must lie above the others",
    "shorts.networks.resistance_between links": "the first of a link is a node",
}


def test_one_of_several_numbers_is_held_to_the_range_too():
    tried, otherwise = 0, set()
    for name, function in PUBLIC.items():
        given = example_of(function)
        for one, value in given.items():
            if isinstance(value, list | tuple | np.ndarray):
                inside, outside = numbers_at_the_ends(stated(function, one))
                for number in (*inside, *outside):
                    changed = with_first(value, number)
                    if changed is not None:
                        tried += 1
                        held = refuses(function, given | {one: changed}) == (number in outside)
                        otherwise |= set() if held else {f"{name} {one}"}
    assert tried > 120
    assert otherwise == ONE_OF_SEVERAL.keys()


AS_MUCH_AS = {
    "intake.capacitors.time_to_voltage": ("voltage", lambda given: given["start_voltage"], 0),
    "intake.static.time_to_drain_body": ("voltage", lambda given: given["start_voltage"], 0),
    "joints.growth.growth_rate": ("thickness", lambda given: 0.0, 0),
    "joints.growth.time_to_thickness": ("thickness", lambda given: 0.0, 0),
    "joints.inspection.chance_of_missing": ("cut", lambda given: given["joints"], 0),
    "joints.inspection.ring_crack_area_fraction": ("depth", lambda given: given["diameter"] / 2, 1),
    "joints.weibull.median_rank": ("count", lambda given: max(given["rank"]), None),
    "paste.squeeze.squeeze_time_of_fixed_volume": ("start_gap", lambda given: given["end_gap"], 0),
    "paste.squeeze.squeeze_time_when_full": ("start_gap", lambda given: given["end_gap"], 0),
    "paste.fins.array_efficiency": ("total_area", lambda given: given["fin_area"], 0.9),
    "paste.wedge.wedge_resistance": ("thick_edge", lambda given: given["thin_edge"], None),
    "paste.volumes.cross_volume": ("length", lambda given: given["width"], None),
    "profile.conduction.lumped_time": ("target_c", lambda given: given["start_c"], 0),
    "profile.films.rayleigh": ("surface_c", lambda given: given["air_c"], 0),
    "shorts.decision.leak_behind": ("reading", lambda given: 0, 0),
    "signoff.promise.return_rate_bound": ("returns", lambda given: given["repairs"], 1),
    "signoff.refit.largest_power": ("junction_limit_c", lambda given: given["air_c"], 0),
}
"""What may be exactly as much as another, or as nothing; and what then comes out, where that is plain."""

A_LITTLE_MORE_THAN = {
    "intake.bake_law.bake_energy_ev": ("hot_c", "cool_c"),
    "profile.control.setpoint_for_joint": ("joint_c", "ambient_c"),
    "intake.capacitors.discharge_resistance": ("start_voltage", "voltage"),
    "paste.coverage.ring_area": ("outer_side", "inner_side"),
    "paste.fins.annular_fin_efficiency": ("outer_radius", "inner_radius"),
}
"""What must lie above another, by however little."""


@pytest.mark.parametrize("name", AS_MUCH_AS)
def test_what_may_be_as_much_as_another_is_taken_where_it_is_exactly_so(name):
    one, other, comes_out = AS_MUCH_AS[name]
    given = example_of(PUBLIC[name])
    made = answered(PUBLIC[name], given | {one: other(given)})
    assert comes_out is None or made == pytest.approx(comes_out)


@pytest.mark.parametrize("name", A_LITTLE_MORE_THAN)
def test_what_lies_above_another_by_a_little_is_taken_and_as_much_is_not(name):
    one, other = A_LITTLE_MORE_THAN[name]
    given = example_of(PUBLIC[name])
    answered(PUBLIC[name], given | {one: given[other] * (1 + 1e-6)})
    assert refuses(PUBLIC[name], given | {one: given[other]})


RECORDS = {
    Layer: ((1e-9, 1e-3, 0.0), ("thickness", "modulus")),
    ThermalCycle: ((-273.1499, -273.1498), ()),
    Face: (("upright", 1e-9, 1e-9, 0.0), ("area", "size")),
    Plate: ((1e-9, 1e-9), ("length", "width")),
    SpreadingPlate: ((1e-9, 1.0001e-9, 1e-9, 1e-9, 1e-9), ("source_area", "thickness", "conductivity")),
}
"""Records at the lower ends of what they may be, and which of their numbers must be above zero."""


@pytest.mark.parametrize("kind", RECORDS)
def test_a_record_is_made_of_numbers_however_small_and_not_of_none(kind):
    least, above_zero = RECORDS[kind]
    made = kind(*least)
    for name in above_zero:
        for number in (0.0, -1.0):
            with pytest.raises(ValueError, match="must be above 0"):
                dataclasses.replace(made, **{name: number})


def test_a_record_is_held_at_its_upper_ends():
    """A layer expands by a thousandth a kelvin at most, a face shines as a black one at most."""
    assert Layer(1, 1, 1e-3).expansion == 1e-3
    assert Face("upright", 1, 1, 1.0).emissivity == 1
    for make in (
        lambda: Layer(1, 1, 1.001e-3),
        lambda: Layer(1, 1, -1e-9),
        lambda: Face("upright", 1, 1, 1.001),
        lambda: ThermalCycle(-273.15, 0.0),
        lambda: ThermalCycle(25.0, 25.0),
        lambda: SpreadingPlate(1.0, 1.0, 1.0, 1.0, 1.0),
        lambda: SpreadingPlate(1.0, 2.0, 1.0, 1.0, 0.0),
    ):
        with pytest.raises(ValueError, match="must be"):
            make()


def whole(function, arguments, numbers):
    """Return numbers in place of those that an example gives: whole ones, as large as a byte and the function take."""
    found = {}
    for one in numbers:
        for number in TRIED:
            with contextlib.suppress(ValueError, TypeError, ArithmeticError):
                answered(function, arguments | found | {one: float(number)})
                found[one] = number
                break
    return found


def same(one, other):
    """Whether two answers are the same numbers, or the same words."""
    if isinstance(one, dict):
        return one.keys() == other.keys() and all(same(one[key], other[key]) for key in one)
    if isinstance(one, tuple | list):
        return len(one) == len(other) and all(map(same, one, other))
    if isinstance(one, bool | str | None):
        return one == other
    with np.errstate(all="ignore"):
        return np.shape(one) == np.shape(other) and bool(np.allclose(one, other, rtol=1e-9, equal_nan=True))


BROADCAST = [name for name in PUBLIC if documented(PUBLIC[name], r"(float|int|number) or array")]


@pytest.mark.parametrize("name", BROADCAST)
def test_small_integers_and_lists_count_as_the_numbers_they_are(name):
    """Whole numbers of one byte would run over, and a list times a count would repeat."""
    function = PUBLIC[name]
    given = example_of(function)
    numbers = [one for one in documented(function, r"(float|int|number) or array") if np.ndim(given.get(one, [0])) == 0]
    found = whole(function, given, numbers)
    alone = any(np.ndim(value) for value in given.values())  # where others are lists, a pair would not go with them
    pairs = {one: number if alone else [number, number] for one, number in found.items()}
    right = answered(function, given | {one: np.array(pair, float) for one, pair in pairs.items()})
    assert same(right, answered(function, given | pairs))
    for narrow in NARROW:
        arrays = {one: np.array(pair, narrow)[()] for one, pair in pairs.items()}
        assert same(right, answered(function, given | arrays)), narrow


def test_a_verdict_about_several_readings_is_refused_in_words():
    """Not in those of numpy, about the truth of an array."""
    ambiguous = []
    for name, function in PUBLIC.items():
        given = example_of(function)
        for one in documented(function, r"(float|int)\b(?! or array)"):
            if isinstance(given.get(one), int | float):
                try:
                    answered(function, given | {one: np.array([given[one]] * 2)})
                except (ValueError, TypeError) as error:
                    ambiguous += [(name, one)] if "ambiguous" in str(error) else []
    assert ambiguous == []


def test_counts_that_are_no_counts_are_refused():
    from workbook.bench.intake import evidence
    from workbook.bench.signoff import promise

    with pytest.raises(ValueError, match="repairs must be a whole number"):
        promise.returns_to_allow_for(0.03, 100.5)
    with pytest.raises(ValueError, match="trials must be from 0 to"):
        evidence.chance_of_at_most(2, 2**33, 1e-9)


COUNTED = {
    "intake.evidence.chance_of_at_most": "trials",
    "intake.evidence.clopper_pearson_interval": "trials",
    "profile.heats.heats_left": "planned",
    "signoff.promise.returns_to_allow_for": "repairs",
}


@pytest.mark.parametrize(("name", "count"), COUNTED.items())
def test_a_count_above_the_largest_of_32_bits_is_refused_in_its_own_name_and_that_one_is_taken(name, count):
    """2 147 483 648 runs over into a negative number where a library counts in C's int (ISO C; from memory)."""
    given = example_of(PUBLIC[name])
    answered(PUBLIC[name], given | {count: 2**31 - 1})
    with pytest.raises(ValueError, match=rf"{count} must be from 0 to .*\(got 2147483648"):
        answered(PUBLIC[name], given | {count: 2**31})


def test_the_largest_count_is_counted_and_not_run_over():
    """None of n at one in n each is 1/e, for n as large as this to nine figures."""
    from workbook.bench.intake import evidence

    assert evidence.chance_of_at_most(0, 2**31 - 1, 1 / (2**31 - 1)) == pytest.approx(np.exp(-1), rel=1e-9)


STARRED = [
    name
    for name in PUBLIC
    if any(one.kind is one.VAR_POSITIONAL for one in signature_of(name))
    and name != "intake.evidence.updated_probability"  # without a finding a probability stays what it was
]


@pytest.mark.parametrize("name", STARRED)
def test_none_in_place_of_several_arguments_is_refused_in_words(name):
    given = example_of(PUBLIC[name])
    alone = {one.name: given[one.name] for one in signature_of(name) if one.kind is not one.VAR_POSITIONAL}
    with pytest.raises(ValueError, match=r"at least one .* is needed \(got none\)"):
        PUBLIC[name](**alone)


@pytest.mark.parametrize("name", STARRED)
def test_a_list_in_place_of_several_arguments_is_refused(name):
    given = example_of(PUBLIC[name])
    before = [given[one.name] for one in signature_of(name) if one.kind is one.POSITIONAL_OR_KEYWORD]
    with pytest.raises(ValueError, match="an argument of its own"):
        PUBLIC[name](*before, [0.5, 0.5])
