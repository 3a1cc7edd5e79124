"""What a thermocouple log says: crossings, times above a level, slopes, the peak, and what cannot be said.

A log is two one-dimensional sequences, time in seconds and temperature in °C. Between samples the temperature is taken
as a straight line; a log is never resampled. `clean` first, then ask; `metrics` cleans and asks everything.
"""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from workbook.bench import checks

__all__ = [
    "Crossings",
    "Metrics",
    "Peak",
    "area_above",
    "clean",
    "cooling_rate",
    "crossings",
    "gaps",
    "metrics",
    "peak",
    "ramp_between",
    "soak_time",
    "steepest_cooling",
    "steepest_ramp",
    "time_above",
    "time_to_peak",
    "time_within",
    "time_within_of_peak",
]

_FEWEST_IN_A_WINDOW = 3
"""A slope with an uncertainty of its own needs three samples; two give back whatever noise they carry."""


class Crossings(NamedTuple):
    """The times [s] at which a log goes up to a level and falls below it."""

    up: np.ndarray
    down: np.ndarray


class Peak(NamedTuple):
    """The hottest sample: its time [s] and its temperature [°C]."""

    time: float
    temperature_c: float


@dataclass(frozen=True)
class Metrics:
    """All that a log says about a profile; None where it cannot be said, and then `flags` says why.

    Times in s, temperatures in °C, slopes in K/s, area in K*s. The settings the numbers depend on stand beside them.
    """

    liquidus_c: float
    soak_from_c: float
    soak_to_c: float
    start_c: float
    class_c: float | None
    band: float
    window: float
    longest_gap: float

    peak_c: float | None
    peak_time: float | None
    time_to_peak: float | None
    soak_time: float | None
    ramp_soak_to_peak: float | None
    ramp_liquidus_to_peak: float | None
    steepest_ramp: float | None
    steepest_cooling: float | None
    time_above_liquidus: float
    area_above_liquidus: float
    time_within_of_peak: float | None
    time_within_of_class: float | None
    cooling_peak_to_liquidus: float | None
    cooling_liquidus_to_soak: float | None

    flags: tuple[str, ...]


def clean(time, temperature_c):
    """Return the log in order of time, without samples that are no numbers, duplicate time stamps averaged.

    Nothing is resampled, smoothed or filled in.

    Parameters
    ----------
    time : sequence of float
        Time stamps, in any order, one a sample [s].
    temperature_c : sequence of float
        Readings, one a sample [°C].

    Returns
    -------
    tuple of two arrays
        Strictly rising times [s] and their temperatures [°C].

    References
    ----------
    Definition of this workbook.

    Examples
    --------
    >>> time, temperature_c = clean([2, 0, 1, 1, 3], [30, 25, 26, 28, float("nan")])
    >>> time.tolist(), temperature_c.tolist()
    ([0.0, 1.0, 2.0], [25.0, 27.0, 30.0])
    """
    time, temperature_c = _pair(time, temperature_c)
    sound = np.isfinite(time) & np.isfinite(temperature_c)
    stamps, place = np.unique(time[sound], return_inverse=True)
    if stamps.size < 2:
        raise ValueError(f"a log needs at least two samples at different times (got {stamps.size})")
    return stamps, np.bincount(place, weights=temperature_c[sound]) / np.bincount(place)


def crossings(time, temperature_c, level_c):
    """Return the times at which a log reaches a level going up, and falls below it going down.

    A sample exactly at the level counts as having reached it. A log that starts at the level has reached it at its
    first sample; one that starts above has no crossing up there.

    Parameters
    ----------
    time : sequence of float
        Strictly rising times [s].
    temperature_c : sequence of float
        Readings [°C].
    level_c : float
        The level [°C].

    Returns
    -------
    Crossings
        `up` and `down`, arrays of times [s].

    References
    ----------
    Definition of this workbook: straight lines between samples.

    Examples
    --------
    >>> up, down = crossings([0, 100, 200], [25, 225, 25], 125)
    >>> up.tolist(), down.tolist()
    ([50.0], [150.0])
    """
    time, temperature_c = _sound(time, temperature_c)
    checks.between("level", level_c, -273.15, 2000, "°C")
    return Crossings(_reached(time, temperature_c, level_c), _left(time, temperature_c, level_c))


