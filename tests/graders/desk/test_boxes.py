"""Answer boxes: what is typed becomes the answer cell's text, and the saved notebook is checked as it is marked."""

import json
import re
import shutil

import pytest

from graders import sheets
from graders.desk import answer_cells, boxes
from graders.notebooks import printer
from graders.questions.parts.design import Design
from graders.questions.parts.number import Number
from graders.questions.parts.written import Written
from workbook import paths, progress
from workbook.server import folder, jupyter
from workbook.topics import TOPICS, by_slug

EVERY = [(topic.slug, exercise) for topic in TOPICS for exercise in sheets.exercises(topic.slug)]
BEAD = sheets.find("profile", "bead-lag")


def as_typed(part, right):
    """Return what a person would put into the box for the right answer."""
    if isinstance(part, (Number, Design)):
        return {name: repr(right[name]).replace(".", ",") for name in part.answer_names}
    return {part.name: right[part.name]}


@pytest.mark.parametrize(("slug", "exercise"), EVERY, ids=[exercise.id for _, exercise in EVERY])
def test_every_part_can_be_answered_in_its_box_and_is_shown_in_it_again(slug, exercise):
    key = exercise.key(exercise.worked())
    for part in exercise.parts:
        if isinstance(part, Written):
            continue
        typed = as_typed(part, key)
        source, said = part.cell_of(typed)
        assert said == {}
        space = {}
        exec(source, space)
        for name in part.answer_names:
            right = key[name]
            assert space[name] == (pytest.approx(right, rel=1e-9) if isinstance(right, float) else right)
        assert set(answer_cells.held(part, source)) == set(part.answer_names)
        assert answer_cells.held(part, f"{part.stub()}\n") == dict.fromkeys(part.answer_names, "")


@pytest.mark.parametrize(("slug", "exercise"), EVERY, ids=[exercise.id for _, exercise in EVERY])
def test_an_empty_box_leaves_the_cell_as_it_was_handed_out(slug, exercise):
    printed = printer.graded_cells(by_slug(slug), exercise)
    for part in exercise.parts:
        cell = printed[f"{part.name}-answer" if part.answer_names else part.name]
        assert part.cell_of({})[0] == cell["source"]


def test_what_cannot_be_read_leaves_its_field_open_and_says_why():
    lag = BEAD.part("lag")
    assert lag.cell_of({"lag": "5 kg"}) == (
        "lag = ...   # K\n",
        {"lag": "The unit kg does not fit: the answer is asked for in K."},
    )


@pytest.mark.parametrize(
    "source",
    ["lag = ramp * time_constant", "x = 3\nlag = 3", "lag = 2,5", "lag = (", "lag = [3]", "print(3)", "other = 3"],
)
def test_a_box_leaves_a_learners_own_working_alone(source):
    assert answer_cells.held(BEAD.part("lag"), source) is None


@pytest.mark.parametrize("words", [["slower", "thinner"], "nothing", 3, {"a": 1}])
def test_words_that_are_none_of_the_list_are_not_written(words):
    act = BEAD.part("act")
    assert act.cell_of({"act": words})[0] == f"{act.stub()}\n"


IN_A_BOX = {
    "1.9": "lag = 1.9   # K",
    '"1.89"': "lag = 1.89   # K",
    "½": "lag = (1/2)   # K",
    "37 600 000": "lag = 37600000   # K",
    "The lag is 37.6 K": "Type only the number, with its unit if you like: 37.6 K",
    "1.9 k": "Did you mean K? Large and small letters are different units.",
    "1.9 kg": "The unit kg does not fit: the answer is asked for in K.",
    "": "lag = ...   # K",
}
"""Bare, quoted, a fraction sign, thousands, a sentence, the wrong case, the wrong unit, nothing; in a cell: below."""


@pytest.mark.parametrize("typed", IN_A_BOX)
def test_what_a_box_is_given_is_read_as_it_is_meant_or_told_the_form_that_is_wanted(typed):
    source, said = BEAD.part("lag").cell_of({"lag": typed})
    assert IN_A_BOX[typed] in said.get("lag", source)


