"""What the board simulator is told and what it tells: the bench, the heating programme, the temperatures.

Every number of :class:`Bench` is a declared assumption. The boards ``LIGHT``, ``MEDIUM`` and ``HEAVY`` are invented
examples. The simulator is verified as numerics; it is not validated against a measured board.
"""

from dataclasses import dataclass, field

import numpy as np
from scipy import constants
from scipy.signal import lfilter

from workbook.bench import checks

__all__ = ["BOARDS", "HEAVY", "LIGHT", "MAP_SHAPE", "MEDIUM", "NEIGHBOURS", "PLACES", "Bench", "Programme", "Traces"]

MAP_SHAPE = (40, 60)
"""Rows (across the board) and columns (along it) of the map of the board's top face."""

ZERO_CELSIUS = constants.zero_Celsius
STEFAN_BOLTZMANN = 5.670374419e-8  # W/m2/K4, exact in the SI since 2019; the printed digits, which scipy extends

NEIGHBOURS = {"neighbour at 10 mm": 0.010, "neighbour at 40 mm": 0.040}
"""The neighbour parts and how far their centres lie from the package edge [m]; one of each on either side."""

PLACES = ("package top", "joint centre", "joint corner", "joint edge", "board bottom", *NEIGHBOURS)
"""Where a thermocouple would sit."""


@dataclass(frozen=True)
class Bench:
    """A board with one area-array package in its middle, between a bottom plate heater and a hot-gas nozzle.

    All lengths in m, conductivities in W/m/K, volumetric heat capacities in J/m3/K, films in W/m2/K, temperatures in
    degrees Celsius. Where no source is named the value is our own assumption. A fifth more or less on the plate's
    emissivity, or a third of the gas share, moves the peaks by 5 to 10 K. The spill film and the conductivities of
    the named boards were chosen so that good programmes exist; how many there are is a choice of ours, that they exist
    is not.
    """

    length: float = 0.300
    width: float = 0.200
    thickness: float = 1.6e-3
    conductivity_along: float = 15.0
    """Along the board, copper smeared with laminate: by the parallel rule 8.7, 19 and 37 for 2, 4 and 8 layers."""
    conductivity_through: float = 0.40
    """Through the board: laminate 0.343 (Sarvar et al., J. Electron. Mater. 19 (1990) 1345) and some vias."""
    heat_capacity: float = 1.9e6
    """Bare laminates 1.5e6 to 1.8e6 (IEEE Trans. Reliab. 68(1) 248, 2018, Table VI), and the copper."""
    emissivity: float = 0.90
    """Solder mask; believed, no source seen."""

    package_side: float = 0.035
    substrate_thickness: float = 1.0e-3
    substrate_conductivity_along: float = 30.0
    substrate_conductivity_through: float = 0.6
    body_thickness: float = 1.2e-3
    body_conductivity: float = 5.0
    """Moulding compound with a die and a spreader smeared into it."""
    package_heat_capacity: float = 2.0e6

    joints_per_side: int = 31
    joint_pitch: float = 1.1e-3
    ball_diameter: float = 0.6e-3
    joint_film: float = 5000.0
    """Board to substrate through the balls and the gas between them, per footprint area."""
    solder_density: float = 7380.0
    """SAC305 (table of solder alloys)."""
    solder_specific_heat: float = 220.0
    """SAC105 and Sn96.5Ag3.5 [J/kg/K]; the very alloy was not seen."""
    solder_latent_heat: float = 61e3
    """SAC105 [J/kg]; the very alloy was not seen."""
    solder_solidus_c: float = 217.0
    solder_liquidus_c: float = 220.0

    neighbour_side: float = 6.0e-3
    neighbour_height: float = 1.5e-3
    neighbour_heat_capacity: float = 2.0e6
    neighbour_film: float = 3000.0
    """Board to neighbour part through its joints, per footprint area."""

    room_c: float = 25.0
    top_film: float = 8.0
    """Free convection over a hot plate of this size, by several correlations of the library ht: 6.6 to 11.5."""
    bottom_film: float = 8.0
    plate_gas_share: float = 0.6
    """How far the gas under the board is drawn from room to plate temperature, where the board sees only plate."""
    plate_length: float = 0.280
    plate_width: float = 0.180
    plate_gap: float = 0.020
    plate_emissivity: float = 0.80
    """Believed, no source seen."""
    plate_lag: float = 15.0
    """The plate follows its set point with this time constant [s]."""
    nozzle_film: float = 110.0
    """Slow jets; Martin's round-jet correlation (in Incropera, ch. 7) gives 130 to 220 for 15 to 30 m/s."""
    spill_film: float = 80.0
    """Hot gas spilling over the board at the package edge."""
    spill_reach: float = 0.008
    """Distance over which the spill film falls to 1/e [m]."""
    gas_lag: float = 4.0
    """The gas follows its set point with this time constant [s]."""

    def __post_init__(self):
        positive = set(self.__dataclass_fields__) - {"room_c", "solder_latent_heat", "spill_film", "plate_gas_share"}
        for name in sorted(positive):
            checks.above(name, getattr(self, name), 0)
        checks.finite("room_c", self.room_c, "°C")
        for name in ("emissivity", "plate_emissivity", "plate_gas_share"):
            checks.between(name, getattr(self, name), 0, 1)
        for name in ("solder_latent_heat", "spill_film"):
            checks.at_least(name, getattr(self, name), 0)
        checks.above("solder_liquidus_c", self.solder_liquidus_c, self.solder_solidus_c, "°C")
        checks.above("package_side", self.package_side, (self.joints_per_side - 1) * self.joint_pitch, "m")
        checks.above("width", self.width, self.package_side, "m")
        checks.inside("neighbour_side", self.neighbour_side, 0, 2 * min(NEIGHBOURS.values()), "m")
        farthest = self.package_side / 2 + max(NEIGHBOURS.values()) + self.neighbour_side / 2
        checks.above("length", self.length, 2 * farthest, "m")

    @property
    def room(self) -> float:
        """The room's absolute temperature [K]."""
        return self.room_c + ZERO_CELSIUS

    @property
    def solder_mass(self) -> float:
        """Mass of all balls under the package [kg]."""
        return self.joints_per_side**2 * self.solder_density * np.pi * self.ball_diameter**3 / 6


