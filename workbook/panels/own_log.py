"""Bring your own log: load a thermocouple CSV in a lesson and see its metrics, flags and picture."""

import html

import ipywidgets as widgets

from workbook import logfile, verdict
from workbook.panels.explorer import still_html
from workbook.problems import Problem


def shown_html(content: bytes, name: str, limits_name: str, class_c: float | None, gap: float) -> str:
    """Return what a log says as HTML: its picture, then every line; or the one line that says what is wrong."""
    try:
        log = logfile.parse(content, name)
        channels = verdict.judge(log, limits_name, class_c, gap)
    except (Problem, ValueError) as problem:
        tip = f"<br>{html.escape(problem.tip)}" if getattr(problem, "tip", "") else ""
        return f'<p role="status">{html.escape(str(problem))}{tip}</p>'
    text = html.escape("\n".join(verdict.lines(log, channels)))
    return f'{still_html(verdict.picture(log, channels))}<pre style="white-space:pre-wrap">{text}</pre>'


def desk() -> widgets.Widget:
    """Return a place to load a log: a file, the limits, the package's rating, and the longest step that is no gap."""
    file = widgets.FileUpload(accept=".csv,.txt,.tsv", multiple=False, description="Choose a log")
    limits_name = widgets.Dropdown(options=list(verdict.LIMITS), value="020D-lead-free", description="Limits")
    rating = widgets.Dropdown(options=[("not known", None), 245, 250, 260, 220, 225], description="Rated to °C")
    gap = widgets.BoundedFloatText(value=5, min=0.1, max=600, description="No gap to s")
    shown = widgets.HTML("Choose a CSV file: one line a reading, one column of times.")

    def show(change=None):
        if file.value:
            one = file.value[0]
            shown.value = shown_html(bytes(one["content"]), one["name"], limits_name.value, rating.value, gap.value)

    for control in (file, limits_name, rating, gap):
        control.observe(show, "value")
    wrap = widgets.Layout(flex_flow="row wrap")
    return widgets.VBox([widgets.HBox([file, limits_name, rating, gap], layout=wrap), shown])
