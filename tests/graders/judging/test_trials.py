"""A changed working is worth what Python makes of it, wherever the change stands; and which changes are tried."""

import ast
import math
from collections import Counter
from dataclasses import replace

import pytest

from graders.judging.arithmetic import FAILURES, Beyond
from graders.judging.changes import FAMILIES, TEN, TWO, WHOLE_ROWS, above, changes, replaced
from graders.judging.trials import CHANGES, NODES, TrialPlan, plain, statements
from graders.questions.exercise import Exercise
from graders.questions.givens import Fixed, Pick
from graders.questions.parts.design import Design, Setting
from graders.questions.parts.number import Number, Slip
from graders.questions.parts.tolerance import absolute
from graders.questions.parts.words import Choice
from workbook import units

GIVENS = {
    "near": Fixed(47.3, "Ω"),
    "far": Fixed(33.1, "s"),
    "many": Fixed(9, "pieces"),
    "rows": Fixed((3.1, 4.7, 9.2), "mm"),
    "mode": Fixed("thin"),
}


def asked(name, working, unit="1", **more):
    """Return a part whose working alone is looked at."""
    fields = dict(expected=lambda g, a: 1.0, within=absolute(0.1), because="", plausible=(0.1, 1000)) | more
    return Number(name, "?", unit=unit, working=working, **fields)


def sheet(*parts, setup="", **givens):
    return Exercise(id="x", number=1, title="x", setup=setup, givens=givens or GIVENS, parts=parts)


def outcome(exercise, **before):
    """Return what the last part's working comes to, with the worked numbers."""
    return TrialPlan(exercise, exercise.parts[-1]).outcome(_printed(exercise), before)


def _printed(exercise):
    return {name: list(value) if isinstance(value, tuple) else value for name, value in exercise.worked().items()}


def tried(exercise, **before):
    return list(outcome(exercise, **before).variants())


def whats(exercise, **before):
    return {one.what for one in tried(exercise, **before)}


def value_of(exercise, what, **before):
    (value,) = {one.value for one in tried(exercise, **before) if one.what == what}
    return value


# -- what a change gives


def by_python(exercise):
    """Yield what each single change gives where Python runs the whole changed working anew."""
    part = exercise.parts[-1]
    tree, words = ast.parse(part.working), TrialPlan(exercise, part).words
    over = above(tree)
    for statement in tree.body:
        for change in changes(statement, words):
            names = vars(math) | _printed(exercise)
            code = ast.fix_missing_locations(replaced(change.old, change.new, over))
            try:
                exec(ast.unparse(code), names)
            except (*FAILURES, UnboundLocalError):
                continue
            value = names.get(part.name)
            if type(value) in (int, float) and math.isfinite(value):
                yield change.what, f"{value:.9g}"


ANYWHERE = [
    "asked = near * 2 + far / 3",
    "low = near * 2\nhigh = low + far\nasked = high / low",
    "low, high = near * 2, far + 1\nasked = high / low",
    "low = high = near * 2\nasked = high + low * far",
    "asked = 0\nfor x in rows:\n    asked = asked + x * near",
    "def f(x):\n    return x * near + 5\n\nasked = f(far) + f(3)",
    "asked = sum(x * near for x in rows) / len(rows)",
    "asked = near\nasked += far * 7",
    "if many > 7:\n    asked = near * 5\nelse:\n    asked = far",
    "asked = near * 5 if many > 7 else far",
    "asked = {'thin': near, 'thick': far}[mode] * 7",
    "low = {'thin': 3.3, 'thick': 4.4}[mode]\nasked = near * low",
    "asked = near + rows[1] * rows[2] - max(rows)",
    "low = [near, far * 3]\nasked = low[0] + low[1]",
    "low = near\nhigh = far\nlow = low * 3\nasked = low + high",
    "high = far * 3\nlow = near\nmid = low * high\nlow = 5\nasked = mid + low",
    "asked = -near + sqrt(far) * (many < 5)",
]


@pytest.mark.parametrize("working", ANYWHERE)
def test_a_change_gives_what_python_makes_of_the_whole_changed_working(working):
    exercise = sheet(asked("asked", working))
    names = vars(math) | _printed(exercise)
    exec(working, names)
    assert outcome(exercise).right == names["asked"]
    singly = Counter(by_python(exercise))
    found = Counter((one.what, f"{one.value:.9g}") for one in tried(exercise))
    assert singly
    assert not singly - found


