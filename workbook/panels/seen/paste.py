"""What should have been seen in lesson 5."""

from math import pi

from workbook.bench.paste import chain as bench_chain
from workbook.bench.paste import coverage, solder_ball, volumes, wedge
from workbook.panels.seen import before_margin, hold, look
from workbook.references import value

JUNCTION, JOINT = "junction, at most", "between die and sink"


def which_resistance() -> list[str]:
    """Halve one of 3, 1 and 8 K/W at 5 W."""
    best, paste = (25 + 5 * sum(parts) for parts in ((3, 1, 4), (3, 0.5, 8)))
    hold(best < paste < 85)
    return [
        f"The sink's 8 K/W: the junction comes down from 85 to {best:.0f} °C. Half of 1 K/W is only {85 - paste:.1f} K. The largest part is the one to "
        "work on; paste is seldom it, as long as it is there."
    ]


def better_paste() -> list[str]:
    """Twice the conductivity or half the bond line."""
    die = 14e-3**2
    twice, half = (bench_chain.layer_resistance(gap, k, die) for gap, k in ((50e-6, 6), (25e-6, 3)))
    hold(abs(twice - half) < 1e-12)
    return [
        f"The same: {twice:.3f} K/W each, for the layer itself. A thin bond line costs care and level pressure, and no money; the faces' own contact stays in both."
    ]


def cool_sink() -> list[str]:
    """A cool sink and a hot die."""
    good, bad = look("paste.chain"), look("paste.chain", bond_line=300, conductivity=0.5)
    hold(good["sink to air"] == bad["sink to air"], bad.number(JOINT) > 5 * good.number(JOINT))
    return [
        f"What lies above the sink: die, paste, contact, a sink that is lifted. A poor joint raises the die by {bad[JOINT]} in place of {good[JOINT]} in Figure 1, and the "
        f"sink stays {good['sink to air']} over the air. Fan and fins are not at fault: were they, the sink would be hot."
    ]


def chain() -> list[str]:
    """The six tries of Figure 1."""
    start, dear, thick = look("paste.chain"), look("paste.chain", conductivity=8), look("paste.chain", bond_line=200)
    pad, air = look("paste.chain", fill="pad"), look("paste.chain", fill="air", bond_line=15)
    still, warm = look("paste.chain", film=5), look("paste.chain", air=40)
    most = max(power for power in range(45, 101) if look("paste.chain", power=power).number(JUNCTION) < 95)
    gap = start.number(JOINT) / 45 * coverage.AIR_CONDUCTIVITY * 14e-3**2
    hold(dear.number(JUNCTION) < start.number(JUNCTION), pad.state(JUNCTION) == "outside", 60 < most < 75)
    hold(warm.number(JUNCTION) - start.number(JUNCTION) == 10)
    return [
        f"{start.number(JOINT) - dear.number(JOINT):.1f} K: the joint costs {dear[JOINT]} in place of {start[JOINT]}.",
        f"{thick.number(JOINT) - start.number(JOINT):.1f} K: {thick[JOINT]} in the joint, the junction at {before_margin(thick[JUNCTION])}.",
        f"For dies no: {pad[JOINT]} in the pad, the junction at {before_margin(pad[JUNCTION])}.",
        f"Even at 15 µm, as thin as it goes, air costs {air[JOINT]}. To cost no more than the paste ({start[JOINT]}) the gap would have to be {gap * 1e6:.1f} µm, "
        "everywhere.",
        f"With a film of 5 W/m²K the junction would be at {before_margin(still[JUNCTION])}: the part would have switched off. Air that is 10 K warmer makes it {before_margin(warm[JUNCTION])}, "
        "10 K more, kelvin for kelvin.",
        f"Up to {most} W, as it stands at the start; each watt costs {start['junction to air']} × 1 W.",
    ]


