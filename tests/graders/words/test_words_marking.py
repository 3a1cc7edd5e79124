"""Answers in words marked in a browser: held to the answer that was seen, in the same gradebook, by nobody else."""

import contextlib
import json
import sqlite3

import pytest

from graders import gradebook
from graders.gradebook import hand_copy
from graders.judging.marks import OLDER_ANSWER, needs_a_look
from graders.marking import run
from graders.questions.verdicts import Code
from graders.report import pages
from graders.words.server import LOOPBACK
from tests.graders.cohorts import copied, rows_now
from tests.graders.words_served import PEOPLE, PLACE, a_cohort, answers_again, ask, asked, mark, serving
from workbook.problems import Problem

HOSTILE = "</div><script>document.title='owned'</script><img src=x onerror=alert(1)> \u202egood"


@pytest.fixture(scope="module")
def made_once(tmp_path_factory, pool):
    return a_cohort(tmp_path_factory.mktemp("words") / "made", pool)


@pytest.fixture
def cohort(made_once, tmp_path):
    return copied(made_once, tmp_path / "words")


@pytest.fixture
def served(cohort):
    with serving(cohort) as one:
        yield one


def row_of(cohort, answer):
    (row,) = [row for row in rows_now(cohort) if (row.learner, row.part) == (answer.handed.learner, "why")]
    return row


def test_a_mark_and_its_comment_are_in_gradebook_marks_and_copy_at_once(cohort, served):
    answer = asked(cohort).given[0]
    status, told = mark(served, answer, "1,5", "Say where the heat goes. <b>Why?</b>")
    assert (status, told["points"], told["of"], told["seen"]) == (200, "1.5", 3, "Seen: 1 of 4")
    row = row_of(cohort, answer)
    assert (row.points, row.verdict, row.comment) == (1.5, Code.MARKED_BY_HAND, "Say where the heat goes. <b>Why?</b>")
    assert not needs_a_look(row)
    (kept,) = hand_copy.read(cohort.by_hand).values()
    assert (kept.score, kept.comment) == (1.5, row.comment)
    status, told = mark(served, asked(cohort).given[0], "", "")
    assert (status, told["points"], told["seen"], told["bank"]) == (200, "", "Seen: 0 of 4", [])
    assert row_of(cohort, answer).verdict is Code.BY_HAND


def test_comments_given_to_a_question_are_offered_again_the_most_used_first(cohort, served):
    one, two, three, _ = asked(cohort).given
    mark(served, one, "1", "Name the laminate.")
    mark(served, two, "1", "And the corner?")
    _, told = mark(served, three, "2", "And the corner?")
    assert told["bank"] == ["And the corner?", "Name the laminate."]
    page = ask(served, "GET", PLACE)[2]
    assert page.index("And the corner?</button>") < page.index("Name the laminate.</button>")


def test_a_page_names_nobody_and_its_order_is_not_the_lists(cohort, served):
    page = ask(served, "GET", PLACE)[2]
    for name in PEOPLE:
        assert name not in page.lower()
    ids = [answer.id for answer in asked(cohort).given]
    assert ids == sorted(ids)
    places = [page.index(f'data-id="{one}"') for one in ids]
    assert places == sorted(places)


def test_the_first_page_says_what_it_lists(served):
    assert '<p class="kicker">Answers in words</p>' in ask(served, "GET", "/")[2]


def test_what_a_learner_wrote_is_text_on_the_page(cohort, served, pool):
    answers_again(cohort, "amber", HOSTILE)
    run.mark(cohort, pool)
    page = ask(served, "GET", PLACE)[2]
    assert "<img" not in page
    assert page.count("<script>") == 1  # ours
    assert "\u202e" not in page
    assert "default-src 'none'" in page


@pytest.mark.parametrize("submitted_is_there", [True, False])
def test_a_learner_reads_an_answer_in_words_as_it_was_typed(cohort, pool, submitted_is_there):
    typed = "It opens warm.\n  - heat it\n" + "and read the chain again, " * 9 + "then call it good"
    answers_again(cohort, "amber", typed if submitted_is_there else typed[:100])
    run.mark(cohort, pool)
    if not submitted_is_there:
        typed = typed[:100]
        for path in cohort.submitted("amber", "profile").iterdir():
            path.unlink()
    pages.everything(cohort)
    page = cohort.feedback("amber", "profile").read_text(encoding="utf-8")
    assert f"<pre>{typed}</pre>" in page


def test_a_mark_for_an_answer_that_was_replaced_meanwhile_is_not_saved_and_the_new_one_is_shown(cohort, served, pool):
    answer = asked(cohort).given[0]
    learner = answer.handed.learner
    answers_again(cohort, learner, "The plate only looks nice.")
    run.mark(cohort, pool)
    status, told = mark(served, answer, "3")
    assert (status, told["now"]["text"]) == (409, "The plate only looks nice.")
    assert row_of(cohort, answer).verdict is Code.BY_HAND


def test_a_mark_given_before_stands_and_asks_for_a_look_at_the_new_answer_until_it_is_saved_again(cohort, served, pool):
    answer = asked(cohort).given[0]
    mark(served, answer, "2")
    answers_again(cohort, answer.handed.learner, "Because of the laminate.")
    run.mark(cohort, pool)
    assert row_of(cohort, answer).flag == OLDER_ANSWER
    now = asked(cohort).given[0]
    assert (now.points, now.is_marked) == ("2", False)
    assert "look again" in ask(served, "GET", PLACE)[2]
    mark(served, now, "2")
    assert asked(cohort).given[0].is_marked
    assert row_of(cohort, answer).flag == ""


