"""Every file of a cohort that somebody may spoil is one clear line with a tip, never a traceback."""

import json
import shutil

import pytest
from click.testing import CliRunner

from graders.cli import main

ROW = "id,name\n"
BAD_LISTS = {
    "nothing": b"",
    "line ends only": b"\n\n\n",
    "heads only": b"id,name\n",
    "no id column": b"name\nAmber\n",
    "commas only": b",,\n",
    "an id missing": b"id,name\n,A\n",
    "an id twice": b"id,name\na,A\na,B\n",
    "an id twice but for case": b"id,name\na,A\nA,B\n",
    "a path up": b"id,name\n../a,A\n",
    "a path": b"id,name\na/b,A\n",
    "a backslash": b"id,name\na\\b,A\n",
    "a hidden folder": b"id,name\n.a,A\n",
    "an option": b"id,name\n-a,A\n",
    "a device of Windows": b"id,name\nnul,A\n",
    "a device of Windows with an ending": b"id,name\nlpt1.x,A\n",
    "an endless id": b"id,name\n" + b"a" * 70 + b",A\n",
    "a dot at the end": b"id,name\na.,A\n",
    "two dots": b"id,name\na..b,A\n",
    "letters that are not plain": "id,name\nå,A\n".encode(),
    "a space inside": b"id,name\na b,A\n",
    "escape": b"id,name\na\x1b[2J,A\n",
    "Latin-1": "id,name\na,Å\n".encode("latin-1"),
    "UTF-16": "id,name\na,A\n".encode("utf-16"),
    "a spreadsheet": b"PK\x03\x04\x00\x00",
    "zero bytes": b"id,name\na,A\x00\n",
    "a field without end": b'id,name\n"a' + b"a" * 200_000,
}
DUE = "due = { profile = 2026-12-01T18:00:00 }\n"
BAD_SETTINGS = {
    "no TOML": "title = ",
    "not text": b"\xff\xfe\x00",
    "an unknown setting": "titel = 'Spring'",
    "a title that is a number": "title = 5",
    "a number of 5000 digits": f"to_pass = {{ total = {'9' * 5000} }}",
    "an extension of 400 digits": f'{DUE}extensions = {{ "amber/profile" = {"9" * 400} }}',
    "to pass with 400 digits": f"to_pass = {{ total = {'9' * 400} }}",
    "grades with 6000 hexadecimal digits": f"grades = {{ A = 0x{'f' * 6000}, B = 0 }}",
    "topics in lists": 'topics = [["profile"]]',
    "topics as text": 'topics = "profile"',
    "no topics": "topics = []",
    "an unknown topic": 'topics = ["profil"]',
    "a topic twice": 'topics = ["profile", "profile"]',
    "topics of numbers": "topics = [1]",
    "an exercise there is not of a topic to come": (
        'topics = ["profile", "shorts"]\nexercises = { shorts = ["no-such"] }'
    ),
    "exercises of a topic that is not named": 'topics = ["profile"]\nexercises = { shorts = ["leads-off"] }',
    "a topic taken out": 'topics = ["shorts"]',
    "exercises as a list": 'exercises = ["bead-lag"]',
    "exercises as text": 'exercises = { profile = "bead-lag" }',
    "no exercises of a topic": "exercises = { profile = [] }",
    "exercises of no topic": 'exercises = { profil = ["bead-lag"] }',
    "an exercise that was not handed out": 'exercises = { profile = ["no-such"] }',
    "an exercise taken out": 'exercises = { profile = ["bead-lag"] }',
    "fresh numbers of no word": 'fresh_numbers = "third"',
    "fresh numbers as a list": 'fresh_numbers = ["half"]',
    "fresh numbers as a switch": "fresh_numbers = true",
    "late of no word": 'late = "half"',
    "late as a number": "late = 0",
    "show_working as text": 'show_working = "no"',
    "show_working as a number": "show_working = 0",
    "a time zone there is not": 'timezone = "Europe/Nowhere"',
    "a time zone up a path": 'timezone = "../../etc/passwd"',
    "a time zone as a number": "timezone = 1",
    "no time zone": 'timezone = ""',
    "due as text": "due = '2026-12-01'",
    "due with a date only": "due = { profile = 2026-12-01 }",
    "due with a time only": "due = { profile = 18:00:00 }",
    "due in quotes": 'due = { profile = "2026-12-01T18:00:00" }',
    "due for no topic": "due = { profil = 2026-12-01T18:00:00 }",
    "due before there were clocks": "due = { profile = 0001-01-01T00:00:00+14:00 }",
    "an extension in words": DUE + 'extensions = { "amber/profile" = "two days" }',
    "an extension that is no number": DUE + 'extensions = { "amber/profile" = nan }',
    "an extension without end": DUE + 'extensions = { "amber/profile" = inf }',
    "an extension backwards": DUE + 'extensions = { "amber/profile" = -1 }',
    "an extension as a switch": DUE + 'extensions = { "amber/profile" = true }',
    "an extension without a topic": "extensions = { amber = 48 }",
    "an extension for nobody": DUE + 'extensions = { "nobody/profile" = 48 }',
    "an extension for a topic that was not handed out": 'extensions = { "amber/shorts" = 48 }',
    "extensions as a list": "extensions = [48]",
    "void as a table": "void = {}",
    "void of numbers": "void = [1]",
    "a void without a reason": '[[void]]\ntopic = "profile"',
    "a void beside an empty one": "void = []\n[[void]]\ntopic = 'profile'",
    "a void of lists": '[[void]]\ntopic=["a"]\nexercise="b"\npart="c"\npoints="drop"\nreason="d"',
    "a void twice": (
        '[[void]]\ntopic="profile"\nexercise="bead-lag"\npart="lag"\npoints="drop"\nreason="misprint"\n'
        '[[void]]\ntopic="profile"\nexercise="bead-lag"\npart="lag"\npoints="full"\nreason="misprint"'
    ),
    "late by more than all": 'late = "101 % a day"',
    "late by nothing a day": 'late = "0 % a day"',
    "late by the hour": 'late = "10 % an hour"',
    "an extension of what is never due": 'extensions = { "amber/profile" = 48 }',
    "an extension that ends before it is due": (
        'due = { profile = 2026-12-01T18:00:00 }\nextensions = { "amber/profile" = 2026-11-01T18:00:00 }'
    ),
    "an extension until a day without a time": (
        'due = { profile = 2026-12-01T18:00:00 }\nextensions = { "amber/profile" = 2026-12-02 }'
    ),
    "working of no topic": "show_working = { profil = false }",
    "working by the word": 'show_working = { profile = "no" }',
    "working from a day without a time": "show_working = { profile = 2026-12-01 }",
    "feedback from a day without a time": "feedback_from = { profile = 2026-12-01 }",
    "feedback of no topic": "feedback_from = { profil = 2026-12-01T18:00:00 }",
    "feedback at once": "feedback_from = 2026-12-01T18:00:00",
    "released of no topic": 'released = ["profil"]',
    "released of a topic this cohort has not": 'topics = ["profile"]\nreleased = ["shorts"]',
    "released twice": 'released = ["profile", "profile"]',
    "released as a switch": "released = true",
    "released by a number": "released = [3]",
    "released as a list of lists": 'released = [["profile"]]',
    "to pass as a number": "to_pass = 50",
    "to pass in a topic there is not": "to_pass = { profil = 50 }",
    "to pass with more than all": "to_pass = { total = 101 }",
    "to pass backwards": "to_pass = { total = -1 }",
    "to pass in words": 'to_pass = { total = "half" }',
    "to pass as a switch": "to_pass = { each_topic = true }",
    "to pass with no number": "to_pass = { total = nan }",
    "grades as a list": 'grades = ["A", "B"]',
    "a grade in words": 'grades = { "A" = "90 %", "B" = 0 }',
    "a grade above all": "grades = { A = 120, B = 0 }",
    "two grades from the same": "grades = { A = 50, B = 50, C = 0 }",
    "no grade for the lowest": "grades = { A = 90, B = 50 }",
    "a grade without a name": 'grades = { "" = 90, B = 0 }',
    "a grade that moves the cursor": 'grades = { "\\u001b[2J" = 90, B = 0 }',
    "tables as text": 'tables = ";"',
    "tables with a strange delimiter": 'tables = { delimiter = "x" }',
    "tables with a strange decimal sign": 'tables = { decimal = ";" }',
    "tables with something else": 'tables = { encoding = "latin-1" }',
    "a comma for both": 'tables = { delimiter = ",", decimal = "," }',
    "a delimiter of numbers": "tables = { delimiter = 1 }",
    "a delimiter that is a list": 'tables = { delimiter = [";"] }',
    "a void of an unknown part": (
        '[[void]]\ntopic="profile"\nexercise="bead-lag"\npart="leg"\npoints="drop"\nreason="misprint"'
    ),
}
BAD_LINES = {
    "no line of a record": b"hello\n",
    "a list": b"[1, 2]\n",
    "a number": b"7\n",
    "half a line inside": b'{"learner": "am\n',
    "not UTF-8": b"\xff\xff\n",
    "lists in lists": b"[" * 100_000 + b"\n",
}
BAD_FIELDS = {
    "a learner that is a list": {"learner": ["amber"]},
    "a learner up a path": {"learner": "../amber"},
    "a topic there is not": {"topic": "profil"},
    "a notebook up a path": {"notebook": "../../x"},
    "givens that are a list": {"givens": []},
    "a seal that is a number": {"seal": 5},
    "fresh numbers that are text": {"fresh": "x"},
    "parts that are text": {"changing": "lag"},
}
BAD_KEYS = {
    "empty": b"",
    "a line end": b"\n",
    "cut off": b"00" * 31,
    "an odd number of signs": b"0" * 65,
    "no hexadecimal": b"z" * 64,
    "not text": b"\xff" * 64,
    "another cohort's": b"ab" * 32,
}


