"""What the exercises of each topic end in, and how much of it is statistics. Run: python FILE."""

from graders import sheets
from graders.notebooks.fairness import ends_in_a_number
from graders.questions import Acts, Choice, Design, Order, Several, Written
from workbook.topics import TOPICS

ACTS = (Acts, Choice, Several, Order, Design, Written)
"""Kinds of part that are a decision or a deed; a number is what it stands on."""

STATISTICS = {
    "intake": {"one-mark", "two-findings", "ninety-nine", "share-with-doubt", "three-causes"},
    "joints": {
        "read-a-fit",
        "count-the-survivors",
        "median-ranks",
        "many-joints",
        "no-failures",
        "clean-run",
        "test-plan",
    },
}
"""Exercises that are about counting, chance and confidence before they are about the bench."""


def without_an_act(topic):
    """Return the exercises of a topic that end in a number."""
    return [exercise.id for exercise in sheets.exercises(topic) if ends_in_a_number(exercise)]


def points_of_statistics(topic):
    """Return the points of a topic's exercises on statistics, and those of all."""
    exercises = sheets.exercises(topic)
    counted = sum(one.points for one in exercises if one.id in STATISTICS.get(topic, ()))
    return counted, sum(one.points for one in exercises)


if __name__ == "__main__":
    for topic in TOPICS:
        exercises = sheets.exercises(topic.slug)
        acts = [part for exercise in exercises for part in exercise.parts if isinstance(part, ACTS)]
        counted, points = points_of_statistics(topic.slug)
        print(
            f"{topic.slug}: {len(exercises)} exercises, all but {len(without_an_act(topic.slug))} end in an act; "
            f"{len(acts)} acts of {sum(len(exercise.parts) for exercise in exercises)} parts, "
            f"{sum(part.points for part in acts)} of {points} points; statistics {counted} points"
        )