def test_a_change_in_a_plain_line_is_carried_up_and_what_stands_beside_is_not_worked_out_again():
    exercise = sheet(asked("asked", "asked = near * 2 + sqrt(far) / rows[1] - (7 if many > 5 else -far)"))
    trials = TrialPlan(exercise, exercise.parts[0]).trials
    assert not [trial for trial in trials if trial.instead]
    looped = sheet(asked("asked", "asked = sum(x * near for x in rows)"))
    assert [trial for trial in TrialPlan(looped, looped.parts[0]).trials if trial.instead]


EARLIER = sheet(
    asked("low", "low = near * 2"), asked("high", "high = low + far"), asked("asked", "asked = high / low * 3")
)


def test_a_change_of_an_earlier_working_does_not_change_the_answer_that_was_given_to_it():
    """The learner's own answers stand, whatever the working that they may have come by."""
    own = {"low": 50.0, "high": 70.0}
    assert outcome(EARLIER, **own).right == 70 / 50 * 3
    assert value_of(EARLIER, "{low} is doubled", **own) == 70 / 100 * 3
    assert not [what for what in whats(EARLIER, **own) if "near" in what or "far" in what]


def test_what_an_earlier_working_only_prepares_is_worked_out_and_changed_too():
    exercise = sheet(asked("low", "half = near / 7\nlow = half * far"), asked("asked", "asked = half + low"))
    assert outcome(exercise, low=5.0).right == pytest.approx(47.3 / 7 + 5)
    assert value_of(exercise, "{near} is multiplied by 7", low=5.0) == pytest.approx(47.3 * 7 + 5)


def test_a_working_that_comes_to_no_number_has_no_outcome():
    for working in ("asked = 'thin'", "asked = [1]", "asked = 1 > 0"):
        with pytest.raises(ValueError, match="no number"):
            outcome(sheet(asked("asked", working)))


def test_only_numbers_are_told_of():
    found = tried(sheet(asked("asked", "low = [near, far]\nasked = 1 / (low[0] - near + many)")))
    assert all(type(one.value) in (int, float) and math.isfinite(one.value) for one in found)


# -- which changes are tried


def test_kelvin_and_squares_forgotten_everywhere_are_one_slip():
    twice = sheet(asked("asked", "low = near + 273.15\nasked = (far + 273.15) ** 2 / low ** 2"))
    assert value_of(twice, "temperatures stay in °C") == pytest.approx((33.1 / 47.3) ** 2)
    assert value_of(twice, "the squares are left out") == pytest.approx((33.1 + 273.15) / (47.3 + 273.15))
    once = whats(sheet(asked("asked", "asked = (far + 273.15) ** 2 / near ** 3")))
    assert once.isdisjoint({"temperatures stay in °C", "the squares are left out"})
    ranks = {one.rank for one in tried(twice) if one.what in ("temperatures stay in °C", "the squares are left out")}
    assert ranks == {0}


ROWS = "low, high = [10, 20, 30], [50, 62, 81]\n"
BETWEEN = "low[0] + ({} - high[0]) * (low[1] - low[0]) / (high[1] - high[0])"


def between(many):
    """A working that reads between two rows so many times."""
    lines = [f"at_{place} = {BETWEEN.format(51 + place)}" for place in range(many)]
    return sheet(
        asked("asked", ROWS + "\n".join(lines) + "\nasked = " + " + ".join(f"at_{p} * {p + 2}" for p in range(many)))
    )


def whole_rows(exercise, **before):
    return sorted(round(one.value, 9) for one in tried(exercise, **before) if one.what == WHOLE_ROWS)


def test_whole_rows_are_read_at_each_of_up_to_three_places_the_row_before_or_the_one_after():
    assert whole_rows(between(1)) == [20, 40]
    assert whole_rows(between(2)) == [50, 70, 80, 100]
    assert len(whole_rows(between(3))) == 8
    assert whole_rows(between(4)) == []
    assert whole_rows(sheet(asked("asked", "asked = near"))) == []
    (row,) = {(one.family, one.rank, one.wide) for one in tried(between(1)) if one.what == WHOLE_ROWS}
    assert row == ("row", 0, FAMILIES["row"])


