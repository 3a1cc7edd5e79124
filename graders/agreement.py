"""Whether cohort.toml agrees with what was handed out: a setting that names nothing would change nothing, unseen."""

import difflib
from collections.abc import Collection

from graders import sheets
from graders.folder import Settings
from graders.problems import Problem


def check(settings: Settings, handed_out: Collection[tuple[str, str]], learners: Collection[str]) -> None:
    """Raise Problem for a setting that names a topic, exercise, part or learner which this cohort has not.

    Parameters
    ----------
    settings : Settings
    handed_out : collection of (topic, exercise)
    learners : collection of str
        Everyone who was handed something.
    """
    topics = {topic for topic, _ in handed_out}
    if not topics:
        return
    for topic in settings.topics:
        if topic not in topics:
            raise Problem(
                f"cohort.toml names topic {topic!r}, which was not handed out to this cohort.",
                "a cohort is printed once: take it out, and hand another topic out in a folder of its own",
            )
    exercises = {f"{topic}/{exercise}" for topic, exercise in handed_out}
    for topic, names in settings.exercises.items():
        for name in names:
            _known("exercise handed out", f"{topic}/{name}", exercises)
    for void in settings.void:
        _known("exercise to void", f"{void.topic}/{void.exercise}", exercises)
        _known("part to void", void.part, [part.name for part in sheets.find(void.topic, void.exercise).parts])
    for learner, _ in settings.extensions:
        _known("learner with an extension", learner, learners)


def _known(what: str, name: str, there_are: Collection[str]) -> None:
    """Raise Problem for a name that is not among those there are, with the one that may be meant."""
    if name in there_are:
        return
    raise Problem(f"cohort.toml names {name!r} as {what}; there is none of that name.", meant(name, there_are))


def meant(name: str, there_are: Collection[str]) -> str:
    """Return in words which of the names there are may have been meant.

    >>> meant("bead-leg", ["bead-lag", "read-the-log"])
    'is bead-lag meant?'
    >>> meant("x", ["b", "a"])
    'there are a, b'
    """
    near = difflib.get_close_matches(name, there_are, n=1)
    if near:
        return f"is {near[0]} meant?"
    names = sorted(there_are)
    more = f" and {len(names) - 12} more" if len(names) > 12 else ""
    return f"there are {', '.join(names[:12])}{more}"