def time_above(time, temperature_c, level_c):
    """Return how long a log is at or above a level, all stretches together.

    Straight lines between samples, so it does not depend on how often the logger samples as counting samples does.

    Parameters
    ----------
    time : sequence of float
        Strictly rising times [s].
    temperature_c : sequence of float
        Readings [°C].
    level_c : float
        The level, such as the 217 °C of the standard for lead-free solder [°C].

    Returns
    -------
    float
        Time at or above the level [s].

    References
    ----------
    The quantity tL of IPC/JEDEC J-STD-020D, Table 5-2 (published second-hand); interpolation is this workbook's.

    Examples
    --------
    A triangle from 25 to 225 °C and back, 100 s each way, is above 125 °C for half of it:

    >>> time_above([0, 100, 200], [25, 225, 25], 125)
    100.0
    """
    time, temperature_c = _sound(time, temperature_c)
    checks.between("level", level_c, -273.15, 2000, "°C")
    low = np.minimum(temperature_c[:-1], temperature_c[1:])
    high = np.maximum(temperature_c[:-1], temperature_c[1:])
    level_piece = (low >= level_c).astype(float)
    share = np.divide(high - level_c, high - low, out=level_piece, where=high > low)
    return float(np.clip(share, 0, 1) @ np.diff(time))


def area_above(time, temperature_c, level_c):
    r"""Return the area between a log and a level it is above.

    .. math:: A = \int \max(T - T_\text{level}, 0)\, dt

    Parameters
    ----------
    time : sequence of float
        Strictly rising times [s].
    temperature_c : sequence of float
        Readings [°C].
    level_c : float
        The level [°C].

    Returns
    -------
    float
        Area above the level [K*s].

    References
    ----------
    Definition of this workbook: the integral is exact for straight lines between samples.

    Examples
    --------
    The triangle above 125 °C has base 100 s and height 100 K:

    >>> area_above([0, 100, 200], [25, 225, 25], 125)
    5000.0
    """
    time, temperature_c = _sound(time, temperature_c)
    checks.between("level", level_c, -273.15, 2000, "°C")
    over = np.maximum(temperature_c - level_c, 0)
    start, end, step = over[:-1], over[1:], np.diff(time)
    crosses = (temperature_c[:-1] < level_c) != (temperature_c[1:] < level_c)
    part = np.divide(start + end, np.abs(np.diff(temperature_c)), out=np.ones(step.size), where=crosses)
    return float(np.sum((start + end) / 2 * part * step))


def ramp_between(time, temperature_c, from_c, to_c):
    r"""Return the mean slope from first reaching one level to first reaching a higher one.

    .. math:: r = (T_2 - T_1) / (t_2 - t_1)

    Parameters
    ----------
    time : sequence of float
        Strictly rising times [s].
    temperature_c : sequence of float
        Readings [°C].
    from_c : float
        Lower level [°C].
    to_c : float
        Upper level; the peak itself is allowed [°C].

    Returns
    -------
    float
        Mean slope [K/s].

    References
    ----------
    IPC/JEDEC J-STD-020D, Table 5-2, average ramp-up from TL to Tp (published second-hand); 020C measures it from Tsmax.

    Examples
    --------
    >>> ramp_between([0, 100, 200], [25, 225, 25], 125, 225)
    2.0
    """
    checks.single(from_c=from_c, to_c=to_c)
    from_c, to_c = checks.floats(from_c, to_c)
    if not from_c < to_c:
        raise ValueError(f"the upper level must be above the lower one (got {from_c} to {to_c} °C)")
    time, temperature_c = _sound(time, temperature_c)
    start = _first_reach(time, temperature_c, from_c)
    return float((to_c - from_c) / (_first_reach(time, temperature_c, to_c) - start))


def steepest_ramp(time, temperature_c, window=10.0):
    """Return the largest least-squares slope over any stretch of the log as long as the window.

    State the window with the number: noise of half a kelvin turns a ramp of 1.5 K/s into more than 3 K/s over 1 s, and
    20 s hides a fifth of a sharp start. A stretch counts if it holds at least three samples and spans half the window.

    Parameters
    ----------
    time : sequence of float
        Strictly rising times [s].
    temperature_c : sequence of float
        Readings [°C].
    window : float, default 10.0
        Length of the stretches, above zero [s].

    Returns
    -------
    float
        Largest slope; negative if the log only falls [K/s].

    References
    ----------
    Definition of this workbook; the standard states no window.

    Examples
    --------
    >>> time = range(0, 101)
    >>> round(steepest_ramp(time, [25 + 1.5 * t for t in time]), 6)
    1.5
    """
    return float(np.max(_slopes(time, temperature_c, window)))


