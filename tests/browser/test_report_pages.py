"""Feedback and report in a real browser: nothing a learner wrote runs or loads, and the instructor can filter and sort.

Set AXE_JS to the path of an axe.min.js to check accessibility too.
"""

import os
from pathlib import Path

import pytest

from graders.judging.marks import (
    AUTOMATIC_CHANGED,
    FINDINGS,
    OLDER_ANSWER,
    Copied,
    ExercisePage,
    Finding,
    Happened,
    Override,
    PartPage,
    Row,
)
from graders.questions.verdicts import Code
from graders.report import anonymous, beside_page, class_page, cohort_page, feedback_page

sync_api = pytest.importorskip("playwright.sync_api", reason="needs playwright: pip install 'rework-workbook[test]'")
pytestmark = [pytest.mark.browser, pytest.mark.slow]

HOSTILE = (
    "<script>window.owned = 1</script></script><img src=https://example.invalid/a.png onerror=window.owned=1>"
    '" onfocus="window.owned=1" autofocus x=\'</pre></td></title></style></svg><svg/onload=window.owned=1>'
    "<link rel=stylesheet href=https://example.invalid/b.css><meta http-equiv=refresh content=0>\u202e\x00"
    "![x](https://example.invalid/c.png) <iframe srcdoc='<script>parent.owned=1</script>'></iframe>"
)


@pytest.fixture
def show(browser, tmp_path):
    """Return a function that opens a page's text; what it asks for and what goes wrong is kept on the tab."""
    contexts = []

    def opened(text, width=1200, **options):
        contexts.append(browser.new_context(viewport={"width": width, "height": 900}, **options))
        tab = contexts[-1].new_page()
        tab.requested, tab.refused, tab.wrong = [], [], []
        tab.on("request", lambda request: tab.requested.append(request.url))
        tab.on("requestfailed", lambda request: request.failure == "csp" and tab.refused.append(request.url))
        tab.on("console", lambda message: tab.wrong.append(message.text))
        tab.on("pageerror", lambda error: tab.wrong.append(str(error)))
        tab.on("dialog", lambda dialog: (tab.wrong.append(dialog.message), dialog.dismiss()))
        path = tmp_path / f"page{len(contexts)}.html"
        path.write_text(text, encoding="utf-8")
        tab.goto(path.as_uri())
        return tab

    yield opened
    for context in contexts:
        context.close()


def row(learner, part, points, verdict="right", flag="", remark="", out_of=2, topic="profile", comment=""):
    return Row(learner, topic, "two-fixed-points", part, points, out_of, Code.read(verdict), flag, remark, comment)


def invented_report(text="", topics=("profile",)):
    """Return the report of an invented cohort of 24 in which one learner wrote ``text`` wherever a learner can."""
    names = {f"l{n:02d}": f"{('Ada', 'Bela', 'Cora', 'Dan')[n % 4]} Example {n}" for n in range(24)}
    rows = []
    for topic in topics:
        for n, learner in enumerate(names):
            if n == 5:
                missing = 0.0, Code.NOT_HANDED_IN, Code.NOT_HANDED_IN.label
                rows += [row(learner, part, *missing, topic=topic) for part in ("gain", "joint")]
                continue
            rows.append(
                row(learner, "gain", 2.0 if n % 3 else 0.5, "right" if n % 3 else "slip", "upside down", topic=topic)
            )
            rows.append(row(learner, "joint", n / 12, "partly", topic=topic))
    rows.append(row("l00", "why", 0.0, "needs a look", text or "not a number", text or "One number, please."))
    rows.append(row("l01", "why", 0.0, "by hand", "by hand"))
    rows.append(row("l02", "why", 1.0, "marked by hand", OLDER_ANSWER, comment=text or "Say which joint."))
    rows.append(row("l03", "why", 0.5, "marked by hand", AUTOMATIC_CHANGED, comment="Come and see me."))
    if text:
        names["l00"] = text
        rows.append(row("l00", text, 0.0, "slip", text, text))
    findings = [
        Finding(one.learner, one.topic, one.exercise, one.part, list(FINDINGS)[n % 3]) for n, one in enumerate(rows)
    ]
    copied = [Copied("l03", "profile", "two-fixed-points", "gain", ("l00", "l07"))]
    links = {(learner, "profile"): f"../feedback/{learner}/profile.html" for learner in names}
    over = [Override("l03", "profile", "two-fixed-points", "why", 0.5, 0.0, 2.0, 2)]
    met = [Happened("l00", "profile", text or "01_read-the-log: a cell ran past its limits and was stopped")]
    first, when, edition = ["An invented note."], "2 March 2026, 14:05", "0.1.0"
    of = cohort_page.Material(rows, findings, copied, over, met)
    return cohort_page.pages("Invented cohort", of, names, links, when, edition, first)


