"""What a choice earns by guessing, against chance: always the first, the last, the longest word. Run: python FILE."""

from graders import sheets
from graders.questions.parts import Choice
from workbook.topics import TOPICS

LEARNERS = 20
MOST_ABOVE = 5
"""Percentage points a strategy may lie above chance."""

STRATEGIES = {
    "first": lambda order, part: order[0],
    "last": lambda order, part: order[-1],
    "longest": lambda order, part: max(order, key=lambda word: len(part.options[word])),
}


def earned(topic):
    """Return what each strategy and chance earn of a topic's choices, in per cent of their points."""
    got, points = dict.fromkeys((*STRATEGIES, "chance"), 0.0), 0
    for exercise in sheets.exercises(topic):
        for number in range(LEARNERS):
            key = exercise.key(exercise.draw(b"guessing", f"learner {number}"))
            orders = exercise.own_orders(b"guessing", f"learner {number}")
            for part in (part for part in exercise.parts if isinstance(part, Choice)):
                points += part.points
                got["chance"] += part.points / len(part.options)
                for name, guess in STRATEGIES.items():
                    got[name] += part.points * (guess(orders[part.name], part) == key[part.name])
    return {name: 100 * value / points for name, value in got.items()}


if __name__ == "__main__":
    for topic in TOPICS:
        found = earned(topic.slug)
        above = [name for name in STRATEGIES if found[name] - found["chance"] > MOST_ABOVE]
        figures = ", ".join(f"{name} {value:.1f} %" for name, value in found.items())
        print(f"{topic.slug}: {figures}{'; too well: ' + ', '.join(above) if above else ''}")
