"""Exercises on gap pads: squeezed, chosen for a step, and side by side with paste."""

from graders.questions import Case, Choice, Exercise, Number, Quantity, Slip, relative
from workbook.bench.paste import chain, coverage, pads

PADS = (
    "Silicone pads heated in air above 150 °C may give off formaldehyde: take pads off before a board is heated, and "
    "use extraction. Work only on a board that is unplugged, discharged and cold, and follow your shop's rules."
)

SQUEEZED = Exercise(
    id="squeezed-pad",
    number=11,
    title="Squeeze a gap pad",
    setup=(
        "A square gap pad, {side} on a side and {free} thick as it comes from the bag, has a conductivity of "
        "{conductivity}. Fitted, it is squeezed by {squeeze} of its thickness. At each of its two faces the contact "
        "adds an area resistance of {contact}. It carries {heat} of heat."
    ),
    givens=dict(
        side=Quantity(20, "mm", low=12, high=30, step=1),
        free=Quantity(1.0, "mm", low=0.5, high=2.5, step=0.25),
        conductivity=Quantity(3, "W/mK", low=1.5, high=6, step=0.5),
        squeeze=Quantity(30, "%", low=20, high=45, step=1),
        contact=Quantity(20, "mm²K/W", low=10, high=40, step=2),
        heat=Quantity(5, "W", low=2, high=12, step=0.5),
    ),
    parts=(
        Number(
            "fitted",
            "How thick is the pad once it is fitted?",
            points=1,
            unit="mm",
            expected=lambda g, a: pads.compressed_thickness(g.free, g.squeeze),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(0.1, 5),
            working="fitted = free * (1 - squeeze / 100)",
            slips=(
                Slip(
                    "what is taken away",
                    lambda g, a: g.free * g.squeeze,
                    "That is what the squeeze takes away. The question asks for what is left.",
                ),
                Slip(
                    "added",
                    lambda g, a: g.free * (1 + g.squeeze),
                    "You made the pad thicker. Squeezing takes thickness away.",
                ),
                Slip(
                    "divided",
                    lambda g, a: g.free / (1 - g.squeeze),
                    "You divided, and made the pad thicker. Squeezing takes thickness away: multiply by the share "
                    "left.",
                ),
                Slip(
                    "divided by more",
                    lambda g, a: g.free / (1 + g.squeeze),
                    "You divided by one and the squeeze. Take the squeeze off: multiply by the share left.",
                ),
            ),
        ),
        Number(
            "resistance",
            "What is the resistance of the fitted pad, with both contacts?",
            points=2,
            unit="K/W",
            expected=lambda g, a: (
                chain.layer_resistance(a.fitted, g.conductivity, g.side**2)
                + chain.contact_resistance(g.contact, g.side**2)
            ),
            within=relative(0.02),
            because="a pad's thickness is hardly known better",
            plausible=(0.041, 13),
            working="resistance = (fitted / conductivity * 1000 + 2 * contact) / side**2",
            hint="mm over W/mK, times 1000, gives mm²K/W, the unit the contacts are in.",
            slips=(
                Slip(
                    "no contacts",
                    lambda g, a: chain.layer_resistance(a.fitted, g.conductivity, g.side**2),
                    "That is the pad without its contacts.",
                ),
                Slip(
                    "one contact",
                    lambda g, a: (a.fitted / g.conductivity + g.contact) / g.side**2,
                    "You counted one contact. A pad has two faces.",
                ),
                Slip(
                    "as from the bag",
                    lambda g, a: (g.free / g.conductivity + 2 * g.contact) / g.side**2,
                    "You took the thickness from the bag. Heat passes the squeezed pad.",
                ),
                Slip(
                    "as from the bag, no contacts",
                    lambda g, a: g.free / g.conductivity / g.side**2,
                    "You took the thickness from the bag, and left the contacts out.",
                ),
                Slip(
                    "side for area",
                    lambda g, a: (a.fitted / g.conductivity + 2 * g.contact) / (g.side * 1e-3),
                    "You divided by the side. The heat passes through the area of the square.",
                ),
            ),
        ),
        Number(
            "drop",
            "By how much is the hot side of the pad hotter than the cool side, contacts included?",
            points=1,
            unit="K",
            expected=lambda g, a: g.heat * a.resistance,
            within=relative(0.02),
            because="it carries the uncertainty of the resistance",
            plausible=(0.05, 500),
            working="drop = heat * resistance",
            slips=(
                Slip(
                    "divided",
                    lambda g, a: a.resistance / g.heat,
                    "You divided by the heat. K/W says how many kelvin each watt costs.",
                ),
            ),
        ),
        Choice(
            "act",
            "The pad's supplier allows 20 to 45 % of squeeze. A pad twice as thick, of the same kind, lies at hand; the gap stays as "
            "wide as it is. Do you take it instead?",
            points=1,
            options={
                "thicker": "yes: the more it is squeezed, the better it conducts",
                "stay": "no: it is squeezed by more than the supplier allows",
                "two": "no: two of the thin ones go in, one on the other",
            },
            expected=lambda g, a: "stay",
            slips={
                "thicker": "Work out its squeeze in this gap: 45 % is the end. Its force comes off the die.",
                "two": "Two of them are squeezed as far as one of twice the thickness, and have four faces for two.",
            },
        ),
    ),
    cases=(
        Case("fitted", 0.7, 0.05, "definition of compression, 1.0 mm squeezed by 30 %", "computed"),
        Case(
            "resistance", 0.683, 0.0005, "plane wall and two contacts, by hand: 273.3 mm²K/W over 400 mm²", "computed"
        ),
        Case(
            "drop",
            4,
            0.005,
            "by hand: 8 W through 0.5 K/W",
            "computed",
            givens={"heat": 8},
            earlier={"resistance": 0.5},
        ),
    ),
    caution=PADS,
    floor=0.07,
)

