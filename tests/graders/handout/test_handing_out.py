"""Handing out goes on where it stopped, and nobody ever gets a second handout."""

import os
import re
import shlex
import stat

import pytest
from click.testing import CliRunner

from graders.cli import main
from graders.cohort import differences, record, roster
from graders.cohort.record import HandoutRecord
from graders.cohort.roster import Learner
from graders.handout import handing_out
from tests.graders.cohorts import copied
from workbook.problems import Problem

NEW = Learner("new", "New Example (invented)")


def lines(cohort):
    return cohort.record.read_bytes().splitlines()


def add(cohort, *learners, **asked):
    handing_out.make(list(learners), cohort.root, **asked)
    return HandoutRecord(cohort.record)


def rows(cohort):
    return roster.read(cohort.roster, may_be_empty=True)


def write_rows(cohort, learners):
    cohort.roster.write_text(roster.text_of(learners), encoding="utf-8")


def test_who_has_a_record_is_not_handed_out_again_whatever_the_list_says(fresh):
    before, everyone = lines(fresh), rows(fresh)
    write_rows(fresh, [one for one in everyone if one.id != "birch"])
    add(fresh, *everyone)
    assert lines(fresh) == before
    assert {one.id for one in rows(fresh)} == {one.id for one in everyone}


def test_an_empty_list_of_an_old_interrupted_cohort_is_gone_on_with(fresh):
    everyone, before = rows(fresh), lines(fresh)
    fresh.roster.write_text("id,name,left\n")
    add(fresh, *everyone, NEW)
    assert lines(fresh)[: len(before)] == before
    assert len(lines(fresh)) == len(before) + 5


def test_a_row_written_into_the_list_is_said_and_handed_out_by_the_line_that_says_so(fresh):
    write_rows(fresh, [*rows(fresh), NEW])
    fresh.root.chmod(0o700)
    (said,) = differences.lines(fresh)
    assert "names new, who got no handout" in said
    words = shlex.split(said.partition("graders ")[2])
    result = CliRunner().invoke(main, words)
    assert result.exit_code == 0, result.output
    assert len(HandoutRecord(fresh.record).of("new")) == 5
    assert differences.lines(fresh) == []


def test_a_command_that_is_said_can_be_typed_as_it_stands_in_a_folder_with_spaces_and_accents(made, tmp_path):
    cohort = copied(made, tmp_path / "Mes cours" / "atelier de réparation")
    write_rows(cohort, [*rows(cohort), NEW])
    cohort.root.chmod(0o700)
    (said,) = differences.lines(cohort)
    words = shlex.split(said.partition("graders ")[2])
    assert words == ["handout", str(cohort.roster), "--to", str(cohort.root)]
    (then,) = re.findall("Then: (.*)", CliRunner().invoke(main, words).output)
    assert shlex.split(then) == ["graders", "mark", str(cohort.root)]


def test_a_renamed_id_is_said_and_gets_no_second_numbers(fresh):
    before = lines(fresh)
    renamed = [Learner("ambre", one.name) if one.id == "amber" else one for one in rows(fresh)]
    write_rows(fresh, renamed)
    assert "no row for amber, who got a handout; is ambre meant?" in differences.lines(fresh)[0]
    with pytest.raises(Problem, match="'ambre' .* has a handout as 'amber'"):
        add(fresh, *renamed)
    assert lines(fresh) == before


def test_another_spelling_of_an_id_is_refused(fresh):
    with pytest.raises(Problem, match="'Amber' .* has a handout as 'amber'"):
        add(fresh, Learner("Amber", "Somebody else"))


@pytest.mark.parametrize("cut", [1, 300, 2000])
def test_a_record_cut_off_in_a_learners_lines_is_completed_to_the_same_numbers(cut, fresh):
    add(fresh, NEW)
    whole = fresh.record.read_bytes()
    fresh.record.write_bytes(whole[:-cut])
    add(fresh, NEW)
    assert sorted(lines(fresh)) == sorted(whole.splitlines())


def test_a_torn_line_is_passed_over_said_and_kept_and_the_next_line_does_not_glue_onto_it(fresh):
    fresh.root.chmod(0o700)
    with fresh.record.open("ab") as file:
        file.write(b'{"changing": ["lag"], "edi')
    assert HandoutRecord(fresh.record).torn
    assert "its last line was cut off" in differences.lines(fresh)[0]
    assert len(add(fresh, NEW).of("new")) == 5
    assert not HandoutRecord(fresh.record).torn
    assert (fresh.root / "record.torn").read_bytes() == b'{"changing": ["lag"], "edi\n'


def test_a_last_line_without_its_line_end_counts(fresh):
    whole = fresh.record.read_bytes()
    fresh.record.write_bytes(whole.rstrip(b"\n"))
    add(fresh, NEW)
    assert fresh.record.read_bytes().startswith(whole)


def test_a_full_disk_leaves_no_half_line(fresh, monkeypatch):
    before, sync = fresh.record.read_bytes(), os.fsync

    def full(handle):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(record.os, "fsync", full)
    with pytest.raises(OSError, match="No space"):
        add(fresh, NEW)
    assert fresh.record.read_bytes() == before
    monkeypatch.setattr(record.os, "fsync", sync)
    assert len(add(fresh, NEW).of("new")) == 5


def test_lines_that_repeat_an_exercise_are_said_and_the_first_counts(fresh):
    fresh.root.chmod(0o700)
    first = HandoutRecord(fresh.record).of("amber")
    fresh.record.write_bytes(fresh.record.read_bytes() * 2)
    assert HandoutRecord(fresh.record).of("amber") == first
    assert len(list(HandoutRecord(fresh.record))) * 2 == len(lines(fresh))
    assert "repeats exercises of" in differences.lines(fresh)[0]


def test_two_at_once_are_refused(fresh):
    with fresh.locked(), pytest.raises(Problem, match="or handed out"):
        add(fresh, NEW)


@pytest.mark.parametrize("asked", [{"title": "Another"}, {"exercises": {"profile": ("bead-lag",)}}])
def test_what_a_cohort_cannot_become_any_more_is_refused_and_what_it_is_may_be_said_again(asked, fresh):
    with pytest.raises(Problem, match="already"):
        add(fresh, NEW, **asked)
    settings = fresh.settings()
    add(fresh, NEW, topics=settings.topics, title=settings.title, exercises=settings.exercises)


def test_an_exercise_of_a_topic_that_is_not_handed_out_is_refused(tmp_path):
    with pytest.raises(Problem, match="topic profile is asked for"):
        handing_out.make([NEW], tmp_path / "spring", ("shorts",), "", {"profile": ("bead-lag",)})


def test_a_new_cohort_is_its_owners_only(made):
    assert stat.S_IMODE(made.root.stat().st_mode) == 0o700
    assert stat.S_IMODE(made.record.stat().st_mode) == 0o600


def test_a_cohort_that_others_can_look_into_is_said(fresh):
    fresh.root.chmod(0o755)
    assert "chmod 700" in differences.lines(fresh)[0]


def test_a_wrong_key_is_noticed(fresh):
    fresh.root.chmod(0o700)
    (fresh.root / "cohort.key").write_text("ab" * 32)
    assert "is not the key this cohort was handed out with" in differences.lines(fresh)[0]


@pytest.mark.slow
def test_the_gradebook_lies_in_the_cohort_whatever_signs_its_path_has(tmp_path):
    root = tmp_path / "a?b #c%20d"
    cohort = handing_out.make([NEW], root, ("profile",), "", {"profile": ("bead-lag",)})
    assert cohort.database.is_file()
    assert [path.name for path in tmp_path.iterdir()] == [root.name]