def complaint(*words):
    """Run a command, which must end in one ERROR line and one TIP line, and return both."""
    result = CliRunner().invoke(main, [str(word) for word in words])
    assert result.exit_code == 1, result.output
    lines = result.stderr.splitlines()
    assert len(lines) == 2, result.stderr
    assert lines[0].startswith("ERROR  ")
    assert lines[1].startswith("TIP    ")
    assert "Traceback" not in result.output
    return lines


@pytest.fixture(scope="module")
def spoilt(made, tmp_path_factory):
    """One copy of the cohort, whose files each test puts back."""
    root = tmp_path_factory.mktemp("spoilt") / "spring"
    shutil.copytree(made.root, root)
    return root


@pytest.fixture
def spoil(spoilt):
    """Write something into a file of the cohort for the length of a test."""
    before = {}

    def write(name, content):
        path = spoilt / name
        before[path] = path.read_bytes()
        path.write_bytes(content.encode() if isinstance(content, str) else content)
        return spoilt

    yield write
    for path, content in before.items():
        path.write_bytes(content)


@pytest.mark.parametrize("kind", BAD_LISTS)
def test_a_bad_list_of_learners_makes_no_cohort(kind, tmp_path):
    (tmp_path / "list.csv").write_bytes(BAD_LISTS[kind])
    complaint("handout", tmp_path / "list.csv", "--to", tmp_path / "spring")
    assert not (tmp_path / "spring").exists()


