"""What cohort.toml says, and whether it agrees with what was handed out."""

import json
import re
import tomllib
from collections.abc import Collection
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from itertools import pairwise
from pathlib import Path
from typing import Any

from graders import sheets
from graders.cohort import clock
from graders.cohort.tables import DECIMAL_SIGNS, DELIMITERS, Manner
from workbook.problems import Problem, meant
from workbook.references.shop import ENDLESS_NUMBER
from workbook.topics import SLUGS

SETTINGS = """\
# Settings of this cohort. Everything may be edited before marking; the numbers handed out are in record.jsonl.

title = "{title}"
topics = {topics}
exercises = {exercises}   # of a topic named here, only these; without, all of it

# What a part earns whose answer does not follow fresh numbers: "flag" (nothing is taken), "half" or "zero".
# A cost is fair only if the handout says so; "flag" needs no saying.
fresh_numbers = "flag"

# When topics are due, on the clocks of this time zone, and who may be later: by how many hours, or until when.
# Late work loses nothing ("none"), everything ("zero"), or a share for each day begun, such as "10 % a day".
timezone = "{timezone}"     # such as "Europe/Vienna"; "local" is the zone this machine is set to
late = "none"
due = {{}}                     # {{ profile = 2026-12-01T18:00:00 }}
extensions = {{}}              # {{ "amber/profile" = 48, "birch/profile" = 2026-12-04T18:00:00 }}

# From when on a topic's feedback goes to learners; and whether its page shows the working with their own numbers: for
# all topics, or by topic, or from a later time on, so that there is time to try again.
feedback_from = {{}}           # {{ profile = 2026-12-04T18:00:00 }}
show_working = true          # {{ profile = false, shorts = 2026-12-08T18:00:00 }}
# In a classroom (graders classroom) learners read their feedback themselves, of the topics that are named here, once
# graders report has written it; a time above holds it back all the same.
released = []                # ["profile"]

# Who passes, in per cent of the points: of all topics together, of each topic, or of one by its name. And the grades of
# report/totals.csv, each with the per cent of all points from which on it is given; the lowest from 0 on.
to_pass = {{}}                 # {{ total = 50, each_topic = 40, signoff = 60 }}
grades = {{}}                  # {{ "A" = 90, "B" = 75, "C" = 60, "D" = 50, "E" = 0 }}
# How report/totals.csv is written; as learners.csv where nothing is said.
tables = {{}}                  # {{ delimiter = ";", decimal = "," }}

# A faulty part is dropped here, never edited in place. This stays at the end of the file; one [[void]] for each part:
# [[void]]
# topic = "profile"
# exercise = "bead-lag"
# part = "lag"
# points = "drop"          # "drop" counts it for nobody, "full" gives everybody full points
# reason = "the table was printed with two rows swapped"
"""

PUT_BACK = "put it back: what was handed out stays; a part that shall not count goes into a [[void]]"
MEND = "mend the setting"
POLICIES = ("flag", "half", "zero")
VOID_POINTS = ("drop", "full")
A_DAY = re.compile(r"([1-9]\d?|100) ?% a day")
LATE_WAYS = 'write late = "none", late = "zero", or a share for each day begun, such as late = "10 % a day"'
TOTAL, EACH_TOPIC = "total", "each_topic"
TABLES = 'write it like this: tables = { delimiter = ";", decimal = "," }; a tab is "\\t"'
DAY = timedelta(days=1)
MOST_HOURS = 366 * 24
EXTENSION = 'write it like this: "amber/profile" = 48 (hours), or "amber/profile" = 2026-12-04T18:00:00'


@dataclass(frozen=True)
class Void:
    """A part that counts for nobody (``drop``) or fully for everybody (``full``), and why."""

    topic: str
    exercise: str
    part: str
    points: str
    reason: str

    @property
    def drops(self) -> bool:
        """Whether the part counts for nobody."""
        return self.points == "drop"


