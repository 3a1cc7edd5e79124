"""Job 117 is one board: what one page of signoff finds is what the next one takes, and limits never change."""

import pytest

from graders import sheets

PAGES = {exercise.id: (exercise.worked(), exercise.key(exercise.worked())) for exercise in sheets.exercises("signoff")}
SIGNED = PAGES["sign-the-board"][0]


def found(page):
    return PAGES[page][1]


def taken(page):
    return PAGES[page][0]


def test_the_lines_of_the_thermometer_go_into_the_budget_of_the_peak():
    given, key = taken("thermometer-limits"), found("thermometer-limits")
    lines = (key["wire_alone"], given["meter"] / 3**0.5, given["step"] / 12**0.5, key["placing"])
    assert taken("coverage-factor")["contributions"][:4] == pytest.approx(lines, abs=0.006)


def test_the_budget_of_the_peak_is_the_doubt_of_log_window_and_page():
    budget = found("coverage-factor")
    assert taken("hold-the-log")["doubt"] == pytest.approx(budget["expanded"], abs=0.05)
    for page in ("inside-the-window", "two-risks"):
        assert taken(page)["doubt"] == pytest.approx(budget["combined"], abs=0.05)
    assert SIGNED["peak_doubt"] == pytest.approx(budget["combined"], abs=0.05)


def test_the_log_gives_the_time_on_the_page_and_its_uncertainty():
    log = found("hold-the-log")
    assert SIGNED["molten"] == pytest.approx(log["above"], abs=0.5)
    assert SIGNED["molten_doubt"] == pytest.approx((log["if_high"] - log["if_low"]) / 4, abs=0.25)


def test_the_rail_and_the_junction_stand_on_the_page_as_they_were_found():
    rail, junction = found("short-check"), found("junction-after-refit")
    assert (SIGNED["rail"], SIGNED["rail_doubt"]) == pytest.approx((rail["rail_ohms"], rail["combined"]), abs=0.005)
    assert SIGNED["junction_c"] == pytest.approx(junction["elsewhere_c"], abs=0.5)
    load = taken("junction-after-refit")["load"]
    assert SIGNED["junction_doubt"] == pytest.approx(load * junction["junction_doubt"], abs=0.05)


def test_the_returns_on_the_page_are_those_of_the_books_first_page():
    assert SIGNED["sent"] == taken("what-returns-bear")["sent"]


@pytest.mark.parametrize("learner", ["amber", "birch", "cedar"])
def test_limits_are_the_same_on_every_page_and_for_every_learner(learner):
    drawn = {exercise.id: exercise.draw(b"key", learner) for exercise in sheets.exercises("signoff")}
    page = drawn["sign-the-board"]
    assert page["rail_least"] == drawn["short-check"]["least"]
    assert page["peak_high_c"] == drawn["two-risks"]["limit_c"]
    assert page["junction_high_c"] == drawn["junction-after-refit"]["limit_c"] == drawn["bare-top"]["limit_c"]
