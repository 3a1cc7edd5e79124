"""Who a user of the hub is."""

import pytest

from graders.classroom.people import seated
from graders.cohort.roster import Learner
from workbook.problems import Problem


def learner(id_, hub="", left=False):
    return Learner(id_, id_.title(), left, (("Hub", hub),) if hub else ())


def names(*people, handed=None):
    return {name: seat.learner for name, seat in seated(people, handed or [one.id for one in people]).items()}


def test_an_id_is_the_name_unless_the_column_says_another():
    assert names(learner("amber"), learner("birch", "b.tree")) == {"amber": "amber", "b.tree": "birch"}


def test_the_hub_writes_names_in_small_letters_and_so_do_we():
    assert names(learner("S-104"), learner("birch", "Birch.T")) == {"s-104": "S-104", "birch.t": "birch"}


def test_who_left_or_has_no_handout_does_not_sit_here():
    assert names(learner("amber"), learner("birch", left=True), learner("cedar"), handed=["amber", "birch"]) == {
        "amber": "amber"
    }


@pytest.mark.parametrize(
    ("people", "words"),
    [
        ((learner("amber", "x1"), learner("birch", "X1")), "amber and birch have one name in the hub, 'x1'"),
        ((learner("amber", "birch"), learner("birch")), "amber and birch have one name in the hub, 'birch'"),
        ((learner("amber", "../birch"),), "which no account can have"),
        ((learner("amber", "a b"),), "which no account can have"),
    ],
)
def test_a_name_that_is_two_peoples_or_no_account_is_one_line(people, words):
    with pytest.raises(Problem) as refused:
        names(*people)
    assert words in str(refused.value)
    assert "column hub" in refused.value.tip
