"""One learner's topic: what stands of it, what lateness and a void leave, what is said of files that are strange."""

from dataclasses import replace

import pytest

from graders import sheets
from graders.cohort.record import Handed
from graders.cohort.settings import Settings, Void
from graders.gradebook import manual_marks
from graders.gradebook.manual_marks import MarkedOn
from graders.judging.marks import Finding, Row
from graders.marking import mark_submission
from graders.marking.journal import AT_FAULT, Result
from graders.marking.mark_submission import Job, Left, OneMarked
from graders.marking.parcel import Done
from graders.questions.verdicts import BY_HAND_FLAG, CELL_MISSING, Code, Verdict


def handed(exercise, notebook=None):
    sheet = sheets.find("profile", exercise)
    return Handed("birch", "profile", exercise, notebook or exercise, sheet.worked(), "e", "s", "v", {}, [])


BEAD, LOG = handed("bead-lag"), handed("read-the-log")
PART = sheets.find("profile", "bead-lag").parts[0]


def verdict(points=2.0, code=Code.RIGHT, flag="", remark="Right."):
    return Verdict("lag", points, 2, code, remark, flag)


def row(one, counts):
    return mark_submission._row(BEAD, one, counts)


def test_what_came_in_time_is_as_the_judge_said():
    found = row(verdict(flag="f"), 1)
    assert (found.points, found.flag, found.remark) == (2, "f", "Right.")
    assert (found.learner, found.topic, found.exercise, found.part, found.out_of) == (
        "birch",
        "profile",
        "bead-lag",
        "lag",
        2,
    )


def test_what_came_late_loses_its_share_and_is_told_so():
    found = row(verdict(), 0.9)
    assert (found.points, found.flag) == (1.8, "late")
    assert found.remark == "Right. It came after its due time, so 90 % of it counts."
    nothing = row(verdict(flag="took d", code=Code.SLIP), 0.0)
    assert (nothing.points, nothing.flag) == (0, "late; took d")
    assert nothing.remark == "Right. It came after its due time, so it earns nothing."
    assert row(verdict(points=0.333333), 0.7).points == 0.2333


def test_a_flag_that_says_no_more_than_the_mark_is_not_said_beside_lateness():
    assert row(verdict(code=Code.NOT_HANDED_IN, flag="not handed in"), 0.5).flag == "late"
    assert row(verdict(code=Code.NEEDS_A_LOOK, flag="not a number"), 0.5).flag == "late; not a number"


@pytest.mark.parametrize("many", [0, 1, 3, 4, 9])
def test_up_to_three_strange_files_are_named_and_of_more_the_first(many):
    said = mark_submission._strange_names([f"file{number}.ipynb" for number in range(many)])
    if many <= 3:
        assert [line.split(" ")[0] for line in said] == [f"file{number}.ipynb" for number in range(many)]
    else:
        assert said == [
            f"{many} files have names that were not handed out, the first file0.ipynb; they are left as they are"
        ]


def after_void(one, points, part="lag"):
    settings = Settings("Spring", (), void=(Void("profile", "bead-lag", part, points, "misprint"),))
    return mark_submission._after_void(settings, BEAD, one)


def test_a_void_drops_a_part_or_gives_it_in_full_and_leaves_all_others():
    wrong = verdict(0.5, Code.PARTLY, "flag")
    assert after_void(wrong, "drop") == Verdict("lag", 0, 0, Code.DROPPED, "Dropped for all: misprint", "")
    assert after_void(wrong, "full") == Verdict("lag", 2, 2, Code.FULL_FOR_ALL, "Full points for all: misprint", "")
    assert after_void(wrong, "drop", "other") is wrong


def test_a_mark_by_hand_is_given_for_the_answer_and_for_the_judges_points_where_it_gave_any():
    assert mark_submission._basis(verdict(1.5), {"lag": "digest"}) == MarkedOn("digest", 1.5)
    for flag in (BY_HAND_FLAG, CELL_MISSING):
        assert mark_submission._basis(verdict(0.0, flag=flag), {}) == MarkedOn(manual_marks.digest(""), None)


def journalled(*rows, **more):
    return Result("birch", "profile", rows, (), "d", **more)


ROW = Row("birch", "profile", "bead-lag", "lag", 1.5, 2, Code.PARTLY, "f", "r")


