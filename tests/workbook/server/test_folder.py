"""A learner's folder: laid out whole, brought up to date, and never at the cost of the learner's work."""

import io
import json
import os
import sys
import zipfile
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta

import pytest

from graders import sheets
from graders.desk import progress_page
from graders.notebooks import printer
from tests.graders.pages import as_read
from workbook import progress
from workbook.problems import Problem
from workbook.progress import Event
from workbook.server import contents, folder, jupyter, opening
from workbook.topics import by_slug

BEAD = sheets.find("profile", "bead-lag")
PLACE = f"profile/{printer.notebook_name(BEAD)}.ipynb"
MARKS = {"learner": "ada", "edition": "e", "seal": "s"}


def handed_out(exercise=BEAD, learner="ada"):
    givens = json.loads(json.dumps(exercise.draw(b"secret", learner)))
    return printer.text_of(
        printer.exercise_notebook(by_slug("profile"), exercise, givens, MARKS | {"learner": learner})
    )


def archive(files, packing=zipfile.ZIP_STORED):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", packing) as held:
        for name, content in files.items():
            held.writestr(name, content)
    return out.getvalue()


@pytest.fixture
def root(tmp_path):
    root = tmp_path / "mine"
    folder.lay_out(root)
    return root


@pytest.fixture(autouse=True)
def own_progress(tmp_path, monkeypatch):
    monkeypatch.setattr(progress, "file", lambda: tmp_path / "data" / "progress.jsonl")


def answer(path, answers):
    notebook = json.loads(path.read_text(encoding="utf-8"))
    for cell in notebook["cells"]:
        if cell["id"] in answers:
            cell["source"] = answers[cell["id"]]
    path.write_text(json.dumps(notebook), encoding="utf-8")


def test_everything_that_comes_with_the_workbook_is_laid_out(root):
    for name, content in folder.shipped().items():
        assert (root / name).read_bytes() == content


def test_laying_out_again_changes_nothing(root):
    before = {path: path.read_bytes() for path in root.rglob("*.ipynb")}
    laid = folder.lay_out(root)
    assert (laid.new, laid.updated, laid.beside) == ([], [], [])
    assert {path: path.read_bytes() for path in root.rglob("*.ipynb")} == before


def newer(monkeypatch, content=b"a newer edition"):
    shipped = folder.shipped()
    monkeypatch.setattr(folder, "shipped", lambda without=(): {**shipped, PLACE: content})


def test_a_newer_edition_is_put_beside_a_notebook_the_learner_changed(root, monkeypatch):
    answer(root / PLACE, {"lag-answer": "lag = 3"})
    mine = (root / PLACE).read_bytes()
    newer(monkeypatch)
    laid = folder.lay_out(root)
    assert (root / PLACE).read_bytes() == mine
    assert [(root / name).read_bytes() for name in laid.beside] == [b"a newer edition"]
    assert folder.lay_out(root).beside == []


def test_a_newer_edition_replaces_a_notebook_the_learner_left_alone(root, monkeypatch):
    newer(monkeypatch)
    laid = folder.lay_out(root)
    assert laid.updated == [PLACE]
    assert (root / PLACE).read_bytes() == b"a newer edition"


LESSON = "lessons/03_profile.ipynb"


def as_jupyterlab_saves(content):
    """A lesson that was opened and run: outputs and counts anew, keys in another order, an empty cell at its end."""
    notebook = json.loads(content)
    for count, cell in enumerate(notebook["cells"], 1):
        cell["source"] = cell["source"] if isinstance(cell["source"], str) else "".join(cell["source"])
        if cell["cell_type"] == "code":
            cell |= {"execution_count": count, "outputs": [{"output_type": "stream", "name": "stdout", "text": "81 s"}]}
            cell["metadata"] |= {"collapsed": False, "execution": {"iopub.status.busy": "2026-11-29"}}
    empty = {"cell_type": "code", "id": "x", "metadata": {}, "source": "", "execution_count": None, "outputs": []}
    notebook["cells"].append(empty)
    notebook["metadata"]["language_info"] = {"name": "python", "version": "3.11.7"}
    return json.dumps(notebook, sort_keys=True).encode()