@dataclass(frozen=True)
class Settings:
    """What cohort.toml says."""

    title: str
    topics: tuple[str, ...]
    fresh_numbers: str = "flag"
    show_working: bool | dict[str, bool | datetime] = True
    """For all topics, or by topic, at all or from when on."""
    void: tuple[Void, ...] = field(default=())
    late: str = "none"
    due: dict[str, datetime] = field(default_factory=dict)
    extensions: dict[tuple[str, str], timedelta] = field(default_factory=dict)
    exercises: dict[str, tuple[str, ...]] = field(default_factory=dict)
    timezone: str = "UTC"
    """Whose clocks the due times were written by; version 0.1.0 wrote them in UTC."""
    feedback_from: dict[str, datetime] = field(default_factory=dict)
    """From when on a topic's feedback goes to learners."""
    released: tuple[str, ...] = ()
    """The topics of which a classroom's learners may read their feedback."""
    to_pass: dict[str, float] = field(default_factory=dict)
    """Per cent of the points that are asked for, by topic, `TOTAL` and `EACH_TOPIC`."""
    grades: dict[str, float] = field(default_factory=dict)
    """Grades, each with the per cent of all points from which on it is given."""
    tables: dict[str, str] = field(default_factory=dict)
    """What of the tables' manner is said: ``delimiter``, ``decimal``."""

    def due_words(self) -> str:
        """Return when each topic is due on the cohort's clocks, in one line; nothing where none is."""
        moments = (f"{topic} {clock.bare(moment, self.timezone)}" for topic, moment in self.due.items())
        return f"{', '.join(moments)} ({clock.zone_words(self.timezone)})" if self.due else ""

    @property
    def late_words(self) -> str:
        """What late work loses, in a sentence; nothing where it loses nothing or nothing is due."""
        if not self.due or self.late == "none":
            return ""
        if self.late == "zero":
            return "What came after its due time earns nothing."
        return f"What came after its due time loses {self.lost_a_day * 100:.0f} % of its points for each day begun."

    @property
    def lost_a_day(self) -> float:
        """The share of its points that late work loses for each day begun."""
        by_the_day = A_DAY.fullmatch(self.late)
        return int(by_the_day[1]) / 100 if by_the_day else float(self.late == "zero")

    def due_for(self, learner: str, topic: str) -> datetime | None:
        """Return when a topic is due for a learner, extension included, or None where it is never due."""
        due = self.due.get(topic)
        return due + self.extensions.get((learner, topic), timedelta(0)) if due else None

    def days_late(self, learner: str, topic: str, when: datetime | None) -> int:
        """Return how many days after its due time something came, each day begun counting; 0 is in time."""
        due = self.due_for(learner, topic)
        return -(-(when - due) // DAY) if when is not None and due is not None and when > due else 0

    def counts(self, learner: str, topic: str, when: datetime | None) -> float:
        """Return the share of its points that counts of something that came then."""
        days = self.days_late(learner, topic, when)
        return round(max(0.0, 1 - days * self.lost_a_day), 4)

    def came_words(self, learner: str, topic: str, when: datetime | None) -> str:
        """Say when something came and when it was due, by the cohort's clocks; nothing where no time is known."""
        if when is None:
            return ""
        words = f"came {clock.words(when, self.timezone)}"
        due = self.due_for(learner, topic)
        if due is None:
            return words
        words += f", due {clock.words(due, self.timezone)}"
        days = self.days_late(learner, topic, when)
        return f"{words}: late, {'1 day' if days == 1 else f'{days} days'} begun" if days else words

    def shows_working(self, topic: str, now: datetime) -> bool:
        """Whether a topic's feedback page shows the working at this moment, in UTC without saying so."""
        if isinstance(self.show_working, bool):
            return self.show_working
        said = self.show_working.get(topic, True)
        return said if isinstance(said, bool) else now >= said

    def gives_feedback(self, topic: str, now: datetime) -> bool:
        """Whether a topic's feedback may go to learners at this moment, in UTC without saying so."""
        return topic not in self.feedback_from or now >= self.feedback_from[topic]

    def has_released(self, topic: str, now: datetime) -> bool:
        """Whether a classroom's learners may read a topic's feedback at this moment, in UTC without saying so.

        >>> settings = Settings("Spring", ("profile",), feedback_from={"profile": datetime(2026, 12, 4)})
        >>> settings = replace(settings, released=("profile",))
        >>> [settings.has_released("profile", datetime(2026, 12, day)) for day in (3, 5)]
        [False, True]
        """
        return topic in self.released and self.gives_feedback(topic, now)

    def held_back_words(self, now: datetime) -> list[str]:
        """Return of each topic whose feedback is held back until when."""
        return [
            f"{topic}: feedback goes to learners from {clock.words(moment, self.timezone)} on"
            for topic, moment in self.feedback_from.items()
            if not self.gives_feedback(topic, now)
        ]

    def hands_out(self, topic: str, exercise: str) -> bool:
        """Whether an exercise of one of the cohort's topics is handed out."""
        return topic not in self.exercises or exercise in self.exercises[topic]

    def manner(self, roster: Manner) -> Manner:
        """Return how tables are written: as the list of learners is, but for what is said here."""
        return replace(roster, **self.tables)

    def asked_of(self, topic: str) -> float:
        """Return the per cent of its points that a topic asks for by itself; 0 where it asks for none."""
        return self.to_pass.get(topic, self.to_pass.get(EACH_TOPIC, 0.0))

    def grade(self, per_cent: float) -> str:
        """Return the grade of so many per cent of all points; nothing where the cohort has no grades.

        >>> Settings("Spring", (), grades={"A": 80, "B": 0}).grade(79.99)
        'B'
        """
        reached = [(least, name) for name, least in self.grades.items() if per_cent >= least]
        return max(reached)[1] if reached else ""

    def is_late(self, learner: str, topic: str, when: datetime | None) -> bool:
        """Whether something came after its due time, extension included. What has no time is not late."""
        return self.days_late(learner, topic, when) > 0

    def voided(self, topic: str, exercise: str, part: str) -> Void | None:
        """Return how a part is voided, or None."""
        return next((v for v in self.void if (v.topic, v.exercise, v.part) == (topic, exercise, part)), None)

    def is_to_come(self, topic: str, handed_out: Collection[str]) -> bool:
        """Whether a topic is one of the cohort's that nobody was handed yet."""
        return topic in self.topics and topic not in handed_out

    def validate(self, handed_out: Collection[tuple[str, str]], learners: Collection[str]) -> None:
        """Raise Problem for a setting that names a topic, exercise, part or learner which this cohort has not.

        Parameters
        ----------
        handed_out : collection of (topic, exercise)
        learners : collection of str
            Everyone who was handed something.
        """
        topics = {topic for topic, _ in handed_out}
        if not topics:
            return
        for topic in sorted(topics.difference(self.topics)):
            raise Problem(f"cohort.toml leaves out topic {topic!r}, which was handed out.", PUT_BACK)
        exercises = {f"{topic}/{exercise}" for topic, exercise in handed_out}
        for topic, names in self.exercises.items():
            coming = {f"{topic}/{one.id}" for one in sheets.exercises(topic)} if self.is_to_come(topic, topics) else ()
            for name in names:
                _known("exercise handed out", f"{topic}/{name}", coming or exercises)
        for topic, exercise in sorted(handed_out):
            if not self.hands_out(topic, exercise):
                raise Problem(f"cohort.toml leaves out {topic}/{exercise}, which was handed out.", PUT_BACK)
        places = [f"{void.topic}/{void.exercise}/{void.part}" for void in self.void]
        for place in places:
            if places.count(place) > 1:
                raise Problem(f"cohort.toml voids {place} twice.", "leave one [[void]] of it")
        for void in self.void:
            _known("exercise to void", f"{void.topic}/{void.exercise}", exercises)
            _known("part to void", void.part, [part.name for part in sheets.find(void.topic, void.exercise).parts])
        for learner, _ in self.extensions:
            _known("learner with an extension", learner, learners)


def read(root: Path, policy: str | None = None) -> Settings:
    """Read a cohort's cohort.toml, or raise Problem saying what to mend. ``policy`` stands over its fresh_numbers."""
    where = root / "cohort.toml"
    raw = _written(where)
    topics, timezone = _topics(where, raw), _timezone(where, raw)
    if raw.get("fresh_numbers", "flag") not in POLICIES:
        raise Problem(f"{where}: fresh_numbers must be one of {', '.join(POLICIES)}", MEND)
    due = _moments(where, "due", raw.get("due", {}), timezone)
    return Settings(
        title=raw.get("title", root.name),
        topics=topics,
        fresh_numbers=policy or raw.get("fresh_numbers", "flag"),
        show_working=_show_working(where, raw, timezone),
        feedback_from=_moments(where, "feedback_from", raw.get("feedback_from", {}), timezone),
        released=_released(where, raw.get("released", []), topics),
        void=tuple(_void(where, fields) for fields in raw.get("void", [])),
        late=_late(where, raw),
        due=due,
        extensions=_extensions(where, raw.get("extensions", {}), due, timezone),
        exercises=_exercises(where, raw.get("exercises", {})),
        timezone=timezone,
        to_pass=_to_pass(where, raw.get("to_pass", {})),
        grades=_grades(where, raw.get("grades", {})),
        tables=_tables(where, raw.get("tables", {})),
    )


def _written(where: Path) -> dict[str, Any]:
    """Return what a file sets, by name: each a setting there is, and of the kind it must be."""
    try:
        text = where.read_text(encoding="utf-8-sig")
        if ENDLESS_NUMBER.search(text):
            raise Problem(f"{where} holds a number with too many digits.", MEND)
        raw = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, UnicodeDecodeError, OSError, RecursionError) as error:
        twice = "void" in str(error) and "take out the line void = []: it cannot stand beside a [[void]]"
        raise Problem(f"{where} cannot be read: {error}", twice or "mend the file and run the command again") from None
    for key in raw:
        if key not in KNOWN:
            raise Problem(f"{where}: unknown setting {key!r}", f"known settings: {', '.join(sorted(KNOWN))}")
    for key, (kind, example) in KNOWN.items():
        if key in raw and not isinstance(raw[key], kind):
            raise Problem(f"{where}: {key} is not written as it must be.", f"write it like this: {key} = {example}")
    return raw


