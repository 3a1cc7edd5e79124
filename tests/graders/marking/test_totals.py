"""One row a learner: sums, pass and grade, in files that spreadsheets of both kinds of country and platforms read."""

import csv
import shutil
from dataclasses import replace
from datetime import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as some

from graders.cohort import roster
from graders.cohort.roster import Learner
from graders.cohort.settings import Settings, Void
from graders.handout import handing_out
from graders.judging.marks import Row
from graders.marking import marks_csv, run, totals
from graders.marking.totals import NO, WAITS, YES, TopicSum, Total
from graders.questions.verdicts import Code

pandas = pytest.importorskip("pandas", reason="needs pandas: pip install 'rework-workbook[test]'")

AMBER = Learner("amber", "Amber")
SCALE = {"1": 90.0, "2": 75.0, "3": 60.0, "4": 50.0, "5": 0.0}


def term(topics, to_come=None):
    return Total(AMBER, topics, to_come or {})


def test_what_waits_is_in_no_sum_and_pass_and_grade_come_once_nothing_open_can_change_them():
    settings = Settings("Spring", ("profile",), to_pass={"total": 50}, grades=SCALE)
    waits = term({"profile": TopicSum(45, 90, waiting=10, came=True)})
    assert (waits.points, waits.out_of, waits.waiting, waits.per_cent) == (45, 90, 10, 50.0)
    assert (waits.passes(settings), waits.grade(settings)) == (WAITS, WAITS)
    certain = term({"profile": TopicSum(50, 90, waiting=10, came=True)})
    assert (certain.passes(settings), certain.grade(settings)) == (YES, WAITS)
    lost = term({"profile": TopicSum(39, 90, waiting=10, came=True)})
    assert (lost.passes(settings), lost.grade(settings)) == (NO, "5")


def test_each_topic_may_ask_for_its_own_share_and_one_by_its_name_for_another():
    topics = {"profile": TopicSum(9, 10, came=True), "shorts": TopicSum(4, 10, came=True)}
    for asked, passes in (
        ({"total": 65}, YES),
        ({"total": 65, "each_topic": 41}, NO),
        ({"each_topic": 50, "shorts": 40}, YES),
        ({"profile": 95}, NO),
    ):
        assert term(topics).passes(Settings("Spring", ("profile", "shorts"), to_pass=asked)) == passes, asked
    assert term(topics).passes(Settings("Spring", ("profile", "shorts"))) == "", "nothing is asked for"


def test_per_cent_are_told_to_two_decimals():
    assert term({"profile": TopicSum(2, 3, came=True)}).per_cent == 66.67


points = some.integers(0, 20)


