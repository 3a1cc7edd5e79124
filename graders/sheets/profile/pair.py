"""Two packages on one board, heated one after the other: order, shield, wait, cool-down, and the count of heats."""

from dataclasses import replace

from graders.questions import Case, Choice, Design, Exercise, Fixed, Margin, Number, Quantity, Setting, Slip, absolute
from graders.sheets.profile.cautions import HOT
from workbook.bench.profile.board_pair import Heats, Package, PairBench, run_pair
from workbook.drawings import packages
from workbook.references import value

APART_MM, SIDE_MM, SHIELD_MM = 20, 35, 45
"""Between the packages, along one side of each, and along one side of the shield [mm]."""

MOST_HEATS = value("profile", "most_heats_of_a_package")
NEIGHBOUR_C = value("profile", "neighbour_damage_centre_c")
LEAST_PEAK_C = value("profile", "joint_removal_lead_free_c")
RATING_C = value("profile", "body_peak_at_most_lead_free_dry_rework")
LEAST_ABOVE = value("profile", "two_packages_least_above")
"""What a package top may reach [°C], and how long its coldest joint is to be above 217 °C [s]."""

GUARD_K, GUARD_S = value("profile", "two_packages_guard")
"""The quick simulator's own uncertainty: its peaks lie within 0.4 K of the volumes, its times within 4 s."""

PLACE = (SIDE_MM + APART_MM) / 2000
BARE = PairBench(packages=(Package(-PLACE), Package(PLACE)))
BENCHES = (BARE, replace(BARE, shield_side=SHIELD_MM / 1000))

EXAMPLE = dict(first=1, bottom_plate_c=323, gas_1_c=284, gas_2_c=288, hold_s=114, wait_s=60, cool_down_s=225, shield=0)


def programme_of(choices):
    """Return the heats that the learner's choices ask for."""
    first = int(choices["first"]) - 1
    return Heats.from_choices(
        choices["bottom_plate_c"],
        (choices["gas_1_c"], choices["gas_2_c"]),
        order=(first, 1 - first),
        hold=choices["hold_s"],
        soak=120.0,
        wait=choices["wait_s"],
        cool_down=choices["cool_down_s"],
    )


def heated(choices):
    """Return what the simulated board shows under the learner's choices."""
    return run_pair(BENCHES[int(choices["shield"])], programme_of(choices))


def limits_of(choices, heats_before, rating_c=RATING_C, mark=""):
    """Return each limit of a programme for two packages with its own margin.

    Parameters
    ----------
    choices : dict
        The settings of the design, as printed.
    heats_before : tuple of int
        Heats that U1 and U2 had before this job.
    rating_c : float
        What a package top may reach [°C].
    mark : str
        What follows the name of that limit where it is a shop's rule.

    Returns
    -------
    list of Margin
        Above zero is inside.
    """
    record, margins = heated(choices), []
    for k, name in enumerate(("U1", "U2")):
        top, coldest = float(record.top_c[k].max()), float(record.joints_c[k].max(axis=0).min())
        above, near = float(record.time_above_liquidus(k)), float(record.neighbour_peak_c(k))
        count = int(heats_before[k]) + record.heats(k)
        margins += [
            Margin(
                f"top of {name}{mark}",
                top,
                rating_c - top,
                "°C",
                GUARD_K,
                "The gas heats the top first. What could give the joints their heat another way?",
            ),
            Margin(
                f"coldest joint of {name}",
                coldest,
                coldest - LEAST_PEAK_C,
                "°C",
                GUARD_K,
                "Hotter from below, hotter from above, or longer: which of them do the other limits leave room for?",
            ),
            Margin(
                f"coldest joint of {name} above 217 °C",
                above,
                above - LEAST_ABOVE,
                "s",
                GUARD_S,
                "Too short for every joint to wet.",
            ),
            Margin(
                f"{name} while the other is heated",
                near,
                NEIGHBOUR_C - near,
                "°C",
                GUARD_K,
                "A package that has just been heated starts hot. What brings it down before the nozzle goes to the other?",
            ),
            Margin(
                f"heats of {name}, at most {MOST_HEATS}",
                count,
                MOST_HEATS - count,
                "1",
                0.0,
                "A package that melts while the other is heated has one heat more.",
            ),
        ]
    return margins


