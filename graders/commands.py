"""What the instructor's commands do, and what they say while they do it."""

import contextlib
import importlib.util
import webbrowser
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

from rich import box
from rich.cells import cell_len
from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn
from rich.table import Table
from rich.text import Text

from graders import gradebook, sheets
from graders.backup import putting_back, safe_copy
from graders.cohort import clock, differences, entered, find, roster
from graders.cohort.files import write_whole
from graders.cohort.paths import Cohort, for_owner_only, inbox_beside
from graders.cohort.record import HandoutRecord
from graders.cohort.tables import PLAIN, Manner
from graders.gradebook import configuration, hand_copy
from graders.gradebook.configuration import put_interpreter_on_path
from graders.handout import handing_out as handing
from graders.handout import own_sheets
from graders.inbox import filing
from graders.inbox.names import kind
from graders.judging import floor as floors
from graders.judging import near_misses, reasons
from graders.judging.marks import needs_a_look, nothing_came, total, waits
from graders.marking import marks_csv, totals
from graders.marking import run as marking
from graders.marking.pool import Pool
from graders.paper import asked, entering, table, terminal
from graders.paper import pages as paper_pages
from graders.questions.verdicts import Code
from graders.report import anonymous, beside_page, class_page, mails, pages
from graders.report.html import count
from graders.runner import contained
from graders.runner.job import Limits
from graders.sheets import own
from workbook.paths import resolved
from workbook.problems import Problem, meant
from workbook.references import shop as shop_rules
from workbook.terminal import in_shell, printable

console = Console()


@contextlib.contextmanager
def progress(words: str, of: int | None):
    """Show a bar with the time left, and yield a function to call with (done, of, what)."""
    columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    with Progress(*columns, console=console, transient=True, disable=not console.is_terminal) as bar:
        task = bar.add_task(words, total=of)
        yield lambda done, of, what="": bar.update(task, completed=done, total=of)


def hand_out(roster_file: Path, folder: Path, topics=(), title="", only=None, exercises=()) -> Cohort:
    """Make or extend a cohort's folder."""
    put_interpreter_on_path()
    if only:
        cohort = opened(folder)
        _say(f"Written again, with the same numbers: {handing.again(cohort, only)}")
        return cohort
    for problem in own.use(folder):
        raise problem
    check_topics(topics)
    is_there = (folder / "cohort.toml").is_file()
    before = HandoutRecord(opened(folder).record).topics if is_there else set()
    learners = roster.read(roster_file, may_be_empty=is_there)
    manner = roster.manner(roster_file)
    cohort = make_cohort(learners, folder, tuple(topics), title, by_topic(exercises), manner)
    record = HandoutRecord(cohort.record)
    handed = count(len(record.learners), "learner")
    _say(f"{handed} with a handout. Handouts: {cohort.root / 'handouts'}")
    added = [topic for topic in cohort.settings().topics if topic in record.topics - before]
    if before and added:
        alone = cohort.handout_of("LEARNER", added).name
        _say(f"New: {', '.join(added)}. Whoever has other topics already finds it in {alone}.")
    tell_differences(cohort)
    _say(f"Put what comes back into {cohort.root / 'submitted'}/LEARNER/TOPIC/")
    _say(f"Then: graders mark {in_shell(cohort.root)}")
    return cohort


def opened(folder: Path) -> Cohort:
    """Return the cohort in a folder, in which nbgrader is made safe first, or raise Problem."""
    cohort = Cohort.open(folder)
    with contextlib.suppress(PermissionError):  # one who may only read is told by `tell_differences`
        configuration.bring_up_to_date(cohort)
    cohort.refuse_wrong_sheets()
    return cohort


def by_topic(names) -> dict[str, tuple[str, ...]]:
    """Return exercises named topic/exercise by their topic, or raise Problem for one there is not."""
    chosen = {}
    for name in names:
        topic, _, exercise = name.partition("/")
        check_topics([topic])
        if exercise not in [one.id for one in sheets.exercises(topic)]:
            known = ", ".join(one.id for one in sheets.exercises(topic))
            raise Problem(f"topic {topic} has no exercise {exercise!r}.", f"exercises are {known}")
        chosen[topic] = (*chosen.get(topic, ()), exercise)
    return chosen


