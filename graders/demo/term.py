"""A whole invented term: 24 learners over six weeks, a topic a week, with what goes otherwise in a real one.

A list as a spreadsheet of a decimal-comma country writes it; somebody who comes in week 3 and somebody who leaves in
week 5; work handed in late, with an extension or without, or not at all; a notebook that lost its seal, held and
accepted; a part dropped; answers in words marked by hand, of the last week not yet. Nobody in it is real.
"""

import json
import re
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path

from graders import commands, gradebook, sheets
from graders.cohort.files import write_whole
from graders.cohort.paths import Cohort
from graders.cohort.record import Handed, HandoutRecord
from graders.demo import learners
from graders.demo.habits import Habit
from graders.gradebook.manual_marks import ManualMark
from graders.handout.handing_out import printable_topics
from graders.judging.marks import waits
from graders.marking import marks_csv
from graders.notebooks.printer import METADATA_KEY
from graders.questions.parts.written import Written
from graders.runner import contained
from graders.runner.job import Limits
from workbook.problems import Problem
from workbook.terminal import in_shell, printable

LATE_COMER, LEAVER, HELD = "quince", "rowan", "maple"
COMES_IN, LEAVES_IN = 3, 5
LATE = {("birch", 2): 1, ("nettle", 3): 2, ("sage", 4): 1, ("dahlia", 4): 2}
"""Who handed which week's topic in late, and how many days."""
EXTENDED = {("dahlia", 4): 48, (LATE_COMER, 1): 14 * 24, (LATE_COMER, 2): 7 * 24}
"""Who may be later with which week's topic, by how many hours."""
MISSING = {("kale", 2), ("rowan", 3), ("rowan", 4), ("yarrow", 4), ("ulmus", 6)}
ACCENTS = {"amber": "Ämber", "kale": "Kåle", "laurel": "Łaurel", "olive": "Ølive", "sage": "Sagé"}
GROUPS = ("Monday", "Thursday")
HABITS = {
    "ginkgo": Habit("ginkgo", slips=0.2, off=0.1, weak="shorts"),
    "hazel": Habit("hazel", slips=0.25, empty=0.1, unread=0.05),
    "fern": Habit("fern", unread=0.4, slips=0.1),
    "cedar": Habit("cedar", slips=0.45, weak="paste"),
    "birch": Habit("birch", slips=0.1, empty=0.1, stops=0.7),
    "dahlia": Habit("dahlia", off=0.25, slips=0.05),
    "elder": Habit("elder", slips=0.05, typed=True),
    "juniper": Habit("juniper", slips=0.3, off=0.05, weak="intake"),
}
"""Of the small demo's learners, those who work otherwise through a whole term: nobody attacks, nobody is all wrong."""

SETTINGS = {
    "due = {}": "due = { TIMES }",
    'late = "none"': 'late = "10 % a day"',
    'timezone = "ZONE"': 'timezone = "Europe/Vienna"',
    "to_pass = {}": "to_pass = { total = 50, each_topic = 25 }",
    "grades = {}": 'grades = { "1" = 88, "2" = 75, "3" = 63, "4" = 50, "5" = 0 }',
}


def chosen() -> dict[str, tuple[str, ...]]:
    """Return what is handed out of each topic, two exercises, one of them with an answer in words."""
    found = {}
    for topic in printable_topics():
        in_words = [one.id for one in sheets.exercises(topic) if any(isinstance(part, Written) for part in one.parts)]
        others = [one.id for one in sheets.exercises(topic) if one.id not in in_words]
        found[topic] = (others[2], in_words[0])
    return found