def steepest_cooling(time, temperature_c, window=10.0):
    """Return the largest least-squares rate of fall over any stretch of the log as long as the window.

    Parameters
    ----------
    time : sequence of float
        Strictly rising times [s].
    temperature_c : sequence of float
        Readings [°C].
    window : float, default 10.0
        Length of the stretches, above zero [s].

    Returns
    -------
    float
        Largest rate of fall, positive for a log that falls [K/s].

    References
    ----------
    Definition of this workbook, as for `steepest_ramp`.

    Examples
    --------
    >>> time = range(0, 101)
    >>> round(steepest_cooling(time, [225 - 2.5 * t for t in time]), 6)
    2.5
    """
    return float(0.0 - np.min(_slopes(time, temperature_c, window)))  # a level log falls by 0, not by -0


def soak_time(time, temperature_c, from_c=150.0, to_c=200.0):
    """Return the time from first reaching the lower soak temperature to first reaching the upper one.

    Parameters
    ----------
    time : sequence of float
        Strictly rising times [s].
    temperature_c : sequence of float
        Readings [°C].
    from_c : float, default 150.0
        Lower soak temperature, Tsmin: 150 lead-free, 100 for SnPb [°C].
    to_c : float, default 200.0
        Upper soak temperature, Tsmax: 200 lead-free, 150 for SnPb [°C].

    Returns
    -------
    float
        Soak time [s].

    References
    ----------
    The quantity ts of IPC/JEDEC J-STD-020D, Table 5-2 (published second-hand).

    Examples
    --------
    >>> soak_time([0, 100, 200], [25, 225, 25])
    25.0
    """
    checks.single(from_c=from_c, to_c=to_c)
    from_c, to_c = checks.floats(from_c, to_c)
    if not from_c < to_c:
        raise ValueError(f"the upper level must be above the lower one (got {from_c} to {to_c} °C)")
    time, temperature_c = _sound(time, temperature_c)
    return float(_first_reach(time, temperature_c, to_c) - _first_reach(time, temperature_c, from_c))


def gaps(time, longest_gap=5.0):
    """Return the stretches in which a log has no sample for longer than allowed.

    Parameters
    ----------
    time : sequence of float
        Strictly rising times [s].
    longest_gap : float, default 5.0
        Longest step between samples that is no gap, above zero [s].

    Returns
    -------
    array, one row a gap
        Start and end of each gap [s].

    References
    ----------
    Definition of this workbook.

    Examples
    --------
    >>> gaps([0, 1, 2, 10, 11]).tolist()
    [[2.0, 10.0]]
    """
    time, _ = _sound(time, np.zeros(np.size(time)))
    if np.isnan(longest_gap) or longest_gap <= 0:
        raise ValueError(f"longest gap must be above 0 s (got {longest_gap})")
    before = np.flatnonzero(np.diff(time) > longest_gap)
    return np.column_stack([time[before], time[before + 1]])


def peak(time, temperature_c, longest_gap=5.0):
    """Return when the log is hottest and how hot, and refuse where a gap touches the peak.

    A gap of 20 s at the top loses several kelvin without a trace, so no number is given there.

    Parameters
    ----------
    time : sequence of float
        Strictly rising times [s].
    temperature_c : sequence of float
        Readings [°C].
    longest_gap : float, default 5.0
        Longest step between samples beside the peak; ``math.inf`` trusts any step [s].

    Returns
    -------
    Peak
        Time of the first hottest sample [s] and its temperature [°C].

    References
    ----------
    Definition of this workbook.

    Examples
    --------
    >>> peak([0, 1, 2, 3], [240, 243, 244, 242])
    Peak(time=2.0, temperature_c=244.0)
    >>> peak([0, 1, 21, 22], [240, 243, 242, 241])
    Traceback (most recent call last):
    ...
    ValueError: the peak cannot be told: no sample from 1 s to 21 s, beside the hottest one
    """
    time, temperature_c = _sound(time, temperature_c)
    hottest = np.max(temperature_c)
    for start, end in gaps(time, longest_gap):
        if hottest in temperature_c[(time == start) | (time == end)]:
            raise ValueError(
                f"the peak cannot be told: no sample from {start:g} s to {end:g} s, beside the hottest one"
            )
    return Peak(float(time[np.argmax(temperature_c)]), float(hottest))