def make_cohort(learners, folder, topics=(), title="", exercises=None, manner: Manner = PLAIN) -> Cohort:
    """Make a cohort's folder with a progress bar."""
    with progress("Handing out", len(learners)) as on_progress:
        done = []

        def one_more(learner: str) -> None:
            done.append(learner)
            on_progress(len(done), len(learners))

        return handing.make(learners, folder, topics, title, exercises, one_more, manner)


def check_topics(topics) -> None:
    """Raise Problem for a topic that has no sheet."""
    printable = handing.printable_topics()
    for topic in topics:
        if topic not in printable:
            raise Problem(f"there is no topic {topic!r} to hand out.", f"topics are {', '.join(printable)}")


def mark(
    folder: Path,
    topics=(),
    only=(),
    trust_submissions=False,
    came_in=(),
    limits: Limits = Limits(),
    policy=None,
    anew=False,
    received=None,
    pool: Pool | None = None,
) -> marking.Summary:
    """File what came in, mark a cohort, and print what came of it; by this machine's own pool where none is given."""
    cohort = replace(opened(folder), policy=policy)
    check_topics(topics)
    known = HandoutRecord(cohort.record).learners
    for learner in only:
        if learner not in known:
            raise Problem(f"{learner!r} is no learner of this cohort.", meant(learner, known))
    for source in came_in:
        if not source.exists():
            raise Problem(f"{source} is not there; nothing was filed or marked.", "look at the path and mark again")
        if cohort.root in (where := resolved(source), *where.parents):
            raise Problem(
                f"{source} is in the cohort's own folder; nothing was filed or marked.",
                f"to mark what is in submitted/: graders mark {in_shell(folder)}; "
                "copy anything else to a folder outside first",
            )
    with cohort.locked():
        if came_in:
            tell_filed(filing.file_all(cohort, came_in, received))
        tell_copies(filing.settle_copies(cohort))
        pool = pool or Pool(_plain if trust_submissions else contained.Contained)
        standing = Standing(cohort.settings().topics, set(marks_csv.names(cohort)))
        with progress("Marking", None) as on_progress:
            try:
                summary = marking.mark(cohort, pool, topics, only, limits, on_progress, anew, standing.add)
            except contained.CannotContain as reason:
                raise Problem(
                    f"strangers' notebooks cannot be run safely here: {reason}",
                    "mark on Linux with user namespaces",
                ) from None
    tell(cohort, summary, standing)
    tell_differences(cohort)
    if policy and policy != Cohort(cohort.root).settings().fresh_numbers:
        _say(f'CHECK  this run only: the next is by cohort.toml; to keep it, write fresh_numbers = "{policy}" there')
    return summary


def cluster(address: str, certificates: Path | None):
    """Return a pool of the workers of a cluster."""
    from graders.cluster.pool import Cluster

    return Cluster(_meeting(address, certificates))


def work(address: str, certificates: Path | None, processes: int) -> None:
    """Work for a cluster until stopped."""
    from graders.cluster import worker

    worker.serve(_meeting(address, certificates), processes)


def _meeting(address: str, certificates: Path | None):
    from graders.cluster.meeting import Meeting

    if importlib.util.find_spec("distributed") is None:
        raise Problem(
            "a cluster needs dask.distributed, which is not installed.", "pip install 'rework-workbook[cluster]'"
        )
    return Meeting.at(address, certificates)


def moment(words: str) -> datetime:
    """Return a time somebody gave, in UTC without saying so; without a zone it is this machine's. Or raise Problem."""
    tip = "write it as 2026-03-02T14:05, in your local time, or with a zone, as 2026-03-02T14:05+01:00"
    try:
        when = datetime.fromisoformat(words).astimezone(UTC).replace(tzinfo=None, microsecond=0)
    except (ValueError, OverflowError, OSError):
        raise Problem(f"{words!r} is no time.", tip) from None
    if when > clock.now() + timedelta(days=1) or when.year < 2000:
        raise Problem(f"{words!r} is not a time at which work can have come.", tip)
    return when


def tell_differences(cohort: Cohort) -> None:
    """Print where list, record, key and folder do not agree, and when topics are due."""
    for line in (*differences.lines(cohort), *configuration.doubts(cohort)):
        _say(f"CHECK  {line}")
    if due := cohort.settings().due_words():
        _say(f"DUE    {due}")
    for line in cohort.settings().held_back_words(clock.now()):
        _say(f"LATER  {line}")