def lesson_of_next_year(monkeypatch):
    shipped = folder.shipped()
    content = shipped[LESSON].replace(b"# Bring your own log", b"# Bring a log of your own")
    assert content != shipped[LESSON]
    monkeypatch.setattr(folder, "shipped", lambda without=(): {**shipped, LESSON: content})
    return content


def test_a_lesson_that_was_only_run_is_brought_up_to_date(root, monkeypatch):
    (root / LESSON).write_bytes(as_jupyterlab_saves((root / LESSON).read_bytes()))
    content = lesson_of_next_year(monkeypatch)
    laid = folder.lay_out(root)
    assert (laid.updated, laid.beside) == ([LESSON], [])
    assert (root / LESSON).read_bytes() == content


def test_a_run_lesson_of_version_0_2_0_is_brought_up_to_date_though_only_its_files_hash_was_noted(root, monkeypatch):
    note = json.loads((root / folder.OWN / "laid.json").read_bytes())
    before, text = note[LESSON]
    monkeypatch.setattr(folder, "TEXTS_OF_0_2_0", {before: text})
    (root / folder.OWN / "laid.json").write_text(json.dumps({name: file for name, (file, _) in note.items()}))
    (root / LESSON).write_bytes(as_jupyterlab_saves((root / LESSON).read_bytes()))
    lesson_of_next_year(monkeypatch)
    assert folder.lay_out(root).updated == [LESSON]


def add_note(cells):
    cells.insert(5, {"cell_type": "markdown", "id": "mine", "metadata": {}, "source": "My station needs 20 s more."})


def change_line(cells):
    cells[0]["source"] = "".join(cells[0]["source"]) + "\nAsk on Monday."


def paste_picture(cells):
    cells[0]["attachments"] = {"bench.png": {"image/png": "iVBORw0KGgo="}}


def move_cell(cells):
    cells.append(cells.pop(3))


def empty_cell(cells):
    cells[2]["source"] = ""


@pytest.mark.parametrize("change", [add_note, change_line, paste_picture, move_cell, empty_cell])
def test_what_a_learner_wrote_in_a_run_lesson_is_kept_and_the_newer_edition_is_put_beside(root, monkeypatch, change):
    notebook = json.loads(as_jupyterlab_saves((root / LESSON).read_bytes()))
    change(notebook["cells"])
    (root / LESSON).write_text(json.dumps(notebook), encoding="utf-8")
    mine = (root / LESSON).read_bytes()
    content = lesson_of_next_year(monkeypatch)
    laid = folder.lay_out(root)
    assert (root / LESSON).read_bytes() == mine
    assert laid.updated == []
    assert [(root / name).read_bytes() for name in laid.beside] == [content]


def test_an_exercise_that_was_run_and_not_answered_is_brought_up_to_date(root, monkeypatch):
    (root / PLACE).write_bytes(as_jupyterlab_saves((root / PLACE).read_bytes()))
    newer(monkeypatch)
    assert folder.lay_out(root).updated == [PLACE]


@pytest.mark.parametrize("note", ["{ damaged", "[]", '{"lessons/03_profile.ipynb": [1, 2, 3]}'])
def test_without_the_note_of_what_was_laid_out_everything_is_kept(root, monkeypatch, note):
    answer(root / PLACE, {"lag-answer": "lag = 3"})
    mine = (root / PLACE).read_bytes()
    (root / folder.OWN / "laid.json").write_text(note)
    newer(monkeypatch)
    folder.lay_out(root)
    assert (root / PLACE).read_bytes() == mine