def invented_feedback(text="gain = (189 - 2) / 183"):
    parts = [
        PartPage(
            f"Which number, in {unit}, **do you** get for $x_{{1}}*2$?",
            text,
            row("l00", part, points, verdict, text, text, comment=text),
            text,
        )
        for part, unit, points, verdict in (
            ("gain", "K/K", 2.0, "right"),
            ("joint", "°C", 2.0, "carried through"),
            ("share", "1", 1.0, "partly"),
            ("lag", "K", 0.0, "slip"),
            ("reads", "1", 0.0, "needs a look"),
            ("why", "words", 0.0, "by hand"),
            ("late", "s", 0.0, Code.NOT_HANDED_IN),
        )
    ]
    setup = "> **Caution.** Hot plates burn.\n\nA bead reads:\n\n| time [s] | reading [°C] |\n|---:|---:|\n| 0 | 25 |"
    exercises = [ExercisePage("Put a thermocouple right with two fixed points", setup, tuple(parts))]
    standing = feedback_page.MiddleHalf(0.4, 0.55, 0.8, 24)
    return feedback_page.page("l00", text, "profile", exercises, "2 March 2026, 14:05", "0.1.0", standing)


def invented_class(text=""):
    """Return the page of a class of 24, in which one learner wrote ``text``."""
    progress = class_page.ClassProgress()
    for n in range(24):
        slip = "slip", text or "one face only", text or "The board has two faces."
        progress.add([row(f"l{n:02d}", part, 1.0, *slip) for part in ("gain", "lag")])
    return class_page.page(text or "Spring", progress, 24, "2 March 2026, 14:05")


def invented_years(text=""):
    """Return the page that lays a class beside that of the year before."""
    terms = []
    for share in (6, 18):
        rows = tuple(row(f"l{n}", text or "gain", 2.0 * (n < share), "right") for n in range(24))
        terms.append(anonymous.Term(rows, {}))
    return beside_page.page(text or "Spring", terms[0], text or "last.csv", terms[1])


PAGES = {
    "feedback": invented_feedback,
    "class": invented_class,
    "years": invented_years,
    "topic": lambda *text: invented_report(*text)["report-profile.html"],
    "index": lambda *text: invented_report(*text)[cohort_page.INDEX],
}


@pytest.mark.parametrize("kind", PAGES)
def test_nothing_a_learner_wrote_runs_or_goes_out(show, kind):
    tab = show(PAGES[kind](HOSTILE))
    tab.keyboard.press("Tab")
    tab.wait_for_timeout(200)
    assert tab.evaluate("window.owned") is None
    assert tab.requested == [tab.url]
    assert tab.wrong == []
    assert "<script>window.owned = 1</script>" in tab.inner_text("main")


@pytest.mark.parametrize("kind", PAGES)
def test_the_policy_holds_even_where_the_escaping_would_not(show, kind):
    let_through = HOSTILE.replace("<meta http-equiv=refresh content=0>", "")  # no policy can forbid a reload
    tab = show(PAGES[kind]().replace("</main>", f"<script>window.owned = 1</script>{let_through}</main>", 1))
    tab.wait_for_timeout(200)
    assert tab.evaluate("window.owned") is None
    tried = set(tab.requested) - {tab.url}
    assert tried <= set(tab.refused)