ALIKE = dict(hot_in=Fixed(47.3, "Ω"), hot_out=Fixed(31.7, "Ω"), cold_in=Fixed(12.9, "Ω"), cold_out=Fixed(7.1, "Ω"))


def test_two_values_of_one_kind_may_change_places():
    exercise = sheet(asked("asked", "asked = hot_in * 3 - hot_out"), **ALIKE)
    (found,) = [one for one in tried(exercise) if one.what == "{hot_in} and {hot_out} change places"]
    assert (found.family, found.rank, found.value) == ("another name", 0, pytest.approx(31.7 * 3 - 47.3))
    assert not [what for what in whats(exercise) if "cold" in what and "change places" in what]  # it is not read


def test_all_hot_ones_may_be_taken_for_the_cold_ones():
    exercise = sheet(asked("asked", "asked = hot_in * 3 - hot_out"), **ALIKE)
    value = value_of(exercise, "the `cold` values stand in place of the `hot` ones")
    assert value == pytest.approx(12.9 * 3 - 7.1)
    assert "the `out` values stand in place of the `in` ones" not in whats(exercise)  # there is one of them only


def test_a_value_read_twice_or_in_a_power_is_changed_wherever_it_stands():
    exercise = sheet(asked("asked", "asked = near * far / (near + far)"))
    values = [one.value for one in tried(exercise) if one.what == "{near} is doubled"]
    assert values == pytest.approx([94.6 * 33.1 / (94.6 + 33.1), 94.6 * 33.1 / 80.4, 47.3 * 33.1 / (94.6 + 33.1)])
    power = sheet(asked("asked", "asked = near ** 1.5 + far"))
    assert [one.what for one in tried(power)].count("{near} is halved") == 2
    assert [one.what for one in tried(power)].count("{far} is halved") == 1
    once = {(one.family, one.rank, one.wide) for one in tried(exercise) if one.what == "{near} is squared"}
    assert once == {("factor", 1, "")}


def test_readings_stand_for_others_of_their_unit_and_number_everywhere_at_once():
    rows = dict(hot=Fixed((3.1, 4.7), "mm"), cold=Fixed((1.1, 2.7), "mm"), few=Fixed((1.0, 2.0, 3.0), "mm"))
    exercise = sheet(asked("asked", "asked = max(hot) * sum(hot)"), **rows, other=Fixed((5.0, 6.0), "s"))
    values = [one.value for one in tried(exercise) if one.what == "{cold} stands in place of {hot}"]
    assert values[0] == pytest.approx(2.7 * 3.8)
    assert not [what for what in whats(exercise) if "few" in what or "other" in what]


# -- which words a working may hold


def words_of(**givens):
    exercise = sheet(asked("asked", "asked = 1"), **givens)
    return TrialPlan(exercise, exercise.parts[0]).words


def test_values_of_one_kind_of_unit_stand_for_one_another():
    found = words_of(
        near=Fixed(1.5, "mm"),
        far=Fixed(2.5, "m"),
        other=Fixed(3.5, "mm"),
        warm=Fixed(4.5, "°C"),
        rise=Fixed(5.5, "K"),
        mode=Fixed("thin"),
        rows=Fixed((1, 2), "mm"),
        is_hot=Fixed(True),
    )
    assert found.peers == {
        "near": ("far", "other"),
        "far": ("near", "other"),
        "other": ("near", "far"),
        "warm": ("rise",),
        "rise": ("warm",),
    }
    assert found.units == {"near": "mm", "far": "m", "other": "mm", "warm": "°C", "rise": "K"}
    assert found.known == {"near", "far", "other", "warm", "rise", "mode", "rows", "is_hot"}


def test_an_earlier_answer_is_read_and_a_later_one_is_not():
    design = Design(
        "plate",
        "?",
        settings=(Setting("plate_c", "plate", "°C", 25, 400),),
        simulate=lambda g, a, c: (),
        example=lambda g, a: {"plate_c": 150},
        idle=0.0,
    )
    parts = (asked("low", "low = near", "Ω"), design, asked("asked", "asked = low"), asked("later", "later = low", "Ω"))
    found = TrialPlan(sheet(*parts), parts[2]).words
    assert found.peers["near"] == ("low",)
    assert found.units["plate_c"] == "°C"
    assert {"low", "plate_c"} <= found.known
    assert "later" not in found.known