def _topics(where: Path, raw: dict[str, Any]) -> tuple[str, ...]:
    topics = raw.get("topics", SLUGS)
    if not topics or not all(topic in SLUGS for topic in topics) or len(set(topics)) < len(topics):
        raise Problem(f"{where}: topics must be a list of {', '.join(SLUGS)}, each once", "mend the list")
    return tuple(topics)


def _timezone(where: Path, raw: dict[str, Any]) -> str:
    timezone: str = raw.get("timezone", "UTC")
    try:
        clock.zone(timezone)
    except ValueError as error:
        raise Problem(f"{where}: {error}", 'write it like this: timezone = "Europe/Vienna"') from None
    return timezone


def _late(where: Path, raw: dict[str, Any]) -> str:
    late: str = raw.get("late", "none")
    if late not in ("none", "zero") and not A_DAY.fullmatch(late):
        raise Problem(f"{where}: late = {late!r} is no cost of late work.", LATE_WAYS)
    return late


def _show_working(where: Path, raw: dict[str, Any], timezone: str) -> bool | dict[str, bool | datetime]:
    """Return whether workings are shown, or from when on, by topic."""
    said: bool | dict[str, Any] = raw.get("show_working", True)
    if isinstance(said, bool):
        return said
    later = {topic: moment for topic, moment in said.items() if not isinstance(moment, bool)}
    working = said | _moments(where, "show_working", later, timezone)
    _of_topics(where, "show_working", working)
    return working


