"""What a heat does to the two packages of a case: the programmes a station can be set to, and what comes of each.

A programme is cold at the start: the plate warms the board from below, the nozzle heats one package, then all is off.
The two packages are alike and stand alike, so one table serves a heat over either. It holds what the quick model of the
board with two packages gives for each programme, to a tenth of a kelvin and a second: what decides a case is read from
this file, and is the same on every machine. ``python -m workbook.case.heating`` makes it again, in about a minute.
"""

import tomllib
from functools import cache
from pathlib import Path
from typing import NamedTuple

from workbook.references import value

COPPER = {"two": "light", "four": "medium", "eight": "heavy"}
"""Copper layers as one counts them at the edge of the board, and the invented board of the bench they make."""

PLATES_C = (260, 280, 300, 320, 340)
"""What the plate really has [°C]. It can be set to all but the first: a station may heat one step less than it says."""

GASES_C = (260, 280, 300, 320)
HOLDS = (30, 60, 90, 120)
SETTINGS = (PLATES_C[1:], GASES_C, HOLDS)
"""Plate [°C], gas [°C] and time at the full gas set point [s] that can be chosen."""

PLATE_STEP = 20

SOLIDUS_C = value("profile", "sac305_solidus_c")
LEAST_PEAK_C = value("profile", "joint_removal_lead_free_c")
NEIGHBOUR_C = value("profile", "neighbour_damage_centre_c")
RATING_C = value("profile", "body_peak_at_most_lead_free_dry_rework")
LEAST_ABOVE = value("profile", "two_packages_least_above")
"""What a package top may reach [°C], and how long its coldest joint is to be above 217 °C [s]."""

GUARD_K, GUARD_S = value("profile", "two_packages_guard")
"""The quick model's own uncertainty: its peaks lie within 0.4 K of the volumes, its times within 4 s."""

FILE = Path(__file__).with_name("heats.toml")


class Heated(NamedTuple):
    """Peaks of the coldest joint, of the hottest and of the top [°C], time of the coldest joint above 217 °C [s], and
    the hottest joint of the neighbour [°C]."""

    coldest_c: float
    hottest_c: float
    top_c: float
    above: float
    neighbour_c: float

    @property
    def counts(self) -> bool:
        """Whether it is one heat more for the package: some joint began to melt."""
        return self.hottest_c > SOLIDUS_C

    @property
    def melted(self) -> bool:
        """Whether every joint was hot enough for long enough to melt and wet."""
        return self.coldest_c >= LEAST_PEAK_C - GUARD_K and self.above >= LEAST_ABOVE - GUARD_S

    @property
    def cooked(self) -> bool:
        """Whether the package was too hot."""
        return self.top_c > RATING_C + GUARD_K

    @property
    def fits(self) -> bool:
        """Whether it melted every joint and harmed nothing."""
        return self.melted and not self.cooked and not self.spilled

    @property
    def spilled(self) -> bool:
        """Whether the neighbour's joints were too hot."""
        return self.neighbour_c > NEIGHBOUR_C + GUARD_K


@cache
def _table() -> dict[tuple, Heated]:
    held = tomllib.loads(FILE.read_text(encoding="utf-8"))
    return {
        (copper, plate, gas, hold): Heated(*line)
        for copper in COPPER
        for plate, gas, hold, *line in held[copper]["heats"]
    }


def heated(copper: str, plate_c: int, gas_c: int, hold: int) -> Heated:
    """Return what a programme does to a board of so many copper layers; ``plate_c`` is what the plate really has.

    >>> heated("four", 320, 300, 90).melted
    True
    """
    return _table()[copper, plate_c, gas_c, hold]


def worked_out(copper: str) -> list[list[float]]:
    """Return the lines of the table for one board, worked out anew by the quick model."""
    from workbook.bench.profile.board_pair import Heats, Package, PairBench, reduced_pair, run_pair
    from workbook.bench.profile.board_station import BOARDS

    pair = PairBench(BOARDS[COPPER[copper]], (Package(-0.0275), Package(0.0275)))
    quick, lines = reduced_pair(pair), []
    for plate in PLATES_C:
        for gas in GASES_C:
            for hold in HOLDS:
                record = run_pair(pair, Heats.from_choices(plate, (gas, gas), order=(0,), hold=hold), board=quick)
                found = (
                    record.joints_c[0].max(axis=0).min(),
                    record.joints_c[0].max(),
                    record.top_c[0].max(),
                    record.time_above_liquidus(0),
                    record.hottest_joint_c(1).max(),
                )
                lines.append([plate, gas, hold, *(round(float(number), 1) for number in found)])
    return lines


def main() -> None:
    """Write the table anew."""
    head = (
        "# What each programme does on each board: plate, gas [°C], hold [s]; then coldest joint, hottest joint,\n"
        "# package top [°C], time of the coldest joint above 217 °C [s], hottest joint of the neighbour [°C].\n"
        "# By the quick model of the board with two packages: python -m workbook.case.heating\n"
    )
    text = [head]
    for copper in COPPER:
        lines = ",\n".join(f"  {line}" for line in worked_out(copper))
        text.append(f"\n[{copper}]\nheats = [\n{lines},\n]\n")
    FILE.write_text("".join(text), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