def run(folder: Path | None) -> Cohort:
    """Go through the term week by week, as an instructor does, and say where everything is."""
    began = time.monotonic()
    folder = Path(folder) if folder else learners.default_folder()
    if folder.exists() and any(folder.iterdir()):
        raise Problem(f"{folder} is not empty.", "give a new folder with --to")
    if why := contained.why_not():
        raise Problem(
            f"a term is marked in a contained process, which this machine cannot run: {why}",
            "run graders demo without --term",
        )
    root, beside = folder / "spring", folder / "came in"
    folder.mkdir(parents=True, exist_ok=True)
    weeks = list(enumerate(chosen().items(), 1))
    ends = {week: _end_of(week, len(weeks)) for week, _ in weeks}
    for week, (topic, exercises) in weeks:
        commands.console.rule(f"Week {week}: {topic}")
        list_ = _write_list(folder / "learners.csv", week)
        cohort = commands.hand_out(
            list_, root, (topic,), "A term (invented)", exercises=[f"{topic}/{one}" for one in exercises]
        )
        if week == 1:
            _settle(cohort, {of: ends[number] for number, (of, _) in weeks})
        _extend(cohort, [of for _, (of, _) in weeks])
        _come_in(cohort, topic, week, beside)
        for days, came in _by_day(beside / f"week {week}"):
            commands.mark(root, came_in=[came], received=ends[week] + timedelta(days=days, hours=-2), limits=QUICK)
        if week == 4:
            _accept_what_is_held(cohort, topic)
        if week < len(weeks):
            _mark_words(cohort, topic)
    _drop_a_part(cohort, *weeks[1][1])
    commands.mark(root)
    page = commands.report(root)
    commands.write_mails(root, "feedback")
    commands.console.print(f"Done in {time.monotonic() - began:.0f} s. What to look at:")
    for step in (
        f"{page}: the report, what to teach again first",
        f"{cohort.totals}: one row a learner; open it in a spreadsheet",
        f"{cohort.for_import}: what a learning platform imports",
        f"{root / 'mails' / 'feedback'}: a mail for each learner, none of them sent",
        f"{root / 'cohort.toml'}: due times, an extension, a dropped part, pass rule and grades",
        f"graders why {in_shell(root)} olive {weeks[0][1][1][0]}: the judge's reasons",
    ):
        commands.console.print(f"  {printable(step)}", soft_wrap=True, markup=False, highlight=False)
    return cohort


QUICK = Limits(cell_seconds=3)


def _end_of(week: int, weeks: int) -> datetime:
    """Return when a week's topic was due, in UTC without saying so: the last one three days ago, at a whole hour.

    What comes latest of it comes within these three days: nothing in the term lies ahead of now.
    """
    last = datetime.now(UTC).replace(tzinfo=None, minute=0, second=0, microsecond=0) - timedelta(days=3)
    return last - timedelta(weeks=weeks - week)


def _write_list(path: Path, week: int) -> Path:
    """Write the list of learners as it stands in a week: semicolons, and a decimal comma in a column of their own."""
    lines = ["id;name;E-Mail;group;points before;left"]
    for place, (id_, (name, _, _)) in enumerate(learners.HABITS.items()):
        if id_ == LATE_COMER and week < COMES_IN:
            continue
        first, *others = name.split()
        shown = " ".join([ACCENTS.get(id_, first), *others])
        left = "left" if id_ == LEAVER and week >= LEAVES_IN else ""
        cells = (
            f"{shown} (invented)",
            f"{id_}@example.org",
            GROUPS[place % 2],
            f"{4 + place % 9 / 2:.1f}".replace(".", ","),
        )
        lines.append(";".join((id_, *cells, left)))
    path.write_text("\ufeff" + "\r\n".join(lines) + "\r\n", encoding="utf-8", newline="")
    return path


def _settle(cohort: Cohort, ends: dict[str, datetime]) -> None:
    """Write due times, the cost of lateness, pass rule and grades into cohort.toml, as by hand."""
    text = (cohort.root / "cohort.toml").read_text(encoding="utf-8")
    text = re.sub(r'timezone = "[^"]*"', 'timezone = "ZONE"', text)
    times = ", ".join(f"{topic} = {moment:%Y-%m-%dT%H:%M:%S}Z" for topic, moment in ends.items())
    for old, new in SETTINGS.items():
        text = text.replace(old, new.replace("TIMES", times), 1)
    write_whole(cohort.root / "cohort.toml", text)


