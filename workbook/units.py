"""The units the workbook prints, and their size in SI.

Temperatures are the exception: ``°C`` stays °C and ``K`` stays K, as on the bench.

>>> to_si(2.5, "mm"), to_si(25, "°C")
(0.0025, 25.0)
>>> from_si(0.0025, "mm")
2.5
"""

import re
from math import floor, log10

FAMILIES = {
    "number": {"1": 1.0, "%": 1e-2, "ppm": 1e-6},
    "length": {"m": 1.0, "cm": 1e-2, "mm": 1e-3, "µm": 1e-6, "nm": 1e-9},
    "area": {"m²": 1.0, "cm²": 1e-4, "mm²": 1e-6},
    "volume": {"m³": 1.0, "L": 1e-3, "mL": 1e-6, "mm³": 1e-9},
    "time": {"s": 1.0, "ms": 1e-3, "µs": 1e-6, "ns": 1e-9, "min": 60.0, "h": 3600.0, "d": 86400.0, "yr": 31536000.0},
    "mass": {"kg": 1.0, "g": 1e-3, "mg": 1e-6, "µg": 1e-9},
    "temperature": {"°C": 1.0},
    "temperature difference": {"K": 1.0, "mK": 1e-3},
    "heating rate": {"K/s": 1.0, "K/min": 1 / 60},
    "temperature time": {"K·s": 1.0},
    "power": {"W": 1.0, "mW": 1e-3, "kW": 1e3},
    "energy": {"J": 1.0, "mJ": 1e-3, "kJ": 1e3, "eV": 1.602176634e-19},
    "specific energy": {"J/kg": 1.0, "J/g": 1e3, "kJ/kg": 1e3},
    "molar energy": {"J/mol": 1.0, "kJ/mol": 1e3},
    "heat flux": {"W/m²": 1.0, "kW/m²": 1e3},
    "film coefficient": {"W/m²K": 1.0},
    "conductivity": {"W/mK": 1.0},
    "heat capacity": {"J/K": 1.0},
    "specific heat": {"J/kgK": 1.0},
    "loss": {"W/K": 1.0, "mW/K": 1e-3},
    "thermal resistance": {"K/W": 1.0},
    "area resistance": {"m²K/W": 1.0, "cm²K/W": 1e-4, "mm²K/W": 1e-6},
    "density": {"kg/m³": 1.0, "g/cm³": 1e3},
    "concentration": {"kg/m³ of air": 1.0, "mg/m³": 1e-6, "µg/m³": 1e-9},
    "surface load": {"kg/m²": 1.0, "µg/cm²": 1e-5},
    "expansion": {"1/K": 1.0, "ppm/K": 1e-6},
    "resistance": {"Ω": 1.0, "mΩ": 1e-3, "µΩ": 1e-6, "kΩ": 1e3, "MΩ": 1e6},
    "sheet resistance": {"Ω/sq": 1.0, "mΩ/sq": 1e-3},
    "resistivity": {"Ω·m": 1.0},
    "voltage": {"V": 1.0, "mV": 1e-3, "µV": 1e-6, "kV": 1e3},
    "voltage gradient": {"V/m": 1.0, "mV/mm": 1.0},
    "thermoelectric": {"V/K": 1.0, "mV/K": 1e-3, "µV/K": 1e-6},
    "current": {"A": 1.0, "mA": 1e-3, "µA": 1e-6},
    "capacitance": {"F": 1.0, "mF": 1e-3, "µF": 1e-6, "nF": 1e-9, "pF": 1e-12},
    "charge": {"C": 1.0, "µC": 1e-6},
    "pressure": {"Pa": 1.0, "kPa": 1e3, "MPa": 1e6, "GPa": 1e9},
    "viscosity": {"Pa·s": 1.0},
    "force": {"N": 1.0, "mN": 1e-3},
    "curvature": {"1/m": 1.0},
    "rate": {"1/s": 1.0, "1/h": 1 / 3600, "FIT": 1e-9 / 3600},
    "frequency": {"Hz": 1.0, "1/d": 1 / 86400},
    "diffusivity": {"m²/s": 1.0, "mm²/s": 1e-6, "µm²/h": 1e-12 / 3600},
    "speed": {"m/s": 1.0, "mm/s": 1e-3},
    "flow": {"m³/s": 1.0, "m³/h": 1 / 3600, "L/s": 1e-3, "L/min": 1e-3 / 60},
    "controller gain": {"%/K": 1.0},
    "process gain": {"K/%": 1.0},
    "cycles": {"cycles": 1.0},
    "count": {"pieces": 1.0},
    "money": {"credits": 1.0},
}
"""Units by what they measure: within a family, a number in one unit can be told as a number in another."""

