"""How a learner is written in the cohort's report: by name, with the way to the feedback page."""

import copy
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from graders.cohort.find import plain
from graders.report.html import anchor, href, linked, person, text


class Learners:
    """The learners of a cohort, in the order of their names.

    Parameters
    ----------
    names : mapping from id to name
        The roster.
    marked : iterable of str
        Adds whoever has marks and is not on the roster.
    links : mapping from (id, topic) to a relative path
    """

    def __init__(
        self, names: Mapping[str, str], marked: Iterable[str], links: Mapping[tuple[str, str], str] | None = None
    ):
        found = dict.fromkeys(names) | dict.fromkeys(marked)
        self.ids = sorted(found, key=lambda learner: (plain(names.get(learner, learner)), learner))
        self._place = {learner: place for place, learner in enumerate(self.ids)}
        self._links, self._names = links or {}, names
        met = Counter(names.values())
        self._shown = {learner: _shown(learner, names.get(learner, ""), met) for learner in self.ids}

    def only(self, ids: Sequence[str]) -> "Learners":
        """Return some of them, written as among all."""
        some = copy.copy(self)
        some.ids = list(ids)
        return some

    def name(self, learner: str) -> str:
        """Return a learner's name as on the roster, or the id where there is none."""
        return self._names.get(learner, "").strip() or learner

    def named(self, learner: str, topic: str = "") -> str:
        """Return a learner's name, as a link where there is a feedback page."""
        return linked(self._links.get((learner, topic), ""), self._shown.get(learner) or text(learner, 120))

    def part(self, record) -> str:
        """Return the part of a row or a like record, as a link to its place on the learner's feedback page."""
        shown = f"{text(record.exercise, 120)}: {text(record.part, 120)}"
        path = self._links.get((record.learner, record.topic), "")
        return f'<a href="{href(path)}#{anchor("part", record.exercise, record.part)}">{shown}</a>' if path else shown

    def line(self, learner: str, cells: str, topic: str = "", kinds: str = "") -> str:
        """Return one learner's line of a table, which the page's filter finds by name.

        A map gives ``kinds`` to be found by too, and so tells the page the id that goes with the name.
        """
        kept = f' data-k="{kinds}" data-i="{text(learner, 120)}"' if kinds else ""
        head = f'<th scope="row">{self.named(learner, topic)}</th>'
        return f'<tr data-n="{self._place.get(learner, "")}"{kept}>{head}{cells}</tr>'


def _shown(learner: str, name: str, met: Mapping[str, int]) -> str:
    """Return a name alone where it is the only one of its kind, else with the id."""
    if not name.strip():
        return text(learner, 120)
    return person(name) if met[name] == 1 else f"{person(name)} ({text(learner, 120)})"
