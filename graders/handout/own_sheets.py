"""An instructor's own sheets, checked as ours are, and a first one written to begin with."""

import contextlib
import re
import traceback
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from pathlib import Path

from graders import sheets
from graders.cohort.files import write_whole
from graders.notebooks import fairness, printer
from graders.questions import Choice, Exercise, Given, Part, Quantity, Slip, Tolerance, givens
from graders.questions.parts.number import Number
from graders.sheets import own
from graders.sheets.own import OwnSheet
from workbook import units
from workbook.problems import Problem, meant
from workbook.references import shop as shop_rules
from workbook.terminal import in_shell
from workbook.topics import SLUGS, by_slug

SECRET = b"own sheets are tried on these"
DRAWS, FLOOR_DRAWS, FIRST_DRAWS = 50, 12, 5
"""Sets of numbers that are tried; for what needs no method; and at handout, where the sheet was checked before."""

MOST_FAULTS = 3
"""Sets of numbers with something wrong after which no more are tried."""
MOST_WORDS = 160
"""Signs that are told of what a shop's rule breaks."""


def faults(sheet: OwnSheet, draws: int = DRAWS) -> Iterator[str]:
    """Yield a line for each thing that is wrong with a sheet's exercises: ``ID/PART: words``."""
    for exercise in sheet.exercises:
        for line in _faults(sheet, exercise, draws):
            part, colon, words = line.partition(": ")
            yield f"{exercise.id}/{line}" if colon and re.fullmatch("[a-z0-9_]+", part) else f"{exercise.id}: {line}"


def _faults(sheet: OwnSheet, exercise: Exercise, draws: int) -> Iterator[str]:
    steps, form = _Steps(sheet.name), list(_form_amiss(exercise))
    yield from form
    if form:
        return  # what is not of the form cannot be tried
    yield from steps.tried(fairness.names_that_clash, exercise)
    yield from steps.tried(_texts_amiss, exercise)
    yield from steps.tried(_holds_on_the_worked, exercise)
    yield from steps.tried(lambda: list(_let_in(sheet, exercise)))
    yield from steps.tried(fairness.cases_missed, exercise)
    if fairness.ends_in_a_number(exercise):
        yield "it ends in a number: end it in an act, with a Choice of what the bench does with the number"
    if steps.failed:
        return  # what fails on the worked numbers would be told again of every draw
    drawn, refused = _drawn(exercise, draws)
    yield from refused
    yield from steps.tried(lambda: _on_draws(exercise, drawn))
    yield from steps.tried(_not_printed, sheet, exercise)
    if len(drawn) >= FLOOR_DRAWS:  # fewer do not show what is rare, nor what is earned on average
        yield from steps.tried(fairness.words_amiss, exercise, [exercise.worked(), *drawn])
        yield from steps.tried(fairness.floor_passed, exercise, drawn[:FLOOR_DRAWS])


class _Steps:
    """Steps of a check, each of which may fail in the sheet's own code: then that is a line, with its place."""

    def __init__(self, name: str):
        self.name, self.failures = name, set()

    @property
    def failed(self) -> bool:
        """Whether any step failed."""
        return bool(self.failures)

    def tried(self, step: Callable[..., Iterable[str]], *arguments) -> list[str]:
        """Return what a step finds, or in one line how it failed."""
        try:
            return list(step(*arguments))
        except Exception as error:
            lines = [frame.lineno for frame in traceback.extract_tb(error.__traceback__) if frame.filename == self.name]
            where = f"line {lines[-1]}" if lines else "in what the sheet gave"
            said = " ".join(f"it cannot be worked out, {where}: {type(error).__name__}: {error}".split())[:300]
            is_new = said not in self.failures
            self.failures.add(said)
            return [said] if is_new else []


