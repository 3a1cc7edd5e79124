"""Exercises on what strains a joint: the corner joint, another board, a package that bows, a layer that grows."""

from graders.questions import Case, Choice, Exercise, Fixed, Number, Pick, Quantity, Slip, absolute, relative
from workbook.bench.joints import bow, growth, strain
from workbook.drawings import joint

HANDBOOK = "Printed Circuits Handbook, section 63.4.1"

CORNER_STRAIN = Exercise(
    id="corner-joint",
    number=1,
    title="Find the strain in the corner joint",
    setup=(
        "A ball grid array has {rows} rows and {columns} columns of balls, {pitch} apart from centre to centre. Its joints "
        "are {standoff} high. The package grows by {part_expansion}, the board by {board_expansion}. Both warm up by "
        "{swing}. The centre of the array stays where it is; the joint farthest from it, in the corner, takes the most "
        "shear. Shear strain = distance from the centre × difference of the expansions × warming / height of the joint."
    ),
    givens=dict(
        rows=Quantity(24, "1", low=14, high=30, step=1),
        columns=Quantity(20, "1", low=14, high=30, step=1),
        pitch=Pick(1.0, (0.8, 1.0, 1.27), "mm"),
        standoff=Quantity(0.45, "mm", low=0.3, high=0.6, step=0.05),
        part_expansion=Quantity(8, "ppm/K", low=6, high=13, step=0.5),
        board_expansion=Quantity(17, "ppm/K", low=15, high=20, step=0.5),
        swing=Quantity(40, "K", low=20, high=60, step=5),
        sunk=Pick(70, (60, 65, 70, 75, 85, 88, 90), "%"),
    ),
    parts=(
        Number(
            "quick_distance",
            "A quick form in handbooks counts whole pitches: from the centre, half of {rows} pitches one way and half of "
            "{columns} pitches the other way. How far is the corner from the centre by this quick form?",
            points=1,
            unit="mm",
            expected=lambda g, a: strain.corner_distance(g.rows, g.columns, g.pitch, "pitch count"),
            within=relative(0.01),
            because="counts and pitch are exact, so only rounding is left",
            plausible=(3, 60),
            working="quick_distance = pitch / 2 * sqrt(rows**2 + columns**2)",
            hint="The two ways are at a right angle: Pythagoras.",
            slips=(
                Slip(
                    "whole diagonal",
                    lambda g, a: 2 * strain.corner_distance(g.rows, g.columns, g.pitch, "pitch count"),
                    "That is the way from corner to corner. The strain counts from the centre, which does not move.",
                ),
                Slip(
                    "along the columns only",
                    lambda g, a: g.columns * g.pitch / 2,
                    "You went one way only. The corner lies off the centre in both directions.",
                ),
                Slip(
                    "along the rows only",
                    lambda g, a: g.rows * g.pitch / 2,
                    "You went one way only. The corner lies off the centre in both directions.",
                ),
            ),
        ),
        Number(
            "distance",
            "Between {rows} balls there is one gap fewer than balls. How far is the centre of the corner ball really from "
            "the centre of the array?",
            points=1,
            unit="mm",
            expected=lambda g, a: strain.corner_distance(g.rows, g.columns, g.pitch, "ball centre"),
            within=relative(0.01),
            because="counts and pitch are exact; the quick form is off by more than 3 %",
            plausible=(3, 60),
            working="distance = pitch / 2 * sqrt((rows - 1)**2 + (columns - 1)**2)",
            slips=(
                Slip(
                    "quick form",
                    lambda g, a: strain.corner_distance(g.rows, g.columns, g.pitch, "pitch count"),
                    "That is the quick form again. Count the gaps between the balls, not the balls.",
                ),
                Slip(
                    "whole diagonal",
                    lambda g, a: 2 * strain.corner_distance(g.rows, g.columns, g.pitch, "ball centre"),
                    "That is the way from corner ball to corner ball. Start at the centre of the array.",
                ),
            ),
        ),
        Number(
            "shear",
            "What is the shear strain of the corner joint, with the distance of part 2? Take it as positive. (1 ppm is 10⁻⁶.)",
            points=2,
            unit="%",
            expected=lambda g, a: strain.mismatch_strain(
                a.distance, g.standoff, g.part_expansion, g.board_expansion, g.swing
            ),
            within=relative(0.02),
            because="the height of a real joint is hardly known better than this",
            plausible=(0.02, 20),
            working="shear = distance / standoff * (board_expansion - part_expansion) * 1e-6 * swing * 100",
            hint="1 ppm is one millionth; 1 % is one hundredth.",
            slips=(
                Slip(
                    "quick form",
                    lambda g, a: strain.mismatch_strain(
                        a.quick_distance, g.standoff, g.part_expansion, g.board_expansion, g.swing
                    ),
                    "You took the quick distance. The question asks for the one of part 2.",
                ),
                Slip(
                    "expansions added",
                    lambda g, a: a.distance / g.standoff * (g.part_expansion + g.board_expansion) * g.swing,
                    "You added the two expansions. Package and board grow the same way; only the difference strains.",
                ),
                Slip(
                    "board alone",
                    lambda g, a: a.distance / g.standoff * g.board_expansion * g.swing,
                    "You let the board grow and held the package. The package grows too: take the difference.",
                ),
                Slip(
                    "whole diagonal",
                    lambda g, a: 2 * a.distance / g.standoff * (g.board_expansion - g.part_expansion) * g.swing,
                    "Twice too much: each corner takes only the part of the movement from the centre out to it.",
                ),
            ),
        ),
        Number(
            "sunk_shear",
            "After a rework the package has sunk: the joints are only {sunk} of their height. What is the shear strain now?",
            points=1,
            unit="%",
            expected=lambda g, a: a.shear / g.sunk,
            within=relative(0.02),
            because="it carries the rounding of part 3",
            plausible=(0.071, 40),
            working="sunk_shear = shear / (sunk / 100)",
            slips=(
                Slip(
                    "multiplied",
                    lambda g, a: a.shear * g.sunk,
                    "You made the strain smaller. A lower joint is strained more.",
                ),
                Slip(
                    "as before", lambda g, a: a.shear, "That is the strain before the rework. The height has changed."
                ),
            ),
        ),
        Choice(
            "sunk_act",
            "This shop lets a strain rise by a quarter at most (a made-up rule). What does it do with the sunk package?",
            points=1,
            options={
                "melt again": "melt it once more as it is, so that it rises again",
                "keep": "keep it: the strain rises by a quarter or less",
                "reball": "take it off and reball it: the strain rises by more",
            },
            expected=lambda g, a: "reball" if a.sunk_shear > 1.25 * a.shear else "keep",
            slips={
                "melt again": "Melted solder does not lift a package whose solder is gone or pressed out.",
                "keep": "Compare the two strains once more.",
                "reball": "Compare the two strains once more.",
            },
        ),
    ),
    cases=(
        Case(
            "quick_distance",
            14.142,
            0.0005,
            f"{HANDBOOK}, worked example: 20 by 20 balls at 1 mm",
            "published-second-hand",
            givens={"rows": 20, "columns": 20, "pitch": 1.0},
        ),
        Case(
            "distance",
            13.435,
            0.0005,
            f"{HANDBOOK}, the same array counted to the ball centre",
            "computed",
            givens={"rows": 20, "columns": 20, "pitch": 1.0},
        ),
        Case(
            "shear",
            1.0,
            0.05,
            f"{HANDBOOK}, worked example: ceramic array on a board, 30 °C",
            "published-second-hand",
            givens={"standoff": 0.508, "part_expansion": 6, "board_expansion": 18, "swing": 30},
            earlier={"distance": 14.142},
            note="the source takes the quick distance",
        ),
        Case(
            "shear",
            0.952,
            0.0005,
            f"{HANDBOOK}, the same array counted to the ball centre",
            "computed",
            givens={
                "rows": 20,
                "columns": 20,
                "pitch": 1.0,
                "standoff": 0.508,
                "part_expansion": 6,
                "board_expansion": 18,
                "swing": 30,
            },
        ),
        Case(
            "sunk_shear",
            2.0,
            0.005,
            "shear over height by hand: 1 % at half of the height is 2 %",
            "computed",
            givens={"sunk": 50},
            earlier={"shear": 1.0},
        ),
    ),
    floor=0.15,
)


