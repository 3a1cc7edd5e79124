"""The figures of a cohort are those of the textbooks, and a warning comes only where its rule says so."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from graders.cohort.record import Handed
from graders.judging.marks import Row
from graders.marking import mark_submission
from graders.questions.parts.acts import MISSED
from graders.questions.verdicts import Code, Verdict
from graders.report import statistics
from graders.report.gathered import Gathered

LSAT6 = [3, 6, 2, 11, 1, 1, 3, 4, 1, 8, 0, 16, 0, 3, 2, 15] + [
    10,
    29,
    14,
    81,
    3,
    28,
    15,
    80,
    16,
    56,
    21,
    173,
    11,
    61,
    28,
    298,
]
"""How many of 1000 gave each of the 32 patterns of right and wrong, from 00000 to 11111, in section 6 of a law school
admission test: R. D. Bock and M. Lieberman, Psychometrika 35 (1970) 179 [published; read in a reprint of the table]."""

PRINTED = {
    "mean": [0.924, 0.709, 0.553, 0.763, 0.870],
    "total.r_if_rm": [0.113, 0.153, 0.173, 0.144, 0.122],
    "alpha": 0.295,
}
"""Item statistics of these data as the manual of the R package mirt prints them (example of LSAT6) [published]."""


def slips(rows):
    return Gathered.of(rows).slips.found()


def gates(rows):
    return Gathered.of(rows).gates.found()


def lsat6_rows():
    patterns = np.repeat([[int(digit) for digit in f"{index:05b}"] for index in range(32)], LSAT6, axis=0)
    return [
        row(learner=f"l{place}", part=f"p{item}", points=float(right))
        for place, pattern in enumerate(patterns)
        for item, right in enumerate(pattern)
    ]


def row(learner="l1", part="p", points=1.0, out_of=1, verdict="", flag="", remark="", exercise="e", topic="t"):
    code = Code.read(verdict or ("right" if points else "not right"))
    return Row(learner, topic, exercise, part, points, out_of, code, flag, remark)


@pytest.fixture(scope="module")
def lsat6():
    return statistics.topic_figures(lsat6_rows())


def test_the_published_table_of_a_thousand_answers_gives_the_printed_facilities(lsat6):
    assert [round(part.facility, 3) for part in lsat6.parts] == PRINTED["mean"]


def test_the_published_table_gives_the_printed_correlations_with_the_rest(lsat6):
    assert [round(part.discrimination, 3) for part in lsat6.parts] == PRINTED["total.r_if_rm"]


def test_the_published_table_gives_the_printed_reliability(lsat6):
    assert round(lsat6.reliability, 3) == PRINTED["alpha"]


scores = st.lists(st.tuples(*[st.sampled_from([0, 0.5, 1, 2])] * 4), min_size=4, max_size=30).map(np.array)


@given(scores)
def test_discrimination_is_the_correlation_with_the_other_parts_only(table):
    part, others = table[:, 0], table[:, 1:].sum(axis=1)
    ours = statistics.discrimination(part, table.sum(axis=1))
    if np.ptp(part) and np.ptp(others):
        assert ours == pytest.approx(stats.pearsonr(part, others).statistic, abs=1e-9)
    else:
        assert ours is None


@given(scores)
def test_alpha_is_what_the_covariances_between_the_parts_make_it(table):
    covariances = np.cov(table, rowvar=False)
    ours = statistics.alpha(np.diag(covariances), table.sum(axis=1).var(ddof=1))
    between = covariances.sum() - np.trace(covariances)
    if covariances.sum() > 1e-9:
        assert ours == pytest.approx(4 / 3 * between / covariances.sum(), abs=1e-9)


def test_a_single_part_has_no_reliability_and_a_topic_without_marks_no_figures():
    assert statistics.alpha([1.0], 1.0) is None
    assert statistics.topic_figures([]) == statistics.TopicFigures((), 0, None)


def cohort(count=12, **parts):
    """Return rows of learners whose points in each part are given as a function of their place."""
    return [
        row(learner=f"l{place}", part=name, points=float(points(place)))
        for place in range(count)
        for name, points in parts.items()
    ]


def test_what_did_not_come_is_left_out_and_what_came_without_an_answer_is_zero():
    rows = [row("a"), row("b", points=0.0, verdict="not yet"), row("c", points=0.0, verdict=Code.NOT_HANDED_IN)]
    part = statistics.topic_figures(rows).parts[0]
    assert (part.judged, part.facility) == (2, 0.5)


def test_an_answer_in_words_counts_only_once_it_is_marked():
    rows = [row("a", verdict="marked by hand"), row("b", points=0.0, verdict="by hand", flag="by hand")]
    part = statistics.topic_figures(rows).parts[0]
    assert (part.judged, part.facility) == (1, 1.0)


def test_a_part_whose_answers_wait_is_not_called_hard_because_those_who_left_it_empty_have_nothing():
    empty = [row(f"l{place}", points=0.0, verdict="not yet") for place in range(12)]
    assert statistics.topic_figures(empty).parts[0].warnings == ("hard",)
    waiting = row("l12", points=0.0, verdict="by hand", flag="by hand")
    assert statistics.topic_figures([*empty, waiting]).parts[0].warnings == ()


def test_a_part_dropped_for_all_is_in_no_figure():
    assert statistics.topic_figures([row(points=0.0, out_of=0, verdict="dropped")]).parts == ()


def test_one_essay_marked_early_does_not_shrink_the_comparison_to_one_learner():
    rows = cohort(a=lambda place: place % 2, b=lambda place: place > 5)
    rows.append(row("l0", part="essay", verdict="marked by hand"))
    figures = statistics.topic_figures(rows)
    essay = figures.parts[-1]
    assert figures.compared == 12
    assert (essay.part, essay.judged, essay.discrimination) == ("essay", 1, None)


def warnings(rows):
    return {part.part: part.warnings for part in statistics.topic_figures(rows).parts}


def test_a_part_that_the_strong_fail_and_the_weak_pass_is_named():
    strong = {"a": lambda place: place > 5, "b": lambda place: place > 4, "c": lambda place: place > 6}
    found = warnings(cohort(**strong, turned=lambda place: place < 5))
    assert found["turned"] == ("against",)
    assert not any(found[part] for part in strong)


def test_with_fewer_than_ten_learners_no_part_is_called_misleading():
    rows = cohort(9, a=lambda place: place > 5, b=lambda place: place > 4, turned=lambda place: place < 5)
    assert not any(warnings(rows).values())


def test_a_part_that_nearly_all_fail_is_called_hard_and_one_that_all_pass_is_not_called_weak():
    found = warnings(cohort(a=lambda place: place > 5, b=lambda place: place == 11, c=lambda place: 1))
    assert "hard" in found["b"]
    assert found["c"] == ()


def test_a_slip_that_catches_a_third_puts_the_question_in_doubt():
    def rows(caught):
        return [
            row(f"l{n}", points=0.0, verdict="slip", flag="upside down") if n < caught else row(f"l{n}")
            for n in range(12)
        ]

    assert "one slip" not in warnings(rows(3))["p"]
    assert "one slip" in warnings(rows(4))["p"]


def test_answers_that_could_not_be_read_put_the_way_to_answer_in_doubt():
    rows = [
        row(f"l{n}", points=0.0, verdict="needs a look", flag="not a number") if n < 2 else row(f"l{n}")
        for n in range(12)
    ]
    assert warnings(rows)["p"] == ("not understood",)


def share(right, of, **otherwise):
    """Return rows of one part that so many of so many learners have right."""
    return [row(f"l{n:02}", **({} if n < right else {"points": 0.0} | otherwise)) for n in range(of)]


def test_a_warning_comes_on_the_far_side_of_its_number_and_not_at_it():
    assert "hard" not in warnings(share(2, 10))["p"]
    assert "hard" in warnings(share(1, 10))["p"]
    unread = {"verdict": "needs a look", "flag": "not a number"}
    assert "not understood" not in warnings(share(9, 10, **unread))["p"]
    assert "not understood" in warnings(share(8, 10, **unread))["p"]


@pytest.mark.parametrize(("right", "of", "said"), [(19, 20, ("weak",)), (25, 26, ())])
def test_a_part_that_more_than_95_in_100_have_right_has_nobody_to_tell_apart(right, of, said):
    """One learner in the middle of the rest of the topic misses it: of twenty that is 95 in 100, of 26 it is 96."""
    found = warnings(cohort(of, asked=lambda place: place != of // 2, rest=lambda place: place))
    assert found["asked"] == said


@pytest.mark.parametrize(("missed_by", "said"), [((0, 9), ()), ((0, 10), ("weak",))])
def test_a_part_is_weak_below_a_correlation_of_a_fifth(missed_by, said):
    """Of fourteen learners two miss it: Pearson's r is 0.203 and 0.152, as scipy has it."""
    places = np.arange(14)
    right = ~np.isin(places, missed_by)
    assert bool(said) == (stats.pearsonr(right, places).statistic < 0.2)
    assert warnings(cohort(14, asked=right.__getitem__, rest=lambda place: place))["asked"] == said


