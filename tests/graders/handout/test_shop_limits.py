"""A shop's limits: in own numbers, on every page that shows them, in marking, and as they were at handout."""

import json
import shutil
from dataclasses import replace

import pytest
from click.testing import CliRunner

from graders.cli import main
from graders.cohort import differences, record
from graders.cohort.paths import Cohort
from graders.cohort.record import HandoutRecord
from graders.cohort.roster import Learner
from graders.desk import boxes, checking, copying
from graders.handout import handing_out
from graders.judging import judge
from graders.judging.judge import Answers
from graders.notebooks import printer
from graders.report import pages
from graders.sheets import find
from workbook import lookup
from workbook.problems import Problem
from workbook.server import folder

PEOPLE = [Learner(name, f"{name.title()} Example (invented)") for name in ("amber", "birch")]
HANDED = {"shorts": ("decide-on-a-reading", "leads-off"), "profile": ("choose-a-programme",)}
DEAD = "shorts.dead_short_limit"
SHOP = """
[shorts.dead_short_limit]
value = 0.8
unit = "Ω"

[profile.body_peak_at_most_lead_free_dry_rework]
value = 262
unit = "°C"
"""
MARK = "0.8 Ω (shop's rule instead of 1 Ω)"


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    root = tmp_path_factory.mktemp("shop") / "spring"
    root.mkdir()
    (root / "shop.toml").write_text(SHOP)
    return handing_out.make(PEOPLE, root, ("shorts", "profile"), "", HANDED)


@pytest.fixture
def cohort(made, tmp_path):
    shutil.copytree(made.root, tmp_path / "spring")
    return Cohort.open(tmp_path / "spring")


def notebook(cohort, name="shorts/05_decide-on-a-reading", learner="amber"):
    return json.loads((cohort.handout(learner) / f"{name}.ipynb").read_text())


def test_every_learner_has_the_shops_limit_and_the_record_says_so(made):
    for person in PEOPLE:
        handed = HandoutRecord(made.record).find(person.id, "shorts", "decide-on-a-reading")
        assert handed.givens["dead_short"] == handed.fresh["dead_short"] == 0.8
        assert handed.shop[DEAD] == 0.8


def test_the_handout_marks_it_in_its_text_and_at_its_numbers(made):
    text = json.dumps(notebook(made), ensure_ascii=False)
    assert MARK in text
    assert "dead_short = 0.8   # Ω, shop's rule instead of 1 Ω" in text


def test_a_limit_laxer_than_a_published_one_is_said_in_print_and_to_the_instructor(made):
    text = json.dumps(notebook(made, "profile/20_choose-a-programme"), ensure_ascii=False)
    assert "package top: at most 262 °C (shop's rule, laxer than the published 260 °C)" in text
    assert any("262 °C (shop's rule, laxer than the published 260 °C)" in line for line in differences.lines(made))


def test_an_exercise_without_a_rule_is_printed_as_ever(made):
    handed = HandoutRecord(made.record).find("amber", "shorts", "leads-off")
    printed = notebook(made, f"shorts/{handed.notebook}")
    assert "shop's rule" not in json.dumps(printed["cells"])


def test_a_simulated_limit_that_is_the_shops_is_told_as_such():
    exercise = find("profile", "choose-a-programme")
    for rating, name in ((260, "package top:"), (262, "package top (shop's rule):")):
        givens = exercise.worked() | {"rating_c": rating}
        verdict = judge.judge_part(exercise, "chosen", givens, Answers(exercise.key(givens)))
        assert any(margin.told().startswith(name) for margin in verdict.margins)


def test_at_home_the_page_marks_it_and_the_check_judges_by_it(made, tmp_path):
    _, files = folder.unpacked(made.handout_of("amber"))
    folder.lay_out(tmp_path / "amber", files)
    path = tmp_path / "amber" / "shorts" / "05_decide-on-a-reading.ipynb"
    shown = boxes.shown({"notebook": json.loads(path.read_bytes()), "file": str(path)})
    assert ["dead short", MARK] in [list(one) for one in shown["numbers"]]
    assert checking.check(path).givens["dead_short"] == 0.8
    assert copying.clean(path) == path.read_bytes()


