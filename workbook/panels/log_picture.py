"""A thermocouple log as a picture: every channel, and TL."""

from pathlib import Path

from workbook.bench.profile import log as profile_log
from workbook.log.reading import Log
from workbook.log.verdict import Channel
from workbook.panels.pictures import Frame, Line, Picture, Reading, key, legend, still
from workbook.paths import refuse_another
from workbook.problems import Problem

DASHES = ((), (7, 3), (2, 3), (9, 3, 2, 3), (4, 4), (1, 2))
COLOURS = ("blue", "red", "green", "orange", "purple", "sky")


def picture(log: Log, channels: list[Channel]) -> Picture:
    """Return the log as a picture: every channel, and TL."""
    longest = float(log.time[-1]) if log.time.size else 1.0
    marks, readout, names = [], [], []
    for index, channel in enumerate(channels):
        time, values = profile_log.clean(log.time, log.channels[channel.name])
        longest = max(longest, float(time[-1]))
        colour, dash = COLOURS[index % len(COLOURS)], DASHES[index % len(DASHES)]
        marks.append(Line(time, values, colour, 2, dash))
        peak = channel.metrics.peak_c
        names.append((channel.name[:24], colour, dash))
        shown = "not to be said" if peak is None else f"{peak:.0f} °C"
        readout.append(Reading(f"{channel.name}: peak", shown))
    level = channels[0].metrics.liquidus_c

    def draw(figure, narrow):
        axes = figure.subplots()
        axes.set(xlim=(0, longest), ylim=(0, 300), xlabel="time [s]", ylabel="temperature [°C]")
        axes.axhline(level, lw=1, color="#8a8a8a")
        axes.text(longest, level + 3, f"TL {level:g} °C", ha="right", fontsize=9)
        for name, colour, dash in names:  # peaks lie close together, so words at them would lie on one another
            key(axes, name, colour, 2, dash)
        legend(axes, loc="upper left")
        return [axes]

    words = "A thermocouple log. " + " ".join(f"{one.words} {one.value}." for one in readout)
    return Picture(Frame(("own log", longest, level, tuple(names)), draw), tuple(marks), words, tuple(readout))


def save_picture(log: Log, channels: list[Channel], path: Path) -> None:
    """Write the picture of a log as a PNG file, or raise Problem."""
    refuse_another(path, _is_a_picture, "--plot")
    try:
        path.write_bytes(still(picture(log, channels), scale=2))
    except OSError as error:
        raise Problem(f"{path} cannot be written: {error.strerror}.", "give another place with --plot") from None


def _is_a_picture(content: bytes) -> bool:
    """Whether a file is a picture that this command drew: matplotlib signs its own, a camera's has no such line."""
    return content.startswith(b"\x89PNG") and b"Matplotlib" in content[:300]
