"""An instructor's own exercises: checked as ours are, told in words, and no less than ours on every way they travel."""

import json
import re
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from graders import sheets
from graders.backup import putting_back
from graders.cli import main
from graders.cohort import differences
from graders.cohort.paths import Cohort
from graders.cohort.record import HandoutRecord
from graders.cohort.roster import Learner
from graders.commands import opened
from graders.desk import boxes, checking, copying, marking_line, packing, scheduling
from graders.handout import handing_out, own_sheets
from graders.inbox import filing
from graders.marking import run as marking
from graders.marking.journal import Journal
from graders.report import pages
from graders.sheets import own
from tests.graders.inbox.parcels import zipped
from workbook.problems import Problem
from workbook.server import folder, opening
from workbook.topics import TOPICS

NAME = "own-bench-lead"
PEOPLE = [Learner(name, f"{name.title()} Example (invented)") for name in ("amber", "birch")]
HANDED = {"shorts": (NAME, "leads-off")}


@pytest.fixture(autouse=True)
def none_left_beside():
    """No own exercise of one test is seen by another."""
    yield
    own.use(Path("no such cohort"))


@pytest.fixture(scope="module")
def first(tmp_path_factory):
    """The text of the sheet that the command writes to begin with."""
    return own_sheets.write_first(tmp_path_factory.mktemp("first"), "bench-lead", "shorts").read_text()


@pytest.fixture(scope="module")
def made(tmp_path_factory, first):
    """A cohort of two with an own exercise and one of ours, made of a folder that held the sheet before."""
    root = tmp_path_factory.mktemp("own") / "spring"
    put(root, first)
    return handing_out.make(PEOPLE, root, ("shorts",), "", HANDED)


@pytest.fixture
def cohort(made, tmp_path):
    """A copy of that cohort to change at will."""
    shutil.copytree(made.root, tmp_path / "spring")
    return Cohort.open(tmp_path / "spring")


def put(root, text, name="bench_lead.py"):
    path = root / "sheets" / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


def answered(content, share=1.0):
    """Return a handed-out notebook of the first sheet, answered right, or with so many times the drop."""
    notebook, given = json.loads(content), {}
    for cell in notebook["cells"]:
        source = "".join(cell["source"])
        if cell["id"] == "givens":
            exec(source, given)
            drop = given["current"] * given["resistance"]
        if cell["id"] == "drop-answer":
            cell["source"] = f"drop = {share * drop!r}\n"
        if cell["id"] == "lead-answer":
            cell["source"] = "lead = 'use'\n" if drop <= given["most"] else "lead = 'shorter'\n"
    return json.dumps(notebook).encode()


def hand_in(cohort, learner, **how):
    name = f"101_{NAME}.ipynb"
    path = cohort.submitted(learner, "shorts") / name
    path.parent.mkdir(parents=True)
    path.write_bytes(answered((cohort.handout(learner) / "shorts" / name).read_bytes(), **how))


# ---- the check


def test_what_the_command_writes_to_begin_with_holds(tmp_path):
    told = CliRunner().invoke(
        main, ["sheets", str(tmp_path), "--new", "Cold_Joint", "--topic", "joints", "--draws", "12"]
    )
    assert told.exit_code == 0, told.output
    assert "HOLDS  sheets/cold_joint.py: joints/own-cold-joint" in told.output


