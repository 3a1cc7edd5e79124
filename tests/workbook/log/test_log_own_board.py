"""`workbook log --board`: what is wrong with a board file or a log is one line; what is right is said in plain lines.

The log is invented: made by the quick board at parameters drawn from the priors, with noise.
"""

from unicodedata import normalize

import numpy as np
import pytest
from click.testing import CliRunner

from workbook.bench.profile.board_station import MEDIUM, Programme
from workbook.bench.profile.own_board import Bead, OwnBoard, Trial
from workbook.bench.profile.own_fit import Readings
from workbook.cli import main
from workbook.log import board_file
from workbook.problems import Problem
from workbook.references import value

PROGRAMME = Programme.from_choices(330.0, 270.0, hold=60.0, soak=90.0)
BEADS = (Bead("package top"), Bead("joint corner", "soldered"), Bead("board bottom"))
SECONDS = np.arange(0.0, 390.0)


@pytest.fixture(scope="module")
def channels():
    """Return what three beads read on an invented board, once a second [°C]."""
    random = np.random.default_rng(21)
    own = OwnBoard(MEDIUM, BEADS)
    readings = Readings(own, [Trial(PROGRAMME, (SECONDS,) * 3, (), (0.2,) * 3)])
    read = readings.model(0.7 * random.normal(size=len(readings.unknowns)))
    return np.round(read.reshape(3, -1) + 0.2 * random.normal(size=(3, SECONDS.size)), 1)


def csv(channels, comma=False, cut=None):
    rows = ["time [s];TC1 [°C];TC2 [°C];TC3 [°C]"]
    for second, *values in zip(SECONDS[:cut], *channels, strict=False):
        line = ";".join([f"{second:.0f}", *(f"{one:.1f}" for one in values)])
        rows.append(line.replace(".", ",") if comma else line)
    return "\n".join(rows)


def said(tmp_path, log, board=board_file.TEMPLATE):
    (tmp_path / "log.csv").write_text(log, encoding="utf-8")
    (tmp_path / "board.toml").write_text(board, encoding="utf-8")
    arguments = ["log", str(tmp_path / "log.csv"), "--board", str(tmp_path / "board.toml")]
    return CliRunner().invoke(main, arguments)


@pytest.fixture(scope="module")
def whole(tmp_path_factory, channels):
    board = board_file.TEMPLATE.replace("made_up = false", "made_up = true") + (
        "\n[next]\nplate_c = 345\ngas_c = 285\nsoak_s = 90\nhold_s = 60\n"
    )
    return said(tmp_path_factory.mktemp("whole"), csv(channels), board)


@pytest.mark.slow
def test_a_log_is_fitted_foreseen_and_planned_in_eighty_columns(whole):
    assert whole.exit_code == 0, whole.output
    for words in (
        "The log is made up.",
        "Nothing in the log speaks against it.",
        "What the log tells",
        "It tells nothing of:",
        "The programme you have in mind (plate 345 °C, gas 285 °C, soak 90 s, hold 60 s)",
        "Each limit, with its own margin",
        "one more bead: joint centre",
        "one more trial",
        "Nothing left this machine.",
    ):
        assert words in whole.output, words
    assert max(map(len, whole.output.splitlines())) <= 80
    boards = value("profile", "own_board_tried")[0]
    assert f"Tried on {boards:g} simulated boards" in " ".join(whole.output.split())


def test_each_limit_stands_on_a_line_of_its_own_with_its_chance(whole):
    lines = [line for line in whole.output.splitlines() if "at least" in line or "at most" in line]
    assert len(lines) == 2 * 6  # the programme in mind and the one proposed
    assert all("%" in line for line in lines)


def test_a_log_with_decimal_commas_says_the_same(tmp_path, channels, whole):
    board = board_file.TEMPLATE.replace("made_up = false", "made_up = true").replace("1.6", "1,6", 1) + (
        "\n[next]\nplate_c = 345\ngas_c = 285\nsoak_s = 90\nhold_s = 60\n"
    )
    again = said(tmp_path, csv(channels, comma=True), board.replace("thickness_mm = 1.6", "thickness_mm = 1,6"))
    assert again.output == whole.output


def test_a_log_the_model_cannot_explain_gets_no_interval(tmp_path, channels):
    draught = channels - np.where((SECONDS > 180) & (SECONDS < 220), 40 * np.sin((SECONDS - 180) * np.pi / 40), 0)
    result = said(tmp_path, csv(draught))
    assert result.exit_code == 0
    assert "Does the model explain the log? No: no interval is given." in result.output
    assert "9 in 10" not in result.output
    assert "Look first at TC2, which departs most" in " ".join(result.output.split())
    assert "intervals promise" not in result.output