WRONG_FORMS = {
    "1.9": "Write: lag = 1.9",
    "Lag = 1.9": "Write: lag = 1.9",
    'lag = "1.89"': "Write: lag = 1.89",
    "lag = ½": "Write: lag = (1/2)",
    "The lag is 37.6 K": "Write: lag = 37.6",
    "lag = 37 600 000": "Write: lag = 37600000",
    "lag 37.6": "Write: lag = 37.6",
    "lag = 2,5": "Write a point: 12.5, not 12,5",
    "lag = 3 kg": "Leave out kg",
    "": "",
}


@pytest.fixture
def mine(tmp_path, monkeypatch):
    """A learner's folder with one topic, as the page's kernel sees it: started in the topic's folder."""
    root = tmp_path / "mine"
    for part in ("profile", "lessons"):
        (root / part).mkdir(parents=True)
    (root / folder.OWN).mkdir()
    for path in (paths.exercises() / "profile").glob("*.ipynb"):
        shutil.copy(path, root / "profile")
    shutil.copy(paths.lessons() / "03_profile.ipynb", root / "lessons")
    monkeypatch.setattr(progress, "file", lambda: tmp_path / "data" / "progress.jsonl")
    monkeypatch.chdir(root / "profile")
    return root


def ask(do, file="04_bead-lag.ipynb", **more):
    """Ask as the page does, through JSON both ways."""
    answer = boxes.reply(json.dumps({"do": do, "file": file, **more}))._repr_json_()
    return json.loads(json.dumps(answer))


def answer(path, **sources):
    notebook = json.loads(path.read_text(encoding="utf-8"))
    for cell in notebook["cells"]:
        name = cell["id"].removesuffix("-answer")
        if cell["id"].endswith("-answer") and name in sources:
            cell["source"] = sources[name]
    path.write_text(json.dumps(notebook), encoding="utf-8")


@pytest.mark.parametrize("form", WRONG_FORMS)
def test_a_cell_in_a_wrong_form_is_told_the_form_that_is_wanted(mine, form):
    answer(mine / "profile" / "04_bead-lag.ipynb", lag=form)
    lag = next(part for part in ask("check")["parts"] if part["part"] == "lag")
    assert lag["points"] == "0 of 1 point"
    assert WRONG_FORMS[form] in " ".join(lag["lines"])


def test_the_page_is_told_what_is_asked_what_stands_there_and_where_to_go(mine):
    answer(mine / "profile" / "04_bead-lag.ipynb", lag="lag = 3.5", act="act = 'thinner'", reads="reads = act")
    notebook = json.loads((mine / "profile" / "04_bead-lag.ipynb").read_text(encoding="utf-8"))
    shown = ask("show", notebook=notebook)
    parts = {part["name"]: part for part in shown["parts"]}
    assert [part["kind"] for part in shown["parts"]] == ["number", "number", "choice", "choice"]
    assert parts["time_constant"]["held"] == {"time_constant": ""}
    assert parts["lag"]["held"] == {"lag": "3.5"}
    assert parts["act"]["held"] == {"act": "thinner"}
    assert parts["reads"]["held"] is None
    assert ["diameter", "0.5 mm"] in shown["numbers"]
    assert shown["read"]["path"] == "lessons/03_profile.ipynb"
    assert shown["next"]["path"].startswith("profile/05_")
    question = next("".join(cell["source"]) for cell in notebook["cells"] if cell["id"] == "act-question")
    assert [word for word, _ in parts["act"]["options"]] == sorted(BEAD.part("act").options, key=question.index)


def test_a_check_reads_the_file_under_the_name_it_has_now(mine):
    path = mine / "profile" / "04_bead-lag.ipynb"
    answer(path, time_constant="time_constant = 1.889")
    path.rename(path.with_name("my bead.ipynb"))
    found = ask("check", "my bead.ipynb")
    assert found["total"] == "2 of 5 points."
    assert found["parts"][0]["shade"] == "full"


def test_a_clean_copy_keeps_what_was_there_under_another_name(mine):
    path = mine / "profile" / "04_bead-lag.ipynb"
    answer(path, lag="lag = 3")
    before = path.read_bytes()
    kept = ask("clean")["kept"]
    assert path.read_bytes() == (paths.exercises() / "profile" / path.name).read_bytes()
    assert path.with_name(kept).read_bytes() == before


