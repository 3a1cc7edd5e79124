"""How many temperature cycles a solder joint takes: strain to life, test to field, and the sum of several cycles.

No law here carries constants of its own. Each takes a set of them (:class:`EngelmaierConstants`,
:class:`CyclingConstants`), because sets for different solders stand in print side by side, disagree by factors, and
hold only in the range they were fitted in. The sets that are kept, with standing and source, are in
``workbook/references/joints.toml``; ``from_references`` makes a set from one of them.
"""

from dataclasses import dataclass
from typing import Self

import numpy as np
from scipy.constants import zero_Celsius

from workbook.bench import checks
from workbook.references import table

__all__ = [
    "CyclingConstants",
    "EngelmaierConstants",
    "ThermalCycle",
    "basquin_amplitude",
    "basquin_life",
    "coffin_manson_amplitude",
    "coffin_manson_life",
    "dwell_acceleration",
    "dwell_life_ratio",
    "engelmaier_exponent",
    "engelmaier_life",
    "engelmaier_strain",
    "miner_damage",
    "miner_life",
    "norris_landzberg_acceleration",
    "swing_acceleration",
]


class _Set:
    """A set of constants that can be read from the reference tables."""

    @classmethod
    def from_references(cls, key: str) -> Self:
        """Return the set kept under this key in ``references/joints.toml``."""
        (constants,) = table("joints", key).values()
        return cls(**constants)


@dataclass(frozen=True)
class EngelmaierConstants(_Set):
    """Constants of Engelmaier's law for one solder.

    >>> EngelmaierConstants.from_references("engelmaier_tin_lead").ductility
    0.325
    """

    ductility: float
    """Fatigue ductility coefficient; the law uses twice this number, and some copies print the double [1]."""
    base: float
    """Exponent at 0 °C and endless dwell, below zero [1]."""
    per_degree: float
    """Change of the exponent by mean temperature [1/°C]."""
    per_log_dwell: float
    """Change of the exponent by the logarithm of the dwell term [1]."""
    dwell_constant: float
    """Time that the dwell is compared with [s]."""


@dataclass(frozen=True)
class CyclingConstants(_Set):
    """Constants of an acceleration law of the Norris-Landzberg form for one solder.

    >>> CyclingConstants.from_references("norris_landzberg_tin_lead").swing_exponent
    1.9
    """

    swing_exponent: float
    """Power of the ratio of temperature swings [1]."""
    time_exponent: float
    """Power of the ratio of frequencies, or of hot dwells: each law says which [1]."""
    activation_temperature: float
    """Activation energy over the Boltzmann constant [K]."""


@dataclass(frozen=True)
class ThermalCycle:
    """The two ends of a temperature cycle, in degrees Celsius.

    >>> float(ThermalCycle(-40, 125).swing)
    165.0
    """

    lowest_c: float
    highest_c: float

    def __post_init__(self):
        checks.above("lowest_c", self.lowest_c, -zero_Celsius, "°C")
        checks.above("highest_c", self.highest_c, -zero_Celsius, "°C")
        checks.above("highest_c minus lowest_c", self.swing, 0, "K")

    @property
    def swing(self):
        """Highest minus lowest temperature [K]."""
        return np.subtract(self.highest_c, self.lowest_c)

    @property
    def mean_c(self):
        """Midway between the two ends [°C]."""
        return np.add(self.highest_c, self.lowest_c) / 2


def engelmaier_exponent(mean_temperature_c, dwell, constants):
    r"""Return the fatigue exponent of Engelmaier's law.

    .. math:: c = c_0 + c_1 \bar T + c_2 \ln(1 + t_0 / t_D)

    The mean temperature goes in as degrees Celsius, not kelvin. The longer and the hotter the dwell, the more the
    solder creeps in it and the farther c falls below zero.

    Parameters
    ----------
    mean_temperature_c : float or array
        Mean joint temperature over the cycle, above -273.15; fitted for service, roughly 0 to 100 [°C].
    dwell : float or array
        Time of one half-cycle dwell, above zero [s].
    constants : EngelmaierConstants
        The set of the solder, ductility [1] to dwell constant [s].

    Returns
    -------
    float or array
        Exponent c, below zero in the range of use [1].

    References
    ----------
    Engelmaier, IEEE Trans. Components, Hybrids, Manuf. Technol. CHMT-6(3), 1983, 232-237 (published second-hand).

    Examples
    --------
    Tin-lead at 55 °C with dwells of 15 min, -0.418992 in a public test file that cites the paper:

    >>> tin_lead = EngelmaierConstants.from_references("engelmaier_tin_lead")
    >>> f"{engelmaier_exponent(55, 15 * 60, tin_lead):.6f}"
    '-0.418992'
    """
    checks.above("mean_temperature_c", mean_temperature_c, -zero_Celsius, "°C")
    checks.above("dwell", dwell, 0, "s")
    creep_time = np.log1p(np.divide(constants.dwell_constant, dwell))
    return constants.base + np.multiply(constants.per_degree, mean_temperature_c) + constants.per_log_dwell * creep_time