def tell_filed(filed: filing.Filed) -> None:
    """Print what became of the files that came in."""
    _say(f"{filed.filed} filed, {filed.known} known already, {filed.set_aside} set aside.")
    for line in filed.replaced:
        _say(f"REPLACED {line}")
    for line in filed.quarantined:
        _say(f"HELD   {line}")
    if filed.quarantined:
        _say(
            "TIP    ask the sender for the notebook of their own handout, and mark again with that file; or, where you "
            "know whose it is: graders accept COHORT FILE --as LEARNER/TOPIC/EXERCISE"
        )
    if filed.held:
        _say(f"{count(filed.held, 'file')} held before, and not told again: see the folder held.")
    for line in filed.aside:
        _say(f"ASIDE  {line}")
    if filed.aside:
        _say("TIP    to take an older one all the same, mark with that file alone and --received TIME, when it came;")
        _say("TIP    to take one with fewer answers all the same, copy it over the file in submitted/, and mark again")
    for line in filed.unread:
        _say(f"LOOK   {line}")
    for line in filed.late:
        _say(f"LATE   {line}")
    if filed.late:
        _say("TIP    where files' clocks are those of a download, mark them again with --received TIME, when they came")
    if filed.others:
        kinds = Counter(map(kind, filed.others)).most_common()
        words = ", ".join(f"{many} {name}" for name, many in kinds)
        many = count(len(filed.others), "file")
        _say(f"LEFT   {many} with no notebook, as they were: {words}; the first: {filed.others[0]}")


def accept(folder: Path, file: Path, place: str, received=None, although_anothers=False) -> None:
    """Take a notebook for a learner's exercise because somebody says so, and say what was done."""
    cohort = opened(folder)
    record = HandoutRecord(cohort.record)
    learner, _, name = place.partition("/")
    if learner not in record.learners:
        raise Problem(f"{learner!r} is no learner of this cohort.", meant(learner, record.learners))
    handed = {f"{one.topic}/{one.exercise}": one for one in record.of(learner)}
    if name not in handed:
        raise Problem(f"{learner} was handed out no {name!r}.", f"write LEARNER/TOPIC/EXERCISE; {meant(name, handed)}")
    with cohort.locked():
        filed = filing.accept(cohort, file, handed[name], received, although_anothers)
    _say(f"Taken as {learner} / {handed[name].topic} / {handed[name].exercise}, and written down in accepted.jsonl.")
    for line in filed.replaced:
        _say(f"REPLACED {line}")
    for line in filed.late:
        _say(f"LATE   {line}")
    _say(f"Then: graders mark {in_shell(cohort.root)} --only {learner}")


def tell_copies(settled: filing.Filed) -> None:
    """Print which of two copies in a learner's folder counts, and which could not be looked at."""
    for line in settled.replaced:
        _say(f"COPY   {line}")
    for line in settled.aside:
        _say(f"COPY   {line}")
    for line in settled.unread:
        _say(f"LOOK   {line}")


def _plain():
    """Return a runner for notebooks that are trusted; what it needs is slow to load."""
    from graders.runner import plain

    return plain.Plain()


MOST_CHANGED = 200
"""Learners whose marks have changed that are told one by one."""
MOST_MISSING = 20
"""Learners named one by one who have not handed something in; the report names all."""


PEOPLE = {"needs a look": needs_a_look, "waits for a mark": waits}
"""What of an answer is a person's to do."""


class Standing:
    """What is told of a cohort after a marking, gathered a learner at a time."""

    def __init__(self, topics: Sequence[str], there: set[str]):
        self.cells: dict[str, dict[str, str]] = {}
        """The table of what changed: by learner, then by column."""
        self.changed = 0
        self.missing: dict[str, str] = {}
        """What has not come of whom, in words."""
        self.progress = class_page.ClassProgress()
        self._topics, self._there = topics, there
        self._came_otherwise: set[str] = set()

    @property
    def topics(self) -> list[str]:
        """The topics of which something came otherwise, in teaching order: a week's table shows that week's."""
        return [topic for topic in self._topics if topic in self._came_otherwise]

    def add(self, rows, before) -> None:
        """Add a learner's rows as they stand now, and what of them changed; as `run.OnMarks` says."""
        learner = rows[0].learner
        if learner not in self._there:
            return
        if before:
            self.changed += 1
            self._came_otherwise.update(before)
            if len(self.cells) < MOST_CHANGED:
                self.cells[learner] = _cells(rows, self._topics, before)
        words = _not_handed_in(rows)
        if words:
            self.missing[learner] = words
        self.progress.add(rows)


