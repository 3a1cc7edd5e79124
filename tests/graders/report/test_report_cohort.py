"""The cohort's report names who, where and how many, links to what is to be read, and stays small."""

import re
from dataclasses import replace
from html.parser import HTMLParser

import pytest

from graders.judging.marks import (
    AUTOMATIC_CHANGED,
    CHANGED_BY_HAND,
    FINDINGS,
    OLDER_ANSWER,
    Copied,
    Finding,
    Happened,
    Override,
    Row,
)
from graders.questions.verdicts import Code
from graders.report import cohort_page, statistics
from graders.report.cohort_page import Material
from tests.graders.pages import as_read

USUAL, TYPED, BARE, *_ = FINDINGS
HOSTILE = (
    "<script>document.title='owned'</script>",
    "</script><img src=x onerror=alert(1)>",
    '" autofocus onfocus="alert(1)" x=\'',
    "\u202eneddih\u2066\x00\ud800",
)


class Page(HTMLParser):
    """A page as its tags, its links, and the rows of its tables as text."""

    def __init__(self, page):
        super().__init__()
        self.tags, self.links, self.rows, self.text = [], [], [], ""
        self.in_cell = False
        self.feed(as_read(page))

    def handle_starttag(self, tag, attributes):
        self.tags.append((tag, tuple(name for name, _ in attributes)))
        self.links += [value for name, value in attributes if name in ("href", "src")]
        if tag == "tr":
            self.rows.append([])
        if tag in ("td", "th"):
            self.rows[-1].append("")
            self.in_cell = True

    def handle_endtag(self, tag):
        if tag in ("td", "th"):
            self.in_cell = False

    def handle_data(self, data):
        self.text += data
        if self.in_cell:
            self.rows[-1][-1] += data

    def row(self, *start):
        return next(row for row in self.rows if row[: len(start)] == list(start))


def row(learner, part="gain", points=1.0, verdict="right", flag="", remark="", out_of=1, topic="profile", comment=""):
    return Row(learner, topic, "two-fixed-points", part, points, out_of, Code.read(verdict), flag, remark, comment)


NAMES = {"l1": "Ada Example", "l2": "Bela Example", "l3": "Cora Example"}
ROWS = [
    row("l1"),
    row("l1", "joint", 1.0, "slip", "offset only", "You took off the ice reading only.", out_of=2),
    row("l2", points=0.0, verdict="needs a look", flag="not a number", remark="One finite number, please."),
    row("l2", "joint", 0.0, "not yet", out_of=2),
    row("l3", points=0.0, verdict=Code.NOT_HANDED_IN, flag=Code.NOT_HANDED_IN.label),
    row("l3", "joint", 0.0, Code.NOT_HANDED_IN, Code.NOT_HANDED_IN.label, out_of=2),
]


def page(rows=ROWS, names=NAMES, findings=(), copied=(), links=None, notes=(), home="", **more):
    of = Material(rows, findings, copied, **more)
    return cohort_page.page("Spring", of, names, links or {}, "2 March 2026", "0.1.0", notes, home)


def test_the_map_says_every_part_of_every_learner_in_text():
    shown = Page(page())
    assert shown.row("Learner", "Points")[2:] == ["gain", "joint"]
    assert shown.row("Ada Example", "2") == ["Ada Example", "2", "1", "1"]
    assert shown.row("Bela Example", "0") == ["Bela Example", "0", "?", "·"]
    assert shown.row("Cora Example", "–") == ["Cora Example", "–", "–", "–"]


def test_what_needs_a_look_is_listed_with_its_reason_and_a_link_to_the_feedback():
    shown = page(links={("l2", "profile"): "../feedback/l2/profile.html"})
    assert Page(shown).row("Bela Example", "two-fixed-points: gain")[2] == "not a number"
    assert Page(shown).links.count("../feedback/l2/profile.html") == 2


def test_who_has_not_handed_in_is_named_also_without_any_row():
    shown = Page(page(names=NAMES | {"l4": "Dan Example"}))
    assert shown.row("Cora Example", "profile: two-fixed-points")
    assert shown.row("Dan Example", "nothing came")
    assert not [row for row in shown.rows if row[0] == "Ada Example" and "two-fixed-points" in row[1]]


def test_the_commonest_slips_stand_with_their_numbers_and_words():
    found = Page(page()).row("offset only")
    assert found == ["offset only", "two-fixed-points: joint", "1", "50 %", "You took off the ice reading only."]


def test_the_three_findings_are_counted_by_part_and_only_the_unusual_ones_name_learners():
    findings = [
        Finding(learner, "profile", "two-fixed-points", "gain", found)
        for learner, found in (("l1", USUAL), ("l2", BARE), ("l3", TYPED))
    ]
    shown = Page(page(findings=findings))
    assert shown.row("two-fixed-points: gain", "1", "1", "1")
    assert shown.row("Bela Example", "", "two-fixed-points: gain")
    assert "None of the findings is an accusation" in shown.text
    assert all(words in shown.text for words in FINDINGS.values())


