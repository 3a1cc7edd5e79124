"""What a profile is held to: the limits of the classification profile by edition, each with its own margin.

The standard's table says what a package body must survive. It is no recipe for a board, and there is no one number for
how good a profile is: each limit stands for itself.
"""

from dataclasses import dataclass

import numpy as np

from workbook.bench import checks
from workbook.references import entry, value

__all__ = [
    "EDITIONS",
    "FAMILIES",
    "Limit",
    "MeasuredMargin",
    "class_temperature_c",
    "classification_limits",
    "log_settings",
    "margins",
]

EDITIONS = ("020C", "020D")
"""Editions of IPC/JEDEC J-STD-020 that can be named."""

FAMILIES = {"SnPb": "snpb", "lead-free": "lead_free"}
"""Alloy families of the standard, and the word for each in the keys of the references."""


@dataclass(frozen=True)
class Limit:
    """One limit on one quantity of a profile, both ends included; None where an end is open.

    `quantity` names the attribute it judges, of `log.Metrics` or of anything else that was measured. `settings` are the
    levels that quantity must have been measured with. A value nearer to the limit than `guard` is borderline.
    """

    name: str
    quantity: str
    low: float | None
    high: float | None
    unit: str
    edition: str = ""
    origin: str = ""
    settings: tuple[tuple[str, float], ...] = ()
    guard: float = 0.0

    def __post_init__(self):
        if self.low is None and self.high is None:
            raise ValueError(f"{self.name}: a limit needs a low or a high end")
        if self.low is not None and self.high is not None and self.low > self.high:
            raise ValueError(f"{self.name}: low must not be above high (got {self.low} and {self.high})")
        checks.at_least(f"{self.name}: guard band", self.guard, 0, self.unit)


@dataclass(frozen=True)
class MeasuredMargin:
    """How far a measured value is inside one limit, in the limit's own unit; negative outside, None if not measured."""

    limit: Limit
    measured: float | None

    @property
    def margin(self) -> float | None:
        """Distance to the nearer end of the limit."""
        if self.measured is None:
            return None
        ends = []
        if self.limit.low is not None:
            ends.append(self.measured - self.limit.low)
        if self.limit.high is not None:
            ends.append(self.limit.high - self.measured)
        return float(min(ends))

    @property
    def verdict(self) -> str:
        """One of inside, borderline, outside, not measured."""
        if self.margin is None:
            return "not measured"
        if abs(self.margin) < self.limit.guard:
            return "borderline"
        return "inside" if self.margin >= 0 else "outside"


def log_settings(edition, family):
    """Return the levels a log must be read with to be held to an edition, as arguments of `log.metrics`.

    Parameters
    ----------
    edition : {"020C", "020D"}
        Edition of the standard [1].
    family : {"SnPb", "lead-free"}
        Alloy family [1].

    Returns
    -------
    dict
        Levels `liquidus_c`, `soak_from_c`, `soak_to_c` and the `band` near the peak [°C, K].

    References
    ----------
    IPC/JEDEC J-STD-020C and 020D, Table 5-2 (published second-hand).

    Examples
    --------
    >>> log_settings("020D", "SnPb")["liquidus_c"]
    183
    """
    stems = ("liquidus_c", "soak_from_c", "soak_to_c")
    levels = {stem: value("profile", _key(stem, edition, family)) for stem in stems}
    return {**levels, "band": value("profile", "near_peak_band")}


def class_temperature_c(thickness, volume, family, edition):
    """Return the classification temperature Tc of a package by thickness and volume of its body.

    The volume is the body's, without balls, leads and heat sink. The same package has another Tc in another edition.

    Parameters
    ----------
    thickness : float
        Thickness of the body, above zero [m].
    volume : float
        Volume of the body, above zero [m^3].
    family : {"SnPb", "lead-free"}
        Alloy family [1].
    edition : {"020C", "020D"}
        Edition of the standard [1].

    Returns
    -------
    int
        Classification temperature [°C].

    References
    ----------
    IPC/JEDEC J-STD-020C, Tables 4-1 and 4-2, and 020D, Table 4-2 (published second-hand); 020D, Table 4-1 (from
    memory).

    Examples
    --------
    A body of 20 x 20 x 2.0 mm:

    >>> class_temperature_c(2.0e-3, 20e-3 * 20e-3 * 2.0e-3, "lead-free", "020D")
    250
    """
    checks.above("thickness", thickness, 0, "m")
    checks.above("volume", volume, 0, "m^3")
    rows = entry("profile", _key("class_temperature", edition, family)).value
    # A product of metres is a rounding error off; at the limits of the table it must not decide.
    mm, mm3 = round(thickness * 1e3, 9), round(volume * 1e9, 6)
    thick = mm >= 2.5 if edition == "020C" or family == "SnPb" else mm > 2.5
    if family == "SnPb":
        return rows[int(thick)][int(mm3 >= 350)]
    return rows[2 if thick else int(mm >= 1.6)][int(mm3 >= 350) + int(mm3 > 2000)]


