"""What should have been seen in lesson 2."""

import numpy as np

from workbook.bench.joints import bow, fatigue, strain, weibull
from workbook.bench.joints.fatigue import EngelmaierConstants
from workbook.bench.profile.conduction import through_board_drop
from workbook.panels.pictures import percent
from workbook.panels.seen import before_margin, hold, look
from workbook.references import value


def one_change() -> list[str]:
    """Half the swing, half the side, twice the height."""

    def shear(balls=20, height=0.508e-3, swing=30):
        return strain.mismatch_strain(
            strain.corner_distance(balls, balls, 1e-3, "pitch count"), height, 6e-6, 18e-6, swing
        )

    halved = [shear(swing=15), shear(balls=10), shear(height=1.016e-3)]
    hold(np.allclose(halved, shear() / 2))
    return [
        f"All three help alike: each takes {percent(shear(), 1)} to {percent(halved[0], 1)}. Leaving out balls in the middle helps "
        "the corner not at all; it is as far out as before."
    ]


def array() -> list[str]:
    """The six tries of Figure 1."""
    start, large, small = (look("joints.array", rows=rows) for rows in (26, 32, 16))
    low, cut = look("joints.array", standoff=0.2), look("joints.array", cut=3)
    bare = look("joints.array", empty=24)
    alike, ceramic = look("joints.array", part=17), look("joints.array", part=6)
    shear, half = "strain of the worst", "half of such"
    hold(bare[shear] == start[shear], bare["one of the outermost"] != start["one of the outermost"])
    hold(start.number(half) / low.number(half) > 4, start.number("one of these") < 50)
    return [
        f"The strain follows in proportion: {small[shear]}, {start[shear]}, {large[shear]} for 16, 26, 32 balls. The life does not: "
        f"{small[half]}, {start[half]}, {large[half]}.",
        f"The strain doubles to {low[shear]}, and the life falls from {start[half]} to {low[half]}, by much more than half.",
        f"The strain and life of the worst joint stay ({start[shear]}). The share of first failures in the outermost tenth falls from "
        f"{start['one of the outermost'].split(' of')[0]} to {bare['one of the outermost'].split(' of')[0]}, as that tenth is fewer balls.",
        f"The joints beside the cut, {cut.state('centre')} in place of {start.state('centre')}: at {cut['centre']}, strained {cut[shear]}. Each goes a "
        "little later than the corner did.",
        f"With 17 ppm/K the mismatch is {alike['mismatch']} and nothing is strained. At 6 ppm/K it is {ceramic['mismatch']}: {ceramic[shear]}, "
        f"and half have failed by {ceramic[half]}.",
        f"No. One of the four corners goes first in only {start['one of these']}; one of the outermost tenth in {start['one of the outermost']}.",
    ]


def half_the_strain() -> list[str]:
    """Life at half the strain."""
    tin_lead = EngelmaierConstants.from_references("engelmaier_tin_lead")
    short, long = (
        float(fatigue.engelmaier_life(shear, mean_temperature_c=55, dwell=900, constants=tin_lead))
        for shear in (0.028, 0.014)
    )
    hold(long / short > 4)
    return [
        f"More than four: {long / short:.1f} times, from {short:.0f} to {long:.0f} cycles. The exponent is near −0.4, so half the strain is two to the power of 2.5 or so."
    ]


def survivors() -> list[str]:
    """Boards that never came back."""
    failures = value("joints", "weibull_failures")
    counted = weibull.fit_by_likelihood(failures, survivors=[500] * 10).characteristic_life
    left_out = weibull.fit_by_likelihood(failures).characteristic_life
    hold(left_out < counted)
    return [
        f"Too short: it looks only at those that failed. In the cell above, leaving the survivors out gives {left_out:.0f} h in place of "
        f"{counted:.0f} h. (And the shop would not know which of the missing boards still run.)"
    ]


def life() -> list[str]:
    """The six tries of Figure 2."""
    start, two, many = look("joints.life"), look("joints.life", rows=2), look("joints.life", rows=32)
    close, slow = look("joints.life", shape=8), look("joints.life", hours=16)
    hot, one, ten = look("joints.life", highest_c=75), look("joints.life", years=1), look("joints.life", years=10)
    other = look("joints.life", solder="SAC305")
    joint, package, failed = "one corner joint", "whole package in the test", "packages failed"
    hold(
        two[joint] == many[joint],
        two.number(package) > many.number(package),
        close.number(package) > start.number(package),
    )
    hold(hot.number(failed) > slow.number(failed) > start.number(failed))
    return [
        f"The package's curves move ({two[package]} with 2 balls a side, {many[package]} with 32); the single joint stands at {two[joint]}.",
        f"It closes: half of the packages have failed by {close[package]}, where a joint has {close[joint]} ({close.state(package)}, before "
        f"{start.state(package)}). When lives hardly scatter, the weakest of many is like the rest.",
        "The slope on Weibull paper is the shape, the same for joint and package. The weakest link only moved the line to fewer cycles.",
        f"The hotter end costs more: {slow[failed]} have failed with 16 h cycles, {hot[failed]} with 10 K more (start: {start[failed]}).",
        f"After one year {one[failed]}, after five {start[failed]}, after ten {ten[failed]}. You may have as many as you are ready to mend free "
        "of charge; say that number before you promise.",
        f"No, only what we believe of it: {other[failed]} in place of {start[failed]} after the same years. So far apart are two sets of constants.",
    ]


