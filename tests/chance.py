"""What tests draw by chance is the same in every run, so that what failed fails again; seeded runs draw otherwise.

A cohort's key decides everybody's numbers, and one key in some hundreds may meet a claim that is not quite true. The
runs that look for it find that (``tests.benchmarks.flakes``), and not the next person's change.
"""

import random

import pytest
from hypothesis import settings

from graders.cohort import paths
from graders.desk import practice


class Drawn:
    """Stands where keys are drawn by `secrets`, and draws them from a number and from what is being set up or run."""

    def __init__(self, number: int):
        self._number = number
        self.begin("nothing yet")

    def begin(self, what: str) -> None:
        """Draw for this fixture or test from now on: the same, whatever ran before it."""
        self._chance = random.Random(f"{self._number} {what}")

    def token_bytes(self, many: int) -> bytes:
        return self._chance.randbytes(many)

    def token_hex(self, many: int) -> str:
        return self.token_bytes(many).hex()


class FromOneNumber:
    """The plugin: one number for all keys, that of the order where there is one (``tests.any_order``)."""

    def __init__(self, config):
        self._drawn = Drawn(config.getoption("any_order", None) or 0)
        for module in (paths, practice):
            module.secrets = self._drawn

    @pytest.hookimpl(tryfirst=True)
    def pytest_fixture_setup(self, fixturedef):
        self._drawn.begin(f"{fixturedef.baseid} {fixturedef.argname}")

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtest_call(self, item):
        self._drawn.begin(item.nodeid)


def pytest_configure(config):
    """Draw keys, and what hypothesis tries, from the run's numbers or from none."""
    is_seeded = config.getoption("hypothesis_seed", None) is not None
    # a loaded machine is no failure
    settings.register_profile("of this run", deadline=None, derandomize=not is_seeded)
    settings.load_profile("of this run")
    config.pluginmanager.register(FromOneNumber(config))
