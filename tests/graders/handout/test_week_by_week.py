"""A further topic for the same cohort: the record decides who has it, and nobody's earlier handout changes."""

import json
import re
import shutil
import zipfile

import pytest
from click.testing import CliRunner

from graders import gradebook
from graders.cli import main
from graders.cohort import differences, record, roster
from graders.cohort.record import HandoutRecord
from graders.cohort.roster import Learner
from graders.gradebook.nbgrader_book import NbgraderBook
from graders.handout import handing_out
from graders.marking import run
from graders.questions import editions
from workbook.problems import Problem
from workbook.server import folder

NEW = Learner("new", "New Example (invented)")
ONE = {"shorts": ("leads-off",)}


def add(cohort, *learners, topics=("shorts",), exercises=ONE):
    handing_out.make(list(learners), cohort.root, topics, exercises=exercises)
    return HandoutRecord(cohort.record)


def handouts(cohort):
    return {path: path.read_bytes() for path in (cohort.root / "handouts").glob("*/profile/*.ipynb")}


def state(cohort):
    """Return what a run cut off anywhere and gone on with must leave as a run in peace does."""
    files = {
        path.relative_to(cohort.root): path.read_bytes()
        for folder in ("handouts", "source")
        for path in sorted((cohort.root / folder).rglob("*"))
        if path.is_file() and not path.name.startswith(".")
    }
    return files, sorted(cohort.record.read_text().splitlines()), (cohort.root / "cohort.toml").read_text()


def test_a_further_topic_is_handed_out_to_all_and_what_they_had_stays(fresh):
    before, had = cohort_lines(fresh), handouts(fresh)
    found = add(fresh)
    assert cohort_lines(fresh)[: len(before)] == before
    assert handouts(fresh) == had
    for learner in found.learners:
        (one,) = found.by_topic(learner)["shorts"]
        assert one.edition == editions.asked(handing_out.sheets.find("shorts", "leads-off"))
        assert one.version == handing_out.VERSION
        with zipfile.ZipFile(fresh.root / "handouts" / f"{learner}+shorts.zip") as new:
            assert new.namelist() == [f"{learner}/shorts/{one.notebook}.ipynb"]
        with zipfile.ZipFile(fresh.root / "handouts" / f"{learner}.zip") as everything:
            assert len(everything.namelist()) == 6
    fresh.root.chmod(0o700)
    assert differences.lines(fresh) == []
    assert gradebook.of(fresh).topics() == {"profile", "shorts"}


def cohort_lines(cohort):
    return cohort.record.read_bytes().splitlines()


def test_asked_for_again_nothing_is_handed_out_twice(fresh):
    add(fresh)
    before = state(fresh)
    add(fresh)
    add(fresh, topics=(), exercises={})
    assert state(fresh) == before


def test_who_comes_later_gets_all_topics_in_one_archive_and_who_left_no_more(fresh):
    people = [Learner(one.id, one.name, one.id == "amber") for one in roster.read(fresh.roster)]
    handing_out.make(people, fresh.root)
    found = add(fresh, NEW)
    assert set(found.by_topic("new")) == {"profile", "shorts"}
    assert not (fresh.root / "handouts" / "new+shorts.zip").exists()
    assert set(found.by_topic("amber")) == {"profile"}
    fresh.root.chmod(0o700)
    assert differences.lines(fresh) == []


def test_only_the_topics_change_in_a_cohort_toml_that_somebody_has_edited(fresh):
    path = fresh.root / "cohort.toml"
    text = path.read_text().replace("due = {}", "due = { profile = 2026-12-01T18:00:00 }   # as agreed")
    text = re.sub(r"topics = .*", 'topics = [\n    "profile",  # first\n]', text)
    path.write_text(text)
    add(fresh)
    now = path.read_text()
    assert "# as agreed" in now
    assert fresh.settings().topics == ("profile", "shorts")
    assert fresh.settings().exercises["shorts"] == ONE["shorts"]
    kept = [line for line in text.splitlines() if not re.match(r"topics|exercises|    \"profile|\]", line)]
    assert [line for line in now.splitlines() if not re.match("topics|exercises", line)] == kept