def time_to_peak(time, temperature_c, start_c=25.0, longest_gap=5.0):
    """Return the time from first reaching the start temperature to the peak.

    A log that starts hotter is counted from its first sample, so its true time to peak is longer.

    Parameters
    ----------
    time : sequence of float
        Strictly rising times [s].
    temperature_c : sequence of float
        Readings [°C].
    start_c : float, default 25.0
        Temperature from which the clock runs [°C].
    longest_gap : float, default 5.0
        Longest step between samples beside the peak [s].

    Returns
    -------
    float
        Time to peak [s].

    References
    ----------
    IPC/JEDEC J-STD-020D, Table 5-2, time 25 °C to peak temperature (published second-hand).

    Examples
    --------
    >>> time_to_peak([0, 100, 104, 108], [15, 215, 223, 220])
    99.0
    """
    time, temperature_c = _sound(time, temperature_c)
    top = peak(time, temperature_c, longest_gap)
    return float(top.time - _first_reach(time, temperature_c, max(start_c, temperature_c[0])))


def cooling_rate(time, temperature_c, from_c, to_c):
    r"""Return the mean rate of fall after the peak, from one level to a lower one.

    .. math:: r = (T_1 - T_2) / (t_2 - t_1)

    The mean over a stated span is far steadier than the worst second, which is mostly noise.

    Parameters
    ----------
    time : sequence of float
        Strictly rising times [s].
    temperature_c : sequence of float
        Readings [°C].
    from_c : float
        Upper level; the peak itself is allowed [°C].
    to_c : float
        Lower level [°C].

    Returns
    -------
    float
        Mean rate of fall, positive [K/s].

    References
    ----------
    IPC/JEDEC J-STD-020D, Table 5-2, ramp-down from Tp to TL (published second-hand); 020C states no interval.

    Examples
    --------
    >>> cooling_rate([0, 100, 200], [25, 225, 25], 225, 125)
    2.0
    """
    checks.single(from_c=from_c, to_c=to_c)
    from_c, to_c = checks.floats(from_c, to_c)
    if not to_c < from_c:
        raise ValueError(f"the level cooled to must be below the one cooled from (got {from_c} to {to_c} °C)")
    time, temperature_c = _sound(time, temperature_c)
    hottest = np.max(temperature_c)
    if hottest < from_c:
        raise ValueError(f"the log never reaches {from_c:g} °C: it peaks at {hottest:g} °C")
    falling = slice(np.flatnonzero(temperature_c == hottest)[-1], None)
    start = _reached(time[falling], -temperature_c[falling], -from_c)
    end = _reached(time[falling], -temperature_c[falling], -to_c)
    if not end.size:
        raise ValueError(f"the log ends before it has cooled to {to_c:g} °C")
    return float((from_c - to_c) / (end[0] - start[0]))


def time_within_of_peak(time, temperature_c, band=5.0, longest_gap=5.0):
    """Return how long a log is within a band of its own peak.

    Parameters
    ----------
    time : sequence of float
        Strictly rising times [s].
    temperature_c : sequence of float
        Readings [°C].
    band : float, default 5.0
        Depth of the band below the peak, above zero [K].
    longest_gap : float, default 5.0
        Longest step between samples beside the peak [s].

    Returns
    -------
    float
        Time within the band [s].

    References
    ----------
    The quantity tp of IPC/JEDEC J-STD-020C, Table 5-2: within 5 °C of the actual peak (published second-hand).

    Examples
    --------
    >>> time_within_of_peak([0, 100, 200], [25, 225, 25], longest_gap=100)
    5.0
    """
    checks.single(longest_gap=longest_gap)
    checks.above("band", band, 0, "K")
    return time_above(time, temperature_c, peak(time, temperature_c, longest_gap).temperature_c - band)


