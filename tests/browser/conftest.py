"""One Chromium, and learners' folders that are served, for all that looks at a page: starting them is what costs.

Whoever goes to a page of a folder asks for it `alone`: JupyterLab would else open and run again every page of before,
and each test would cost what all before it did.
"""

import contextlib
import functools
from pathlib import Path

import pytest

from tests.browser.lesson_server import CHROMIUM, workbook_open

HERE = Path(__file__).parent
KEPT = contextlib.ExitStack()


@pytest.hookimpl(wrapper=True)
def pytest_runtest_teardown(item, nextitem):
    """After the last of these tests close what they share: other tests cannot start a loop beside Playwright's."""
    yield
    if nextitem is None or HERE not in nextitem.path.parents:
        KEPT.close()


@functools.cache
def _chromium():
    from playwright.sync_api import sync_playwright

    KEPT.callback(_chromium.cache_clear)
    browser = KEPT.enter_context(sync_playwright()).chromium.launch(**CHROMIUM)
    KEPT.callback(browser.close)
    return browser


@functools.cache
def _served(home: Path):
    KEPT.callback(_served.cache_clear)
    return home / "mine", KEPT.enter_context(workbook_open(home))


@pytest.fixture(scope="module")
def browser():
    """Chromium; a test takes a context of its own."""
    return _chromium()


@pytest.fixture(scope="session")
def homes(tmp_path_factory):
    """Where two learners have their folders."""
    return tmp_path_factory.mktemp("doer"), tmp_path_factory.mktemp("reader")


@pytest.fixture(scope="module")
def opened(homes):
    """A learner's folder that `workbook open` has laid out and is serving: (folder, address of its first page)."""
    return _served(homes[0])


@pytest.fixture(scope="module")
def read(homes):
    """Another learner's folder, for tests that look at pages one by one."""
    return _served(homes[1])