@pytest.mark.parametrize("kind", BAD_SETTINGS)
@pytest.mark.parametrize("command", ["report", "handout"])
def test_a_bad_setting_is_said_before_anything_is_done(kind, command, spoil):
    root = spoil("cohort.toml", BAD_SETTINGS[kind])
    words = [command, root] if command == "report" else [command, root / "learners.csv", "--to", root]
    complaint(*words)


MAY_BE_EMPTY = {"nothing", "line ends only", "heads only"}


@pytest.mark.parametrize("kind", [kind for kind in BAD_LISTS if kind not in MAY_BE_EMPTY])
def test_a_bad_list_in_the_cohort_is_said(kind, spoil):
    root = spoil("learners.csv", BAD_LISTS[kind])
    error, _ = complaint("report", root)
    assert "learners.csv" in error


BAD_MARKS = {
    "no line": b"hello\n",
    "a list": b"[]\n",
    "no place": b'{"score": 1.0}\n',
    "a score in words": b'{"learner": "a", "topic": "b", "exercise": "c", "part": "d", "score": "1"}\n',
    "no number": b'{"learner": "a", "topic": "b", "exercise": "c", "part": "d", "score": NaN}\n',
    "a comment of numbers": b'{"learner": "a", "topic": "b", "exercise": "c", "part": "d", "comment": 5}\n',
    "an unknown field": b'{"learner": "a", "topic": "b", "exercise": "c", "part": "d", "colour": "red"}\n',
    "not text": b"\xff\n",
    "lists in lists": b"[" * 100_000 + b"\n",
}


