"""A topic is run and judged without its cohort, and what comes back is believed only as far as it can be true."""

import json
import pickle
from dataclasses import replace

import pytest

from graders import sheets
from graders.cohort.record import HandoutRecord
from graders.marking import mark_submission, parcel
from graders.marking.mark_submission import Job
from graders.marking.parcel import NoAnswer, Parcel
from graders.runner.contained import CannotContain
from graders.runner.job import CellOutcome, Limits, SheetOutcome


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


def test_what_was_run_and_judged_is_no_fault_and_what_was_not_is_one(packed, done, sandbox):
    assert not [name for name, one in done.items() if one.is_faulty or one.fault or one.broken]
    broken = replace(packed, texts=packed.texts | {next(iter(done)): "{"})
    (found,) = [one for one in parcel.unpack(broken, sandbox, Limits()).values() if one.broken]
    assert not found.fault


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


def fields(done, change):
    """Return the bytes of an answer whose first notebook was changed as plain data."""
    told = json.loads(parcel.written(done))
    change(next(iter(told.values())))
    return json.dumps(told).encode()


def put(name, value):
    return lambda told: told.__setitem__(name, value)


def in_verdict(**more):
    return lambda told: told["verdicts"][0].update(more)


MORE_LIES = {
    "a word for a number": put("numbers", {"time_constant": "1"}),
    "true for an answer": put("numbers", {"time_constant": True}),
    "a finding about nothing asked": put("found", {"made-up": "bare number"}),
    "an answer to nothing asked": put("answers", {"made-up": "digest"}),
    "a finding that is no text": put("found", {"time_constant": 1}),
    "a digest that is no text": put("answers", {"time_constant": 1}),
    "a copy that is no text": put("safe_copy", 1),
    "a fault that is no text": put("fault", ["x"]),
    "a broken file that says no text": put("broken", ["x"]),
    "faulty that is neither": put("is_faulty", 1),
    "a broken file with verdicts": put("broken", "is empty"),
    "a fault with verdicts": put("fault", "a bug"),
    "whole points as a whole number": in_verdict(points=0),
    "out of more than there are": in_verdict(out_of=99),
    "a remark that is no text": in_verdict(remark=1),
    "a flag that is no text": in_verdict(flag=None),
    "a verdict nobody knows": in_verdict(verdict="made-up"),
    "margins of its own": in_verdict(margins=[1]),
    "verdicts the other way round": lambda told: told["verdicts"].reverse(),
}


@pytest.mark.parametrize("lie", MORE_LIES)
def test_every_field_of_an_answer_is_held_to_what_it_can_be(lie, packed, done):
    bead = {name: one for name, one in done.items() if "bead-lag" in name}
    assert bead
    alone = replace(packed, texts={name: packed.texts[name] for name in bead})
    assert parcel.read(alone, parcel.written(bead)) == bead
    with pytest.raises(NoAnswer):
        parcel.read(alone, fields(bead, MORE_LIES[lie]))


def test_full_points_and_none_may_come_back(packed, done):
    for share in (0.0, 1.0):
        told = {
            name: replace(one, verdicts=tuple(replace(v, points=share * v.out_of) for v in one.verdicts))
            for name, one in done.items()
        }
        assert parcel.read(packed, parcel.written(told)) == told


def outcome(ended, *statuses):
    return SheetOutcome("x", tuple(CellOutcome(status) for status in statuses), ended)


def test_what_was_stopped_in_a_run_is_said():
    assert parcel._stops(outcome("finished", "ok", "error")) == []
    (cell,) = parcel._stops(outcome("finished", "ok", "stopped"))
    assert "ran past its limits" in cell
    (run,) = parcel._stops(outcome("memory", "ok"))
    assert run == "stopped (memory); what ran before counts"
    assert len(parcel._stops(outcome("memory", "stopped"))) == 2


def test_a_note_is_told_once_with_how_often_it_came():
    assert parcel.counted(["b", "a", "b", "b"]) == ["b (3 times)", "a"]
    assert parcel.counted([]) == []


def test_a_notebook_whose_run_brought_nothing_back_is_at_fault(packed):
    came = parcel.take_in(packed)
    found = parcel.judged(packed, came, ())
    assert set(found) == set(came) == set(packed.texts)
    assert {(one.fault, one.is_faulty, one.verdicts) for one in found.values()} == {
        ("its run brought nothing back", True, ())
    }