def test_of_two_who_write_a_file_at_once_each_finishes_and_it_is_always_whole(tmp_path):
    path, wholes = tmp_path / "deep" / "file", (b"a" * 3_000_000, b"b" * 3_000_000)
    folder.write_whole(path, wholes[0])

    def write_often(content):
        for _ in range(25):
            folder.write_whole(path, content)

    with ThreadPoolExecutor(2) as writers:
        writing = [writers.submit(write_often, content) for content in wholes]
        while not all(one.done() for one in writing):
            assert path.read_bytes() in wholes
    for one in writing:
        one.result(timeout=0)
    assert [one.name for one in path.parent.iterdir()] == ["file"]


def test_what_nobody_could_make_again_is_on_the_disk_before_it_takes_the_files_name(tmp_path, monkeypatch):
    done, sync, replace = [], os.fsync, os.replace
    monkeypatch.setattr(os, "fsync", lambda handle: [done.append("on the disk"), sync(handle)])
    monkeypatch.setattr(os, "replace", lambda *names: [done.append("named"), replace(*names)])
    folder.write_whole(tmp_path / "hand-in.zip", b"mine", on_disk=True)
    assert done == ["on the disk", "named"]
    assert (tmp_path / "hand-in.zip").read_bytes() == b"mine"


@pytest.mark.parametrize("taken", ["profile", "profile/inner/file"])
def test_what_cannot_be_written_is_said_and_leaves_nothing_behind(tmp_path, taken):
    """A file where a folder is needed, and a folder where the file should be."""
    (tmp_path / taken).parent.mkdir(parents=True, exist_ok=True)
    (tmp_path / taken).write_text("x")
    before = sorted(tmp_path.rglob("*"))
    with pytest.raises(Problem, match="cannot be written"):
        folder.write_whole(tmp_path / "profile" / "inner", b"content")
    assert sorted(tmp_path.rglob("*")) == before


def test_a_folder_with_other_things_in_it_is_left_alone(tmp_path):
    (tmp_path / "letters").mkdir()
    (tmp_path / "letters" / "letter.txt").write_text("dear")
    with pytest.raises(Problem, match="holds other things"):
        folder.lay_out(tmp_path / "letters")
    with pytest.raises(Problem, match="is a file"):
        folder.lay_out(tmp_path / "letters" / "letter.txt")


def test_a_handout_brings_its_own_exercises_and_no_open_ones_of_its_topics(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "ada.zip").write_bytes(archive({f"ada/{PLACE}": handed_out()}))
    lines = []
    root = opening.open_(tmp_path / "ada.zip", None, None, browser=False, start=False, say=lines.append)
    assert root == tmp_path / "ada"
    assert [path.name for path in sorted((root / "profile").iterdir())] == [PLACE.split("/")[1]]
    assert (root / PLACE).read_text(encoding="utf-8") == handed_out()
    assert "Handed out to you: profile." in lines
    answer(root / PLACE, {"lag-answer": "lag = 3"})
    mine = (root / PLACE).read_bytes()
    assert opening.open_(tmp_path / "ada.zip", None, None, False, False, lines.append) == root
    assert opening.open_(root, None, None, False, False, lines.append) == root
    assert (root / PLACE).read_bytes() == mine
    assert len(list((root / "profile").iterdir())) == 1


@pytest.mark.parametrize(
    "name",
    ["../profile/x.ipynb", "ada/../../x.ipynb", "/profile/x.ipynb", "a/profile/../x.ipynb", "a/evil/x.ipynb"],
)
def test_nothing_in_an_archive_is_written_outside_the_handouts_folder(tmp_path, name):
    (tmp_path / "a.zip").write_bytes(archive({f"ada/{PLACE}": handed_out(), name: "x"}))
    _, files = folder.unpacked(tmp_path / "a.zip")
    assert list(files) == [PLACE]


@pytest.mark.parametrize(
    "content", [b"", b"no archive", archive({"readme.txt": "x"}), archive({"../profile/x.ipynb": "x"})]
)
def test_a_file_that_is_no_handout_is_said(tmp_path, content):
    (tmp_path / "a.zip").write_bytes(content)
    with pytest.raises(Problem):
        folder.unpacked(tmp_path / "a.zip")


