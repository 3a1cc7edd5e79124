"""Exercises on a failure with several causes: what a finding says, and what it does not."""

from graders.questions import Case, Choice, Exercise, Number, Order, Quantity, Slip, absolute
from graders.sheets.intake.words import WHOLE
from workbook.bench.intake import causes


def _priors(g):
    return [g.balls_before, g.inside_before, 1 - g.balls_before - g.inside_before]


def _warm(g):
    return [g.warm_balls, g.warm_inside, g.warm_dead]


def _press(g):
    return [g.press_balls, g.press_inside, g.press_dead]


def _pressed(g, a):
    """Return the three shares after the finger, from the learner's two after the heat."""
    after = [a.balls_after, a.inside_after, 1 - a.balls_after - a.inside_after]
    return causes.updated_causes(after, _press(g))


def _told_apart(drawn):
    """Whether the shares leave room for a third cause, and the rule of a half is clear after each test."""
    g = THREE_CAUSES.values(drawn)
    if drawn["balls_before"] + drawn["inside_before"] > 90:
        return False
    after = causes.updated_causes(_priors(g), _warm(g))
    return all(abs(balls - 0.5) > 0.02 for balls in (after[0], causes.updated_causes(after, _press(g))[0]))


THREE_CAUSES = Exercise(
    id="three-causes",
    number=14,
    title="Weigh three causes, not one",
    setup=(
        "A board with a large ball-array processor does not start. Three causes are left after supply, fan and connectors "
        "were found sound: cracked **ball joints** under the package, cracked joints **inside** the package between die and "
        "carrier, or a **dead** part. They answer alike to heat and to a finger.\n\n"
        "Of such boards the shop expects {balls_before} with ball joints, {inside_before} with joints inside, and the rest "
        "dead. (All shares here are invented.) The board was warmed to 120 °C by an earlier owner and **came back** for "
        "a while; no solder of ball joints melts at 120 °C. Such an answer is seen in {warm_balls} of boards with cracked ball "
        "joints, {warm_inside} of those cracked inside and {warm_dead} of dead ones. Each share is conditional on its "
        "cause. By Bayes' rule the probability of a cause is its share before times the chance of the finding under it, over the sum of "
        "these products for all three."
    ),
    givens=dict(
        balls_before=Quantity(50, "%", low=25, high=65, step=5),
        inside_before=Quantity(30, "%", low=15, high=45, step=5),
        warm_balls=Quantity(35, "%", low=15, high=45, step=5),
        warm_inside=Quantity(55, "%", low=35, high=75, step=5),
        warm_dead=Quantity(8, "%", low=5, high=12, step=1),
        press_balls=Quantity(50, "%", low=45, high=60, step=1),
        press_inside=Quantity(55, "%", low=45, high=60, step=1),
        press_dead=Quantity(12, "%", low=8, high=16, step=1),
    ),
    parts=(
        Number(
            "chance",
            "How likely is the finding on such a board at all, whichever cause is at work?",
            points=2,
            unit="%",
            expected=lambda g, a: causes.chance_of_finding(_priors(g), _warm(g)),
            within=absolute(0.4),
            because="only rounding is left; the shares themselves are guesses",
            plausible=(8, 56),
            working="""
dead_before = 100 - balls_before - inside_before
chance = (balls_before * warm_balls + inside_before * warm_inside + dead_before * warm_dead) / 100
""",
            hint="Add three products: one for each cause.",
            slips=(
                Slip(
                    "plain mean",
                    lambda g, a: sum(_warm(g)) / 3,
                    "You took the mean of the three chances. Each counts by how common its cause is.",
                ),
                Slip(
                    "ball joints only",
                    lambda g, a: g.balls_before * g.warm_balls,
                    "That is the product for the ball joints alone. The other two causes give the finding as well.",
                ),
                Slip(
                    "dead ones counted as sure",
                    lambda g, a: g.balls_before * g.warm_balls + g.inside_before * g.warm_inside + _priors(g)[2],
                    "You let every dead part answer to the heat. Only a small share does.",
                ),
                Slip(
                    "dead ones left out",
                    lambda g, a: g.balls_before * g.warm_balls + g.inside_before * g.warm_inside,
                    "You left out the dead parts. A few of them answer to the heat as well.",
                ),
            ),
        ),
        Number(
            "balls_after",
            "The board did come back. How likely are cracked ball joints now?",
            points=2,
            unit="%",
            expected=lambda g, a: g.balls_before * g.warm_balls / a.chance,
            within=absolute(0.4),
            because="only rounding is left; the shares themselves are guesses",
            plausible=(5, 90),
            working="balls_after = balls_before * warm_balls / chance",
            slips=(
                Slip(
                    "not divided",
                    lambda g, a: g.balls_before * g.warm_balls,
                    "That is the chance of ball joints and the finding together. Divide by the chance of the finding.",
                ),
                Slip(
                    "share before left out",
                    lambda g, a: g.warm_balls / sum(_warm(g)),
                    "You left out how common each cause is before the finding.",
                ),
                Slip(
                    "the other cause",
                    lambda g, a: g.inside_before * g.warm_inside / a.chance,
                    "That is for the joints inside the package.",
                ),
            ),
        ),
        Number(
            "inside_after",
            "And cracked joints inside the package?",
            points=1,
            unit="%",
            expected=lambda g, a: g.inside_before * g.warm_inside / a.chance,
            within=absolute(0.4),
            because="only rounding is left; the shares themselves are guesses",
            plausible=(5, 95),
            working="inside_after = inside_before * warm_inside / chance",
            slips=(
                Slip(
                    "share before left out",
                    lambda g, a: g.warm_inside / sum(_warm(g)),
                    "You left out how common each cause is before the finding.",
                ),
                Slip(
                    "not divided",
                    lambda g, a: g.inside_before * g.warm_inside,
                    "Divide by the chance of the finding.",
                ),
                Slip(
                    "dead ones left out",
                    lambda g, a: (
                        g.inside_before
                        * g.warm_inside
                        / (g.balls_before * g.warm_balls + g.inside_before * g.warm_inside)
                    ),
                    "You left the dead parts out of the chance of the finding. A few of them answer to the heat as well.",
                ),
            ),
        ),
        Number(
            "balls_pressed",
            "The earlier owner also tells that the board ran while the package was pressed with a finger. (Never try it: nobody "
            "presses on a board under power.) Such an answer is seen in {press_balls} with ball joints, "
            "{press_inside} with joints inside and {press_dead} with dead parts. How likely are ball joints after both "
            "findings? Take the two as independent under each cause, and start from your answers to Parts 2 and 3.",
            points=2,
            unit="%",
            expected=lambda g, a: _pressed(g, a)[0],
            within=absolute(0.4),
            because="only rounding is left; the shares themselves are guesses",
            plausible=(5, 95),
            working="""
dead_after = 100 - balls_after - inside_after
pressed = balls_after * press_balls + inside_after * press_inside + dead_after * press_dead
balls_pressed = balls_after * press_balls / pressed * 100
""",
            hint="The shares after the first finding are the shares before the second.",
            slips=(
                Slip(
                    "product only",
                    lambda g, a: a.balls_after * g.press_balls,
                    "Divide by the sum of the three products once more.",
                ),
                Slip(
                    "as if the finger proved it",
                    lambda g, a: a.balls_after + (1 - a.balls_after) * g.press_balls,
                    "You let the finger speak for ball joints alone. The joints inside answer to it as well.",
                ),
            ),
        ),
        Choice(
            "what_follows",
            "“It ran after the heat, so it was the balls.” What does follow from the heat and the finger?",
            points=1,
            options={
                "balls": "the ball joints were cracked, and the heat has closed them",
                "cured": "whichever joint it was, the heat has mended it for good",
                "joint": "a joint opens somewhere, and neither finding tells which",
                "dead": "the part is dead, since heat without melting mends nothing",
            },
            expected=lambda g, a: "joint",
            slips={
                "balls": "Joints inside the package answer to the same heat and the same finger.",
                "cured": "Faces that touch again are not joined again: such boards come back.",
                "dead": "A dead part is the one cause that hardly ever answers.",
            },
        ),
        Choice(
            "next_step",
            "The shop's rule: a reflow of the balls is offered where ball joints have at least 50 % after both findings; "
            "otherwise a new part or a return. Which is it here? Use your answer to Part 4.",
            points=1,
            options={
                "again": "warm it to 120 °C once more, as that has helped",
                "reflow": "offer a reflow, and say what it will not mend",
                "no reflow": "offer a new part or a return, and say why",
            },
            expected=lambda g, a: "reflow" if a.balls_pressed >= 0.5 else "no reflow",
            slips={
                "again": "Heat below melting has joined nothing, and uses up the patience of board and customer.",
                "reflow": "Hold your answer to Part 4 against the half.",
                "no reflow": "Hold your answer to Part 4 against the half.",
            },
        ),
        Order(
            "cheap_first",
            "Before any of this, put the steps of the intake in order, the cheapest and safest first. (Only the last two "
            "need heat or a new part.)",
            points=2,
            options={
                "reflow": "reflow of the package, after drying board and package",
                "rails": "rails against ground, on the dead and cold board",
                "what it did": "the case history: what it did, since when, and who worked on it",
                "replace": "a new package, soldered on after the old one is off",
                "photos": "photographs from all sides, before anything is moved",
                "supply": "supply, fan, connectors and cables, each against a known good one",
            },
            expected=lambda g, a: [["what it did", "photos"], ["supply", "rails"], ["reflow"], ["replace"]],
            never={
                ("rails", "reflow"): "A shorted rail found after the heat leaves it open who made it: measure first.",
            },
        ),
    ),
    cases=(
        Case(
            "chance",
            1.9,
            0.05,
            "handbook of risk analysis, page on Bayes' theorem: three machines",
            "published-unnamed",
            givens=dict(balls_before=20, inside_before=45, warm_balls=2, warm_inside=1, warm_dead=3),
        ),
        Case(
            "balls_after",
            34.48,
            0.01,
            "study notes on Bayes' theorem: faulty part of the first machine, 0.01/0.029",
            "published-unnamed",
            givens=dict(balls_before=20, inside_before=30, warm_balls=5, warm_inside=3, warm_dead=2),
        ),
        Case(
            "balls_after",
            38.46,
            0.01,
            "Bayes' rule by hand: 0.14 of 0.364",
            "computed",
            givens=dict(balls_before=40, inside_before=40, warm_dead=2),
        ),
        Case(
            "inside_after",
            60.44,
            0.01,
            "Bayes' rule by hand: 0.22 of 0.364",
            "computed",
            givens=dict(balls_before=40, inside_before=40, warm_dead=2),
        ),
        Case(
            "balls_pressed",
            34.48,
            0.005,
            "Study notes on Bayes' theorem: third of three machines, 50 % of the output and 2 % of it faulty, 10/29",
            "published-unnamed",
            givens={"press_balls": 2, "press_inside": 5, "press_dead": 3},
            earlier={"balls_after": 50, "inside_after": 20},
            note="the machines' shares stand in for those of the causes",
        ),
    ),
    caution=WHOLE,
    sound=_told_apart,
)

EXERCISES = (THREE_CAUSES,)
