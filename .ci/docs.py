"""The docstrings as pages: ``python .ci/docs.py [FOLDER]`` writes them, into `site` where no folder is named.

Formulas become MathML as they are written, so that a page asks nothing of a network.
"""

import html
import re
import sys
from pathlib import Path

import pdoc
from latex2mathml.converter import convert

OUR_PAGES = Path(__file__).with_name("pages")
"""Where the first page has our own words."""

DISPLAYED, INLINE = re.compile(r"\$\$(.+?)\$\$", re.DOTALL), re.compile(r"\\\((.+?)\\\)")


def with_formulas(page: str) -> str:
    """Return a page's HTML with its formulas as MathML."""
    page = DISPLAYED.sub(lambda found: convert(html.unescape(found[1]).strip(), display="block"), page)
    return INLINE.sub(lambda found: convert(html.unescape(found[1]).strip()), page)


def main(folder: Path) -> None:
    """Write the pages of both packages."""
    pdoc.render.configure(
        docformat="numpy", show_source=False, footer_text="The Rework Workbook", template_directory=OUR_PAGES
    )
    pdoc.pdoc("workbook", "graders", output_directory=folder)
    for path in folder.rglob("*.html"):
        path.write_text(with_formulas(path.read_text(encoding="utf-8")), encoding="utf-8")


if __name__ == "__main__":
    main(Path(*sys.argv[1:]) if sys.argv[1:] else Path("site"))
