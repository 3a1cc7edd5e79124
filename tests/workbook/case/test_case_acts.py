"""The acts of a case: chances are whole, unsafe acts stop it, and its numbers are those of the bench."""

import itertools

import pytest

from workbook.bench.intake.moisture import user_bake
from workbook.case import acts, board, heating
from workbook.case.acts import Done, Unknown, outcomes, read
from workbook.case.board import Board, Supply
from workbook.stream import Stream

SUPPLY = Supply(220, 325, 4.7)
PLAIN = Board("balls of U1", 1, 0, False, False, "four", False)
DEAD = ["unplug", "discharge 20", "prove dead"]
BARE = [*DEAD, "loosen sink", "remove sink", "hood on"]


def every_act():
    """Yield each act once, with each number it takes at its first and last."""
    for word in acts.WORDS:
        ways = acts.NUMBERS.get(word, ())
        for ends in (0, -1):
            yield " ".join([word, *(str(way[ends]) for way in ways)])


def walked(wanted, one=PLAIN, done=None):
    """Return board and bench after some acts, by the likeliest outcome of each."""
    done = done or Done()
    for act in wanted:
        way = max(outcomes(one, SUPPLY, done, *read(act)), key=lambda way: way.chance)
        one, done = way.board, way.done
    return one, done


def test_every_act_has_a_price_and_every_price_an_act():
    assert set(acts.PRICES) == set(acts.WORDS)


@pytest.mark.parametrize("cause", [*board.CAUSES, board.SOUND, *board.WEAK.values(), board.LOST])
def test_the_chances_of_every_act_are_together_one(cause):
    for copper, low, over, prepared in itertools.product(board.COPPER, (True, False), (0, 100), ([], DEAD, BARE)):
        one = PLAIN._replace(cause=cause, copper=copper, low=low, over=over)
        one, done = walked(prepared, one)
        for act in every_act():
            ways = outcomes(one, SUPPLY, done, *read(act))
            assert sum(way.chance for way in ways) == pytest.approx(1, abs=1e-12), (act, one)
            assert all(way.chance > 0 for way in ways) or act.startswith(("look", "measure", "ask")), act


def test_the_boards_that_come_in_make_one_whole():
    assert sum(chance for _, chance in board.boards()) == pytest.approx(1, abs=1e-12)


UNSAFE = {
    "a hand on a live board": (["remove sink"], "proved dead"),
    "a meter on a live board": (["measure core cold"], "proved dead"),
    "draining while plugged in": (["discharge 20"], "plugged in"),
    "proving while plugged in": (["prove dead"], "plugged in"),
    "unplugged and not drained": (["unplug", "loosen sink"], "proved dead"),
    "drained and not proven": (["unplug", "discharge 60", "loosen sink"], "proved dead"),
    "drained for a second only": (["unplug", "discharge 1", "prove dead", "loosen sink"], "proved dead"),
    "plugged in again by a test": ([*DEAD, "test 5", "look side U1"], "proved dead"),
    "hot air without extraction": ([*DEAD, "loosen sink", "remove sink", "heat U1 320 300 90"], "without extraction"),
    "solvent without extraction": ([*DEAD, "loosen sink", "remove sink", "clean"], "without extraction"),
    "a hand on a hot board": ([*BARE, "heat U1 320 300 90", "clean"], "still hot"),
}


@pytest.mark.parametrize(("way", "words"), UNSAFE.values(), ids=UNSAFE)
def test_an_unsafe_act_stops_the_case_with_the_reason(way, words):
    _, done = walked(way)
    assert words in done.stopped
    _, before = walked(way[:-1])
    assert not before.stopped


@pytest.mark.parametrize("hours", [48, 100])
def test_hot_air_on_a_wet_board_stops_until_it_is_baked_as_long_as_the_table_asks(hours):
    needed = user_bake("3", 1.9e-3, hours).hours
    assert needed in acts.BAKES
    wet = PLAIN._replace(over=hours)
    heat = "heat U1 320 300 90"
    for bakes, dry in (([], False), ([f"bake {needed}"], True), (["bake 5"], False), (["bake 48"], True)):
        _, done = walked([*BARE, *bakes, "cool", heat], wet)
        assert ("wet" in done.stopped) is not dry, bakes


