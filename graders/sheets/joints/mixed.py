"""Exercises on a joint of two alloys, and on what each way of looking at a joint can see."""

from math import pi

from graders.questions import Case, Choice, Exercise, Fixed, Number, Pick, Quantity, Several, Slip, absolute, relative
from workbook.bench.intake import causes
from workbook.bench.joints import mixed_alloy, x_ray
from workbook.bench.paste import solder_ball
from workbook.drawings import looks

LEAD = (
    "Lead harms when swallowed: wash your hands, eat elsewhere, keep dross and wipes apart and labelled. Hot air and molten "
    "solder burn, and flux fumes: extract at the source. The lead rules of your own country decide what may be sold."
)
RAYS = (
    "X-rays belong in a closed cabinet run by people licensed for it. A nudge is given only under hot air, with tweezers, "
    "on a board that is unplugged and discharged: what is touched burns, and a push too hard moves the part."
)
LEAD_SHARE = 0.37


def _ball(g):
    return solder_ball.ball_volume(g.ball) * g.ball_density


def _print(g):
    return solder_ball.volume_of_round_print(g.opening, g.foil, g.transfer) * g.metal * g.print_density


MIXED_ALLOY = Exercise(
    id="mixed-alloy",
    number=19,
    title="Find the lead in a mixed joint",
    setup=(
        "A package with lead-free balls (SAC305, {ball} in diameter, {ball_density}) is put on tin-lead paste by mistake. "
        "The stencil opening is round, {opening} across; the foil is {foil}; {transfer} of the opening's volume stays on the "
        "land. {metal} of that paste's volume is metal (63Sn/37Pb, {print_density}); the rest is flux and leaves. 37 % of the "
        "metal's mass is lead. The joints came to {peak}. SAC305 melts from 217 °C, tin-lead at 183 °C."
    ),
    givens=dict(
        ball=Quantity(0.60, "mm", low=0.40, high=0.76, step=0.02),
        opening=Quantity(0.40, "mm", low=0.30, high=0.50, step=0.02),
        foil=Pick(0.12, (0.10, 0.12, 0.15), "mm"),
        transfer=Quantity(85, "%", low=70, high=95, step=5),
        metal=Quantity(50, "%", low=46, high=54, step=1),
        ball_density=Fixed(7.38, "g/cm³"),
        print_density=Fixed(8.4, "g/cm³"),
        peak=Pick(208, (200, 204, 208, 228, 232, 236), "°C"),
    ),
    parts=(
        Number(
            "ball_mass",
            "What is the mass of one ball?",
            points=1,
            unit="mg",
            expected=lambda g, a: _ball(g),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(0.2, 2),
            working="ball_mass = pi / 6 * ball**3 * ball_density",
            hint="mm³ times g/cm³ is mg.",
            slips=(
                Slip(
                    "diameter for radius",
                    lambda g, a: 8 * _ball(g),
                    "You put the diameter where the radius belongs: 4/3 π r³ is π/6 d³.",
                ),
                Slip("a cube", lambda g, a: g.ball**3 * g.ball_density, "That is a cube. A ball is π/6 of it."),
            ),
        ),
        Number(
            "print_metal",
            "What is the mass of the metal that one print leaves?",
            points=2,
            unit="mg",
            expected=lambda g, a: _print(g),
            within=relative(0.015),
            because="only rounding is left",
            plausible=(0.015, 0.14),
            working="print_metal = pi / 4 * opening**2 * foil * transfer / 100 * metal / 100 * print_density",
            slips=(
                Slip(
                    "all of it metal",
                    lambda g, a: _print(g) / g.metal,
                    "You took all of the paste for metal. About half of its volume is flux.",
                ),
                Slip(
                    "all of it on the land",
                    lambda g, a: _print(g) / g.transfer,
                    "You forgot that some of the paste stays in the stencil.",
                ),
                Slip(
                    "diameter for radius",
                    lambda g, a: 4 * _print(g),
                    "You put the diameter where the radius belongs: π r² is π/4 d².",
                ),
                Slip(
                    "a square opening",
                    lambda g, a: _print(g) * 4 / pi,
                    "That is a square opening. This one is round.",
                ),
            ),
        ),
        Number(
            "lead",
            "All of it melted into one: what share of the joint's mass is lead?",
            points=2,
            unit="%",
            expected=lambda g, a: mixed_alloy.share_of_element([a.ball_mass, a.print_metal], [0, LEAD_SHARE]),
            within=relative(0.02),
            because="the print's volume is hardly known better",
            plausible=(0.42, 14),
            working="lead = 37 * print_metal / (ball_mass + print_metal)",
            slips=(
                Slip(
                    "the tin of the print",
                    lambda g, a: (1 - LEAD_SHARE) * a.print_metal / (a.ball_mass + a.print_metal),
                    "63 % of the print's metal is tin. Lead is the other 37 %.",
                ),
                Slip(
                    "all of the print",
                    lambda g, a: a.print_metal / (a.ball_mass + a.print_metal),
                    "That is the share of tin-lead metal. Only 37 % of it is lead.",
                ),
            ),
        ),
        Number(
            "times_over",
            "Many countries allow 0.1 % of lead by mass in one material. How many times that is it?",
            points=1,
            unit="1",
            expected=lambda g, a: a.lead / 0.001,
            within=relative(0.02),
            because="it carries the uncertainty of the share",
            plausible=(4.3, 160),
            working="times_over = lead / 0.1",
            slips=(
                Slip("per cent and share mixed", lambda g, a: a.lead / 0.1, "0.1 % is 0.001, not 0.1 of the joint."),
            ),
        ),
        Choice(
            "at_the_peak",
            "The joints were at {peak} for a minute. What became of the balls?",
            points=1,
            options={
                "tin-lead": "ball and paste melted: one joint of tin-lead solder",
                "solid": "they did not melt: tin-lead eats into their feet only",
                "one": "they melted too: one joint, lead-free with some lead",
            },
            expected=lambda g, a: "solid" if g.peak < 217 else "one",
            slips={
                "tin-lead": "The ball is many times the print: what melts together is lead-free solder with a few per cent of lead.",
                "solid": "Hold the peak against 217 °C.",
                "one": "Hold the peak against 217 °C.",
            },
        ),
        Choice(
            "first_to_melt",
            "The board comes back in a year for another repair. Where does a joint that melted into one begin to melt?",
            points=1,
            options={
                "at 217": "near 217 °C, as it is lead-free solder but for a trace",
                "at 183": "at 183 °C exactly, as every solder with lead in it does",
                "at 179": "near 179 °C, in a last pool of tin, lead and silver",
            },
            expected=lambda g, a: "at 179",
            slips={
                "at 217": "A trace that gathers where the joint froze last is enough for a pool that melts far below.",
                "at 183": "That is tin and lead alone. With silver the last pool melts a little lower.",
            },
        ),
        Choice(
            "record",
            "What goes on the job sheet and to the customer?",
            points=1,
            options={
                "lead-free": "lead-free, as the balls were",
                "tin-lead": "tin-lead, as the paste was",
                "mixed": "mixed alloys, with the lead",
                "nothing": "nothing: no eye can see it",
            },
            expected=lambda g, a: "mixed",
            slips={
                "lead-free": "It is many times over the limit, and the next repairer will set the wrong profile.",
                "tin-lead": "Heated as tin-lead, the balls would stay solid.",
                "nothing": "No eye sees it: that is why it has to be written down.",
            },
        ),
    ),
    cases=(
        Case("ball_mass", 0.835, 0.0015, "ball of 0.60 mm by hand: 0.1131 mm³ of 7.38", "computed"),
        Case("print_metal", 0.0538, 0.0001, "print by hand: 0.01282 mm³ of paste, half of it metal, 8.4", "computed"),
        Case("lead", 2.24, 0.005, "mass balance by hand", "computed"),
        Case(
            "at_the_peak",
            "solid",
            0,
            "a device maker's page on lead-free joints: below the ball's melting point paste melts and balls do not",
            "published-unnamed",
        ),
        Case("times_over", 10, 0.05, "by hand: 1 % over 0.1 %", "computed", earlier={"lead": 1.0}),
    ),
    caution=LEAD,
)


