"""Where numbers come from, as a table in a lesson: standing and source, straight from the references."""

import html
from collections.abc import Iterable

from workbook.references import STANDINGS, Reference, entry
from workbook.units import together, written


class Sources:
    """A table of references that a notebook shows; plain text where there is no browser."""

    def __init__(self, references: list[Reference]):
        self.references = references

    def _repr_html_(self) -> str:
        rows = "".join(
            _row("td", (written(one.name), shown(one), one.standing, _place(one))) for one in self.references
        )
        heads = _row("th scope='col'", ("what", "value", "standing", "where it stands"))
        meanings = "; ".join(
            f"<em>{name}</em>: {html.escape(STANDINGS[name])}"
            for name in STANDINGS
            if any(one.standing == name for one in self.references)
        )
        return (
            "<div role='region' aria-label='Where these numbers come from' tabindex='0' style='overflow-x:auto'>"
            f"<table style='min-width:42em'><thead>{heads}</thead>"
            f"<tbody>{rows}</tbody></table></div><p>{meanings}.</p>"
        )

    def __repr__(self) -> str:
        return "\n".join(f"{written(one.name)}: {shown(one)} ({one.origin()})" for one in self.references)


def _row(tag: str, cells: Iterable[str]) -> str:
    """Return a row whose words begin at the left, under their heads too; numbers, the second cell, end at the right."""
    sides = ("left", "right", "left", "left")
    return f"<tr>{''.join(_cell(tag, side, one) for side, one in zip(sides, cells, strict=True))}</tr>"


def _cell(tag: str, side: str, words: str) -> str:
    return f"<{tag} style='text-align:{side}'>{html.escape(together(words))}</{tag.split()[0]}>"


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
    return f"{_number(value)}{written(unit)}"


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