def test_a_rail_that_reads_low_is_never_put_under_power():
    _, done = walked([*DEAD, "test 5"], PLAIN._replace(cause="shorted part"))
    assert "burst" in done.stopped
    _, done = walked([*DEAD, "test 5"], PLAIN._replace(bridged=frozenset({"U2"})))
    assert "burst" in done.stopped


def test_each_rail_is_measured_on_its_own_and_a_short_reads_low_on_its_own_alone():
    """A part on one rail, a bridge under U1 on the core rail, one under U2 on the memory rail: common practice."""
    shorted = PLAIN._replace(cause="shorted part")
    for one, core, memory in (
        (PLAIN, False, False),
        (shorted, True, False),
        (shorted._replace(on_memory=True), False, True),
        (PLAIN._replace(bridged=frozenset({"U1"})), True, False),
        (PLAIN._replace(bridged=frozenset({"U2"})), False, True),
    ):
        assert (one.cold_ohm < 1, one.memory_ohm < 1) == (core, memory)
        assert one.shorted == {rail for rail, low in (("core", core), ("memory", memory)) if low}


def test_a_rail_that_was_never_read_bursts_at_the_first_start_though_the_other_one_is_sound():
    one = PLAIN._replace(cause="shorted part", on_memory=True)
    shown = [way.told for way in outcomes(one, SUPPLY, walked(DEAD, one)[1], "measure core cold")]
    assert all(float(told.split()[-2]) > 1.5 for told in shown)
    assert "burst" in walked([*DEAD, "test 5"], one)[1].stopped


def test_the_capacitor_is_dead_when_its_own_time_constants_say_so():
    """325 V on 220 uF through 4.7 kohm: below 60 V after RC ln(325/60) = 1.75 s, so 2 s do and 1 s does not."""
    assert acts.volts_left(SUPPLY, 1) == pytest.approx(325 * 2.718281828 ** (-1 / 1.034), rel=1e-6)
    for seconds, dead in ((1, False), (2, True)):
        _, done = walked(["unplug", f"discharge {seconds}", "prove dead"])
        assert done.proven is dead
    _, done = walked(["unplug", "discharge 1", "prove dead", "discharge 1", "prove dead"])
    assert done.proven  # what was drained stays drained


def test_refused_acts_cost_nothing_and_change_nothing():
    for act in ("cool", "replace part", "fit sink", "heat U1 320 300 90", "clean"):
        (way,) = outcomes(PLAIN, SUPPLY, Done(), *read(act))
        assert way.told == acts.refused(Done(), read(act)[0]) != ""
        assert (way.board, way.done) == (PLAIN, Done())


def test_a_look_taken_again_tells_the_same_until_something_is_done_to_the_board():
    one, done = walked([*BARE, "measure core cold"])
    (again,) = outcomes(one, SUPPLY, done, "measure core cold")
    assert again.told == "The same as before."
    one, done = walked(["heat U1 320 300 90", "cool"], one, done)
    assert len(outcomes(one, SUPPLY, done, "measure core cold")) > 5
    assert acts.outcomes(one, SUPPLY, done._replace(told=frozenset({"look top"})), "look top")[0].told.startswith("The")


def test_the_meter_reads_within_its_own_limits():
    """0.8 % + 2 counts of 0.1 ohm and 0.1 ohm of contact, each evenly likely: u = sqrt(0.212² + 0.1²) / sqrt(3)."""
    ways = acts.readings(1.5)
    mean = sum(share * shown for share, shown in ways)
    spread = sum(share * (shown - mean) ** 2 for share, shown in ways) ** 0.5
    assert mean == pytest.approx(1.5, abs=0.005)
    assert spread == pytest.approx(((0.212**2 + 0.1**2) / 3 + 0.1**2 / 12) ** 0.5, rel=0.02)  # and the display step


def test_a_warm_rail_of_silicon_falls_by_half_in_ten_kelvin_and_a_metal_short_does_not():
    """Leakage doubles every 10 K (rule of the trade, second-hand in shorts.toml); V_T rises by 308/298."""
    assert acts.rail_ohm(("sound", 2.4), True) == pytest.approx(2.4 / 2 * 308.15 / 298.15, rel=0.03)
    assert acts.rail_ohm(("dead U1", 1.5), True) < 0.55 * 1.5
    assert acts.rail_ohm(("shorted part", 0.3), True) > 0.75 * 0.3


