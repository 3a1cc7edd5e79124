"""What is marked and why, and what one run writes, notes and passes on."""

import shutil
from dataclasses import replace
from datetime import datetime
from types import SimpleNamespace

import pytest

from graders import sheets
from graders.cohort.record import Handed, HandoutRecord
from graders.cohort.settings import Void
from graders.gradebook.book import Marked, Refused
from graders.gradebook.manual_marks import ManualMark, ManualScore, MarkedOn
from graders.judging.marks import Override, Row
from graders.marking import marks_csv, plan, run
from graders.marking.journal import AT_FAULT, Journal, Result
from graders.marking.marks_csv import CopiedAnswers, Marks
from graders.marking.plan import AGAIN, ANEW, CHANGED, NEW, OTHERWISE, WRITTEN
from graders.questions import editions
from graders.questions.verdicts import Code

SHEET = sheets.find("profile", "bead-lag")


def handed(learner="birch", exercise="bead-lag"):
    return Handed(learner, "profile", exercise, exercise, SHEET.worked(), "e", "s", "v", {}, [])


ROW = Row("birch", "profile", "bead-lag", "time_constant", 1.5, 2, Code.NOT_RIGHT, "", "")


def journalled(digest="aa", learner="birch", rows=(ROW,), **more):
    judged = {"bead-lag": editions.judged(SHEET)}
    return Result(learner, "profile", tuple(rows), (), digest, **{"judged": judged} | more)


@pytest.fixture
def journal(tmp_path):
    return Journal(tmp_path / "marked.jsonl")


def why(journal, digest):
    return plan._why(journal, "birch", "profile", digest, [handed()], {})


def test_what_is_marked_is_new_or_changed_or_failed_or_is_judged_otherwise_now(journal):
    assert why(journal, "aa") == NEW
    journal.append([journalled()])
    assert (why(journal, "aa"), why(journal, "bb")) == ("", CHANGED)
    journal.append([journalled(AT_FAULT)])
    assert why(journal, "aa") == AGAIN
    journal.append([journalled(judged={"bead-lag": "another edition"})])
    assert why(journal, "aa") == OTHERWISE


def test_what_was_marked_before_editions_were_noted_was_judged_by_the_first(journal):
    journal.append([journalled(judged={})])
    first = editions.judged_first("profile", "bead-lag")
    assert why(journal, "aa") == ("" if first == editions.judged(SHEET) else OTHERWISE)


def planned(cohort, journal, learners, topics=("profile",), anew=False):
    return plan.planned(cohort, cohort.settings(), HandoutRecord(cohort.record), journal, learners, topics, anew)


def test_each_learners_topic_is_marked_once_stands_or_did_not_come(fresh, journal):
    people = list(HandoutRecord(fresh.record).learners)
    found = planned(fresh, journal, people)
    came = {one.learner for one in found.todo}
    assert came | {learner for learner, _ in found.not_handed_in} == set(people)
    assert found.why == {NEW: len(came)}
    assert found.unchanged == 0
    (one, *_) = found.todo
    journal.append(
        [replace(journalled(), learner=one.learner, digest=one.digest, judged=_editions(fresh, one.learner))]
    )
    again = planned(fresh, journal, people)
    assert (again.unchanged, len(again.todo)) == (1, len(found.todo) - 1)
    assert planned(fresh, journal, people, anew=True).why == {ANEW: len(came)}
    assert planned(fresh, journal, people, topics=()).todo == ()
    assert planned(fresh, journal, [one.learner]).todo == ()


def _editions(cohort, learner):
    handed_out = HandoutRecord(cohort.record).by_topic(learner)["profile"]
    return {one.exercise: editions.judged(sheets.find("profile", one.exercise)) for one in handed_out}


def test_who_left_is_not_missed(fresh, journal):
    shutil.rmtree(fresh.submitted("birch", "profile"))
    assert planned(fresh, journal, ["birch"]).not_handed_in == (("birch", "profile"),)
    fresh.roster.write_text("id,name,left\nbirch,Birch,left\n", encoding="utf-8")
    assert planned(fresh, journal, ["birch"]).not_handed_in == ()