def test_a_lesson_names_the_exercises_of_each_section_with_their_state(mine, monkeypatch):
    monkeypatch.chdir(mine / "lessons")
    answer(mine / "profile" / "04_bead-lag.ipynb", lag="lag = 3")
    sections = ask("sections", "03_profile.ipynb")["sections"]
    third = sections["3. Read a thermocouple for what it says"]
    assert {"path": "profile/04_bead-lag.ipynb", "words": BEAD.title, "state": "1 of 4 answered"} in third
    assert sum(map(len, sections.values())) == len(sheets.exercises("profile"))


@pytest.mark.parametrize(
    "request_", ["", "{", "[]", '{"do": "nothing"}', '{"do": "check"}', '{"do": "check", "file": "x"}']
)
def test_a_request_that_cannot_be_met_is_a_line_and_no_error(mine, request_):
    assert boxes.reply(request_)._repr_json_()["say"]


@pytest.mark.parametrize("acts", [5, None, "look top", {"look": 1}, [7], [["look top"]]])
def test_acts_that_are_no_list_of_texts_are_said_and_no_error(mine, acts):
    assert ask("play", part="job", notebook={}, acts=acts)["say"] == "The acts are a list of texts."


def test_the_page_has_a_box_for_every_kind_of_part():
    page = (jupyter.LABEXTENSIONS / "rework-exercise-page" / "static" / "remoteEntry.js").read_text(encoding="utf-8")
    named = re.search(r"const BOXES = \{(.*?)\}", page).group(1)
    assert {part.kind for _, exercise in EVERY for part in exercise.parts} == set(re.findall(r"(\w+):", named))


def test_what_has_no_answer_is_said_in_one_way_at_the_learners_and_on_the_reports():
    """In the verdict, in its remark, in the judge's words."""
    from graders.judging import judge
    from graders.questions.verdicts import MEANINGS, NOT_ANSWERED, Code
    from graders.report import heatmap

    found = judge.judge_part(BEAD, "lag", BEAD.worked(), judge.Answers({}, {"lag": "not yet"}))
    assert (found.verdict, found.remark) == (Code.NOT_YET, NOT_ANSWERED)
    assert ("z", "·", MEANINGS[Code.NOT_YET]) in heatmap.KEY


def energy_typed(typed, before=""):
    """Return what comes of an energy in its box, above a cell with this text."""
    about = {"topic": "intake", "exercise": "stored-energy", "part": "energy"}
    return boxes.reply(json.dumps({"do": "type", **about, "typed": {"energy": typed}, "before": before})).data


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("1,000 J", "1.000 J: the comma is a decimal comma; for thousands type 1000"),
        ("0,680", "0.680 J"),
        ("1000", "1000 J"),
    ],
)
def test_a_comma_that_may_have_been_meant_for_thousands_is_said_to_be_none(typed, said):
    """As in "1,000": one with three decimals by ISO 80000-1 (from memory), a thousand on many an English data sheet."""
    assert energy_typed(typed)["read"] == {"energy": said}


@pytest.mark.parametrize(
    ("before", "kept"),
    [
        ("energy = ...   # J\n", []),
        ("# both banks in parallel\nenergy = 1   # J\n", ["# both banks in parallel"]),
        ("energy = 1   # half of C U squared\n", ["# half of C U squared"]),
        ("energy = '# no comment'\n", []),
        ("# so far\nenergy = (   # J\n", ["# so far"]),
    ],
)
@pytest.mark.parametrize("typed", ["37,6", ""])
def test_a_box_leaves_the_comments_of_its_cell(before, kept, typed):
    energy = sheets.find("intake", "stored-energy").part("energy")
    once = energy_typed(typed, before)["source"]
    assert once.split("\n")[:-1] == [*kept, f"energy = {'37.6' if typed else '...'}   # J"]
    assert energy_typed(typed, once)["source"] == once
    assert answer_cells.held(energy, once) == {"energy": "37.6" if typed else ""}


def test_no_comment_of_a_printed_cell_is_kept_by_a_box():
    """Only what a learner wrote stays: what is printed, a box writes itself."""
    for slug, exercise in EVERY:
        cells = printer.exercise_notebook(by_slug(slug), exercise)["cells"]
        sources = {cell["id"]: "".join(cell["source"]) for cell in cells}
        for part in exercise.parts:
            if part.answer_names:
                assert answer_cells.with_comments(part, "", sources[f"{part.name}-answer"]) == "", part.name
