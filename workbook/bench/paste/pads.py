"""Gap pads: squeeze, resistance, which thickness fits a step, and when a pad lifts the sink off the die."""

from dataclasses import dataclass

from workbook.bench import checks
from workbook.bench.paste.chain import contact_resistance, layer_resistance
from workbook.references import value

__all__ = [
    "USUAL_COMPRESSION",
    "StackUp",
    "choose_pad",
    "compressed_thickness",
    "compression_in_stack",
    "fitting_thicknesses",
    "pad_force",
    "pad_resistance",
    "stack_up",
]

USUAL_COMPRESSION = tuple(percent / 100 for percent in value("paste", "pad_compression_percent"))
"""Compression that pads are used at, from and to [1]; one supplier's rule, the pad's own data sheet wins."""


@dataclass(frozen=True)
class StackUp:
    """Paste on a die and pads around it under one clamped sink.

    Gap over the die [m], compression of the pads [1], force on the pads and force left for the die [N], and whether the
    pads hold the sink off the die's wanted bond line.
    """

    die_gap: float
    compression: float
    pad_force: float
    die_force: float
    lifted: bool


def compressed_thickness(free_thickness, compression):
    r"""Return the thickness of a squeezed pad.

    .. math:: t = t_0 (1 - c)

    Parameters
    ----------
    free_thickness : float or array
        Thickness before squeezing, above zero [m].
    compression : float or array
        Share of the thickness taken away, from 0 to 0.99 [1].

    Returns
    -------
    float or array
        Thickness under pressure [m].

    References
    ----------
    Definition of compression.

    Examples
    --------
    1.0 mm squeezed by 30 % leaves 0.7 mm, not 0.3 mm:

    >>> round(compressed_thickness(1.0e-3, 0.30) * 1e3, 1)
    0.7
    """
    free_thickness, compression = checks.floats(free_thickness, compression)
    checks.above("free thickness", free_thickness, 0, "m")
    checks.between("compression", compression, 0, 0.99)
    return free_thickness * (1 - compression)


def pad_resistance(free_thickness, compression, conductivity, area, contact_per_face=0.0):
    r"""Return the resistance of a squeezed pad with its contacts.

    .. math:: R = \frac{t_0 (1 - c)}{k A} + \frac{2 R''_{face}}{A}

    Parameters
    ----------
    free_thickness : float or array
        Thickness before squeezing, above zero [m].
    compression : float or array
        Share of the thickness taken away, from 0 to 0.99 [1].
    conductivity : float or array
        Conductivity of the pad, above zero [W/m/K].
    area : float or array
        Area of the pad, above zero [m^2].
    contact_per_face : float or array
        Area resistance of the contact on each face, at least zero [m^2 K/W].

    Returns
    -------
    float or array
        Resistance [K/W].

    References
    ----------
    Plane wall and contacts in series (algebra); the number is computed.

    Examples
    --------
    20 mm x 20 mm, 1.0 mm squeezed by 30 %, 3 W/m/K, 20 mm²·K/W a face:

    >>> round(pad_resistance(1.0e-3, 0.30, 3, 20e-3 * 20e-3, 20e-6), 3)
    0.683
    """
    free_thickness, compression, conductivity, area, contact_per_face = checks.floats(
        free_thickness, compression, conductivity, area, contact_per_face
    )
    pad = layer_resistance(compressed_thickness(free_thickness, compression), conductivity, area)
    return pad + contact_resistance(contact_per_face, area)


def compression_in_stack(free_thickness, step, bond_line):
    r"""Return the compression a pad gets between a package and a sink that rests on the die's paste.

    .. math:: t_0 (1 - c) = \text{step} + BLT

    Below zero the pad is too thin and does not touch the sink.

    Parameters
    ----------
    free_thickness : float or array
        Thickness before squeezing, above zero [m].
    step : float or array
        Height of the die above the face the pad lies on, at least zero [m].
    bond_line : float or array
        Bond line of the paste on the die, at least zero [m].

    Returns
    -------
    float or array
        Compression [1].

    References
    ----------
    Geometry of the stack.

    Examples
    --------
    1.0 mm over a step of 0.65 mm and 50 µm of paste:

    >>> round(compression_in_stack(1.0e-3, 0.65e-3, 50e-6), 2)
    0.3
    """
    free_thickness, step, bond_line = checks.floats(free_thickness, step, bond_line)
    checks.above("free thickness", free_thickness, 0, "m")
    checks.at_least("step", step, 0, "m")
    checks.at_least("bond line", bond_line, 0, "m")
    return 1 - (step + bond_line) / free_thickness


def fitting_thicknesses(step, bond_line, compression=USUAL_COMPRESSION):
    r"""Return the thinnest and the thickest pad that fit a step.

    .. math:: t_0 = \frac{\text{step} + BLT}{1 - c}

    Parameters
    ----------
    step : float
        Height of the die above the face the pad lies on, at least zero [m].
    bond_line : float
        Bond line of the paste on the die, at least zero [m].
    compression : tuple of float
        Least and most compression, each from 0 to 0.99 [1].

    Returns
    -------
    tuple of float
        Thinnest and thickest free thickness [m].

    References
    ----------
    Geometry of the stack; 20 % to 45 % from a distributor's training slides 13 and 16 (published second-hand; one
    supplier's rule).

    Examples
    --------
    >>> [round(thickness * 1e3, 3) for thickness in fitting_thicknesses(0.65e-3, 50e-6)]
    [0.875, 1.273]
    """
    checks.single(step=step, bond_line=bond_line)
    step, bond_line = checks.floats(step, bond_line)
    checks.above("step with bond line", step + bond_line, 0, "m")
    least, most = compression
    checks.between("least compression", least, 0, most)
    checks.between("most compression", most, least, 0.99)
    return (step + bond_line) / (1 - least), (step + bond_line) / (1 - most)


