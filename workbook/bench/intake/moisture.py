"""Moisture in plastic packages: how long a part may lie open, and how long it has to bake before it sees reflow heat.

The tables of two editions differ and stand side by side in the references; every answer says which edition it is from
and how well that cell is known. Times are in hours, as the tables are read. The label on the bag and the maker's data
sheet win. Baking is hot work for hours: the oven's own instructions and the site's rules apply.
"""

from typing import NamedTuple

from workbook.bench import checks
from workbook.references import entry, table, value

__all__ = ["EDITIONS", "Bake", "floor_life_hours", "floor_life_left_hours", "user_bake"]

EDITIONS = ("1999 to A", "B.1 on")
"""Editions of J-STD-033 whose user bake tables differ."""

_MIDDLE = ("bake_125c_2mm0", "bake_125c_2mm0_5a", "bake_125c_2mm0_unseen", "bake_125c_2mm0_5a_unseen")
_THICK = ("bake_125c_thick", "bake_125c_thick_unseen", "bake_125c_thick_level_2_unseen")
# (edition, oven temperature in °C): thickest body of each class [m] and the reference tables that hold its cells.
_BAKES = {
    ("1999 to A", 125): (
        (1.4e-3, ("bake_125c_1mm4_1999",)),
        (2.0e-3, _MIDDLE),
        (4.0e-3, _THICK),
    ),
    ("1999 to A", 90): ((1.4e-3, ("bake_90c_1mm4",)), (2.0e-3, ("bake_90c_2mm0",))),
    ("1999 to A", 40): ((1.4e-3, ("bake_40c_1mm4",)), (2.0e-3, ("bake_40c_2mm0",))),
    ("B.1 on", 125): (
        (1.4e-3, ("bake_125c_1mm4_b1", "bake_125c_1mm4_b1_unseen")),
        (2.0e-3, _MIDDLE),
        (4.5e-3, _THICK),
    ),
}
_LONG_OVER, _SHORT_OVER = "more than 72 h over", "up to 72 h over"


class Bake(NamedTuple):
    """A bake time [h], the standing of that cell of the table, and the edition it is from."""

    hours: float
    standing: str
    edition: str


def floor_life_hours(level):
    r"""Return the floor life of a moisture sensitivity level at no more than 30 °C and 60 % relative humidity.

    .. math:: t_\mathrm{floor} = f(\mathrm{level})

    Parameters
    ----------
    level : str or int
        Moisture sensitivity level, one of ``"1"``, ``"2"``, ``"2a"``, ``"3"``, ``"4"``, ``"5"``, ``"5a"`` [1]. Level 6
        has none: bake before use, then the time on the label.

    Returns
    -------
    float
        Floor life, infinite for level 1 [h].

    References
    ----------
    J-STD-020 Table 5-1, read in data sheets that quote it (second-hand).

    Examples
    --------
    >>> floor_life_hours("3"), floor_life_hours("5a")
    (168, 24)
    """
    lives, level = table("intake", "floor_life"), str(level)
    if level not in lives:
        raise ValueError(
            f"level must be one of {', '.join(lives)} (got {level!r}); level 6 is baked before use, its label rules"
        )
    return lives[level]["hours"]


def floor_life_left_hours(level, exposures_hours):
    r"""Return the floor life left after exposures that have not been reset by a bake.

    .. math:: t_\mathrm{left} = t_\mathrm{floor} - \sum_i t_i

    Parameters
    ----------
    level : str
        Moisture sensitivity level, from ``"1"`` to ``"5a"`` [1].
    exposures_hours : sequence of float
        Times out of the dry bag, each 0 or more [h].

    Returns
    -------
    float
        Floor life left; below zero by how much it is exceeded [h].

    References
    ----------
    J-STD-020 Table 5-1 (second-hand).

    Examples
    --------
    A level 3 part that lay open for 30, 60 and 50 hours, and one that lay open for nine days:

    >>> floor_life_left_hours("3", [30, 60, 50]), floor_life_left_hours("3", [216])
    (28.0, -48.0)
    """
    checks.at_least("exposure", exposures_hours, 0, "h")
    return floor_life_hours(level) - sum(map(checks.floats, exposures_hours))


def user_bake(level, thickness, hours_over, edition="B.1 on", oven_c=125):
    r"""Return how long a user bakes a part whose floor life is used up, with the standing and edition of the answer.

    .. math:: t_\mathrm{bake} = f(\mathrm{level}, \mathrm{thickness}, t_\mathrm{over} > 72\,\mathrm{h})

    For the user's bake only: the supplier's dry-pack table has other numbers and is another table. Bodies above 17 mm
    by 17 mm and stacked dies have a row of their own (see the reference ``bake_125c_large_bga``), which most processor
    packages of a main board fall under. Trays, reels and connectors may not bear the oven; solderability limits the sum
    of all bakes.

    Parameters
    ----------
    level : str
        Moisture sensitivity level, from ``"2"`` to ``"5a"`` [1].
    thickness : float
        Body thickness, above zero [m].
    hours_over : float
        Time by which the floor life is exceeded, 0 or more [h]. The 1999 table words its two columns as saturated at
        30 °C/85 % and as floor life plus 72 h; up to 72 h over is the second.
    edition : str
        One of `EDITIONS` [1].
    oven_c : int
        Oven temperature: 125, or 90 or 40 (at no more than 5 % relative humidity) [degrees Celsius].

    Returns
    -------
    Bake
        Bake time [h], standing of the cell and edition.

    References
    ----------
    J-STD-033 user bake table, read in a public copy of the 1999 table and in data sheets that quote later ones
    (second-hand); cells not seen are marked from memory.

    Examples
    --------
    A level 3 body 1.9 mm thick, less than 72 h over:

    >>> user_bake("3", 1.9e-3, 48)
    Bake(hours=17, standing='published-second-hand', edition='B.1 on')

    The same thin level 2a part under two editions:

    >>> [user_bake("2a", 1.2e-3, 100, edition).hours for edition in EDITIONS]
    [5, 7]
    """
    checks.single(hours_over=hours_over)
    checks.above("thickness", thickness, 0, "m")
    checks.at_least("hours over", hours_over, 0, "h")
    if (edition, oven_c) not in _BAKES:
        known = "; ".join(f"{name} at {temperature} °C" for name, temperature in _BAKES)
        raise ValueError(f"there is no bake table for {edition!r} at {oven_c} °C; there is {known}")
    classes, level = _BAKES[edition, oven_c], str(level)
    column = _LONG_OVER if hours_over > value("intake", "bake_over_split") else _SHORT_OVER
    # A product of metres is a rounding error off; at the limits of the table it must not decide.
    fitting = [keys for thickest, keys in classes if round(thickness, 9) <= thickest]
    if not fitting:
        thickest = 1e3 * classes[-1][0]
        raise ValueError(f"thickness must be at most {thickest:g} mm at {oven_c} °C (got {1e3 * thickness:g} mm)")
    for key in fitting[0]:
        cells = table("intake", key)
        if column in cells.get(level, ()):
            return Bake(cells[level][column], entry("intake", key).standing, edition)
    raise ValueError(f"no bake time is known for level {level!r} at {oven_c} °C in the edition {edition!r}")
