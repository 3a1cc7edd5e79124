"""Two packages on one board: what stands where, the heats given to them, the temperatures and the count of heats.

The board, the films, the solder and the heaters are those of :class:`~workbook.bench.profile.board_station.Bench`;
its package and neighbour parts give way to two packages at chosen places. One nozzle stands over either one.
Verified as numerics; it is not validated against a measured board.
"""

from dataclasses import dataclass, field
from functools import cached_property
from itertools import pairwise

import numpy as np

from workbook.bench import checks
from workbook.bench.profile import log
from workbook.bench.profile.board_station import MAP_SHAPE, MEDIUM, Bench, Programme

__all__ = ["Heat", "Heats", "Package", "PairBench", "PairTraces", "count_heats"]

JOINT_SAMPLE = 7
"""Joints read along each side of the whole array: its middle and its corners are among them."""


@dataclass(frozen=True)
class Package:
    """An area-array package: its middle from the middle of the board, its side [m], and its joints."""

    x: float
    y: float = 0.0
    side: float = 0.035
    joints_per_side: int = 31

    def __post_init__(self):
        checks.above("side", self.side, 0, "m")
        checks.at_least("joints_per_side", self.joints_per_side, 2)

    def away(self, x, y):
        """Return how far places lie from the rim of the package, 0 within [m]."""
        half = self.side / 2
        return np.hypot(np.clip(np.abs(x - self.x) - half, 0, None), np.clip(np.abs(y - self.y) - half, 0, None))

    def joint_span(self, pitch: float) -> float:
        """Return how far the outermost joints lie from the middle [m]."""
        return (self.joints_per_side - 1) / 2 * pitch


@dataclass(frozen=True)
class PairBench:
    """Two packages on the board of ``bench``, and the shield over the one that is not being heated.

    The shield is a tent of metal foil that takes no heat: still air under it, film and gas over it, bright on both
    faces. It stands while the nozzle is down over the other package. All its numbers are our own assumptions.
    """

    bench: Bench = MEDIUM
    packages: tuple[Package, Package] = (Package(-0.045), Package(0.045))
    shield_side: float = 0.0
    """Side of the shield, centred over its package; 0: no shield [m]."""
    shield_air_film: float = 15.0
    """Through some 2 mm of still air between foil and parts [W/m^2/K]."""
    shield_emissivity: float = 0.10
    """Bright foil; believed, no source seen."""

    def __post_init__(self):
        one, other = self.packages
        checks.above("shield_air_film", self.shield_air_film, 0, "W/m2/K")
        checks.inside("shield_emissivity", self.shield_emissivity, 0, 1)
        checks.at_least("shield_side", self.shield_side, 0, "m")
        for package in self.packages:
            checks.above("side", package.side, 2 * package.joint_span(self.bench.joint_pitch), "m")
            for name, place, extent in (("x", package.x, self.bench.length), ("y", package.y, self.bench.width)):
                checks.inside(f"{name} of a package", abs(place), -1, (extent - package.side) / 2, "m")
        apart = max(abs(one.x - other.x), abs(one.y - other.y))
        checks.above("distance of the packages", apart, (one.side + other.side) / 2, "m")
        if self.shield_side:
            checks.at_least("shield_side", self.shield_side, max(one.side, other.side), "m")
            checks.at_least("distance of the packages", apart, (max(one.side, other.side) + self.shield_side) / 2, "m")

    def solder_mass(self, package: Package) -> float:
        """Return the mass of all balls under a package [kg]."""
        return self.bench.solder_mass * (package.joints_per_side / self.bench.joints_per_side) ** 2


@dataclass(frozen=True)
class Heat:
    """One heat: the package (0 or 1) the nozzle stands over, the gas set points (s, °C), the lift-off [s]."""

    over: int
    top_gas_c: tuple[tuple[float, float], ...]
    lift_off: float

    def __post_init__(self):
        checks.between("over", self.over, 0, 1)
        checks.at_least("break points of top_gas_c", len(self.top_gas_c), 1)
        checks.above("lift_off", self.lift_off, self.top_gas_c[0][0], "s")


