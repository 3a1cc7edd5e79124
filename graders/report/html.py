"""What our pages share: text made harmless, our own Markdown, the page around them, and bars.

A page asks for nothing from outside. Its content security policy names the hash of our style and of our script, so a
browser runs nothing else, even if a text got past the escaping.
"""

import base64
import hashlib
import re
from collections.abc import Iterable, Sequence
from functools import lru_cache
from html import escape
from importlib.resources import files
from urllib.parse import quote

from markdown_it import MarkdownIt

from workbook.drawings.pen import PAGE_STYLE as DRAWINGS_STYLE
from workbook.units import NO_BREAK, TOGETHER

LONGEST = 4000
"""Characters of a stranger's text that a page shows; the rest is counted, not shown."""

_HIDDEN = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\xad\u061c\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb"
    "\ud800-\udfff\U000e0000-\U000e007f]"
)
"""Controls, direction overrides, invisible characters, halves of characters. (Joiners are kept: scripts need them.)"""


def text(value, longest: int = LONGEST) -> str:
    """Return anything as text of a page: never markup, nothing hidden in it, never endless.

    >>> text("<b>12 & 'more'</b>")
    '&lt;b&gt;12 &amp; &#x27;more&#x27;&lt;/b&gt;'
    >>> text("gain\u202e5.0"), text("a" * 9, longest=4)
    ('gain[U+202E]5.0', 'aaaa … [9 characters in all]')
    """
    value = str(value)
    if len(value) > longest:
        value = f"{value[:longest]} … [{len(value):,} characters in all]"
    value = value.replace("\r\n", "\n")
    if not value.isascii() or not value.isprintable():
        value = _HIDDEN.sub(lambda found: f"[U+{ord(found.group()):04X}]", value)
    return escape(value)


def person(value) -> str:
    """Return a person's name as text whose direction stays its own."""
    return f"<bdi>{text(value, longest=120)}</bdi>"


def href(path: str) -> str:
    """Return a relative path as a link's target; a scheme or a host in it becomes part of a file name.

    >>> href("feedback/lé 1.html"), href("javascript:alert(1)"), href("//elsewhere/x")
    ('feedback/l%C3%A9%201.html', './javascript%3Aalert%281%29', './elsewhere/x')
    """
    quoted = quote(path.encode("utf-8", "replace"), safe="/._-~")
    return quoted if ":" not in path and not path.startswith("/") else "./" + quoted.lstrip("/")


def linked(path: str, shown: str) -> str:
    """Return finished HTML as a link, or as it is where there is nowhere to go."""
    return f'<a href="{href(path)}">{shown}</a>' if path else shown


def anchor(*words: str) -> str:
    """Return words as one id of a page.

    >>> anchor("read-the-log", "time above")
    'read-the-log.time_above'
    """
    return ".".join(re.sub(r"[^A-Za-z0-9_-]", "_", word[:80]) for word in words)


def number(value: float) -> str:
    """Return points as people write them.

    >>> number(2.0), number(1 / 3), number(0.5)
    ('2', '0.33', '0.5')
    """
    return f"{round(value, 2):.10g}"


def percent(share: float) -> str:
    """Return a share as whole per cent.

    >>> percent(0.725)
    '72 %'
    """
    return f"{share * 100:.0f} %"


def count(how_many: int, one: str, more: str = "") -> str:
    """Return a number with its noun.

    >>> count(1, "learner"), count(3, "learner"), count(2, "has", "have")
    ('1 learner', '3 learners', '2 have')
    """
    return f"{how_many:,} {one if how_many == 1 else more or one + 's'}"


def _math(state, silent: bool) -> bool:
    """Keep ``$...$`` as it is typed: underscores and stars in it are no emphasis."""
    if state.src[state.pos] != "$":
        return False
    end = state.src.find("$", state.pos + 1)
    if end < 0 or state.src[state.pos + 1 : end].strip() == "":
        return False
    if not silent:
        token = state.push("text", "", 0)
        token.content = state.src[state.pos : end + 1]
    state.pos = end + 1
    return True


def _renderer() -> MarkdownIt:
    md = MarkdownIt("commonmark", {"html": False}).enable("table").disable(["link", "image", "autolink", "reference"])
    md.inline.ruler.before("escape", "math", _math)
    md.add_render_rule("heading_open", lambda *arguments: '<p class="head">')
    md.add_render_rule("heading_close", lambda *arguments: "</p>\n")
    return md


_MARKDOWN = _renderer()


