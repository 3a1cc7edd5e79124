"""The whole board as an exercise: safe, evident, sound ways earn; luck, habits and other people's lists do not."""

from statistics import mean

import pytest

from graders import sheets
from graders.demo import case_habits, learners
from graders.judging.judge import Answers, judge_part
from graders.sheets.signoff import bench
from tests.yardstick import millions_counted
from workbook.case import acts as case_acts
from workbook.case import belief, board, deciding, heating, search, ways
from workbook.case.playing import play

BENCH = sheets.find("signoff", "board-on-the-bench")
SEEDS = range(300, 340)


def earned(seed, acts):
    """Return the verdict on acts for a case."""
    return judge_part(BENCH, "job", BENCH.worked() | {"seed": seed}, Answers({"job": acts}))


def list_of(way, seed):
    return [step.act for step in way(seed).steps]


def test_the_best_way_earns_all_on_every_board_also_where_luck_is_against_it():
    ends = set()
    for seed in range(60):
        acts = list_of(ways.best_way, seed)
        verdict = earned(seed, acts)
        assert verdict.points == 12, (seed, verdict.remark)
        ends.add(acts[-1])
    assert ends == {"return repaired", "return unrepaired", "refuse"}


def test_habits_earn_little():
    """A case that is stopped earns nothing; one refused that was worth working neither."""
    heated = [earned(seed, list_of(ways.heat_at_once, seed)).points for seed in SEEDS]
    refused = [earned(seed, list_of(ways.refuse_everything, seed)).points for seed in SEEDS]
    measured = [earned(seed, list_of(ways.measure_everything, seed)).points for seed in SEEDS]
    assert mean(heated) < 1.5
    assert mean(refused) < 1.5
    assert 6 < mean(measured) < 10  # looks are no fault; that it works nothing out and stops after one repair is


def test_a_list_worked_on_somebody_elses_board_does_not_earn_what_it_earned_there():
    own = mean(earned(seed, list_of(ways.best_way, seed)).points for seed in SEEDS)
    others = mean(earned(seed, list_of(ways.best_way, seed + 1)).points for seed in SEEDS)
    assert others < 0.75 * own


def test_judging_a_board_takes_a_fraction_of_a_second_where_nothing_is_warm():
    """One judging with every table and every point of the search forgotten: a fifth of a second on a quiet machine."""
    acts = list_of(ways.best_way, 117)

    def judged_cold(one):
        for kept in (search.best, heating._table, belief.before, board.boards, case_acts.readings, case_acts.normal):
            kept.cache_clear()
        earned(117, one)

    for one in (acts, ["refuse"], acts[:-1] + ["return unrepaired"]):
        assert millions_counted(lambda one=one: judged_cold(one)) < 12


def test_who_tears_lands_with_a_sink_held_fast_is_judged_like_everybody_else():
    """Everybody knows then that the board is beyond repair: sent back as it is, no choice after that lost anything."""
    acts = list_of(ways.best_way, 117)
    start = acts[: acts.index("remove sink") + 1]
    start.remove("loosen sink")
    torn = [seed for seed in range(40) if "torn" in play(seed, start).steps[-1].told]
    assert len(torn) > 2
    for seed in torn:
        back = earned(seed, [*start, "tell findings", "tell limits", "return unrepaired"])
        sold = earned(seed, [*start, "tell findings", "tell limits", "return repaired"])
        assert "failed" not in back.flag + sold.flag
        assert back.points > 8
        assert sold.points < 1


def test_an_unsafe_act_earns_nothing_whatever_else_was_done():
    acts = list_of(ways.best_way, 117)
    for place in range(3, len(acts) - 1):
        if acts[place] in ("prove dead", "cool", "hood on"):
            verdict = earned(117, acts[:place] + acts[place + 1 :])
            assert verdict.points == 0
            assert verdict.remark.startswith("Stopped at act")


def test_a_case_that_is_not_closed_earns_nothing_and_says_so():
    acts = list_of(ways.best_way, 117)
    for cut in (0, 1, 10, len(acts) - 1):
        verdict = earned(117, acts[:cut])
        assert verdict.points == 0
        assert "not closed" in verdict.remark


@pytest.mark.parametrize(
    "acts", [["fly"], ["look top"] * 5000, ["heat U1"], ["look top\x00"], ["x" * 2000], ["discharge 99999999999"]]
)
def test_what_cannot_be_played_is_told_and_earns_nothing(acts):
    verdict = earned(117, acts)
    assert verdict.points == 0
    assert "Nothing was played" in verdict.remark


