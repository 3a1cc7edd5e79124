"""Which question comes next: what is due by a spaced-repetition scheduler, then what is new, in teaching order."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from fsrs import Card, Rating, Scheduler, State

from graders import sheets
from graders.questions.exercise import Exercise
from graders.questions.parts.base import Part
from workbook.problems import Problem
from workbook.progress import Event
from workbook.topics import SLUGS, TOPICS, by_slug, slug_of

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
    """Return what can be practised, in teaching order: every part that is answered with one value or a list.

    ``topic`` is a topic's slug, or its number.
    """
    topic = slug_of(topic) if topic is not None else None
    if topic is not None and topic not in SLUGS:
        named = ", ".join(f"{other.number} {other.slug}" for other in TOPICS)
        raise Problem(f"there is no topic {topic!r}.", f"topics are {named}")
    found = [
        Item(slug, exercise, part)
        for slug in ([topic] if topic else SLUGS)
        for exercise in sheets.exercises(slug)
        for part in exercise.parts
        if part.is_practised
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


STATES = {"sure": "sure", "begun": "begun", "repeat": "to repeat", "ahead": "to come"}
"""How an exercise can stand in practice, in the words shown."""


@dataclass(frozen=True)
class Standing:
    """How a topic stands, counted by exercise.

    ``sure``: every part was right and comes back in days; ``begun``: some was practised; ``repeat``: a part is due
    again; ``ahead``: nothing of it was practised yet.
    """

    topic: str
    sure: int
    begun: int
    repeat: int
    ahead: int

    @property
    def title(self) -> str:
        return by_slug(self.topic).title

    def words(self) -> str:
        """Say it in a line.

        >>> Standing("profile", 3, 0, 2, 9).words()
        '3 sure, 2 to repeat, 9 to come'
        """
        return ", ".join(f"{count} {words}" for name, words in STATES.items() if (count := getattr(self, name)))


def standings(events: Iterable[Event], now: datetime) -> list[Standing]:
    """Return how each topic that has exercises stands."""
    known, found = cards(events), []
    for topic in TOPICS:
        if not sheets.exercises(topic.slug):
            continue
        by_exercise: dict[str, list[Card | None]] = {}
        for item in items(topic.slug):
            by_exercise.setdefault(item.exercise.id, []).append(known.get(item.key))
        count = Counter(_state(parts, now) for parts in by_exercise.values())
        found.append(Standing(topic.slug, **{name: count[name] for name in STATES}))
    return found


def _state(parts: Sequence[Card | None], now: datetime) -> str:
    """Return the state of an exercise from its parts' cards, None where a part was not practised."""
    met = [card for card in parts if card is not None]
    if not met:
        return "ahead"
    if any(card.due <= now for card in met):
        return "repeat"
    return "sure" if len(met) == len(parts) and all(card.state == State.Review for card in met) else "begun"