def test_what_is_counted_are_whole_pieces_more_than_one():
    found = words_of(
        balls=Fixed(9, "pieces"),
        turns=Fixed(2),
        one=Fixed(1),
        share=Fixed(9.0),
        length=Fixed(9, "mm"),
        is_hot=Fixed(True),
    )
    assert found.counts == {"balls", "turns"}


def test_tables_and_lists_are_known_by_their_names():
    working = "kinds = {'thin': 1.3, 'thick': 2.9}\nasked = kinds['thin']"
    exercise = sheet(asked("asked", working))
    found = TrialPlan(exercise, exercise.parts[0]).words
    assert {name: [ast.literal_eval(key) for key in keys] for name, keys in found.tables.items()} == {
        "kinds": ["thin", "thick"]
    }
    lists = words_of(a=Fixed((1, 2), "mm"), b=Fixed((3, 4), "mm"), c=Fixed((3, 4, 5), "mm"), d=Fixed((3, 4), "s")).lists
    assert lists == {"a": ("b",), "b": ("a",), "c": (), "d": ()}


# -- statements


@pytest.mark.parametrize(
    ("line", "reads", "writes"),
    [
        ("asked = near * far", {"near", "far"}, {"asked"}),
        ("asked += near", {"near", "asked"}, {"asked"}),
        ("low, high = near, far", {"near", "far"}, {"low", "high"}),
        ("asked = [x * near for x in rows]", {"near", "rows", "x"}, {"asked"}),
        ("def f(x):\n    y = x\n    return y * near", {"x", "y", "near"}, {"f"}),
        ("for x in rows:\n    low = x", {"rows", "x"}, {"x", "low"}),
    ],
)
def test_a_statement_reads_and_writes_names_and_the_rows_of_a_list_are_its_own(line, reads, writes):
    (step,) = statements(line)
    assert (set(step.reads), set(step.writes)) == (reads, writes)


def needed(exercise):
    return [ast.unparse(step.tree) for step in TrialPlan(exercise, exercise.parts[-1]).steps]


def test_only_the_lines_that_a_number_hangs_on_are_tried():
    working = "low = near\nother = far * 2\nhigh = low + 1\nasked = high * 2\nlast = asked + 1"
    assert needed(sheet(asked("asked", working))) == ["low = near", "high = low + 1", "asked = high * 2"]


def test_a_name_written_anew_hides_the_line_before_and_one_added_to_does_not():
    assert needed(sheet(asked("asked", "low = near\nlow = far\nasked = low"))) == ["low = far", "asked = low"]
    added = "low = near\nlow += far\nasked = low"
    assert needed(sheet(asked("asked", added))) == added.split("\n")


def test_what_was_answered_stands_whatever_line_writes_its_name_anew():
    parts = (asked("low", "low = near"), asked("asked", "low = low * 3\nasked = low + far"))
    assert needed(sheet(*parts)) == ["asked = low + far"]
    assert outcome(sheet(*parts), low=10.0).right == 10 + 33.1


def test_a_line_that_only_answers_an_earlier_part_is_not_needed_and_its_preparation_is():
    parts = (asked("low", "half = near / 2\nlow = half * 3"), asked("asked", "asked = low + half"))
    assert needed(sheet(*parts)) == ["half = near / 2", "asked = low + half"]
    word = Choice("kind", "?", options={"a": "", "b": ""}, expected=lambda g, a: "a")
    assert needed(sheet(word, *parts)) == ["half = near / 2", "asked = low + half"]


def test_a_working_of_1500_nodes_is_read_and_a_longer_one_is_not():
    """A list of ones has a node for each; the line around it has eight."""

    def long(ones):
        working = f"asked = sum([{', '.join(['1'] * ones)}])"
        assert statements(working)[0].cost == ones + 8
        return sheet(asked("asked", working))

    assert outcome(long(NODES - 8)).right == NODES - 8
    with pytest.raises(Beyond, match="too long"):
        outcome(long(NODES - 7))
    assert (NODES, CHANGES) == (1500, 1000)


def test_a_thousand_changes_are_tried_and_those_of_the_last_line_first():
    lines = [f"low_{place} = {place}.3 * near" for place in range(60)]
    exercise = sheet(asked("asked", "\n".join([*lines, "asked = " + " + ".join(f"low_{p}" for p in range(60))])))
    trials = TrialPlan(exercise, exercise.parts[-1]).trials
    assert len(trials) == CHANGES
    singly = [trial.place for trial in trials if not trial.names]
    assert singly == sorted(singly, reverse=True)


