"""A page of ours as it is read."""

from workbook.units import NO_BREAK


def as_read(page: str) -> str:
    """Return a page or a piece of it with plain spaces, for a space at which no line ends is read as one."""
    return page.replace(NO_BREAK, " ")