def test_a_tilted_sink_is_too_hot_and_a_flush_one_is_not():
    """45 °C + 40 W x (1.2 K/W + 0.05 mm / (3 W/m/K x 14 mm x 14 mm)) = 96.4 °C, by hand."""
    assert acts.junction_c(tilted=False) == pytest.approx(45 + 40 * (1.2 + 5e-5 / (3 * 0.014**2)), abs=0.05)
    assert acts.junction_c(tilted=True) > acts.JUNCTION_AT_MOST_C + 1 > acts.junction_c(tilted=False) + 2


def test_reballing_takes_three_heats_and_a_new_package_begins_anew():
    one, _ = walked([*BARE, "reball U1 320 300 90"])
    assert one.heats_1 == PLAIN.heats_1 + 3 > acts.MOST_HEATS
    one, _ = walked([*BARE, "replace U1 320 300 90"], PLAIN._replace(heats_1=3))
    assert one.heats_1 == 1


def test_a_heat_too_cool_melts_nothing_and_still_counts_where_joints_began_to_melt():
    cool, _ = walked([*BARE, "heat U1 280 260 30"])
    assert (cool.cause, cool.heats_1) == ("balls of U1", 1)
    assert heating.heated("four", 320, 280, 60).counts
    begun, _ = walked([*BARE, "heat U1 320 280 60"])
    assert (begun.cause, begun.heats_1) == ("balls of U1", 2)


def every_way(act, one, done):
    """Return the boards an act may leave, each with its chance, and all it may tell."""
    ways = outcomes(one, SUPPLY, done, *read(act))
    boards = {}
    for way in ways:
        boards[way.board] = boards.get(way.board, 0.0) + way.chance
    return boards, {way.told for way in ways}


def likely(boards, cause):
    return sum(chance for one, chance in boards.items() if one.cause == cause)


GOOD = "320 300 90"


def test_a_weak_joint_is_mended_where_it_is_and_nowhere_else():
    """By the table of the sheet: a reflow makes an inner joint weak with 40 % and never sound."""
    _, done = walked([*BARE, "bead U1"])
    inner = PLAIN._replace(cause="inside U1")
    boards, _ = every_way(f"heat U1 {GOOD}", inner, done)
    assert likely(boards, "weak: inside U1") == pytest.approx(0.4)
    assert likely(boards, board.SOUND) == 0
    for act, cause in (
        ("heat U1", "weak: inside U1"),
        ("reball U1", "weak: inside U1"),
        ("heat U2", "weak: balls of U1"),
        ("heat U2", "weak: inside U1"),
        ("heat U1", "weak: balls of U2"),
        ("replace U1", "weak: balls of U2"),
        ("heat U1", "weak: shorted part"),
    ):
        boards, _ = every_way(f"{act} {GOOD}", PLAIN._replace(cause=cause), done)
        assert likely(boards, board.SOUND) == 0, (act, cause)
    boards, _ = every_way(f"heat U2 {GOOD}", PLAIN._replace(cause="weak: balls of U2"), done)
    assert likely(boards, board.SOUND) == pytest.approx(0.8)


@pytest.mark.parametrize("job", ["replace U1", "reball U1"])
def test_a_package_whose_balls_do_not_melt_does_not_lift(job):
    """No new package, no new balls, no new count of heats, the bridge and the cause as they were; and it is told."""
    _, done = walked([*BARE, "bead U1"])
    one = PLAIN._replace(heats_1=3, bridged=frozenset({"U1"}))
    boards, told = every_way(f"{job} 280 260 30", one, done)
    assert list(boards) == [one._replace(residue=True)]
    assert all(words.startswith("The package does not lift") for words in told)
    boards, told = every_way(f"{job} {GOOD}", one, done)
    assert one._replace(residue=True) not in boards
    assert not any("lift" in words for words in told)


