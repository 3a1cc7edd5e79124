"""A topic is run and judged without its cohort, and what comes back is believed only as far as it can be true."""

import json
import pickle
from dataclasses import replace

import pytest

from graders.cohort.record import HandoutRecord
from graders.marking import mark_submission, parcel
from graders.marking.mark_submission import Job
from graders.marking.parcel import NoAnswer, Parcel
from graders.runner.job import Limits


@pytest.fixture(scope="module")
def packed(made):
    handed = HandoutRecord(made.record).by_topic("birch")["profile"]
    return mark_submission.pack(made, Job("birch", "profile", handed, "d"))[0]


@pytest.fixture(scope="module")
def done(packed, sandbox):
    return parcel.unpack(packed, sandbox, Limits())


def test_a_parcel_and_its_answer_travel_as_json_and_come_out_as_they_were(packed, done):
    assert Parcel.read(packed.written()) == packed
    assert parcel.read(packed, parcel.written(done)) == done


def test_what_a_parcel_says_nothing_of_paper_came_as_a_notebook(packed):
    told = json.loads(packed.written())
    for one in told["asked"]:
        del one["on_paper"]
    assert Parcel.of(told) == packed


def test_a_parcel_holds_no_key_nobodys_mark_and_nothing_of_others(made, packed):
    content = packed.written().decode()
    assert made.secret().hex() not in content
    others = [learner for learner in HandoutRecord(made.record).learners if learner != "birch"]
    seals = [one.seal for learner in others for one in HandoutRecord(made.record).of(learner)]
    assert not [word for word in (str(made.root), *others, *seals) if word in content]


def changed(done, **fields):
    """Return the bytes of an answer in which something of the first notebook is otherwise."""
    told = json.loads(parcel.written(done))
    next(iter(told.values())).update(fields)
    return json.dumps(told).encode()


def points(done, value):
    verdicts = json.loads(parcel.written(done))[next(iter(done))]["verdicts"]
    return changed(done, verdicts=[verdicts[0] | {"points": value}, *verdicts[1:]])


LIES = {
    "more points than there are": lambda done: points(done, 99.0),
    "less than nothing": lambda done: points(done, -1.0),
    "no number": lambda done: points(done, float("nan")),
    "true for a number": lambda done: points(done, True),
    "a part left out": lambda done: changed(
        done, verdicts=json.loads(points(done, 0.0))[next(iter(done))]["verdicts"][1:]
    ),
    "no verdict at all": lambda done: changed(done, verdicts=[]),
    "a part that is not asked": lambda done: changed(done, numbers={"made-up": 1.0}),
    "half a letter": lambda done: changed(done, notes=["\ud800"]),
    "a note that is no text": lambda done: changed(done, notes=[["x"]]),
    "a field nobody knows": lambda done: changed(done, made_up=1),
    "a notebook that did not come": lambda done: parcel.written(done | {"99_made-up": next(iter(done.values()))}),
    "a notebook left out": lambda done: parcel.written(dict(list(done.items())[1:])),
    "another exercise's answer": lambda done: parcel.written(dict(zip(done, reversed(done.values()), strict=True))),
    "a pickle": lambda done: pickle.dumps(done),
    "no JSON": lambda done: parcel.written(done)[:-1],
    "JSON too deep": lambda done: b"[" * 100_000,
    "a list": lambda done: b"[]",
}


@pytest.mark.parametrize("lie", LIES)
def test_an_answer_that_cannot_be_true_is_refused(lie, packed, done):
    with pytest.raises(NoAnswer):
        parcel.read(packed, LIES[lie](done))


def test_a_notebook_that_fell_may_say_so(packed, done):
    fallen = {name: replace(one, verdicts=(), fault="a bug") for name, one in done.items()}
    assert parcel.read(packed, parcel.written(fallen)) == fallen