@dataclass(frozen=True)
class Heats:
    """Set points of the bottom plate, and the heats in their order, one nozzle for all.

    Break points as in :class:`~workbook.bench.profile.board_station.Programme`. A heat begins when the one before
    has ended.
    """

    bottom_plate_c: tuple[tuple[float, float], ...] = ()
    heats: tuple[Heat, ...] = ()
    duration: float = 420.0

    def __post_init__(self):
        for before, after in pairwise(self.heats):
            checks.above("start of a heat after the last lift-off", after.top_gas_c[0][0], before.lift_off, "s")
        _ = self._plate, self._programmes  # made here, so that what no heater can follow is refused

    @classmethod
    def from_choices(
        cls,
        bottom_plate_c: float,
        top_gas_c: tuple[float, float],
        order: tuple[int, ...] = (0, 1),
        hold: float = 60.0,
        soak: float = 120.0,
        wait: float = 30.0,
        cool_down: float = 0.0,
        cooling: float = 120.0,
        room_c: float = 25.0,
    ) -> "Heats":
        """Return the usual programme: warm from below, soak, then one heat after another.

        Parameters
        ----------
        bottom_plate_c : float
            Set point of the plate [°C].
        top_gas_c : tuple of float
            Set point of the gas over each package, whatever the order [°C].
        order : tuple of int
            The packages in the order they are heated, 0 or 1 each.
        hold, soak : float
            Time at the full gas set point; time at the full plate set point before the first heat, at least zero [s].
        wait : float
            Time between lift-off and the next heat with the plate on, above zero [s].
        cool_down : float
            Time between heats with the plate off, before it is warmed for 60 s again, at least zero [s].
        cooling : float
            Time recorded after the last lift-off, above zero [s].
        room_c : float
            Where the ramps start [°C].

        Returns
        -------
        Heats
            The programme; its duration follows from the times [s].

        References
        ----------
        The order of steps is common practice.

        Examples
        --------
        >>> [heat.lift_off for heat in Heats.from_choices(340, (270, 280)).heats]
        [300.0, 450.0]
        """
        checks.above("wait", wait, 0, "s")
        checks.at_least("cool_down", cool_down, 0, "s")
        ramp = 60.0
        plate, heats, down = [(0.0, room_c), (ramp, bottom_plate_c)], [], ramp + soak
        for package in order:
            if heats:
                off = heats[-1].lift_off
                if cool_down:
                    plate += [(off, bottom_plate_c), (off + 1, room_c), (off + 1 + cool_down, room_c)]
                    off += 1 + cool_down + ramp
                    plate.append((off, bottom_plate_c))
                down = off + wait
            gas = top_gas_c[package]
            heats.append(Heat(package, ((down, min(100.0, gas)), (down + ramp, gas)), down + ramp + hold))
        end = heats[-1].lift_off if heats else down
        plate += [(end, bottom_plate_c), (end + 1.0, room_c)]
        return cls(tuple(plate), tuple(heats), end + cooling)

    @cached_property
    def _plate(self):
        return Programme(self.bottom_plate_c, duration=self.duration)

    @cached_property
    def _programmes(self):
        return [Programme(self.bottom_plate_c, heat.top_gas_c, heat.lift_off, self.duration) for heat in self.heats]

    def times(self, time_step: float) -> np.ndarray:
        """Return the time grid from 0 to the duration, rounded up to whole steps [s]."""
        return self._plate.times(time_step)

    def lowered(self, time_step: float) -> np.ndarray:
        """Return for each step of the grid where the nozzle is: 0 lifted, else 1 more than the package it is over."""
        over = np.zeros(self.times(time_step).size - 1, int)
        for heat, programme in zip(self.heats, self._programmes, strict=True):
            over[programme.lowered(time_step)] = heat.over + 1
        return over

    def stops(self, time_step: float) -> np.ndarray:
        """Return which times of the grid of half steps the quick model stops at, so that every nozzle move is one.

        Whole steps between the moves; where they do not fit, the first after a move is half as long.
        """
        over = self.lowered(time_step / 2)
        moves = [0, *(np.flatnonzero(np.diff(over)) + 1), over.size]
        stretches = [np.arange(b, a, -2)[::-1] for a, b in pairwise(moves)]
        return np.concatenate([[0], *stretches])

    def heaters(self, bench: Bench, time_step: float) -> tuple[np.ndarray, np.ndarray]:
        """Return what gas and plate really have, above room, on the time grid [K]; between heats the gas is nowhere."""
        _, plate = self._plate.heaters(bench, time_step)
        gas = np.zeros(plate.size)
        for programme in self._programmes:
            steps = np.flatnonzero(programme.lowered(time_step))
            if steps.size:
                blowing = slice(steps[0], steps[-1] + 2)
                gas[blowing] = programme.heaters(bench, time_step)[0][blowing]
        return gas, plate