def _form_amiss(exercise: Exercise) -> Iterator[str]:
    """Yield what of an exercise is not of the kind it must be."""
    for name, given in exercise.givens.items():
        if not isinstance(given, Given):
            yield f"{name}: the given is {given!r:.40}; write Quantity, Fixed, Pick or Record"
        elif given.unit not in units.FACTORS:
            yield f"{name}: unit {given.unit!r:.40} is unknown; {meant(str(given.unit), units.FACTORS)}"
        elif isinstance(given, Quantity) and not (given.low <= given.worked <= given.high and given.step > 0):
            yield f"{name}: {given.worked} is not between {given.low} and {given.high}, or its step is not above 0"
    for part in exercise.parts:
        if not isinstance(part, Part):
            yield f"parts hold {part!r:.40}, which is no part; write Number, Choice or another kind"
            continue
        for name, unit in part.answer_units.items():
            if unit not in units.FACTORS:
                yield f"{name}: unit {unit!r:.40} is unknown; {meant(str(unit), units.FACTORS)}"
        if isinstance(part, Number):
            yield from _number_amiss(part)
        if isinstance(part, Choice):
            for word in set(part.slips) - set(part.options):
                yield f"{part.name}: a slip is for {word!r}, which is none of its words"


def _number_amiss(part: Number) -> Iterator[str]:
    if not isinstance(part.within, Tolerance):
        yield f"{part.name}: within is {part.within!r:.40}; write relative(0.02) or absolute(0.5)"
    if not (isinstance(part.plausible, tuple) and len(part.plausible) == 2 and part.plausible[0] < part.plausible[1]):
        yield f"{part.name}: plausible is {part.plausible!r:.40}; write the lowest and the highest: (5, 1000)"
    if not isinstance(part.slips, tuple) or not all(isinstance(slip, Slip) for slip in part.slips):
        yield f"{part.name}: slips is no list of Slip; write slips=(Slip(...),) with the comma"


def _texts_amiss(exercise: Exercise) -> Iterator[str]:
    """Yield which texts name a given there is not, and which parts lack what every part has."""
    texts = {"setup": exercise.setup, **{part.name: part.ask for part in exercise.parts}}
    for where, text in texts.items():
        for name in re.findall(r"\{([a-z][a-z0-9_]*)\}", text):
            if name not in exercise.givens:
                yield f"{where}: the text names {{{name}}}, which is no given"
    for part in exercise.parts:
        if not isinstance(part.points, int) or part.points < 1:
            yield f"{part.name}: it earns {part.points!r} points; write a whole number from 1 on"
        if isinstance(part, Number) and not part.working.strip():
            yield f"{part.name}: it has no working, which solutions and feedback show"


def _holds_on_the_worked(exercise: Exercise) -> list[str]:
    worked = exercise.worked()
    return [
        f"{line}; on the worked numbers" for line in (*fairness.unfair(exercise, worked), *exercise.mixed_up(worked))
    ]


def _let_in(sheet: OwnSheet, exercise: Exercise) -> Iterator[str]:
    for part, step in sorted(fairness.steps_let_in(exercise) - set(sheet.let_in)):
        yield (
            f"{part}: its band lets in an answer without the step {step!r}; make within smaller, choose other worked "
            "numbers, or say in LET_IN why no band can tell"
        )


def _drawn(exercise: Exercise, draws: int) -> tuple[list[dict], list[str]]:
    """Return sets of own numbers, and what is said where none are found."""
    try:
        return [exercise.draw(SECRET, f"learner {number}") for number in range(draws)], []
    except ValueError:
        return [], [f"its ranges hold hardly any fair set of numbers{_most_often(exercise)}"]


def _most_often(exercise: Exercise) -> str:
    """Say for what reason sets of numbers are refused most often."""
    reasons, always = Counter(), exercise.unnoticed(exercise.worked())

    def counted(drawn: dict) -> bool:
        found = exercise.mixed_up(drawn) if exercise.sound(drawn) else ["its own sound refuses them"]
        left = exercise.unnoticed(drawn) - always
        reasons.update([*found, *(f"{part}: the step {step!r} may be left out" for part, step in left)])
        return False

    with contextlib.suppress(ValueError):
        givens.draw(exercise.givens, givens.learner_key(SECRET, "learner", exercise.id), counted, 50)
    return f"; most often {reasons.most_common(1)[0][0]}" if reasons else ""