def test_the_look_up_tells_it_in_the_learners_folder_and_in_the_cohorts(made, tmp_path):
    _, files = folder.unpacked(made.handout_of("amber"))
    folder.lay_out(tmp_path / "amber", files)
    for here in (tmp_path / "amber", made.root):
        told = list(lookup.lines("dead short", lookup.rules_here(here)))
        assert any(f"here it is otherwise: {MARK}" in line for line in told)
    assert not any("otherwise" in line for line in lookup.lines("dead short", lookup.rules_here(tmp_path)))


def test_the_report_tells_under_which_rules_topics_went_out(made):
    (line,) = [one for one in pages._shops_rules(HandoutRecord(made.record)) if "dead short" in one]
    assert f"{MARK}; in what was handed out of " in line
    assert {topic for topic in HANDED if topic in line} == {*HANDED}


def test_a_later_change_is_told_and_changes_no_number_handed_out_nor_those_of_who_comes_later(cohort):
    (cohort.root / "shop.toml").write_text(SHOP.replace("0.8", "1.2"))
    before = cohort.record.read_text()
    handing_out.make([Learner("cedar", "Cedar Example (invented)")], cohort.root)
    assert cohort.record.read_text().startswith(before)
    assert HandoutRecord(cohort.record).find("cedar", "shorts", "decide-on-a-reading").givens["dead_short"] == 0.8
    assert any(f"{DEAD} was 0.8 when" in line for line in differences.lines(cohort))


def test_a_topic_handed_out_without_rules_has_none_later(cohort):
    (cohort.root / "shop.toml").unlink()
    assert any(f"{DEAD} was 0.8 when" in line for line in differences.lines(cohort))
    handing_out.make([Learner("cedar", "Cedar Example (invented)")], cohort.root)
    assert HandoutRecord(cohort.record).find("cedar", "shorts", "decide-on-a-reading").shop[DEAD] == 0.8


def test_a_broken_shop_toml_stops_handing_out_and_is_a_line_elsewhere(cohort):
    (cohort.root / "shop.toml").write_text("[shorts.dead_short]\nvalue = 1")
    assert any("shorts.dead_short is no limit" in line for line in differences.lines(cohort))
    with pytest.raises(Problem, match="is no limit"):
        handing_out.make([Learner("cedar", "Cedar Example (invented)")], cohort.root)


def test_a_limit_that_an_exercise_cannot_be_asked_with_is_told_before_anything_is_handed_out(tmp_path):
    root = tmp_path / "spring"
    root.mkdir()
    strict = '[profile.body_peak_at_most_lead_free_dry_rework]\nvalue = 245\nunit = "°C"\n'
    (root / "shop.toml").write_text(strict)
    with pytest.raises(Problem, match="profile/choose-a-programme does not hold with"):
        handing_out.make(PEOPLE, root, ("profile",), "", {"profile": ("choose-a-programme",)})
    assert [path.name for path in root.iterdir()] == ["shop.toml"]


def test_the_command_that_checks_sheets_tells_the_rules(tmp_path):
    (tmp_path / "shop.toml").write_text(SHOP.partition("[profile")[0])
    told = CliRunner().invoke(main, ["sheets", str(tmp_path)])
    assert told.exit_code == 0, told.output
    assert MARK in told.output.replace("\n", " ")


def test_without_a_shop_toml_a_line_of_the_record_says_nothing_of_it(made):
    handed = HandoutRecord(made.record).find("amber", "shorts", "leads-off")
    assert '"shop"' not in record.line(replace(handed, shop={}))
    assert '"shop"' in record.line(handed)


def test_the_worked_numbers_of_every_exercise_stay_those_of_the_tables():
    exercise = find("shorts", "decide-on-a-reading")
    assert "shop's rule" not in printer.givens_source(exercise, exercise.worked())
