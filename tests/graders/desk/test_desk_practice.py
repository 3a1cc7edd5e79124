"""Practice: every part of every sheet can be asked, answered, hinted at and worked, and nothing costs twice."""

from datetime import UTC, datetime, timedelta

import pytest

from graders import sheets
from graders.desk import practice, scheduling
from graders.desk.practice import Question, Session
from graders.desk.scheduling import Item
from graders.questions import parse_answer
from graders.questions.parts.number import Number, Slip
from workbook import progress, units
from workbook.problems import Problem
from workbook.progress import Event

NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)
ITEMS = scheduling.items()


class Clock:
    def __init__(self):
        self.time = NOON

    def __call__(self):
        return self.time


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture
def kept(tmp_path, monkeypatch):
    """The progress file of a test."""
    path = tmp_path / "progress.jsonl"
    monkeypatch.setattr(progress, "file", lambda: path)
    return path


@pytest.fixture
def session(kept, clock):
    """A session on the profile topic that has just asked for the bead's lag (3 K in these numbers)."""
    session = Session("profile", now=clock, draw=lambda exercise: exercise.worked())
    bead = sheets.find("profile", "bead-lag")
    session.question = Question(1, Item("profile", bead, bead.part("lag")), bead.worked())
    session.done.append(session.question)
    return session


def right(session):
    return session.question.item.exercise.key(session.question.givens)[session.question.item.part.name]


def events(kept):
    return progress.read(kept).events


@pytest.mark.parametrize("item", ITEMS, ids=lambda item: "/".join(item.key))
def test_every_part_can_be_asked_and_its_own_key_is_right(kept, item):
    for seed in (b"a", b"b"):
        session = Session(item.topic)
        session.question = question = Question(1, item, item.exercise.draw(seed, "practice"))
        key = right(session)
        typed_in = f"{key!r} {item.part.unit}" if isinstance(item.part, Number) and item.part.unit != "1" else str(key)
        text = ", ".join(key) if isinstance(key, list) else typed_in
        assert session.answer(text).right
        assert question.grade == "known"
        assert item.exercise.title in question.setup
        assert question.ask


@pytest.mark.parametrize(
    "item", [item for item in ITEMS if isinstance(item.part, Number)], ids=lambda item: "/".join(item.key)
)
def test_the_working_with_ones_own_numbers_comes_to_the_answer(item):
    question = Question(1, item, item.exercise.draw(b"c", "practice"))
    last = (
        practice.worked(question)[-1].removeprefix(f"# {item.part.name} = ").removesuffix(units.shown(item.part.unit))
    )
    value = item.exercise.key(question.givens)[item.part.name]
    assert item.part.near(units.to_si(float(last), item.part.unit), units.to_si(value, item.part.unit))


@pytest.mark.parametrize("item", ITEMS, ids=lambda item: "/".join(item.key))
def test_the_hints_end_and_never_name_the_right_value(kept, item):
    session = Session(item.topic)
    session.question = Question(1, item, item.exercise.draw(b"d", "practice"))
    hints = []
    while (hint := session.hint()) is not None:
        hints.append(hint)
    assert hints
    assert len(set(hints)) == len(hints)
    if isinstance(item.part, Number):
        gives = [hint.split("gives ")[1].split(".  ")[0] for hint in hints if hint.startswith("A usual slip gives")]
        value = right(session)
        for text in gives:
            number = float(text.split()[0].rstrip("."))
            assert not item.part.near(units.to_si(number, item.part.unit), units.to_si(value, item.part.unit))


def test_a_slip_made_is_named_and_not_given_as_a_hint_again(session):
    part = session.question.item.part
    slip: Slip = part.slips[0]
    exercise = session.question.item.exercise
    g, a = exercise.values(session.question.givens), exercise.answers(exercise.key(session.question.givens))
    reply = session.answer(f"{units.from_si(float(slip.value(g, a)), part.unit)!r}")
    assert reply.remark == slip.words
    while (hint := session.hint()) is not None:
        assert slip.words not in hint


def test_an_answer_may_come_in_any_compatible_unit(session):
    assert session.answer(f"{right(session) * 1000!r} mK").right


def test_an_answer_that_cannot_be_read_costs_nothing(session):
    assert not session.answer("5 kg").counted
    session.answer(repr(right(session)))
    assert session.question.grade == "known"


def test_the_same_wrong_answer_again_gets_the_same_reply_and_is_one_try(session):
    first = session.answer("99")
    assert session.answer("99.0 K") is first
    assert len(session.question.replies) == 1


def test_a_right_answer_after_a_wrong_one_counts_as_helped_and_is_written_down_once(session, kept):
    session.answer("99")
    session.answer(repr(right(session)))
    session.answer(repr(right(session)))
    session.working()
    assert [event.what["grade"] for event in events(kept)] == ["helped"]


def test_asking_for_the_working_counts_as_shown_and_answering_after_it_changes_nothing(session, kept):
    session.working()
    assert session.answer(repr(right(session))).right
    assert [event.what["grade"] for event in events(kept)] == ["shown"]