def _on_draws(exercise: Exercise, drawn: list[dict]) -> list[str]:
    """Say what is wrong on the first sets of numbers with something wrong, each fault once, with one set."""
    found: dict[str, dict] = {}
    for one in drawn:
        for line in fairness.unfair(exercise, one):
            found.setdefault(line.partition(", ")[0] if "slip" in line else line, one | {"": line})
        if len(found) >= MOST_FAULTS:
            break
    return [f"{one.pop('')}; on the numbers {one}" for one in found.values()]


def _not_printed(sheet: OwnSheet, exercise: Exercise) -> list[str]:
    """Print an exercise both ways, and say where Jupyter could not open what is printed."""
    import nbformat  # slow to load, and few commands come here

    topic, found = by_slug(sheet.topic), []
    for notebook in (printer.solution_notebook(topic, exercise), printer.exercise_notebook(topic, exercise)):
        try:
            nbformat.validate(nbformat.from_dict(notebook))
        except nbformat.ValidationError as error:
            found.append(f"its notebook is not valid: {str(error).splitlines()[0]}")
    return found


def refuse_unfair(root: Path, asked: Iterable[tuple[str, str]]) -> None:
    """Raise Problem where one of these exercises, as (topic, name), is an own one with something wrong."""
    names = {exercise for _, exercise in asked}
    for sheet in own.every(root):
        if names & {one.id for one in sheet.exercises}:
            for line in faults(sheet, FIRST_DRAWS):
                raise Problem(
                    f"{sheet.name}: {line}.", f"nothing was handed out; see all with: graders sheets {in_shell(root)}"
                )


def unruly(topic: str, exercise: Exercise, shop: Mapping[str, float]) -> Iterator[str]:
    """Yield what is wrong with an exercise under a shop's rules, where one of them is about it."""
    if not set(exercise.rules) & set(shop):
        return
    said = ", ".join(f"{name} = {shop[name]:g}" for name in exercise.rules if name in shop)
    try:
        drawn = [exercise.draw(SECRET, f"learner {number}", shop) for number in range(FIRST_DRAWS)]
    except ValueError:
        yield f"{topic}/{exercise.id} has hardly any fair set of numbers with {said}"
        return
    for line in _on_draws(exercise, drawn)[:1]:
        yield f"{topic}/{exercise.id} does not hold with {said}: {line[:MOST_WORDS]}"


def all_unruly(shop: Mapping[str, float]) -> Iterator[str]:
    """Yield what is wrong with any exercise under a shop's rules."""
    for topic in SLUGS:
        for exercise in sheets.exercises(topic):
            yield from unruly(topic, exercise, shop)


def refuse_unruly(asked: Iterable[tuple[str, str]], shop: Mapping[str, Mapping[str, float]]) -> None:
    """Raise Problem where one of these exercises, as (topic, name), cannot be asked under its topic's shop rules."""
    for topic, name in asked:
        for line in unruly(topic, sheets.find(topic, name), shop[topic]):
            raise Problem(
                f"{shop_rules.FILE}: {line}.",
                "choose another limit there, or name the exercises to hand out without it",
            )


def write_first(root: Path, name: str, topic: str) -> Path:
    """Write a small sheet that holds, to begin with, and return it; never over a file that is there."""
    word = name.removesuffix(".py").lower().replace("_", "-").removeprefix(own.PREFIX)
    if not own.ID.fullmatch(f"{own.PREFIX}{word}"):
        raise Problem(f"{name!r} cannot name an own exercise.", "give small letters, digits and hyphens: cold-joint")
    path = root / own.FOLDER / f"{word.replace('-', '_')}.py"
    if path.exists():
        raise Problem(f"{path} is there already.", "give another name with --new")
    taken = [one.number for sheet in own.every(root) for one in sheet.exercises if sheet.topic == topic]
    number = max([own.FIRST_NUMBER - 1, *taken]) + 1
    template = Path(__file__).with_name("first_sheet.txt").read_text(encoding="utf-8")
    filled = template.replace("TOPIC_HERE", topic).replace("NAME_HERE", word).replace("NUMBER_HERE", str(number))
    write_whole(path, filled)
    return path
