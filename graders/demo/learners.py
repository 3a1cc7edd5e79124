"""An invented cohort, from handout to report. Every learner in it is made up."""

import json
from collections.abc import Callable
from pathlib import Path

from graders import sheets
from graders.cohort.files import write_whole
from graders.cohort.paths import Cohort
from graders.cohort.record import HandoutRecord
from graders.cohort.roster import Learner
from graders.demo import case_habits
from graders.demo.habits import Answered, Habit, right, rounded
from graders.handout.handing_out import printable_topics
from graders.questions.exercise import Exercise
from graders.questions.parts.acts import Acts
from graders.questions.parts.design import Design
from graders.questions.parts.number import Number
from graders.questions.parts.words import Choice
from graders.questions.parts.written import Written


def learners(contained: bool) -> list[Learner]:
    """Return the invented cohort; without containment a few honest learners only, for each needs kernels of its own."""
    honest = [id_ for id_, (_, _, hostile) in HABITS.items() if not hostile]
    ids = HABITS if contained else honest[:6]
    return [Learner(id_, f"{HABITS[id_][0]} (invented)") for id_ in ids]


def exercises(contained: bool) -> dict[str, tuple[str, ...]]:
    """Return what the demo hands out of each topic: from its beginning, its middle and its end."""
    chosen = {}
    for topic in printable_topics():
        ids = [exercise.id for exercise in sheets.exercises(topic)]
        places = (0, len(ids) // 2, -2, -1) if contained else (0,)
        chosen[topic] = tuple(dict.fromkeys(ids[place] for place in places))
    return chosen


def hand_in(cohort: Cohort) -> None:
    """Fill every learner's handout in as such a learner would, and put it where submissions go."""
    known = HandoutRecord(cohort.record)
    for handed in known:
        if handed.learner not in HABITS or (handed.learner, handed.topic) in NOT_HANDED_IN:
            continue
        _, habit, _ = HABITS[handed.learner]
        source = cohort.handout(handed.learner) / handed.topic / f"{handed.notebook}.ipynb"
        notebook = json.loads(source.read_text(encoding="utf-8"))
        whose = handed
        if handed.learner in COPIES:
            whose = known.find(COPIES[handed.learner], handed.topic, handed.exercise) or handed
        fill_in(notebook, sheets.find(handed.topic, handed.exercise), whose.givens, _with_a_way(habit, handed.learner))
        target = cohort.submitted(handed.learner, handed.topic) / source.name
        write_whole(target, json.dumps(notebook, ensure_ascii=False, indent=1, sort_keys=True) + "\n")


def _with_a_way(habit: Callable, learner: str) -> Callable:
    """Return a habit in which a whole board is worked in the learner's own way."""

    def answered(exercise: Exercise, givens: dict) -> Answered:
        yield from habit(exercise, givens)
        for part in exercise.parts:
            if isinstance(part, Acts) and learner in case_habits.HABITS:
                _, acts_of = case_habits.HABITS[learner]
                yield part.name, f"{part.name} = {acts_of(givens['seed'])!r}"

    return answered


def fill_in(notebook: dict, exercise: Exercise, givens: dict, habit: Callable) -> None:
    """Write what a learner of this habit would into the answer cells of a handout, in place."""
    answers = dict(habit(exercise, givens))
    for cell in notebook["cells"]:
        name = cell["id"].removesuffix("-answer")
        written = cell["id"] in answers and cell["cell_type"] == "markdown"
        if written or (cell["id"].endswith("-answer") and name in answers):
            cell["source"] = answers[name]


def worked(exercise: Exercise, givens: dict) -> Answered:
    """Write every part's working, as the solutions print it."""
    key = exercise.key(givens)
    for part in exercise.parts:
        yield part.name, right(part, key, typed=False)


def half_done(exercise: Exercise, givens: dict) -> Answered:
    """Answer the first half of each exercise and leave the rest."""
    answers = list(worked(exercise, givens))
    yield from answers[: (len(answers) + 1) // 2]


def typed(exercise: Exercise, givens: dict) -> Answered:
    """Type the right numbers in, without any working."""
    key = exercise.key(givens)
    for part in exercise.parts:
        if not isinstance(part, Written):
            lines = [f"{name} = {rounded(key[name])!r}" for name in part.answer_names]
            yield part.name, "\n".join(lines)


def slips(exercise: Exercise, givens: dict) -> Answered:
    """Make each part's first typical slip, and choose the first word of every list."""
    g, key = exercise.values(givens), exercise.key(givens)
    for part in exercise.parts:
        if isinstance(part, Number) and part.slips:
            value = part.slipped(part.slips[0], g, exercise.answers(key))
            yield part.name, f"{part.name} = {rounded(value)!r}"
        elif isinstance(part, Choice):
            yield part.name, f"{part.name} = {next(iter(part.options))!r}"
        elif not isinstance(part, (Written, Design, Acts)):
            yield part.name, "\n".join(f"{name} = {key[name]!r}" for name in part.answer_names)


def wrong_first_step(exercise: Exercise, givens: dict) -> Answered:
    """Get the first number 8 % wrong and carry it rightly through the rest."""
    first = next((part for part in exercise.parts if isinstance(part, Number)), None)
    for name, working in worked(exercise, givens):
        spoiled = f"\n{name} = {name} * 1.08   # read off wrongly" if first is not None and name == first.name else ""
        yield name, working + spoiled


def broken(exercise: Exercise, givens: dict) -> Answered:
    """Write answers Python cannot read: a unit after the number, a decimal comma, a missing bracket."""
    key = exercise.key(givens)
    mistakes = ("{name} = {value} {unit}", "{name} = 12,5", "{name} = ({value}")
    numbers = [part for part in exercise.parts if isinstance(part, Number)]
    for index, part in enumerate(numbers):
        mistake = mistakes[index % len(mistakes)]
        yield part.name, mistake.format(name=part.name, value=rounded(key[part.name]), unit=part.unit)


def endless(exercise: Exercise, givens: dict) -> Answered:
    """Answer well, but write a loop that never ends into the first exercise's last answer cell."""
    *before, (name, working) = worked(exercise, givens)
    yield from before
    loop = "while True:\n    pass\n" if exercise is FIRST else ""
    yield name, loop + working


def thief(exercise: Exercise, givens: dict) -> Answered:
    """Try to read the answers instead of computing them."""
    first = exercise.parts[0].answer_names
    yield (
        exercise.parts[0].name,
        (
            "import glob, os, subprocess\n"
            "found = glob.glob('/**/*solution*', recursive=True) + glob.glob('/**/cohort.key', recursive=True)\n"
            "print(found[:5], os.environ)\n"
            "from graders import sheets\n"
            "subprocess.run(['cat', *found])\n" + "\n".join(f"{name} = 1" for name in first)
        ),
    )


FIRST = sheets.exercises("profile")[0]

HABITS: dict[str, tuple[str, Callable, bool]] = {
    "amber": ("Amber Example", worked, False),
    "birch": ("Birch Example", half_done, False),
    "cedar": ("Cedar Example", slips, False),
    "dahlia": ("Dahlia Example", wrong_first_step, False),
    "elder": ("Elder Example", typed, False),
    "fern": ("Fern Example", broken, False),
    "ginkgo": ("Ginkgo Example", endless, True),
    "hazel": ("Hazel Example", thief, True),
    "iris": ("Iris Example", Habit("iris", slips=0.1, off=0.05), False),
    "juniper": ("Juniper Example", typed, False),
    "kale": ("Kale Example", Habit("kale", off=0.3, slips=0.1), False),
    "laurel": ("Laurel Example", Habit("laurel", slips=0.35, weak="joints"), False),
    "maple": ("Maple Example", Habit("maple", slips=0.05, weak="shorts"), False),
    "nettle": ("Nettle Example", Habit("nettle", empty=0.15, stops=0.6), False),
    "olive": ("Olive Example", Habit("olive", off=0.2, slips=0.2, weak="paste"), False),
    "pine": ("Pine Example", Habit("pine", slips=0.2, typed=True), False),
    "quince": ("Quince Example", Habit("quince", off=0.02), False),
    "rowan": ("Rowan Example", Habit("rowan", empty=0.3, slips=0.2), False),
    "sage": ("Sage Example", Habit("sage", slips=0.5, unread=0.05), False),
    "thyme": ("Thyme Example", Habit("thyme", slips=0.15, weak="profile"), False),
    "ulmus": ("Ulmus Example", Habit("ulmus", unread=0.25, slips=0.1), False),
    "violet": ("Violet Example", Habit("violet", off=0.15, slips=0.1, weak="intake"), False),
    "willow": ("Willow Example", Habit("willow", slips=0.3, typed=True, weak="signoff"), False),
    "yarrow": ("Yarrow Example", Habit("yarrow", slips=0.15, empty=0.15, stops=0.8), False),
}
"""Who, how they work, and whether they can only be marked contained."""

COPIES = {"juniper": "amber"}
"""Who types in what is right for someone else's numbers."""

NOT_HANDED_IN = {("nettle", "signoff"), ("rowan", "paste"), ("rowan", "signoff")}
"""What never came."""


def default_folder() -> Path:
    """Return a new folder for the demo, outside any clone."""
    base = Path.home() / "rework-workbook-demo"
    number = 1
    folder = base
    while folder.exists():
        number += 1
        folder = base.with_name(f"{base.name}-{number}")
    return folder
