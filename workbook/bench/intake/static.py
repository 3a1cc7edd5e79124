r"""Static on the bench: what a charged person sends into a part, and what a wrist strap lets through.

The strap is for de-energised boards only: no strap near exposed circuits of 250 V or more, and none on live mains
work, where it ties the body to earth. Nothing here allows work on a live board.
"""

from workbook.bench import checks
from workbook.bench.intake import capacitors
from workbook.references import value

__all__ = ["hbm_energy", "hbm_peak_current", "hbm_time_constant", "strap_current", "time_to_drain_body"]


def hbm_peak_current(voltage):
    r"""Return the peak current of a human-body-model discharge into a short circuit.

    .. math:: I_p = V / R, \qquad R = 1.5\,\mathrm{k\Omega}

    Parameters
    ----------
    voltage : float or array
        Voltage of the charged body, 0 or more [V].

    Returns
    -------
    float or array
        Peak current [A].

    References
    ----------
    Human body model of JS-001, 100 pF through 1.5 kohm, as data sheets quote it. A tester specification prints 0.67 A
    at 1 kV and 1.33 A at 2 kV, within 10 %.

    Examples
    --------
    >>> [f"{hbm_peak_current(voltage):.2f}" for voltage in (1000, 2000)]
    ['0.67', '1.33']
    """
    voltage = checks.floats(voltage)
    return capacitors.peak_current(voltage, value("intake", "hbm_resistance"))


def hbm_time_constant():
    r"""Return the time constant of a human-body-model discharge.

    .. math:: \tau = R C = 1.5\,\mathrm{k\Omega} \times 100\,\mathrm{pF}

    Returns
    -------
    float
        Time constant [s].

    References
    ----------
    Human body model of JS-001; a tester specification prints a decay of 150 ns, within 20 ns.

    Examples
    --------
    >>> f"{1e9 * hbm_time_constant():.0f} ns"
    '150 ns'
    """
    return value("intake", "hbm_resistance") * value("intake", "hbm_capacitance")


def hbm_energy(voltage):
    r"""Return the energy stored on the body in the human body model.

    .. math:: E = \tfrac12 C V^2, \qquad C = 100\,\mathrm{pF}

    Most of it is spent in the body's own resistance; the part needs only a sliver to be harmed.

    Parameters
    ----------
    voltage : float or array
        Voltage of the charged body, 0 or more [V].

    Returns
    -------
    float or array
        Energy [J].

    References
    ----------
    Human body model of JS-001; the example is computed.

    Examples
    --------
    >>> f"{1e3 * hbm_energy(2000):.1f} mJ"
    '0.2 mJ'
    """
    return capacitors.stored_energy(value("intake", "hbm_capacitance"), voltage)


def strap_current(voltage, resistance=1e6):
    r"""Return the current through a wrist strap whose wearer touches a voltage.

    .. math:: I = V / R

    The resistor in the cord is there for this. It protects only while it is whole, and only up to the voltage the strap
    is meant for.

    Parameters
    ----------
    voltage : float or array
        Voltage touched, 0 or more [V].
    resistance : float or array
        Resistance of cord and strap, above zero [ohm].

    Returns
    -------
    float or array
        Current [A].

    References
    ----------
    ESD handbook TR20.20-2008 as quoted (second-hand): 1 megohm in the cord, no strap near exposed circuits of 250 V or
    more; the example is computed.

    Examples
    --------
    >>> f"{1e3 * strap_current(250):.2f} mA"
    '0.25 mA'
    """
    voltage, resistance = checks.floats(voltage, resistance)
    return capacitors.peak_current(voltage, resistance)


def time_to_drain_body(voltage, start_voltage, resistance):
    r"""Return how long a path to ground takes to bring a charged body down to a voltage.

    .. math:: t = R C \ln(V_0 / V), \qquad C = 100\,\mathrm{pF}

    Parameters
    ----------
    voltage : float or array
        Voltage to reach, above zero and at most the start voltage [V].
    start_voltage : float or array
        Voltage of the charged body, above zero [V].
    resistance : float or array
        Resistance to ground, above zero [ohm].

    Returns
    -------
    float or array
        Time [s].

    References
    ----------
    Body capacitance of the human body model; the example is computed.

    Examples
    --------
    From 5 kV to 100 V through the most that a strap may have, 35 megohm:

    >>> f"{1e3 * time_to_drain_body(100, 5000, 35e6):.0f} ms"
    '14 ms'
    """
    voltage, start_voltage, resistance = checks.floats(voltage, start_voltage, resistance)
    return capacitors.time_to_voltage(voltage, value("intake", "hbm_capacitance"), resistance, start_voltage)