MEDIUM = Bench()
LIGHT = Bench(conductivity_along=8.0)
HEAVY = Bench(conductivity_along=30.0)
BOARDS = {"light": LIGHT, "medium": MEDIUM, "heavy": HEAVY}
"""Invented boards: about two, four and eight layers of copper, not all of it whole."""


@dataclass(frozen=True)
class Programme:
    """Set points of the bottom plate and of the nozzle gas over time.

    Break points are pairs of (time [s], set point [°C]), joined by straight lines and held before the first and
    after the last. The nozzle comes down at the first break point of the gas, already blowing at that set point, and
    lifts off at ``lift_off`` [s] if that comes within the ``duration`` [s]. With no break points a heater stays off
    (and the nozzle up).
    """

    bottom_plate_c: tuple[tuple[float, float], ...] = ()
    top_gas_c: tuple[tuple[float, float], ...] = ()
    lift_off: float = 300.0
    duration: float = 420.0

    def __post_init__(self):
        checks.above("duration", self.duration, 0, "s")
        checks.at_least("lift_off", self.lift_off, 0, "s")
        for heater, points in (("bottom_plate_c", self.bottom_plate_c), ("top_gas_c", self.top_gas_c)):
            for time, set_point in points:
                checks.between(f"break point time of {heater}", time, 0, self.duration, "s")
                checks.between(f"set point of {heater}", set_point, -40, 1000, "°C")
            times = [time for time, _ in points]
            checks.above(f"step between break points of {heater}", np.diff(times), 0, "s")

    @classmethod
    def from_choices(
        cls,
        bottom_plate_c: float,
        top_gas_c: float,
        hold: float = 60.0,
        soak: float = 120.0,
        bottom_ramp: float = 60.0,
        top_ramp: float = 60.0,
        cooling: float = 120.0,
        room_c: float = 25.0,
    ) -> "Programme":
        """Return the usual programme: warm from below, soak, heat from above, hold, lift off and cool.

        Parameters
        ----------
        bottom_plate_c, top_gas_c : float
            Set points of the plate and of the nozzle gas [°C].
        hold : float
            Time at the full gas set point before the nozzle lifts off, at least zero [s].
        soak : float
            Time at the full plate set point before the nozzle comes down, at least zero [s].
        bottom_ramp, top_ramp : float
            Time from room to the set point, above zero [s].
        cooling : float
            Time recorded after the lift-off; the plate is switched off with it, above zero [s].
        room_c : float
            Where both ramps start [°C].

        Returns
        -------
        Programme
            The programme; its duration follows from the times [s].

        References
        ----------
        The order of steps is common practice.

        Examples
        --------
        >>> Programme.from_choices(340, 270, hold=60).lift_off
        300.0
        """
        checks.single(bottom_plate_c=bottom_plate_c, top_gas_c=top_gas_c)
        down = bottom_ramp + soak
        lift_off = down + top_ramp + hold
        return cls(
            bottom_plate_c=(
                (0.0, room_c),
                (bottom_ramp, bottom_plate_c),
                (lift_off, bottom_plate_c),
                (lift_off + 1.0, room_c),
            ),
            top_gas_c=((down, min(100.0, top_gas_c)), (down + top_ramp, top_gas_c)),
            lift_off=lift_off,
            duration=lift_off + cooling,
        )

    def times(self, time_step: float) -> np.ndarray:
        """Return the time grid from 0 to the duration, rounded up to whole steps [s]."""
        return time_step * np.arange(int(np.ceil(self.duration / time_step - 1e-9)) + 1)

    def lowered(self, time_step: float) -> np.ndarray:
        """Say for each step of the grid whether the nozzle is down; its moves are rounded to whole steps."""
        step = np.arange(self.times(time_step).size - 1)
        if not self.top_gas_c:
            return np.zeros(step.size, bool)
        down, up = (round(time / time_step) for time in (self.top_gas_c[0][0], self.lift_off))
        return (down <= step) & (step < up)

    def heaters(self, bench: Bench, time_step: float) -> tuple[np.ndarray, np.ndarray]:
        """Return what gas and plate really have, above room, on the time grid [K]: both lag their set points."""
        times = self.times(time_step)
        plate = _lagged(_set_point(times, self.bottom_plate_c, bench.room_c), bench.plate_lag, time_step, 0.0)
        gas = _set_point(times, self.top_gas_c, bench.room_c)
        return _lagged(gas, bench.gas_lag, time_step, gas[0]), plate


