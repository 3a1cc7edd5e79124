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
    assert found.due_words() == (
        "profile 2026-12-01 18:00, shorts 2026-07-01 18:00, joints 2026-12-01 19:00 (Europe/Vienna)"
    )


def test_bare_times_of_a_cohort_that_names_no_zone_stay_in_utc_as_its_settings_said(tmp_path):
    found = read(tmp_path, "due = { profile = 2026-12-01T18:00:00 }")
    assert found.due["profile"] == datetime(2026, 12, 1, 18)
    assert found.due_words() == "profile 2026-12-01 18:00 (UTC)"


def test_the_examples_of_a_new_cohorts_settings_work_when_they_are_uncommented(tmp_path):
    text = settings.settings_text("Spring", ("profile",), {})
    head, _, example = text.partition("# [[void]]")
    found = read(tmp_path, head + "[[void]]" + example.replace("\n# ", "\n"))
    assert found.voided("profile", "bead-lag", "lag").drops
    for name in ("due", "extensions", "to_pass", "grades", "tables", "feedback_from", "show_working", "released"):
        line = next(line for line in text.splitlines() if line.startswith(name))
        text = text.replace(line, f"{name} = {line.partition('# ')[2]}")
    found = read(tmp_path, text)
    assert found.due
    assert found.extensions == {("amber", "profile"): timedelta(hours=48), ("birch", "profile"): timedelta(days=3)}


def day(number, hour=18, minute=0):
    return datetime(2026, 12, number, hour, minute)


@pytest.mark.parametrize(
    ("late", "came", "counts", "days"),
    [
        ("none", day(3), 1.0, 2),
        ("zero", day(1, 18, 1), 0.0, 1),
        ("zero", day(1), 1.0, 0),
        ("10 % a day", day(1), 1.0, 0),
        ("10 % a day", day(1, 18, 1), 0.9, 1),
        ("10 % a day", day(2), 0.9, 1),
        ("10 % a day", day(2, 18, 1), 0.8, 2),
        ("30% a day", day(4), 0.1, 3),
        ("30 % a day", day(5), 0.0, 4),
        ("100 % a day", day(1, 19), 0.0, 1),
    ],
)
def test_each_day_begun_costs_what_the_cohort_says(late, came, counts, days):
    found = made_of(late=late, due={"profile": day(1)})
    assert found.counts("amber", "profile", came) == counts
    assert found.days_late("amber", "profile", came) == days
    assert found.counts("amber", "shorts", came) == 1.0
    assert found.counts("amber", "profile", None) == 1.0


def test_an_extension_is_hours_or_a_date_by_the_cohorts_clocks_and_moves_the_first_day(tmp_path):
    found = read(
        tmp_path,
        'timezone = "Europe/Vienna"\nlate = "20 % a day"\ndue = { profile = 2026-12-01T18:00:00 }\n'
        'extensions = { "amber/profile" = 48, "birch/profile" = 2026-12-04T18:00:00 }',
    )
    assert found.due_for("amber", "profile") == day(3, 17)
    assert found.due_for("birch", "profile") == day(4, 17)
    assert [found.counts(who, "profile", day(4)) for who in ("amber", "birch", "cedar")] == [0.6, 0.8, 0.2]
    assert found.came_words("birch", "profile", day(4)) == (
        "came 2026-12-04 19:00 (Europe/Vienna), due 2026-12-04 18:00 (Europe/Vienna): late, 1 day begun"
    )


def test_an_extension_of_what_is_never_due_is_refused(tmp_path):
    with pytest.raises(Problem, match="'amber/shorts' has an extension, and shorts is never due"):
        read(tmp_path, 'due = { profile = 2026-12-01T18:00:00 }\nextensions = { "amber/shorts" = 48 }')