def thick_board() -> list[str]:
    """Why a thick board does not bend more."""
    drops = [
        through_board_drop(5e3, thickness, value("profile", "fr4_conductivity_through"))
        for thickness in (0.8e-3, 3.2e-3)
    ]
    bows = [
        bow.centre_bow(bow.gradient_curvature(16e-6, drop, thick), 0.15)
        for drop, thick in zip(drops, (0.8e-3, 3.2e-3), strict=True)
    ]
    hold(np.isclose(bows[0], bows[1]), drops[1] > 3.9 * drops[0])
    return [
        f"Four times the thickness has faces {drops[1]:.0f} K apart in place of {drops[0]:.0f} K, but they are also four times farther from each "
        f"other: both boards bow {bows[0] * 1e3:.2f} mm. A thick board does not stay flat; with the same heat through it, it bends alike."
    ]


def bows() -> list[str]:
    """The four tries of Figure 3."""
    flat, cold = look("joints.bow", flux=0), look("joints.bow", package_c=100)
    before, after = (look("joints.bow", package_c=hot) for hot in (170, 180))
    ten, twenty, thirty = (look("joints.bow", side=side) for side in (10, 20, 30))
    package, corner = "package, corner", "joint at the corner"
    hold(before.number(package) > 0 > after.number(package), flat.number("middle") == 0)
    hold(3.8 < twenty.number(corner) / ten.number(corner) < 4.2, 8.5 < thirty.number(corner) / ten.number(corner) < 9.5)
    return [
        f"The board is flat; the package's own bow is left ({before_margin(flat[package])}), and with it {flat[corner]} at the corner joint.",
        "Between 170 and 180 °C, near the temperature at which it was bonded: "
        f"{before_margin(before[package])} there, {before_margin(after[package])} here.",
        f"With the square: {ten[corner]}, {twenty[corner]}, {thirty[corner]} for 10, 20, 30 mm, about four and nine times. Flat when cold says "
        "nothing; you would have to know its bow at the temperature of melting.",
        f"Into stress. At 100 °C the difference at the corner would be {cold[corner]}, the solder is solid, and joints, board and package bear it.",
    ]


def melted_again() -> list[str]:
    """What a second melt mends."""
    return [
        "The crack has gone, for now. Mismatch, size, height and swing are all still there, the layer between has grown with one more heat, "
        "a torn land or a ball that never joined may be as before, and the life starts anew from a worse joint."
    ]


def a_closed_crack() -> list[str]:
    """Why magnification does not show a closed crack."""
    from workbook.bench.joints import x_ray

    blur = [float(x_ray.unsharpness_at_joint(5e-6, magnification)) * 1e6 for magnification in (5, 20, 100)]
    hold(min(blur) > 1, blur[-1] > blur[0])
    return [
        f"The source is a spot, not a point. Its blur grows towards the spot's own size ({blur[0]:.1f}, {blur[1]:.2f}, {blur[2]:.2f} µm at 5, 20 and 100 "
        "times), so a crack of 1 µm stays hidden. Dye or a cut section shows it, and costs the board: worth it on a scrap board, to learn."
    ]


def good_and_bad_looks() -> list[str]:
    """What good readings and one bad one do to a chance."""
    from workbook.bench.intake import evidence

    before, good, bad = 0.25, (0.90 / 0.97, 0.78 / 0.98), 0.70 / 0.05
    down = evidence.updated_probability(before, *good)
    up = evidence.updated_probability(down, bad)
    hold(before - down < 0.06, up - down > 0.5, up > 0.75)
    return [
        f"Together from 25 to {100 * down:.0f} %: two good looks hardly clear a joint. The warm reading brings it to {100 * up:.0f} %. So read the chain "
        "warm: it costs nothing, spares the board, and its ratio is far from one. Dye has a strong ratio too, and costs the part."
    ]


ANSWERS = {
    "ch1-q": one_change,
    "ch2-try": array,
    "ch3-q": half_the_strain,
    "ch4-q": survivors,
    "ch5-try": life,
    "ch6-q": thick_board,
    "ch6-try": bows,
    "ch7-more": melted_again,
    "looks-q": a_closed_crack,
    "worth-q": good_and_bad_looks,
}