def _set_point(times, points, room_c):
    """Return the set point above room [K]."""
    if not points:
        return np.zeros(times.size)
    at, set_points = zip(*points, strict=True)
    return np.interp(times, at, set_points) - room_c


def _lagged(set_point, lag, time_step, start):
    """Return the first-order response to a set point that is straight between samples (exact for it)."""
    keep = np.exp(-time_step / lag)
    old = lag / time_step * (1 - keep) - keep
    new = 1 - lag / time_step * (1 - keep)
    response, _ = lfilter([new, old], [1, -keep], set_point[1:], zi=[old * set_point[0] + keep * start])
    return np.concatenate(([start], response))


@dataclass(frozen=True, eq=False)
class Traces:
    """Temperatures over time at the named places, over the joints and over the board's top face [°C].

    ``joints_c`` has one column for each joint of a regular sample of the quarter array (``joint_positions`` [m],
    from the centre). ``board_top_c(time)`` is a coarse map of the whole board.
    """

    time: np.ndarray
    temperature_c: dict[str, np.ndarray]
    joints_c: np.ndarray
    joint_positions: np.ndarray
    solidus_c: float
    liquidus_c: float
    gas_c: np.ndarray
    plate_c: np.ndarray
    lowered: np.ndarray
    map_states: np.ndarray = field(repr=False)
    map_matrix: object = field(repr=False)
    room_c: float = 25.0

    @property
    def coldest_joint_c(self) -> np.ndarray:
        """Temperature of the coldest joint at each time [°C]."""
        return self.joints_c.min(axis=1)

    @property
    def hottest_joint_c(self) -> np.ndarray:
        """Temperature of the hottest joint at each time [°C]."""
        return self.joints_c.max(axis=1)

    @property
    def molten_share(self) -> np.ndarray:
        """Share of the joints that is liquid, over the melting range between solidus and liquidus [1]."""
        return np.clip((self.joints_c - self.solidus_c) / (self.liquidus_c - self.solidus_c), 0, 1).mean(axis=1)

    def board_top_c(self, time: float) -> np.ndarray:
        """Return the map of the board's top face at the nearest time of the record, rows across, columns along [°C].

        The face goes on under the package. Rows and columns are the middles of ``MAP_SHAPE`` equal fields.
        """
        quarter = self.map_matrix @ self.map_states[np.argmin(np.abs(self.time - time))]
        right = quarter.reshape(MAP_SHAPE[0] // 2, MAP_SHAPE[1] // 2) + self.room_c
        half = np.hstack((right[:, ::-1], right))
        return np.vstack((half[::-1], half))
