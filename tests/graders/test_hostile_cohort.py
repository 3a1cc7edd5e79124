"""Everything hostile that is no cell, sent to ONE cohort: it earns, reads, writes, stops and shows nothing.

Names, archives, metadata, folders and texts that are no notebooks come in one inbox with honest work between them. Two
learners' notebooks hold right numbers that were typed in, and do something to be taken for computed ones when they are
run once more with fresh numbers. What hostile cells do is tested with the runner, what is rendered in the browser.
"""

import hashlib
import json
import os
import shutil

import pytest

from graders import commands, sheets
from graders.cohort.paths import Cohort
from graders.cohort.record import HandoutRecord
from graders.demo import learners
from graders.inbox import filing
from graders.marking import run as marking
from graders.questions.parts.number import Number
from graders.runner.job import Limits
from tests.browser.hostile_texts import TEXTS
from tests.graders.cohort.test_bad_files import BAD_FIELDS, BAD_KEYS, BAD_LINES, BAD_LISTS, BAD_SETTINGS
from tests.graders.cohorts import all_rows, keep_only
from tests.graders.inbox.parcels import NAME, answered, put, zipped
from tests.graders.inbox.test_hostile_parcels import BOMBS, SENT
from tests.graders.marking.test_hostile_notebooks import ROWS
from tests.graders.runner import hostile

HONEST = ("cedar", "dahlia", "fern")
TYPING = ("hazel", "iris")

SECOND_RUNS = {
    "dies": "if {other}: raise ValueError('not now')",
    "leaves": "import sys\nif {other}: sys.exit()",
    "ends its process": "import os\nif {other}: os._exit(0)",
    "never ends": "import time\nwhile {other}: time.sleep(1)",
    "fills the memory": "while {other}: hoard = bytearray(1 << 28) + globals().get('hoard', b'')",
    "varies at will": "import random\nif {other}: answers = lambda value: value * random.uniform(0.5, 2)",
    "gives back no number": "if {other}: answers = lambda value: float('nan')",
    "gives back yes": "if {other}: answers = lambda value: True",
    "puts its own numbers back": "{back}",
    "remembers the first time": "import builtins\nbuiltins.runs = getattr(builtins, 'runs', 0) + 1\n"
    "open('runs', 'a').write('x')\nif builtins.runs + len(open('runs').read()) > 2: raise SystemExit",
}
"""What a notebook of typed numbers does when its givens are other ones."""

OUTSIDE = {
    "names, archives, metadata, texts and folders that come in": SENT,
    "bombs": BOMBS,
    "notebooks that lie": ROWS,
    "second runs": SECOND_RUNS,
    "rendered pages": dict(enumerate(TEXTS)),
    "lists of learners": BAD_LISTS,
    "settings": BAD_SETTINGS,
    "lines of a record": BAD_LINES | BAD_FIELDS,
    "keys": BAD_KEYS,
}


def test_there_are_two_hundred_hostile_items_and_forty_outside_the_cells():
    outside = sum(map(len, OUTSIDE.values()))
    cells = {row.name for row in hostile.ROWS}
    print(f"{len(cells)} in cells, {outside} outside:", {what: len(items) for what, items in OUTSIDE.items()})
    assert len(cells) == len(hostile.ROWS)
    assert len(cells) + outside >= 200
    assert outside >= 40
    assert len({str(text) for text in TEXTS}) == len(TEXTS)


def typed(cohort, learner):
    """Let a learner type right numbers into every notebook, each with another way to pass the second run."""
    ways = list(SECOND_RUNS.values())[TYPING.index(learner) :: len(TYPING)]
    used = []
    for one, way in zip(HandoutRecord(cohort.record).by_topic(learner)["profile"], ways, strict=True):
        path = cohort.submitted(learner, "profile") / f"{one.notebook}.ipynb"
        notebook = json.loads((cohort.handout(learner) / "profile" / path.name).read_text())
        exercise = sheets.find("profile", one.exercise)
        written = dict(learners.typed(exercise, one.givens))
        for cell in notebook["cells"]:
            name = cell["id"].removesuffix("-answer")
            if cell["id"].endswith("-answer") and isinstance(exercise.part(name), Number):
                answer = written[name].partition(" = ")[2]
                cell["source"] = f"{name} = answers({answer})"
            elif cell["id"].endswith("-answer") and name in written:
                cell["source"] = written[name]
        back = "\n".join(f"{name} = {value!r}" for name, value in one.givens.items())
        other = " or ".join(f"{name} != {value!r}" for name, value in one.givens.items())
        source = "answers = float\n" + way.format(other=f"({other})", back=back)
        cell = {"cell_type": "code", "id": "way", "metadata": {}, "outputs": [], "execution_count": None}
        place = next(place for place, cell in enumerate(notebook["cells"]) if cell["id"] == "givens")
        notebook["cells"].insert(place + 1, cell | {"source": source})
        put(path, json.dumps(notebook).encode())
        used.append(way)
    return used


