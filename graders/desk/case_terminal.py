"""A case in a terminal: one act after another, kept after each, until it is over or one leaves it."""

from rich.console import Console

from graders.desk.terminal import narrow, say, typed, word
from workbook.case import acts, afterwards, keeping, shown
from workbook.case.acts import GROUPS, NUMBERS, WORDS, Unknown
from workbook.case.playing import Case, Step, hours_and_minutes
from workbook.problems import Problem

HELP = (
    "Type an act, or its number in the list. Or a word: acts (all of them), so far (your way), list (to copy into a "
    "notebook), help, end (leave it; it is kept)."
)
ORDER = [one for group in GROUPS.values() for one in group]


def work(seed_typed: str | None = None, console: Console | None = None) -> None:
    """Work a case: the one named, else the one left open, else a new one."""
    console = console or narrow()
    seed = keeping.seed_of(seed_typed) if seed_typed else keeping.unfinished() or keeping.fresh()
    done, said = keeping.kept(seed)
    if said:
        say(console, said)
    case = Case(seed)
    begin(console, case)
    for act in done:
        case.do(act)
    if done:
        say(console, f"You have been here before: {afterwards.acts_in_words(len(done))}, to go on from.")
        way(console, case)
    try:
        _acts(console, case)
    except (KeyboardInterrupt, EOFError):
        console.print()
    finish(console, case)


def begin(console: Console, case: Case) -> None:
    """Say what the case is, and what is known of the set."""
    console.rule(f"Case {case.seed}")
    for line in shown.at_the_door(case.supply):
        say(console, line)
    say(console, HELP)


def _acts(console: Console, case: Case) -> None:
    while not case.is_over:
        text = typed("> ")
        match word(text):
            case "end":
                return
            case "":
                continue
            case "help":
                say(console, HELP)
            case "acts":
                listed(console)
            case "so far":
                way(console, case)
            case "list":
                as_list(console, case)
            case _:
                _one(console, case, text)


def _one(console: Console, case: Case, text: str) -> None:
    try:
        act = meant(text)
        step = case.do(act)
    except Unknown as why:
        say(console, f"{why} Nothing was done. The word acts lists them.")
        return
    say(console, told(step))
    try:
        keeping.keep(case.seed, [one.act for one in case.played().did])
    except Problem as why:  # what was worked so far is worth more than a file of it
        say(console, f"This case is not kept: {why} The word list shows it, to copy.")


def meant(text: str) -> str:
    """Return the act that was typed, whole or by its number in the list; or raise Unknown.

    >>> meant("1"), meant("look  Top"), meant("20 320 300 90")
    ('ask history', 'look top', 'heat U1 320 300 90')
    """
    first, _, rest = text.strip().partition(" ")
    if first.isascii() and first.isdecimal() and 1 <= int(first[:4]) <= len(ORDER):
        text = f"{ORDER[int(first[:4]) - 1]} {rest}"
    name, numbers = acts.read(text)
    return " ".join([name, *map(str, numbers)])


def told(step: Step) -> str:
    """Say what an act told, and what it cost."""
    if step.refused:
        return f"Not done: {step.told} It cost nothing."
    if step.done.stopped:
        return f"STOPPED. {step.told}"
    return f"{step.told} ({afterwards.credits(step.cost)})"


def listed(console: Console) -> None:
    """Print every act with its number, what it is and what it takes."""
    for heading, names in GROUPS.items():
        say(console, heading)
        for name in names:
            numbers = "".join(f" {_numbers(ways)}" for ways in NUMBERS.get(name, ()))
            minutes, material = acts.PRICES[name]
            takes = f"{minutes:g} min" + (f" and {afterwards.credits(material)}" if material else "")
            say(console, f"  {ORDER.index(name) + 1:2}  {name}{numbers}: {WORDS[name]}; {takes}")


def _numbers(ways) -> str:
    return f"{ways[0]}..{ways[-1]}" if isinstance(ways, range) else "/".join(map(str, ways))


def way(console: Console, case: Case) -> None:
    """Print the way so far."""
    played = case.played()
    for line in afterwards.timeline(played):
        say(console, line)
    say(console, f"So far {afterwards.credits(played.spent)} and {hours_and_minutes(played.minutes)}.")


def as_list(console: Console, case: Case) -> None:
    """Print the acts as a notebook takes them."""
    say(console, "For the notebook of this case, should it be yours:")
    say(console, f"job = {[step.act for step in case.played().did]!r}")


def finish(console: Console, case: Case) -> None:
    """Print the page after a case, or how to go on with it."""
    if not case.is_over:
        if case.steps:
            say(console, f"Kept. Go on with: workbook practise --case {case.seed}")
        return
    for heading, lines in afterwards.page(case.played()):
        console.rule(heading)
        for line in lines:
            say(console, line)
    console.rule()
    as_list(console, case)
    say(console, "Another board: workbook practise --case")