KNOWN: dict[str, tuple[type | tuple[type, ...], str]] = {
    "title": (str, '"Spring"'),
    "topics": (list, '["profile", "shorts"]'),
    "exercises": (dict, '{ profile = ["bead-lag"] }'),
    "fresh_numbers": (str, '"flag"'),
    "timezone": (str, '"Europe/Vienna"'),
    "late": (str, '"none"'),
    "due": (dict, "{ profile = 2026-12-01T18:00:00 }"),
    "extensions": (dict, '{ "amber/profile" = 48 }'),
    "feedback_from": (dict, "{ profile = 2026-12-04T18:00:00 }"),
    "show_working": ((bool, dict), "true"),
    "released": (list, '["profile"]'),
    "to_pass": (dict, "{ total = 50, each_topic = 40 }"),
    "grades": (dict, '{ "A" = 80, "B" = 60, "C" = 0 }'),
    "tables": (dict, '{ delimiter = ";", decimal = "," }'),
    "void": (list, "[]"),
}
"""Every setting, the kind it must be, and how it is written."""


def _per_cent(value: object) -> bool:
    """Whether something is a number of per cent that can be reached."""
    return isinstance(value, (int, float)) and not isinstance(value, bool) and 0 <= value <= 100


def _to_pass(where: Path, fields: dict[str, Any]) -> dict[str, float]:
    for name, value in fields.items():
        if name not in (TOTAL, EACH_TOPIC, *SLUGS):
            raise Problem(
                f"{where}: to_pass names {name!r}.", f"name {TOTAL}, {EACH_TOPIC} or a topic: {', '.join(SLUGS)}"
            )
        if not _per_cent(value):
            raise Problem(f"{where}: to_pass, {name}: {value!r} is no per cent.", "write a number from 0 to 100")
    return fields


