"""A feedback page says what was given, what it earned and what to do next, and keeps a stranger's text as text."""

import base64
import hashlib
import re
from html.parser import HTMLParser

import pytest

from graders import sheets
from graders.judging.marks import ExercisePage, PartPage, Row
from graders.questions.verdicts import MEANINGS, Code
from graders.report import feedback_page, html
from tests.graders.pages import as_read
from workbook.drawings.pen import PAGE_STYLE
from workbook.topics import TOPICS

HOSTILE = (
    "<script>document.title='owned'</script>",
    "</pre></script><img src=x onerror=alert(1)>",
    '" onmouseover="alert(1)" x=\'',
    "`<svg/onload=alert(1)>` [x](javascript:alert(1)) ![y](https://example.invalid/y.png)",
    "gain = 5\u202e0.5 = niag\u2066\u200f",
    "\x00\x1b[31m\ud800 &lt; &#60;script&#62; {{7*7}} <!-- -->",
    "]]><![CDATA[ <style>*{display:none}</style>",
)


class Tags(HTMLParser):
    """The tags of a page with their attributes' names, and its text."""

    def __init__(self, page):
        super().__init__()
        self.tags, self.text, self.links = [], "", []
        self.feed(as_read(page))

    def handle_starttag(self, tag, attributes):
        self.tags.append((tag, tuple(name for name, _ in attributes)))
        self.links += [value for name, value in attributes if name in ("href", "src")]

    def handle_data(self, data):
        self.text += data


def part(
    name="gain",
    points=1.0,
    verdict="right",
    flag="",
    remark="Right.",
    answer="gain = 1.02",
    working="",
    out_of=1,
    comment="",
):
    row = Row("l1", "profile", "two-fixed-points", name, points, out_of, Code.read(verdict), flag, remark, comment)
    return PartPage("What is the gain?", answer, row, working)


def exercise(*parts, title="Put a thermocouple right"):
    return ExercisePage(title, "A bead in **ice water** reads 2.0 °C.", parts)


def page(*exercises, learner="l1", name="Ada Example", standing=None):
    return feedback_page.page(learner, name, "profile", exercises, "2 March 2026, 14:05", "0.1.0", standing)


def test_a_page_shows_answer_remark_points_and_working():
    words = Tags(page(exercise(part(answer="gain = 187/183", remark="Right.", working="gain = (189 - 2) / 183")))).text
    for expected in ("gain = 187/183", "Right.", "1 of 1 point", "gain = (189 - 2) / 183", "What is the gain?"):
        assert expected in words


def test_what_carried_through_is_said_in_words():
    carried = part("joint", verdict="carried through", remark="Right method: it follows from your earlier answer.")
    words = Tags(page(exercise(part(points=0.0, verdict="not right"), carried))).text
    assert "carried through" in words
    assert MEANINGS[Code.CARRIED_THROUGH] in words


def test_what_the_instructor_writes_stands_under_the_remark_and_runs_nothing():
    by_hand = part(verdict="marked by hand", comment="The **corner** is missing. <script>x()</script>")
    shown = Tags(page(exercise(by_hand, part("joint"))))
    assert shown.text.count("Your instructor writes") == 1
    assert "The corner is missing. <script>x()</script>" in shown.text


def test_the_working_is_left_out_where_the_policy_gives_none():
    assert "One way to work it" not in page(exercise(part(working="")))


def test_the_page_says_what_a_mark_is_when_it_was_given_and_by_which_edition():
    words = Tags(page(exercise(part()))).text
    assert "evidence of practice, not an examination" in words
    assert "the judge and the key are public" in words
    assert "2 March 2026, 14:05" in words
    assert "edition 0.1.0" in words


def test_a_notebook_that_did_not_come_is_no_silent_zero():
    words = Tags(page(exercise(part(points=0.0, verdict=Code.NOT_HANDED_IN, answer="", remark="")))).text
    assert "This notebook did not come." in words
    assert "0 of 1" not in words


def test_points_that_wait_for_a_mark_by_hand_are_not_counted_as_lost():
    written = part("why", points=0.0, verdict="by hand", flag="by hand", out_of=2)
    shown = page(exercise(part(), written))
    assert "and 2 points not marked yet" in Tags(shown).text
    assert "Go back to these first" not in shown


def test_the_parts_that_lost_most_are_linked_first():
    small, big = part("small", points=0.5, verdict="partly"), part("big", points=0.0, verdict="not right", out_of=3)
    shown = page(exercise(small, big))
    first, second = re.findall(r'href="#([^"]+)"', shown)
    assert first.endswith("big")
    assert second.endswith("small")
    assert all(f'id="{target}"' in shown for target in (first, second))


def test_the_picture_says_in_words_what_it_draws():
    shown = page(exercise(part(points=0.5, verdict="partly")), standing=feedback_page.MiddleHalf(0.4, 0.6, 0.8, 24))
    alternative = re.search(r'role="img" aria-label="([^"]+)"', shown).group(1)
    for figure in ("0.5 of 1 point", "24 learners", "40 % to 80 %", "You have 50 %"):
        assert figure in alternative


def test_a_spread_of_few_learners_is_not_shown_so_that_nobody_can_be_picked_out():
    assert feedback_page.spread([0.5] * (feedback_page.FEWEST_IN_A_SPREAD - 1)) is None
    assert feedback_page.spread([0.5] * feedback_page.FEWEST_IN_A_SPREAD).learners == feedback_page.FEWEST_IN_A_SPREAD