STOCK = (0.5, 0.75, 1.0, 1.25, 1.5, 2.0)
"""Free thicknesses in an invented shop's drawer [mm]."""


def _chosen(g):
    """Return the pad to take as it is called in the drawer, or None."""
    called = {thickness * 1e-3: str(thickness) for thickness in STOCK}
    return called.get(pads.choose_pad(g.step, g.bond_line, called))


def _reached(g):
    """Return the compression at which springs and pads of the wrong thickness are in balance."""
    return g.clamp / (g.stiffness * g.pad_area)


def _settled(g):
    return pads.stack_up(g.clamp, g.wrong_pad, g.step, g.bond_line, g.stiffness, g.pad_area)


def _step_is_sound(drawn):
    g = PAD_FOR_STEP.values(drawn)
    if _chosen(g) is None or not 0.1 < _reached(g) < 0.5:
        return False
    fitted = pads.compression_in_stack(float(_chosen(g)) * 1e-3, g.step, g.bond_line)
    if pads.pad_force(g.stiffness, fitted, g.pad_area) > 0.85 * g.clamp:  # the pad that fits must leave the die a force
        return False
    return _settled(g).lifted and _settled(g).die_gap > 3 * g.bond_line


PAD_FOR_STEP = Exercise(
    id="pad-for-a-step",
    number=12,
    title="Choose the pad that fits a step",
    setup=(
        "A sink rests on the paste of a bare die. The die stands {step} above the package around it, and the bond "
        "line on the die should be {bond_line}. Pads fill the space between package and sink, so a fitted pad is as "
        "thick as step and bond line together. The pad's supplier wants 20 % to 45 % of compression, compression "
        "being the share of the free thickness that is squeezed away. The drawer holds pads of 0.5, 0.75, 1.0, 1.25, "
        "1.5 and 2.0 mm.\n\n"
        "Pads push back: they carry stiffness × compression × area, with a stiffness of {stiffness}, the compression as a "
        "plain number (0.10 for 10 %) and {pad_area} of pads in all. The springs of the sink give {clamp} in all. A pad that "
        "would carry more than the springs give lifts the sink off the die."
    ),
    givens=dict(
        step=Quantity(0.65, "mm", low=0.4, high=1.0, step=0.05),
        bond_line=Quantity(50, "µm", low=30, high=80, step=5),
        wrong_pad=Quantity(1.5, "mm", low=1.5, high=2.5, step=0.25),
        clamp=Quantity(40, "N", low=30, high=60, step=5),
        stiffness=Quantity(100, "kPa", low=60, high=140, step=10),
        pad_area=Quantity(1029, "mm²", low=800, high=1200, step=50),
    ),
    parts=(
        Number(
            "thinnest",
            "How thick, before squeezing, is the thinnest pad that fits?",
            points=2,
            unit="mm",
            expected=lambda g, a: pads.fitting_thicknesses(g.step, g.bond_line)[0],
            within=relative(0.005),
            because="only rounding is left",
            plausible=(0.34, 2.2),
            working="thinnest = (step + bond_line / 1000) / (1 - 0.20)",
            hint="A pad squeezed by 20 % has 80 % of its thickness left, and that fills the space.",
            slips=(
                Slip(
                    "20 % on top",
                    lambda g, a: (g.step + g.bond_line) * 1.2,
                    "You added 20 % to the space. The 20 % count from the free thickness, which is more than the "
                    "space.",
                ),
                Slip(
                    "no bond line",
                    lambda g, a: g.step / 0.8,
                    "The bond line is missing: the sink does not lie on the die, but on its paste.",
                ),
                Slip(
                    "20 % left",
                    lambda g, a: (g.step + g.bond_line) / 0.2,
                    "You left 20 % of the pad. 20 % are squeezed away; the rest is left.",
                ),
                Slip(
                    "20 % off",
                    lambda g, a: (g.step + g.bond_line) * 0.8,
                    "That pad is thinner than the space: it would hang free.",
                ),
            ),
        ),
        Number(
            "thickest",
            "And the thickest?",
            points=1,
            unit="mm",
            expected=lambda g, a: pads.fitting_thicknesses(g.step, g.bond_line)[1],
            within=relative(0.005),
            because="only rounding is left",
            plausible=(0.5, 3.2),
            working="thickest = (step + bond_line / 1000) / (1 - 0.45)",
            slips=(
                Slip(
                    "45 % on top",
                    lambda g, a: (g.step + g.bond_line) * 1.45,
                    "You added 45 % to the space. The 45 % count from the free thickness.",
                ),
                Slip(
                    "no bond line",
                    lambda g, a: g.step / 0.55,
                    "The bond line is missing: the sink lies on the paste.",
                ),
                Slip(
                    "45 % left",
                    lambda g, a: (g.step + g.bond_line) / 0.45,
                    "You left 45 % of the pad. 45 % are squeezed away; the rest is left.",
                ),
            ),
        ),
        Choice(
            "pad",
            "Which pad of the drawer comes nearest to the middle of the range, 32.5 %?",
            points=1,
            options={f"{thickness}": f"{thickness} mm" for thickness in STOCK},
            expected=lambda g, a: _chosen(g),
            slips={
                str(
                    thickness
                ): "Work out its compression: 1 less the space over the free thickness. Which is nearest 32.5 %?"
                for thickness in STOCK
            },
            hint="Work out the compression of the pads that lie between thinnest and thickest.",
        ),
        Number(
            "die_gap",
            "A colleague fits pads of {wrong_pad} instead. The pads are squeezed until they carry all of the springs' "
            "force, and the sink rests on them. How wide is the gap between die and sink then?",
            points=2,
            unit="mm",
            expected=lambda g, a: _settled(g).die_gap,
            within=relative(0.02),
            because="it is a difference of lengths given to about a hundredth of a millimetre",
            plausible=(0.061, 2),
            working="""
compression = clamp / (stiffness * 1000 * pad_area * 1e-6)
die_gap = wrong_pad * (1 - compression) - step
""",
            hint="First the compression, from the force. The squeezed pad and the die both stand on the package.",
            slips=(
                Slip(
                    "pads not squeezed",
                    lambda g, a: g.wrong_pad - g.step,
                    "You left the pads as they came. The springs squeeze them to some extent.",
                ),
                Slip(
                    "step not taken off",
                    lambda g, a: g.wrong_pad * (1 - _reached(g)),
                    "That is the height of the sink over the package. The die stands up into it.",
                ),
                Slip(
                    "pressed home",
                    lambda g, a: g.bond_line,
                    "That is the bond line wanted. Check whether the springs have the force to press the pads that "
                    "far.",
                ),
                Slip(
                    "bond line taken off",
                    lambda g, a: g.wrong_pad * (1 - _reached(g)) - g.step - g.bond_line,
                    "You took the bond line off as well. The question asks how wide the gap is, whatever fills it.",
                ),
            ),
        ),
        Choice(
            "act",
            "The colleague's device is still cold and unplugged. What do you do?",
            points=1,
            options={
                "stronger": "fit stronger springs, and leave the pads as they are",
                "change": "take the sink off, and fit new pads that suit the step",
                "paste": "add paste on the die until it reaches across the gap",
                "run": "run it once: heat will make the pads softer in time",
            },
            expected=lambda g, a: "change",
            slips={
                "stronger": "They press on the board as well, and the pads are squeezed past their 45 %.",
                "paste": "Paste as thick as that is a poor conductor, and it runs out.",
                "run": "A die without its sink is too hot within seconds.",
            },
        ),
    ),
    cases=(
        Case("thinnest", 0.875, 0.0005, "geometry of the stack, by hand: 0.70 mm / 0.80", "computed"),
        Case("thickest", 1.273, 0.0005, "geometry of the stack, by hand: 0.70 mm / 0.55", "computed"),
        Case("pad", "1.0", 0, "compression in the stack, by hand: 30 % is nearest the middle", "computed"),
        Case(
            "die_gap",
            0.25,
            0.0005,
            "by hand: 40 N on 1000 mm² of 100 kPa squeeze 1.5 mm by 40 %, over a step of 0.65 mm",
            "computed",
            givens={"pad_area": 1000, "clamp": 40},
        ),
    ),
    caution=PADS,
    sound=_step_is_sound,
    floor=0.06,
)