@given(some.lists(some.tuples(points, points, points, points), min_size=1, max_size=3), some.integers(0, 100), points)
def test_what_is_said_to_be_certain_is_what_every_end_of_the_term_comes_to(held, least, seed):
    """The term is ended in one of the ways it can: each open point earned or not."""
    settings = Settings("Spring", (), to_pass={"total": least, "each_topic": least // 2}, grades=SCALE)
    topics = {str(n): TopicSum(min(p, o), o, waiting=w, came=True) for n, (p, o, w, _) in enumerate(held)}
    to_come = {f"later {n}": TopicSum(0, c) for n, (*_, c) in enumerate(held)}
    now = term(topics, to_come)
    ended = {
        name: TopicSum(one.points + (one.waiting * seed) // 20, one.out_of + one.waiting, came=True)
        for name, one in topics.items()
    } | {name: TopicSum((one.out_of * (20 - seed)) // 20, one.out_of, came=True) for name, one in to_come.items()}
    for said in (Total.passes, Total.grade):
        assert said(now, settings) in (WAITS, said(term(ended), settings))


def row(learner, topic, points, code=Code.RIGHT, out_of=4):
    return Row(learner, topic, "e", "p", points, out_of, code, "", "")


def sums(*rows, settings=None):
    found = totals.Sums(settings or Settings("Spring", ()))
    list(found.added(rows))
    return found


def test_what_has_not_come_counts_once_it_was_due_or_where_nothing_is_due_once_somebody_handed_it_in(fresh):
    rows = [
        row("amber", "profile", 4),
        row("birch", "profile", 0, Code.NOT_HANDED_IN),
        row("birch", "shorts", 0, Code.NOT_HANDED_IN),
        row("birch", "paste", 0, Code.NOT_HANDED_IN),
    ]
    settings = Settings("Spring", ("profile", "shorts", "paste"), due={"paste": datetime(2026, 12, 1)})
    for now, counts, open_ in (
        (datetime(2026, 11, 30), ["profile"], ["shorts", "paste"]),
        (datetime(2026, 12, 2), ["profile", "paste"], ["shorts"]),
    ):
        found = {one.learner.id: one for one in totals.totals(fresh, sums(*rows), settings, now)}
        assert (found["birch"].missing, list(found["birch"].to_come)) == (counts, open_)
        assert (found["birch"].points, found["birch"].out_of) == (0, 4 * len(counts))


def test_a_part_that_is_dropped_counts_for_nobody_also_where_nothing_came(fresh):
    settings = Settings("Spring", ("profile",), void=(Void("profile", "e", "p", "drop", "misprint"),))
    rows = [row("amber", "profile", 0, Code.DROPPED, out_of=0), row("birch", "profile", 0, Code.NOT_HANDED_IN)]
    others = [replace(one, part="q", points=2 * (one.learner == "amber"), out_of=4) for one in rows]
    others[0] = replace(others[0], verdict=Code.PARTLY)
    held = sums(*rows, *others, settings=settings)
    found = {one.learner.id: one for one in totals.totals(fresh, held, settings, datetime(2026, 12, 1))}
    assert (found["amber"].points, found["amber"].out_of) == (2, 4)
    assert (found["birch"].points, found["birch"].out_of) == (0, 4)


def test_nobody_passes_or_has_a_grade_of_topics_they_were_not_handed(fresh):
    fresh.roster.write_text("id,name,left\namber,Amber,\nnew,New,\ngone,Gone,left\n", encoding="utf-8")
    settings = Settings("Spring", ("profile", "shorts"), to_pass={"total": 50, "each_topic": 40}, grades=SCALE)
    held = sums(row("amber", "profile", 4), row("gone", "profile", 4), row("birch", "profile", 1))
    found = {one.learner.id: one for one in totals.totals(fresh, held, settings, datetime(2026, 12, 1))}
    said = {id_: (one.passes(settings), one.grade(settings)) for id_, one in found.items()}
    assert said == {"amber": (WAITS,) * 2, "new": (WAITS,) * 2, "gone": (WAITS,) * 2, "birch": (NO, WAITS)}
    heads, lines = totals._table(list(found.values()), settings)
    to_come = {line[0]: line[heads.index("to come")] for line in lines}
    assert to_come == {"amber": "shorts", "new": "profile, shorts", "gone": "", "birch": "shorts"}


def test_a_topic_whose_parts_are_all_dropped_is_held_against_nobody_and_alone_is_no_grade(fresh):
    settings = Settings("Spring", ("profile", "shorts"), to_pass={"each_topic": 50}, grades=SCALE)
    dropped = TopicSum(0, 0)
    beside = term({"profile": TopicSum(4, 4, came=True), "shorts": dropped})
    assert (beside.passes(settings), beside.grade(settings)) == (YES, "1")
    assert term({"shorts": dropped}).grade(settings) == WAITS
    for asked, passes in ((100, YES), (100.01, NO)):
        settings = Settings("Spring", ("profile", "shorts"), to_pass={"shorts": asked})
        assert beside.passes(settings) == passes, "all of its points are earned, and no more"


def opened(path, manner):
    """Open a table as a spreadsheet of such a country does: its delimiter and decimal sign, no types told."""
    return pandas.read_csv(path, sep=manner.delimiter, decimal=manner.decimal, encoding="utf-8-sig").set_index("id")


LISTS = {
    "comma and point": "id,name,group\namber,Ämber,7.5\nbirch,Birch,2\n",
    "semicolon and comma": "id;name;group\namber;Ämber;7,5\nbirch;Birch;2\n",
    "semicolon and point": "id;name;group\namber;Ämber;7.5\nbirch;Birch;2\n",
    "tab and comma": "id\tname\tgroup\namber\tÄmber\t7,5\nbirch\tBirch\t2\n",
    "a first line that names the delimiter": "sep=;\nid;name;group\namber;Ämber;7,5\nbirch;Birch;2\n",
}


@pytest.fixture(scope="module")
def marked(made, tmp_path_factory, pool):
    """The small cohort, marked."""
    root = tmp_path_factory.mktemp("totals") / "spring"
    shutil.copytree(made.root, root)
    cohort = type(made)(root)
    run.mark(cohort, pool)
    return cohort


@pytest.mark.parametrize("kind", LISTS)
def test_totals_open_with_numbers_as_numbers_where_the_list_was_made_and_sum_up_the_marks(kind, marked):
    marked.roster.write_text(LISTS[kind], encoding="utf-8")
    totals.write(marked, marks_csv.each_row_now(marked))
    table = opened(marked.totals, roster.manner(marked.roster))
    assert list(table.columns[:3]) == ["name", "group", "profile"]
    assert table.loc["amber", "name"] == "Ämber"
    assert all(table[head].dtype.kind == "f" for head in ("group", "per cent"))
    assert table["total"].dtype.kind in "fi"
    with marked.marks.open(encoding="utf-8-sig", newline="") as file:
        lines = [line for line in csv.DictReader(file) if line["verdict"] != "by hand"]
    for learner in ("amber", "birch", "cedar"):
        own = [line for line in lines if line["learner"] == learner]
        earned, out_of = (sum(float(line[head]) for line in own) for head in ("points", "out_of"))
        assert table.loc[learner, "total"] == pytest.approx(earned)
        assert table.loc[learner, "per cent"] == pytest.approx(100 * earned / out_of, abs=0.005)


def test_marks_csv_is_the_same_bytes_as_it_is_alone(marked):
    totals.write(marked, marks_csv.each_row_now(marked))
    beside = marked.marks.read_bytes()
    marks_csv.write_marks(marked, marks_csv.each_row_now(marked))
    assert marked.marks.read_bytes() == beside


def test_no_cell_of_anything_that_came_from_elsewhere_begins_as_a_formula_does(marked):
    evil = 'id;name;=HYPERLINK(1)\namber;=1+1;+cmd\nbirch;@SUM(A1);\tx\ncedar;-2+3;"x"\nelder;＝1+1;ok\n'
    marked.roster.write_text(evil, encoding="utf-8")
    for path in (marked.totals, marked.for_import):
        totals.write(marked, marks_csv.each_row_now(marked))
        with path.open(encoding="utf-8-sig", newline="") as file:
            cells = [
                cell for line in csv.reader(file, delimiter=";" if path == marked.totals else ",") for cell in line
            ]
        assert "'=1+1" in cells
        assert not [cell for cell in cells if cell.strip()[:1] in ("=", "+", "-", "@", "＝")]


def test_a_platform_gets_points_beside_what_they_are_out_of_and_nothing_for_what_is_not_final(marked):
    marked.roster.write_text("id,name\namber,Amber\nbirch,Birch\n", encoding="utf-8")
    rows = [row("amber", "profile", 3.5), row("birch", "profile", 0, Code.BY_HAND), row("birch", "profile", 1)]
    totals.write(marked, rows)
    content = marked.for_import.read_bytes()
    assert content == b"id,name,profile (out of 4)\namber,Amber,3.5\nbirch,Birch,\n"
    totals.write(marked, [row("amber", "profile", 3), row("birch", "profile", 3, out_of=6)])
    assert marked.for_import.read_text().splitlines() == [
        "id,name,profile (out of 100)",
        "amber,Amber,75",
        "birch,Birch,50",
    ]


def test_who_left_keeps_the_row_and_is_not_sent_to_a_platform(marked):
    marked.roster.write_text("id,name,left\namber,Amber,left\nbirch,Birch,\n", encoding="utf-8")
    totals.write(marked, marks_csv.each_row_now(marked))
    assert opened(marked.totals, roster.manner(marked.roster)).loc["amber", "left"] == "left"
    assert "amber" not in marked.for_import.read_text()


def test_a_column_of_the_list_named_as_one_of_ours_is_told_apart():
    listed = Learner("amber", "Amber", others=(("Total", "9"), ("profile", "x"), ("group", "A")))
    heads, (line,) = totals._table([Total(listed, {})], Settings("Spring", ("profile",)))
    assert heads[2:6] == ["Total (of the list)", "profile (of the list)", "group", "profile"]
    assert len({head.casefold() for head in heads}) == len(heads) == len(line)


def test_cohort_toml_says_pass_grades_and_manner(marked):
    text = (marked.root / "cohort.toml").read_text()
    try:
        said = text.replace("to_pass = {}", "to_pass = { total = 50 }").replace(
            "tables = {}", 'tables = { decimal = "," }'
        )
        said = said.replace("grades = {}", 'grades = { "A" = 50, "B" = 0 }').replace(
            'decimal = ","', 'delimiter = ";", decimal = ","', 1
        )
        (marked.root / "cohort.toml").write_text(said)
        marked.roster.write_text("id,name\namber,Amber\ncedar,Cedar\n", encoding="utf-8")
        totals.write(marked, marks_csv.each_row_now(marked))
        table = opened(marked.totals, marked.settings().manner(roster.manner(marked.roster)))
        assert table.loc["amber", ["pass", "grade"]].tolist() == ["yes", "A"]
    finally:
        (marked.root / "cohort.toml").write_text(text)


def test_a_new_cohorts_list_is_written_as_the_one_it_came_from(tmp_path):
    source = tmp_path / "list.csv"
    source.write_text("id;name;points before\na1;Åsa;3,5\n", encoding="utf-8")
    people, manner = roster.read(source), roster.manner(source)
    cohort = handing_out.make(people, tmp_path / "spring", ("profile",), "", {"profile": ("bead-lag",)}, manner=manner)
    assert cohort.roster.read_text(encoding="utf-8") == "id;name;left;points before\na1;Åsa;;3,5\n"
    assert roster.manner(cohort.roster) == manner


def test_of_nothing_the_sum_is_nothing_and_says_nothing():
    none = TopicSum()
    assert (none.points, none.out_of, none.waiting, none.came) == (0, 0, 0, False)
    assert term({}).per_cent is term({"profile": none}).per_cent is None
    assert term({"profile": none}).missing == ["profile"]
    assert term({"profile": TopicSum(came=True)}).missing == []


def test_a_sum_has_come_where_any_part_came_and_keeps_what_waits_apart():
    held = sums(
        row("amber", "profile", 0, Code.NOT_HANDED_IN),
        row("amber", "profile", 0, Code.BY_HAND, out_of=3),
        row("amber", "profile", 1.5),
        row("birch", "shorts", 0, Code.NOT_HANDED_IN),
    )
    assert held.of == {"amber": {"profile": TopicSum(1.5, 8, 3, True)}, "birch": {"shorts": TopicSum(0, 4)}}
    assert held.came() == {"profile"}


def test_only_the_part_that_is_dropped_is_not_counted():
    settings = Settings(
        "Spring", (), void=(Void("profile", "e", "p", "drop", ""), Void("profile", "e", "q", "full", ""))
    )
    rows = [replace(row("amber", "profile", 1), part=part) for part in "pqr"]
    other = [row("amber", "shorts", 1), replace(row("amber", "profile", 1), exercise="f")]
    held = totals.Sums(settings)
    assert list(held.added([*rows, *other])) == [*rows, *other]
    assert held.of["amber"] == {"profile": TopicSum(3, 12, 0, True), "shorts": TopicSum(1, 4, 0, True)}


def test_where_only_topics_ask_for_something_the_term_asks_for_nothing():
    little = term({"profile": TopicSum(1, 200, came=True), "shorts": TopicSum(0, 200, came=True)})
    assert little.passes(Settings("Spring", (), to_pass={"profile": 0.5})) == YES
    assert little.passes(Settings("Spring", (), to_pass={"profile": 0.51})) == NO


def test_a_topic_to_come_may_still_bring_what_it_asks_for_itself():
    beside = term({"profile": TopicSum(10, 10, came=True)}, {"shorts": TopicSum(0, 10)})
    assert beside.passes(Settings("Spring", (), to_pass={"total": 40})) == YES
    assert beside.passes(Settings("Spring", (), to_pass={"total": 40, "shorts": 50})) == WAITS
    assert beside.passes(Settings("Spring", (), to_pass={"total": 60})) == WAITS
    none = term({"profile": TopicSum(0, 10, came=True)}, {"shorts": TopicSum(0, 10)})
    assert none.passes(Settings("Spring", (), to_pass={"total": 50})) == WAITS
    assert none.passes(Settings("Spring", (), to_pass={"total": 50.01})) == NO


def test_half_that_is_earned_is_certain_while_the_other_half_waits():
    half = term({"profile": TopicSum(5, 5, 5, came=True)})
    asked = {50: YES, 50.01: WAITS, 100: WAITS, 100.01: NO}
    assert {least: half.passes(Settings("Spring", (), to_pass={"total": least})) for least in asked} == asked


def test_of_a_topic_not_handed_out_nothing_is_certain_but_that_nothing_asked_is_met():
    missing = Total(AMBER, {"profile": TopicSum(10, 10, came=True)}, not_handed_out=("shorts",))
    assert missing.passes(Settings("Spring", (), to_pass={"shorts": 0.5})) == WAITS
    assert missing.passes(Settings("Spring", (), to_pass={"shorts": 100})) == WAITS
    assert missing.passes(Settings("Spring", (), to_pass={"shorts": 100.01})) == NO, "more than all is never met"
    assert missing.passes(Settings("Spring", (), to_pass={"profile": 50})) == YES
    assert missing.grade(Settings("Spring", (), grades=SCALE)) == WAITS
    assert missing.grade(Settings("Spring", ())) == ""


def test_at_its_due_time_a_topic_is_not_over_and_a_moment_later_it_is(fresh):
    due = datetime(2026, 12, 1)
    settings = Settings("Spring", ("profile",), due={"profile": due})
    held = sums(row("birch", "profile", 0, Code.NOT_HANDED_IN))
    for now, missing in ((due, []), (datetime(2026, 12, 1, 0, 0, 1), ["profile"])):
        found = {one.learner.id: one for one in totals.totals(fresh, held, settings, now)}
        assert found["birch"].missing == missing


def test_who_left_without_marks_has_no_row_and_who_has_marks_and_is_on_no_list_has_one(fresh):
    fresh.roster.write_text("id,name,left\namber,Amber,left\nbirch,Birch,left\nnew,New,\n", encoding="utf-8")
    held = sums(row("birch", "profile", 1), row("stranger", "profile", 1))
    found = totals.totals(fresh, held, Settings("Spring", ("profile",)), datetime(2026, 12, 1))
    assert [(one.learner.id, one.learner.name) for one in found] == [
        ("birch", "Birch"),
        ("new", "New"),
        ("stranger", "stranger"),
    ]
    fresh.roster.unlink()
    found = totals.totals(fresh, held, Settings("Spring", ("profile",)), datetime(2026, 12, 1))
    assert [one.learner.id for one in found] == ["birch", "stranger"]


def test_days_late_are_told_in_words(fresh):
    held = sums(row("birch", "profile", 1), row("amber", "profile", 1), row("cedar", "profile", 1))
    settings = Settings("Spring", ("profile",), due={"profile": datetime(2026, 12, 1)}, late="10 % a day")
    for learner, day in (("amber", "2026-11-30"), ("birch", "2026-12-01"), ("cedar", "2026-12-02")):
        fresh.submitted(learner, "profile").joinpath("timestamp.txt").write_text(f"{day} 12:00:00 UTC")
    found = {one.learner.id: one.late for one in totals.totals(fresh, held, settings, datetime(2026, 12, 5))}
    late = {learner: found[learner] for learner in ("amber", "birch", "cedar")}
    assert late == {"amber": {}, "birch": {"profile": "profile 1 day"}, "cedar": {"profile": "profile 2 days"}}


def test_a_line_of_the_totals_says_what_each_topic_came_to_and_what_is_open():
    settings = Settings("Spring", ("profile", "shorts", "paste"))
    one = Total(
        Learner("amber", "Amber", others=(("group", "A"),)),
        {"profile": TopicSum(3, 4, came=True), "shorts": TopicSum(0, 4, waiting=2)},
        {"paste": TopicSum(0, 5)},
        {"profile": "profile 2 days"},
        ("signoff",),
    )
    heads, lines = totals._table(
        [one, Total(Learner("gone", "Gone", left=True), {}, not_handed_out=("paste",))], settings
    )
    assert dict(zip(heads, lines[0], strict=True)) == {
        "id": "amber",
        "name": "Amber",
        "group": "A",
        "profile": 3,
        "shorts": None,
        "paste": None,
        "total": 3,
        "out of": 8,
        "per cent": 37.5,
        "waiting": 2,
        "late": "profile 2 days",
        "not handed in": "shorts",
        "to come": "paste, signoff",
        "left": "",
    }
    gone = dict(zip(heads, lines[1], strict=True))
    assert (gone["left"], gone["to come"], gone["group"]) == ("left", "", None)
    heads, _ = totals._table([one], settings)
    assert not {"left", "pass", "grade"} & set(heads)
    heads, ((*_,),) = totals._table([one], replace(settings, to_pass={"total": 50}, grades=SCALE))
    assert {"pass", "grade"} <= set(heads)


def test_a_platform_is_not_sent_what_is_not_final_or_has_no_points_to_give():
    people = {
        "whole": TopicSum(3, 4, came=True),
        "waits": TopicSum(1, 2, waiting=2, came=True),
        "missing": TopicSum(0, 4),
        "dropped": TopicSum(0, 0, came=True),
    }
    found = [Total(Learner(name, name), {"profile": one}) for name, one in people.items()]
    found += [
        Total(Learner("none", "none"), {}),
        Total(Learner("gone", "gone", left=True), {"profile": TopicSum(1, 9, came=True)}),
    ]
    heads, lines = totals._for_import(found, Settings("Spring", ("profile", "shorts")))
    assert heads == ["id", "name", "profile (out of 4)"]
    assert {line[0]: line[2] for line in lines} == {
        "whole": 3,
        "waits": None,
        "missing": None,
        "dropped": None,
        "none": None,
    }


def test_what_is_to_come_is_open_with_the_answers_in_words_it_will_have():
    beside = term({"profile": TopicSum(10, 10, came=True)}, {"shorts": TopicSum(0, 5, waiting=5)})
    assert beside.passes(Settings("Spring", (), to_pass={"total": 50})) == YES
    assert beside.passes(Settings("Spring", (), to_pass={"total": 50.01})) == WAITS


def test_a_topic_of_a_single_point_is_sent_to_a_platform():
    found = [Total(AMBER, {"profile": TopicSum(1, 1, came=True)})]
    assert totals._for_import(found, Settings("Spring", ("profile",))) == (
        ["id", "name", "profile (out of 1)"],
        [["amber", "Amber", 1]],
    )


def test_an_empty_list_of_learners_has_totals_of_those_who_have_marks(fresh):
    fresh.roster.write_text("id,name\n", encoding="utf-8")
    found = totals.totals(
        fresh, sums(row("birch", "profile", 1)), Settings("Spring", ("profile",)), datetime(2026, 12, 1)
    )
    assert [one.learner.id for one in found] == ["birch"]