def copied(made, root):
    """Return a copy of the cohort with honest work only, and amber's first answer, which is wrong."""
    shutil.copytree(made.root, root)
    cohort = Cohort(root, policy="zero")
    keep_only(cohort, *HONEST)
    put(cohort.submitted("amber", "profile") / NAME, answered(cohort, "amber", "time_constant = 1.0\n"))
    return cohort


def marks(cohort, learner):
    return sorted(row.as_tuple() for row in all_rows(cohort) if row.learner == learner)


def prints(folder):
    return {
        path: hashlib.sha256(path.read_bytes()).hexdigest()
        for path in folder.rglob("*")
        if path.is_file() and not path.is_symlink()
    }


@pytest.mark.contained
@pytest.mark.slow
@pytest.mark.timeout(500)
def test_one_cohort_takes_all_of_it_and_honest_siblings_have_the_marks_of_peace(made, pool, tmp_path, capsys):
    peace = copied(made, tmp_path / "peace")
    marking.mark(peace, pool)
    war = copied(made, tmp_path / "war" / "spring")
    secret = put(tmp_path / "war" / "secret.txt", b"the secret beside the cohort")
    inbox = tmp_path / "inbox"
    for number, (name, made_of, _, _) in enumerate(SENT.values()):
        put(inbox / f"{number:03}" / os.fsdecode(name), made_of(war))
    links = inbox / "links"
    links.mkdir()
    (links / "secret.ipynb").symlink_to(secret)
    (links / "folder").symlink_to(war.root)
    os.mkfifo(links / "pipe.ipynb")
    put(inbox / "zzz" / "cedar.zip", zipped({NAME: (war.submitted("cedar", "profile") / NAME).read_bytes()}))
    ways = [way for learner in TYPING for way in typed(war, learner)]
    assert sorted(ways) == sorted(SECOND_RUNS.values())
    outside, safe = prints(inbox) | prints(secret.parent.parent / "peace"), ("cohort.key", "record.jsonl")
    before = {name: (war.root / name).read_bytes() for name in safe}

    filed = filing.file_all(war, [inbox])
    summary = marking.mark(war, pool, limits=Limits(cell_seconds=3, sheet_seconds=5))
    commands.tell_filed(filed)
    said = capsys.readouterr().out

    # it earns nothing: amber has what her wrong answer earns, birch nothing, and typed numbers are not computed ones
    assert not any(row.points for row in all_rows(war) if row.learner in ("amber", "birch"))
    for learner in TYPING:
        changing = {
            (one.exercise, part)
            for one in HandoutRecord(war.record).by_topic(learner)["profile"]
            for part in one.changing
        }
        earned = [row for row in all_rows(war) if row.learner == learner and (row.exercise, row.part) in changing]
        assert [(row.exercise, row.part) for row in earned if row.points] == []
        assert len(earned) > 5
    # it stops nobody and changes nobody's marks
    assert {who: marks(war, who) for who in HONEST} == {who: marks(peace, who) for who in HONEST}
    assert {learner for learner, _ in summary.marked} == {"amber", *HONEST, *TYPING}
    # it writes nothing outside its place
    assert prints(inbox) | prints(tmp_path / "peace") == outside
    assert {path.name for path in (tmp_path / "war").iterdir()} == {"spring", "secret.txt"}
    assert not war.submitted("birch", "profile").exists()
    assert before == {name: (war.root / name).read_bytes() for name in safe}
    # it reads and shows nothing
    key = (war.root / "cohort.key").read_bytes().strip()
    shown = [path.read_bytes() for path in war.root.rglob("*") if path.is_file() and path.name != "cohort.key"]
    assert not any(key in content or b"the secret beside" in content for content in shown)
    assert all(line.isprintable() for line in said.splitlines())
    assert all(line.isprintable() for line in summary.problems)
    assert sum(path.stat().st_size for path in (war.root / "held").rglob("*")) < filing.MOST_QUARANTINED_OF_ALL
