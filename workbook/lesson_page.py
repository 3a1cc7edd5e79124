"""A lesson on paper: its words, its still pictures and what its cells come to, on one page that asks no other host."""

import re
import subprocess
from html import escape
from pathlib import Path

from markdown_it import MarkdownIt

from workbook import paths
from workbook.formulas import picture, write_page
from workbook.topics import Topic
from workbook.units import together

FORMULA = re.compile(r"\$\$(.+?)\$\$|\$(?!\s)([^$]+?)\$", re.DOTALL)
PATIENCE = 300
"""Seconds that a cell of a lesson may take on a slow machine."""
ON_SCREEN = "<p class='soft'>This is worked on the screen: open the lesson with <code>workbook open</code>.</p>"


def write(name: str, to: Path | None) -> Path:
    """Write a topic's lesson as a page and return where it is, or raise Problem."""
    return write_page("lesson", page, name, to)


def page(topic: Topic) -> str:
    """Return a topic's lesson as one page of HTML; its cells are run to see what they come to."""
    cells = ran(topic)
    title = next(cell.source for cell in cells if cell.cell_type == "markdown").splitlines()[0].lstrip("# ")
    body = "\n".join(words(cell.source) if cell.cell_type == "markdown" else results(cell) for cell in cells)
    return PAGE.format(title=escape(title), body=body)


def ran(topic: Topic) -> list:
    """Return the cells of a lesson, run in a kernel of their own; a cell with a still picture keeps that."""
    import nbformat
    from nbclient import NotebookClient

    lesson = nbformat.read(paths.lessons() / f"{topic.number:02}_{topic.slug}.ipynb", as_version=4)
    stills = {cell.id: cell.outputs for cell in lesson.cells if "still" in cell.metadata}
    NotebookClient(lesson, timeout=PATIENCE, kernel_name="python3").execute(stderr=subprocess.DEVNULL)
    for cell in lesson.cells:
        if cell.id in stills:
            cell.outputs = stills[cell.id]
    return lesson.cells


def results(cell) -> str:
    """Return what a code cell comes to; its code is for the screen."""
    shown = [found for found in map(_shown, cell.outputs) if found]
    return f"<figure>{''.join(shown)}</figure>" if shown else ""


def _shown(output) -> str:
    if output.output_type == "stream":
        return f"<pre>{escape(output.text.strip())}</pre>"
    data = output.get("data", {})
    if "application/vnd.jupyter.widget-view+json" in data:
        return ON_SCREEN
    if "text/html" in data:
        return data["text/html"]
    if "image/png" in data:
        return f'<img alt="" src="data:image/png;base64,{data["image/png"].strip()}">'
    return f"<pre>{escape(data['text/plain'])}</pre>" if "text/plain" in data else ""


def words(source: str) -> str:
    r"""Return a lesson's Markdown as HTML, folded answers open, formulas drawn.

    >>> words("A **bold** word.")
    '<p>A <strong>bold</strong> word.</p>\n'
    >>> words("So $x_1*x_2$ it is.").count("<img")
    1
    """
    return _MARKDOWN.render(source).replace("<details>", "<details open>")


def _formula(state, silent: bool) -> bool:
    """Read ``$...$`` and ``$$...$$`` as a formula."""
    found = FORMULA.match(state.src, state.pos)
    if not found:
        return False
    if not silent:
        state.push("formula", "", 0).content = " ".join((found[1] or found[2]).split())
    state.pos = found.end()
    return True


def _renderer() -> MarkdownIt:
    markdown = MarkdownIt("commonmark", {"html": True}).enable("table")
    markdown.inline.ruler.before("escape", "formula", _formula)
    markdown.add_render_rule("formula", lambda self, tokens, at, *rest: picture(tokens[at].content))
    markdown.add_render_rule("text", lambda self, tokens, at, *rest: escape(together(tokens[at].content), quote=False))
    return markdown


_MARKDOWN = _renderer()

PAGE = """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<meta name="generator" content="The Rework Workbook">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; img-src data:; style-src 'unsafe-inline'">
<title>{title}</title><style>
body {{ font: 15px/1.5 system-ui, sans-serif; color: #1f2430; background: #fff;
  max-width: 52rem; margin: 1rem auto; padding: 0 1rem; }}
h2 {{ border-bottom: 2px solid; break-after: avoid; }} h3 {{ break-after: avoid; }}
figure {{ margin: 1em 0; break-inside: avoid; }} img, svg {{ max-width: 100%; height: auto; vertical-align: middle; }}
blockquote, details {{ border-left: 4px solid #8a5a00; margin: 1em 0; padding: 0 1em; break-inside: avoid; }}
details {{ border-color: #54606e; }} summary {{ font-weight: 600; }}
pre {{ font: 13px/1.4 ui-monospace, monospace; white-space: pre-wrap; background: #f4f5f7; padding: .5em .8em; }}
table {{ border-collapse: collapse; }} th, td {{ text-align: left; vertical-align: top; padding: .2em .8em .2em 0;
  border-bottom: 1px solid #c9ced6; }}
.soft {{ color: #54606e; }} a {{ color: inherit; }}
@media print {{ body {{ font-size: 11pt; margin: 0; max-width: none; padding: 0; }} }}
</style></head><body><main>
{body}
</main></body></html>
"""