def test_each_act_of_evidence_left_out_costs_and_is_named():
    acts = list_of(ways.best_way, 117)
    for act, gate in (("look bottom", "past"), ("bead U1", "bead"), ("check flush", "flush"), ("tell limits", "told")):
        verdict = earned(117, [one for one in acts if one != act])
        assert 0 < verdict.points < 12
        assert gate in verdict.flag


@pytest.mark.parametrize("word", case_acts.GROUPS["Work out"])
def test_a_sum_left_out_or_copied_from_another_board_costs_and_is_named(word):
    acts = list_of(ways.best_way, 117)
    name = next(one.name for one in play(117, acts).sums if one.word == word)
    assert name in earned(117, [one for one in acts if not one.startswith(word)]).flag
    assert name in earned(117, [f"{word} 45" if one.startswith(word) else one for one in acts]).flag


def test_every_limit_is_told_with_its_own_margin():
    verdict = earned(117, list_of(ways.best_way, 117))
    assert len(verdict.margins) == 8
    for margin in verdict.margins:
        assert margin.told() in verdict.remark


@pytest.mark.slow
def test_the_mark_does_not_hang_on_what_was_hidden_but_on_what_could_be_known():
    """Two boards that tell the same until the end earn the same, though one was sound inside and the other was not."""
    told = {}
    acts = ["ask history", "look top", "look bottom", "unplug", "discharge 20", "prove dead", "measure core cold"]
    acts += ["tell findings", "tell limits", "refuse"]
    for seed in range(400):
        played = play(seed, acts)
        key = tuple(step.told for step in played.steps)
        told.setdefault(key, set()).add((earned(seed, acts).points, played.hidden.cause))
    alike = [found for found in told.values() if len({cause for _, cause in found}) > 1]
    assert len(alike) > 10
    assert all(len({points for points, _ in found}) == 1 for found in alike)


OPEN = ["ask history", "look top", "look bottom", "unplug", "discharge 20", "prove dead", "measure core cold"]
BARE = [*OPEN, "loosen sink", "remove sink", "hood on", "bake 48", "cool"]
TOLD = ["tell findings", "tell work", "tell limits"]


def test_a_heat_that_can_melt_nothing_loses_what_the_job_would_have_brought():
    """A cold heat before giving up lifts no zero; and it costs though no other choice would have been better."""
    cold = [*BARE, "bead U1", "heat U1 280 260 30", "cool", *TOLD, "return unrepaired"]
    lost = 0
    for seed in SEEDS:
        played = play(seed, cold)
        if deciding.decision(played).lost:
            assert earned(seed, cold).points == 0
            (choice,) = deciding.choices(played, belief.along(played))
            lost += choice.lost > 5
    assert lost > 10


def test_own_boards_are_drawn_for_each_learner_with_the_supply_of_their_seed():
    seeds = set()
    for number in range(12):
        drawn = BENCH.draw(b"secret", f"learner {number}")
        assert (drawn["capacitance"], drawn["volts"], drawn["bleeder"]) == tuple(board.drawn(drawn["seed"])[1])
        seeds.add(drawn["seed"])
    assert len(seeds) == 12


def test_the_text_names_every_chance_and_price_that_decides():
    text = bench.SETUP + " ".join(BENCH.part("job").vocabulary.values())
    for share in board.CHANCES.values():
        assert f"{100 * share:g} %" in text
    for words in ("spoiled with 15 %", "found by its heat with 95 %", "Within 1 K and 10 s", "within 5 credits"):
        assert words in text
    for cells in board.CAUSES.values():
        for share in cells.values():
            assert f"{100 * share:g} %" in text


def test_a_page_is_told_nothing_that_was_not_told():
    g = BENCH.values(BENCH.worked())
    shown = bench.told(g, ["ask history", "look top"])
    assert shown["page"] == []
    assert shown["line"] == ""
    hidden = board.drawn(117)[0]
    assert hidden.cause not in str(shown)
    assert "svg" in shown["drawing"]


def test_every_invented_learner_has_a_way_of_working_a_board_that_can_be_played():
    assert set(case_habits.HABITS) == set(learners.HABITS)
    assert len({words for words, _ in case_habits.HABITS.values()}) == 24
    for _, acts_of in case_habits.HABITS.values():
        assert play(117, acts_of(117)).steps
