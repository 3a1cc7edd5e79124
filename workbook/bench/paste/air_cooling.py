"""A sink in still air: its faces lose heat by natural convection and by radiation, in about equal parts."""

from dataclasses import dataclass

from workbook.bench import checks
from workbook.bench.profile.films import film_facing_down, film_facing_up, film_vertical, radiation_coefficient

__all__ = ["ORIENTATIONS", "Face", "face_film", "heat_from_faces", "still_air_resistance", "surface_temperature_c"]

ORIENTATIONS = {"upright": film_vertical, "facing up": film_facing_up, "facing down": film_facing_down}
"""How a face may stand, and the natural convection on it."""

_MOST_ROUNDS = 200


@dataclass(frozen=True)
class Face:
    """A flat face of a sink: one of `ORIENTATIONS`, area [m^2], size [m] and emissivity [1].

    Size is the height of an upright face and area over perimeter of a level one. Fins side by side see each other:
    what radiates is the outer shell of the sink, so give inner faces an emissivity of 0.
    """

    orientation: str
    area: float
    size: float
    emissivity: float

    def __post_init__(self):
        if self.orientation not in ORIENTATIONS:
            raise ValueError(f"orientation must be one of {', '.join(ORIENTATIONS)} (got {self.orientation!r})")
        checks.above("area", self.area, 0, "m²")
        checks.above("size", self.size, 0, "m")
        checks.between("emissivity", self.emissivity, 0, 1)


def face_film(face, surface_c, air_c):
    r"""Return the film coefficient of a face in still air, convection and radiation together.

    .. math:: h = h_{convection} + h_{radiation}

    Surroundings at air temperature. Level faces need a Rayleigh number of at least 1e4: very small ones are refused.

    Parameters
    ----------
    face : Face
        Face of the sink [m].
    surface_c : float
        Temperature of the face, above that of the air [°C].
    air_c : float
        Temperature of air and surroundings [°C].

    Returns
    -------
    float
        Film coefficient [W/m^2/K].

    References
    ----------
    Natural convection after Churchill and Chu (upright) and McAdams (level), grey-body radiation; the number is
    computed. That radiation is of the order of half: abstract of Tamayol and Bahrami.

    Examples
    --------
    A plate of 50 mm at 60 °C in air of 25 °C: 6.7 by convection and 6.4 by radiation of emissivity 0.9:

    >>> round(float(face_film(Face("upright", 50e-3**2, 50e-3, 0.9), 60, 25)))
    13
    """
    surface_c, air_c = checks.floats(surface_c, air_c)
    convection = ORIENTATIONS[face.orientation](surface_c, air_c, face.size)
    return convection + radiation_coefficient(face.emissivity, surface_c, air_c)


def heat_from_faces(faces, surface_c, air_c):
    r"""Return the heat that the faces of a sink lose to still air.

    .. math:: q = \sum_i h_i A_i (T_s - T_a)

    All faces at one temperature.

    Parameters
    ----------
    faces : sequence of Face
        Faces of the sink [m].
    surface_c : float
        Temperature of the sink, above that of the air [°C].
    air_c : float
        Temperature of air and surroundings [°C].

    Returns
    -------
    float
        Heat flow [W].

    References
    ----------
    As `face_film`; the number is computed.

    Examples
    --------
    Both faces of that plate:

    >>> round(float(heat_from_faces([Face("upright", 50e-3**2, 50e-3, 0.9)] * 2, 60, 25)), 1)
    2.3
    """
    surface_c, air_c = checks.floats(surface_c, air_c)
    checks.at_least("number of faces", len(faces), 1)
    return sum(face_film(face, surface_c, air_c) * face.area for face in faces) * (surface_c - air_c)


def surface_temperature_c(power, faces, air_c):
    r"""Return the temperature a sink settles at in still air.

    .. math:: P = \sum_i h_i(T_s)\, A_i\, (T_s - T_a)

    Found by putting the film of the last temperature into the next; the film changes slowly, so that this settles.

    Parameters
    ----------
    power : float
        Heat into the sink, above zero [W].
    faces : sequence of Face
        Faces of the sink [m].
    air_c : float
        Temperature of air and surroundings [°C].

    Returns
    -------
    float
        Temperature of the sink [°C].

    References
    ----------
    As `face_film`; the number is computed.

    Examples
    --------
    >>> round(surface_temperature_c(2.3, [Face("upright", 50e-3**2, 50e-3, 0.9)] * 2, 25))
    60
    """
    checks.above("power", power, 0, "W")
    checks.at_least("number of faces", len(faces), 1)
    area = sum(face.area for face in faces)
    excess = power / (10 * area)
    for _ in range(_MOST_ROUNDS):
        film = heat_from_faces(faces, air_c + excess, air_c) / excess
        last, excess = excess, float(power / film)
        if abs(excess - last) < 1e-9 * excess:
            return air_c + excess
    raise ArithmeticError(f"the temperature of the sink did not settle in {_MOST_ROUNDS} rounds")


def still_air_resistance(power, faces, air_c):
    r"""Return the resistance of a sink to still air at a power.

    .. math:: R = (T_s - T_a) / P

    Not a constant: it falls with power, because warm air rises faster and hot faces radiate more.

    Parameters
    ----------
    power : float
        Heat into the sink, above zero [W].
    faces : sequence of Face
        Faces of the sink [m].
    air_c : float
        Temperature of air and surroundings [°C].

    Returns
    -------
    float
        Resistance [K/W].

    References
    ----------
    As `face_film`; the number is computed.

    Examples
    --------
    >>> plate = [Face("upright", 50e-3**2, 50e-3, 0.9)] * 2
    >>> still_air_resistance(1.0, plate, 25) > still_air_resistance(3.0, plate, 25)
    True
    """
    return (surface_temperature_c(power, faces, air_c) - air_c) / power
