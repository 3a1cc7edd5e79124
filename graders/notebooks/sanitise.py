"""Make what a learner wrote harmless before an instructor's browser sees it, whoever renders it.

What is checked before it is rendered can be turned into something else by rendering: a link, a picture that is fetched,
a formula with a link in it. So a learner's text is not checked but shown as text, and HTML is let through only cleaned
and out of reach of the formula setter.
"""

import re
import textwrap
from collections.abc import Collection

import nh3

PICTURES = ("image/png", "image/jpeg")
LONGEST_HTML, MOST_TAGS, MOST_FORMATTING = 200_000, 4_000, 200
MOST_TAGS_OF_ALL = 12_000
"""Cleaning takes time and room that grow with the square of tags in tags, most of all of tags that format and are not
closed: these are opened again in every paragraph after. What has more, or a notebook's outputs together, is shown as
text."""
FORMATTING = re.compile(r"<(?:a|b|big|code|em|font|i|nobr|s|small|strike|strong|tt|u)(?![a-z0-9])", re.IGNORECASE)

WIDTH = 100
INDENT = " " * 4
"""What makes a line of Markdown text as it was typed."""


def harmless(notebook, printed: Collection[str] = ()):
    """Return a notebook in which nothing a learner wrote is active or fetches, in place.

    Parameters
    ----------
    notebook : dict
    printed : collection of str
        The texts we printed: they stay Markdown. Every other text is shown as it was typed.
    """
    tags_left = MOST_TAGS_OF_ALL
    for cell in notebook["cells"]:
        if cell["cell_type"] == "markdown" and cell["source"] not in printed:
            cell["source"] = as_text(cell["source"])
        cell.pop("attachments", None)
        for output in cell.get("outputs", ()):
            if "data" in output:
                tags_left -= _tags(output["data"].get("text/html"))
                output["data"] = _shown(output["data"], tags_left >= 0)
    return notebook


def as_text(source: str) -> str:
    """Return Markdown that shows a text as it was typed, and is nothing else.

    >>> as_text("see [here](javascript:x)\\n# $y$")
    '    see [here](javascript:x)\\n    # $y$'
    """
    lines = [
        piece
        for line in source.splitlines()
        for piece in textwrap.wrap(line, WIDTH, drop_whitespace=False, break_on_hyphens=False) or [""]
    ]
    return "\n".join(f"{INDENT}{line}" for line in lines) if source.strip() else ""


def _tags(html) -> int:
    return html.count("<") if isinstance(html, str) else 0


def _shown(data: dict, may_clean: bool = True) -> dict:
    """Return what of an output is shown: pictures, text, and HTML that shows and does nothing."""
    shown = {kind: data[kind] for kind in (*PICTURES, "text/plain") if kind in data}
    html = data.get("text/html")
    if isinstance(html, str):
        shown |= _html(html) if may_clean else _as_plain(html)
    elif not shown:
        shown = {"text/plain": str(next((data[kind] for kind in ("text/markdown", "text/latex") if kind in data), ""))}
    return shown


def _html(html: str) -> dict[str, str]:
    if len(html) > LONGEST_HTML or _tags(html) > MOST_TAGS or len(FORMATTING.findall(html)) > MOST_FORMATTING:
        return _as_plain(html)
    return {"text/html": f'<div class="tex2jax_ignore mathjax_ignore">{clean(html)}</div>'}


def _as_plain(html: str) -> dict[str, str]:
    return {"text/plain": html[:LONGEST_HTML]}


def clean(html: str) -> str:
    """Return HTML that shows and does nothing: no script, no handler, no style, no class, nothing fetched.

    >>> clean('<b onclick="x()">2 < 3</b><script>x()</script><img src="https://elsewhere"><a href="//x">y</a>')
    '<b>2 &lt; 3</b>y'
    """
    return nh3.clean(html, tags=nh3.ALLOWED_TAGS - {"img", "a", "map", "area"}, attributes={})
