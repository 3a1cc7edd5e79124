"""The paste joint: its bond line, its conductivity and the part of its resistance that no thinning removes."""

from dataclasses import dataclass

import numpy as np

from workbook.bench import checks
from workbook.bench.paste.chain import layer_area_resistance
from workbook.references import value

__all__ = [
    "MeterBarLine",
    "apparent_conductivity",
    "bond_line_area_resistance",
    "bond_line_no_thinner_than_grain",
    "bond_line_under_pressure",
    "fit_meter_bar_data",
]


@dataclass(frozen=True)
class MeterBarLine:
    """A straight line through meter-bar readings: conductivity [W/m/K], area resistance of both contacts [m^2 K/W]."""

    conductivity: float
    contacts: float


def bond_line_area_resistance(bond_line, conductivity, contacts):
    r"""Return the area resistance of a paste joint.

    .. math:: R'' = BLT / k + R''_0

    Parameters
    ----------
    bond_line : float or array
        Bond line thickness, at least zero [m].
    conductivity : float or array
        Conductivity of the paste itself, above zero [W/m/K].
    contacts : float or array
        Area resistance of both contacts together, at least zero [m^2 K/W].

    Returns
    -------
    float or array
        Area resistance of the joint [m^2 K/W].

    References
    ----------
    Alumina-filled polymer joints below 100 µm follow the straight line: InterPACK 2005, article 306012 (abstract).
    The row of numbers is computed.

    Examples
    --------
    0.25 mm of k 3 W/m/K with 30 mm²·K/W of contacts:

    >>> round(bond_line_area_resistance(0.25e-3, 3, 30e-6) * 1e6, 2)
    113.33
    """
    bond_line, conductivity, contacts = checks.floats(bond_line, conductivity, contacts)
    checks.at_least("area resistance of the contacts", contacts, 0, "m²·K/W")
    return layer_area_resistance(bond_line, conductivity) + contacts


def apparent_conductivity(bond_line, area_resistance):
    r"""Return the conductivity that one reading seems to show when the contacts are left out.

    .. math:: k_{app} = BLT / R''

    Always below the conductivity of the paste itself, and the more so the thinner the joint.

    Parameters
    ----------
    bond_line : float or array
        Bond line thickness, above zero [m].
    area_resistance : float or array
        Area resistance of the whole joint, above zero [m^2 K/W].

    Returns
    -------
    float or array
        Apparent conductivity [W/m/K].

    References
    ----------
    Algebra on the straight line of `bond_line_area_resistance`; the numbers are computed.

    Examples
    --------
    A paste of 3 W/m/K, 26 % low in a joint of 0.25 mm:

    >>> round(apparent_conductivity(0.25e-3, 113.33e-6), 2)
    2.21
    """
    bond_line, area_resistance = checks.floats(bond_line, area_resistance)
    checks.above("bond line", bond_line, 0, "m")
    checks.above("area resistance", area_resistance, 0, "m²·K/W")
    return bond_line / area_resistance


def fit_meter_bar_data(bond_lines, area_resistances):
    r"""Return the conductivity and the contacts that meter-bar readings at several bond lines show.

    .. math:: R''_i \approx BLT_i / k + R''_0

    Ordinary least squares. The slope is 1/k, the intercept is both contacts.

    Parameters
    ----------
    bond_lines : sequence of float
        At least two different bond lines, at least zero [m].
    area_resistances : sequence of float
        Reading at each bond line, above zero [m^2 K/W].

    Returns
    -------
    MeterBarLine
        Conductivity [W/m/K] and area resistance of both contacts [m^2 K/W].

    References
    ----------
    ASTM D5470 describes the two meter bars; the evaluation by a straight line as in InterPACK 2005, article 306012
    (abstract). The numbers are computed.

    Examples
    --------
    >>> line = fit_meter_bar_data([0.25e-3, 0.5e-3, 1e-3, 2e-3], [113.33e-6, 196.67e-6, 363.33e-6, 696.67e-6])
    >>> round(line.conductivity, 2), round(line.contacts * 1e6, 1)
    (3.0, 30.0)
    """
    thickness, reading = np.asarray(bond_lines, float), np.asarray(area_resistances, float)
    checks.at_least("bond line", thickness, 0, "m")
    checks.above("area resistance", reading, 0, "m²·K/W")
    if thickness.ndim != 1 or thickness.shape != reading.shape or np.ptp(thickness) == 0:
        raise ValueError(f"bond lines must be two or more different ones, one a reading (got {thickness.tolist()})")
    from_mean = thickness - thickness.mean()
    slope = (from_mean @ (reading - reading.mean())) / (from_mean @ from_mean)
    checks.above("slope of resistance over bond line", slope, 0, "m·K/W")
    return MeterBarLine(conductivity=float(1 / slope), contacts=float(reading.mean() - slope * thickness.mean()))


def bond_line_under_pressure(yield_stress, pressure):
    r"""Return the bond line a filled paste comes to rest at under pressure.

    .. math:: BLT = c \, (\tau_y / P)^m, \quad c = 1.31 \times 10^{-4}\,\mathrm m,\ m = 0.166

    A scaling law with constants from memory: good for comparing pressures and pastes, not for a real product. Roughly
    30 kPa to 300 kPa.

    Parameters
    ----------
    yield_stress : float or array
        Yield stress of the paste, above zero [Pa].
    pressure : float or array
        Mean pressure on the joint, above zero [Pa].

    Returns
    -------
    float or array
        Bond line thickness [m].

    References
    ----------
    Prasher et al., IMECE2002-32118 and J. Heat Transfer 125 (2003): that bond line follows yield stress over pressure
    is published (abstract seen); both constants are from memory. The number below is computed with them.

    Examples
    --------
    >>> round(bond_line_under_pressure(100, 100e3) * 1e6, 1)
    41.6
    """
    yield_stress, pressure = checks.floats(yield_stress, pressure)
    checks.above("yield stress", yield_stress, 0, "Pa")
    checks.above("pressure", pressure, 0, "Pa")
    coefficient, exponent = (value("paste", f"bond_line_scaling_{part}") for part in ("coefficient", "exponent"))
    return coefficient * (yield_stress / pressure) ** exponent


def bond_line_no_thinner_than_grain(bond_line, largest_grain):
    r"""Return the bond line, held up where it would be thinner than the largest filler grain.

    .. math:: BLT = \max(BLT_{flow}, d_{max})

    A formula for a smooth fluid knows no grains and may answer with a gap that the filler cannot enter.

    Parameters
    ----------
    bond_line : float or array
        Bond line by a flow formula, at least zero [m].
    largest_grain : float or array
        Largest grain of the filler, at least zero [m].

    Returns
    -------
    float or array
        Bond line that can be reached [m].

    References
    ----------
    Geometry.

    Examples
    --------
    >>> float(bond_line_no_thinner_than_grain(4.19e-6, 20e-6))
    2e-05
    """
    checks.at_least("bond line", bond_line, 0, "m")
    checks.at_least("largest grain", largest_grain, 0, "m")
    return np.maximum(bond_line, largest_grain)
