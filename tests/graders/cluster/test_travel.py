"""What travels to a worker tells nothing of who wrote it; what comes back is believed in what it must be only."""

import json
from dataclasses import replace

import pytest

from graders import sheets
from graders.cluster import travel
from graders.cohort.record import Handed, HandoutRecord
from graders.handout import own_sheets
from graders.marking import mark_submission, parcel
from graders.marking.mark_submission import Job, Left
from graders.marking.parcel import Asked, NoAnswer, Parcel
from graders.notebooks import printer
from graders.runner.job import Limits
from graders.sheets import own
from workbook.topics import by_slug


@pytest.fixture(scope="module")
def packed(made):
    handed = HandoutRecord(made.record).by_topic("birch")["profile"]
    return mark_submission.pack(made, Job("birch", "profile", handed, "d"))[0]


@pytest.fixture(scope="module")
def sent(packed):
    return travel.send(packed, Left(), Limits())


@pytest.fixture(scope="module")
def content(sent, sandbox):
    return travel.answered(sent.content, sandbox)


def test_what_comes_of_a_parcel_that_travelled_is_what_comes_of_it_here(packed, sent, content, sandbox):
    assert travel.read(sent, content) == parcel.unpack(packed, sandbox, Limits())


def test_no_key_no_seal_and_nobodys_name_travels(made, packed, sent):
    record = HandoutRecord(made.record)
    seals = {one.seal for one in record}
    secret = {made.secret().hex(), str(made.root), *record.learners, *seals}
    before, travels = "".join(packed.texts.values()), sent.content.decode()
    assert {word for word in secret if word in before}  # the notebooks as they came name their learner and the seal
    assert not {word for word in secret if word in travels}


def test_outputs_that_a_notebook_brought_along_do_not_travel(packed):
    name, text = next(iter(packed.texts.items()))
    notebook = json.loads(text)
    cell = next(cell for cell in notebook["cells"] if cell["cell_type"] == "code")
    cell["outputs"] = [{"output_type": "stream", "name": "stdout", "text": "x" * 1_000_000}]
    heavy = replace(packed, texts=packed.texts | {name: json.dumps(notebook)})
    assert travel.send(heavy, Left(), Limits()).content == travel.send(packed, Left(), Limits()).content


def test_what_is_no_notebook_stays_here_and_is_said(packed):
    name, left = next(iter(packed.texts)), Left()
    sent = travel.send(replace(packed, texts=packed.texts | {name: "{"}), left, Limits())
    assert "no notebook" in left.broken[name]
    assert name not in sent.parcel.texts


def test_a_topic_that_is_too_large_to_travel_is_said(packed, monkeypatch):
    monkeypatch.setattr(travel, "MOST_BYTES", 1_000)
    with pytest.raises(travel.TooLarge, match="do not travel"):
        travel.send(packed, Left(), Limits())


def told(sent, content, change):
    """Return an answer in which something of its first notebook is changed."""
    digest, _, done = content.partition(b"\n")
    fields = json.loads(done)
    change(next(iter(fields.values())))
    return digest + b"\n" + json.dumps(fields).encode()


def with_outputs(change):
    """Return a change of what the cells of a notebook showed."""

    def changed(one):
        shown = json.loads(one["safe_copy"])
        change(shown)
        one["safe_copy"] = json.dumps(shown)

    return changed


def shows(data):
    output = {"output_type": "display_data", "data": data, "metadata": {}}
    return with_outputs(lambda shown: shown[0].append(output))


LIES = {
    "text for bytes": lambda sent, content: content.decode(),
    "the answer to something else": lambda sent, content: b"0" * 64 + content[64:],
    "too much": lambda sent, content: content + b" " * travel.MOST_BYTES,
    "cut off": lambda sent, content: content[:-1],
    "nothing": lambda sent, content: b"",
    "a picture that ends its tag": lambda sent, content: told(
        sent, content, shows({"image/png": '"><script>x()</script>'})
    ),
    "an output of no kind": lambda sent, content: told(
        sent, content, with_outputs(lambda shown: shown[0].append({"output_type": "script"}))
    ),
    "a cell more": lambda sent, content: told(sent, content, with_outputs(lambda shown: shown.append([]))),
    "a whole notebook for outputs": lambda sent, content: told(
        sent, content, lambda one: one.update(safe_copy='{"cells": []}')
    ),
    "outputs that are none": lambda sent, content: told(sent, content, lambda one: one.update(safe_copy="[" * 100_000)),
}


@pytest.mark.parametrize("lie", LIES)
def test_what_cannot_be_an_answer_is_refused(lie, sent, content):
    with pytest.raises(NoAnswer):
        travel.read(sent, LIES[lie](sent, content))


def test_what_a_worker_makes_a_cell_show_is_made_harmless_here(sent, content):
    shown = told(sent, content, shows({"text/html": "<b>4</b><script>x()</script>", "text/markdown": "[a](b)"}))
    copy = next(iter(travel.read(sent, shown).values())).safe_copy
    assert "<b>4</b>" in copy
    assert "<script>" not in copy
    assert "[a](b)" not in copy


def test_an_instructors_own_sheet_travels_with_its_topic(sandbox, tmp_path, monkeypatch):
    monkeypatch.setattr(sheets, "_own", {})
    path = own_sheets.write_first(tmp_path, "bench-lead", "shorts")
    (exercise,) = own.read(path).exercises
    sheets.put_beside({"shorts": [exercise]})
    topic, givens = by_slug("shorts"), exercise.worked()
    name = printer.notebook_name(exercise)
    text = printer.text_of(printer.exercise_notebook(topic, exercise, givens))
    packed = Parcel("shorts", "flag", (Asked(exercise.id, name, givens, givens, [], {}),), {name: text})
    here = parcel.unpack(packed, sandbox, Limits())
    handed = Handed("birch", "shorts", exercise.id, name, givens, "", "", "", givens, [])
    sent = travel.send(packed, Left(), Limits(), travel.own_sheets(tmp_path, [handed]))
    sheets.put_beside({"shorts": []})  # as at a worker, which has no cohort
    assert travel.read(sent, travel.answered(sent.content, sandbox)) == here