PASTE_AND_PAD = Exercise(
    id="paste-and-pad",
    number=13,
    title="Put paste on the die and a pad around it",
    setup=(
        "A bare square die, {die} on a side, sits in the middle of a square package, {package} on a side. Paste on "
        "the die is {bond_line} thick, with a conductivity of {paste_conductivity}. A pad covers all of the package "
        "around the die; fitted, it is {pad_thickness} thick, with a conductivity of {pad_conductivity}. Leave the "
        "contacts out. Take the package as one temperature and the sink as another. (In truth the package around the "
        "die is cooler than the die, so what passes the pad is less: your last number is an upper limit.) The package sends "
        "{power} to the sink."
    ),
    givens=dict(
        die=Quantity(14, "mm", low=10, high=18, step=1),
        package=Quantity(35, "mm", low=27, high=45, step=2),
        bond_line=Quantity(50, "µm", low=30, high=80, step=5),
        paste_conductivity=Quantity(4, "W/mK", low=1.5, high=4, step=0.5),
        pad_thickness=Quantity(1.0, "mm", low=0.5, high=1.5, step=0.1),
        pad_conductivity=Quantity(3, "W/mK", low=2, high=6, step=0.5),
        power=Quantity(30, "W", low=10, high=60, step=5),
    ),
    parts=(
        Number(
            "paste",
            "What is the resistance of the paste?",
            points=1,
            unit="K/W",
            expected=lambda g, a: chain.layer_resistance(g.bond_line, g.paste_conductivity, g.die**2),
            within=relative(0.02),
            because="a bond line is hardly known better",
            plausible=(0.014, 0.86),
            working="paste = bond_line / paste_conductivity / die**2",
            hint="µm over W/mK gives mm²K/W.",
            slips=(
                Slip(
                    "whole package",
                    lambda g, a: g.bond_line / g.paste_conductivity / g.package**2,
                    "You spread the paste over the whole package. It lies on the die only.",
                ),
            ),
        ),
        Number(
            "pad",
            "What is the resistance of the pad?",
            points=2,
            unit="K/W",
            expected=lambda g, a: chain.layer_resistance(
                g.pad_thickness, g.pad_conductivity, coverage.ring_area(g.package, g.die)
            ),
            within=relative(0.02),
            because="a pad's thickness is hardly known better",
            plausible=(0.031, 2.6),
            working="pad = pad_thickness * 1000 / pad_conductivity / (package**2 - die**2)",
            slips=(
                Slip(
                    "whole package",
                    lambda g, a: g.pad_thickness / g.pad_conductivity / g.package**2,
                    "You laid the pad over the die as well. Its area is the package without the die.",
                ),
                Slip(
                    "square of the difference",
                    lambda g, a: g.pad_thickness / g.pad_conductivity / (g.package - g.die) ** 2,
                    "You squared the difference of the sides. Take the difference of the two areas.",
                ),
            ),
        ),
        Number(
            "together",
            "What is the resistance of both together?",
            points=2,
            unit="K/W",
            expected=lambda g, a: coverage.paste_and_pad_resistance(a.paste, a.pad),
            within=relative(0.02),
            because="it carries the uncertainty of the two layers",
            plausible=(0.002, 0.44),
            working="together = 1 / (1 / paste + 1 / pad)",
            hint="Heat takes both ways at once.",
            slips=(
                Slip(
                    "added",
                    lambda g, a: a.paste + a.pad,
                    "You added them. The heat does not pass one and then the other: they lie side by side.",
                ),
                Slip(
                    "mean",
                    lambda g, a: (a.paste + a.pad) / 2,
                    "You took the mean. Two ways together are easier than either of them alone.",
                ),
            ),
        ),
        Number(
            "through_pad",
            "How many watts pass through the pad?",
            points=1,
            unit="W",
            expected=lambda g, a: g.power * a.together / a.pad,
            within=relative(0.03),
            because="it carries the uncertainty of all three resistances",
            plausible=(0.13, 100),
            working="through_pad = power * together / pad",
            hint="Both ways have the same temperature difference.",
            slips=(
                Slip(
                    "through the paste",
                    lambda g, a: g.power * a.together / a.paste,
                    "That is what the paste carries. The harder way carries the smaller part.",
                ),
                Slip(
                    "half each",
                    lambda g, a: g.power / 2,
                    "You gave each way half of the power. The harder way carries less.",
                ),
            ),
        ),
        Choice(
            "act",
            "One pad is missing, and you have paste enough. What do you do?",
            points=1,
            options={
                "paste": "fill the space with paste, as it conducts better",
                "wait": "wait for a new pad, and leave the device off",
                "without": "leave the pad out, as the die has its own paste",
                "old": "lay the old pad in again, with some oil to soften it",
            },
            expected=lambda g, a: "wait",
            slips={
                "paste": "Paste a millimetre thick runs out, and what it leaves is air.",
                "without": "Parts under the pad lose their only way to the sink.",
                "old": "An old pad has taken a set and may not touch at all.",
            },
        ),
    ),
    cases=(
        Case("paste", 0.0638, 0.00005, "plane wall: 50 µm, 4 W/mK, 14 mm x 14 mm", "computed"),
        Case("pad", 0.324, 0.0005, "plane wall: 1.0 mm, 3 W/mK, 1029 mm²", "computed"),
        Case("together", 0.0533, 0.00005, "paths side by side: 0.0638 and 0.324 K/W", "computed"),
        Case(
            "through_pad",
            6,
            0.005,
            "parallel resistances by hand: 30 W, 1 beside 4 K/W",
            "computed",
            givens={"power": 30},
            earlier={"paste": 1, "pad": 4, "together": 0.8},
        ),
    ),
    caution=PADS,
    floor=0.08,
)

EXERCISES = (SQUEEZED, PAD_FOR_STEP, PASTE_AND_PAD)