def tell(cohort: Cohort, summary: marking.Summary, standing: Standing) -> None:
    """Print the table of what changed, what needs a look, and where the files are."""
    if standing.cells:
        for table in tables_of_changes(cohort.settings().title, standing, summary.marks.names, console.width):
            console.print(table)
    else:
        _say("No mark has changed.")
    if standing.changed > len(standing.cells):
        _say(f"And {count(standing.changed - len(standing.cells), 'learner')} more: see {cohort.totals.name}.")
    tell_overrides(summary.marks.overrides())
    for problem in summary.problems:
        _say(f"LOOK   {problem}")
    missing = len(summary.not_handed_in)
    _say(f"{len(summary.marked)} marked now, {summary.unchanged} unchanged, {missing} not handed in.")
    if summary.why:
        _say("Why: " + ", ".join(f"{many} {why}" for why, many in summary.why.items()) + ".")
    for exercise, version in summary.asked_otherwise.items():
        if own.is_own(exercise.partition("/")[2]):
            _say(f"OTHER  {exercise}: its sheet asked otherwise when it was handed out; its marks stand as they were.")
            _say("TIP    put the sheet back as it was; a changed question goes into a new exercise with a new id")
            continue
        _say(f"OTHER  {exercise} was asked otherwise by version {version}, and its marks stand as they were.")
    if any(not own.is_own(exercise.partition("/")[2]) for exercise in summary.asked_otherwise):
        _say("TIP    mark these with the version that asked them, in an environment of its own")
    absent = [f"{learner}: {words}" for learner, words in standing.missing.items()]
    for line in absent[:MOST_MISSING]:
        _say(f"NOT IN {line}")
    if len(absent) > MOST_MISSING:
        _say(f"NOT IN and {count(len(absent) - MOST_MISSING, 'learner')} more: see the report")
    _say(f"Marks: {cohort.marks}; one row a learner: {cohort.totals}")
    with for_owner_only():
        page = pages.class_progress(cohort, standing.progress, summary.marks)
    _say(f"How far the class has come, without names: {page}")


def _not_handed_in(rows) -> str:
    """Say what a learner has not handed in: topics, or single exercises; nothing where all of it came."""
    came, missing = set(), {}
    for row in rows:
        if row.verdict is Code.NOT_HANDED_IN:
            missing.setdefault(row.topic, {})[row.exercise] = None
        else:
            came.add(row.topic)
    return ", ".join(f"{topic} ({', '.join(of)})" if topic in came else topic for topic, of in missing.items())


def _say(line: str) -> None:
    """Print a line, however long, in which nothing can move the cursor or begin another line."""
    console.print(printable(line), soft_wrap=True, markup=False, highlight=False)


def tell_overrides(overrides) -> None:
    """Print the marks by hand that stand over another automatic mark than the one they were given over."""
    if not overrides:
        return
    table = Table(title="Marks by hand whose automatic mark has changed: they stand", title_justify="left")
    for head in ("learner", "exercise", "part"):
        table.add_column(head, overflow="fold")
    for head in ("by hand", "automatic then", "automatic now"):
        table.add_column(head.replace(" ", "\n"), justify="right", no_wrap=True)
    for one in overrides:
        points = (f"{value:g}" for value in (one.by_hand, one.automatic_then, one.automatic_now))
        table.add_row(one.learner, one.exercise, one.part, *points)
    console.print(table)


ROOM_FOR_IDS = 8
"""Columns of a terminal that are kept for learners' ids; a longer one goes on below."""