@lru_cache(maxsize=4096)
def markdown(source: str) -> str:
    """Return Markdown of ours as HTML: tables on; HTML, links and pictures off; ``$...$`` left as typed.

    >>> markdown("Take **two** faces, $A_{top}*2$.")
    '<p>Take <strong>two</strong> faces, $A_{top}*2$.</p>\\n'
    >>> markdown("<b>no</b>")
    '<p>&lt;b&gt;no&lt;/b&gt;</p>\\n'
    """
    shown = _MARKDOWN.render(_HIDDEN.sub("", source.replace("\t", " ")))
    # The policy of the page allows no style attribute; in text a quote is escaped, so only tags can match.
    return re.sub(r'style="text-align:(left|right|center)"', r'class="\1"', shown)


def items(lines: Iterable[str], kind: str = "") -> str:
    """Return finished lines as a list, or nothing where there are none."""
    body = "".join(f"<li>{line}</li>" for line in lines)
    return f"<ul{f' class={kind}' if kind else ''}>{body}</ul>" if body else ""


def bars(
    rows: Sequence[tuple[str, str, float]], alternative: str, band: tuple[float, float, float] | None = None
) -> str:
    """Return a picture of labelled bars; a long label goes on in a second line.

    Parameters
    ----------
    rows : sequence of (label, figure, share)
        One bar each; the share is 0 to 1.
    alternative : str
        What the picture shows, in words.
    band : (low, middle, high), optional
        Shares marked behind the last bar.
    """
    drawn = []
    for label, figure, share in rows:
        last = len(drawn) == len(rows) - 1
        kind = "total" if last and len(rows) > 1 else "bar"
        marks = [
            '<rect class="rail" width="100%" height="10" rx="5"/>',
            f'<rect class="{kind}" width="{_clamped(share):.1%}" height="10" rx="5"/>',
        ]
        if band and last:
            low, middle, high = (_clamped(edge) for edge in band)
            marks += [
                f'<rect class="band" x="{low:.1%}" y="13" width="{high - low:.1%}" height="6" rx="3"/>',
                f'<rect class="middle" x="{middle * 0.995:.1%}" y="11" width="3" height="10"/>',
            ]
        height = 21 if band and last else 10
        drawn.append(
            f'<p><span>{text(label)}</span> <span class="figure">{text(figure)}</span></p>'
            f'<svg width="100%" height="{height}">{"".join(marks)}</svg>'
        )
    return f'<div class="bars" role="img" aria-label="{text(alternative)}">{"".join(drawn)}</div>'


def _clamped(share: float) -> float:
    return min(1.0, max(0.0, share))


@lru_cache
def _asset(file: str, package: str) -> tuple[str, str]:
    """Return one of our files in a package of ours, and its hash as a content security policy names it."""
    body = files(package).joinpath(file).read_text(encoding="utf-8").strip()
    if file.endswith(".css"):
        body += DRAWINGS_STYLE  # a drawing is markup of ours, set into the page; it brings no style of its own
    digest = hashlib.sha256(body.encode()).digest()
    return body, f"'sha256-{base64.b64encode(digest).decode()}'"


_KEPT = re.compile(rf"(?s:<(script|style|pre|code|textarea|svg)\b.*?</\1>)|<[^>]*>|(?P<numbers>{TOGETHER})")
"""What is passed over in a page (code, forms, drawings, tags), and where a line must not end."""


def together(body: str) -> str:
    """Return a finished body in which no line ends between a number and its unit, nor within a fraction.

    >>> together('<p title="5 mm">5 mm</p><pre>5 mm</pre>')
    '<p title="5 mm">5\\xa0mm</p><pre>5 mm</pre>'
    """
    return _KEPT.sub(lambda found: found[0].replace(" ", NO_BREAK) if found["numbers"] else found[0], body)


def page(
    title: str,
    body: str,
    script: str = "",
    style: str = "page.css",
    more_style: str = "",
    of: str = __package__,
    asks_its_server: bool = False,
) -> str:
    """Return a whole page around a finished body.

    ``script`` is the name of our script file, or nothing; it, another ``style`` than that of all pages and
    ``more_style`` lie in the package ``of``. A page that a server of ours shows ``asks_its_server``, and nobody else.
    """
    style, style_hash = _asset(style, __package__ if style == "page.css" else of)
    if more_style:
        more, more_hash = _asset(more_style, of)
        style, style_hash = f"{style}</style>\n<style>{more}", f"{style_hash} {more_hash}"
    code, code_hash = _asset(script, of) if script else ("", "")
    policy = f"default-src 'none'; style-src {style_hash}; base-uri 'none'; form-action 'none'"
    if code:
        policy += f"; script-src {code_hash}"
    if asks_its_server:
        policy += "; connect-src 'self'"
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        '<meta name="referrer" content="no-referrer">\n<meta name="color-scheme" content="light dark">\n'
        f"<title>{text(title, longest=200)}</title>\n<style>{style}</style>\n</head>\n<body>\n<main>\n"
        f"{together(body)}\n</main>\n{f'<script>{code}</script>' if code else ''}\n</body>\n</html>\n"
    )