# -- what else a number may come from


def test_the_work_may_stop_at_each_piece_of_the_last_line_and_at_each_name_on_the_way():
    exercise = sheet(asked("asked", "low = near / 7\nasked = sqrt(low * far) + 5"))
    stopped = {one.what: one.value for one in tried(exercise) if one.family == "stopped"}
    assert stopped == {
        "the work stops at the root": pytest.approx(math.sqrt(47.3 / 7 * 33.1)),
        "the work stops at the product": pytest.approx(47.3 / 7 * 33.1),
        "the work stops at the low": pytest.approx(47.3 / 7),
    }


def test_the_numbers_of_a_table_and_of_the_cases_it_is_read_from_stand_there_already():
    for working, family in (
        ("asked = {'thin': 1.3, 'thick': 2.9, 'none': 7.7, 'odd': 'x'}[mode]", "row"),
        ("asked = 1.3 if near > 5 else 2.9 if near > 2 else 7.7", "case"),
        ("if near > 5:\n    asked = 1.3\nelif near > 2:\n    asked = 2.9\nelse:\n    asked = 7.7", "case"),
    ):
        stand = [one for one in tried(sheet(asked("asked", working))) if one.rank == -2]
        told = [(family, FAMILIES[family], value, -2, FAMILIES[family]) for value in (2.9, 7.7)]
        assert [tuple(one) for one in stand] == told
    worked_out = sheet(asked("asked", "asked = {'thin': 1.3, 'thick': 2.9}[mode] * 2"))
    assert not [one for one in tried(worked_out) if one.rank == -2]


TOOK = Slip("no contacts", lambda g, a: 10.0, "The contacts were left out.")
LOW = asked("low", "low = near + 7", "Ω", slips=(TOOK,))


def slipped(exercise, **before):
    return [one for one in tried(exercise, **before) if one.family == "earlier slip"]


def test_an_earlier_answer_goes_on_with_its_slip_in_it():
    (found,) = slipped(sheet(LOW, asked("asked", "asked = low * 3")), low=54.3)
    assert found.what == "you go on from `low` with a slip in it: The contacts were left out"
    assert (found.value, found.rank, found.wide) == (30.0, 0, "")


def test_a_slip_in_an_answer_that_is_not_read_or_that_gives_no_number_is_not_said():
    assert not slipped(sheet(LOW, asked("asked", "asked = near * 3")), low=54.3)
    for fails in (lambda g, a: 1 / 0, lambda g, a: a.nothing):
        low = replace(LOW, slips=(Slip("odd", fails, "Odd."), TOOK))
        assert len(slipped(sheet(low, asked("asked", "asked = low * 3")), low=54.3)) == 1
    assert not slipped(sheet(LOW, asked("asked", "asked = 1 / (low - 10)")), low=54.3)


def test_a_slip_of_a_word_is_no_number_and_goes_nowhere():
    word = Choice("kind", "?", options={"a": "", "b": ""}, expected=lambda g, a: "a")
    exercise = sheet(word, LOW, asked("asked", "asked = low * 3 if kind == 'a' else 1"))
    assert len(slipped(exercise, kind="a", low=54.3)) == 1


@pytest.mark.parametrize(
    ("own", "wide"),
    [
        (20.0, TWO),
        (5.0, TWO),
        (100.0, TEN.format(10)),
        (1.0, TEN.format(10)),
        (1000.0, TEN.format(100)),
        (10_000.0, TEN.format(1000)),
        (0.01, TEN.format(1000)),
        (47.0, ""),
        (0.0, ""),
    ],
)
def test_what_fits_a_slip_in_an_earlier_answer_besides_is_the_factor_that_it_makes(own, wide):
    (found,) = slipped(sheet(LOW, asked("asked", "asked = low * 3")), low=own)
    assert found.wide == wide


def test_a_slip_that_gives_another_number_of_the_question_may_be_that_number():
    exercise = sheet(LOW, asked("asked", "asked = low * 3"), near=Fixed(10.0, "Ω"))
    assert [one.wide for one in slipped(exercise, low=54.3)] == ["{near} stands in place of {low}"]
    twice = sheet(LOW, asked("asked", "asked = low * 3"), near=Fixed(10.0, "Ω"), far=Fixed(10.0, "s"))
    assert [one.wide for one in slipped(twice, low=54.3)] == [""]