def test_new_numbers_come_each_time(kept):
    bead = sheets.find("profile", "bead-lag")
    draw = Session("profile").draw
    assert len({str(draw(bead)) for _ in range(6)}) > 1


def test_no_new_question_comes_after_the_time_asked_for(kept, clock):
    session = Session("profile", minutes=20, now=clock)
    assert session.next() is not None
    clock.time += timedelta(minutes=19)
    assert session.next() is not None
    clock.time += timedelta(minutes=1)
    assert session.time_is_over
    assert session.next() is None


def practised(item, grade, at):
    return Event("practice", *item.key[:2], at, {"part": item.key[2], "grade": grade})


def test_new_parts_come_in_teaching_order():
    assert scheduling.choose(ITEMS, {}, NOON) == ITEMS[0]
    known = scheduling.cards([practised(ITEMS[0], "known", NOON)])
    assert scheduling.choose(ITEMS, known, NOON) == ITEMS[1]


def test_what_is_due_comes_before_what_is_new():
    known = scheduling.cards([practised(ITEMS[3], "shown", NOON)])
    assert scheduling.choose(ITEMS, known, NOON + timedelta(minutes=30)) == ITEMS[3]


def test_the_same_part_does_not_come_twice_in_a_row():
    known = scheduling.cards([practised(ITEMS[3], "shown", NOON)])
    assert scheduling.choose(ITEMS, known, NOON + timedelta(minutes=30), ITEMS[3].key) == ITEMS[0]


def test_when_nothing_is_due_or_new_the_part_due_soonest_comes():
    some = ITEMS[:3]
    known = scheduling.cards([practised(item, "known" if item is not some[1] else "shown", NOON) for item in some])
    assert scheduling.choose(some, known, NOON) == some[1]


def test_what_is_known_comes_back_later_each_time_and_what_was_shown_comes_back_soon():
    times, due = [NOON], []
    for _ in range(5):
        card = scheduling.cards([practised(ITEMS[0], "known", at) for at in times])[ITEMS[0].key]
        due.append(card.due - times[-1])
        times.append(card.due)
    assert due == sorted(due)
    assert due[-1] > timedelta(days=7)
    failed = [practised(ITEMS[0], "known", at) for at in times[:-1]] + [practised(ITEMS[0], "shown", times[-1])]
    assert scheduling.cards(failed)[ITEMS[0].key].due - times[-1] < timedelta(days=1)


def profile_standing(events, now):
    return next(one for one in scheduling.standings(events, now) if one.topic == "profile")


def test_standings_count_every_exercise_of_a_topic_once():
    some = [item for item in ITEMS if item.topic == "profile"]
    exercises = list(dict.fromkeys(item.exercise.id for item in some))
    first = next(item for item in some if item.exercise.id == exercises[0])
    second = next(item for item in some if item.exercise.id == exercises[1])
    later = NOON + timedelta(days=2)
    standing = profile_standing([practised(first, "shown", NOON), practised(second, "known", later)], later)
    assert (standing.sure, standing.begun, standing.repeat) == (0, 1, 1)
    assert standing.ahead == len(exercises) - 2


def test_an_exercise_is_sure_only_when_each_of_its_parts_comes_back_in_days():
    parts = [item for item in ITEMS if item.exercise.id == "bead-lag"]
    days = [NOON + timedelta(days=day) for day in range(4)]
    done = [practised(item, "known", at) for at in days for item in parts]
    assert profile_standing(done, days[-1]).sure == 1
    assert profile_standing([event for event in done if event.what["part"] != parts[0].key[2]], days[-1]).sure == 0


def test_a_topic_may_be_named_by_its_number():
    assert scheduling.items("3") == scheduling.items("profile")


def test_lines_of_exercises_that_are_gone_stop_nothing(kept):
    progress.add(Event("practice", "gone", "gone", NOON, {"part": "x", "grade": "known"}), kept)
    progress.add(Event("practice", "profile", "bead-lag", NOON, {"part": ["odd"], "grade": 3}), kept)
    assert Session("profile").next() is not None


@pytest.mark.parametrize("topic", ["nothing", "PROFILE"])
def test_an_unknown_topic_is_said(topic):
    with pytest.raises(Problem, match="no topic"):
        scheduling.items(topic)


def test_words_are_read_by_name_and_by_place():
    bead = sheets.find("profile", "bead-lag")
    part = bead.part("reads")
    place = list(part.options).index("too hot") + 1
    assert part.read("Too hot") == part.read(f"{place}") == "too hot"
    with pytest.raises(parse_answer.Unclear, match="none of the words"):
        part.read(f"{len(part.options) + 1}")


def test_the_report_of_a_wrong_question_holds_what_is_needed_to_look_into_it(session):
    session.answer("99")
    text = practice.report(session.question)
    for needed in ("profile/bead-lag", "part lag", '"ramp": 2', "answered 99", "edition ", "workbook 0"):
        assert needed in text
