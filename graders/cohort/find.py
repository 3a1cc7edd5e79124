"""Find people by what somebody types of their names, whatever the accents, capitals and order."""

import unicodedata
from collections.abc import Mapping

APART = str.maketrans(
    {"ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "æ": "ae", "œ": "oe", "ı": "i", "ħ": "h", "ŧ": "t"}
)
"""Letters that do not come apart into a plain one and its accent; what is typed for them without their keys."""


def plain(name: str) -> str:
    """Return a name as it is compared: no accents, no capitals, single spaces.

    >>> plain("  Åsa  ŁUKASZ-Ørsted"), plain("Strauß"), plain("Nguyễn")
    ('asa lukasz-orsted', 'strauss', 'nguyen')
    """
    apart = unicodedata.normalize("NFKD", name.casefold().translate(APART))
    return " ".join("".join(sign for sign in apart if not unicodedata.combining(sign)).split())


def people(words: str, names: Mapping[str, str]) -> list[str]:
    """Return the ids of those who are meant: whose id or whole name it is, else in whose name each word begins one.

    >>> names = {"a1": "Åsa Ek", "b2": "Asa Berg", "c3": "Søren Ek"}
    >>> people("ASA EK", names), people("ek soren", names), people("asa", names), people("", names)
    (['a1'], ['c3'], ['a1', 'b2'], [])
    """
    wanted = plain(words)
    exact = [one for one, name in names.items() if wanted and wanted in (plain(one), plain(name))]
    if exact or not wanted:
        return exact
    return [
        one
        for one, name in names.items()
        if all(any(part.startswith(word) for part in plain(name).split()) for word in wanted.split())
    ]