def pea() -> list[str]:
    """How much a pea is."""
    pea_mm3, twice = pi / 6 * 8**3, pi / 6 * 16**3
    film = volumes.film_volume(14e-3**2, 50e-6) * 1e9
    hold(abs(twice / pea_mm3 - 8) < 1e-9)
    return [
        f"A pea of 8 mm (say) is {pea_mm3:.0f} mm³, {pea_mm3 / film:.0f} times the film of {film:.1f} mm³ that this die needs. Twice the diameter is eight times the paste."
    ]


def spread() -> list[str]:
    """The six tries of Figure 2."""
    patterns = {
        name: look("paste.spread", pattern=name, time=10) for name in ("dot", "line", "cross", "five dots", "ring")
    }
    bare = min(patterns, key=lambda name: patterns[name].number("covered"))
    dot, cross = (look("paste.spread", pattern=name, time=60) for name in ("dot", "cross"))
    least = next(
        (volume, seen)
        for volume in range(8, 82, 2)
        if (seen := look("paste.spread", volume=volume, time=300)).state("covered") != "outside"
    )
    double = look("paste.spread", volume=2 * least[0], time=300)
    quick, slow = look("paste.spread", time=300), look("paste.spread", force=30, time=300)
    thin = [look("paste.spread", force=force, time=300, yield_stress=20) for force in (60, 30)]
    coarse = [look("paste.spread", grain=60, force=force, time=300) for force in (60, 150)]
    rest, gap = "comes to rest", "gap now"
    hold(patterns["ring"].state("air shut") == "outside", dot["air shut"] == "none", thin[0][rest] == thin[1][rest])
    hold(least[1][rest] == double[rest], coarse[0][rest] == coarse[1][rest], slow.number(rest) > quick.number(rest))
    hold(cross.number("covered") > dot.number("covered"))
    return [
        f"The edges in the middle of each side first, the corners last. After 10 s the {bare} covers least ({before_margin(patterns[bare]['covered'])}), the five dots most "
        f"({before_margin(patterns['five dots']['covered'])}).",
        f"Air: {patterns['ring']['air shut']} in its middle. The paste around it closes every way out; in this picture it stays, in a real joint part of it escapes.",
        f"The cross: after 60 s {before_margin(cross['covered'])}, the dot {before_margin(dot['covered'])}. The dot can never shut air in, as it grows from one place outwards.",
        f"{least[0]} mm³ cover {before_margin(least[1]['covered'])} after 300 s. Twice as much comes to rest at the same {double[rest]}; {before_margin(double['paste over the edge'])} of it lies over "
        "the edge, where it helps nobody.",
        f"After 300 s {before_margin(slow[gap])} in place of {before_margin(quick[gap])}, and it comes to rest at {slow[rest]} ({slow.state(rest)}) in place of {quick[rest]}. With a yield stress of "
        f"20 Pa half the force costs only time: both come to rest at {thin[1][rest]}.",
        f"Nothing: with grains of 60 µm it rests at {coarse[0][rest]} with 60 N and with 150 N.",
    ]


def thicker_is_safer() -> list[str]:
    """Pads of 0.5, 1.0 and 1.5 mm."""
    thick, middle = look("paste.pads", free=1.5), look("paste.pads", free=1.0, stiffness=200, clamp=50)
    hold(thick.state("force left") == "lifted")
    return [
        f"The die's joint: the 1.5 mm pad carries the sink, and the gap over the die is {before_margin(thick['gap over'])} in place of 50 µm. The die pays. The 1.0 mm pad fits the step, but the "
        f"springs are too weak to squeeze it: it takes {middle['force taken']} of 50 N, and {before_margin(middle['gap over'])} are left over the die."
    ]