def test_ten_learners_are_enough_to_call_a_part_misleading():
    rows = cohort(10, a=lambda place: place > 5, b=lambda place: place > 4, turned=lambda place: place < 5)
    assert warnings(rows)["turned"] == ("against",)


def test_slips_are_counted_by_name_commonest_first_with_the_words_said():
    rows = [
        row("a", points=0.0, verdict="slip", flag="upside down", remark="The ratio is upside down."),
        row("b", points=0.0, verdict="slip", flag="upside down", remark="The ratio is upside down."),
        row("c", points=0.0, verdict="other unit", flag="unit", remark="That is in mm."),
        row("d"),
        row("e", points=0.0, verdict=Code.NOT_HANDED_IN, flag=Code.NOT_HANDED_IN.label),
    ]
    first, second = slips(rows)
    assert (first.slip, first.made, first.judged, first.words) == ("upside down", 2, 4, "The ratio is upside down.")
    assert (second.slip, second.made) == ("unit", 1)


def test_a_slip_without_a_name_goes_by_what_was_said():
    rows = [row(points=0.0, verdict="slip", remark="Late means: still at an earlier temperature.")]
    assert slips(rows)[0].slip == "Late means: still at an earlier temperature."


def late(flag, code, remark="It."):
    """Return the row of a part that came a day late, as marking writes it."""
    handed = Handed("l1", "t", "e", "e", {}, "", "", "", {}, [])
    return mark_submission._row(handed, Verdict("p", 0.5, 1, code, remark, flag), counts=0.9)


