"""A part answered with acts: what is no list of acts earns nothing and is told; what is played earns its share."""

import pytest

from graders.questions import Acts, Margin, Unplayable, Worked
from graders.questions.givens import Values


def work(g, acts):
    """Earn a quarter for each of four different acts; an act that is unknown cannot be played."""
    if set(acts) - set("abcd"):
        raise Unplayable("Act 1 is no act.")
    missed = tuple(sorted(set("abcd") - set(acts)))
    return Worked(len(set(acts)) / 4, "Played.", missed, (Margin("peak", 240, 10, "°C", 1),))


PART = Acts(
    "job",
    "Work.",
    points=8,
    vocabulary=dict.fromkeys("abcd", "an act"),
    groups={"All": tuple("abcd")},
    numbers={},
    work=work,
    told=lambda g, acts: {},
    example=lambda g, a: ["a", "b", "c", "d"],
)


def judged(answer):
    return PART.judge(Values({}, {}), Values({}, {}), dict, {"job": answer})


@pytest.mark.parametrize("answer", [7, "a", None, [1, 2], ["a", 3], [["a"]], {"a": 1}, [None], 1.5, True])
def test_what_is_no_list_of_acts_needs_a_look_and_earns_nothing(answer):
    verdict = judged(answer)
    assert (verdict.points, verdict.verdict, verdict.flag) == (0, "needs-a-look", "not a list of acts")


def test_acts_that_cannot_be_played_earn_nothing_and_say_why():
    verdict = judged(["a", "fly"])
    assert (verdict.points, verdict.verdict) == (0, "not-right")
    assert verdict.remark.startswith("Act 1 is no act.")


def test_the_share_is_paid_in_points_and_what_was_missed_is_flagged_by_name():
    assert (judged(["a", "b", "c", "d"]).points, judged(["a", "b", "c", "d"]).verdict) == (8, "right")
    half = judged(("a", "b"))
    assert (half.points, half.verdict, half.flag) == (4, "partly", "missed: c; d")
    assert half.margins[0].limit == "peak"
    assert (judged([]).points, judged([]).verdict) == (0, "not-right")


def test_the_right_answer_is_printed_as_python_reads_it():
    assert PART.solution(PART.right_answer(None, None)) == "job = ['a', 'b', 'c', 'd']"
    assert PART.stub() == "job = ...   # a list of acts"
