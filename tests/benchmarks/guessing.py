"""What answers in words earn by guessing, against chance: always the first, last, longest ... Run: python FILE."""

from functools import cache
from itertools import combinations
from statistics import mean

from graders import sheets
from graders.judging.judge import Answers, judge_part
from graders.questions import Choice, Order, Several, Stream
from workbook.topics import TOPICS

LEARNERS = 20
MOST_ABOVE = 5
"""Percentage points a strategy may lie above chance."""
SHUFFLES = 60
"""Drawn orders that stand for chance where words are put in order."""

BY = {
    "first": lambda words, part: list(words),
    "last": lambda words, part: list(words)[::-1],
    "longest": lambda words, part: sorted(words, key=lambda word: -len(part.options[word])),
    "shortest": lambda words, part: sorted(words, key=lambda word: len(part.options[word])),
    "longest word": lambda words, part: sorted(words, key=lambda word: -len(word)),
    "shortest word": lambda words, part: sorted(words, key=len),
    "by the alphabet": lambda words, part: sorted(words),
}
"""How each strategy ranks the words it is shown."""
DRAWN = ("first", "last")
"""Ranks that are drawn themselves: counted where there are many choices, and as chance where there are few parts."""


def points(exercise, part, givens, answer):
    """Return the share of a part's points that an answer earns, the parts before it answered right."""
    answers = Answers(exercise.key(givens) | {part.name: answer})
    return judge_part(exercise, part.name, givens, answers).points / part.points


def earned_choice(exercise, part, givens, order):
    """Return what each strategy earns of a choice, and chance."""

    @cache
    def of(word):
        return points(exercise, part, givens, word)

    return {name: of(rank(order, part)[0]) for name, rank in BY.items()}, mean(map(of, part.options))


def earned_several(exercise, part, givens, order):
    """Return what each strategy earns with as many words as pay best by chance, and chance with as many."""

    @cache
    def of(words):
        return points(exercise, part, givens, list(words))

    by_size = {
        size: mean(of(words) for words in combinations(sorted(part.options), size))
        for size in range(1, len(part.options) + 1)
    }
    size = max(by_size, key=by_size.get)
    earned = {name: of(tuple(sorted(rank(order, part)[:size]))) for name, rank in BY.items()}
    return earned | dict.fromkeys(DRAWN, by_size[size]), by_size[size]


def earned_order(exercise, part, givens, order):
    """Return what each ranking earns as an order, and what drawn orders earn on average."""
    stream = Stream(b"guessing", f"{exercise.id} {part.name}")
    chance = mean(points(exercise, part, givens, stream.shuffled(sorted(part.options))) for _ in range(SHUFFLES))
    earned = {name: points(exercise, part, givens, rank(order, part)) for name, rank in BY.items()}
    return earned | dict.fromkeys(DRAWN, chance), chance


KINDS = {Choice: earned_choice, Several: earned_several, Order: earned_order}


def table(topic, kind, learners=LEARNERS):
    """Return what each strategy and chance earn of one kind of part in a topic, in per cent of their points."""
    sums, out_of = dict.fromkeys((*BY, "chance"), 0.0), 0
    for exercise in sheets.exercises(topic):
        parts = [part for part in exercise.parts if isinstance(part, kind) and part.is_shuffled]  # letters are none
        for number in range(learners if parts else 0):
            givens = exercise.draw(b"guessing", f"learner {number}")
            orders = exercise.own_orders(b"guessing", f"learner {number}")
            for part in parts:
                got, chance = KINDS[kind](exercise, part, givens, orders[part.name])
                out_of += part.points
                for name, share in (got | {"chance": chance}).items():
                    sums[name] += part.points * share
    return {name: 100 * value / out_of for name, value in sums.items()} if out_of else {}


def too_well(found):
    """Return the strategies that earn clearly more than chance."""
    return [name for name in BY if found and found[name] - found["chance"] > MOST_ABOVE]


if __name__ == "__main__":
    for topic in TOPICS:
        for kind in KINDS:
            found = table(topic.slug, kind)
            figures = ", ".join(f"{name} {value:.1f} %" for name, value in found.items())
            above = too_well(found)
            print(f"{topic.slug} {kind.kind}: {figures}{'; too well: ' + ', '.join(above) if above else ''}")
