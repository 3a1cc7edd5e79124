"""A thermocouple's log as a curve."""

from workbook.drawings.pen import SMALL, Drawing, Pen

TIMES = (0.0, 30.0, 60.0, 90.0, 120.0, 150.0, 170.0, 190.0, 200.0, 220.0, 240.0, 260.0)
"""An invented log [s]."""

LETTERS = 16
"""Room that the words of a level take above its line [px]."""

READINGS_C = (25.0, 77.0, 133.0, 163.0, 189.0, 213.0, 231.0, 244.0, 241.0, 222.0, 195.0, 170.0)


def log_curve(times=TIMES, readings_c=READINGS_C, levels_c=(217.0,), place="package, top centre") -> Drawing:
    """Draw readings over time, each a dot, with straight lines between and levels across. Exact on its axes.

    Times in seconds from the first, readings and levels in °C.
    """
    view = Pen(330)
    view.heading("", f"The log: {place}")
    low, high = 50 * (min(readings_c) // 50), 25 * (max(*readings_c, *levels_c) // 25 + 1)
    end = times[-1]
    across, up = 340 / end, 222 / (high - low)
    pen = Pen(view.height, view.width, view.marks, view.regions, (54, 274 + low * up), (across, -up))
    every = next(step for step in (10, 15, 30, 60, 120) if end / step <= 6)
    for n in range(int(end / every) + 1):
        pen.line([(n * every, low), (n * every, high)], "hair", "soft")
        view.words(54 + n * every * across, 288, f"{n * every:g}", "middle", size=SMALL)
    grid = next(step for step in (10, 25, 50) if (high - low) / step <= 6)
    for n in range(int((high - low) / grid) + 1):
        pen.line([(0, low + n * grid), (end, low + n * grid)], "hair", "soft")
        pen.words(-6 / across, low + n * grid, f"{low + n * grid:g}", "end", size=SMALL)
    for level in levels_c:
        pen.line([(0, level), (end, level)], "thick", "wrong", dash="8 5", part=f"level-{level:g}")
        under = any(0 < (other - level) * up < LETTERS for other in levels_c)  # a line there would strike the words
        pen.words(6 / across, level + (-10 if under else 9) / up, f"{level:g} °C", colour="wrong", size=SMALL)
    pen.line(zip(times, readings_c, strict=True), "thick", "cool", part="log")
    for time, reading in zip(times, readings_c, strict=True):
        x, y = pen.at(time, reading)
        view.disc(x, y, 2.6, "cool", line="cool")
    view.words(10, 40, "°C", size=SMALL)
    view.words(394, 312, "s", size=SMALL)
    peak = max(readings_c)
    return Drawing(
        "log-curve",
        "A log as a curve",
        (
            view.view(
                "The log",
                f"{len(times)} readings over {end:g} seconds, with straight lines between them. They begin at "
                f"{readings_c[0]:g} °C, the highest is {peak:g} °C, and the last {readings_c[-1]:g} °C. Dashed across: "
                + ", ".join(f"{level:g} °C" for level in levels_c)
                + ". The numbers stand in the table.",
            ),
        ),
    )