LINES = {
    "missing part": ("[[trial]]", "[[trail]]", "unknown part 'trail'"),
    "unknown key": ("thickness_mm", "thicknes_mm", "unknown key 'thicknes_mm': is thickness_mm meant?"),
    "metres for millimetres": ("length_mm = 300", "length_mm = 0.3", "length_mm in [board] must be from 60 to 600 mm"),
    "micrometres": ("thickness_mm = 1.6", "thickness_mm = 1600", "thickness_mm in [board] must be from 0.4 to 5 mm"),
    "kelvin": ("gas_c = 270", "gas_c = 27000", "gas_c in [trial] must be from 20 to 600 °C"),
    "a word for a number": ("width_mm = 200", 'width_mm = "wide"', "width_mm in [board] must be a number (got 'wide')"),
    "yes for a number": ("width_mm = 200", "width_mm = true", "width_mm in [board] must be a number (got true)"),
    "not a number": ("width_mm = 200", "width_mm = nan", "width_mm in [board] must be a number (got nan)"),
    "half a layer": ("copper_layers = 4", "copper_layers = 4.5", "copper_layers in [board] must be a whole number"),
    "no layers": ("copper_layers = 4 ", "# ", "needs copper_layers or conductivity_along_w_mk"),
    "no thickness": ("thickness_mm = 1.6", "", "[board] has no thickness_mm"),
    "no hold": ("hold_s = 60 ", "# ", "[trial] has no hold_s"),
    "unknown place": ('"joint corner"', '"the corner"', "place of bead 'TC2' is 'the corner'"),
    "unknown seat": ('"soldered"', '"wedged"', "seat of bead 'TC2' is 'wedged'"),
    "two beads at one place": ('"joint corner"', '"package top"', "two beads sit at package top"),
    "a column that is not there": ('"TC3"', '"TC9"', "has no column 'TC9' of temperatures"),
    "package as wide as the board": ("width_mm = 200", "width_mm = 34", "there is no such board"),
    "not TOML": ("[board]", "[board", "cannot be read as TOML"),
    "made up by whom": ("made_up = false", 'made_up = "no"', "made_up must be true or false"),
    "starts after the log": ("start_s = 0", "start_s = 360", "too short to tell anything"),
    "400 digits": ("width_mm = 200", f"width_mm = {'9' * 400}", "a number with too many digits"),
    "5000 digits": ("width_mm = 200", f"width_mm = {'9' * 5000}", "a number with too many digits"),
    "many digits of a hexadecimal number": ("width_mm = 200", f"width_mm = 0x{'f' * 6000}", "too many digits"),
    "400 digits of a switch": ("made_up = false", f"made_up = {'9' * 400}", "a number with too many digits"),
    "1.09 or 1090 s": ("soak_s = 90", "soak_s = 1,090", "soak_s = 1,090 is not clear"),
    "1.09 or 1090 s in quotes": ("soak_s = 90", 'soak_s = "1,090"', "soak_s = 1,090 is not clear"),
    "centimetres by name": ("length_mm = 300", "length_cm = 30", "unknown key 'length_cm': is length_mm meant?"),
    "a share for percent": ("chance_percent = 90", "chance_percent = 0.9", "must be from 50 to 99 %"),
    "room in kelvin": ("room_c = 25", "room_c = 298", "room_c in [board] must be from 5 to 40 °C (got 298)"),
    "Fahrenheit": ("plate_c = 330", "plate_c = 626", "plate_c in [trial] must be from 20 to 600 °C (got 626)"),
    "below nothing": ("width_mm = 200", "width_mm = -200", "must be from 30 to 500 mm (got -200)"),
    "without end": ("width_mm = 200", "width_mm = inf", "width_mm in [board] must be a number (got inf)"),
    "two numbers": ("width_mm = 200", "width_mm = [200, 201]", "must be a number (got [200, 201])"),
    "a date": ("width_mm = 200", "width_mm = 2026-11-29", "width_mm in [board] must be a number"),
    "a unit in quotes": ("width_mm = 200", 'width_mm = "200 mm"', "must be a number (got '200 mm')"),
    "a unit without quotes": ("width_mm = 200", "width_mm = 200 mm", "cannot be read as TOML"),
    "commas for blanks": ("width_mm = 200", "width_mm = 20,0,0", "cannot be read as TOML"),
    "a colon": ("width_mm = 200", "width_mm: 200", "cannot be read as TOML"),
    "said twice": ("width_mm = 200", "width_mm = 200\nwidth_mm = 210", "cannot be read as TOML"),
    "a quote left open": ('"package top"', '"package top', "cannot be read as TOML"),
    "curly quotes": ('"TC1" =', "“TC1” =", "cannot be read as TOML"),
    "nested without end": ("width_mm = 200", f"width_mm = {'[' * 5000}", "too deeply nested"),
    "a part that is a number": ("[station]", "station = 5\n[beads2]", "unknown"),
    "a bead that is a word": ('{ place = "package top", seat = "glued" }', '"package top"', "bead 'TC1' must be such"),
    "a bead without a place": ('place = "package top", ', "", "bead 'TC1' must be such"),
    "a bead's unknown key": ('seat = "soldered"', 'held = "soldered"', "bead 'TC2' has an unknown key 'held'"),
    "a place that is a number": ('place = "package top"', "place = 5", "place of bead 'TC1' is 5"),
    "a list of beads": ("[beads]", "[[beads]]", "has no [beads]"),
    "a file for the first trial": ("start_s = 0", 'file = "a.csv"\nstart_s = 0', "the first trial has a file"),
    "two kinds of programme": ("soak_s = 90", "lift_off_s = 200\nsoak_s = 90", "has lift_off_s and also plate_c"),
    "layers and conductivity": (
        "copper_layers = 4",
        "conductivity_along_w_mk = 15\ncopper_layers = 4",
        "one of them only",
    ),
    "joints that find no room": ("# joints_per_side = 31", "joints_per_side = 80", "there is no such board"),
    "a limit in words": ("hottest_joint_at_most_c = 245", 'hottest_joint_at_most_c = "none"', "must be a number"),
    "limits at odds": ("coldest_joint_at_least_c = 230", "coldest_joint_at_least_c = 250", "leave nothing between"),
    "half a programme ahead": ("# [next]", "[next]", "[next] has no plate_c"),
    "chance of more than all": ("chance_percent = 90", "chance_percent = 120", "must be from 50 to 99 %"),
}


