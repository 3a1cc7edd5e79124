"""An invented cohort, from handout to report. Every learner in it is made up."""

import json
from collections.abc import Callable, Iterator
from pathlib import Path

from graders import record, sheets
from graders.exercise import Choice, Design, Exercise, Number, Written
from graders.folder import Cohort, write_whole
from graders.roster import Learner
from workbook import units


def learners(contained: bool) -> list[Learner]:
    """Return the invented learners; without containment the hostile ones are left out."""
    return [
        Learner(id_, f"{name} (invented)") for id_, (name, _, hostile) in HABITS.items() if contained or not hostile
    ]


def hand_in(cohort: Cohort) -> None:
    """Fill every learner's handout in as such a learner would, and put it where submissions go."""
    for handed in record.read(cohort.record).values():
        if handed.learner not in HABITS:
            continue
        _, habit, _ = HABITS[handed.learner]
        source = cohort.handout(handed.learner) / handed.topic / f"{handed.notebook}.ipynb"
        notebook = json.loads(source.read_text(encoding="utf-8"))
        exercise = sheets.find(handed.topic, handed.exercise)
        answers = dict(habit(exercise, handed.givens))
        for cell in notebook["cells"]:
            name = cell["id"].removesuffix("-answer")
            if cell["id"].endswith("-answer") and name in answers:
                cell["source"] = answers[name]
            elif cell["id"] in answers and cell["cell_type"] == "markdown":
                cell["source"] = answers[cell["id"]]
        target = cohort.submitted(handed.learner, handed.topic) / source.name
        write_whole(target, json.dumps(notebook, ensure_ascii=False, indent=1, sort_keys=True) + "\n")


Answered = Iterator[tuple[str, str]]
"""Part name and what the learner wrote in its answer cell."""


def _worked(exercise: Exercise, givens: dict) -> Answered:
    """Write every part's working, as the solutions print it."""
    key = exercise.key(givens)
    for part in exercise.parts:
        if isinstance(part, Written):
            yield part.name, "I would first look at the board again. (An invented answer.)"
        elif isinstance(part, Number):
            yield part.name, part.working.strip()
        else:
            yield part.name, "\n".join(f"{name} = {key[name]!r}" for name in part.answer_names)


def _half(exercise: Exercise, givens: dict) -> Answered:
    """Answer the first half of each exercise and leave the rest."""
    answers = list(_worked(exercise, givens))
    yield from answers[: (len(answers) + 1) // 2]


def _typed(exercise: Exercise, givens: dict) -> Answered:
    """Type the right numbers in, without any working."""
    key = exercise.key(givens)
    for part in exercise.parts:
        if not isinstance(part, Written):
            lines = [f"{name} = {_rounded(key[name])!r}" for name in part.answer_names]
            yield part.name, "\n".join(lines)


def _slips(exercise: Exercise, givens: dict) -> Answered:
    """Make each part's first typical slip, and choose the first word of every list."""
    g, key = exercise.values(givens), exercise.key(givens)
    for part in exercise.parts:
        if isinstance(part, Number) and part.slips:
            value = units.from_si(float(part.slips[0].value(g, exercise.answers(key))), part.unit)
            yield part.name, f"{part.name} = {_rounded(value)!r}"
        elif isinstance(part, Choice):
            yield part.name, f"{part.name} = {next(iter(part.options))!r}"
        elif not isinstance(part, (Written, Design)):
            yield part.name, "\n".join(f"{name} = {key[name]!r}" for name in part.answer_names)


def _wrong_first_step(exercise: Exercise, givens: dict) -> Answered:
    """Get the first number 8 % wrong and carry it rightly through the rest."""
    first = next((part for part in exercise.parts if isinstance(part, Number)), None)
    for name, working in _worked(exercise, givens):
        spoiled = f"\n{name} = {name} * 1.08   # read off wrongly" if first is not None and name == first.name else ""
        yield name, working + spoiled


def _broken(exercise: Exercise, givens: dict) -> Answered:
    """Write answers Python cannot read: a unit after the number, a decimal comma, a missing bracket."""
    key = exercise.key(givens)
    mistakes = ("{name} = {value} {unit}", "{name} = 12,5", "{name} = ({value}")
    numbers = [part for part in exercise.parts if isinstance(part, Number)]
    for index, part in enumerate(numbers):
        mistake = mistakes[index % len(mistakes)]
        yield part.name, mistake.format(name=part.name, value=_rounded(key[part.name]), unit=part.unit)


def _endless(exercise: Exercise, givens: dict) -> Answered:
    """Answer well, but write a loop that never ends into the first exercise's last answer cell."""
    *before, (name, working) = _worked(exercise, givens)
    yield from before
    loop = "while True:\n    pass\n" if exercise is FIRST else ""
    yield name, loop + working


def _thief(exercise: Exercise, givens: dict) -> Answered:
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


def _rounded(value):
    return float(f"{value:.5g}") if isinstance(value, float) else value


FIRST = sheets.exercises("profile")[0]

HABITS: dict[str, tuple[str, Callable, bool]] = {
    "amber": ("Amber Example", _worked, False),
    "birch": ("Birch Example", _half, False),
    "cedar": ("Cedar Example", _slips, False),
    "dahlia": ("Dahlia Example", _wrong_first_step, False),
    "elder": ("Elder Example", _typed, False),
    "fern": ("Fern Example", _broken, False),
    "ginkgo": ("Ginkgo Example", _endless, True),
    "hazel": ("Hazel Example", _thief, True),
}
"""Who, how they work, and whether they can only be marked contained."""


def default_folder() -> Path:
    """Return a new folder for the demo, outside any clone."""
    base = Path.home() / "rework-workbook-demo"
    number = 1
    folder = base
    while folder.exists():
        number += 1
        folder = base.with_name(f"{base.name}-{number}")
    return folder