TWO_PACKAGES = Exercise(
    id="two-packages",
    number=26,
    title="Heat two packages without spending a heat too many",
    setup=(
        f"U1 and U2, {SIDE_MM} mm wide, stand {APART_MM} mm apart on a simulated board (invented, 4 copper layers), and each is to be reflowed. "
        "U1 has had {before_1} heats so far, U2 {before_2}: assembly, with both sides of the board, and earlier work. "
        f"At most {MOST_HEATS} are allowed in all (J-STD-020, second-hand), and **each time a package's joints melt counts**, whoever the nozzle stood over.\n\n"
        "The programme runs like this. The plate goes from 25 °C to its set point in 60 s and stays there alone for 120 s. The nozzle comes down on "
        "the first package, its gas goes from 100 °C to that package's set point in 60 s and stays for `hold_s`. The nozzle lifts. If `cool_down_s` is above "
        "zero, the plate is off that long and then warms for 60 s. After `wait_s` more the nozzle comes down on the other package, with the same hold. Then all "
        "is off, and the board cools.\n\n"
        f"A shield is a tent of bright foil, {SHIELD_MM} mm wide, over the package that is not being heated. It keeps off spilling gas from above, and also keeps in "
        "what comes from below."
    ),
    givens=dict(
        before_1=Quantity(2, "1", low=1, high=2, step=1),
        before_2=Quantity(1, "1", low=1, high=2, step=1),
        most=Fixed("three"),  # a word: as a number it would be the answer to the first part, typed back
        rating_c=Fixed(RATING_C, "°C", rule="profile.body_peak_at_most_lead_free_dry_rework"),
        neighbour_c=Fixed(NEIGHBOUR_C, "°C"),
    ),
    drawing=lambda g: packages.side_by_side(sides=(SIDE_MM / 1000,) * 2, apart=APART_MM / 1000),
    parts=(
        Number(
            "after_one",
            "If all goes to plan, each package melts once. How many heats has the one with the longer history then?",
            points=1,
            unit="1",
            expected=lambda g, a: max(g.before_1, g.before_2) + 1,
            within=absolute(0.1),
            because="heats are counted whole",
            plausible=(1, 10),
            working="after_one = max(before_1, before_2) + 1",
            slips=(
                Slip(
                    "both jobs",
                    lambda g, a: max(g.before_1, g.before_2) + 2,
                    "The other's heat counts only where it melted this package's joints.",
                ),
            ),
        ),
        Choice(
            "straight_on",
            "A friend heats U1 and, straight after it, U2. While the nozzle is over U2, the joints of U1 melt once more. How does U1 "
            "stand then?",
            points=1,
            options={
                "over": "over the limit: it has had one heat more than allowed",
                "at": "at the limit: it has had all the heats it is allowed",
                "below": "below the limit: a heat is left for a later repair",
            },
            expected=lambda g, a: "over" if g.before_1 + 2 > MOST_HEATS else "at",
            slips={
                "over": "Count once more: before, its own, and the neighbour's. Is that more than the limit?",
                "at": "Count once more: before, its own, and the neighbour's. Is that still the limit?",
                "below": "Joints do not know whose nozzle it was. Each melt counts.",
            },
        ),
        Design(
            "chosen",
            (
                "Choose order, heat and time. For **each** package:\n\n"
                "- its top: at most {rating_c}, its rating;\n"
                f"- its coldest joint: a peak of at least {LEAST_PEAK_C} °C, and above 217 °C for at least {LEAST_ABOVE} s "
                "(this bench's own limit; common practice asks for 60 s and more);\n"
                "- its hottest joint while the nozzle is over the other: at most {neighbour_c}, above which joints were found damaged;\n"
                "- its count of heats: at most {most}.\n\n"
                "Within 1 K or 10 s of a limit counts as held, and is told as borderline: the simulation is no better. The closing cell tells each "
                "margin (of temperatures, in kelvin). The lesson's picture of two packages shows what each control does. On the bench the beads on both packages, not "
                "this simulation, decide."
            ),
            points=6,
            settings=(
                Setting("first", "the package that is heated first: 1 or 2", "1", 1, 2, whole=True),
                Setting("bottom_plate_c", "set point of the bottom plate", "°C", 25, 425),
                Setting("gas_1_c", "set point of the gas over U1", "°C", 200, 500),
                Setting("gas_2_c", "set point of the gas over U2", "°C", 200, 500),
                Setting("hold_s", "time at the full gas set point, each", "s", 10, 150),
                Setting("wait_s", "time between the heats with the plate on", "s", 5, 240),
                Setting("cool_down_s", "time between the heats with the plate off", "s", 0, 300),
                Setting("shield", "shield over the package that is not heated: 0 none, 1 foil", "1", 0, 1, whole=True),
            ),
            simulate=lambda g, a, choices: limits_of(
                choices, (g.before_1, g.before_2), g.rating_c, g.shops("rating_c")
            ),
            example=lambda g, a: dict(EXAMPLE),
            idle=0.7,
        ),
        Choice(
            "seen",
            "At the bench, while U2 is heated, the bead in U1's joint reads 219 °C: it has melted again after its own heat. What do you do?",
            points=1,
            options={
                "finish": "finish U2, write U1's melt down, and tell the owner nothing",
                "over": "nozzle up; U1 is over its limit: tell the owner, offer a new U1",
                "count": "nozzle up, let it cool, write the melt down, tell the owner",
            },
            expected=lambda g, a: "over" if g.before_1 + 2 > MOST_HEATS else "count",
            slips={
                "finish": "The next repairer counts on your record, and the owner pays for the part.",
                "over": "Count U1's heats with this one. Is it more than the limit?",
                "count": "Count U1's heats with this one. Is it still within the limit?",
            },
        ),
    ),
    cases=(
        Case("after_one", 3, 0.1, "J-STD-020: three passes, with those before counted", "published-second-hand"),
        Case("straight_on", "over", 0, "2 + 1 + 1 = 4 against three passes, by hand", "computed"),
    ),
    caution=HOT,
    floor=0.3,
)