def test_copied_numbers_have_a_list_of_their_own_with_whose_they_are():
    copied = [Copied("l1", "profile", "two-fixed-points", "gain", ("l2", "l3"))]
    assert Page(page(copied=copied)).row("Ada Example", "two-fixed-points: gain", "Bela Example, Cora Example")
    assert "Someone else" not in page()


def test_parts_carry_facility_discrimination_and_warnings():
    rows = [
        row(f"l{n}", part, float(right(n)))
        for n in range(12)
        for part, right in (("a", lambda n: n > 5), ("b", lambda n: n > 4), ("turned", lambda n: n < 5))
    ]
    found = Page(page(rows, {})).row("two-fixed-points: turned")
    assert found[1:4] == ["1", "12", "42 %"]
    assert found[4].startswith("−")
    assert found[5] == statistics.WARNINGS["against"]


def test_marks_by_hand_that_stand_over_the_judge_are_listed():
    given = row("l1", points=0.5, verdict="marked by hand", flag=CHANGED_BY_HAND, comment="<i>Method</i> is right.")
    shown = Page(page([given]))
    assert shown.row("Ada Example", "two-fixed-points: gain", "0.5 of 1")[3:] == [
        "changed by hand",
        "<i>Method</i> is right.",
    ]


def test_a_mark_by_hand_over_another_automatic_mark_stands_with_both_and_leads_to_the_part():
    given = row("l1", points=0.5, verdict="marked by hand", flag=AUTOMATIC_CHANGED)
    over = [Override("l1", "profile", "two-fixed-points", "gain", 0.5, 0.0, 1.0, 1)]
    links = {("l1", "profile"): "../feedback_pages/l1/profile.html"}
    shown = Page(page([given], links=links, overrides=over))
    assert ["Ada Example", "two-fixed-points: gain", "0.5", "0", "1", "1"] in shown.rows
    assert "../feedback_pages/l1/profile.html#part.two-fixed-points.gain" in shown.links
    elsewhere = [replace(over[0], topic="shorts")]
    pages = cohort_page.pages("Spring", Material([given], overrides=elsewhere), NAMES, links, "now", "0.1.0")
    assert "Automatic then" not in pages["report-profile.html"]


def test_a_mark_given_for_an_older_answer_needs_a_look_and_shows_its_points_in_the_map():
    given = row("l1", points=0.5, verdict="marked by hand", flag=OLDER_ANSWER)
    shown = Page(page([given]))
    assert ["Ada Example", "0.5", "0.5 ?"] in shown.rows
    assert shown.row("Ada Example", "two-fixed-points: gain", "given for an older answer")
    assert "1answers need a look" in shown.text


def test_answers_in_words_that_wait_are_counted_part_by_part():
    rows = [row(learner, "why", 0.0, "by hand", "by hand", out_of=2) for learner in NAMES]
    shown = Page(page(rows))
    assert "two-fixed-points: why, 3 answers" in shown.text
    assert shown.row("Ada Example", "two-fixed-points: why", "2")


def test_what_to_teach_again_stands_first_on_every_page():
    made = cohort_page.pages("Spring", Material(ROWS), NAMES, {}, "2 March 2026", "0.1.0")
    for name, shown in made.items():
        first = re.findall(r"<section id=\"s\d+\"><h2>([^<]*)", shown)[0]
        assert first == "What to teach again", name
        assert Page(shown).row("offset only")


def test_what_waits_for_a_mark_is_not_counted_as_lost():
    rows = [row("l1"), row("l1", "why", 0.0, "by hand", "by hand", out_of=3)]
    index = Page(cohort_page.pages("Spring", Material(rows), NAMES, {}, "now", "0.1.0")[cohort_page.INDEX])
    assert index.row("Ada Example") == ["Ada Example", "1", "100 %", "100 %"]
    only = [row("l1", "why", 0.0, "by hand", "by hand", out_of=3)]
    index = Page(cohort_page.pages("Spring", Material(only), NAMES, {}, "now", "0.1.0")[cohort_page.INDEX])
    assert index.row("Ada Example") == ["Ada Example", "0", "–", "✎"]


def test_a_comment_is_shown_as_it_was_meant():
    given = row("l1", points=0.5, verdict="marked by hand", flag=CHANGED_BY_HAND, comment="**Well** done, `a_b`.")
    assert "<strong>Well</strong> done, <code>a_b</code>." in page([given])


def test_what_was_stopped_in_marking_is_listed_with_the_way_to_the_feedback():
    met = [Happened("l2", "profile", "01_read-the-log: a cell ran past its limits <b>")]
    shown = Page(page(happened=met, links={("l2", "profile"): "../feedback_pages/l2/profile.html"}))
    assert shown.row("Bela Example", "01_read-the-log: a cell ran past its limits <b>")
    assert "../feedback_pages/l2/profile.html" in shown.links


def test_a_part_dropped_for_all_is_crossed_out_and_the_note_says_why():
    shown = Page(page([row("l1", points=0.0, out_of=0, verdict="right")], notes=["gain is dropped: misprint"]))
    assert shown.row("Ada Example", "0") == ["Ada Example", "0", "×"]
    assert "gain is dropped: misprint" in shown.text


