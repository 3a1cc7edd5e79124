"""Where numbers come from, as a table in a lesson: standing and source, straight from the references."""

import html
import re

from workbook.references import STANDINGS, Reference, entry


class Sources:
    """A table of references that a notebook shows; plain text where there is no browser."""

    def __init__(self, references: list[Reference]):
        self.references = references

    def _repr_html_(self) -> str:
        rows = "".join(
            f"<tr><td style='text-align:left'>{html.escape(_micro(one.name))}</td>"
            f"<td style='text-align:right'>{html.escape(shown(one))}</td>"
            f"<td style='text-align:left'>{html.escape(one.standing)}</td>"
            f"<td style='text-align:left'>{html.escape(_place(one))}</td></tr>"
            for one in self.references
        )
        meanings = "; ".join(
            f"<em>{name}</em>: {html.escape(STANDINGS[name])}"
            for name in STANDINGS
            if any(one.standing == name for one in self.references)
        )
        return (
            "<div role='region' aria-label='Where these numbers come from' tabindex='0' style='overflow-x:auto'>"
            "<table style='min-width:42em'><thead><tr><th scope='col'>what</th><th scope='col'>value</th>"
            "<th scope='col'>standing</th><th scope='col'>where it stands</th></tr></thead>"
            f"<tbody>{rows}</tbody></table></div><p>{meanings}.</p>"
        )

    def __repr__(self) -> str:
        return "\n".join(f"{_micro(one.name)}: {shown(one)} ({one.origin()})" for one in self.references)


def shown(reference: Reference) -> str:
    """Return a reference's value with its unit, as a lesson shows it.

    >>> shown(entry("profile", "sac305_solidus_c"))
    '217 °C'
    """
    value = reference.value
    if isinstance(value, tuple):
        if len(value) > 4 or "," in reference.unit or any(isinstance(item, tuple) for item in value):
            return "a table"
        value = (" to " if len(value) == 2 else ", ").join(_number(item) for item in value)
    unit = "" if reference.unit == "1" else f" {reference.unit}"
    return f"{_number(value)}{_micro(unit)}"


def _micro(words: str) -> str:
    """Return words with micrometres as people write them; the references keep to the keyboard's letters.

    >>> _micro("limit 2 um, number of joints")
    'limit 2 µm, number of joints'
    """
    return re.sub(r"\bum\b", "µm", words)


def _number(value) -> str:
    return f"{value:.6g}" if isinstance(value, float) else str(value)


def _place(reference: Reference) -> str:
    return ", ".join(part for part in (reference.source, reference.locator, reference.edition) if part)


def show(topic: str, *keys: str) -> Sources:
    """Return the table of some references of a topic.

    >>> show("profile", "sac305_solidus_c")  # doctest: +ELLIPSIS
    Solidus of SAC305: 217 °C (published-second-hand: ...)
    """
    return Sources([entry(topic, key) for key in keys])
