"""Every drawing in a real browser: no words cut off or on top of each other, themes and print as promised.

Set AXE_JS to the path of an axe.min.js to check accessibility too.
"""

import os

import pytest

from graders import sheets
from tests.browser.lesson_server import CHROMIUM
from tests.workbook.drawings.pointing import region_at
from workbook.drawings import gallery, pen
from workbook.topics import TOPICS

sync_api = pytest.importorskip("playwright.sync_api", reason="needs playwright: pip install 'rework-workbook[test]'")
pytestmark = pytest.mark.browser

BOXES = """
() => [...document.querySelectorAll('figure')].flatMap((figure) => [...figure.querySelectorAll('svg')].map((svg) => {
  const view = svg.getBoundingClientRect();
  return {
    title: svg.querySelector('title').textContent,
    width: view.width,
    page: document.documentElement.clientWidth,
    words: [...svg.querySelectorAll('text')].map((text) => {
      const box = text.getBoundingClientRect();
      return {
        words: text.textContent,
        size: parseFloat(getComputedStyle(text).fontSize) * view.width / svg.viewBox.baseVal.width,
        left: box.left - view.left, right: box.right - view.left,
        top: box.top - view.top, bottom: box.bottom - view.top,
        over: view.width - (box.right - view.left), under: view.height - (box.bottom - view.top),
      };
    }),
  };
}))
"""


@pytest.fixture(scope="module")
def browser():
    with sync_api.sync_playwright() as playwright:
        browser = playwright.chromium.launch(**CHROMIUM)
        yield browser
        browser.close()


@pytest.fixture
def show(browser):
    """Return a function that shows a page's text on a tab of its own."""
    contexts = []

    def opened(text, width=880, **options):
        contexts.append(browser.new_context(viewport={"width": width, "height": 900}, **options))
        tab = contexts[-1].new_page()
        tab.set_content(text)
        return tab

    yield opened
    for context in contexts:
        context.close()


def overlap(one, other):
    """Return how many pixels two pieces of text share in width and in height, both above zero where they collide."""
    across = min(one["right"], other["right"]) - max(one["left"], other["left"])
    down = min(one["bottom"], other["bottom"]) - max(one["top"], other["top"])
    return across, down


def exercises_page():
    """Return a page of the drawings of all exercises, each in the numbers of three invented learners."""
    found = [exercise for topic in TOPICS for exercise in sheets.exercises(topic.slug)]
    drawn = []
    for exercise in found:
        for number in range(3):
            givens = exercise.draw(b"drawn", f"learner {number}")
            drawn += [one for one in (exercise.drawn(givens), exercise.answer_drawn(givens)) if one]
    page = gallery.page()
    return page[: page.index("<h1>")] + "".join(drawing.html() for drawing in drawn) + "</main></html>"


@pytest.mark.parametrize("page", [gallery.page, exercises_page])
@pytest.mark.parametrize("width", [880, 420])
def test_no_words_are_cut_off_or_lie_on_others(show, width, page):
    for view in show(page(), width).evaluate(BOXES):
        for one in view["words"]:
            assert one["left"] >= 0, (view["title"], one)
            assert min(one["top"], one["over"], one["under"]) >= 0, (view["title"], one)
        for n, one in enumerate(view["words"]):
            for other in view["words"][n + 1 :]:
                across, down = overlap(one, other)
                assert across <= 1 or down <= 5, (view["title"], one["words"], other["words"])


def test_on_a_phone_words_are_still_twelve_pixels_and_nothing_scrolls_sideways(show):
    tab = show(gallery.page(), 420)
    for view in tab.evaluate(BOXES):
        assert view["width"] <= view["page"]
        assert min(one["size"] for one in view["words"]) >= 12, view["title"]
    assert tab.evaluate("document.documentElement.scrollWidth") <= 420


PAPER = "getComputedStyle(document.querySelector('figure svg > rect')).fill"


def rgb(colour):
    return f"rgb({', '.join(str(int(colour[n : n + 2], 16)) for n in (1, 3, 5))})"


def test_the_systems_theme_is_followed_and_jupyters_own_goes_before_it(show):
    html = gallery.drawings()["joint.cut_open"].html()
    assert show(html, color_scheme="light").evaluate(PAPER) == rgb(pen.LIGHT["paper"])
    assert show(html, color_scheme="dark").evaluate(PAPER) == rgb(pen.DARK["paper"])
    for system in ("light", "dark"):
        for own, paper in (("true", pen.LIGHT), ("false", pen.DARK)):
            page = f'<body data-jp-theme-light="{own}">{html}</body>'
            assert show(page, color_scheme=system).evaluate(PAPER) == rgb(paper["paper"])


@pytest.mark.parametrize("body", ["<body>", '<body data-jp-theme-light="false">'])
def test_print_is_dark_on_white_whatever_the_screen(show, body):
    tab = show(body + gallery.drawings()["joint.cut_open"].html(), color_scheme="dark")
    tab.emulate_media(media="print", color_scheme="dark")
    assert tab.evaluate(PAPER) == rgb(pen.LIGHT["paper"])


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_a_still_carries_its_words_and_its_colours(show, theme):
    drawing = gallery.drawings()["discharge.bleeder"]
    tab = show(f"<body style='margin:0'>{drawing.still()}", color_scheme=theme)
    images = tab.locator("img")
    assert images.count() == len(drawing.views)
    for image, view in zip(images.all(), drawing.views, strict=True):
        assert view.words in image.get_attribute("alt")
        assert image.evaluate("(image) => image.decode().then(() => image.naturalWidth)") == view.width
    corner = tab.evaluate(
        "() => { const image = document.querySelector('img'), canvas = document.createElement('canvas');"
        "canvas.width = canvas.height = 4; const pen = canvas.getContext('2d'); pen.drawImage(image, 0, 0);"
        "return [...pen.getImageData(1, 1, 1, 1).data.slice(0, 3)] }"
    )
    paper = (pen.LIGHT if theme == "light" else pen.DARK)["paper"]
    assert corner == [int(paper[n : n + 2], 16) for n in (1, 3, 5)]


def test_the_part_under_the_pointer_says_its_name(show):
    drawing = gallery.drawings()["marks.earlier_repair"]
    tab = show(drawing.html())
    view = tab.locator("svg").bounding_box()
    named = tab.evaluate(
        "([x, y]) => document.elementFromPoint(x, y).dataset.region", [view["x"] + 320, view["y"] + 222]
    )
    assert named == region_at(drawing.views[0], 320, 222).name == "C4"


@pytest.mark.skipif("AXE_JS" not in os.environ, reason="set AXE_JS to the path of an axe.min.js")
@pytest.mark.parametrize("theme", ["light", "dark"])
def test_axe_finds_nothing(show, theme):
    tab = show(gallery.page(), color_scheme=theme)
    tab.add_script_tag(path=os.environ["AXE_JS"])
    found = tab.evaluate("axe.run().then((result) => result.violations.map((one) => [one.id, one.nodes[0].html]))")
    assert found == []