@pytest.mark.parametrize("packing", [zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED, zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA])
def test_a_handout_damaged_at_any_byte_is_read_whole_or_said(tmp_path, packing):
    """A download that broke off, or a byte that a stick lost: one line, and never Python's own words."""
    good = archive({f"ada/{PLACE}": "".join(map(str, range(400)))}, packing)
    read = said = 0
    for place in range(0, len(good), 7):
        for damaged in (good[:place], good[:place] + bytes([good[place] ^ 0xFF]) + good[place + 1 :]):
            (tmp_path / "a.zip").write_bytes(damaged)
            try:
                folder.unpacked(tmp_path / "a.zip")
                read += 1  # a byte that nobody asks for, such as one of its date
            except Problem:
                said += 1
    assert said > 2 * read


def test_a_missing_handout_is_said(tmp_path):
    with pytest.raises(Problem, match="no file"):
        opening.where(tmp_path / "gone.zip")


def test_a_clean_copy_is_put_beside_and_one_of_a_handout_keeps_its_own_numbers_and_seal(root):
    answer(root / PLACE, {"lag-answer": "lag = 3"})
    copy = opening.clean_copy(root, "bead-lag")
    assert copy.read_bytes() == folder.shipped()[PLACE]
    (root / PLACE).write_text(handed_out(), encoding="utf-8")
    answer(root / PLACE, {"lag-answer": "lag = 3"})
    again = opening.clean_copy(root, PLACE)
    assert again != copy
    assert again.read_text(encoding="utf-8") == handed_out()
    with pytest.raises(Problem, match="no exercise") as problem:
        opening.clean_copy(root, "bead-log")
    assert "bead-lag" in problem.value.tip


def test_a_clean_copy_is_made_of_an_exercise_whatever_its_file_is_called(root):
    answer(root / PLACE, {"lag-answer": "lag = 3"})
    (root / PLACE).rename(root / "profile" / "my bead.ipynb")
    first = opening.clean_copy(root, "bead-lag")
    assert first.read_bytes() == folder.shipped()[PLACE]
    answer(first, {"lag-answer": "lag = 3", "reads-answer": "reads = 'too hot'"})  # now it is the one that counts
    assert opening.clean_copy(root, "bead-lag").read_bytes() == folder.shipped()[PLACE]
    assert len(list((root / "profile").glob("*_again*"))) == 2


def test_of_a_damaged_handed_out_exercise_no_copy_with_other_numbers_is_made(root):
    other = next(name for name in folder.shipped() if name.startswith("profile/") and name != PLACE)
    (root / other).write_text(handed_out(), encoding="utf-8")  # any sealed exercise makes it a handed-out topic
    (root / PLACE).write_text("{ damaged")
    with pytest.raises(Problem, match="whose numbers") as problem:
        opening.clean_copy(root, PLACE)
    assert "once more" in problem.value.tip
    assert (root / PLACE).read_text() == "{ damaged"


def test_a_handed_out_exercise_that_was_moved_away_comes_again_from_its_archive(root):
    files = {PLACE: handed_out().encode()}
    folder.lay_out(root, files)
    (root / PLACE).unlink()
    folder.lay_out(root, files)
    assert (root / PLACE).read_bytes() == files[PLACE]


def line(root, events=()):
    return next(one for one in contents.of(root, list(events)).lines["profile"] if one.path == PLACE)


def test_the_contents_say_what_is_answered(root):
    assert line(root).state == "not begun"
    answer(root / PLACE, {"lag-answer": "lag = 3   # K", "reads-answer": "reads = 'too hot'"})
    parts = sum(bool(part.answer_names) for part in BEAD.parts)
    assert line(root).state == f"2 of {parts} answered"