WRONG = [
    ("plausible=(5, 1000)", "plausible=(5, 80)", "drop: 90 is right and not in (5, 80)"),
    (
        "g.current * g.resistance,\n            within",
        "g.current * g.resistance * 2,\n            within",
        "the working gives",
    ),
    ("g.resistance / g.current", "g.resistance * g.current", "drop: slip 'divided' is the answer"),
    ("within=relative(0.02)", "within=relative(0.7)", "lets in an answer without the step"),
    ('Case("drop", 90, 0.5', 'Case("drop", 95, 0.5', "says 95, and expected gives 90"),
    ('by hand: 2.5 A times 36 mΩ", "computed"', 'by hand: 2.5 A times 36 mΩ", "surely"', "standing 'surely'"),
    ('"Ohm\'s law, by hand: 2.5 A times 36 mΩ"', '""', "names no source"),
    ("a.drop <= g.most", "a.drop <= 0.0901", "lead: turns within the tolerance of drop"),
    ('"voltage": "The limit', '"used": "The limit', "a slip is for 'used', which is none of its words"),
    (
        '"use": "use it as it is"',
        '"use": "use it as it is", "none": "put it away"',
        "'none' is never right, and no slip says why",
    ),
    ("feeds {current} through", "feeds {currant} through", "setup: the text names {currant}, which is no given"),
    ('working="drop = current * resistance"', 'working="drop = current * resistence"', "'resistence' is not defined"),
    ('working="drop = current * resistance"', 'working=""', "drop: it has no working"),
    (
        "g.current * g.resistance,\n            within",
        "g.current / 0,\n            within",
        "line 30: ZeroDivisionError",
    ),
    ('abs(drawn["current"]', 'False and abs(drawn["current"]', "most often its own sound refuses them"),
    ("floor=0.25", "floor=0.05", "answers without the method earn"),
    ("points=2", "points=0", "drop: it earns 0 points"),
    ('unit="mV"', 'unit="millivolts"', "unit 'millivolts' is unknown"),
    ("within=relative(0.02)", "within=0.02", "within is 0.02; write relative(0.02)"),
    ("plausible=(5, 1000)", "plausible=(1000, 5)", "plausible is (1000, 5)"),
    ("plausible=(5, 1000)", "plausible=1000", "plausible is 1000"),
    ('Fixed(120, "mV")', "120", "most: the given is 120; write Quantity, Fixed, Pick or Record"),
    ('Fixed(120, "mV")', 'Fixed(120, "mVolt")', "most: unit 'mVolt' is unknown; is"),
    ("Quantity(36,", "Quantity(360,", "resistance: 360 is not between 22 and 64"),
    ("low=22, high=64", "low=32, high=64", ""),
]
"""The first sheet with one thing changed, and what is said then; the last change is no fault."""


@pytest.mark.parametrize(("before", "after", "words"), WRONG, ids=[after[:30] for _, after, _ in WRONG])
def test_what_is_wrong_with_a_sheet_is_told_in_words(first, before, after, words):
    assert before in first
    found = list(own_sheets.faults(own.of_text("sheets/x.py", first.replace(before, after)), 12))
    assert bool(found) == bool(words)
    assert words in " ".join(found)
    assert all(line.startswith(NAME) and "\n" not in line for line in found)


def test_an_exercise_that_ends_in_a_number_is_told_to_end_in_an_act(first):
    start, end = first.index("        Choice("), first.index("    # A worked example")
    cut = first[:start] + "    ),\n" + first[end:]
    found = list(own_sheets.faults(own.of_text("sheets/x.py", cut), 4))
    assert any("it ends in a number" in line for line in found)


def test_a_step_that_no_band_can_tell_is_let_in_with_its_reason(first):
    wide = first.replace("within=relative(0.02)", "within=relative(0.7)")
    steps = re.findall(r"without the step '(.+?)'", " ".join(own_sheets.faults(own.of_text("sheets/x.py", wide), 2)))
    reasons = {("drop", step): "a trial of the tests" for step in steps}
    found = own_sheets.faults(own.of_text("sheets/x.py", f"{wide}\nLET_IN = {reasons!r}\n"), 2)
    assert steps
    assert not any("without the step" in line for line in found)


BAD = {
    "not UTF-8": (b"TOPIC = '\xff'", "not UTF-8 at byte 9"),
    "empty": ("", "names no topic"),
    "huge": ("#" * 300_000, "has 300000 bytes"),
    "no Python": ("EXERCISES = (", "line 1: Python cannot read it"),
    "a zero byte": ("TOPIC\0", "Python cannot read it"),
    "nested without end": ("(" * 5000, "Python cannot read it"),
    "an import that is not there": (
        "import board_tools",
        "imports 'board_tools', which a learner's machine may not have",
    ),
    "an import of a neighbour": ("from . import other", "imports '.'"),
    "a name that is not there": ("from graders.questions import Nummer", "line 1: ImportError"),
    "an error as it is read": ("x = 1\ny = x / 0", "line 2: ZeroDivisionError: division by zero"),
    "it ends Python": ("raise SystemExit(3)", "line 1: SystemExit: 3"),
    "no exercises": ('TOPIC = "shorts"', "has no EXERCISES"),
    "exercises of another kind": ('TOPIC = "shorts"\nEXERCISES = ("a",)', "holds 'a', which is no Exercise"),
    "a topic there is not": ('TOPIC = "short"\nEXERCISES = ()', "TOPIC is 'short'"),
    "a topic of another kind": ("TOPIC = 4", "TOPIC is 4"),
}


@pytest.mark.parametrize(("text", "words"), BAD.values(), ids=BAD)
def test_a_file_that_is_no_sheet_is_one_clear_line(tmp_path, text, words):
    put(tmp_path, text)
    (problem,) = own.use(tmp_path)
    assert words in str(problem)
    assert "sheets/bench_lead.py" in str(problem)
    assert problem.tip
    assert "\n" not in f"{problem}{problem.tip}"


