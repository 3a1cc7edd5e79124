"""Bring your own log: load a thermocouple CSV in a lesson and see its metrics, flags and picture."""

import html

import ipywidgets as widgets

from workbook.log import reading, verdict
from workbook.panels import log_picture
from workbook.panels.explorer import still_html
from workbook.problems import Problem
from workbook.units import together


def shown_html(content: bytes, name: str, limits_name: str, class_c: float | None, gap: float) -> str:
    """Return what a log says as HTML: its picture, then every line; or the one line that says what is wrong."""
    try:
        log = reading.parse(content, name)
        channels = verdict.judge(log, limits_name, class_c, gap)
        picture = still_html(log_picture.picture(log, channels))
    except (Problem, ValueError) as problem:
        tip = f"<br>{html.escape(problem.tip)}" if getattr(problem, "tip", "") else ""
        return f'<p role="status">{html.escape(str(problem))}{tip}</p>'
    except Exception as error:  # a widget swallows errors, and the learner would see nothing
        return f'<p role="status">{html.escape(f"{name} could not be shown: {type(error).__name__}: {error}")}</p>'
    text = html.escape(together("\n".join(verdict.lines(log, channels))))
    return f'{picture}<pre style="white-space:pre-wrap">{text}</pre>'


NOT_KNOWN = "not known"
"""A choice whose value is None is shown as an empty field."""


def desk() -> widgets.Widget:
    """Return a place to load a log: a file, the limits, the package's rating, and the longest step that is no gap."""
    file = widgets.FileUpload(accept=".csv,.txt,.tsv", multiple=False, description="Choose a log")
    limits_name = widgets.Dropdown(options=list(verdict.LIMITS), value="020D-lead-free", description="Limits")
    rating = widgets.Dropdown(
        options=[(NOT_KNOWN, 0), *((str(c), c) for c in (220, 225, 245, 250, 260))], description="Rated to °C"
    )
    words = {"description_width": "initial"}
    gap = widgets.BoundedFloatText(
        style=words, value=5, min=0.1, max=600, description="Longest step that is no gap [s]"
    )
    shown = widgets.HTML("Choose a CSV file: one line a reading, one column of times.")

    def show(change=None):
        if file.value:
            one = file.value[0]
            if change is not None and change["owner"] is file:  # a long one takes a while, and another's must not stay
                shown.value = f'<p role="status">Reading {html.escape(one["name"])}.</p>'
            shown.value = shown_html(
                bytes(one["content"]), one["name"], limits_name.value, rating.value or None, gap.value
            )

    for control in (file, limits_name, rating, gap):
        control.observe(show, "value")
    wrap = widgets.Layout(flex_flow="row wrap")
    return widgets.VBox([widgets.HBox([file, limits_name, rating, gap], layout=wrap), shown])