FACTORS = {unit: factor for family in FAMILIES.values() for unit, factor in family.items()}


def to_si(number, unit: str):
    """Return number, given in unit, in SI."""
    return number * FACTORS[unit]


def from_si(number, unit: str):
    """Return number, given in SI, in unit."""
    return number / FACTORS[unit]


def of_difference(unit: str) -> str:
    """Return the unit a difference of two values in a unit has.

    >>> of_difference("°C"), of_difference("s")
    ('K', 's')
    """
    return "K" if unit == "°C" else unit


def siblings(unit: str) -> dict[str, float]:
    """Return the other units that measure the same thing, with their size in SI.

    >>> siblings("mΩ/sq")
    {'Ω/sq': 1.0}
    """
    for family in FAMILIES.values():
        if unit in family:
            return {other: factor for other, factor in family.items() if other != unit}
    raise KeyError(f"unknown unit {unit!r}")


def shown(unit: str) -> str:
    """Return the unit as it follows a number in text: a space before it, nothing for a bare number.

    >>> shown("mm"), shown("1"), shown("%")
    (' mm', '', ' %')
    """
    return "" if unit == "1" else f" {unit}"


def signed(number: float, places: int = 0) -> str:
    """Return a number with its sign; what rounds to none has no minus.

    >>> signed(-0.04, 1), signed(2.26, 1), signed(-3)
    ('+0.0', '+2.3', '-3')
    """
    return f"{round(number, places) or 0.0:+.{places}f}"


def figures(number: float, least: int = 2, sign: str = "") -> str:
    """Return a number in so many figures at least, written out: nobody at a bench reads 1.6e+03.

    >>> figures(8.92), figures(264.4), figures(1600, 3), figures(0.0046), figures(-2.5e3, sign="+"), figures(5.0)
    ('8.9', '264', '1 600', '0.0046', '-2 500', '5')
    """
    rounded = float(f"{number:.{least}g}")
    places = max(0, least - 1 - floor(log10(abs(rounded)))) if rounded else 0
    written = f"{round(number, places) or 0.0:{sign},.{places}f}".replace(",", " ")
    return written.rstrip("0").rstrip(".") if places else written


KEYBOARD = (
    (r"\bu(?=(?:m|g|s|V|A|F|H)\b)", "µ"),
    (r"\b([kmMG]?)ohm\b", r"\1Ω"),
    (r"(?<=[A-Za-zµΩ])\^2(?![\d.])", "²"),
    (r"(?<=[A-Za-zµΩ])\^3(?![\d.])", "³"),
    (r"(?<=[A-Za-zµΩ])\^4(?![\d.])", "⁴"),
    (r"\b([cmµ]?m)2\b", r"\1²"),
    (r"\b([cmµ]?m)3\b", r"\1³"),
    (r"\b(W/m²?|J/kg)/K\b", r"\1K"),
)
"""How references and docstrings write units, with the keyboard's letters, and how exercises and people write them."""


def written(words: str) -> str:
    """Return words with their units as people write them, and as the exercises do.

    >>> written("470 uF through 10 kohm"), written("limit 2 um"), written("0.3 W/m/K"), written("12 W/m^2/K, 5 mg/m3")
    ('470 µF through 10 kΩ', 'limit 2 µm', '0.3 W/mK', '12 W/m²K, 5 mg/m³')
    """
    for keyboard, people in KEYBOARD:
        words = re.sub(keyboard, people, words)
    return words


NO_BREAK = "\u00a0"
COUNTED = ("points", "point", "months", "month", "years", "year", "µε", "Ω/s")
"""What else stands after a number on a screen."""

_LONGEST_FIRST = sorted({*FACTORS, *COUNTED} - {"1"}, key=len, reverse=True)
_AFTER = "|".join(re.escape(unit) for unit in _LONGEST_FIRST if " " not in unit)
TOGETHER = rf"\d (?=(?:{_AFTER})(?![A-Za-z0-9µΩ]))|\d (?=\d{{3}}(?!\d))|\d (?:of|[±×/]) (?=[\d(])"
"""Spaces at which no line may end: before a unit, within a long number, within a fraction. Pages read it as well."""


def together(words: str) -> str:
    """Return words for a screen: a number and its unit, and the two numbers of a fraction, stay on one line.

    >>> together("from 0 °C, 18 000 cycles, 3 of 8 points, 2 amber boards").replace(NO_BREAK, "_")
    'from 0_°C, 18_000_cycles, 3_of_8_points, 2 amber boards'
    """
    return re.sub(TOGETHER, lambda found: found[0].replace(" ", NO_BREAK), words)