def _mismatch(g, board):
    return board - g.part_expansion


OTHER_BOARD = Exercise(
    id="other-board",
    number=2,
    title="Carry a life over to another board",
    setup=(
        "Measured on test boards, the life of joints falls with the square of the mismatch, which is the expansion of the "
        f"board less that of the part: half the mismatch, four times the life ({HANDBOOK}). Here is a made-up case on "
        "that pattern. A part that grows by {part_expansion} reached {first_life} on a board of {first_board}. It is to "
        "go on a board of {second_board}."
    ),
    givens=dict(
        part_expansion=Quantity(8.5, "ppm/K", low=6, high=10, step=0.5),
        first_board=Quantity(13.5, "ppm/K", low=13, high=15, step=0.5),
        second_board=Quantity(17.5, "ppm/K", low=16.5, high=20, step=0.5),
        first_life=Quantity(2200, "cycles", low=1500, high=3000, step=100),
        tested_life=Quantity(580, "cycles", low=400, high=1000, step=20),
        wanted_life=Quantity(4000, "cycles", low=3500, high=6000, step=100),
    ),
    parts=(
        Number(
            "mismatch_ratio",
            "How many times as large is the mismatch on the second board as on the first?",
            points=1,
            unit="1",
            expected=lambda g, a: _mismatch(g, g.second_board) / _mismatch(g, g.first_board),
            within=relative(0.01),
            because="the expansions are given to a tenth",
            plausible=(1, 10),
            working="mismatch_ratio = (second_board - part_expansion) / (first_board - part_expansion)",
            slips=(
                Slip(
                    "boards alone",
                    lambda g, a: g.second_board / g.first_board,
                    "You compared the boards. The joint only feels board less part.",
                ),
                Slip(
                    "upside down",
                    lambda g, a: _mismatch(g, g.first_board) / _mismatch(g, g.second_board),
                    "The ratio is upside down: the question puts the second board on top.",
                ),
            ),
        ),
        Number(
            "second_life",
            "Which life do you expect on the second board?",
            points=2,
            unit="cycles",
            expected=lambda g, a: g.first_life / a.mismatch_ratio**2,
            within=relative(0.02),
            because="the ratio is squared, so its rounding counts twice",
            plausible=(130, 3000),
            working="second_life = first_life / mismatch_ratio**2",
            slips=(
                Slip(
                    "not squared",
                    lambda g, a: g.first_life / a.mismatch_ratio,
                    "You let the life fall as the mismatch grows. It falls faster: with the square.",
                ),
                Slip(
                    "longer for shorter",
                    lambda g, a: g.first_life * a.mismatch_ratio**2,
                    "More mismatch cannot give more life. Which way must the number go?",
                ),
                Slip(
                    "boards alone",
                    lambda g, a: g.first_life * (g.first_board / g.second_board) ** 2,
                    "You compared the boards and left the part out. Use the ratio of part 1.",
                ),
            ),
        ),
        Number(
            "off",
            "A test on the second board then gave {tested_life}. By which factor does your expected life differ from it "
            "(expected over tested)?",
            points=1,
            unit="1",
            expected=lambda g, a: a.second_life / g.tested_life,
            within=relative(0.02),
            because="it carries the rounding of the expected life",
            plausible=(0.31, 20),
            working="off = second_life / tested_life",
            slips=(
                Slip(
                    "upside down",
                    lambda g, a: g.tested_life / a.second_life,
                    "The ratio is upside down: expected over tested.",
                ),
                Slip(
                    "against the first board",
                    lambda g, a: g.first_life / g.tested_life,
                    "You compared the test with the life on the first board. Compare it with what you expected.",
                ),
            ),
        ),
        Number(
            "gentle_board",
            "The life should be {wanted_life}. Work from the life on the first board, {first_life}. Boards grow more than this "
            "part. Which expansion must the board have?",
            points=2,
            unit="ppm/K",
            expected=lambda g, a: (
                g.part_expansion + _mismatch(g, g.first_board) * (g.first_life / g.wanted_life) ** 0.5
            ),
            within=absolute(0.1),
            because="expansions are given to a tenth",
            plausible=(3, 25),
            working="gentle_board = part_expansion + (first_board - part_expansion) * sqrt(first_life / wanted_life)",
            hint="First find the mismatch that gives this life; then add the part.",
            slips=(
                Slip(
                    "mismatch only",
                    lambda g, a: _mismatch(g, g.first_board) * (g.first_life / g.wanted_life) ** 0.5,
                    "That is the mismatch. The board grows by that much more than the part.",
                ),
                Slip(
                    "no root",
                    lambda g, a: g.part_expansion + _mismatch(g, g.first_board) * g.first_life / g.wanted_life,
                    "You shrank the mismatch as much as the life has to grow. Life goes with its square, so less will do.",
                ),
                Slip(
                    "from the tested life",
                    lambda g, a: (
                        g.part_expansion + _mismatch(g, g.second_board) * (g.tested_life / g.wanted_life) ** 0.5
                    ),
                    "You worked from the test on the second board. The question names the first.",
                    worth=0.5,
                ),
                Slip(
                    "wrong way",
                    lambda g, a: g.part_expansion + _mismatch(g, g.first_board) * (g.wanted_life / g.first_life) ** 0.5,
                    "This board would wear the joints faster than the first one. Turn the ratio round.",
                ),
            ),
        ),
        Choice(
            "stand_behind",
            "What can you honestly say of a life worked out this way?",
            points=1,
            options={
                "to a cycle": "it rests on a law, so it holds to some cycles",
                "to a factor": "it tells the size, to a factor of two or so",
                "nothing": "it is theory: only the second board's own test tells",
            },
            expected=lambda g, a: "to a factor",
            slips={
                "to a cycle": "The square was read off a line through scattered points. Look at part 3.",
                "nothing": "It says which board is gentler and by about how much. That is worth knowing.",
            },
        ),
    ),
    cases=(
        Case(
            "second_life",
            609,
            0.5,
            f"{HANDBOOK}, chip-scale package of 8.6 on boards of 13.4 and 17.3 ppm/K, by the slope of -2",
            "computed",
            givens={"part_expansion": 8.6, "first_board": 13.4, "second_board": 17.3, "first_life": 2000},
        ),
        Case(
            "second_life",
            500,
            125,
            f"{HANDBOOK}, chip-scale package of 8.6 on boards of 13.4 and 17.3 ppm/K, as measured",
            "published-second-hand",
            givens={"part_expansion": 8.6, "first_board": 13.4, "second_board": 17.3, "first_life": 2000},
            note="measured; the slope of -2 is good to a factor, not to a per cent",
        ),
        Case(
            "second_life",
            250,
            0.5,
            f"{HANDBOOK}, Eq. 63.2: twice the mismatch, a quarter of the life",
            "published-second-hand",
            givens={"part_expansion": 10, "first_board": 14, "second_board": 18, "first_life": 1000},
        ),
        Case(
            "mismatch_ratio",
            2.0,
            0.005,
            "difference of expansions by hand: 12 and 6 ppm/K against a part of 6",
            "computed",
            givens={"part_expansion": 6, "first_board": 12, "second_board": 18},
        ),
        Case(
            "off",
            0.5,
            0.005,
            "ratio by hand: 600 cycles foretold, 1200 found",
            "computed",
            givens={"tested_life": 1200},
            earlier={"second_life": 600},
        ),
        Case(
            "gentle_board",
            9.0,
            0.005,
            "inverse square law by hand: four times the life at half of 6 ppm/K",
            "computed",
            givens={"part_expansion": 6, "first_board": 12, "first_life": 1000, "wanted_life": 4000},
        ),
    ),
    sound=lambda drawn: (
        0.5
        < drawn["first_life"]
        * ((drawn["first_board"] - drawn["part_expansion"]) / (drawn["second_board"] - drawn["part_expansion"])) ** 2
        / drawn["tested_life"]
        < 2
    ),
    floor=0.05,
)


