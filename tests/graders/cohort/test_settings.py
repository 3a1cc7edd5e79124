"""A setting that names nothing is said, with what may be meant: unseen, it would change nothing."""

from datetime import datetime, timedelta

import pytest

from graders.cohort import settings
from graders.cohort.settings import Settings, Void
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
        settings.read(tmp_path)


def read(tmp_path, text):
    (tmp_path / "cohort.toml").write_text(text, encoding="utf-8")
    return settings.read(tmp_path)


def test_due_times_are_by_the_cohorts_own_clocks_and_printed_back_so(tmp_path):
    """Vienna is an hour ahead of UTC in winter and two in summer (common-practice)."""
    found = read(
        tmp_path,
        'timezone = "Europe/Vienna"\n'
        "due = { profile = 2026-12-01T18:00:00, shorts = 2026-07-01T18:00:00, joints = 2026-12-01T18:00:00Z }",
    )
    assert found.due["profile"] == datetime(2026, 12, 1, 17)
    assert found.due["shorts"] == datetime(2026, 7, 1, 16)
    assert found.due["joints"] == datetime(2026, 12, 1, 18)
    assert found.due_words()[0] == "profile: due 2026-12-01 18:00 (Europe/Vienna)"


def test_bare_times_of_a_cohort_that_names_no_zone_stay_in_utc_as_its_settings_said(tmp_path):
    found = read(tmp_path, "due = { profile = 2026-12-01T18:00:00 }")
    assert found.due["profile"] == datetime(2026, 12, 1, 18)
    assert found.due_words() == ["profile: due 2026-12-01 18:00 (UTC)"]


def test_the_examples_of_a_new_cohorts_settings_work_when_they_are_uncommented(tmp_path):
    text = settings.settings_text("Spring", ("profile",), {})
    head, _, example = text.partition("# [[void]]")
    found = read(tmp_path, head + "[[void]]" + example.replace("\n# ", "\n"))
    assert found.voided("profile", "bead-lag", "lag").drops
    for name in ("due", "extensions"):
        line = next(line for line in text.splitlines() if line.startswith(name))
        text = text.replace(line, f"{name} = {line.partition('# ')[2]}")
    found = read(tmp_path, text)
    assert found.due
    assert found.extensions == {("amber", "profile"): timedelta(hours=48)}
