"""An explorer answers every question, whatever its picture does and whatever is made ready meanwhile."""

from threading import Event, Thread

import pytest

from workbook.panels import explorer as module
from workbook.panels.explorer import Explorer, Menu
from workbook.panels.pictures import Drawn, Frame, Picture

WORDS = {"one": "one", "two": "two", "broken": "broken"}


@pytest.fixture
def explorer(monkeypatch):
    """An explorer with a frame for each choice; nothing is really drawn, and one choice has no picture."""
    monkeypatch.setattr(module, "drawn", lambda frame, *screen: Drawn(b"", (1, 1), (), ()))
    monkeypatch.setattr(module, "QUIET", 0.0)

    def picture(settings):
        if settings.which == "broken":
            raise ValueError("no picture")
        return Picture(Frame(settings.which, lambda figure, narrow: []), (), settings.which)

    return Explorer("Choices", (Menu("which", "Which", WORDS, "one"),), picture)


def test_a_picture_that_fails_is_answered_all_the_same_and_the_next_one_comes(explorer):
    """A page asks one question at a time: one that is never answered would be its last."""
    with pytest.raises(ValueError, match="no picture"):
        explorer.settings = {"which": "broken", "_asked": 1}
    assert explorer.answered == 1
    explorer.settings = {"which": "two", "_asked": 2}
    assert (explorer.answered, explorer.words) == (2, "two")


def test_a_question_beside_a_picture_made_ahead_waits_for_it_and_is_answered(explorer):
    """Kernels with subshells answer widgets in a thread of their own: both once drew frames by the same note, and a
    question that lost it was never answered."""
    begun, may_end, seen = Event(), Event(), []
    picture = explorer._picture

    def slow(settings):
        begun.set()
        may_end.wait(60)
        seen.append(settings.which)
        return picture(settings)

    explorer._picture, explorer._waiting = slow, iter([{"which": "two"}])
    ahead = Thread(target=explorer._make_next_ready)
    ahead.start()
    begun.wait(60)
    asked = Thread(target=lambda: explorer.set_trait("settings", {"which": "one", "_asked": 7}))
    asked.start()
    asked.join(0.1)
    assert asked.is_alive()
    may_end.set()
    asked.join(10)
    ahead.join(10)
    assert seen == ["two", "one"]
    assert (explorer.answered, explorer.words) == (7, "one")


def test_nothing_is_made_ahead_while_another_explorer_of_the_page_is_asked(explorer, monkeypatch):
    monkeypatch.setattr(module, "QUIET", 60.0)
    explorer._waiting = iter([{"which": "two"}])
    Explorer("Another", explorer._declared, explorer._picture).settings = {"which": "two", "_asked": 1}
    explorer._make_next_ready()
    assert next(explorer._waiting) == {"which": "two"}