@pytest.mark.parametrize("name", LINES)
def test_what_is_wrong_in_a_board_file_is_one_line_and_a_tip(tmp_path, channels, name):
    old, new, words = LINES[name]
    assert old in board_file.TEMPLATE
    result = said(tmp_path, csv(channels), board_file.TEMPLATE.replace(old, new, 1))
    assert result.exit_code == 1, result.output
    errors = [line for line in result.output.splitlines() if line.startswith("ERROR")]
    assert len(errors) == 1
    assert words in errors[0]
    assert "Traceback" not in result.output


def test_a_log_that_is_too_short_is_refused(tmp_path, channels):
    result = said(tmp_path, csv(channels, cut=40))
    assert result.exit_code == 1
    assert "too short to tell anything about a board" in result.output


def test_a_bead_that_never_warmed_is_refused(tmp_path, channels):
    cold = channels.copy()
    cold[2] = 25.0 + 0.1 * (np.arange(SECONDS.size) % 2)
    result = said(tmp_path, csv(cold))
    assert result.exit_code == 1
    assert "'TC3' changes by 0 K in the trial" in result.output


BYTES = {
    "empty": (b"", "is empty"),
    "blank": (b" \n\t\n", "is empty"),
    "huge": (b"#" * 200_000, "too large"),
    "UTF-16": (board_file.TEMPLATE.encode("utf-16"), "no text in UTF-8"),
    "an old encoding": (board_file.TEMPLATE.encode("cp1252", "replace"), "no text in UTF-8"),
    "an archive": (b"PK\x03\x04" + bytes(range(256)), "no text in UTF-8"),
    "a zero byte": (board_file.TEMPLATE.encode() + b"\0", "cannot be read as TOML"),
    "remarks only": (b"# a board\n", r"\[board\] has no length_mm"),
}


@pytest.mark.parametrize("name", BYTES)
def test_a_file_of_other_bytes_is_refused(tmp_path, name):
    content, words = BYTES[name]
    place = tmp_path / "board.toml"
    place.write_bytes(content)
    with pytest.raises(Problem, match=words):
        board_file.read(place)


def test_a_file_that_is_not_there_or_a_folder_is_refused(tmp_path):
    with pytest.raises(Problem, match="is not there"):
        board_file.read(tmp_path / "board.toml")
    with pytest.raises(Problem, match="is no file"):
        board_file.read(tmp_path)