def time_within(time, temperature_c, level_c, band=5.0):
    """Return how long a log is above the foot of a band that hangs from a stated level.

    Parameters
    ----------
    time : sequence of float
        Strictly rising times [s].
    temperature_c : sequence of float
        Readings [°C].
    level_c : float
        The level, such as the classification temperature of a package [°C].
    band : float, default 5.0
        Depth of the band below the level, above zero [K].

    Returns
    -------
    float
        Time at or above the level less the band [s].

    References
    ----------
    The quantity tp of IPC/JEDEC J-STD-020D, Table 5-2: within 5 °C of Tc (published second-hand).

    Examples
    --------
    A log that peaks at 225 °C is never within 5 K of 250, and 30 s within 5 K of 200:

    >>> time_within([0, 100, 200], [25, 225, 25], 250)
    0.0
    >>> time_within([0, 100, 200], [25, 225, 25], 200)
    30.0
    """
    checks.above("band", band, 0, "K")
    return time_above(time, temperature_c, level_c - band)


def metrics(
    time,
    temperature_c,
    liquidus_c=217.0,
    soak_from_c=150.0,
    soak_to_c=200.0,
    start_c=25.0,
    class_c=None,
    band=5.0,
    window=10.0,
    longest_gap=5.0,
):
    """Clean a log and return everything it says, with flags for what it cannot say.

    Parameters
    ----------
    time : sequence of float
        Time stamps, in any order [s].
    temperature_c : sequence of float
        Readings [°C].
    liquidus_c : float, default 217.0
        TL: 217 lead-free, 183 for SnPb [°C].
    soak_from_c : float, default 150.0
        Tsmin: 150 lead-free, 100 for SnPb [°C].
    soak_to_c : float, default 200.0
        Tsmax: 200 lead-free, 150 for SnPb [°C].
    start_c : float, default 25.0
        Temperature from which time to peak is counted [°C].
    class_c : float or None, default None
        Classification temperature Tc of the package, if known [°C].
    band : float, default 5.0
        Depth of the band below peak and class temperature [K].
    window : float, default 10.0
        Window of the steepest slopes [s].
    longest_gap : float, default 5.0
        Longest step between samples that is no gap [s].

    Returns
    -------
    Metrics
        Times [s], temperatures [°C], slopes [K/s] and area [K*s], with flags.

    References
    ----------
    Quantities of IPC/JEDEC J-STD-020D, Table 5-2 (published second-hand); definitions of this workbook elsewhere.

    Examples
    --------
    >>> seen = metrics([0, 100, 200], [25, 225, 25], longest_gap=100, window=300)
    >>> seen.peak_c, seen.time_above_liquidus, seen.flags
    (225.0, 8.0, ())
    """
    checks.single(longest_gap=longest_gap)
    checks.finite("window", window, "s")
    given_time, given_c = _pair(time, temperature_c)
    time, temperature_c = clean(given_time, given_c)
    flags = _flags_of_cleaning(given_time, given_c)
    flags += _flag_of_gaps(gaps(time, longest_gap))
    if temperature_c[0] > start_c:
        flags.append(f"the log starts at {temperature_c[0]:g} °C: time to peak is counted from its first sample")
    if len(crossings(time, temperature_c, liquidus_c).up) > 1:
        flags.append(f"the log goes above {liquidus_c:g} °C more than once: the time above is the sum")
    if temperature_c[-1] == np.max(temperature_c):
        flags.append("the log ends at its hottest sample: the true peak may be higher")
    if temperature_c[-1] >= liquidus_c:
        flags.append(f"the log ends above {liquidus_c:g} °C: the time above is at least this")

    def ask(question, *arguments):
        """Ask one question; an answer that cannot be given becomes None and a flag, said once."""
        try:
            return question(time, temperature_c, *arguments)
        except ValueError as error:
            if str(error) not in flags:
                flags.append(str(error))
            return None

    top = ask(peak, longest_gap)
    ramp_to_peak = {}
    for name, level in (("ramp_soak_to_peak", soak_to_c), ("ramp_liquidus_to_peak", liquidus_c)):
        ramp_to_peak[name] = ask(ramp_between, level, top.temperature_c) if top and top.temperature_c > level else None
    melts = bool(top) and top.temperature_c > liquidus_c
    answers = dict(
        time_to_peak=ask(time_to_peak, start_c, longest_gap),
        soak_time=ask(soak_time, soak_from_c, soak_to_c),
        **ramp_to_peak,
        steepest_ramp=ask(steepest_ramp, window),
        steepest_cooling=ask(steepest_cooling, window),
        time_above_liquidus=time_above(time, temperature_c, liquidus_c),
        area_above_liquidus=area_above(time, temperature_c, liquidus_c),
        time_within_of_peak=ask(time_within_of_peak, band, longest_gap),
        time_within_of_class=None if class_c is None else time_within(time, temperature_c, class_c, band),
        cooling_peak_to_liquidus=ask(cooling_rate, top.temperature_c, liquidus_c) if melts else None,
        cooling_liquidus_to_soak=ask(cooling_rate, liquidus_c, soak_from_c),
    )
    return Metrics(
        liquidus_c=liquidus_c,
        soak_from_c=soak_from_c,
        soak_to_c=soak_to_c,
        start_c=start_c,
        class_c=class_c,
        band=band,
        window=window,
        longest_gap=longest_gap,
        peak_c=top.temperature_c if top else None,
        peak_time=top.time if top else None,
        **answers,
        flags=tuple(flags),
    )