def engelmaier_life(strain_range, mean_temperature_c, dwell, constants):
    r"""Return the cycles at which half of such joints have failed, by Engelmaier's law.

    .. math:: N_{50} = \tfrac{1}{2} \left( \frac{\Delta\gamma}{2 \varepsilon_f'} \right)^{1/c}

    A first-order estimate: an error in c of 1 % moves the life by about 10 %.

    Parameters
    ----------
    strain_range : float or array
        Shear strain range as a fraction, above zero [1].
    mean_temperature_c : float or array
        Mean joint temperature over the cycle, above -273.15 [°C].
    dwell : float or array
        Time of one half-cycle dwell, above zero [s].
    constants : EngelmaierConstants
        The set of the solder, ductility [1] to dwell constant [s].

    Returns
    -------
    float or array
        Median life in cycles, above zero [1].

    References
    ----------
    Engelmaier, IEEE Trans. Components, Hybrids, Manuf. Technol. CHMT-6(3), 1983, 232-237 (published second-hand).
    Chauhan, Pecht, Osterman and Lee, IEEE Trans. Compon. Packag. Technol., 2009, for its limits.

    Examples
    --------
    A strain of 0.028 at 55 °C and 15 min, 909.06 in a public test file that cites the paper:

    >>> tin_lead = EngelmaierConstants.from_references("engelmaier_tin_lead")
    >>> f"{engelmaier_life(0.028, 55, 15 * 60, tin_lead):.2f}"
    '909.06'
    """
    checks.above("strain_range", strain_range, 0)
    exponent = _falling_exponent(mean_temperature_c, dwell, constants)
    return 0.5 * np.power(np.divide(strain_range, 2 * constants.ductility), 1 / exponent)


def engelmaier_strain(median_life, mean_temperature_c, dwell, constants):
    r"""Return the shear strain range that gives a wanted median life: Engelmaier's law the other way round.

    .. math:: \Delta\gamma = 2 \varepsilon_f' (2 N_{50})^c

    Parameters
    ----------
    median_life : float or array
        Wanted median life in cycles, above zero [1].
    mean_temperature_c : float or array
        Mean joint temperature over the cycle, above -273.15 [°C].
    dwell : float or array
        Time of one half-cycle dwell, above zero [s].
    constants : EngelmaierConstants
        The set of the solder, ductility [1] to dwell constant [s].

    Returns
    -------
    float or array
        Shear strain range as a fraction, above zero [1].

    References
    ----------
    Engelmaier, IEEE Trans. Components, Hybrids, Manuf. Technol. CHMT-6(3), 1983, 232-237 (published second-hand).

    Examples
    --------
    The strain behind the 121.80 cycles of the public test file is 0.065:

    >>> tin_lead = EngelmaierConstants.from_references("engelmaier_tin_lead")
    >>> f"{engelmaier_strain(121.80, 55, 15 * 60, tin_lead):.3f}"
    '0.065'
    """
    checks.above("median_life", median_life, 0)
    exponent = _falling_exponent(mean_temperature_c, dwell, constants)
    return 2 * constants.ductility * np.power(np.multiply(2.0, median_life), exponent)


def _falling_exponent(mean_temperature_c, dwell, constants):
    """Return the exponent, refused where the dwell is so short that life would no longer fall with strain."""
    exponent = engelmaier_exponent(mean_temperature_c, dwell, constants)
    if np.any(exponent >= 0):
        raise ValueError(
            f"the fatigue exponent must be below 0 (got {np.max(exponent):.3g}): a dwell this short is outside the law"
        )
    return exponent


