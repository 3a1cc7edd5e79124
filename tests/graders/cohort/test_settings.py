"""A setting that names nothing is said, with what may be meant: unseen, it would change nothing."""

from datetime import timedelta

import pytest

from graders.cohort.settings import Settings, Void, read
from workbook.problems import Problem

HANDED = {("profile", "bead-lag"), ("profile", "read-the-log")}
LEARNERS = {"amber", "birch"}


def made_of(**more):
    return Settings("Spring", more.pop("topics", ("profile",)), **more)


def void(topic="profile", exercise="bead-lag", part="lag"):
    return (Void(topic, exercise, part, "drop", "misprint"),)


def test_settings_that_name_what_was_handed_out_pass():
    extensions = {("amber", "profile"): timedelta(hours=1)}
    made_of(void=void(), extensions=extensions).validate(HANDED, LEARNERS)


@pytest.mark.parametrize(
    ("wrong", "words", "tip"),
    [
        ({"topics": ("profile", "shorts")}, "'shorts', which was not handed out", "a folder of its own"),
        (
            {"exercises": {"profile": ("bead-leg",)}},
            "'profile/bead-leg' as exercise handed out",
            "is profile/bead-lag meant?",
        ),
        ({"void": void(exercise="bead-leg")}, "'profile/bead-leg' as exercise to void", "is profile/bead-lag meant?"),
        ({"void": void(topic="shorts")}, "'shorts/bead-lag' as exercise to void", "meant?"),
        ({"void": void(part="leg")}, "'leg' as part to void", "is lag meant?"),
        ({"extensions": {("zoe", "profile"): timedelta(1)}}, "'zoe' as learner", "there are amber, birch"),
    ],
)
def test_a_setting_that_names_nothing_is_one_clear_line(wrong, words, tip):
    with pytest.raises(Problem) as refused:
        made_of(**wrong).validate(HANDED, LEARNERS)
    assert words in str(refused.value)
    assert tip in refused.value.tip


@pytest.mark.parametrize("line", ["topics = [[1]]", "void = 3", "topics = 'profile'", "due = 1", "extensions = []"])
def test_a_setting_of_a_wrong_kind_is_one_clear_line(line, tmp_path):
    (tmp_path / "cohort.toml").write_text(line)
    with pytest.raises(Problem, match="cohort.toml"):
        read(tmp_path)