def _curvature(g, die_modulus, laminate_modulus):
    die = bow.Layer(g.die_thickness, die_modulus, g.die_expansion)
    laminate = bow.Layer(g.laminate_thickness, laminate_modulus, g.laminate_expansion)
    return bow.bilayer_curvature(die, laminate, g.warming)


def _true_curvature(g):
    return abs(_curvature(g, g.die_modulus, g.laminate_modulus))


def _clear_of_the_bow_limit(drawn: dict) -> bool:
    """Whether the lift of the corners lies clear of 0.22 mm."""
    g = PACKAGE_BOW.values(drawn)
    beyond = (g.package_span - g.die_span) / 2
    lift = _true_curvature(g) * (g.die_span**2 / 8 + g.die_span / 2 * beyond)
    return abs(lift / 0.22e-3 - 1) > 0.08


PACKAGE_BOW = Exercise(
    id="package-bow",
    number=3,
    title="See how far a package bows at the peak",
    setup=(
        "A silicon die, {die_thickness} thick, is bonded on top of a laminate, {laminate_thickness} thick. They were flat "
        "when the bond set, and are now {warming} **hotter** than that: at the peak of a reflow, with the balls molten. The die "
        "has an expansion (CTE) of {die_expansion} and a Young's modulus of {die_modulus}, the laminate {laminate_expansion} and "
        "{laminate_modulus}. For two bonded layers, with m = thickness of die / thickness of laminate, n = modulus of die / "
        "modulus of laminate and h = both thicknesses together (in m, for a curvature in 1/m), the curvature is\n\n"
        "curvature = 6 · (difference of expansions) · warming · (1 + m)² / ( h · [ 3 (1 + m)² + (1 + m n) "
        "(m² + 1/(m n)) ] )\n\n"
        "Only the part under the die bends. Over the diagonal of the die, {die_span}, its middle stands off the line between "
        "its ends by curvature · L² / 8. Beyond the die the laminate runs on straight, with the slope that it has there: "
        "curvature · L / 2. The diagonal of the whole package is {package_span}. (Invented package.)"
    ),
    givens=dict(
        die_thickness=Quantity(0.5, "mm", low=0.3, high=0.7, step=0.05),
        laminate_thickness=Quantity(1.0, "mm", low=0.8, high=1.4, step=0.1),
        die_expansion=Fixed(2.6, "ppm/K"),
        laminate_expansion=Quantity(15, "ppm/K", low=13, high=18, step=0.5),
        die_modulus=Fixed(169, "GPa"),
        laminate_modulus=Quantity(22, "GPa", low=18, high=28, step=1),
        warming=Quantity(70, "K", low=55, high=100, step=5),
        die_span=Quantity(24, "mm", low=18, high=28, step=1),
        package_span=Quantity(44, "mm", low=36, high=56, step=1),
    ),
    parts=(
        Choice(
            "direction",
            "The package lies with the die on top. Which way is it bent at the peak?",
            points=1,
            options={
                "middle up": "a dome: the corners point down to the board",
                "middle down": "a dish: the corners lift off the board",
                "flat": "flat: molten solder draws it straight",
            },
            expected=lambda g, a: "middle down",
            slips={
                "middle up": "So it is when cold. Hotter than its bond, the laminate below has grown more than the die.",
                "flat": "Molten solder is far too weak for that: the two layers are stiff and bonded.",
            },
        ),
        Number(
            "curvature",
            "What is the size of the curvature (as a positive number)?",
            points=2,
            unit="1/m",
            expected=lambda g, a: _true_curvature(g),
            within=relative(0.01),
            because="the formula is given, so only rounding is left",
            plausible=(0.26, 3.1),
            working="""
m = die_thickness / laminate_thickness
n = die_modulus / laminate_modulus
h = (die_thickness + laminate_thickness) / 1000
stiffness = 3 * (1 + m)**2 + (1 + m * n) * (m**2 + 1 / (m * n))
curvature = 6 * (laminate_expansion - die_expansion) * 1e-6 * warming * (1 + m)**2 / (h * stiffness)
""",
            hint="Work out m, n, h and the square bracket one by one, lengths in m.",
            slips=(
                Slip(
                    "one ratio upside down",
                    lambda g, a: abs(_curvature(g, g.laminate_modulus, g.die_modulus)),
                    "One of m and n looks upside down. Both are die over laminate.",
                ),
                Slip(
                    "expansions added",
                    lambda g, a: (
                        _true_curvature(g)
                        * (g.laminate_expansion + g.die_expansion)
                        / (g.laminate_expansion - g.die_expansion)
                    ),
                    "You added the expansions. Both grow; only the difference bends.",
                ),
            ),
        ),
        Number(
            "middle",
            "How far does the middle stand off the line between the ends of the die's diagonal?",
            points=1,
            unit="µm",
            expected=lambda g, a: bow.centre_bow(a.curvature, g.die_span),
            within=relative(0.03),
            because="it carries the uncertainty of the curvature",
            plausible=(5, 360),
            working="middle = curvature * (die_span / 1000)**2 / 8 * 1e6",
            slips=(
                Slip(
                    "free end",
                    lambda g, a: bow.cantilever_tip(a.curvature, g.die_span),
                    "That is how far a free end moves when the other end is held (L²/2). Here both ends rest: L²/8.",
                ),
                Slip(
                    "whole package",
                    lambda g, a: bow.centre_bow(a.curvature, g.package_span),
                    "You took the diagonal of the package. Only the part under the die bends.",
                ),
            ),
        ),
        Number(
            "corner_lift",
            "How far do the corners of the package stand above its middle?",
            points=2,
            unit="µm",
            expected=lambda g, a: a.middle + a.curvature * g.die_span / 2 * (g.package_span - g.die_span) / 2,
            within=relative(0.03),
            because="it carries the uncertainty of the curvature",
            plausible=(10, 1500),
            working="""
slope = curvature * (die_span / 1000) / 2
beyond = (package_span - die_span) / 2          # mm from the end of the die to the corner
corner_lift = middle + slope * beyond * 1000
""",
            hint="The lift of part 3, and then the straight piece beyond the die.",
            slips=(
                Slip(
                    "die as wide as the package",
                    lambda g, a: bow.centre_bow(a.curvature, g.package_span),
                    "You bent the whole package. Beyond the die it runs on straight.",
                ),
                Slip(
                    "straight piece left out",
                    lambda g, a: a.middle,
                    "That is the lift at the end of the die. The corner lies farther out.",
                ),
                Slip(
                    "both sides",
                    lambda g, a: a.middle + a.curvature * g.die_span / 2 * (g.package_span - g.die_span),
                    "You counted the straight piece of both sides. A corner has one.",
                ),
            ),
        ),
        Choice(
            "which_joints",
            "For balls at 1.0 mm pitch a Japanese standard (as a magazine quotes it) allows 0.22 mm, at soldering heat. "
            "What do you look for, and what do you do?",
            points=1,
            options={
                "centre opens": "look for opens at the centre and bridges at the corners, as when it is cold",
                "over": "above 0.22 mm: do not solder it as it is; expect corner opens and centre bridges",
                "inside": "inside 0.22 mm: solder it, and check for corner opens and centre bridges",
            },
            expected=lambda g, a: "over" if a.corner_lift > 0.22e-3 else "inside",
            slips={
                "centre opens": "At the peak the corners lift: they are drawn out, and the centre balls are pressed.",
                "over": "Compare the lift of the corners with 0.22 mm once more.",
                "inside": "Compare the lift of the corners with 0.22 mm once more.",
            },
        ),
    ),
    cases=(
        Case(
            "curvature",
            1.05,
            0.005,
            "a bimetal strip theory page: equal layers, 1.5 × 14 ppm × 100 K / 2 mm",
            "published-unnamed",
            givens={
                "die_thickness": 1,
                "laminate_thickness": 1,
                "die_expansion": 10,
                "laminate_expansion": 24,
                "die_modulus": 100,
                "laminate_modulus": 100,
                "warming": 100,
            },
        ),
        Case(
            "middle",
            204,
            0.5,
            "Timoshenko, Analysis of Bi-Metal Thermostats, 1925 (general form second-hand), worked with these inputs",
            "computed",
            givens={"warming": 150, "die_span": 30},
        ),
        Case(
            "corner_lift",
            150,
            0.5,
            "arc and tangent by hand: 1/m over 20 mm bows 50 µm, its end falls 1 in 100, and 10 mm more at that slope are 100 µm",
            "computed",
            givens={"die_span": 20, "package_span": 40},
            earlier={"curvature": 1.0, "middle": 50},
        ),
    ),
    sound=lambda drawn: _clear_of_the_bow_limit(drawn),
    floor=0.20,
)


