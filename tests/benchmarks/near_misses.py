"""How many random wrong numbers are accused of a slip, and how long a wrong number takes to explain.

Both are printed from a seed, for every numeric part of every topic. A random wrong number has four digits (then three),
lies inside the part's plausible bounds (evenly in its logarithm where they are above zero) and is not right. Times are
processor time of the very first wrong number of a part in a process, the reading of its working with it, and of the
next learner's. Full passes of the garbage collector, which come when they come, are timed as a line of their own.

Run it: ``python -m tests.benchmarks.near_misses [SEED] [NUMBERS A PART]``.
"""

import gc
import math
import random
import statistics
import sys
import time

from graders import sheets
from graders.judging.near_misses import near_miss
from graders.questions.parts.number import Number
from workbook import units
from workbook.topics import TOPICS

ACCUSED_AT_MOST, MILLISECONDS_AT_MOST = 0.02, 40


def numeric_parts():
    """Yield every numeric part with its exercise."""
    for topic in TOPICS:
        for exercise in sheets.exercises(topic.slug):
            yield from ((exercise, part) for part in exercise.parts if isinstance(part, Number))


def random_wrong(part, right: float, dice: random.Random, digits: int) -> float:
    """Return a random number of so many digits inside the part's plausible bounds, outside its band."""
    low, high = part.plausible
    while True:
        number = math.exp(dice.uniform(math.log(low), math.log(high))) if low > 0 else dice.uniform(low, high)
        number = float(f"{number:.{digits}g}")
        if not part.near(units.to_si(number, part.unit), units.to_si(right, part.unit)):
            return number


def measure(seed: int, many: int, digits: int) -> None:
    """Print how many random numbers of so many digits are accused."""
    dice, asked, accused = random.Random(seed), 0, 0
    for exercise, part in numeric_parts():
        givens = exercise.draw(b"benchmark", f"learner {seed} {digits}")
        right = exercise.key(givens)[part.name]
        for _ in range(many):
            answer = random_wrong(part, right, dice, digits)
            asked, accused = asked + 1, accused + (near_miss(exercise, part, givens, {}, answer) is not None)
    print(
        f"random wrong numbers of {digits} digits: {asked}, accused {accused / asked:.2%}"
        + (f" (at most {ACCUSED_AT_MOST:.0%})" if digits == 4 else "")
    )


def measure_times() -> None:
    """Print what the first wrong number of each part takes with the reading of its working, and the next learner's."""
    parts, turns = list(numeric_parts()), ("first of a part, its working read", "the next learner's")
    times = {turn: [] for turn in turns}
    gc.disable()
    for exercise, part in parts:
        for turn in turns:
            givens = exercise.draw(b"benchmark", turn)
            exercise.solved(givens)  # whoever is marked has been solved before a number is wrong
            start = time.process_time()
            near_miss(exercise, part, givens, {}, 1.2345)
            times[turn].append((1000 * (time.process_time() - start), f"{exercise.id}/{part.name}"))
    gc.enable()
    for turn in turns:
        took = sorted(times[turn])
        print(
            f"a wrong number, {turn}: median {statistics.median(took_ms for took_ms, _ in took):.1f} ms, "
            f"95 of 100 within {took[int(0.95 * len(took))][0]:.1f} ms, "
            f"worst {took[-1][0]:.1f} ms ({took[-1][1]}; at most {MILLISECONDS_AT_MOST} ms)"
        )
    start = time.process_time()
    gc.collect()
    print(f"one full pass of the garbage collector after that: {1000 * (time.process_time() - start):.0f} ms")


def main(seed: int = 1, many: int = 25) -> None:
    """Print the times, then the accusations for numbers of four digits, which the bound is for, and of three."""
    measure_times()
    for digits in (4, 3):
        measure(seed, many, digits)


if __name__ == "__main__":
    main(*(int(argument) for argument in sys.argv[1:]))