def _pair(time, temperature_c):
    time, temperature_c = np.asarray(time, dtype=float), np.asarray(temperature_c, dtype=float)
    if time.ndim != 1 or time.shape != temperature_c.shape:
        raise ValueError(
            f"a log is one time and one temperature a sample (got shapes {time.shape} and {temperature_c.shape})"
        )
    return time, temperature_c


def _sound(time, temperature_c):
    time, temperature_c = _pair(time, temperature_c)
    if time.size < 2:
        raise ValueError(f"a log needs at least two samples at different times (got {time.size})")
    if not (np.isfinite(time).all() and np.isfinite(temperature_c).all() and (np.diff(time) > 0).all()):
        raise ValueError("the log has gaps in its numbers or times that do not rise: clean it first")
    return time, temperature_c


def _reached(time, values, level):
    """Return the times at which values reach a level from below, the first sample too if it starts exactly there."""
    below = values < level
    at = np.flatnonzero(below[:-1] & ~below[1:])
    up = _meeting_times(time, values, level, at)
    return np.insert(up, 0, time[0]) if values[0] == level else up


def _left(time, values, level):
    """Return the times at which values fall below a level."""
    below = values < level
    return _meeting_times(time, values, level, np.flatnonzero(~below[:-1] & below[1:]))


def _meeting_times(time, values, level, at):
    """Return where the straight pieces that start at the samples `at` meet the level."""
    share = (level - values[at]) / (values[at + 1] - values[at])
    return time[at] + share * (time[at + 1] - time[at])


def _first_reach(time, temperature_c, level_c):
    if temperature_c[0] > level_c:
        raise ValueError(f"the log starts above {level_c:g} °C: when it was reached cannot be told")
    up = _reached(time, temperature_c, level_c)
    if not up.size:
        raise ValueError(f"the log never reaches {level_c:g} °C: it peaks at {np.max(temperature_c):g} °C")
    return up[0]


def _slopes(time, temperature_c, window):
    """Return the least-squares slope of every stretch that holds enough samples, from running sums."""
    time, temperature_c = _sound(time, temperature_c)
    checks.above("window", window, 0, "s")
    first = np.arange(time.size)
    end = np.searchsorted(time, time + window, side="right")
    full = (end - first >= _FEWEST_IN_A_WINDOW) & (time[end - 1] - time >= window / 2)
    if not full.any():
        raise ValueError(
            f"no stretch of {window:g} s holds {_FEWEST_IN_A_WINDOW} samples: log more often or state a wider window"
        )
    first, end = first[full], end[full]
    count = end - first
    t, y = time - time.min(), temperature_c  # squares of a clock that counts from 1970 would drown the slope

    def total(x):
        running = np.concatenate([[0.0], np.cumsum(x)])
        return running[end] - running[first]

    return (count * total(t * y) - total(t) * total(y)) / (count * total(t * t) - total(t) ** 2)


def _flags_of_cleaning(time, temperature_c):
    sound = np.isfinite(time) & np.isfinite(temperature_c)
    flags = []
    if not sound.all():
        flags.append(f"{np.sum(~sound)} samples without a number left out")
    if (np.diff(time[sound]) < 0).any():
        flags.append("time stamps were out of order: sorted")
    repeated = int(np.sum(sound)) - np.unique(time[sound]).size
    if repeated:
        flags.append(f"{repeated} repeated time stamps: averaged")
    return flags


def _flag_of_gaps(found):
    if not len(found):
        return []
    start, end = found[np.argmax(found[:, 1] - found[:, 0])]
    count = "a gap" if len(found) == 1 else f"{len(found)} gaps, the longest"
    return [f"{count}: no sample from {start:g} s to {end:g} s"]