def test_only_a_package_that_had_one_more_heat_is_spoiled_by_a_heat_too_many():
    _, done = walked(BARE)
    worn = PLAIN._replace(cause=board.SOUND, heats_1=4)
    assert likely(every_way(f"heat U2 {GOOD}", worn, done)[0], "dead U1") == 0
    assert likely(every_way("heat U1 280 260 30", worn, done)[0], "dead U1") == 0
    assert likely(every_way(f"heat U1 {GOOD}", worn, done)[0], "dead U1") == pytest.approx(0.4)


def test_a_bridge_is_cleared_by_heat_over_its_own_package_alone():
    _, done = walked([*BARE, "bead U1"])
    one = PLAIN._replace(bridged=frozenset({"U1"}))

    def cleared(act):
        return sum(chance for left, chance in every_way(act, one, done)[0].items() if "U1" not in left.bridged)

    assert cleared(f"heat U2 {GOOD}") == 0
    assert cleared("heat U1 280 260 30") == 0
    for job in ("heat U1", "replace U1", "reball U1"):
        assert cleared(f"{job} {GOOD}") == pytest.approx(0.96)


def test_torn_lands_are_not_mended_by_more_heat_and_a_new_package():
    _, done = walked(BARE)
    for act in ("heat U1 340 320 120", f"replace U1 {GOOD}"):
        boards, _ = every_way(act, PLAIN._replace(cause=board.LOST, heats_1=4), done)
        assert {left.cause for left in boards} == {board.LOST}


def test_a_board_out_of_the_oven_is_hot():
    _, done = walked([*BARE, "bake 17", "bead U1"])
    assert "still hot" in done.stopped
    _, done = walked([*BARE, "bake 17", "cool", "bead U1"])
    assert not done.stopped


def test_a_package_that_is_cooked_is_dead():
    one, _ = walked([*BARE, "heat U1 340 320 120"])
    assert one.cause == "dead U1"


def test_a_heavy_board_needs_to_know_whether_the_plate_is_cool():
    """No programme suits an eight-layer board on both stations; on a two-layer and a four-layer board several do."""
    for copper, some in (("two", True), ("four", True), ("eight", False)):
        fitting = [
            (plate, gas, hold)
            for plate, gas, hold in itertools.product(*heating.SETTINGS)
            if all(
                (heat := heating.heated(copper, plate - cooler, gas, hold)).melted
                and not heat.cooked
                and not heat.spilled
                for cooler in (0, heating.PLATE_STEP)
            )
        ]
        assert bool(fitting) is some


def test_more_heat_is_never_cooler():
    for copper in heating.COPPER:
        for plate, gas, hold in itertools.product(heating.PLATES_C[:-1], heating.GASES_C[:-1], heating.HOLDS[:-1]):
            here = heating.heated(copper, plate, gas, hold)
            for more in ((plate + 20, gas, hold), (plate, gas + 20, hold), (plate, gas, hold + 30)):
                hotter = heating.heated(copper, *more)
                assert hotter.coldest_c > here.coldest_c
                assert hotter.top_c > here.top_c
                assert hotter.neighbour_c > here.neighbour_c


@pytest.mark.slow
def test_the_table_of_heats_is_what_the_quick_model_gives():
    lines = {tuple(line[:3]): line[3:] for line in heating.worked_out("four")}
    for programme, found in lines.items():
        held = heating.heated("four", *programme)
        assert found == pytest.approx(list(held), abs=0.2), programme  # half a step of the table, and another BLAS


def test_acts_are_read_in_any_case_and_a_near_miss_is_named():
    assert read("Heat u1  320 300 90") == ("heat U1", (320, 300, 90))
    with pytest.raises(Unknown, match="Did you mean 'unplug'"):
        read("unplugg")


@pytest.mark.parametrize(
    "line", ["", "fly", "heat U1", "heat U1 321 300 90", "unplug 3", "bake 6", "look top; unplug", 7, None, "x" * 5000]
)
def test_what_is_no_act_is_told(line):
    with pytest.raises(Unknown):
        read(line)


def test_no_last_digit_decides_a_pick():
    for seed in range(300):
        ways = [(0.3, "a"), (0.7, "b")]
        nudged = [(0.3 + 1e-9, "a"), (0.7 - 1e-9, "b")]
        stream = str(seed).encode()
        assert board.picked(Stream(stream, "x"), ways)[1] == board.picked(Stream(stream, "x"), nudged)[1]
