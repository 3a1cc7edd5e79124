"""Answers in words are marked by keyboard alone, by the rules of accessible pages; and what waits to be saved stays."""

import pytest

sync_api = pytest.importorskip("playwright.sync_api", reason="needs playwright: pip install 'rework-workbook[test]'")
from graders.marking import run
from tests.browser.lesson_server import violations
from tests.graders.words_served import PLACE, a_cohort, answers_again, asked, mark, serving

expect = sync_api.expect
pytestmark = [pytest.mark.browser, pytest.mark.slow]


@pytest.fixture(scope="module")
def cohort(tmp_path_factory, pool):
    return a_cohort(tmp_path_factory.mktemp("words") / "marked", pool)


@pytest.fixture(scope="module")
def served(cohort):
    with serving(cohort) as one:
        yield one


@pytest.fixture
def tab(browser, served):
    """A tab on the question's page, in which nothing but our server was asked for anything."""
    tab = browser.new_page(viewport={"width": 1200, "height": 800})
    asked_for = []
    tab.on("request", lambda request: asked_for.append(request.url))
    tab.goto(served.address)
    tab.get_by_role("navigation").get_by_role("link").click()
    yield tab
    tab.close(run_before_unload=False)
    assert [url for url in asked_for if not url.startswith(served.origin)] == []


def field(tab, number, name):
    return tab.get_by_role("form", name=f"Answer {number}", exact=True).get_by_label(name)


def test_marked_by_keyboard_alone_with_comments_used_again(tab, cohort):
    expect(tab.locator("#seen")).to_have_text("Seen: 0 of 4")
    field(tab, 1, "Points").focus()
    tab.keyboard.type("1,5")
    tab.keyboard.press("Tab")
    tab.keyboard.type("Name the laminate.")
    tab.keyboard.press("Control+Enter")
    expect(tab.locator("#seen")).to_have_text("Seen: 1 of 4")
    expect(field(tab, 2, "Points")).to_be_focused()
    tab.keyboard.type("2")
    tab.keyboard.press("Tab")
    tab.keyboard.type("Good. #1 ")
    expect(field(tab, 2, "Comment")).to_have_value("Good. Name the laminate.")
    tab.keyboard.press("Tab")
    tab.keyboard.press("Enter")
    expect(field(tab, 3, "Points")).to_be_focused()
    tab.keyboard.type("9")
    tab.keyboard.press("Enter")
    said = tab.get_by_role("form", name="Answer 3").get_by_role("status")
    expect(said).to_have_text("Points go from 0 to 3.")
    expect(field(tab, 3, "Points")).to_have_value("9")
    one, two, *_ = asked(cohort).given
    assert (one.score, one.comment, two.score, two.comment) == (
        1.5,
        "Name the laminate.",
        2,
        "Good. Name the laminate.",
    )


def test_what_is_typed_stays_when_the_learner_hands_in_again_and_when_the_server_has_ended(tab, cohort, pool):
    answer = asked(cohort).given[3]
    answers_again(cohort, answer.handed.learner, "The corner is coldest.")
    run.mark(cohort, pool)
    field(tab, 4, "Comment").fill("Which corner?")
    field(tab, 4, "Points").fill("1")
    field(tab, 4, "Points").press("Enter")
    form = tab.get_by_role("form", name="Answer 4")
    expect(form.get_by_role("status")).to_contain_text("It was handed in again meanwhile.")
    expect(form.locator(".wrote")).to_have_text("The corner is coldest.")
    expect(field(tab, 4, "Comment")).to_have_value("Which corner?")
    tab.route("**" + PLACE, lambda route: route.abort())
    field(tab, 4, "Points").press("Enter")
    expect(form.get_by_role("status")).to_contain_text("the server does not answer")
    expect(field(tab, 4, "Comment")).to_have_value("Which corner?")
    tab.unroute("**" + PLACE)
    field(tab, 4, "Points").press("Enter")
    expect(form.get_by_role("status")).to_have_text("Saved: 1 of 3.")


def test_a_comment_that_is_too_long_to_send_is_said_and_stays(tab, cohort):
    written = "Say where the heat goes. " * 5_000
    field(tab, 1, "Comment").fill(written)
    field(tab, 1, "Points").fill("1")
    field(tab, 1, "Points").press("Enter")
    expect(tab.get_by_role("form", name="Answer 1").get_by_role("status")).to_contain_text("the comment is too long")
    expect(field(tab, 1, "Comment")).to_have_value(written)
    field(tab, 1, "Comment").fill(written[:4_000])
    field(tab, 1, "Points").press("Enter")
    expect(tab.get_by_role("form", name="Answer 1").get_by_role("status")).to_have_text("Saved: 1 of 3.")


def test_what_is_typed_while_a_mark_is_being_saved_stays_and_is_said_to_be_unsaved(tab, cohort):
    under_way = []
    tab.route("**" + PLACE, lambda route: under_way.append(route))
    field(tab, 3, "Comment").fill("Which corner?")
    field(tab, 3, "Points").fill("2")
    with tab.expect_request("**" + PLACE):
        field(tab, 3, "Points").press("Enter")
    field(tab, 3, "Comment").press_sequentially(" And why?")
    under_way[0].continue_()
    said = tab.get_by_role("form", name="Answer 3").get_by_role("status")
    expect(said).to_have_text("Saved: 2 of 3. What you typed since is not saved yet.")
    expect(field(tab, 3, "Comment")).to_have_value("Which corner? And why?")
    assert asked(cohort).given[2].comment == "Which corner?"
    tab.unroute("**" + PLACE)
    field(tab, 3, "Points").press("Enter")
    expect(said).to_have_text("Saved: 2 of 3.")
    assert asked(cohort).given[2].comment == "Which corner? And why?"


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [1200, 420])
def test_the_pages_break_no_rule_and_fit(tab, served, cohort, scheme, width):
    mark(served, asked(cohort).given[0], "2", "A comment of some length, to be used again at other answers.")
    tab.emulate_media(color_scheme=scheme)
    tab.set_viewport_size({"width": width, "height": 800})
    for path in ("/", PLACE):
        tab.goto(served.origin + path)
        assert violations(tab, "body") == []
        assert tab.evaluate("document.documentElement.scrollWidth <= innerWidth"), path