def test_what_is_asked_otherwise_now_stands_and_is_written_again_only_where_all_is_marked_anew(
    fresh, journal, monkeypatch
):
    monkeypatch.setattr(plan.editions, "asks_as_handed_out", lambda *_: False)
    record = HandoutRecord(fresh.record)
    found = planned(fresh, journal, record.learners)
    assert set(found.asked_otherwise) == {f"{topic}/{exercise}" for topic, exercise, *_ in record.editions}
    assert found.todo == ()
    assert found.unchanged > 0
    assert planned(fresh, journal, record.learners, anew=True).todo == ()
    journal.append([replace(journalled(), learner="birch")])
    again = planned(fresh, journal, record.learners, anew=True)
    assert [(one.learner, one.why) for one in again.todo] == [("birch", WRITTEN)]
    (job,) = again.jobs(record, journal)
    assert (job.handed, len(job.standing)) == ((), len(record.by_topic("birch")["profile"]))
    assert job.before.rows == (ROW,)


def test_a_job_takes_nothing_of_before_where_nothing_stands(fresh, journal):
    journal.append([replace(journalled("bb"), learner="birch")])
    record = HandoutRecord(fresh.record)
    (job,) = planned(fresh, journal, ["birch"]).jobs(record, journal)
    assert (job.before, job.standing) == (None, ())
    assert job.handed == tuple(record.by_topic("birch")["profile"])


def test_pieces_are_as_long_as_asked_and_the_last_holds_the_rest():
    for many, sizes in ((0, []), (1, [1]), (3, [3]), (4, [3, 1]), (6, [3, 3])):
        pieces = list(run._chunks(iter(range(many)), 3))
        assert [len(piece) for piece in pieces] == sizes
        assert [one for piece in pieces for one in piece] == list(range(many))


def test_marks_are_written_in_pieces_that_a_crash_may_cost():
    assert run.CHUNK == 20


def marked(learner="birch"):
    return Marked(learner, "profile", {})


BASES = {"bead-lag": {"time_constant": MarkedOn("x", 1.0)}}
GIVEN = {"bead-lag": {"time_constant": ManualScore(2.0, MarkedOn("x", 1.0))}}
BEFORE = journalled(rows=(ROW, replace(ROW, part="lag", verdict=Code.DROPPED)), bases=BASES, given=GIVEN)


def test_what_stood_before_goes_into_the_gradebook_beside_what_is_marked_now():
    assert run._beside(marked(), None) == marked()
    beside = run._beside(marked(), BEFORE)
    assert (beside.bases_before, beside.given_before) == (BASES, GIVEN)
    assert beside.voided_before == {("bead-lag", "lag")}


def test_what_marks_by_hand_were_given_for_is_noted_and_stays_for_what_stands():
    assert run._with_given(journalled(), {}, None).given == {}
    assert run._with_given(journalled(), {}, BEFORE).given == {}, "it was judged anew"
    assert run._with_given(journalled(judged={}), {}, BEFORE).given == GIVEN
    assert run._with_given(journalled(judged={}), {"other": {}}, BEFORE).given == GIVEN | {"other": {}}


def test_what_the_gradebook_does_not_take_costs_its_topic_only():
    asked = []

    def write(many):
        asked.append([one.learner for one in many])
        if any(one.learner == "birch" for one in many):
            raise Refused("odd")
        return [{} for _ in many]

    chunk = [(journalled(learner=learner), marked(learner)) for learner in ("amber", "birch", "cedar")]
    known = {("amber", "profile"): None, ("birch", "profile"): BEFORE, ("cedar", "profile"): None}
    found = run._written(write, chunk, known)
    assert asked == [["amber", "birch", "cedar"], ["amber"], ["birch"], ["cedar"]]
    assert [one.digest for one in found] == ["aa", AT_FAULT, "aa"]
    assert found[1].problems == ("birch / profile / needs a look, the gradebook did not take it (odd)",)
    assert [one.given for one in found] == [{}, GIVEN, {}]
    asked.clear()
    assert [one.digest for one in run._written(write, chunk[:2], known)] == ["aa", AT_FAULT]
    assert asked == [["amber", "birch"], ["amber"], ["birch"]], "of two, too"


