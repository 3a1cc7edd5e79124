"""What tests need to start: reasons to skip, each with the line that installs what is missing."""

import shutil

import pytest
from hypothesis import settings

settings.register_profile("shared machine", deadline=None)  # a loaded machine is no failure
settings.load_profile("shared machine")

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")


def pytest_collection_modifyitems(items):
    """Skip what this machine cannot run, and say what to install."""
    reasons = {"browser": _no_browser, "contained": _cannot_contain}
    for name, why in reasons.items():
        marked = [item for item in items if item.get_closest_marker(name)]
        reason = why() if marked else None
        if reason:
            for item in marked:
                item.add_marker(pytest.mark.skip(reason=reason))


def _no_browser() -> str | None:
    if CHROMIUM is None:
        return "Chromium is missing: apt-get install chromium"
    try:
        import playwright  # noqa: F401
    except ImportError:
        return "playwright is missing: pip install -e '.[test]'"
    return None


def _cannot_contain() -> str | None:
    from graders.runner import contained

    reason = contained.why_not()
    return f"{reason} (apt-get install bubblewrap)" if reason else None