def count_heats(joints_c: np.ndarray, solidus_c: float) -> int:
    """Return how often a package's joints began to melt: each rise of the hottest through solidus is one heat.

    A second heat that finds joints still liquid is the same melt going on. A joint that has only softened has begun to
    melt, so the count errs on the high side.

    Parameters
    ----------
    joints_c : array
        Joint temperatures, one row for each time [°C].
    solidus_c : float
        Where the solder begins to melt [°C].

    Returns
    -------
    int
        Heats that count, at least zero [1].

    References
    ----------
    That a package is qualified for a number of passes through reflow: J-STD-020, second-hand. What counts in rework is
    common practice.

    Examples
    --------
    >>> count_heats(np.array([[25.0], [230.0], [150.0], [225.0], [25.0]]), 217.0)
    2
    """
    checks.finite("solidus_c", solidus_c, "°C")
    melted = np.asarray(joints_c).max(axis=1) > solidus_c
    return int(melted[0]) + int(np.count_nonzero(melted[1:] & ~melted[:-1]))


@dataclass(frozen=True, eq=False)
class PairTraces:
    """Temperatures over time of both packages [°C]; ``joints_c`` and ``top_c`` have one entry for each package.

    The joints of a package are a regular sample of its whole array, one column each. ``between_c`` is the board's top
    midway between the packages.
    """

    time: np.ndarray
    top_c: tuple[np.ndarray, np.ndarray]
    joints_c: tuple[np.ndarray, np.ndarray]
    between_c: np.ndarray
    lowered: np.ndarray
    """For each step 0 (nozzle lifted), else 1 more than the package it is over."""
    gas_c: np.ndarray
    plate_c: np.ndarray
    solidus_c: float
    liquidus_c: float
    room_c: float
    map_states: np.ndarray = field(repr=False)
    map_matrix: object = field(repr=False)

    def coldest_joint_c(self, package: int) -> np.ndarray:
        """Return the temperature of a package's coldest joint at each time [°C]."""
        return self.joints_c[package].min(axis=1)

    def hottest_joint_c(self, package: int) -> np.ndarray:
        """Return the temperature of a package's hottest joint at each time [°C]."""
        return self.joints_c[package].max(axis=1)

    def time_above_liquidus(self, package: int) -> float:
        """Return how long all joints of a package are liquid [s]."""
        return log.time_above(self.time, self.coldest_joint_c(package), self.liquidus_c)

    def neighbour_peak_c(self, package: int) -> float:
        """Return the hottest any joint of a package gets while the nozzle stands over the other one [°C]."""
        steps = np.flatnonzero(self.lowered == 2 - package)
        return float(self.hottest_joint_c(package)[steps + 1].max()) if steps.size else float("nan")

    def heats(self, package: int) -> int:
        """Return how many heats this run adds to a package's count [1]."""
        return count_heats(self.joints_c[package], self.solidus_c)

    def board_top_c(self, time: float) -> np.ndarray:
        """Return the map of the board's top face at the nearest time, rows across, columns along [°C]."""
        fields = self.map_matrix @ self.map_states[np.argmin(np.abs(self.time - time))]
        return fields.reshape(MAP_SHAPE) + self.room_c