def test_of_what_stands_only_its_own_exercises_are_kept():
    other = replace(ROW, exercise="read-the-log")
    job = Job("birch", "profile", (LOG,), "d", (BEAD,), journalled(ROW, other))
    assert job.rows == (ROW,)
    assert job.stood({"bead-lag": 1, "read-the-log": 2}) == {"bead-lag": 1}
    assert job.stood({"read-the-log": 2}) == {}
    assert Job("birch", "profile", (LOG,), "d", (BEAD,)).rows == ()


def together(cohort, job, marked=None, others=()):
    return mark_submission._together(cohort, job, marked or {}, others)


def test_what_stands_is_carried_into_the_new_result_beside_what_is_marked_now(fresh):
    finding = Finding("birch", "profile", "bead-lag", "lag", "bare number")
    basis = {"lag": MarkedOn("x", 1.5)}
    before = journalled(
        ROW,
        findings=(finding, replace(finding, exercise="read-the-log")),
        numbers={"bead-lag": {"lag": 3.0}, "read-the-log": {}},
        keys={"bead-lag": {"lag": 4.0}},
        bases={"bead-lag": basis},
    )
    now = OneMarked((Verdict("p", 1.0, 1, Code.RIGHT, "Right."),), ("a problem",), (), {"p": 7.0}, {"p": "digest"})
    found, marked = together(fresh, Job("birch", "profile", (LOG,), "d", (BEAD,), before), {"read-the-log": now}, ["x"])
    assert [(one.exercise, one.points) for one in found.rows] == [("bead-lag", 1.5), ("read-the-log", 1.0)]
    assert found.findings == (finding,)
    assert found.numbers == {"read-the-log": {"p": 7.0}, "bead-lag": {"lag": 3.0}}
    assert found.keys["bead-lag"] == {"lag": 4.0}
    assert set(found.keys["read-the-log"]) <= {part.name for part in sheets.find("profile", "read-the-log").parts}
    assert found.bases == {"read-the-log": {"p": MarkedOn("digest", 1.0)}, "bead-lag": basis}
    assert set(found.judged) == {"read-the-log"}
    assert found.problems == ("birch / profile / x", "birch / profile / a problem")
    assert (found.digest, found.counts, found.fresh_numbers) == ("d", 1.0, fresh.settings().fresh_numbers)
    assert marked.stands == {"bead-lag": (Verdict("lag", 1.5, 2, Code.PARTLY, "r", "f"),)}
    assert set(marked.notebooks) == {"read-the-log"}


def test_without_anything_standing_only_what_is_marked_now_counts(fresh):
    now = OneMarked((Verdict("p", 1.0, 1, Code.RIGHT, "Right."),))
    found, marked = together(fresh, Job("birch", "profile", (LOG,), "d"), {"read-the-log": now})
    assert (found.numbers, found.keys, found.findings, marked.stands) == ({}, {}, (), {})


def test_a_topic_with_a_notebook_that_could_not_be_marked_is_tried_again(fresh):
    good, bad = OneMarked((verdict(),)), OneMarked((verdict(),), is_faulty=True)
    job = Job("birch", "profile", (LOG, BEAD), "d")
    for one, other, digest in ((good, good, "d"), (good, bad, AT_FAULT), (bad, good, AT_FAULT)):
        assert together(fresh, job, {"read-the-log": one, "bead-lag": other})[0].digest == digest


def kept(cohort, done=None, **left):
    return mark_submission._kept(cohort, BEAD, Left(**left), done)


PARTS = sheets.find("profile", "bead-lag").parts
JUDGED = Done(
    tuple(Verdict(part.name, 0.0, part.points, Code.NOT_RIGHT, "x") for part in PARTS),
    ("twice", "twice", "once"),
    {PART.name: "bare number"},
    {PART.name: 3.0},
    {PART.name: "digest"},
)


def test_what_did_not_come_is_not_handed_in_and_no_fault(fresh):
    found = kept(fresh)
    assert {one.verdict for one in found.verdicts} == {Code.NOT_HANDED_IN}
    assert {one.flag for one in found.verdicts} == {"not handed in"}
    assert [(one.points, one.out_of) for one in found.verdicts] == [(0, part.points) for part in PARTS]
    assert (found.problems, found.is_faulty, found.numbers) == ((), False, None)


@pytest.mark.parametrize("faulty", [False, True])
def test_a_file_that_is_broken_needs_a_look_and_is_tried_again_only_where_nobody_knows_why(faulty, fresh):
    for found in (
        kept(fresh, broken={"bead-lag": "is empty"}, faulty={"bead-lag"} if faulty else set()),
        kept(fresh, Done(broken="is empty", is_faulty=faulty)),
    ):
        assert found.problems == ("bead-lag.ipynb is empty",)
        assert {(one.verdict, one.flag, one.remark) for one in found.verdicts} == {
            (Code.NEEDS_A_LOOK, "file broken", "The file is empty.")
        }
        assert found.is_faulty is faulty