def rounded(exercise, **before):
    return {one.what: (one.value, one.rank) for one in tried(exercise, **before) if one.family == "rounded"}


def test_a_value_on_the_way_or_an_earlier_answer_may_be_rounded_to_up_to_three_figures():
    exercise = sheet(LOW, asked("asked", "half = low / 3.7\nasked = half * 7"))
    assert rounded(exercise, low=54.37) == {
        "{low} is rounded to 1 figure on the way": (pytest.approx(50 / 3.7 * 7), 1),
        "{low} is rounded to 2 figures on the way": (pytest.approx(54 / 3.7 * 7), 1),
        "{low} is rounded to 3 figures on the way": (pytest.approx(54.4 / 3.7 * 7), 1),
        "the half is rounded to 1 figure on the way": (70, 1),
        "the half is rounded to 2 figures on the way": (pytest.approx(15 * 7), 1),
        "the half is rounded to 3 figures on the way": (pytest.approx(14.7 * 7), 1),
    }


def test_nothing_and_words_are_not_rounded():
    exercise = sheet(
        asked("low", "low = near - near"), asked("asked", "kind = 'thin'\nnone = 0\nasked = low + none + near")
    )
    assert rounded(exercise, low=0.0) == {}


def test_between_two_readings_one_of_them_may_be_read_whole():
    """An earlier answer in the unit of a list, and what is counted on from a reading."""
    width = asked("width", "width = 5", "mm")
    exercise = sheet(width, asked("asked", "asked = width * 2 + sum(rows)"))
    assert whole_rows(exercise, width=4.0) == [23.2, 26.4]
    assert whole_rows(exercise, width=10.0) == whole_rows(exercise, width=3.0) == []
    assert whole_rows(sheet(replace(width, unit="s"), exercise.parts[1]), width=4.0) == []
    assert whole_rows(sheet(width, asked("asked", "asked = near * 2 + sum(rows)")), width=4.0) == []
    counted = sheet(asked("asked", "at = rows[1] + near / 100\nasked = at * 2"))
    assert whole_rows(counted) == [9.4, 18.4]
    assert whole_rows(sheet(asked("asked", "at = near / 10\nasked = at * 2 + rows[0]"))) == []
    found = {(one.family, one.rank, one.wide) for one in tried(counted) if one.what == WHOLE_ROWS}
    assert found == {("row", 0, FAMILIES["row"])}


# -- what it may cost


def test_changes_are_tried_until_what_all_may_cost_is_spent():
    lines = "low = 0\nfor x in range(300):\n    low = low + x * near"
    exercise = sheet(asked("asked", f"{lines}\nasked = low * far * many + 7"))
    found = outcome(exercise)
    list(found.variants())
    assert found.left <= 0
    cheap = outcome(sheet(asked("asked", "asked = near * far")))
    before = cheap.left
    list(cheap.variants())
    assert 0 < cheap.left < before


def test_one_change_alone_may_not_cost_much():
    """Twice as many turns are worked out; a thousand times as many are not."""
    exercise = sheet(asked("asked", "asked = 0\nfor x in range(many):\n    asked = asked + near"))
    turns = [round(one.value / 47.3) for one in tried(exercise) if one.what.startswith("{many}")]
    assert {8, 10, 18, 90} <= set(turns)
    assert max(turns) < 1000


@pytest.mark.parametrize(("name", "told"), [("z", "`z`"), ("zz", "`zz`"), ("low", "the low"), ("a_b", "the a b")])
def test_a_name_on_the_way_is_told_as_words_and_a_short_one_as_code(name, told):
    assert plain(name) == told


def test_units_of_one_kind_are_those_of_the_table_of_units():
    """A prefix may be lost between them."""
    for unit in ("mm", "kΩ", "h"):
        for other in units.siblings(unit):
            found = words_of(one=Fixed(1.5, unit), two=Fixed(2.5, other))
            assert found.peers == {"one": ("two",), "two": ("one",)}


def test_a_drawn_word_is_no_value():
    assert words_of(kind=Pick("thin", ("thin", "thick"))).units == {}