def coffin_manson_life(plastic_strain_amplitude, ductility, exponent):
    r"""Return the cycles to failure where plastic strain governs.

    .. math:: \frac{\Delta\varepsilon_p}{2} = \varepsilon_f' (2N)^c

    2N counts reversals, two a cycle.

    Parameters
    ----------
    plastic_strain_amplitude : float or array
        Half the plastic strain range, above zero [1].
    ductility : float or array
        Fatigue ductility coefficient, above zero [1].
    exponent : float or array
        Fatigue ductility exponent c, between -2 and 0; about -0.5 to -0.7 for metals [1].

    Returns
    -------
    float or array
        Cycles to failure, above zero [1].

    References
    ----------
    Coffin-Manson law, wording of a public fatigue library's documentation.

    Examples
    --------
    An amplitude of one tenth of the ductility at c = -0.5 is 100 reversals, by the power law:

    >>> f"{coffin_manson_life(0.0325, 0.325, -0.5):.1f}"
    '50.0'
    """
    checks.above("plastic_strain_amplitude", plastic_strain_amplitude, 0)
    return _cycles(plastic_strain_amplitude, "ductility", ductility, exponent)


def coffin_manson_amplitude(life, ductility, exponent):
    r"""Return the plastic strain amplitude that gives a wanted life.

    .. math:: \frac{\Delta\varepsilon_p}{2} = \varepsilon_f' (2N)^c

    Parameters
    ----------
    life : float or array
        Cycles to failure, above zero [1].
    ductility : float or array
        Fatigue ductility coefficient, above zero [1].
    exponent : float or array
        Fatigue ductility exponent c, between -2 and 0 [1].

    Returns
    -------
    float or array
        Half the plastic strain range, above zero [1].

    References
    ----------
    Coffin-Manson law, wording of a public fatigue library's documentation.

    Examples
    --------
    >>> f"{coffin_manson_amplitude(50, 0.325, -0.5):.4f}"
    '0.0325'
    """
    life, ductility, exponent = checks.floats(life, ductility, exponent)
    return _amplitude(life, "ductility", ductility, exponent)


def basquin_life(stress_amplitude, strength, exponent):
    r"""Return the cycles to failure where elastic stress governs: vibration rather than heating.

    .. math:: \sigma_a = \sigma_f' (2N)^b

    Parameters
    ----------
    stress_amplitude : float or array
        Half the stress range, above zero [Pa].
    strength : float or array
        Fatigue strength coefficient, above zero [Pa].
    exponent : float or array
        Fatigue strength exponent b, between -2 and 0 [1].

    Returns
    -------
    float or array
        Cycles to failure, above zero [1].

    References
    ----------
    Basquin's law (published second-hand), in a public fatigue library's documentation.

    Examples
    --------
    Half the strength at b = -0.1 is 2^10 = 1024 reversals, by the power law:

    >>> f"{basquin_life(50e6, 100e6, -0.1):.1f}"
    '512.0'
    """
    checks.above("stress_amplitude", stress_amplitude, 0, "Pa")
    return _cycles(stress_amplitude, "strength", strength, exponent)


def basquin_amplitude(life, strength, exponent):
    r"""Return the stress amplitude that gives a wanted life.

    .. math:: \sigma_a = \sigma_f' (2N)^b

    Parameters
    ----------
    life : float or array
        Cycles to failure, above zero [1].
    strength : float or array
        Fatigue strength coefficient, above zero [Pa].
    exponent : float or array
        Fatigue strength exponent b, between -2 and 0 [1].

    Returns
    -------
    float or array
        Half the stress range, above zero [Pa].

    References
    ----------
    Basquin's law (published second-hand), in a public fatigue library's documentation.

    Examples
    --------
    >>> f"{basquin_amplitude(512, 100e6, -0.1) / 1e6:.1f}"
    '50.0'
    """
    life, strength, exponent = checks.floats(life, strength, exponent)
    return _amplitude(life, "strength", strength, exponent)


def _cycles(amplitude, name, coefficient, exponent):
    checks.above(name, coefficient, 0)
    checks.inside("exponent", exponent, -2, 0)
    return 0.5 * np.power(np.divide(amplitude, coefficient), 1 / np.asarray(exponent))


def _amplitude(life, name, coefficient, exponent):
    checks.above("life", life, 0)
    checks.above(name, coefficient, 0)
    checks.inside("exponent", exponent, -2, 0)
    return coefficient * np.power(np.multiply(2.0, life), exponent)