CLASHES = [
    ("parts=(\n", "parts=(\n        'a word',\n", "AttributeError: 'str' object has no attribute"),
    ('id="own-bench-lead"', 'id="decide-on-a-reading"', "is the name of one of the workbook's own exercises"),
    ('id="own-bench-lead"', 'id="bench-lead"', "cannot be an own exercise's id"),
    ('id="own-bench-lead"', 'id="own-../x"', "cannot be an own exercise's id"),
    ('id="own-bench-lead"', "id=7", "cannot be an own exercise's id"),
    ("number=101", "number=5", "has number 5"),
    ("number=101", "number=True", "has number True"),
    ("EXERCISES = (EXERCISE,)", "EXERCISES = (EXERCISE, EXERCISE)", "two exercises have id own-bench-lead"),
    ('"drop",', '"def",', "'def' cannot be the name of a given or a part"),
    ("floor=0.25", "flor=0.25", "unexpected keyword argument 'flor'"),
    ("EXERCISES = (EXERCISE,)", "EXERCISES = (EXERCISE,)\nLET_IN = ['a']", "LET_IN is not written as it must be"),
]


@pytest.mark.parametrize(("before", "after", "words"), CLASHES, ids=[after[:40] for _, after, _ in CLASHES])
def test_a_name_or_number_that_cannot_be_is_one_clear_line(tmp_path, first, before, after, words):
    put(tmp_path, first.replace(before, after))
    (problem,) = own.use(tmp_path)
    assert words in str(problem)


def test_two_sheets_may_not_have_the_same_id_or_number(tmp_path, first):
    put(tmp_path, first)
    put(tmp_path, first.replace("own-bench-lead", "own-other"), "other.py")
    (problem,) = own.use(tmp_path)
    assert "the number in shorts 101 stands in sheets/bench_lead.py already" in str(problem)
    assert [one.id for one in sheets.own_exercises("shorts")] == [NAME]


def test_no_exercise_of_ours_has_a_name_or_a_number_of_an_own_one():
    for topic in TOPICS:
        for one in sheets.ours(topic.slug):
            assert not own.is_own(one.id)
            assert one.number < own.FIRST_NUMBER


def test_the_command_says_each_thing_that_is_wrong_in_a_line_and_fails(tmp_path, first):
    put(tmp_path, first.replace("plausible=(5, 1000)", "plausible=(5, 80)"))
    put(tmp_path, "EXERCISES = (", "broken.py")
    told = CliRunner().invoke(main, ["sheets", str(tmp_path), "--draws", "12"])
    assert told.exit_code == 1
    lines = [line for line in told.output.splitlines() if line.startswith("WRONG")]
    assert any("sheets/broken.py: line 1: Python cannot read it" in line for line in lines)
    assert any("sheets/bench_lead.py: own-bench-lead/drop: 90 is right and not in (5, 80)" in line for line in lines)


def test_a_lost_handout_is_written_again_the_same_and_not_from_a_sheet_that_asks_otherwise(cohort, first):
    path = cohort.handout("amber") / "shorts" / f"101_{NAME}.ipynb"
    before = path.read_bytes()
    path.unlink()
    handing_out.again(cohort, "amber")
    assert path.read_bytes() == before
    put(cohort.root, first.replace("What is the voltage drop", "How large is the voltage drop"))
    with pytest.raises(Problem, match="asks otherwise than when it was handed out"):
        handing_out.again(Cohort.open(cohort.root), "amber")


def test_a_sheet_that_does_not_hold_is_not_handed_out(tmp_path, first):
    root = tmp_path / "spring"
    put(root, first.replace("plausible=(5, 1000)", "plausible=(5, 80)"))
    with pytest.raises(Problem, match=r"own-bench-lead/drop: .* is right and not in"):
        handing_out.make(PEOPLE, root, ("shorts",), "", HANDED)
    assert [path.name for path in root.iterdir()] == ["sheets"]


def test_what_a_kill_left_while_the_new_folder_took_its_place_is_put_back(tmp_path, first):
    root = tmp_path / "spring"
    put(tmp_path / ".spring.before", first)
    handing_out.make([], root, ("shorts",), "", HANDED)
    assert (root / "sheets" / "bench_lead.py").read_text() == first
    assert not (tmp_path / ".spring.before").exists()


# ---- handed out, checked at home, marked


def test_it_is_handed_out_in_own_numbers_and_its_sheet_is_recorded(made):
    both = [HandoutRecord(made.record).find(one.id, "shorts", NAME) for one in PEOPLE]
    assert both[0].givens != both[1].givens
    assert {one.sheet for one in both} == {own.source_of(made.root, "shorts", NAME).exercises[0].sheet}
    assert HandoutRecord(made.record).find("amber", "shorts", "leads-off").sheet == ""


