"""A limited current into a dead rail: where the heat goes, and what the voltage limit protects.

Supply off before it is connected; voltage limit at most the rail's nominal voltage; current limit low first, then up.
Parts that carry the current get hot: look, do not touch.
"""

import numpy as np

from workbook.bench import checks

__all__ = ["heat_split", "injected_current"]


def injected_current(current_limit, voltage_limit, resistance):
    r"""Return the current a limited supply drives through a resistance.

    .. math:: I = \min(I_\mathrm{max},\; V_\mathrm{max}/R)

    On a short the current limit acts; on a good rail the voltage limit does, and almost nothing flows.

    Parameters
    ----------
    current_limit : float or array
        Set on the supply, at least zero [A].
    voltage_limit : float or array
        Set on the supply, at least zero [V].
    resistance : float or array
        Short and leads together, at least zero, infinite for an open circuit [ohm].

    Returns
    -------
    float or array
        Current [A].

    References
    ----------
    Ohm's law with two limits; the example is computed.

    Examples
    --------
    A 1.0 V limit on a good rail of 64 ohm and on a short of 0.15 ohm, 2 A set:

    >>> [f"{1e3 * injected_current(2.0, 1.0, resistance):.0f} mA" for resistance in (64.0, 0.15)]
    ['16 mA', '2000 mA']
    """
    checks.at_least("current limit", current_limit, 0, "A")
    checks.at_least("voltage limit", voltage_limit, 0, "V")
    checks.at_least("resistance", np.where(np.isposinf(resistance), 0, resistance), 0, "ohm")
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        by_voltage = np.where(np.equal(resistance, 0), np.inf, np.divide(voltage_limit, resistance))
    return np.minimum(current_limit, by_voltage)


def heat_split(current, short, leads):
    r"""Return the voltage at the supply, and the heat in the short and in the leads.

    .. math:: V = I (R_s + R_l), \qquad P_s = I^2 R_s, \quad P_l = I^2 R_l

    The lower the short, the smaller its share: the leads warm, the short stays cold, and more current is needed.

    Parameters
    ----------
    current : float or array
        Injected, at least zero [A].
    short : float or array
        Resistance of the short, at least zero [ohm].
    leads : float or array
        Resistance of leads and contacts, at least zero [ohm].

    Returns
    -------
    voltage, in_short, in_leads : float or array
        Voltage at the supply [V], heat in the short [W], heat in the leads [W].

    References
    ----------
    Ohm's law; the example is computed.

    Examples
    --------
    2 A through 50 mohm with leads of 100 mohm:

    >>> [f"{amount:.2f}" for amount in heat_split(2.0, 0.050, 0.100)]
    ['0.30', '0.20', '0.40']
    """
    current, short, leads = checks.floats(current, short, leads)
    checks.at_least("current", current, 0, "A")
    checks.at_least("short", short, 0, "ohm")
    checks.at_least("leads", leads, 0, "ohm")
    squared = np.square(current)
    return current * (short + leads), squared * short, squared * leads