def _after_picture(g):
    return causes.updated_causes([g.cracked, 1 - g.cracked], [g.clean_if_cracked, g.clean_if_sound])[0]


LOOKS = Exercise(
    id="what-a-look-can-see",
    number=20,
    title="Say what each look at a joint can see",
    setup=(
        "A ball joint under suspicion goes into an X-ray cabinet: focal spot {spot}, magnification {magnification}, detector "
        "pixels {pixel} wide. A closed crack is {crack} wide, and the look is along it: across it, it shows even less. Seen from the joint, the spot blurs an edge by f (M − 1)/M, and a "
        "pixel is M times smaller than on the detector. Before the look the chance that the joint is cracked is {cracked}. The picture shows no crack. A "
        "picture without a crack is seen at {clean_if_cracked} of cracked joints and at {clean_if_sound} of sound ones "
        "(invented shares)."
    ),
    givens=dict(
        spot=Quantity(5, "µm", low=3, high=10, step=0.5),
        magnification=Quantity(20, "1", low=8, high=30, step=1),
        pixel=Quantity(100, "µm", low=60, high=150, step=5),
        crack=Quantity(1, "µm", low=0.2, high=1.2, step=0.1),
        cracked=Quantity(40, "%", low=30, high=60, step=5),
        clean_if_cracked=Quantity(90, "%", low=86, high=92, step=1),
        clean_if_sound=Quantity(97, "%", low=96, high=99, step=1),
    ),
    drawing=lambda g: looks.unsharpness(g.spot, g.magnification, g.pixel, g.crack, told=False),
    drawing_of_answer=lambda g: looks.unsharpness(g.spot, g.magnification, g.pixel, g.crack),
    parts=(
        Number(
            "blur",
            "How wide is the blur of the spot, seen from the joint?",
            points=2,
            unit="µm",
            expected=lambda g, a: x_ray.unsharpness_at_joint(g.spot, g.magnification),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(2.5, 10),
            working="blur = spot * (magnification - 1) / magnification",
            slips=(
                Slip(
                    "on the detector",
                    lambda g, a: g.spot * (g.magnification - 1),
                    "That is the blur on the detector. Seen from the joint it is M times smaller.",
                ),
                Slip(
                    "divided by M",
                    lambda g, a: g.spot / g.magnification,
                    "You made the spot smaller by the magnification. More magnification does not sharpen the spot.",
                ),
            ),
        ),
        Number(
            "pixel_here",
            "How much of the joint does one pixel take in?",
            points=1,
            unit="µm",
            expected=lambda g, a: x_ray.pixel_at_joint(g.pixel, g.magnification),
            within=relative(0.01),
            because="only rounding is left",
            plausible=(1.9, 19),
            working="pixel_here = pixel / magnification",
            slips=(
                Slip(
                    "multiplied",
                    lambda g, a: g.pixel * g.magnification,
                    "You multiplied. The picture is larger than the joint, so the joint is smaller than the picture.",
                ),
            ),
        ),
        Number(
            "cracks_in_blur",
            "How many such cracks, side by side, fit into the larger of the two?",
            points=1,
            unit="1",
            expected=lambda g, a: max(a.blur, a.pixel_here) / g.crack,
            within=relative(0.015),
            because="it carries the rounding of both",
            plausible=(2, 100),
            working="cracks_in_blur = max(blur, pixel_here) / crack",
            slips=(
                Slip(
                    "the smaller one",
                    lambda g, a: min(a.blur, a.pixel_here) / g.crack,
                    "You took the smaller of the two. The picture is as poor as the larger.",
                ),
                Slip(
                    "turned round",
                    lambda g, a: g.crack / max(a.blur, a.pixel_here),
                    "You have it the wrong way round: the blur is the wider one.",
                ),
            ),
        ),
        Number(
            "cracked_after",
            "How likely is the joint cracked after the picture without a crack?",
            points=2,
            unit="%",
            expected=lambda g, a: _after_picture(g),
            within=absolute(0.4),
            because="invented shares bear no more",
            plausible=(25, 62),
            working="""
both = cracked * clean_if_cracked + (100 - cracked) * clean_if_sound
cracked_after = cracked * clean_if_cracked / both * 100
""",
            slips=(
                Slip(
                    "product only",
                    lambda g, a: g.cracked * g.clean_if_cracked,
                    "Divide by the chance of such a picture at all.",
                ),
                Slip(
                    "the chance to miss",
                    lambda g, a: g.cracked * (1 - g.clean_if_cracked),
                    "That is for a picture that does show the crack.",
                ),
            ),
        ),
        Choice(
            "clean_picture",
            "What does the clean picture say of a closed crack?",
            points=1,
            options={
                "rules out": "it rules the crack out, as X-rays pass through",
                "proves": "it proves the crack, as a sound joint would show",
                "little": "it says little: the crack is narrower than the blur",
            },
            expected=lambda g, a: "little",
            slips={
                "rules out": "Rays pass through, and a closed crack takes away next to no solder for them to miss.",
                "proves": "Sound joints give clean pictures too, and a little more often.",
            },
        ),
        Several(
            "x_ray_finds",
            "Which of these can an X-ray picture from above show in a ball joint?",
            points=2,
            options={
                "bridge": "solder that joins two neighbours",
                "closed crack": "a crack whose faces touch",
                "voids": "round bubbles in the ball",
                "missing ball": "a place without a ball",
                "die bumps": "a cracked bump on the die",
            },
            expected=lambda g, a: {"bridge", "voids", "missing ball"},
            slips={
                "closed crack": "Its faces touch: it takes no solder away.",
                "die bumps": "A crack in a bump is closed and far smaller still.",
            },
        ),
        Choice(
            "nudge",
            "Under hot air the outer balls look shiny, and a light nudge makes the part spring back. What is that evidence of?",
            points=1,
            options={
                "all molten": "every joint under the part is liquid",
                "outer molten": "the joints at its edges have melted",
                "good joints": "the joints will be sound once cold",
            },
            expected=lambda g, a: "outer molten",
            slips={
                "all molten": "A joint in the middle that wets badly does not hold the part back, and is not seen.",
                "good joints": "Liquid now says nothing of wetting, voids, or what the cooling does.",
            },
        ),
        Choice(
            "height",
            "The part was lifted and set back on its own balls. In the second melt it hardly sinks. What does the side view say?",
            points=1,
            options={
                "not melted": "the joints did not melt, or it would have sunk",
                "no news": "nothing: what has collapsed once hardly sinks again",
                "melted": "the joints did melt, as it stands at one height",
            },
            expected=lambda g, a: "no news",
            slips={
                "not melted": "A first collapse settles the solder. The second has little left to settle.",
                "melted": "It would stand at the same height if nothing had melted.",
            },
        ),
    ),
    cases=(
        Case("blur", 4.75, 0.005, "F d / (D − d) on the detector, second-hand: 95 µm, over 20", "computed"),
        Case("pixel_here", 5.0, 0.05, "100 µm over 20", "computed"),
        Case(
            "cracks_in_blur",
            5,
            0.01,
            "by hand: the larger of 4 and 10 µm over 2 µm",
            "computed",
            givens={"crack": 2},
            earlier={"blur": 4, "pixel_here": 10},
        ),
        Case(
            "cracked_after",
            29.6,
            0.05,
            "Answers page on diagnostic tests: base rate 0.80, sensitivity 0.90, specificity 0.95, negative predictive value 0.704",
            "published-unnamed",
            givens={"cracked": 80, "clean_if_cracked": 10, "clean_if_sound": 95},
            note="what the page's 0.704 leaves to 1",
        ),
    ),
    caution=RAYS,
    sound=lambda drawn: abs(1 - drawn["pixel"] / drawn["magnification"] / drawn["spot"]) > 0.08,
)

EXERCISES = (MIXED_ALLOY, LOOKS)