def test_a_line_of_the_record_says_nothing_of_sheets_where_there_is_none(made):
    lines = [json.loads(line) for line in made.record.read_text().splitlines()]
    assert {one["exercise"] for one in lines if "sheet" in one} == {NAME}


def opened_handout(cohort, learner, to):
    """Open a learner's handout in a process that knows no own sheet, and return its own exercise's notebook."""
    _, files = folder.unpacked(cohort.handout_of(learner))
    folder.lay_out(to / learner, files)
    own.use(to)
    return to / learner / "shorts" / f"101_{NAME}.ipynb"


def test_a_learner_checks_it_at_home_and_packs_it(made, tmp_path):

    path = opened_handout(made, "amber", tmp_path)
    path.write_bytes(answered(path.read_bytes(), share=1.0))
    checked = checking.check(path)
    assert (checked.points, checked.exercise.points) == (3, 3)
    path.write_bytes(answered(path.read_bytes(), share=0.001))
    assert checking.check(path).verdicts[0].points == 0
    taken, _ = packing.chosen(tmp_path / "amber", ("shorts",))
    assert (path, "shorts", f"101_{NAME}") in taken


def test_it_is_practised_where_the_learner_asks_for_it(made, tmp_path):
    opened_handout(made, "amber", tmp_path)
    assert NAME not in [item.exercise.id for item in scheduling.items("shorts")]
    checking.lend_own(tmp_path / "amber")
    assert NAME in [item.exercise.id for item in scheduling.items("shorts")]


def test_where_no_handout_has_own_exercises_practising_them_is_one_clear_line(tmp_path):
    with pytest.raises(Problem, match="no exercises of an instructor's own here"):
        checking.lend_own(tmp_path)


def test_the_points_beside_a_marking_cell_point_to_the_last_cell_until_it_was_run():
    call = f"from graders import stock\nstock.points('shorts', '{NAME}', 'drop', globals())"
    assert marking_line.line(call, {}) == "The last cell of this page checks this exercise."


def test_a_clean_copy_is_the_handout_again(made, tmp_path):
    path = opened_handout(made, "amber", tmp_path)
    before = path.read_bytes()
    path.write_bytes(answered(before))
    assert copying.clean(path) == before


def test_no_code_of_a_sheet_runs_because_its_page_is_opened(made, tmp_path, monkeypatch):
    path = opened_handout(made, "amber", tmp_path)
    monkeypatch.chdir(path.parent)
    asked = {"do": "show", "file": f"shorts/{path.name}", "notebook": json.loads(path.read_bytes())}
    said = boxes.reply(json.dumps(asked)).data["say"]
    assert "your instructor's own" in said
    assert "run its last cell" in said
    assert sheets.own_exercises("shorts") == ()
    checking.check(path)
    assert [part["name"] for part in boxes.reply(json.dumps(asked)).data["parts"]] == ["drop", "lead"]


def test_opening_a_handout_says_whose_code_it_brings(made, tmp_path):
    _, files = folder.unpacked(made.handout_of("amber"))
    said = []
    opening.tell(folder.lay_out(tmp_path / "amber", files), said.append)
    assert f"Your instructor's own: shorts/101_{NAME}.ipynb" in " ".join(said)


@pytest.mark.parametrize("held", [None, {}, {"name": "sheets/x.py"}, {"name": "/etc/x.py", "text": ""}, {"text": "%"}])
def test_a_damaged_sheet_in_a_notebook_is_one_clear_line(made, tmp_path, held):
    path = opened_handout(made, "amber", tmp_path)
    read = json.loads(path.read_bytes())
    read["metadata"]["rework_workbook"]["sheet"] = held
    path.write_text(json.dumps(read))
    with pytest.raises(Problem, match="missing or damaged"):
        checking.check(path)


def test_it_is_marked_by_the_cohorts_sheet_whatever_sheet_comes_back(cohort, pool):
    hand_in(cohort, "amber", share=2.0)
    path = cohort.submitted("amber", "shorts") / f"101_{NAME}.ipynb"
    read = json.loads(path.read_bytes())
    read["metadata"]["rework_workbook"]["sheet"] = own.packed(own.of_text("sheets/x.py", GENEROUS), f"101_{NAME}")
    path.write_text(json.dumps(read))
    marking.mark(cohort, pool)
    points = {row.part: row.points for row in Journal(cohort.journal).get(("amber", "shorts")).rows}
    assert points["drop"] == 0