def tables_of_changes(title: str, standing: Standing, learners: Iterable[str], width: int) -> list[Table]:
    """Return what changed, a line a learner, in one table or, where `width` columns do not hold it, in several.

    No number is broken or cut: what something came to before goes below, and so does the rest of a long id.
    """
    told = [learner for learner in learners if learner in standing.cells]
    columns = {head: [standing.cells[learner][head] for learner in told] for head in (*standing.topics, *PEOPLE)}
    if ROOM_FOR_IDS + sum(_room(head, cells) for head, cells in columns.items()) > width:
        columns = {head: [cell.replace(" (", "\n(") for cell in cells] for head, cells in columns.items()}
    parts: list[dict[str, list[str]]] = []
    left = 0
    for head, cells in columns.items():
        if not parts or _room(head, cells) > left:
            parts.append({})
            left = width - ROOM_FOR_IDS
        parts[-1][head] = cells
        left -= _room(head, cells)
    heads = [f"{printable(title)}: what changed", *["and further"] * len(parts)]
    return [_table(words, told, part) for words, part in zip(heads, parts, strict=False)]


def _room(head: str, cells: Sequence[str]) -> int:
    """Return how many columns of a terminal a table's column takes, with the two before it."""
    lines = [*head.split(), *(line for cell in cells for line in cell.split("\n"))]
    return 2 + max(map(cell_len, lines))


def _table(title: str, learners: Sequence[str], columns: dict[str, list[str]]) -> Table:
    """Return a table, a line a learner, in which nothing but an id gives way."""
    narrow = dict(box=box.SIMPLE_HEAD, show_edge=False, pad_edge=False, collapse_padding=True)
    table = Table(title=Text(title), title_justify="left", **narrow)
    table.add_column("learner", overflow="fold")
    for head in columns:
        table.add_column(head.replace(" ", "\n"), justify="right", no_wrap=True)
    for cells in zip(learners, *columns.values(), strict=True):
        table.add_row(*cells)
    return table


def _cells(own, topics, before) -> dict[str, str]:
    """Return a learner's points by topic, with what they were before, and how many answers need a person, and why."""
    shown = {}
    for topic in topics:
        rows = [row for row in own if row.topic == topic]
        shown[topic] = _points(rows) + _was(rows, before.get(topic))
    return shown | {head: str(sum(map(kind, own)) or "") for head, kind in PEOPLE.items()}


def _was(rows, before) -> str:
    """Return what a topic came to before; nothing where it is new or as it was. Marks by hand stand in both."""
    if not before:
        return ""
    judge_had = (before.get((row.exercise, row.part), 0.0) for row in rows)
    by_hand = (row.verdict is Code.MARKED_BY_HAND for row in rows)
    was = sum(row.points if given else had for row, given, had in zip(rows, by_hand, judge_had, strict=True))
    return f" (was {was:g})" if was != total(rows)[0] else ""


def _points(rows) -> str:
    rows = list(rows)
    if nothing_came(rows):
        return "-"
    earned, out_of = total(rows)
    return f"{earned:g}/{out_of}"


def report(folder: Path) -> Path:
    """Write feedback pages and the cohort's report, and say where they are."""
    cohort = opened(folder)
    record = HandoutRecord(cohort.record)
    cohort.settings().validate({(topic, exercise) for topic, exercise, *_ in record.editions}, record.learners)
    with cohort.locked(), progress("Writing pages", None) as on_progress:
        hand_copy.keep(cohort, gradebook.of(cohort))
        page = pages.everything(cohort, on_progress)
    _say(f"Report: {page}")
    tell_differences(cohort)
    return page


def write_mails(folder: Path, kind: str, topics=()) -> Path:
    """Write mails with handouts or feedback, ready to send, and say where they are."""
    cohort = opened(folder)
    check_topics(topics)
    with cohort.locked():
        written = mails.write(cohort, kind, topics)
    if not written.mails and not written.without_address:
        later = "graders report" if kind == mails.FEEDBACK else "graders handout"
        raise Problem(f"there is no file of {kind} to send.", f"write them first: {later}")
    _say(f"{count(written.mails, 'mail')} ready to send, none of them sent: {written.folder}")
    _say(f"The same as a list: {written.folder / 'list.csv'}")
    if written.without_address:
        who = ", ".join(_first(written.without_address))
        _say(f"CHECK  no e-mail address in learners.csv, column email: {who}")
    tell_differences(cohort)
    return written.folder