def swing_acceleration(test_swing, field_swing, exponent):
    r"""Return how many field cycles one test cycle is worth, from the temperature swings alone.

    .. math:: AF = \left( \frac{\Delta T_{test}}{\Delta T_{field}} \right)^n

    Parameters
    ----------
    test_swing : float or array
        Temperature swing in the test, above zero [K].
    field_swing : float or array
        Temperature swing in the field, above zero [K].
    exponent : float or array
        Power n, above zero; about 1.9 to 2.7 for solder [1].

    Returns
    -------
    float or array
        Field life over test life, both in cycles, above zero [1].

    References
    ----------
    A device maker's public support thread on a solder joint acceleration model (published-unnamed).

    Examples
    --------
    180 K in the test, 50 K in the field, n = 1.9, answered there as 11.4:

    >>> f"{swing_acceleration(180, 50, 1.9):.1f}"
    '11.4'
    """
    checks.above("test_swing", test_swing, 0, "K")
    checks.above("field_swing", field_swing, 0, "K")
    checks.above("exponent", exponent, 0)
    return np.power(np.divide(test_swing, field_swing), exponent)


def norris_landzberg_acceleration(test, field, *, test_frequency, field_frequency, constants):
    r"""Return how many field cycles one test cycle is worth, by Norris and Landzberg.

    .. math:: AF = \left( \frac{\Delta T_t}{\Delta T_f} \right)^n \left( \frac{f_f}{f_t} \right)^m
              \exp\left[ T_a \left( \frac{1}{T_{max,f}} - \frac{1}{T_{max,t}} \right) \right]

    The frequency ratio is **field over test**: a slow field cycle creeps longer and does more harm than a fast test
    cycle, so the ratio makes AF smaller. Printed answers with the ratio upside down exist. A frequency is one over the
    duration of one cycle; how often the cycle comes round in a day does not enter.

    Parameters
    ----------
    test : ThermalCycle
        Both ends of the test cycle [°C].
    field : ThermalCycle
        Both ends of the field cycle [°C].
    test_frequency : float or array
        One over the duration of a test cycle, above zero [Hz].
    field_frequency : float or array
        One over the duration of a field cycle, above zero [Hz].
    constants : CyclingConstants
        Powers [1] and activation temperature [K] of the solder; ``time_exponent`` is the power of the frequencies.

    Returns
    -------
    float or array
        Field life over test life, both in cycles, above zero [1].

    References
    ----------
    Printed Circuits Handbook, section 64.2.4 (published second-hand).

    Examples
    --------
    A 0/100 °C test against a 20/80 °C field at one frequency, 3.2 predicted there and 2.9 to 3.6 measured; two
    digits more show that we land 2 % higher:

    >>> tin_lead = CyclingConstants.from_references("norris_landzberg_tin_lead")
    >>> test, field = ThermalCycle(0, 100), ThermalCycle(20, 80)
    >>> af = norris_landzberg_acceleration(test, field, test_frequency=1, field_frequency=1, constants=tin_lead)
    >>> f"{af:.2f}"
    '3.27'
    """
    checks.above("test_frequency", test_frequency, 0, "Hz")
    checks.above("field_frequency", field_frequency, 0, "Hz")
    return _acceleration(test, field, np.divide(field_frequency, test_frequency), constants)


def dwell_acceleration(test, field, *, test_dwell, field_dwell, constants):
    r"""Return how many field cycles one test cycle is worth, with hot dwells in place of frequencies.

    .. math:: AF = \left( \frac{\Delta T_t}{\Delta T_f} \right)^n \left( \frac{t_t}{t_f} \right)^m
              \exp\left[ T_a \left( \frac{1}{T_{max,f}} - \frac{1}{T_{max,t}} \right) \right]

    The form of Pan and others for tin-silver-copper. The ratio of dwells is **test over field**: the same physics as
    the frequency ratio, as a dwell is a time. Fitted between 0 and 100 °C.

    Parameters
    ----------
    test : ThermalCycle
        Both ends of the test cycle, fitted for 0 to 100 [°C].
    field : ThermalCycle
        Both ends of the field cycle, fitted for 0 to 100 [°C].
    test_dwell : float or array
        Time at the hot end of a test cycle, above zero [s].
    field_dwell : float or array
        Time at the hot end of a field cycle, above zero [s].
    constants : CyclingConstants
        Powers [1] and activation temperature [K] of the solder; ``time_exponent`` is the power of the dwells.

    Returns
    -------
    float or array
        Field life over test life, both in cycles, above zero [1].

    References
    ----------
    Pan et al., SMTA International, 2005 (published second-hand). No published worked answer was found that it
    reproduces, so the example below is ours.

    Examples
    --------
    >>> pan = CyclingConstants.from_references("pan_tin_silver_copper")
    >>> test, field = ThermalCycle(0, 100), ThermalCycle(20, 80)
    >>> f"{dwell_acceleration(test, field, test_dwell=600, field_dwell=600, constants=pan):.2f}"
    '5.39'
    """
    checks.above("test_dwell", test_dwell, 0, "s")
    checks.above("field_dwell", field_dwell, 0, "s")
    return _acceleration(test, field, np.divide(test_dwell, field_dwell), constants)