def _grades(where: Path, fields: dict[str, Any]) -> dict[str, float]:
    for name, value in fields.items():
        if not _per_cent(value):
            raise Problem(f"{where}: grade {name!r}: {value!r} is no per cent.", "write a number from 0 to 100")
        if not name.strip() or not name.isprintable():
            raise Problem(
                f"{where}: a grade is called {name!r}.", "give it a name of letters, digits or other characters"
            )
    met = sorted(fields.values())
    for one, other in pairwise(met):
        if one == other:
            raise Problem(f"{where}: two grades begin at {one:g} per cent.", "let each begin at its own")
    if met and met[0] != 0:
        raise Problem(f"{where}: below {met[0]:g} per cent there is no grade.", "let the lowest grade begin at 0")
    return fields


def _tables(where: Path, fields: dict[str, Any]) -> dict[str, str]:
    known = {"delimiter": DELIMITERS, "decimal": DECIMAL_SIGNS}
    for name, value in fields.items():
        if name not in known or value not in known[name]:
            raise Problem(f"{where}: tables, {name} = {value!r} cannot be.", TABLES)
    if fields.get("delimiter") == fields.get("decimal") == ",":
        raise Problem(f"{where}: the comma cannot separate the cells and be the decimal sign too.", TABLES)
    return fields


def _exercises(where: Path, fields: dict[str, Any]) -> dict[str, tuple[str, ...]]:
    sound = all(
        topic in SLUGS and isinstance(names, list) and names and all(isinstance(name, str) for name in names)
        for topic, names in fields.items()
    )
    if not sound:
        raise Problem(f'{where}: exercises need names, such as profile = ["bead-lag"]', MEND)
    return {topic: tuple(names) for topic, names in fields.items()}