def choose_pad(step, bond_line, stock, compression=USUAL_COMPRESSION):
    r"""Return the thickness out of a stock whose compression lies nearest the middle of the range, or None.

    .. math:: \min_{t_0} \; |c(t_0) - (c_{least} + c_{most}) / 2|, \quad c_{least} \le c \le c_{most}

    None where no thickness in stock fits: then the step is not to be bridged with this stock.

    Parameters
    ----------
    step : float
        Height of the die above the face the pad lies on, at least zero [m].
    bond_line : float
        Bond line of the paste on the die, at least zero [m].
    stock : sequence of float
        Free thicknesses at hand, each above zero [m].
    compression : tuple of float
        Least and most compression, each from 0 to 0.99 [1].

    Returns
    -------
    float or None
        Free thickness to take [m].

    References
    ----------
    As `fitting_thicknesses`; taking the middle of the range is common practice.

    Examples
    --------
    >>> choose_pad(0.65e-3, 50e-6, [0.5e-3, 1.0e-3, 1.5e-3])
    0.001
    """
    checks.above("stock", [*stock], 0, "m")
    thinnest, thickest = fitting_thicknesses(step, bond_line, compression)
    middle = sum(compression) / 2
    fitting = [thickness for thickness in stock if thinnest <= thickness <= thickest]
    return min(fitting, key=lambda free: abs(compression_in_stack(free, step, bond_line) - middle), default=None)


def pad_force(stiffness, compression, area):
    r"""Return the force a pad needs to be squeezed.

    .. math:: F = E \, c \, A

    A straight line, which a real pad follows at small compression only, and after it has relaxed: take the stiffness
    from the pad's own curve at the compression in question.

    Parameters
    ----------
    stiffness : float or array
        Pressure per compression, at least zero [Pa].
    compression : float or array
        Compression; below zero the pad hangs free and carries nothing [1].
    area : float or array
        Area of all pads under the sink, at least zero [m^2].

    Returns
    -------
    float or array
        Force [N].

    References
    ----------
    Definition of stiffness as a secant of the pad's curve (own choice).

    Examples
    --------
    200 kPa a unit of compression, squeezed by 30 % over 1029 mm²:

    >>> round(pad_force(200e3, 0.30, 1029e-6), 1)
    61.7
    """
    stiffness, compression, area = checks.floats(stiffness, compression, area)
    checks.finite("compression", compression)
    checks.at_least("stiffness", stiffness, 0, "Pa")
    checks.at_least("area", area, 0, "m²")
    return stiffness * area * (compression + abs(compression)) / 2


def stack_up(clamp_force, free_thickness, step, bond_line, stiffness, area):
    r"""Return how a clamped sink settles on paste and pads, and whether the pads hold it off the die.

    .. math:: h_{die} = \max\left(BLT,\; t_0 \left(1 - \frac{F}{E A}\right) - \text{step}\right)

    If squeezing the pads down to the die's bond line takes more than the clamp gives, the sink rides on the pads and
    the die is left with a thick joint: lifted off. Sink parallel to the die; pads as straight springs.

    Parameters
    ----------
    clamp_force : float
        Force of springs or screws on the sink, above zero [N].
    free_thickness : float
        Thickness of the pads before squeezing, above zero [m].
    step : float
        Height of the die above the face the pads lie on, at least zero [m].
    bond_line : float
        Bond line the paste would come to under the sink, at least zero [m].
    stiffness : float
        Pressure of the pad per compression, above zero [Pa].
    area : float
        Area of all pads under the sink, above zero [m^2].

    Returns
    -------
    StackUp
        Gap over the die [m], compression [1], forces [N], lifted or not.

    References
    ----------
    Force balance (own derivation, pads as straight springs: not validated with real pads). That a pad that does not
    match the step lifts the sink is common practice.

    Examples
    --------
    A clamp of 50 N cannot press a 1.5 mm pad down to a step of 0.65 mm:

    >>> settled = stack_up(50, 1.5e-3, 0.65e-3, 50e-6, 200e3, 1029e-6)
    >>> settled.lifted, round(settled.die_gap * 1e3, 2)
    (True, 0.49)
    """
    checks.single(
        clamp_force=clamp_force,
        free_thickness=free_thickness,
        step=step,
        bond_line=bond_line,
        stiffness=stiffness,
        area=area,
    )
    checks.above("clamp force", clamp_force, 0, "N")
    checks.above("stiffness", stiffness, 0, "Pa")
    checks.above("area", area, 0, "m²")
    wanted = compression_in_stack(free_thickness, step, bond_line)
    reached = min(wanted, clamp_force / (stiffness * area))
    on_pads = float(pad_force(stiffness, reached, area))
    return StackUp(
        die_gap=max(bond_line, free_thickness * (1 - reached) - step),
        compression=max(reached, 0.0),
        pad_force=on_pads,
        die_force=clamp_force - on_pads,
        lifted=wanted > reached,
    )