def _acceleration(test, field, time_ratio, constants):
    hotter = 1 / (np.asarray(field.highest_c) + zero_Celsius) - 1 / (np.asarray(test.highest_c) + zero_Celsius)
    return (
        swing_acceleration(test.swing, field.swing, constants.swing_exponent)
        * np.power(time_ratio, constants.time_exponent)
        * np.exp(constants.activation_temperature * hotter)
    )


def dwell_life_ratio(dwell, reference_dwell, exponent):
    r"""Return the life at one dwell time as a share of the life at another, all else equal.

    .. math:: \frac{N}{N_{ref}} = \left( \frac{t_D}{t_{ref}} \right)^{-q}

    Parameters
    ----------
    dwell : float or array
        Dwell time asked about, above zero [s].
    reference_dwell : float or array
        Dwell time the life is known for, above zero [s].
    exponent : float or array
        Power q, at least zero: 0.22 for SAC305 and 0.18 for SAC105 in print [1].

    Returns
    -------
    float or array
        Life over life at the reference dwell, above zero [1].

    References
    ----------
    Printed Circuits Handbook, section 63.7.3 (published second-hand), for the power; the example is our arithmetic.

    Examples
    --------
    SAC305 with 30 min in place of 10 min loses a fifth of its life:

    >>> f"{dwell_life_ratio(30 * 60, 10 * 60, 0.22):.2f}"
    '0.79'
    """
    checks.above("dwell", dwell, 0, "s")
    checks.above("reference_dwell", reference_dwell, 0, "s")
    checks.at_least("exponent", exponent, 0)
    return np.power(np.divide(dwell, reference_dwell), -np.asarray(exponent, dtype=float))


def miner_damage(cycles, lives):
    r"""Return the damage of several kinds of cycle together, by Miner's sum.

    .. math:: D = \sum_i \frac{n_i}{N_i}

    Failure is expected at D = 1. What adds up is damage; lives do not.

    Parameters
    ----------
    cycles : array
        Cycles done of each kind, kinds along the last axis, at least zero [1].
    lives : array
        Cycles to failure if only that kind came, above zero [1].

    Returns
    -------
    float or array
        Share of the life used up, at least zero [1].

    References
    ----------
    Printed Circuits Handbook, sections 64.2.5 and 64.2.6 (published second-hand).

    Examples
    --------
    One power cycle of life 37 895 with its 120 small ones of life 163 020; 1311 such rounds, printed there, use up
    the life:

    >>> f"{1311 * miner_damage([1, 120], [37895, 163020]):.3f}"
    '1.000'
    """
    checks.at_least("cycles", cycles, 0)
    checks.above("lives", lives, 0)
    return np.sum(np.divide(cycles, lives), axis=-1)


def miner_life(cycles_per_round, lives):
    r"""Return how many rounds of several kinds of cycle use up the life, by Miner's sum.

    .. math:: M = \frac{1}{\sum_i n_i / N_i}

    Parameters
    ----------
    cycles_per_round : array
        Cycles of each kind in one round, kinds along the last axis, at least zero and not all zero [1].
    lives : array
        Cycles to failure if only that kind came, above zero [1].

    Returns
    -------
    float or array
        Rounds to failure, above zero [1].

    References
    ----------
    Printed Circuits Handbook, sections 64.2.5 and 64.2.6 (published second-hand).

    Examples
    --------
    One power cycle every 30 days with 120 small ones, answered there as 1311 rounds or 107.8 years:

    >>> rounds = miner_life([1, 120], [37895, 163020])
    >>> f"{rounds:.0f} rounds, {rounds * 30 / 365:.1f} years"
    '1311 rounds, 107.8 years'
    """
    damage = miner_damage(cycles_per_round, lives)
    checks.above("damage of one round", damage, 0)
    return 1 / damage