def _moments(where: Path, name: str, fields: dict[str, Any], timezone: str) -> dict[str, datetime]:
    """Return the moments of topics, in UTC without saying so, or raise Problem."""
    _of_topics(where, name, fields)
    try:
        return {topic: clock.as_utc(moment, timezone) for topic, moment in fields.items()}
    except (AttributeError, OverflowError, ValueError, TypeError):
        raise Problem(f"{where}: {name} needs a date and a time, such as 2026-12-01T18:00:00", MEND) from None


def _of_topics(where: Path, name: str, fields: dict[str, Any]) -> None:
    if not set(fields) <= set(SLUGS):
        raise Problem(f"{where}: {name} needs topics, such as profile = 2026-12-01T18:00:00", MEND)


def _released(where: Path, named: list[Any], topics: Collection[str]) -> tuple[str, ...]:
    for topic in named:
        if topic not in topics:
            raise Problem(f"{where}: released names {topic!r}.", f"name topics of this cohort: {', '.join(topics)}")
        if named.count(topic) > 1:
            raise Problem(f"{where}: released names {topic!r} twice.", "name it once")
    return tuple(named)


def _extensions(
    where: Path, fields: dict[str, Any], due: dict[str, datetime], timezone: str
) -> dict[tuple[str, str], timedelta]:
    granted = {}
    for words, given in fields.items():
        learner, _, topic = words.partition("/")
        if not learner or topic not in SLUGS:
            raise Problem(f"{where}: {words!r} is no LEARNER/TOPIC to extend.", EXTENSION)
        if topic not in due:
            raise Problem(
                f"{where}: {words!r} has an extension, and {topic} is never due.",
                f"write when it is due: due = {{ {topic} = 2026-12-01T18:00:00 }}; or take the extension out",
            )
        granted[learner, topic] = _longer(where, words, given, due[topic], timezone)
    return granted


def _longer(where: Path, words: str, given: Any, due: datetime, timezone: str) -> timedelta:
    """Return by how much an extension is longer than the due time: hours as a number, or a date and a time."""
    number = isinstance(given, (int, float)) and not isinstance(given, bool)
    if number and 0 <= given <= MOST_HOURS:
        return timedelta(hours=given)
    if not isinstance(given, datetime):
        raise Problem(f"{where}: the extension {words!r} is not written as it must be.", EXTENSION)
    try:
        longer = clock.as_utc(given, timezone) - due
    except (OverflowError, ValueError):
        raise Problem(f"{where}: the extension {words!r} is no time.", EXTENSION) from None
    if not timedelta(0) <= longer <= timedelta(hours=MOST_HOURS):
        raise Problem(f"{where}: the extension {words!r} ends before the topic is due, or in years.", EXTENSION)
    return longer


def _void(where: Path, fields: dict[str, Any]) -> Void:
    wanted = {"topic", "exercise", "part", "points", "reason"}
    sound = isinstance(fields, dict) and set(fields) == wanted and all(isinstance(it, str) for it in fields.values())
    if not sound or fields["points"] not in VOID_POINTS:
        raise Problem(
            f"{where}: a [[void]] needs {', '.join(sorted(wanted))}, with points {' or '.join(VOID_POINTS)}",
            "mend the entry",
        )
    return Void(**fields)


def settings_text(title: str, topics: tuple[str, ...], exercises: dict[str, tuple[str, ...]]) -> str:
    """Return the text of a new cohort.toml."""
    chosen = ", ".join(f"{topic} = {json.dumps(list(names))}" for topic, names in exercises.items())
    return SETTINGS.format(
        title=json.dumps(title, ensure_ascii=False)[1:-1],
        topics=json.dumps(list(topics)),
        exercises=f"{{ {chosen} }}" if chosen else "{}",
        timezone=clock.machine_zone(),
    )


def _known(what: str, name: str, there_are: Collection[str]) -> None:
    """Raise Problem for a name that is not among those there are, with the one that may be meant."""
    if name in there_are:
        return
    raise Problem(f"cohort.toml names {name!r} as {what}; there is none of that name.", meant(name, there_are))
