"""Where a cohort's list of learners, record, key and folder do not agree, a line each with what to do."""

from collections.abc import Iterable

from graders import sheets
from graders.cohort import record as records
from graders.cohort import roster
from graders.cohort.paths import Cohort
from graders.cohort.record import HandoutRecord
from graders.cohort.roster import Learner
from graders.sheets import own
from workbook.problems import Problem, meant
from workbook.references import shop as shop_rules
from workbook.terminal import in_shell

MOST_NAMED = 5


def lines(cohort: Cohort, record: HandoutRecord | None = None) -> list[str]:
    """Return one line for each thing that somebody should put right; none where all agrees."""
    record = record or HandoutRecord(cohort.record)
    people = roster.read(cohort.roster, may_be_empty=True) if cohort.roster.exists() else []
    rows = [learner.id for learner in people]
    handed = record.learners
    without_handout = [one for one in rows if one not in set(handed)]
    without_row = [one for one in handed if one not in set(rows)]
    again = f"graders handout {in_shell(cohort.roster)} --to {in_shell(cohort.root)}"
    found = []
    if record.torn:
        found.append(f"record.jsonl: its last line was cut off and counts for nothing; run: {again}")
    if record.doubled:
        whose = _named(record.doubled)
        found.append(f"record.jsonl repeats exercises of {whose}: the first line counts; work sealed otherwise is held")
    if without_row:
        near = f"; {meant(without_row[0], without_handout)}" if without_handout else ""
        found.append(
            f"learners.csv has no row for {_named(without_row)}, who got a handout{near} "
            'An id stays for ever: put the row back, with "left" where somebody left'
        )
    if without_handout:
        found.append(f"learners.csv names {_named(without_handout)}, who got no handout; run: {again}")
    settings = cohort.settings()
    behind: dict[str, list[str]] = {}
    for learner, topics in without(people, record, settings.topics).items():
        for topic in topics if learner not in without_handout else ():
            behind.setdefault(topic, []).append(learner)
    found += [f"topic {topic} was not handed out to {_named(who)}; run: {again}" for topic, who in behind.items()]
    if settings.late != "none" and not settings.due:
        found.append(f'cohort.toml: late = "{settings.late}" costs nothing, for no topic is due')
    found += [f"{problem} {problem.tip}" for problem in own.use(cohort.root)] + _sheets(record)
    found += _shop(cohort, record)
    found += _key(cohort, record) + _open_to_others(cohort)
    return found


def without(people: Iterable[Learner], record: HandoutRecord, topics: Iterable[str]) -> dict[str, list[str]]:
    """Return, of those who have no handout of some of these topics, of which; who left and has one gets no more."""
    found = {}
    for one in people:
        had = record.topics_of(one.id)
        missing = [topic for topic in topics if topic not in had]
        if missing and not (one.left and had):
            found[one.id] = missing
    return found


def refuse_wrong_key(cohort: Cohort, record: HandoutRecord) -> None:
    """Raise Problem where the cohort's key is not the one its handouts were sealed with."""
    one = next(iter(record), None)
    sealed_by = cohort.secret()
    if one is None:
        return
    if records.seal(sealed_by, one.learner, one.topic, one.exercise, one.edition, one.givens) != one.seal:
        raise Problem(
            f"{cohort.root / 'cohort.key'} is not the key this cohort was handed out with.",
            f"put the right one back: graders restore BACKUP {in_shell(cohort.root)}; without it nobody can be added",
        )


def _sheets(record: HandoutRecord) -> list[str]:
    """Say which own sheets are other than when they were handed out, and which came after their topic."""
    found = []
    for topic, exercise, sheet in sorted(record.sheets):
        now = [one.sheet for one in sheets.own_exercises(topic) if one.id == exercise]
        if now and now != [sheet]:
            found.append(f"the sheet of {topic}/{exercise} is not as it was handed out: it is marked as it is now")
    handed = {(topic, exercise) for topic, exercise, *_ in record.sheets}
    for topic in sorted(record.topics):
        found += [
            f"{topic}/{one.id} was not handed out: its sheet came after its topic; it can go out with another topic"
            for one in sheets.own_exercises(topic)
            if (topic, one.id) not in handed
        ]
    return found


def _shop(cohort: Cohort, record: HandoutRecord) -> list[str]:
    """Say what is wrong with shop.toml, which rules changed since a topic was handed out, and which are lax."""
    try:
        rules = shop_rules.read(cohort.root)
    except Problem as problem:
        return [f"{problem} {problem.tip}"]
    found = [f"shop.toml: {rule.words()}" for rule in rules.values() if rule.is_lax]
    now = {name: rule.value for name, rule in rules.items()}
    changed: dict[str, list[str]] = {}
    for topic, then in record.shops.items():
        for name in sorted(name for name in {*then, *now} if then.get(name) != now.get(name)):
            were = f"{then[name]:g}" if name in then else "no rule"
            changed.setdefault(f"{name} was {were}", []).append(topic)
    return found + [
        f"shop.toml: {words} when {', '.join(topics)} went out; what was handed out is marked by that"
        for words, topics in changed.items()
    ]


def _key(cohort: Cohort, record: HandoutRecord) -> list[str]:
    try:
        refuse_wrong_key(cohort, record)
    except Problem as problem:
        return [f"{problem} {problem.tip}"]
    return []


def _open_to_others(cohort: Cohort) -> list[str]:
    """Say where other users of the machine can come at the cohort; a learner may be one of them."""
    modes = {path: path.stat().st_mode & 0o077 for path in (cohort.root, cohort.root / "cohort.key") if path.exists()}
    if modes.get(cohort.root):
        return [f"other users of this machine can look into {cohort.root}; run: chmod 700 {in_shell(cohort.root)}"]
    if any(modes.values()):
        return [f"cohort.key may be read by others; run: chmod 600 {cohort.root / 'cohort.key'}"]
    return []


def _named(learners: Iterable[str]) -> str:
    """Return the first few names and how many more there are."""
    names = list(learners)
    more = f" and {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else ""
    return ", ".join(names[:MOST_NAMED]) + more