def paper(folder: Path, topic: str, exercises=()) -> Path:
    """Write a topic's sheets of paper, the key and a table to type answers into, and say where they are."""
    cohort = opened(folder)
    papers = asked.papers(cohort, topic)
    printed = papers.restricted(exercises) if exercises else papers
    with cohort.locked():
        paper_pages.write(cohort, printed)
        to_fill = cohort.paper_table(topic)
        if not to_fill.exists():
            table.write(to_fill, papers, entered.answers(cohort.entered), roster.manner(cohort.roster))
    sheets_folder = cohort.paper(topic)
    _say(f"Sheets of {count(len(papers.learners), 'learner')}: {sheets_folder}; all in one: {sheets_folder}.html")
    _say("Print them from a browser, on A4 or letter.")
    _say(f"The key, for you alone: {cohort.paper_key(topic)}")
    for line in _not_on_paper(printed):
        _say(f"CHECK  {line}")
    _say(f"To enter what comes back: graders enter {in_shell(cohort.root)} {topic}")
    _say(f"or fill in {to_fill}, then: graders enter {in_shell(cohort.root)} {topic} {in_shell(to_fill)}")
    return sheets_folder


def _not_on_paper(papers: asked.Papers) -> list[str]:
    """Say which parts cannot be asked on paper."""
    every = {(one.exercise, one.topic): one for of in papers.handed.values() for one in of}
    return [
        f"part {mark} of {one.exercise} cannot be answered on paper; its sheet says so"
        for one in every.values()
        for mark, part in asked.parts(one, sheets.find(one.topic, one.exercise))
        if not part.paper_lines
    ]


def enter(folder: Path, topic: str, file: Path | None, received=None, only=(), by_part=False, anew=False) -> None:
    """Enter answers from paper, asked for or from a table, and file them as what a learner handed in."""
    cohort = opened(folder)
    papers = asked.papers(cohort, topic, only)
    entering.refuse_late(cohort, papers, received)
    unclear: list[str] = []
    if file is None:
        try:
            terminal.ask(cohort, papers, lambda text: [_say(line) for line in text.split("\n")], by_part, anew)
        except (KeyboardInterrupt, EOFError):
            _say("")
    else:
        found, unclear = table.read(file, papers)
        stand = entered.answers(cohort.entered)
        with for_owner_only():
            for line, text in found:
                if stand.get(line.place) != text:
                    entered.append(cohort.entered, line.place, text)
        _say(f"{count(len(found), 'answer')} read.")
        for line in _first(unclear, most=MOST_MISSING):
            _say(f"LOOK   {line}")
    with cohort.locked():
        tell_filed(entering.file(cohort, papers, received))
    if unclear:
        _say("TIP    mend these cells and run the same command again; what was read is entered")
    _say(f"Then: graders mark {in_shell(cohort.root)} --topic {topic}")


def words(folder: Path, port: int = 0, opens_browser: bool = True) -> None:
    """Serve the pages on which answers in words are marked, until it is stopped, and say what was done."""
    from graders.words import server  # a web server is slow to load

    cohort = opened(folder)
    put_interpreter_on_path()
    served = server.Served(cohort, port)

    def ready() -> None:
        _say(f"Answers in words: {served.address}")
        _say("Only this machine reaches it. Every mark is saved at once; Ctrl+C ends it.")
        if opens_browser:
            webbrowser.open(served.address)

    with contextlib.suppress(KeyboardInterrupt), for_owner_only():
        served.run(ready)
    _say(f"{count(served.saved, 'mark')} saved. Then: graders report {in_shell(cohort.root)}")


def classroom(
    cohort: Path,
    port: int,
    address: str,
    tls: tuple[Path, Path] | None,
    more: Path | None,
    state: Path | None,
    only_look: bool,
) -> None:
    """Start a cohort's classroom. As root, who does not open the cohort: the service does, as the instructor."""
    from graders.classroom import opening

    opening.open_(cohort, port, address, tls, more, state, only_look, _say)


def anonymise(folder: Path, file: Path) -> None:
    """Write a cohort's marks without persons, and say what is in the file."""
    with for_owner_only():
        many = anonymous.export(opened(folder), file)
    _say(f"{file}: the marks of {count(many, 'learner')}, without name, id, time, answer or comment.")
    _say("Where late work lost points, that shows in them.")
    _say("Whoever knows somebody's marks can find the row: keep it where the class cannot read it.")