def test_a_cohort_toml_that_cannot_be_added_to_for_certain_is_said_with_the_lines_to_write(fresh):
    path = fresh.root / "cohort.toml"
    text = re.sub(r"topics = .*", '"topics" = ["profile"]', path.read_text())
    path.write_text(text)
    with pytest.raises(Problem) as refused:
        add(fresh)
    assert 'topics = ["profile", "shorts"]' in refused.value.tip
    assert path.read_text() == text
    path.write_text(text.replace('["profile"]', '["profile", "shorts"]'))
    assert "topic shorts was not handed out to amber" in " ".join(differences.lines(fresh))
    assert "shorts" in add(fresh, topics=(), exercises={}).topics


def test_a_topic_that_is_named_and_not_handed_out_yet_is_said_and_marking_goes_on(fresh, pool):
    path = fresh.root / "cohort.toml"
    path.write_text(path.read_text().replace('["profile"]', '["profile", "paste"]'))
    fresh.root.chmod(0o700)
    (said,) = differences.lines(fresh)
    assert "topic paste was not handed out to amber, birch, cedar, dahlia, elder and 3 more; run: graders" in said
    run.mark(fresh, pool, only=["amber"])
    assert gradebook.of(fresh).topics() == {"profile"}


def test_with_a_wrong_key_not_even_cohort_toml_changes(fresh):
    text = (fresh.root / "cohort.toml").read_text()
    (fresh.root / "cohort.key").write_text("ab" * 32)
    with pytest.raises(Problem, match="is not the key"):
        add(fresh)
    assert (fresh.root / "cohort.toml").read_text() == text


class Cut(Exception):
    """The run ends here."""


CUTS = {
    "before anything but cohort.toml": (handing_out, "_add", 0),
    "printing the source": (handing_out.printer, "solution_notebook", 0),
    "telling the gradebook": (NbgraderBook, "register", 0),
    "among the notebooks": (handing_out.printer, "exercise_notebook", 3),
    "among the archives": (handing_out, "zipped", 5),
    "among the lines of the record": (record, "append", 4),
}


@pytest.mark.parametrize("place", CUTS)
def test_a_run_that_ends_anywhere_is_gone_on_with_to_the_same_numbers(place, fresh, tmp_path, monkeypatch):
    shutil.copytree(fresh.root, tmp_path / "peace")
    peace = type(fresh)(tmp_path / "peace")
    add(peace)
    module, name, after = CUTS[place]
    whole, left = getattr(module, name), iter(range(after))

    def cut(*arguments, **options):
        if next(left, None) is None:
            raise Cut
        return whole(*arguments, **options)

    with monkeypatch.context() as patched:
        patched.setattr(module, name, cut)
        with pytest.raises(Cut):
            add(fresh)
    add(fresh, topics=(), exercises={})
    assert state(fresh) == state(peace)
    assert gradebook.of(fresh).topics() == {"profile", "shorts"}


def test_a_record_cut_off_in_the_lines_of_a_further_topic_is_completed_to_the_same_numbers(fresh):
    add(fresh, exercises={"shorts": ("leads-off", "how-far-off")})
    whole = fresh.record.read_bytes()
    for cut in (1, 300, 2500):
        fresh.record.write_bytes(whole[:-cut])
        add(fresh, topics=(), exercises={})
        assert sorted(fresh.record.read_bytes().splitlines()) == sorted(whole.splitlines())


def test_the_command_says_which_file_holds_the_new_topic_alone(fresh):
    words = ["handout", str(fresh.roster), "--to", str(fresh.root), "--topic", "shorts", "--exercise"]
    result = CliRunner().invoke(main, [*words, "shorts/leads-off"])
    assert result.exit_code == 0, result.output
    assert "New: shorts. Whoever has other topics already finds it in LEARNER+shorts.zip." in result.output


def test_a_learner_opens_the_new_topic_into_the_folder_that_is_there_and_keeps_the_work(fresh, tmp_path):
    add(fresh)
    name, first = folder.unpacked(fresh.root / "handouts" / "amber.zip")
    folder.lay_out(tmp_path / name, {k: v for k, v in first.items() if k.startswith("profile/")})
    worked = tmp_path / name / "profile" / "04_bead-lag.ipynb"
    notebook = json.loads(worked.read_text())
    notebook["cells"].append({"cell_type": "raw", "id": "x", "metadata": {}, "source": "mine"})
    worked.write_text(json.dumps(notebook))
    before = worked.read_bytes()
    again, files = folder.unpacked(fresh.root / "handouts" / "amber+shorts.zip")
    assert again == name
    folder.lay_out(tmp_path / again, files)
    assert worked.read_bytes() == before
    assert set(folder.handout_topics(tmp_path / name)) == {"profile", "shorts"}