def test_its_points_stand_in_totals_and_its_page_in_the_feedback(cohort, pool):
    hand_in(cohort, "amber")
    marking.mark(cohort, pool)
    pages.everything(cohort)
    assert "Drop across a bench lead" in cohort.feedback("amber", "shorts").read_text()
    row = next(line for line in cohort.totals.read_text("utf-8-sig").splitlines() if line.startswith("amber"))
    assert row.split(",")[2] == "3"
    assert NAME in "".join(path.read_text() for path in cohort.root.joinpath("report").glob("report*.html"))


GENEROUS = """
from graders.questions import Exercise, Written
TOPIC = "shorts"
PARTS = (Written("drop", "a", model="m"),)
EXERCISES = Exercise(id="own-bench-lead", number=101, title="t", setup="s", givens={}, parts=PARTS)
"""


def test_a_changed_sheet_marks_anew_and_is_said(cohort, pool, first):
    hand_in(cohort, "amber")
    marking.mark(cohort, pool)
    assert marking.mark(cohort, pool).why == {}
    put(cohort.root, first + "\n# a comment\n")
    again = marking.mark(Cohort.open(cohort.root), pool)
    assert again.why == {"judged otherwise now": 1}
    assert again.asked_otherwise == {}
    assert any("is not as it was handed out" in line for line in differences.lines(cohort))


def test_a_sheet_that_asks_otherwise_leaves_the_marks_as_they_were(cohort, pool, first):
    hand_in(cohort, "amber")
    marking.mark(cohort, pool)
    rows = Journal(cohort.journal).get(("amber", "shorts")).rows
    put(cohort.root, first.replace("What is the voltage drop", "How large is the voltage drop"))
    assert list(marking.mark(Cohort.open(cohort.root), pool).asked_otherwise) == [f"shorts/{NAME}"]
    assert Journal(cohort.journal).get(("amber", "shorts")).rows == rows


def test_a_sheet_that_is_gone_ends_every_command_that_needs_it_in_one_line(cohort):
    (cohort.root / "sheets" / "bench_lead.py").unlink()
    with pytest.raises(Problem, match="has no own-bench-lead, which was handed out"):
        opened(cohort.root)


def test_a_sheet_that_came_after_its_topic_goes_to_nobody(cohort, first):
    put(cohort.root, first.replace("own-bench-lead", "own-late").replace("number=101", "number=102"), "late.py")
    cohort.root.joinpath("cohort.toml").write_text(
        re.sub(r"exercises = .*", "exercises = {}", cohort.root.joinpath("cohort.toml").read_text())
    )
    handing_out.make([Learner("cedar", "Cedar Example (invented)")], cohort.root)
    assert HandoutRecord(cohort.record).find("cedar", "shorts", "own-late") is None
    assert HandoutRecord(cohort.record).find("cedar", "shorts", NAME)
    assert any("own-late was not handed out" in line for line in differences.lines(cohort))


def test_a_backup_carries_the_sheets_also_one_that_is_broken(cohort, tmp_path):
    broken = put(cohort.root, "EXERCISES = (", "broken.py")
    file = tmp_path / "kept.zip"
    assert CliRunner().invoke(main, ["backup", str(cohort.root), str(file)]).exit_code == 0
    putting_back.restore(file, tmp_path / "again")
    for path in (broken, cohort.root / "sheets" / "bench_lead.py"):
        assert (tmp_path / "again" / "sheets" / path.name).read_bytes() == path.read_bytes()


PLANTED = (
    "sheets/planted.py", "../sheets/planted.py", "amber/../../sheets/planted.py", "amber/sheets/planted.py",
    "amber/shorts/planted.py", "submitted/../sheets/planted.py", "/sheets/planted.py", "..\\sheets\\planted.py",
    "spring/sheets/planted.py", "shop.toml", "../shop.toml",
)  # fmt: skip


def test_nothing_that_a_learner_sends_becomes_a_sheet(cohort, tmp_path):
    there = sorted((cohort.root / "sheets").iterdir())
    own_work = answered((cohort.handout("amber") / "shorts" / f"101_{NAME}.ipynb").read_bytes())
    bad = b"raise SystemExit('planted')"
    parcel = tmp_path / "amber.zip"
    parcel.write_bytes(zipped(dict.fromkeys(PLANTED, bad) | {f"amber/shorts/101_{NAME}.ipynb": own_work}))
    assert filing.file_all(cohort, [parcel]).filed == 1
    assert sorted((cohort.root / "sheets").iterdir()) == there
    assert not list(tmp_path.rglob("planted.py"))
    assert not (cohort.root / "shop.toml").exists()
