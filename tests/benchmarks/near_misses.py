"""How many random wrong numbers are accused of a slip, and how long a wrong number takes to explain.

Both are printed from a seed, for every numeric part of every topic. A random wrong number has four digits (then three),
lies inside the part's plausible bounds (evenly in its logarithm where they are above zero) and is not right. Times are
processor time of the first wrong number on a learner's own givens; reading a part's working, once a process, stands
beside them.

Run it: ``python tests/benchmarks/near_misses.py [SEED] [NUMBERS A PART]``.
"""

import math
import random
import statistics
import sys
import time

from graders import sheets
from graders.judging.near_misses import near_miss
from graders.questions.parts import Number
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
    """Print the two figures for numbers of so many digits."""
    dice, asked, accused, times, plans = random.Random(seed), 0, 0, [], []
    for exercise, part in numeric_parts():
        start = time.process_time()
        near_miss(exercise, part, exercise.worked(), {}, 1.2345)  # the plan of a part is made once
        plans.append(1000 * (time.process_time() - start))
        givens = exercise.draw(b"benchmark", f"learner {seed} {digits}")
        right = exercise.key(givens)[part.name]
        for turn in range(many):
            answer = random_wrong(part, right, dice, digits)
            start = time.process_time()
            found = near_miss(exercise, part, givens, {}, answer)
            if turn == 0:
                times.append(1000 * (time.process_time() - start))
            asked, accused = asked + 1, accused + (found is not None)
    times.sort()
    print(
        f"random wrong numbers of {digits} digits: {asked}, accused {accused / asked:.2%}"
        + (f" (at most {ACCUSED_AT_MOST:.0%})" if digits == 4 else "")
    )
    print(
        f"first wrong number on new givens: median {statistics.median(times):.1f} ms, "
        f"95 of 100 within {times[int(0.95 * len(times))]:.1f} ms, worst {times[-1]:.1f} ms "
        f"(at most {MILLISECONDS_AT_MOST} ms); reading a working once: mean {statistics.mean(plans):.1f} ms"
    )


def main(seed: int = 1, many: int = 25) -> None:
    """Print the figures for numbers of four digits, which the bound is for, and of three."""
    for digits in (4, 3):
        measure(seed, many, digits)


if __name__ == "__main__":
    main(*(int(argument) for argument in sys.argv[1:]))
