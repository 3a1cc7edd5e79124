"""The solder alloys of the references: when they begin to melt, and when all of the joint is liquid."""

from dataclasses import dataclass

from workbook.bench import checks
from workbook.references import load, value

__all__ = ["Alloy", "alloy", "alloys", "melting_heat"]


@dataclass(frozen=True)
class Alloy:
    """A solder alloy: solidus and liquidus [°C], density [kg/m^3], conductivity [W/m/K], lead in it or not."""

    name: str
    solidus_c: float
    liquidus_c: float
    density: float
    conductivity: float

    @property
    def family(self) -> str:
        """The family of the standard it belongs to."""
        return "SnPb" if "Pb" in self.name else "lead-free"

    @property
    def is_eutectic(self) -> bool:
        """Whether it melts at one temperature."""
        return self.solidus_c == self.liquidus_c


def alloys():
    """Return the names of the alloys that can be asked for.

    Returns
    -------
    tuple of str
        Names in the order of the references [1].

    References
    ----------
    Reference table of this workbook, each value with its own standing.

    Examples
    --------
    >>> alloys()[:3]
    ('Sn63Pb37', 'Sn60Pb40', 'Sn62Pb36Ag2')
    """
    return tuple(_keys())


def alloy(name):
    """Return a solder alloy by its name.

    Parameters
    ----------
    name : str
        Name, as in `alloys` [1].

    Returns
    -------
    Alloy
        Solidus and liquidus [°C], density [kg/m^3], conductivity [W/m/K].

    References
    ----------
    Reference table of this workbook, each value with its own standing.

    Examples
    --------
    >>> alloy("SAC305").solidus_c, alloy("SAC305").liquidus_c, alloy("Sn63Pb37").is_eutectic
    (217, 220, True)
    """
    keys = _keys()
    if name not in keys:
        raise ValueError(f"alloy must be one of {', '.join(keys)} (got {name!r})")
    key = keys[name]
    return Alloy(name, *(value("profile", key + part) for part in _PARTS))


def melting_heat(mass, latent_heat):
    r"""Return the heat that melts a mass of solder without warming it.

    .. math:: Q = m L

    Parameters
    ----------
    mass : float or array
        Mass of solder, at least zero [kg].
    latent_heat : float or array
        Latent heat, above zero [J/kg].

    Returns
    -------
    float or array
        Heat [J].

    References
    ----------
    Definition.

    Examples
    --------
    The balls of a large array, 0.80 g at 65 J/g (computed):

    >>> f"{melting_heat(0.80e-3, 65e3):.0f} J"
    '52 J'
    """
    mass, latent_heat = checks.floats(mass, latent_heat)
    checks.at_least("mass", mass, 0, "kg")
    checks.above("latent heat", latent_heat, 0, "J/kg")
    return mass * latent_heat


_PARTS = ("_solidus_c", "_liquidus_c", "_density", "_conductivity")


def _keys():
    """Return the key of each alloy by name: those that have a solidus."""
    references = load("profile")
    return {
        found.name.removeprefix("Solidus of "): key.removesuffix(_PARTS[0])
        for key, found in references.items()
        if key.endswith(_PARTS[0])
    }
