"""A runner for the tests of this folder."""

import pytest

from graders.runner.contained import Contained, why_not


@pytest.fixture(scope="session")
def contained():
    """One sandbox for all tests that need one; they are skipped, with the reason, where there can be none."""
    if reason := why_not():
        pytest.skip(f"{reason} On Debian and its kin: apt install bubblewrap")
    with Contained() as runner:
        yield runner