@pytest.mark.parametrize("how", [lambda text: "\ufeff" + text, lambda text: text.replace("\n", "\r\n")])
def test_a_file_from_another_system_is_the_same_board(tmp_path, how):
    place = tmp_path / "board.toml"
    place.write_bytes(how(board_file.TEMPLATE).encode())
    assert board_file.read(place) == board_file.parse(board_file.TEMPLATE)


@pytest.mark.parametrize(("log", "board"), [("NFC", "NFD"), ("NFD", "NFC")])
def test_a_column_is_the_same_however_a_system_writes_its_accents(tmp_path, channels, log, board):
    """An é is one sign on most systems, and e with an accent that is joined to it on others: they look the same."""
    columns = csv(channels, cut=20).replace("TC1", normalize(log, "pièce"))
    result = said(tmp_path, columns, board_file.TEMPLATE.replace("TC1", normalize(board, "pièce")))
    assert "too short to tell" in result.output


def test_two_columns_of_the_same_name_are_refused():
    one, other = (f'"{normalize(form, "é")}" = ' for form in ("NFC", "NFD"))
    both = f'{one}{{ place = "joint edge" }}\n{other}{{ place = "joint centre" }}'
    with pytest.raises(Problem, match="the same name"):
        board_file.parse(board_file.TEMPLATE.replace("[beads]", f"[beads]\n{both}"))


def test_a_programme_of_break_points_is_that_programme():
    text = board_file.TEMPLATE
    for line in ("plate_c = 330", "gas_c = 270", "soak_s = 90", "hold_s = 60"):
        text = text.replace(line, "# " + line, 1)
    for line in ("# plate = [[0", "# gas = [[150", "# lift_off_s"):
        text = text.replace(line, line[2:], 1)
    trial = board_file.parse(text).trials[0]
    assert trial.programme.bottom_plate_c == ((0, 25), (60, 330), (300, 330), (301, 25))
    assert trial.programme.lift_off == 270
    assert trial.programme.duration == 390


@pytest.mark.parametrize(
    "plate",
    ["5", '"hot"', "[[0, 25], [60]]", "[[0, 25], [60, true]]", "[]", "[[60, 25], [0, 300]]", f"[[0, {'9' * 400}]]"],
)
def test_break_points_that_are_none_are_refused(plate):
    text = board_file.TEMPLATE.replace("plate_c = 330", f"plate = {plate}\ngas = [[100, 100]]\nlift_off_s = 200", 1)
    for line in ("gas_c = 270", "soak_s = 90", "hold_s = 60"):
        text = text.replace(line, "# " + line, 1)
    with pytest.raises(Problem):
        board_file.parse(text)


@pytest.mark.parametrize(("written", "mm"), [("0,813", 0.813), ("1,6", 1.6), ("1,5748", 1.5748)])
def test_a_comma_that_can_part_no_thousands_is_a_decimal_one(written, mm):
    board = board_file.parse(board_file.TEMPLATE.replace("thickness_mm = 1.6", f"thickness_mm = {written}"))
    assert board.bench.thickness == pytest.approx(mm / 1e3)


def test_a_second_trial_has_a_file_of_its_own():
    second = "\n[[trial]]\nplate_c = 340\ngas_c = 280\nsoak_s = 90\nhold_s = 60\n"
    with pytest.raises(Problem, match="trial 2 has no file"):
        board_file.parse(board_file.TEMPLATE + second)
    with pytest.raises(Problem, match="file in .* must be a name"):
        board_file.parse(board_file.TEMPLATE + second + 'file = "a\\u0000b"\n')
    two = board_file.parse(board_file.TEMPLATE + second + 'file = "second.csv"\n').trials
    assert [trial.file is not None for trial in two] == [False, True]


def test_the_template_is_written_once_and_is_a_board(tmp_path):
    place = tmp_path / "board.toml"
    first = CliRunner().invoke(main, ["log", "--new-board", str(place)])
    assert first.exit_code == 0, first.output
    board = board_file.read(place)
    assert board.bench.thickness == pytest.approx(1.6e-3)
    assert board.bench.conductivity_along == MEDIUM.conductivity_along
    again = CliRunner().invoke(main, ["log", "--new-board", str(place)])
    assert again.exit_code == 1
    assert "is there already" in again.output


def test_limits_that_are_not_given_are_those_of_the_references():
    text = board_file.TEMPLATE[: board_file.TEMPLATE.index("[limits]")]
    assert board_file.parse(text).limits[0].low == 230
    assert len(board_file.parse(text).limits) == 6
