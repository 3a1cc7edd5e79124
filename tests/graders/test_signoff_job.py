"""Job 117 is one board: what one page of signoff finds is what the next one takes, for every learner's own figures."""

import pytest

from graders import sheets
from graders.questions import Quantity
from graders.sheets.signoff.job import CARRIED

PAGES = {exercise.id: exercise for exercise in sheets.exercises("signoff")}
LEARNERS = ["worked", *(f"learner {number}" for number in range(20))]


@pytest.fixture(params=LEARNERS, scope="module")
def job(request):
    """The givens and the right answers of every page, of the printed solution or of one learner."""
    if request.param == "worked":
        taken = {name: page.worked() for name, page in PAGES.items()}
    else:
        taken = {name: page.draw(b"key", request.param) for name, page in PAGES.items()}
    return taken, {name: PAGES[name].key(givens) for name, givens in taken.items()}


def test_the_lines_of_the_thermometer_go_into_the_budget_of_the_peak(job):
    taken, found = job
    given, key = taken["thermometer-limits"], found["thermometer-limits"]
    lines = (key["wire_alone"], given["meter"] / 3**0.5, given["step"] / 12**0.5, key["placing"])
    assert taken["coverage-factor"]["contributions"][:4] == pytest.approx(lines, abs=0.006)


def test_the_budget_of_the_peak_is_the_uncertainty_of_log_window_and_page(job):
    taken, found = job
    budget = found["coverage-factor"]
    assert taken["hold-the-log"]["doubt"] == pytest.approx(budget["expanded"], abs=0.051)
    for page, name in (("inside-the-window", "doubt"), ("two-risks", "doubt"), ("sign-the-board", "peak_doubt")):
        assert taken[page][name] == pytest.approx(budget["combined"], abs=0.051)


def test_the_log_gives_the_time_on_the_page_and_its_uncertainty(job):
    taken, found = job
    log, page = found["hold-the-log"], taken["sign-the-board"]
    assert page["molten"] == pytest.approx(log["above"], abs=0.51)
    assert page["molten_doubt"] == pytest.approx((log["if_high"] - log["if_low"]) / 4, abs=0.26)


def test_the_rail_and_the_junction_stand_on_the_page_as_they_were_found(job):
    taken, found = job
    page, rail, junction = taken["sign-the-board"], found["short-check"], found["junction-after-refit"]
    assert (page["rail"], page["rail_doubt"]) == pytest.approx((rail["rail_ohms"], rail["combined"]), abs=0.0051)
    assert page["junction_c"] == pytest.approx(junction["elsewhere_c"], abs=0.51)
    load = taken["junction-after-refit"]["load"]
    assert page["junction_doubt"] == pytest.approx(load * junction["junction_doubt"], abs=0.051)


def test_the_returns_on_the_page_are_those_of_the_books_first_page(job):
    taken, _ = job
    assert taken["sign-the-board"]["sent"] == taken["what-returns-bear"]["sent"]


def test_limits_are_the_same_on_every_page(job):
    taken, _ = job
    page = taken["sign-the-board"]
    assert page["rail_least"] == taken["short-check"]["least"]
    assert page["peak_high_c"] == taken["two-risks"]["limit_c"]
    assert page["junction_high_c"] == taken["junction-after-refit"]["limit_c"] == taken["bare-top"]["limit_c"]


def test_no_other_joint_and_no_package_is_colder_than_the_coldest_joint(job):
    taken, _ = job
    coldest = max(taken["hold-the-log"]["joint"])
    assert coldest < taken["inside-the-window"]["peak_c"]
    assert coldest < taken["sign-the-board"]["peak_c"]


def test_what_is_carried_lies_where_the_page_may_be_asked(job):
    taken, _ = job
    for one in CARRIED:
        given = PAGES[one.page].givens[one.name]
        if isinstance(given, Quantity):
            assert given.low <= taken[one.page][one.name] <= given.high, one


@pytest.mark.slow
def test_every_decision_of_the_last_page_is_met_by_some_learner():
    page = PAGES["sign-the-board"]
    met = {page.key(page.draw(b"decisions", f"learner {number}"))["decision"] for number in range(60)}
    assert met == {"hold", "talk", "send"}


def test_a_page_is_drawn_alike_whichever_page_is_asked_first():
    order = list(PAGES)
    first = {name: PAGES[name].draw(b"order", "learner") for name in order}
    assert first == {name: PAGES[name].draw(b"order", "learner") for name in reversed(order)}