def test_of_two_windows_the_second_does_not_write_over_what_it_has_not_seen(cohort, served):
    answer = asked(cohort).given[0]
    mark(served, answer, "2", "First.")
    status, told = mark(served, answer, "0", "Second.")
    assert (status, told["now"]["points"], told["now"]["comment"]) == (409, "2", "First.")
    assert row_of(cohort, answer).points == 2
    assert mark(served, answer, "0", "Second.", was=("2", "First."))[0] == 200
    assert mark(served, answer, "0", "Second.", was=("2", "First."))[0] == 200  # a reply that was lost, and sent again


@pytest.mark.parametrize("score", [1 / 3, 4.0])
def test_a_mark_that_this_page_would_not_give_is_replaced_like_any_other(score, cohort, served):
    """The formgrader takes more figures, and points above the most."""
    answer = asked(cohort).given[0]
    place = answer.handed.learner, *PLACE.strip("/").split("/")
    assert gradebook.of(cohort).give(place, score, "")
    status, _ = mark(served, asked(cohort).given[0], "2", "Read again.")
    assert (status, asked(cohort).given[0].score) == (200, 2)


def test_a_mark_whose_comment_has_no_place_in_the_gradebook_is_not_saved_by_half(cohort, served):
    answer = asked(cohort).given[0]
    with contextlib.closing(sqlite3.connect(cohort.database)) as book, book:
        book.execute("DELETE FROM comment")
    status, _ = mark(served, answer, "2", "Where does the heat go?")
    assert (status, gradebook.of(cohort).by_hand()) == (409, {})


def test_while_a_marking_runs_nothing_is_written_and_it_is_said(cohort, served):
    answer = asked(cohort).given[0]
    with cohort.locked():
        status, told = mark(served, answer, "2")
    assert status == 423
    assert "being marked already" in told["say"]
    assert mark(served, answer, "2")[0] == 200


BAD = [
    b"",
    b"[]",
    b"{}",
    b"\xff",
    b'{"was": 3}',
    b"[" * 50_000,
    json.dumps({"id": "x", "seen": "", "points": "1", "comment": "", "was": {"points": "", "comment": ""}}).encode(),
    json.dumps({"id": 1, "seen": "", "points": "1", "comment": "", "was": {"points": "", "comment": ""}}).encode(),
    b'{"id": "\\ud800", "seen": "", "points": "1", "comment": "", "was": {"points": "", "comment": ""}}',
]


@pytest.mark.parametrize("body", BAD, ids=lambda body: repr(body[:30]))
def test_what_no_page_of_ours_sends_is_one_line(served, body):
    status, _, text = ask(served, "POST", PLACE, body)
    assert status == 409
    assert "\n" not in json.loads(text)["say"]


@pytest.mark.parametrize("points", ["-1", "3.5", "nan", "inf", "1e9", "two", "1/2", "1 2", "9" * 400])
def test_points_that_are_none_are_said_in_one_line(cohort, served, points):
    answer = asked(cohort).given[0]
    status, told = mark(served, answer, points)
    assert (status, told["say"]) == (409, "Points go from 0 to 3.")
    assert asked(cohort).given[0].score is None


def test_a_comment_without_end_is_refused(cohort, served):
    status, told = mark(served, asked(cohort).given[0], "1", "x" * 5000)
    assert status == 409
    assert "at most 4000 characters" in told["say"]


STRANGERS = {
    "no token": {"Cookie": None},
    "a wrong token": {"Cookie": "words-1=x"},
    "another name for this machine": {"Host": "localhost.example:80"},
}


@pytest.mark.parametrize("name", STRANGERS)
def test_a_stranger_is_shown_nothing(served, name):
    for path in ("/", PLACE, "/no/such/page", "/?token=guess"):
        status, headers, text = ask(served, "GET", path, **STRANGERS[name])
        assert status == 403
        assert "sink of heat" not in text
        assert "Set-Cookie" not in headers


FORGED = {
    "another page": {"Origin": "http://elsewhere.example"},
    "a page that hides where it is": {"Origin": "null"},
    "no origin": {"Origin": None},
    "a form": {"Content_Type": "text/plain"},
    "without our header": {"X_Words": None},
}


@pytest.mark.parametrize("name", FORGED)
def test_no_other_page_can_write_a_mark(cohort, served, name):
    answer = asked(cohort).given[0]
    status, _ = mark(served, answer, "3", **FORGED[name])
    assert status == 403
    assert asked(cohort).given[0].score is None


def test_the_token_goes_into_a_cookie_that_no_script_and_no_other_page_gets(served):
    status, headers, _ = ask(served, "GET", f"/?token={served.token}", Cookie=None)
    assert (status, headers["Location"]) == (302, "/")
    assert "HttpOnly" in headers["Set-Cookie"]
    assert "SameSite=Strict" in headers["Set-Cookie"]
    assert {one.getsockname()[0] for one in served.sockets} == {LOOPBACK}
    assert "frame-ancestors 'none'" in headers["Content-Security-Policy"]


def test_an_answer_to_what_another_version_asked_is_counted_and_not_laid_beside_this_model(cohort, served):
    lines = cohort.record.read_text().splitlines(keepends=True)
    first = json.loads(lines[0]) | {"edition": "of another version"}
    cohort.record.write_text(json.dumps(first) + "\n" + "".join(lines[1:]))
    assert len(asked(cohort).given) == 3
    assert "1 was asked otherwise" in ask(served, "GET", PLACE)[2]


def test_a_page_there_is_not_is_one_line(served):
    status, _, text = ask(served, "GET", "/profile/why-from-below/other")
    assert (status, text) == (404, "There is no such page.")


def test_a_port_that_is_taken_is_one_error_and_a_tip(cohort, served):
    from graders.words.server import Served

    with pytest.raises(Problem) as told:
        Served(cohort, served.port)
    assert "\n" not in str(told.value)
    assert told.value.tip