def test_what_could_not_be_judged_needs_a_look_and_is_tried_again(fresh):
    found = kept(fresh, Done(fault="a bug", is_faulty=True))
    assert found.problems == ("bead-lag: needs a look, it could not be judged (a bug)",)
    assert {one.flag for one in found.verdicts} == {"could not be marked: a bug"}
    assert found.is_faulty


def test_what_was_judged_is_kept_with_each_note_once_and_its_copy_written(fresh):
    found = kept(fresh, JUDGED)
    assert found.problems == ("bead-lag: twice (2 times)", "bead-lag: once")
    assert [(one.part, one.finding) for one in found.findings] == [(PART.name, "bare number")]
    assert (found.verdicts, found.numbers, found.answers) == (JUDGED.verdicts, JUDGED.numbers, JUDGED.answers)
    assert not found.is_faulty
    path = fresh.autograded("birch", "profile") / "bead-lag.ipynb"
    assert not path.exists(), "there was nothing to write"
    kept(fresh, replace(JUDGED, safe_copy="{}"))
    assert path.read_text() == "{}"


def test_a_copy_that_cannot_be_written_is_said_and_the_marks_stand(fresh, monkeypatch):
    def fails(*_):
        raise ValueError("odd")

    monkeypatch.setattr(mark_submission, "write_whole", fails)
    found = kept(fresh, replace(JUDGED, safe_copy="{}"))
    assert "its safe copy could not be written" in found.problems[-1]
    assert (found.verdicts, found.is_faulty) == (JUDGED.verdicts, False)


def everybodys(*_):
    raise OSError(28, "No space left on device")


def odd(*_):
    raise LookupError("odd")


def test_a_fault_costs_its_topic_and_one_that_is_everybodys_ends_the_marking(fresh):
    job = Job("birch", "profile", (BEAD,), "d")
    found, marked = mark_submission.or_unmarked(fresh, job, odd)
    assert (found.digest, {one.verdict for one in found.rows}) == (AT_FAULT, {Code.NEEDS_A_LOOK})
    assert "could not be marked" in found.problems[0]
    with pytest.raises(OSError, match="No space"):
        mark_submission.or_unmarked(fresh, job, everybodys)
    whole = journalled(), marked
    assert mark_submission.or_unmarked(fresh, job, lambda: whole) == whole
    unwritable = journalled(replace(ROW, remark="\ud800")), marked
    assert mark_submission.or_unmarked(fresh, job, lambda: unwritable)[0].digest == AT_FAULT


def test_packing_takes_what_was_handed_out_and_says_what_it_does_not_know(fresh):
    folder = fresh.submitted("birch", "profile")
    (folder / "odd.ipynb").write_text("{}")
    (folder / "read-the-log.ipynb").write_text("{}")
    (folder / "bead-lag.ipynb").write_text('{"a": 1}')
    job = Job("birch", "profile", (BEAD,), "d", (LOG,))
    packed, left = mark_submission.pack(fresh, job)
    assert packed.texts == {"bead-lag": '{"a": 1}'}
    assert "odd.ipynb" in left.strange
    assert "read-the-log.ipynb" not in left.strange
    assert [one.exercise for one in packed.asked] == ["bead-lag"]
    assert (left.broken, left.faulty) == ({}, set())


@pytest.mark.parametrize(("fault", "ends"), [(odd, False), (everybodys, True)])
def test_a_file_that_cannot_be_read_costs_itself_only(fault, ends, fresh, monkeypatch):
    (fresh.submitted("birch", "profile") / "bead-lag.ipynb").write_text("{}")
    monkeypatch.setattr(mark_submission.submission, "text_of", fault)
    job = Job("birch", "profile", (BEAD,), "d")
    if ends:
        with pytest.raises(OSError, match="No space"):
            mark_submission.pack(fresh, job)
    else:
        packed, left = mark_submission.pack(fresh, job)
        assert (packed.texts, left.faulty, set(left.broken)) == ({}, {"bead-lag"}, {"bead-lag"})


def test_the_key_of_an_exercise_holds_its_numbers_in_their_own_units():
    sheet = sheets.find("profile", "bead-lag")
    key = mark_submission._number_key(sheet, sheet.worked())
    assert key
    assert key.items() <= sheet.key(sheet.worked()).items()