def compare(folder: Path, earlier: Path) -> Path:
    """Write the page that lays a cohort beside an earlier one, and say where it is."""
    cohort = opened(folder)
    then = anonymous.read(earlier)
    page = cohort.root / "report" / "beside.html"
    title = cohort.settings().title
    with for_owner_only():
        write_whole(page, beside_page.page(title, anonymous.of_cohort(cohort), earlier.resolve().name, then))
    _say(f"Beside {earlier}: {page}")
    return page


def backup(folder: Path, file: Path | None = None) -> Path:
    """Write a backup of a cohort, and say where it is and what it does not hold."""
    cohort = Cohort.open(folder)
    path = safe_copy.place(cohort, file, datetime.now())
    with cohort.locked():
        configuration.put_interpreter_on_path()
        written = safe_copy.write(cohort, path)
    _say(f"Backup: {path} ({count(written.files, 'file')}, {written.size / 1e6:.1f} MB, read back and whole)")
    _say("It holds the key and everybody's work: keep it on another disk, where only you can read it.")
    for name in written.left_out:
        _say(f"LOOK   {name}: is no plain file and is not in the backup")
    inbox = inbox_beside(cohort.root)
    if inbox.is_dir():
        _say(
            f"LOOK   {inbox}: what was handed in there is in a backup once it is marked: "
            f"graders mark {in_shell(folder)} {in_shell(inbox)}"
        )
    tell_differences(cohort)
    return path


def restore(file: Path, folder: Path) -> Cohort:
    """Put a backup back, and say what was put back, what stands, and what to do next."""
    configuration.put_interpreter_on_path()
    done = putting_back.restore(file, folder)
    cohort = Cohort.open(folder)
    _say(f"{count(len(done.files), 'file')} put back into {cohort.root}.")
    for name in done.aside:
        _say(f"ASIDE  {name}: was damaged or not this cohort's, and is kept under this name")
    for line in _first(["/".join(place) for place in done.by_hand]):
        _say(f"BACK   {line}: the mark by hand of the backup")
    if done.stand:
        _say(f"{count(len(done.stand), 'file')} of the cohort stand as they are, other than in the backup:")
    for name in _first(done.stand):
        _say(f"STANDS {name}")
    if done.stand:
        _say("TIP    to see them as they were, restore the backup into a new folder")
    if done.must_mark:
        _say(f"The gradebook is made again, with the marks by hand, by: graders mark {in_shell(cohort.root)}")
    else:
        totals.write(cohort, marks_csv.each_row_now(cohort))
        _say(f"Marks: {cohort.marks}")
    tell_differences(cohort)
    return cohort


def _first(lines: Sequence[str], most: int = 5) -> list[str]:
    """Return the first few lines, and how many more there are."""
    return [*lines[:most], *([f"and {len(lines) - most} more"] if len(lines) > most else [])]


def why(folder: Path, learner: str, exercise: str) -> None:
    """Print what the judge said of one learner's exercise, which may be given as its notebook is named."""
    cohort = opened(folder)
    record = HandoutRecord(cohort.record)
    learner = _whom(cohort, learner, record.learners)
    handed = {name: one for one in record.of(learner) for name in (one.exercise, one.notebook, f"{one.notebook}.ipynb")}
    if exercise not in handed:
        known = [one.exercise for one in record.of(learner)]
        raise Problem(f"{exercise!r} is no exercise of this cohort.", meant(exercise, known))
    one = handed[exercise]
    marks = marks_csv.Marks.of(cohort)
    rows = [row for row in marks.rows_of(learner) if (row.topic, row.exercise) == (one.topic, one.exercise)]
    result = marks.journal.get((learner, one.topic))
    numbers = result.numbers.get(one.exercise, {}) if result else {}
    exercise = sheets.find(one.topic, one.exercise)
    if entered.is_from_paper(cohort, one):
        _say(f"{entered.WORDS}.")
    for line in reasons.lines(rows, exercise, one.givens, numbers, pages.answers_given(cohort, exercise, one)):
        _say(line)