def _extend(cohort: Cohort, topics: list[str]) -> None:
    """Write the extensions of those who are there into cohort.toml, as by hand."""
    there = HandoutRecord(cohort.record).learners
    granted = [f'"{who}/{topics[week - 1]}" = {hours}' for (who, week), hours in EXTENDED.items() if who in there]
    text = (cohort.root / "cohort.toml").read_text(encoding="utf-8")
    line = f"extensions = {{ {', '.join(granted)} }}"
    write_whole(cohort.root / "cohort.toml", re.sub(r"(?m)^extensions = \{[^}]*\}", line, text))


def _come_in(cohort: Cohort, topic: str, week: int, beside: Path) -> None:
    """Write what comes in for a week's topic, a folder for each day on which it comes: 0 is in time."""
    for handed in HandoutRecord(cohort.record):
        who = handed.learner
        has_left = who == LEAVER and week >= LEAVES_IN
        catches_up = who == LATE_COMER and week == COMES_IN
        if not (handed.topic == topic or catches_up) or (who, week) in MISSING or has_left:
            continue
        folder = beside / f"week {week}" / f"{LATE.get((who, week), 0)} days late" / who / handed.topic
        write_whole(folder / f"{handed.notebook}.ipynb", _answered(cohort, handed, loses_seal=(who, week) == (HELD, 4)))


def _answered(cohort: Cohort, handed: Handed, loses_seal: bool) -> str:
    """Return a learner's notebook as it comes back."""
    source = cohort.handout(handed.learner) / handed.topic / f"{handed.notebook}.ipynb"
    notebook = json.loads(source.read_text(encoding="utf-8"))
    habit = HABITS.get(handed.learner) or learners.HABITS[handed.learner][1]
    learners.fill_in(notebook, sheets.find(handed.topic, handed.exercise), handed.givens, habit)
    if loses_seal:
        notebook["metadata"].pop(METADATA_KEY)
    return json.dumps(notebook, ensure_ascii=False, indent=1, sort_keys=True) + "\n"


def _by_day(week: Path) -> list[tuple[int, Path]]:
    return sorted((int(path.name.split()[0]), path) for path in week.iterdir())


def _accept_what_is_held(cohort: Cohort, topic: str) -> None:
    """Accept the notebooks that were held, as somebody does who has asked the sender."""
    by_number = {one.notebook[:2]: one.exercise for one in HandoutRecord(cohort.record).by_topic(HELD)[topic]}
    for path in sorted((cohort.root / "held").iterdir()):
        number = re.search(r"-(\d\d)_", path.name)[1]
        commands.accept(cohort.root, path, f"{HELD}/{topic}/{by_number[number]}")
    commands.mark(cohort.root, only=[HELD], limits=QUICK)


def _mark_words(cohort: Cohort, topic: str) -> None:
    """Give the answers in words their points by hand, in turn some, all and none, each with a comment."""
    waiting = [row for row in marks_csv.each_row_now(cohort) if waits(row) and row.topic == topic]
    words = ("Say what you would measure **first**.", "Good: short, and in the right order.", "This names no reading.")
    marks = {}
    for place, row in enumerate(waiting):
        share = (0.5, 1.0, 0.0)[place % 3]
        where = row.learner, row.topic, row.exercise, row.part
        marks[where] = ManualMark(score=row.out_of * share, comment=words[place % 3])
    gradebook.of(cohort).put_back(marks)
    commands.console.print(f"Answers in words marked by hand: {len(marks)}.")


def _drop_a_part(cohort: Cohort, topic: str, exercises: tuple[str, ...]) -> None:
    part = sheets.find(topic, exercises[0]).parts[-1].name
    with (cohort.root / "cohort.toml").open("a", encoding="utf-8") as file:
        file.write(
            f'\n[[void]]\ntopic = "{topic}"\nexercise = "{exercises[0]}"\npart = "{part}"\npoints = "drop"\n'
            'reason = "the class was told another figure"\n'
        )