def checked(root, points):
    cells = json.loads((root / PLACE).read_text(encoding="utf-8"))["cells"]
    givens = next("".join(cell["source"]) for cell in cells if cell["id"] == "givens")
    what = {"numbers": progress.numbers(givens), "points": points, "out_of": BEAD.points}
    return Event("check", "profile", "bead-lag", datetime.now(UTC), what)


def test_the_contents_say_what_is_done_by_the_last_check_of_these_numbers(root):
    assert not line(root, [checked(root, 2)]).done
    assert line(root, [checked(root, 2), checked(root, BEAD.points)]).done
    event = checked(root, BEAD.points)
    other = Event(event.kind, event.topic, event.exercise, event.at, event.what | {"numbers": "others"})
    assert not line(root, [other]).done


def test_the_contents_say_where_one_was_and_what_is_next(root):
    first = contents.of(root, []).following
    assert first == contents.of(root, []).lines[next(iter(contents.of(root, []).lines))][0]
    answer(root / PLACE, {"lag-answer": "lag = 3"})
    shown = contents.of(root, [])
    assert shown.last.path == shown.following.path == PLACE
    shown = contents.of(root, [checked(root, BEAD.points)])
    assert shown.last.path == PLACE
    assert shown.following.path == first.path


def test_the_first_page_sends_to_the_section_before_its_exercise_and_says_the_points_so_far(root):
    shown = contents.html(contents.of(root, []))
    assert shown.index("Start here: read") < shown.index("section 1. What a capacitor still holds")
    assert shown.index("section 1. What a capacitor still holds") < shown.index("Then do its exercise:")
    answer(root / PLACE, {"lag-answer": "lag = 3"})
    begun = contents.of(root, [checked(root, 2)])
    assert begun.points.startswith("2 of ")
    assert sum(line.worth for line in begun.lines["profile"]) == sum(one.points for one in sheets.exercises("profile"))


def test_the_first_page_says_how_many_questions_of_practice_are_due(root):
    long_ago = datetime.now(UTC) - timedelta(days=400)
    event = Event("practice", "profile", "bead-lag", long_ago, {"part": "lag", "grade": "known"})
    assert contents.of(root, [event]).due == 1
    assert "1 question is due" in contents.html(contents.of(root, [event]))
    assert contents.of(root, []).due == 0


def test_the_progress_page_names_what_was_done_and_when(root):
    answer(root / PLACE, {"lag-answer": "lag = 3"})
    event = checked(root, 2)
    page = as_read(progress_page.html(contents.of(root, [event]), [event], datetime.now(UTC)))
    assert BEAD.title in page
    assert f"last check 2 of {BEAD.points} points" in page
    assert f"{event.at:%Y-%m-%d}" in page
    assert sheets.find("profile", "read-the-log").title not in page


def test_every_shortcut_of_one_letter_in_a_notebook_is_switched_off():
    """A fact of JupyterLab: in its command mode x cuts a cell, d d deletes it, m and y change its kind."""
    off = {(one["command"], *one["keys"]) for one in jupyter.letter_keys()}
    assert {
        ("notebook:cut-cell", "X"),
        ("notebook:delete-cell", "D", "D"),
        ("notebook:change-cell-to-markdown", "M"),
        ("notebook:insert-cell-above", "A"),
        ("kernelmenu:restart", "0", "0"),
    } <= off
    assert not any(len(key.split()[-1]) > 1 for _, *keys in off for key in keys)


def test_settings_a_learner_has_made_are_kept(root):
    jupyter.prepare(root)
    shortcuts = next((root / folder.OWN / "lab" / "user-settings").rglob("shortcuts.jupyterlab-settings"))
    shortcuts.write_text("{}")
    jupyter.prepare(root)
    assert shortcuts.read_text() == "{}"