def classification_limits(edition, family, class_c, role="user"):
    """Return the limits of the classification profile, one record each.

    The editions differ in what they say and in what they measure: 020C takes the ramp from Tsmax and the time near the
    peak from the actual peak, 020D takes them from TL and from Tc. In 020D what a supplier must at least show is what a
    user may at most do.

    Parameters
    ----------
    edition : {"020C", "020D"}
        Edition of the standard [1].
    family : {"SnPb", "lead-free"}
        Alloy family [1].
    class_c : float
        Classification temperature Tc of the package, from 180 to 300 [°C].
    role : {"user", "supplier"}, default "user"
        Who is judged; 020C makes no difference [1].

    Returns
    -------
    tuple of Limit
        One record a limit, in the order of the table, each in its own unit [s, K/s, °C].

    References
    ----------
    IPC/JEDEC J-STD-020C and 020D, Table 5-2 (published second-hand).

    Examples
    --------
    >>> for limit in classification_limits("020D", "lead-free", 250)[:3]:
    ...     print(limit.quantity, limit.low, limit.high, limit.unit)
    soak_time 60 120 s
    ramp_liquidus_to_peak None 3 K/s
    time_above_liquidus 60 150 s
    """
    class_c = checks.floats(class_c)
    checks.between("classification temperature", class_c, 180, 300, "°C")
    if role not in ("user", "supplier"):
        raise ValueError(f"role must be 'user' or 'supplier' (got {role!r})")
    levels = log_settings(edition, family)
    soak = tuple((level, levels[level]) for level in ("soak_from_c", "soak_to_c"))
    melt, band, tc = ("liquidus_c", levels["liquidus_c"]), ("band", levels["band"]), ("class_c", class_c)
    older = edition == "020C"

    def limit(stem, quantity, *settings, least=False):
        found = entry("profile", _key(stem, edition, family))
        if isinstance(found.value, tuple):
            low, high = found.value
        else:
            low, high = (found.value, None) if least else (None, found.value)
        return Limit(found.name, quantity, low, high, found.unit, edition, found.origin(), settings)

    return (
        limit("soak_time", "soak_time", *soak),
        limit("ramp_up", "ramp_soak_to_peak", soak[1]) if older else limit("ramp_up", "ramp_liquidus_to_peak", melt),
        limit("time_above_liquidus", "time_above_liquidus", melt),
        _peak_limit(edition, family, class_c, role),
        limit("time_near_peak", "time_within_of_peak", band)
        if older
        else limit("time_near_peak", "time_within_of_class", band, tc, least=role == "supplier"),
        limit("ramp_down", "cooling_peak_to_liquidus", melt),
        limit("time_to_peak", "time_to_peak", ("start_c", 25)),
    )


def margins(measured, limits):
    """Return the margin of each limit on its own; there is no overall score.

    Parameters
    ----------
    measured : Metrics or any object with the quantities as attributes
        What was measured [unit of each limit].
    limits : sequence of Limit
        What it is held to [unit of each limit].

    Returns
    -------
    tuple of MeasuredMargin
        One a limit, in the order given [unit of each limit].

    References
    ----------
    Definition of this workbook; ends are compared exactly.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> hottest = Limit("package body", "peak_c", None, 250, "°C")
    >>> [(m.margin, m.verdict) for m in margins(SimpleNamespace(peak_c=244.0), [hottest])]
    [(6.0, 'inside')]
    """
    return tuple(MeasuredMargin(limit, _value_for(measured, limit)) for limit in limits)


def _value_for(measured, limit):
    for setting, wanted in limit.settings:
        got = getattr(measured, setting)
        if got != wanted:
            raise ValueError(f"{limit.name} is for {setting} = {wanted:g}; it was measured with {got}")
    got = getattr(measured, limit.quantity)
    return None if got is None or np.isnan(got) else float(got)


def _peak_limit(edition, family, class_c, role):
    if edition == "020C":
        low, high = class_c - value("profile", "peak_below_class_020c"), class_c
        origin = entry("profile", "peak_below_class_020c").origin()
    else:
        low, high = (class_c, None) if role == "supplier" else (None, class_c)
        origin = entry("profile", "peak_above_class_020d").origin()
    return Limit(f"Peak of the package body, {family}, {edition}", "peak_c", low, high, "°C", edition, origin)


def _key(stem, edition, family):
    if edition not in EDITIONS:
        raise ValueError(f"edition must be one of {', '.join(EDITIONS)} (got {edition!r})")
    if family not in FAMILIES:
        raise ValueError(f"family must be one of {', '.join(FAMILIES)} (got {family!r})")
    return f"{stem}_{FAMILIES[family]}_{edition.lower()}"