def check_sheets(folder: Path, new: str = "", topic: str = "", draws: int = own_sheets.DRAWS) -> None:
    """Write a first own sheet where one is asked for, check every own sheet of a folder, and say what is wrong."""
    if folder.exists() and not folder.is_dir():
        raise Problem(f"{folder} is a file.", "name a cohort's folder, or the one it will be made in")
    if new:
        check_topics([topic])
        with for_owner_only():
            _say(f"Written: {own_sheets.write_first(folder, new, topic)}")
    wrong = 0
    for problem in own.use(folder):
        _say(f"WRONG  {problem.in_sentences}")
        wrong += 1
    rules = shop_rules.read(folder)
    if not rules:
        _say(f"TIP    {shop_rules.FILE} may set {', '.join(shop_rules.ranges())}")
    for rule in rules.values():
        _say(f"SHOP   {rule.words()}")
    for line in own_sheets.all_unruly({name: rule.value for name, rule in rules.items()}):
        _say(f"WRONG  {shop_rules.FILE}: {line}.")
        wrong += 1
    if not own.files(folder) and not rules:
        raise Problem(
            f"{folder} has no own sheets and no {shop_rules.FILE}.",
            f"write a first one: graders sheets {in_shell(folder)} --new NAME --topic TOPIC",
        )
    for sheet in own.every(folder):
        found = list(own_sheets.faults(sheet, draws))
        wrong += len(found)
        for line in found:
            _say(f"WRONG  {sheet.name}: {line}.")
        if not found:
            held = ", ".join(f"{sheet.topic}/{one.id}" for one in sheet.exercises)
            _say(f"HOLDS  {sheet.name}: {held}, on {draws} sets of numbers")
    if wrong:
        raise Problem(f"{count(wrong, 'thing')} wrong.", "mend what is said above, and run the same again")


def _whom(cohort: Cohort, words: str, there: Sequence[str]) -> str:
    """Return the learner whose id or name somebody typed, accents and capitals as may be, or raise Problem."""
    if words in there:
        return words
    people = {one.id: one.name for one in roster.read(cohort.roster, may_be_empty=True) if one.id in there}
    found = find.people(words, people)
    if len(found) == 1:
        return found[0]
    if found:
        raise Problem(
            f"{words!r} may be {', '.join(f'{people[one]} ({one})' for one in found[:5])}.", "give one of these ids"
        )
    raise Problem(f"{words!r} is no learner of this cohort.", meant(words, there))


def slips(topic: str, exercise: str | None) -> None:
    """Print what a change in a working gives that no slip of the sheet names: in the band first, then the likeliest."""
    check_topics([topic])
    chosen = [one for one in sheets.exercises(topic) if exercise in (None, one.id)]
    if not chosen:
        known = [one.id for one in sheets.exercises(topic)]
        raise Problem(f"topic {topic} has no exercise {exercise!r}.", meant(exercise, known))
    for one, part in near_misses.untried(chosen):
        _say(f"{one.id}/{part.name}  not tried: its working is not read, or does not give what the part expects.")
    found = sorted(near_misses.unnamed(chosen), key=lambda one: (not one.inside, one.rank))
    for one in found:
        how = "inside the band" if one.inside else "no slip, likely" if one.rank < 1 else "no slip"
        _say(f"{one.exercise}/{one.part}  {how}: {one.value:.5g} when {one.what}")
    inside, likely = sum(one.inside for one in found), sum(one.rank < 1 and not one.inside for one in found)
    _say(f"{inside} inside a band, {len(found) - inside} that no hand-written slip names, {likely} of them likely.")


def floor(exercises=(), draws: int = 12) -> None:
    """Print what answers without the method earn at most, of every exercise or of those named."""
    chosen = by_topic(exercises) or dict.fromkeys(handing.printable_topics(), ())
    above = 0
    for topic, names in chosen.items():
        for exercise in sheets.exercises(topic):
            if names and exercise.id not in names:
                continue
            numbers = [exercise.draw(b"floor", f"draw {draw}") for draw in range(draws)]
            most = floors.most_without_the_method(exercise, numbers)
            is_above = most.share > exercise.floor + 1e-9
            above += is_above
            where = f"{'ABOVE  ' if is_above else ''}{topic}/{exercise.id}"
            _say(f"{where}: {most.share:.2f}, floor {exercise.floor:.2f} ({most.rules})")
            for name, points in most.points.items():
                _say(f"    {name}: {points:.2g} of {exercise.part(name).points}")
    _say(f"{above} above the floor they declare.")