def _rate(g):
    return growth.growth_rate(g.known_layer, g.known_time, g.first_layer)


def _clear_of_the_years(drawn: dict) -> bool:
    """Whether the years to the thick layer lie clear of the years asked."""
    years, asked = LAYER_GROWTH.key(drawn)["years"], drawn["asked"]
    return abs(years / asked - 1) > 0.1


LAYER_GROWTH = Exercise(
    id="layer-growth",
    number=4,
    title="Follow the intermetallic layer (IMC)",
    setup=(
        "Between solder and copper a brittle layer of intermetallic grows while the joint is warm. Its thickness x follows "
        "x² = x₀² + k · t, with x₀ the layer at the start, k the rate and t the time. A section through a fresh joint "
        "shows x₀ = {first_layer}. After {known_time} at {known_c} it shows {known_layer} (made-up sections). The rate "
        "changes with temperature as k₂ = k₁ · exp( −Q/R · (1/T₂ − 1/T₁) ), with Q = {activation} (it belongs to k, not to "
        "x), R = 8.314 J/(mol K) and T in kelvin (°C + 273.15)."
    ),
    givens=dict(
        first_layer=Quantity(2.4, "µm", low=2, high=3, step=0.1),
        known_layer=Quantity(6.5, "µm", low=5, high=8, step=0.1),
        known_time=Quantity(40, "d", low=30, high=60, step=5),
        known_c=Fixed(150, "°C"),
        later_time=Quantity(120, "d", low=90, high=180, step=10),
        cool_c=Quantity(120, "°C", low=100, high=130, step=5),
        use_c=Quantity(70, "°C", low=55, high=85, step=5),
        thick_layer=Quantity(7, "µm", low=5, high=8, step=0.5),
        activation=Fixed(65.4, "kJ/mol"),
        asked=Pick(5, (2, 5, 10, 20), "yr"),
    ),
    drawing=lambda g: joint.layers(
        g.first_layer, g.known_layer, f"after {g['known_time']:g} days at {g['known_c']:g} °C"
    ),
    parts=(
        Number(
            "rate",
            "What is the rate k at {known_c}?",
            points=2,
            unit="µm²/h",
            expected=lambda g, a: _rate(g),
            within=relative(0.015),
            because="the sections are taken as read, so only rounding is left",
            plausible=(0.005, 0.3),
            working="rate = (known_layer**2 - first_layer**2) / (known_time * 24)",
            slips=(
                Slip(
                    "first layer left out",
                    lambda g, a: growth.growth_rate(g.known_layer, g.known_time),
                    "You started from nothing. The joint already had a layer: take x₀² off.",
                ),
                Slip(
                    "square of the gain",
                    lambda g, a: (g.known_layer - g.first_layer) ** 2 / g.known_time,
                    "You squared the difference. The law wants the difference of the squares.",
                ),
                Slip(
                    "per day",
                    lambda g, a: _rate(g) * 24,
                    "This looks like µm² in a day. The question asks for µm² in an hour.",
                ),
            ),
        ),
        Number(
            "later_layer",
            "How thick is the layer after {later_time} at {known_c}, counted from the fresh joint?",
            points=1,
            unit="µm",
            expected=lambda g, a: growth.layer_thickness(g.later_time, a.rate, g.first_layer),
            within=relative(0.005),
            because="the root halves what rounding the rate does",
            plausible=(2.8, 60),
            working="later_layer = sqrt(first_layer**2 + rate * later_time * 24)",
            slips=(
                Slip(
                    "in step with time",
                    lambda g, a: g.known_layer * g.later_time / g.known_time,
                    "You let the layer grow in step with time. It slows down as it grows: its square goes with time.",
                ),
                Slip(
                    "first layer added",
                    lambda g, a: g.first_layer + growth.layer_thickness(g.later_time, a.rate),
                    "You added x₀ at the end. It belongs under the root, squared.",
                ),
                Slip(
                    "first layer left out",
                    lambda g, a: growth.layer_thickness(g.later_time, a.rate),
                    "You started from nothing. Some of the layer is there from the start.",
                ),
                Slip(
                    "root of the time alone",
                    lambda g, a: g.known_layer * (g.later_time / g.known_time) ** 0.5,
                    "You let the whole layer grow with the root of the time. Only what comes on top of the first layer's square does.",
                ),
            ),
        ),
        Number(
            "cool_rate",
            "What is the rate k at {cool_c}?",
            points=2,
            unit="µm²/h",
            expected=lambda g, a: growth.rate_at_temperature(a.rate, g.known_c, g.cool_c, g.activation),
            within=relative(0.02),
            because="it carries the uncertainty of the first rate",
            plausible=(0.00034, 0.18),
            working="""
hotter = 1 / (cool_c + 273.15) - 1 / (known_c + 273.15)
cool_rate = rate * exp(-activation * 1000 / 8.314 * hotter)
""",
            hint="Temperatures in kelvin; Q in joules.",
            slips=(
                Slip(
                    "degrees Celsius",
                    lambda g, a: growth.rate_at_temperature(
                        a.rate, g.known_c - 273.15, g.cool_c - 273.15, g.activation
                    ),
                    "The temperatures went in as °C. One over a temperature only makes sense in kelvin.",
                ),
                Slip(
                    "sign",
                    lambda g, a: growth.rate_at_temperature(a.rate, g.cool_c, g.known_c, g.activation),
                    "Your rate is higher where it is cooler. Look at the sign in the exponent.",
                ),
                Slip(
                    "kilojoules",
                    lambda g, a: growth.rate_at_temperature(a.rate, g.known_c, g.cool_c, g.activation / 1000),
                    "The rate hardly changed. Q is given in kJ and R in J: bring them together.",
                ),
            ),
        ),
        Number(
            "years",
            "How many years (of 365 days) at {use_c} does it take from the fresh joint to a layer of {thick_layer}?",
            points=2,
            unit="yr",
            expected=lambda g, a: growth.time_to_thickness(
                g.thick_layer,
                growth.rate_at_temperature(a.rate, g.known_c, g.use_c, g.activation),
                g.first_layer,
            ),
            within=relative(0.03),
            because="it carries the uncertainty of the rate; Q itself is known far less well",
            plausible=(0.17, 300),
            working="""
use_rate = rate * exp(-activation * 1000 / 8.314 * (1 / (use_c + 273.15) - 1 / (known_c + 273.15)))
years = (thick_layer**2 - first_layer**2) / use_rate / 24 / 365
""",
            hint="First the rate at this temperature, as in part 3; then solve the law for t.",
            slips=(
                Slip(
                    "first layer left out",
                    lambda g, a: growth.time_to_thickness(
                        g.thick_layer, growth.rate_at_temperature(a.rate, g.known_c, g.use_c, g.activation)
                    ),
                    "You started from nothing. Part of that layer is there from the start.",
                ),
                Slip(
                    "rate at the first temperature",
                    lambda g, a: growth.time_to_thickness(g.thick_layer, a.rate, g.first_layer),
                    "You used the rate of the hot test. In use the joint is cooler: work out the rate there first.",
                ),
                Slip(
                    "rate of part 3",
                    lambda g, a: growth.time_to_thickness(g.thick_layer, a.cool_rate, g.first_layer),
                    "You used the rate of part 3. This question has a temperature of its own.",
                ),
                Slip(
                    "difference squared",
                    lambda g, a: growth.time_to_thickness(
                        g.thick_layer - g.first_layer,
                        growth.rate_at_temperature(a.rate, g.known_c, g.use_c, g.activation),
                    ),
                    "You squared the difference. Square each thickness first, then subtract.",
                ),
            ),
        ),
        Choice(
            "layer_act",
            "The board is to run for {asked} so, and {thick_layer} is the most that this shop accepts (its own rule). What follows?",
            points=1,
            options={
                "melt": "melt the joints once more: a fresh melt makes the layer thin again",
                "cooler": "the layer is too thick before then: run it cooler, or promise less",
                "enough": "the layer is not what ends it: give strain and heats more thought",
            },
            expected=lambda g, a: "enough" if a.years >= g.asked else "cooler",
            slips={
                "melt": "Every melt adds to the layer. It never thins it.",
                "cooler": "Compare the years of part 4 with what is asked once more.",
                "enough": "Compare the years of part 4 with what is asked once more.",
            },
        ),
    ),
    cases=(
        Case(
            "cool_rate",
            1.0,
            0.005,
            "a device maker's page on the details of its reliability calculations: 258 from 150 to 55 °C at 0.7 eV",
            "published-unnamed",
            givens={"known_c": 150, "cool_c": 55, "activation": 67.54},
            earlier={"rate": 258},
            note="0.7 eV is 67.54 kJ/mol",
        ),
        Case(
            "rate",
            0.05625,
            0.00005,
            "Metals and Materials International 9(2), 193-199: 9 µm after 60 d at 150 °C, from nothing",
            "computed",
            givens={"first_layer": 0, "known_layer": 9, "known_time": 60},
        ),
        Case(
            "later_layer",
            12.7,
            0.05,
            "Metals and Materials International 9(2), 193-199: the same layer after 120 d",
            "computed",
            givens={"first_layer": 0, "known_layer": 9, "known_time": 60, "later_time": 120},
        ),
        Case(
            "years",
            12.5,
            0.05,
            "Metals and Materials International 9(2), 193-199: the same layer to 9 µm at 70 °C, 65.4 kJ/mol as Q of k",
            "computed",
            givens={"first_layer": 0, "known_layer": 9, "known_time": 60, "use_c": 70, "thick_layer": 9},
        ),
    ),
    sound=lambda drawn: drawn["thick_layer"] - drawn["first_layer"] >= 2.5 and _clear_of_the_years(drawn),
    floor=0.05,
)

EXERCISES = (CORNER_STRAIN, OTHER_BOARD, PACKAGE_BOW, LAYER_GROWTH)