@pytest.mark.parametrize("verdict", list(MEANINGS))
def test_every_verdict_has_a_sign_and_a_meaning_beside_its_colour(verdict):
    assert verdict in feedback_page.SIGNS
    assert feedback_page.MEANINGS[verdict]


def page_with(text):
    return page(
        exercise(part(text, flag=text, remark=text, answer=text, working=text), title=text),
        learner=text,
        name=text,
    )


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_adds_no_tag_and_no_attribute(text):
    harmless, hostile = Tags(page_with("harmless")), Tags(page_with(text))
    assert hostile.tags == harmless.tags
    assert all(link.startswith("#") for link in hostile.links)


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_in_a_question_adds_nothing_that_runs_or_loads(text):
    asked = PartPage(text, "1", part().row)
    found = Tags(page(ExercisePage("title", text, (asked,))))
    assert not {tag for tag, _ in found.tags} & {"script", "img", "iframe", "object", "a"}
    assert not [names for _, names in found.tags if any(name.startswith("on") for name in names)]
    assert not found.links


def test_characters_that_turn_text_round_or_hide_in_it_are_shown_by_number():
    shown = page_with("gain\u202e\u2066\x00\ud800")
    assert "gain[U+202E][U+2066][U+0000][U+D800]" in shown
    shown.encode("utf-8")


def test_an_answer_of_a_megabyte_is_cut_and_counted():
    shown = page(exercise(part(answer="9" * 1_000_000)))
    assert len(shown) < 60_000
    assert "[1,000,000 characters in all]" in shown


def test_the_page_asks_for_nothing_from_outside():
    shown = page(exercise(part()), standing=feedback_page.MiddleHalf(0.4, 0.6, 0.8, 24))
    policy = re.search(r'Content-Security-Policy" content="([^"]+)"', shown).group(1)
    assert policy.startswith("default-src 'none'")
    assert "script-src" not in policy
    assert not re.search(r"https?:|url\(|@import|<link|\bsrc=", shown)


def test_markdown_of_ours_keeps_tables_and_leaves_mathematics_as_typed():
    shown = html.markdown("| a | b |\n|---:|---|\n| 1 | 2 |\n\n$R_{th}*2*x_i$ and *stress*")
    assert "<table>" in shown
    assert 'class="right"' in shown
    assert "$R_{th}*2*x_i$" in shown
    assert "<em>stress</em>" in shown


def test_a_heading_in_a_question_does_not_break_the_order_of_headings():
    assert not re.search(r"<h\d", html.markdown("# One\n\n### Three"))


def test_a_price_in_dollars_is_no_mathematics():
    assert html.markdown("5 $ and *more*") == "<p>5 $ and <em>more</em></p>\n"


DRAWN = [
    pytest.param(one, what, id=f"{one.id} {what}")
    for topic in TOPICS
    for one in sheets.exercises(topic.slug)
    for what in ("drawn", "answer_drawn")
    if getattr(one, what)(one.worked())
]


@pytest.mark.parametrize(("one", "what"), DRAWN)
def test_a_drawing_is_markup_of_ours_that_the_page_s_policy_lets_in(one, what):
    """A policy that names one style lets no style attribute in (CSP Level 3), and no image without img-src."""
    for learner in range(5):
        drawing = getattr(one, what)(one.draw(b"secret", f"learner {learner}")).html(style="")
        shown = page(ExercisePage("title", "setup", (part(),), drawing))
        assert drawing in shown
        found = Tags(drawing)
        assert {tag for tag, _ in found.tags} <= SHAPES
        assert not [
            name for _, names in found.tags for name in names if name in ("style", "href") or name.startswith("on")
        ]
        assert not re.search(r"https?:|url\(|@import|<link|\bsrc=", shown)


SHAPES = {"figure", "figcaption", "div", "svg", "title", "desc", "rect", "path", "circle", "polygon", "text"}


def test_the_page_brings_the_drawings_style_under_its_hash():
    shown = page(exercise(part()))
    style = re.search(r"<style>(.*?)</style>", shown, re.DOTALL).group(1)
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    assert f"style-src 'sha256-{digest}'" in shown
    assert PAGE_STYLE in style


def unread(answer):
    return page(exercise(part(points=0.0, verdict="not right", flag="error in the cell", remark="", answer=answer)))


def test_an_answer_that_python_could_not_read_is_told_what_to_write_instead():
    told = "Write the number alone, in the unit that the question asks for. Leave out Ω."
    assert told in Tags(unread("gain = 35.1 Ω")).text


@pytest.mark.parametrize("answer", [*HOSTILE, "(" * 390, "gain = " + "-" * 390, "gain = 1\x00", "gain = " + "a " * 190])
def test_what_is_told_of_an_answer_that_python_cannot_read_adds_no_kind_of_tag(answer):
    assert set(Tags(unread(answer)).tags) <= set(Tags(unread("gain = 35.1 Ω")).tags)


def test_a_long_name_of_an_exercise_is_whole_in_the_picture_of_the_points():
    name = "Write down what a reading does and does not say of the rail that it was taken on"
    assert name in html.bars([(name, "8 of 9 points", 0.9)], "Points.")


def test_no_line_ends_between_a_number_and_its_unit_and_what_was_typed_stays_as_typed():
    warm = part(answer="# 25 °C\ngain = 1.02", remark="You counted the warming from 0 °C.")
    shown = page(exercise(warm))
    assert "from 0\u00a0°C." in shown
    assert "1\u00a0of\u00a01\u00a0point" in shown
    assert "# 25 °C\n" in shown
