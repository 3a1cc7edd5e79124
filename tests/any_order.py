"""Tests in another order, for the runs that look for tests that lean on one another.

python -m pytest -p tests.any_order --any-order 17

shuffles the files, and in each file its tests: the same number gives the same order, in every process.
"""

import itertools
import random


def pytest_addoption(parser):
    parser.addoption("--any-order", type=int, default=None, help="the number that an order is drawn from")


def pytest_collection_modifyitems(config, items):
    """Shuffle what was collected; a file stays whole, for what its tests share is made once a file."""
    number = config.getoption("any_order")
    if number is None:
        return
    chance = random.Random(number)
    files = [list(tests) for _, tests in itertools.groupby(items, key=lambda item: item.path)]
    for tests in files:
        chance.shuffle(tests)
    chance.shuffle(files)
    items[:] = itertools.chain.from_iterable(files)