@pytest.mark.parametrize("width", [420, 1200])
@pytest.mark.parametrize("kind", PAGES)
def test_a_page_never_scrolls_sideways(show, kind, width):
    tab = show(PAGES[kind](), width=width)
    assert tab.evaluate("document.documentElement.scrollWidth") <= width
    assert tab.wrong == []


def visible_names(tab):
    return [cell.inner_text() for cell in tab.locator("table.heat tbody tr:visible th").all()]


def test_the_name_filter_keeps_the_learners_asked_for_in_every_table(show):
    tab = show(PAGES["topic"]())
    tab.get_by_label("Name or id contains").fill("bela")
    assert visible_names(tab) == [f"Bela Example {n}" for n in (1, 13, 17, 21, 5, 9)]
    assert tab.get_by_role("status").inner_text() == "6 of 24 learners shown"
    assert tab.locator("tr[data-n]:visible", has_text="Ada Example").count() == 0


@pytest.mark.parametrize("typed", ["l05", "béla 5", "BELA EXAMPLE 5", "example bela 5", " bela  5 "])
def test_the_name_filter_takes_ids_accents_and_words_in_any_order(show, typed):
    tab = show(PAGES["topic"]().replace("Bela Example 5<", "Bèla Example 5<"))
    tab.get_by_label("Name or id contains").fill(typed)
    names = visible_names(tab)
    assert "Bèla Example 5" in names
    assert all("5" in name for name in names)


def test_the_class_page_renews_itself_only_where_somebody_wants_it(show):
    tab = show(PAGES["class"]())
    wanted = tab.get_by_label("Look for news every half minute")
    assert not wanted.is_checked()
    wanted.check()
    assert tab.url.endswith("#live")
    tab.reload()
    assert tab.get_by_label("Look for news every half minute").is_checked()
    assert tab.wrong == []


def test_the_kind_filter_keeps_who_needs_a_look_or_has_not_handed_in(show):
    tab = show(PAGES["topic"]())
    kind = tab.get_by_label("Show in the maps")
    kind.select_option("look")
    assert visible_names(tab) == ["Ada Example 0", "Cora Example 2", "Dan Example 3"]
    kind.select_option("missing")
    assert visible_names(tab) == ["Bela Example 5"]
    kind.select_option("")
    assert len(visible_names(tab)) == 24


def test_a_column_head_sorts_by_number_from_the_keyboard_and_says_which_way(show):
    tab = show(PAGES["topic"]())
    head = tab.locator("table.heat th", has_text="joint")
    head.get_by_role("button").focus()
    tab.keyboard.press("Enter")
    column = "table.heat tbody tr td:nth-of-type(3)"
    shown = [cell.inner_text() for cell in tab.locator(column).all()]
    numbers = [float(text) for text in shown if text != "–"]
    assert head.get_attribute("aria-sort") == "ascending"
    assert numbers == sorted(numbers)
    assert len(numbers) == 23
    tab.keyboard.press("Enter")
    shown = [cell.inner_text() for cell in tab.locator(column).all()]
    assert head.get_attribute("aria-sort") == "descending"
    assert [float(text) for text in shown if text != "–"] == numbers[::-1]


def test_without_scripts_the_report_is_whole_and_offers_no_dead_controls(show):
    tab = show(PAGES["topic"](), java_script_enabled=False)
    assert tab.locator("table.heat tbody tr:visible").count() == 24
    assert not tab.locator(".tools").is_visible()
    assert tab.locator("button").count() == 0


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("kind", PAGES)
def test_axe_finds_no_violation(show, kind, scheme):
    axe = Path(os.environ.get("AXE_JS", ""))
    if not axe.is_file():
        pytest.skip("needs axe-core: npm install axe-core, and AXE_JS=<path to axe.min.js>")
    tab = show(PAGES[kind](), color_scheme=scheme, bypass_csp=True)
    tab.add_script_tag(content=axe.read_text(encoding="utf-8"))
    found = tab.evaluate("axe.run(document, {resultTypes: ['violations']})")
    assert [(one["id"], one["nodes"][0]["html"]) for one in found["violations"]] == []
