"""What a log from one's own bench says: metrics, flags, and each limit with its own margin."""

from dataclasses import dataclass

from workbook.bench.profile import limits
from workbook.bench.profile import log as profile_log
from workbook.log import flags
from workbook.log.reading import Log
from workbook.problems import Problem
from workbook.units import figures, of_difference

LIMITS = {f"{edition}-{family}": (edition, family) for edition in limits.EDITIONS for family in ("lead-free", "SnPb")}
"""Names of the limits a log can be held to: edition of IPC/JEDEC J-STD-020 and alloy family."""

QUANTITIES = (
    ("peak", "peak_c", "°C"),
    ("time from 25 °C to the peak", "time_to_peak", "s"),
    ("soak time", "soak_time", "s"),
    ("time above TL", "time_above_liquidus", "s"),
    ("area above TL", "area_above_liquidus", "K·s"),
    ("mean ramp, TL to peak", "ramp_liquidus_to_peak", "K/s"),
    ("steepest ramp", "steepest_ramp", "K/s"),
    ("time within 5 K of the peak", "time_within_of_peak", "s"),
    ("mean cooling, peak to TL", "cooling_peak_to_liquidus", "K/s"),
    ("steepest cooling", "steepest_cooling", "K/s"),
)

NEEDS_CLASS = ("peak_c", "time_within_of_class")
"""What cannot be held to a limit before the package's classification temperature is known."""


@dataclass(frozen=True)
class Channel:
    """One channel of a log: its metrics, and the margins to the limits."""

    name: str
    metrics: profile_log.Metrics
    margins: tuple[limits.MeasuredMargin, ...]
    unlikely: tuple[str, ...] = ()


def judge(log: Log, name: str = "020D-lead-free", class_c: float | None = None, gap: float = 5.0) -> list[Channel]:
    """Return what each channel says, held to the named limits.

    Parameters
    ----------
    log : Log
    name : str
        One of ``LIMITS``.
    class_c : float, optional
        The package's classification temperature; without, limits that need it are left out [°C].
    gap : float
        Longest step between readings that is read as a straight line [s].
    """
    if name not in LIMITS:
        raise Problem(f"there are no limits named {name!r}.", f"limits are {', '.join(LIMITS)}")
    edition, family = LIMITS[name]
    settings = limits.log_settings(edition, family)
    found = []
    for channel, values in log.channels.items():
        window = max(10.0, 2 * gap)
        metrics = profile_log.metrics(log.time, values, class_c=class_c, window=window, longest_gap=gap, **settings)
        wanted = limits.classification_limits(edition, family, class_c or 260)
        wanted = [limit for limit in wanted if class_c or limit.quantity not in NEEDS_CLASS]
        found.append(Channel(channel, metrics, limits.margins(metrics, wanted), flags.plausibility(log.time, values)))
    return found


def lines(log: Log, channels: list[Channel]) -> list[str]:
    """Return what is said of a log, line by line: first whether it melted long enough."""
    said = ["Did it melt long enough?"]
    said += [f"  {channel.name}: {melted(channel)}" for channel in channels]
    said += [f"assumed: {note}" for note in log.notes]
    for channel in channels:
        seen = channel.metrics
        said += ["", channel.name]
        said += [f"  look at this: {words}" for words in channel.unlikely]
        said += [f"  flag: {flag}" for flag in seen.flags]
        said += [f"  {_held(margin)}" for margin in channel.margins]
        said.append(f"  TL is {seen.liquidus_c:g} °C; ramps over {seen.window:g} s")
        said.append(f"  longest step that is no gap: {seen.longest_gap:g} s")
        for words, attribute, unit in QUANTITIES:
            value = getattr(seen, attribute)
            said.append(f"  {words}: {'not to be said' if value is None else f'{figures(value, 4)} {unit}'}")
    return said


def melted(channel: Channel) -> str:
    """Say whether one channel was above TL for as long as the limit asks at least, with its margin."""
    seen = channel.metrics
    limit = next(one.limit for one in channel.margins if one.limit.quantity == "time_above_liquidus")
    value, least = seen.time_above_liquidus, limit.low
    margin = figures(value - least, 3, "+")
    told = f"{figures(value, 4)} s above {seen.liquidus_c:g} °C, at least {least:g} s asked, margin {margin} s"
    if any("gap" in flag or "ends above" in flag for flag in seen.flags) or seen.peak_c is None:
        return f"cannot be told for certain, for the log has gaps or ends too early; {told}"
    return f"{'yes' if value >= least else 'no'}; {told}"


def _held(margin: limits.MeasuredMargin) -> str:
    """Return one limit: what was measured, the limit, and its own margin."""
    low, high, unit = margin.limit.low, margin.limit.high, margin.limit.unit
    ends = (
        f"{low:g} to {high:g}"
        if None not in (low, high)
        else f"at least {low:g}"
        if high is None
        else f"at most {high:g}"
    )
    if margin.measured is None:
        return f"{margin.limit.name}: not measured; limit {ends} {unit}"
    measured, left = figures(margin.measured, 4), figures(margin.margin, 3, "+")
    value = f"{measured} {unit}; limit {ends} {unit}; margin {left} {of_difference(unit)}"
    return f"{margin.limit.name}: {value}: {margin.verdict}"