def test_what_came_late_keeps_the_name_of_its_slip_and_the_gates_it_missed():
    in_time = row(points=0.5, verdict="slip", flag="upside down", remark="It.")
    (slip,) = slips([in_time, late("upside down", Code.SLIP)])
    assert (slip.slip, slip.made, slip.words) == ("upside down", 2, "It.")
    missed = [late(MISSED + "dry; pulled", Code.PARTLY), row(flag=MISSED + "dry", verdict="partly")]
    assert [(one.gate, one.missed) for one in gates(missed)] == [("dry", 2), ("pulled", 1)]
    assert (late("", Code.RIGHT).flag, late("by hand", Code.BY_HAND).flag) == ("late", "late")


def test_a_late_slip_of_an_earlier_version_goes_by_what_was_said_without_its_lateness():
    kept = row(points=0.4, verdict="slip", flag="late", remark="It. It came after its due time, so 80 % of it counts.")
    assert slips([kept])[0].slip == "It."


def test_gates_missed_are_counted_by_name_among_all_who_were_judged():
    rows = [
        row("l1", points=0.6, verdict="partly", flag="missed: proved clean; the customer told"),
        row("l2", points=0.8, verdict="partly", flag="missed: proved clean"),
        row("l3", points=1.0, verdict="right"),
        row("l4", points=0.0, verdict="not handed in"),
        row("l5", points=0.5, verdict="slip", flag="missed by a hair"),
    ]
    found = gates(rows)
    assert [(gate.gate, gate.missed, gate.judged) for gate in found] == [
        ("proved clean", 2, 4),
        ("the customer told", 1, 4),
    ]


def warned(judged, easy=0.5, compared=None, separates=0.5, slipped=0, not_understood=0):
    """Return the warnings of a part that so many learners answered."""
    of = statistics._PartCounts(1)
    of.points.extend([1.0] * judged)
    of.made["one"] = slipped
    of.not_understood = not_understood
    return list(statistics._warnings(of, easy, judged if compared is None else compared, separates))


@pytest.mark.parametrize(
    ("warning", "told"),
    [
        ("weak", dict(separates=0.19)),
        ("against", dict(separates=-0.5)),
        ("hard", dict(easy=0.19)),
        ("one slip", dict(slipped=4)),
        ("not understood", dict(not_understood=2)),
    ],
)
def test_a_warning_comes_from_ten_learners_on_and_not_of_nine(warning, told):
    assert warned(10, **told) == [warning]
    assert warned(9, **told) == []


def test_each_warning_has_its_own_bound_and_on_it_none_is_given():
    assert warned(10, separates=0.2) == []
    assert warned(10, separates=None) == []
    assert warned(10, easy=0.2) == []
    assert (warned(10, easy=0.95, separates=0.1), warned(10, easy=0.96, separates=0.1)) == (["weak"], [])
    assert (warned(12, slipped=4), warned(12, slipped=3)) == (["one slip"], [])
    assert (warned(20, not_understood=2), warned(20, not_understood=3)) == ([], ["not understood"])


def test_against_the_rest_is_what_goes_beyond_the_standard_error_of_no_correlation():
    """1 over the root of n - 1: of 17 learners a quarter."""
    assert (warned(17, separates=-0.26), warned(17, separates=-0.24)) == (["against"], ["weak"])


def test_a_part_that_few_had_in_common_is_not_compared_and_may_still_be_hard():
    assert warned(10, easy=0.1, compared=9, separates=-0.9) == ["hard"]
