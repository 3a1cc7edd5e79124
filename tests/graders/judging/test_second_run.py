"""Answers that are wrong for their learner's numbers and right for someone else's."""

from graders import sheets
from graders.judging import second_run
from graders.questions.exercise import Number

EXERCISE = sheets.find("profile", "bead-lag")
PARTS = [part.name for part in EXERCISE.parts if isinstance(part, Number)][:2]
KEYS = {name: EXERCISE.key(EXERCISE.draw(b"secret", name)) for name in ("amber", "birch", "cedar")}


def handed_in(learner, answers, wrong):
    key = {name: KEYS[learner][name] for name in PARTS}
    return second_run.LearnerAnswers(learner, answers, tuple(wrong), key)


def test_two_wrong_numbers_that_fit_the_same_other_learner_are_listed_with_whose():
    own = {name: KEYS["amber"][name] for name in PARTS}
    everyone = [
        handed_in("amber", own, ()),
        handed_in("birch", own, PARTS),
        handed_in("cedar", {name: KEYS["cedar"][name] for name in PARTS}, ()),
    ]
    found = second_run.copied("profile", EXERCISE, everyone)
    assert [(one.learner, one.part, one.whose) for one in found] == [
        ("birch", PARTS[0], ("amber",)),
        ("birch", PARTS[1], ("amber",)),
    ]


def test_one_wrong_number_that_fits_is_chance_and_not_listed():
    odd = {PARTS[0]: KEYS["amber"][PARTS[0]], PARTS[1]: 1e6}
    everyone = [handed_in("amber", KEYS["amber"], ()), handed_in("birch", odd, PARTS)]
    assert second_run.copied("profile", EXERCISE, everyone) == []
