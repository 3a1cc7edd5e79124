"""The one list of topics, in teaching order.

>>> SLUGS
('intake', 'joints', 'profile', 'shorts', 'paste', 'signoff')
>>> by_slug("profile").number
3
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Topic:
    """One topic: its place in the order, its word in every room, its title and what it builds on."""

    number: int
    slug: str
    title: str
    builds_on: tuple[str, ...] = ()

    @property
    def folder(self) -> str:
        """The stem of the topic's lesson notebook, for example ``03_profile``."""
        return f"{self.number:02d}_{self.slug}"


TOPICS = (
    Topic(1, "intake", "Take the board in: make it safe and read its past"),
    Topic(2, "joints", "See why solder joints crack and how long they last", ("intake",)),
    Topic(3, "profile", "Heat the board so that every joint melts and nothing is cooked", ("joints",)),
    Topic(4, "shorts", "Check for shorts and find the shorted part", ("intake",)),
    Topic(5, "paste", "Renew paste, pads and sink", ("profile",)),
    Topic(
        6, "signoff", "Sign the board off and promise only what the data bear", ("intake", "joints", "shorts", "paste")
    ),
)
SLUGS = tuple(topic.slug for topic in TOPICS)


def slug_of(word: str) -> str:
    """Return the slug that a person means by a topic's number; any other word as it is.

    >>> slug_of("3"), slug_of("profile")
    ('profile', 'profile')
    """
    return next((topic.slug for topic in TOPICS if word.strip() == str(topic.number)), word)


def by_slug(slug: str) -> Topic:
    """Return the topic with this slug, or raise KeyError naming the slugs there are."""
    for topic in TOPICS:
        if topic.slug == slug:
            return topic
    raise KeyError(f"no topic {slug!r}; topics are {', '.join(SLUGS)}")