def test_learners_of_the_same_name_are_told_apart_by_id():
    shown = Page(page(names={"l1": "Ada Example", "l2": "Ada Example", "l3": ""}))
    assert {"Ada Example (l1)", "Ada Example (l2)", "l3"} <= {row[0] for row in shown.rows if row}


def test_the_report_says_what_a_mark_is_and_when_and_by_what_it_was_given():
    words = Page(page()).text
    for expected in ("evidence of practice, not an examination", "2 March 2026", "edition 0.1.0"):
        assert expected in words


def test_an_empty_cohort_still_gives_a_page():
    assert "0learners" in Page(page([], {})).text


def test_the_index_leads_to_a_page_for_each_topic_and_back():
    rows = ROWS + [row("l1", topic="paste")]
    made = cohort_page.pages("Spring", Material(rows), NAMES, {}, "2 March 2026", "0.1.0")
    assert set(made) == {"report.html", "report-profile.html", "report-paste.html"}
    index = Page(made[cohort_page.INDEX])
    assert {"report-profile.html", "report-paste.html"} <= set(index.links)
    assert index.row("Ada Example")[2:] == ["75 %", "67 %", "100 %"]
    assert index.row("Bela Example")[2:] == ["0 %", "0 % ?", "–"]
    for file in set(made) - {cohort_page.INDEX}:
        assert cohort_page.INDEX in Page(made[file]).links


def test_a_topic_page_holds_its_own_topic_only():
    rows = [row("l1", "here"), row("l1", "elsewhere", topic="paste")]
    made = cohort_page.pages("Spring", Material(rows), NAMES, {}, "2 March 2026", "0.1.0")
    assert "elsewhere" not in made["report-profile.html"]


def test_a_part_of_the_same_name_in_two_topics_is_kept_apart():
    findings = [Finding("l1", topic, "two-fixed-points", "gain", USUAL) for topic in ("profile", "paste")]
    shown = Page(page([row("l1"), row("l1", topic="paste")], findings=findings))
    assert [line[1:] for line in shown.rows if line[:1] == ["two-fixed-points: gain"] and len(line) == 5] == [
        ["1", "0", "0", "0"]
    ] * 2


def page_with(text):
    rows = [
        Row(text, text, text, text, 0.0, 1, "needs a look", text, text),
        Row(text, text, text, "other", 0.0, 1, "slip", text, text),
        Row("l2", text, text, text, 0.0, 1, Code.NOT_HANDED_IN, text, text),
    ]
    findings = [Finding(text, text, text, text, text)]
    copied = [Copied(text, text, text, text, (text, "l2"))]
    links = {(text, text): text, ("l2", text): text}
    return page(rows, {text: text, "l2": text + "!"}, findings, copied, links, [text], home=text)


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_adds_no_tag_and_no_attribute(text):
    harmless, hostile = Page(page_with("harmless")), Page(page_with(text))
    assert hostile.tags == harmless.tags


@pytest.mark.parametrize(
    "target", ["javascript:alert(1)", "https://example.invalid/", "//example.invalid/", "data:x,y"]
)
def test_a_link_stays_inside_the_cohort_folder(target):
    shown = Page(page(links={("l1", "profile"): target}))
    outside = [link for link in shown.links if re.match(r"[a-zA-Z][a-zA-Z0-9+.-]*:|//|/", link)]
    assert not outside


def test_the_page_asks_for_nothing_from_outside_and_runs_only_our_own_script():
    shown = page()
    policy = re.search(r'Content-Security-Policy" content="([^"]+)"', shown).group(1)
    assert policy.startswith("default-src 'none'")
    assert re.search(r"script-src 'sha256-[A-Za-z0-9+/=]+'$", policy)
    assert not re.search(r"https?:|url\(|@import|<link|\bsrc=", shown)


def test_a_megabyte_of_text_from_a_learner_does_not_swell_the_page():
    endless = "9" * 1_000_000
    rows = [
        row("l1", points=0.0, verdict="needs a look", flag=endless, remark=endless),
        row("l1", "joint", 0.0, "slip", endless, endless),
        row("l2", part=endless),
    ]
    assert len(page(rows, {"l1": endless, "l2": endless})) < 50_000


def test_a_thousand_learners_and_six_topics_stay_under_fifteen_megabytes():
    topics = ("intake", "joints", "profile", "shorts", "paste", "signoff")
    rows = [
        row(f"l{n}", f"part_{part}", 0.5, "slip", "offset only", "You took off the ice reading only.", topic=topic)
        for n in range(1000)
        for topic in topics
        for part in range(30)
    ]
    links = {(f"l{n}", topic): f"../feedback/l{n}/{topic}.html" for n in range(1000) for topic in topics}
    findings = [Finding(one.learner, one.topic, one.exercise, one.part, BARE) for one in rows[::3]]
    names = {f"l{n}": f"Learner {n} of an invented cohort" for n in range(1000)}
    whole = page(rows, names, findings, links=links)
    assert len(whole.encode()) < 15e6
