"""Which question comes next: what is due by a spaced-repetition scheduler, then what is new, in teaching order."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from fsrs import Card, Rating, Scheduler, State

from graders import sheets
from graders.questions.exercise import Choice, Exercise, Number, Order, Part, Several
from workbook.problems import Problem
from workbook.progress import Event
from workbook.topics import TOPICS, by_slug

GRADES = {"known": Rating.Good, "helped": Rating.Hard, "shown": Rating.Again}
"""How a question went: right at once; right with help or after a wrong answer; the working was shown."""


@dataclass(frozen=True)
class Item:
    """One part of one exercise, to be asked with new numbers."""

    topic: str
    exercise: Exercise
    part: Part

    @property
    def key(self) -> tuple[str, str, str]:
        return self.topic, self.exercise.id, self.part.name


def items(topic: str | None = None) -> list[Item]:
    """Return what can be practised, in teaching order: every part that is answered with one value or a list."""
    slugs = [other.slug for other in TOPICS]
    if topic is not None and topic not in slugs:
        raise Problem(f"there is no topic {topic!r}.", f"topics are {', '.join(slugs)}")
    found = [
        Item(slug, exercise, part)
        for slug in ([topic] if topic else slugs)
        for exercise in sheets.exercises(slug)
        for part in exercise.parts
        if isinstance(part, (Number, Choice, Several, Order))
    ]
    if not found:
        raise Problem(f"the topic {topic} has no exercises to practise yet.", "choose another topic")
    return found


def cards(events: Iterable[Event]) -> dict[tuple, Card]:
    """Return the scheduler's card of every part practised, worked out anew from what was done."""
    scheduler, cards = Scheduler(enable_fuzzing=False), {}
    for event in events:
        grade = GRADES.get(event.what.get("grade")) if event.kind == "practice" else None
        if grade is not None:
            key = event.topic, event.exercise, event.what.get("part")
            card = cards.get(key) or Card(card_id=0, due=event.at)
            cards[key], _ = scheduler.review_card(card, grade, event.at)
    return cards


def choose(among: Sequence[Item], known: dict[tuple, Card], now: datetime, after: tuple | None = None) -> Item:
    """Return what to ask next. ``after`` is the key just asked, which does not come twice in a row if it can be helped.

    What is due comes first, longest due before the others; then the first new part; then what is due soonest.
    """
    candidates = [item for item in among if item.key != after] or list(among)
    seen = [item for item in candidates if item.key in known]
    soonest = min(seen, key=lambda item: known[item.key].due, default=None)
    if soonest is not None and known[soonest.key].due <= now:
        return soonest
    new = next((item for item in candidates if item.key not in known), None)
    return new or soonest


@dataclass(frozen=True)
class Standing:
    """How a topic stands: parts kept for days, parts still being learned, parts due now, parts not met yet."""

    topic: str
    kept: int
    learning: int
    due: int
    new: int

    @property
    def title(self) -> str:
        return by_slug(self.topic).title

    def words(self) -> str:
        """Say it in a line.

        >>> Standing("profile", 3, 0, 2, 9).words()
        '3 kept, 2 due, 9 new'
        """
        named = {"kept": self.kept, "being learned": self.learning, "due": self.due, "new": self.new}
        return ", ".join(f"{count} {word}" for word, count in named.items() if count)


def standings(events: Iterable[Event], now: datetime) -> list[Standing]:
    """Return how each topic that has exercises stands."""
    known, found = cards(events), []
    for topic in TOPICS:
        if not sheets.exercises(topic.slug):
            continue
        own = items(topic.slug)
        met = [known[item.key] for item in own if item.key in known]
        due = sum(card.due <= now for card in met)
        kept = sum(card.due > now and card.state == State.Review for card in met)
        found.append(Standing(topic.slug, kept, len(met) - due - kept, due, len(own) - len(met)))
    return found