def pads() -> list[str]:
    """The five tries of Figure 3."""
    sizes = [tenth / 10 for tenth in range(25, 3, -1)]
    down = next(size for size in sizes if look("paste.pads", free=size)["gap over"].startswith("50 µm"))
    loose = next(size for size in sizes if look("paste.pads", free=size).state("pad squeezed").startswith("does not"))
    stiff = next(size for size in sizes if look("paste.pads", free=size, stiffness=300)["gap over"].startswith("50 µm"))
    at, one, strong = look("paste.pads", free=down), look("paste.pads", free=1.0), look("paste.pads", clamp=200)
    low, high = (look("paste.pads", free=down, step=step) for step in (0.45, 0.85))
    hold(stiff < down, strong.number("force left") > 100, low.state("force left") == "lifted")
    return [
        f"At {down} mm: {at['force left']} are left for the die, at 1.0 mm {one['force left']}. The thinner the pad, the more of the springs the die gets.",
        f"From {loose} mm it touches no longer, and the memory under it gets hot, in place of the die.",
        f"To thinner pads: {stiff} mm in place of {down} mm. Of two alike, take the softer; it forgives more.",
        f"They bring the sink down ({before_margin(strong['gap over'])}), and squeeze the pad to {before_margin(strong['pad squeezed'])}, more than the rule allows. {strong['force left']} then press on the die, "
        "and all of it bends the board.",
        f"With a step of 0.45 mm the pad of {down} mm lifts the sink ({before_margin(low['gap over'])}); with 0.85 mm it is squeezed by {before_margin(high['pad squeezed'])}. Measure the step, and do not go by the "
        "old pad.",
    ]


def hot_edge() -> list[str]:
    """The hot edge of a wedge."""
    die = 14e-3**2
    tilted, flat = wedge.wedge_resistance(50e-6, 150e-6, 3, die), bench_chain.layer_resistance(50e-6, 3, die)
    hold(tilted > flat)
    return [
        f"The thick edge: less heat leaves there, so the die under it is hotter. More paste does not close the wedge ({tilted:.3f} K/W, flat it would be {flat:.3f} K/W); it only fills it. "
        "Level the sink."
    ]


def ball_from_paste() -> list[str]:
    """A ball of 0.30 mm from paste alone."""
    metal = solder_ball.metal_volume_fraction(0.885, value("paste", "alloy_density"), value("paste", "flux_density"))
    made = float(solder_ball.ball_diameter(metal * solder_ball.volume_of_round_print(0.40e-3, 0.15e-3, 0.85)))
    wanted = float(solder_ball.ball_volume(0.30e-3)) / (metal * 0.85)
    foil = wanted / (pi / 4 * 0.40e-3**2)
    ratio = 0.40e-3 / (4 * foil)
    hold(made < 0.30e-3, ratio < 0.66)
    return [
        f"No, it makes {made * 1e3:.3f} mm. With the same opening the foil would have to be {foil * 1e3:.2f} mm thick, and the area ratio would be {ratio:.2f}, below 0.66: the paste would stay in "
        "the opening. A wider opening, or a ball and a little paste."
    ]


def clean_enough() -> list[str]:
    """A mean below the old line, and one dirty place."""
    from workbook.bench.paste import cleanliness

    mean, spot = float(cleanliness.board_extract(350e-9, 100e-3, 150e-3)) * 1e5, 20 / 1.5
    hold(mean < 1.56 < spot)
    return [
        f"Not there: the mean is {mean:.2f} µg/cm², the place under the memory {spot:.1f} µg/cm². Rinse under the body until fresh liquid runs off clear, dry, and test that place by itself (a local extract, or insulation "
        "measured in damp). A mean over both faces proves nothing about one place."
    ]


ANSWERS = {
    "ch1-q": which_resistance,
    "ch2-q": better_paste,
    "ch3-q": cool_sink,
    "ch3-try": chain,
    "ch4-rest": pea,
    "ch4-try": spread,
    "ch5-q": thicker_is_safer,
    "ch5-try": pads,
    "pins-lesson": hot_edge,
    "ch7-q": ball_from_paste,
    "clean-q": clean_enough,
}
