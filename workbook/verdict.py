"""What a log from one's own bench says: metrics, flags, and each limit with its own margin."""

from dataclasses import dataclass
from pathlib import Path

from workbook.bench.profile import limits
from workbook.bench.profile import log as profile_log
from workbook.logfile import Log
from workbook.panels.pictures import Frame, Label, Line, Picture, Reading, still
from workbook.problems import Problem

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
DASHES = ((), (7, 3), (2, 3), (9, 3, 2, 3), (4, 4), (1, 2))
COLOURS = ("blue", "red", "green", "orange", "purple", "sky")


@dataclass(frozen=True)
class Channel:
    """One channel of a log: its metrics, and the margins to the limits."""

    name: str
    metrics: profile_log.Metrics
    margins: tuple[limits.Margin, ...]


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
        wanted = limits.classification_limits(edition, family, class_c) if class_c else ()
        found.append(Channel(channel, metrics, tuple(limits.margins(metrics, wanted))))
    return found


def lines(log: Log, channels: list[Channel]) -> list[str]:
    """Return what is said of a log, line by line."""
    said = [f"note: {note}" for note in log.notes]
    for channel in channels:
        seen = channel.metrics
        said += ["", channel.name]
        said += [f"  flag: {flag}" for flag in seen.flags]
        said += [f"  TL is {seen.liquidus_c:g} °C; ramps over {seen.window:g} s; no gap up to {seen.longest_gap:g} s"]
        for words, attribute, unit in QUANTITIES:
            value = getattr(seen, attribute)
            said.append(f"  {words}: {'not to be said' if value is None else f'{value:.4g} {unit}'}")
        for margin in channel.margins:
            shown = "" if margin.margin is None else f", margin {margin.margin:+.3g} {margin.limit.unit}"
            said.append(f"  {margin.limit.name}: {margin.verdict}{shown}")
    return said


def picture(log: Log, channels: list[Channel]) -> Picture:
    """Return the log as a picture: every channel, and TL."""
    longest = float(log.time[-1]) if log.time.size else 1.0
    marks, readout = [], []
    for index, channel in enumerate(channels):
        time, values = profile_log.clean(log.time, log.channels[channel.name])
        longest = max(longest, float(time[-1]))
        colour, dash = COLOURS[index % len(COLOURS)], DASHES[index % len(DASHES)]
        marks.append(Line(time, values, colour, 2, dash))
        peak = channel.metrics.peak_c
        place = values.argmax()
        marks.append(Label(float(time[place]), float(values[place]) + 8, channel.name[:24], colour, "middle"))
        shown = "not to be said" if peak is None else f"{peak:.0f} °C"
        readout.append(Reading(f"{channel.name}: peak", shown))
    level = channels[0].metrics.liquidus_c

    def draw(figure, narrow):
        axes = figure.subplots()
        axes.set(xlim=(0, longest), ylim=(0, 300), xlabel="time [s]", ylabel="temperature [°C]")
        axes.axhline(level, lw=1, color="#8a8a8a")
        axes.text(longest, level + 3, f"TL {level:g} °C", ha="right", fontsize=8)
        return [axes]

    words = "A thermocouple log. " + " ".join(f"{one.words} {one.value}." for one in readout)
    return Picture(Frame(("own log", longest, level), draw), tuple(marks), words, tuple(readout))


def save_picture(log: Log, channels: list[Channel], path: Path) -> None:
    """Write the picture of a log as a PNG file, or raise Problem."""
    try:
        path.write_bytes(still(picture(log, channels), scale=2))
    except OSError as error:
        raise Problem(f"{path} cannot be written: {error.strerror}.", "give another place with --plot") from None