def test_a_folder_of_somebody_else_is_said_and_left(fresh, tmp_path):
    learners = set(HandoutRecord(fresh.record).learners)
    assert run._strangers(fresh, learners) == ()
    (fresh.root / "submitted" / "nobody").mkdir()
    assert run._strangers(fresh, learners) == ("nobody: no learner of this cohort; the folder is left as it is",)
    assert run._strangers(replace(fresh, root=tmp_path), learners) == ()


def test_points_of_before_are_by_exercise_and_part():
    assert run._points(BEFORE) == {("bead-lag", "time_constant"): 1.5, ("bead-lag", "lag"): 1.5}
    assert run._points(None) == {}


def test_each_learners_marks_are_shown_with_what_the_changed_topics_had_before(fresh, journal):
    journal.append([journalled(), journalled("bb", "amber", [replace(ROW, learner="amber")])])
    marks = Marks(fresh, HandoutRecord(fresh.record), journal, {})
    shown = {}
    changed = {"birch": {"profile": journal.place(("birch", "profile"))}, "amber": {"profile": None}}
    rows = list(run._passing(marks, changed, lambda rows, before: shown.__setitem__(rows[0].learner, before)))
    assert shown["birch"] == {"profile": {("bead-lag", "time_constant"): 1.5}}
    assert shown["amber"] == {"profile": {}}
    assert shown["cedar"] == {}
    assert [row for row in rows if row.learner == "birch"] == [ROW]


def test_who_handed_nothing_in_has_a_row_a_part_and_who_left_has_none(fresh, journal):
    marks = Marks(fresh, HandoutRecord(fresh.record), journal, {})
    rows = marks.rows_of("birch")
    assert {row.verdict for row in rows} == {Code.NOT_HANDED_IN}
    assert {(row.points, row.flag, row.remark, row.comment) for row in rows} == {(0.0, "not handed in", "", "")}
    parts = [
        part for one in HandoutRecord(fresh.record).of("birch") for part in sheets.find(one.topic, one.exercise).parts
    ]
    assert [(row.part, row.out_of) for row in rows] == [(part.name, part.points) for part in parts]
    del marks.names["birch"]
    assert marks.rows_of("birch") == []
    assert "birch" not in dict(marks.by_learner())
    assert marks.results_of("birch") == []
    journal.append([journalled()])
    assert marks.rows_of("birch") == [ROW]
    assert [one.learner for one in marks.results_of("birch")] == ["birch"]


def test_only_wrong_numbers_are_compared_with_those_of_others():
    key = SHEET.step_key(SHEET.worked())
    names = [part.name for part in SHEET.parts if part.name in key][:2]
    numbers = {"bead-lag": {name: key[name] for name in names}}
    other = {name: 2 * key[name] for name in key}

    def gathered(code, learner_numbers=numbers):
        copied = CopiedAnswers()
        copied.add(journalled("a", "amber", [], numbers=numbers, keys={"bead-lag": key}))
        rows = [replace(ROW, part=name, verdict=code) for name in names]
        copied.add(journalled("b", "birch", rows, numbers=learner_numbers, keys={"bead-lag": other}))
        return [(one.learner, one.part, one.whose) for one in copied.found()]

    assert gathered(Code.NOT_RIGHT) == [("birch", name, ("amber",)) for name in names]
    assert gathered(Code.SLIP) == gathered(Code.RIGHT) == []
    assert gathered(Code.NOT_RIGHT, {"bead-lag": {names[0]: key[names[0]]}}) == []


def test_a_gradebook_answers_for_each_topic_it_was_given():
    with pytest.raises(ValueError, match="zip"):
        run._written(lambda many: [], [(journalled(), marked())], {("birch", "profile"): None})


def test_only_the_learners_and_topics_that_are_asked_for_are_marked(fresh, pool):
    assert run.mark(fresh, pool, topics=("shorts",)).marked == ()
    assert run.mark(fresh, pool, only=("nobody",)).marked == ()
    found = run.mark(fresh, pool, topics=("profile",), only=("birch",))
    assert found.marked == (("birch", "profile"),)
    assert run.mark(fresh, pool, only=("birch",)).unchanged == 1


def test_a_cohort_whose_list_is_empty_has_no_names(fresh):
    fresh.roster.write_text("id,name\n", encoding="utf-8")
    assert marks_csv.names(fresh) == {}