def test_a_file_that_is_no_notebook_is_broken_and_not_run(packed):
    name = next(iter(packed.texts))
    odd = replace(packed, texts={name: "no notebook"})
    came = parcel.take_in(odd)
    assert (came[name].restored, came[name].is_faulty) == (None, False)
    assert came[name].broken
    assert parcel.runs(odd, came) == ()
    assert parcel.judged(odd, came, ())[name].broken == came[name].broken


def test_every_notebook_is_run_and_then_every_one_again_with_fresh_numbers(packed):
    runs = parcel.runs(packed, parcel.take_in(packed))
    half = len(runs) // 2
    assert [one.name for one in runs[:half]] == [one.name for one in runs[half:]]
    assert len(runs) == 2 * len(packed.texts)
    assert all(one != other for one, other in zip(runs[:half], runs[half:], strict=True))


@pytest.mark.parametrize("everybodys", [False, True])
def test_a_fault_costs_its_notebook_and_one_that_is_everybodys_ends_it_all(everybodys, packed, monkeypatch):
    def fails(*_, **__):
        raise OSError(28, "No space left on device") if everybodys else LookupError("odd")

    came = parcel.take_in(packed)
    outcomes = tuple(SheetOutcome(one.name, (), "finished") for one in parcel.runs(packed, came))
    sheet = sheets.find(packed.topic, packed.asked[0].exercise)
    monkeypatch.setattr(parcel.submission, "restore", fails)
    monkeypatch.setattr(parcel.submission, "judged", fails)
    if everybodys:
        for task in (
            lambda: parcel.take_in(packed),
            lambda: parcel.judged(packed, came, outcomes),
            lambda: parcel.copied(fails, packed.topic, packed.asked[0], sheet, {}),
        ):
            with pytest.raises(OSError, match="No space"):
                task()
        return
    assert all(one.is_faulty and "could not be read" in one.broken for one in parcel.take_in(packed).values())
    assert all(one.is_faulty and one.fault for one in parcel.judged(packed, came, outcomes).values())
    text, (note,) = parcel.copied(fails, packed.topic, packed.asked[0], sheet, {})
    assert text == ""
    assert "the marks stand" in note


def test_what_nobody_can_contain_is_everybodys():
    assert parcel.is_everybodys(CannotContain("x"))
    assert not parcel.is_everybodys(LookupError("x"))


def test_answers_from_paper_are_not_run_again_for_typed_numbers(packed, sandbox):
    name = next(one.notebook for one in packed.asked if "bead-lag" in one.notebook)
    alone = replace(packed, texts={name: packed.texts[name]})
    paper = replace(alone, asked=tuple(replace(one, on_paper=True) for one in alone.asked))
    assert parcel.unpack(alone, sandbox, Limits())[name].found
    assert parcel.unpack(paper, sandbox, Limits())[name].found == {}


def test_half_a_letter_is_no_text_and_goes_nowhere(packed, done):
    half = "\ud800"
    for write in (
        replace(packed, texts={"x": half}).written,
        lambda: parcel.written({name: replace(one, notes=(half,)) for name, one in done.items()}),
    ):
        with pytest.raises(UnicodeEncodeError):
            write()


def test_letters_of_every_script_travel_as_they_are(packed, done):
    assert "Ω".encode() in replace(packed, texts={"x": "Ω"}).written()
    assert "Ω".encode() in parcel.written({name: replace(one, notes=("Ω",)) for name, one in done.items()})


def test_outcomes_come_in_pairs(packed):
    came = parcel.take_in(packed)
    with pytest.raises(ValueError, match="zip"):
        parcel.judged(packed, came, tuple(outcome("finished") for _ in range(3)))


def test_a_safe_copy_is_written_in_its_own_letters(packed):
    one = packed.asked[0]
    exercise = sheets.find(packed.topic, one.exercise)
    notebook = parcel.take_in(packed)[one.notebook].restored.notebook
    notebook["cells"].append({"cell_type": "markdown", "id": "mine", "metadata": {}, "source": "Widerstand in Ω"})
    text = parcel.safe_copy(packed.topic, one, exercise, notebook)
    assert "Widerstand in Ω" in text
    assert json.loads(text)["cells"]