@pytest.mark.parametrize("content", [b"", b"{", b"[]", b'{"cells": 3}', b'{"cells": [3]}', b"\xff"])
def test_a_damaged_notebook_keeps_its_line_and_hides_no_other(root, content):
    (root / PLACE).write_bytes(content)
    assert line(root).damaged
    assert len(contents.of(root, []).lines["profile"]) == len(sheets.exercises("profile"))
    assert "cannot be read" in contents.html(contents.of(root, []))


def test_a_renamed_exercise_is_found_again(root):
    answer(root / PLACE, {"lag-answer": "lag = 3"})
    (root / PLACE).rename(root / "profile" / "my bead.ipynb")
    shown = contents.of(root, [])
    assert shown.last.path == "profile/my bead.ipynb"
    assert shown.last.state.endswith("(in the file my bead.ipynb)")
    assert len(shown.lines["profile"]) == len(sheets.exercises("profile"))
    assert folder.exercise(root, "bead-lag") == root / "profile" / "my bead.ipynb"


def test_of_a_renamed_exercise_and_the_new_blank_one_the_answered_one_is_shown(root):
    answer(root / PLACE, {"lag-answer": "lag = 3"})
    (root / PLACE).rename(root / "profile" / "mine.ipynb")
    folder.lay_out(root)
    assert (root / PLACE).is_file()
    assert contents.of(root, []).last.path == "profile/mine.ipynb"
    answer(root / PLACE, {"lag-answer": "lag = 4"})
    assert contents.of(root, []).last.path == PLACE


def opened(root):
    """Open a folder without starting a server, and return what is said."""
    lines = []
    opening.open_(root, None, None, browser=False, start=False, say=lines.append)
    return lines


@pytest.mark.parametrize("page", [contents.NAME, contents.PRACTICE_NAME])
def test_notes_written_into_a_page_that_is_made_anew_are_kept_beside_it(root, page):
    opened(root)
    blank = (root / page).read_bytes()
    notebook = json.loads(blank)
    notebook["cells"].append({"cell_type": "markdown", "id": "mine", "metadata": {}, "source": "U1 was wet. Ask!"})
    (root / page).write_text(json.dumps(notebook), encoding="utf-8")
    mine = (root / page).read_bytes()
    said = opened(root)
    (kept,) = root.glob("*_notes.ipynb")
    assert kept.read_bytes() == mine
    assert any(kept.name in line for line in said)
    assert (root / page).read_bytes() == blank


def test_a_page_that_was_only_run_is_made_anew_and_nothing_is_put_beside_it(root):
    opened(root)
    for page in (contents.NAME, contents.PRACTICE_NAME):
        (root / page).write_bytes(as_jupyterlab_saves((root / page).read_bytes()))
    opened(root)
    assert sorted(path.name for path in root.glob("*.ipynb")) == sorted((contents.NAME, contents.PRACTICE_NAME))


def test_titles_are_text_on_the_page(root):
    answer(root / PLACE, {"title": "# <script>1</script>"})
    assert "<script" not in contents.html(contents.of(root, []))


def test_a_port_in_use_is_said(tmp_path):
    import socket

    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        with pytest.raises(Problem, match="cannot be used"):
            jupyter.free_port(taken.getsockname()[1])


def test_two_who_begin_together_have_each_a_port_of_their_own(tmp_path, monkeypatch):
    """The first port is free when we look, and taken by somebody else when the server comes to it."""
    import socket

    (tmp_path / folder.OWN).mkdir()
    other, tried = socket.socket(), []

    def command(root, port):
        tried.append(port)
        if len(tried) == 1:
            other.bind(("127.0.0.1", port))
            other.listen()
        return [sys.executable, "-m", "http.server", "--bind", "127.0.0.1", "--directory", str(tmp_path), str(port)]

    (tmp_path / "api").mkdir()
    (tmp_path / "api" / "status").touch()
    monkeypatch.setattr(jupyter, "command", command)
    with other:
        server, port = jupyter.started(tmp_path, None, "token", dict(os.environ))
        jupyter.end(server)
    assert port == tried[1] != tried[0]