def test_nothing_is_planned_of_learners_nobody_lists_any_more_but_what_they_handed_in(fresh, journal):
    fresh.roster.write_text("id,name\n", encoding="utf-8")
    found = planned(fresh, journal, ["birch"])
    assert [one.learner for one in found.todo] == ["birch"]


def test_an_exercise_this_version_does_not_know_is_asked_otherwise_by_the_version_that_did():
    handed_out = SimpleNamespace(editions={("profile", "no-such-exercise", "e", "9.9")})
    assert plan.asked_otherwise(handed_out) == {"profile/no-such-exercise": "9.9"}


def hash_of(cohort, **more):
    handed_out = HandoutRecord(cohort.record).by_topic("birch")["profile"]
    return plan.digest_of(cohort, replace(cohort.settings(), **more), "birch", "profile", handed_out)


def test_a_topic_is_marked_anew_where_something_said_of_it_or_of_all_has_changed(fresh):
    before, day = hash_of(fresh), datetime(2026, 12, 1)
    assert hash_of(fresh) == before
    for changed in (
        {"void": (Void("profile", "bead-lag", "lag", "drop", "misprint"),)},
        {"due": {"profile": day}},
        {"extensions": {("birch", "profile"): day}},
        {"late": "zero"},
        {"fresh_numbers": "half"},
    ):
        assert hash_of(fresh, **changed) != before, changed


def test_what_is_said_of_another_topic_or_learner_leaves_a_topic_as_it_was_marked(fresh):
    before, day = hash_of(fresh), datetime(2026, 12, 1)
    for changed in (
        {"void": (Void("shorts", "bead-lag", "lag", "drop", "misprint"),)},
        {"due": {"shorts": day}},
        {"extensions": {("amber", "profile"): day, ("birch", "shorts"): day}},
    ):
        assert hash_of(fresh, **changed) == before, changed


def test_of_a_link_only_its_name_is_part_of_the_hash_and_what_it_points_at_is_not_read(fresh, tmp_path):
    elsewhere = tmp_path / "elsewhere"
    elsewhere.write_text("one")
    link = fresh.submitted("birch", "profile") / "link.ipynb"
    without = hash_of(fresh)
    link.symlink_to(elsewhere)
    before = hash_of(fresh)
    assert before != without
    elsewhere.write_text("two")
    assert hash_of(fresh) == before
    link.unlink()
    link.mkdir()
    assert hash_of(fresh) == before, "a folder is not read either"


def test_at_the_end_each_change_of_marks_is_told_with_what_stood_before_and_none_where_none_changed(fresh, pool):
    path = fresh.submitted("birch", "profile") / "04_bead-lag.ipynb"
    path.unlink()

    def told(**more):
        found = {}
        run.mark(fresh, pool, only=("birch",), on_marks=lambda rows, was: found.update({rows[0].learner: was}), **more)
        return found["birch"]

    assert told() == {"profile": {}}, "new"
    assert told() == told(anew=True) == {}, "the same marks, once not touched and once marked anew"
    shutil.copy(fresh.submitted("amber", "profile") / path.name, path)
    (before,) = told().values()
    bead = {part: points for (exercise, part), points in before.items() if exercise == "bead-lag"}
    assert bead == dict.fromkeys((part.name for part in SHEET.parts), 0.0)


def test_all_is_marked_anew_where_that_is_asked_and_where_the_gradebook_was_lost(fresh, pool):
    def why(**more):
        return run.mark(fresh, pool, only=("birch",), **more).why

    assert why() == {NEW: 1}
    assert why() == {}
    assert why(anew=True) == {ANEW: 1}
    fresh.database.unlink()
    assert why() == {ANEW: 1}


def test_a_mark_by_hand_over_another_automatic_mark_than_it_was_given_over_is_told(fresh, journal):
    now = replace(BEFORE, rows=(ROW,), bases={"bead-lag": {"time_constant": MarkedOn("x", 1.5)}})
    journal.append([now])
    by_hand = {
        ("birch", "profile", "bead-lag", "time_constant"): ManualMark(2.0, asked=True),
        ("amber", "profile", "bead-lag", "time_constant"): ManualMark(2.0, asked=True),
    }
    found = Marks(fresh, HandoutRecord(fresh.record), journal, by_hand).overrides()
    assert found == [Override("birch", "profile", "bead-lag", "time_constant", 2.0, 1.0, 1.5, 2)]