@pytest.mark.parametrize("kind", BAD_MARKS)
def test_a_damaged_copy_of_marks_by_hand_is_named_with_its_line(kind, spoil, spoilt):
    (spoilt / "by_hand.jsonl").touch()
    root = spoil("by_hand.jsonl", BAD_MARKS[kind])
    error, _ = complaint("report", root)
    assert "by_hand.jsonl, line 1," in error


BAD_BOOKS = {
    "text": b"this is no database, not even nearly one",
    "zeros": b"\0" * 5000,
    "a head and nothing": b"SQLite format 3\0" + b"\xff" * 5000,
}


@pytest.mark.parametrize("kind", BAD_BOOKS)
@pytest.mark.parametrize("command", ["report", "mark", "backup"])
def test_a_damaged_gradebook_is_said_with_the_way_back(kind, command, spoil, tmp_path):
    root = spoil("gradebook.db", BAD_BOOKS[kind])
    error, tip = complaint(command, root, *([tmp_path / "x.zip"] if command == "backup" else []))
    assert "gradebook.db cannot be used" in error
    assert "graders restore BACKUP" in tip
    assert not (tmp_path / "x.zip").exists()


def record_with(made, **fields):
    first, *others = made.record.read_bytes().splitlines(keepends=True)
    return json.dumps(json.loads(first) | fields).encode() + b"\n" + b"".join(others)


@pytest.mark.parametrize("kind", BAD_LINES)
def test_a_damaged_record_is_named_with_its_line(kind, made, spoil):
    root = spoil("record.jsonl", made.record.read_bytes() + BAD_LINES[kind] + made.record.read_bytes())
    error, _ = complaint("report", root)
    assert f"line {len(made.record.read_bytes().splitlines()) + 1}," in error


@pytest.mark.parametrize("kind", BAD_FIELDS)
def test_a_field_of_another_kind_in_the_record_is_named_with_its_line(kind, made, spoil):
    root = spoil("record.jsonl", record_with(made, **BAD_FIELDS[kind]))
    error, _ = complaint("report", root)
    assert "line 1," in error


@pytest.mark.parametrize("kind", BAD_KEYS)
def test_nobody_is_added_with_a_bad_key(kind, spoil):
    root = spoil("cohort.key", BAD_KEYS[kind])
    before = (root / "record.jsonl").read_bytes()
    error, _ = complaint("handout", root / "learners.csv", "--to", root)
    assert "cohort.key" in error
    assert (root / "record.jsonl").read_bytes() == before
