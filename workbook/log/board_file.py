"""What a person knows of their board and of the trial that was logged: a TOML file, read or refused in one line."""

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from unicodedata import normalize

import numpy as np

from workbook.bench.profile.board_station import HEAVY, LIGHT, MEDIUM, PLACES, Bench, Programme
from workbook.bench.profile.own_board import SEATS, Bead
from workbook.bench.profile.own_plan import STATION, Choices, Wanted
from workbook.problems import Problem, meant
from workbook.references import table as reference_table
from workbook.references import value
from workbook.references.loader import is_number
from workbook.references.shop import ENDLESS_NUMBER

MOST_BYTES = 100_000
DECIMAL_COMMA = re.compile(r"(?m)^(\s*\w+\s*=\s*-?\d+),(\d+)(\s*(?:#.*)?)$")
UNCLEAR_COMMA = re.compile(r"-?[1-9]\d{0,2},\d{3}")
"""A number of three decimals, or of thousands."""
TIP = "workbook log --new-board board.toml writes one to fill in"
TOML_TIP = "look at that line: numbers stand bare, without their unit; words stand in straight quotes"

TEMPLATE = """\
# What you know of your board and of the trial you logged. It stays on this
# machine. Lengths in mm, temperatures in °C, times in s. 1.6 and 1,6 are both read.
# Lines with # in front are not read: take it away to say more.

made_up = false             # true: the log is invented, and what is printed says so

[board]
length_mm = 300             # along the side on which the neighbours are
width_mm = 200
thickness_mm = 1.6
copper_layers = 4           # 2 to 8
package_side_mm = 35        # one area-array package in the middle of the board
room_c = 25
# joints_per_side = 31
# joint_pitch_mm = 1.1
# conductivity_along_w_mk = 15    # in place of copper_layers, where you know it

[station]
plate_length_mm = 280
plate_width_mm = 180
plate_gap_mm = 20           # from plate to board
plate_at_most_c = 400       # what the station can be set to
gas_at_most_c = 400

[[trial]]                   # the log you name in the command
start_s = 0                 # when in the log the programme started
plate_c = 330               # set point; reached in 60 s
gas_c = 270                 # set point; reached in 60 s, from the nozzle's coming down
soak_s = 90                 # plate alone at its set point, before the nozzle comes down
hold_s = 60                 # at the full gas set point, before the nozzle lifts off
# Another kind of programme: pairs of time and set point, and when the nozzle lifts.
# plate = [[0, 25], [60, 330], [300, 330], [301, 25]]
# gas = [[150, 100], [210, 270]]
# lift_off_s = 270

# [[trial]]                 # a second log of the same board with the same beads
# file = "second.csv"       # beside this file
# plate_c = 340
# gas_c = 280
# soak_s = 90
# hold_s = 60

[beads]                     # column of the log = where it sits, and how it is held
"TC1" = { place = "package top", seat = "glued" }
"TC2" = { place = "joint corner", seat = "soldered" }
"TC3" = { place = "board bottom", seat = "glued" }
# places: package top, joint centre, joint corner, joint edge, board bottom,
#         neighbour at 10 mm, neighbour at 40 mm (parts on the length of the board)
# seats:  soldered, glued, taped

[limits]                    # each is held for itself
chance_percent = 90         # with which each is to hold
coldest_joint_at_least_c = 230
hottest_joint_at_most_c = 245
package_top_at_most_c = 245
neighbour_at_10_mm_at_most_c = 200
coldest_joint_above_liquidus_at_least_s = 60
hottest_joint_above_liquidus_at_most_s = 150

# [next]                    # a programme you have in mind, to be foreseen
# plate_c = 340
# gas_c = 280
# soak_s = 90
# hold_s = 60
"""

RANGES = {
    "length_mm": (60, 600),
    "width_mm": (30, 500),
    "thickness_mm": (0.4, 5),
    "copper_layers": (2, 8),
    "conductivity_along_w_mk": (1, 120),
    "package_side_mm": (8, 60),
    "joints_per_side": (2, 80),
    "joint_pitch_mm": (0.3, 3),
    "room_c": (5, 40),
    "plate_length_mm": (30, 600),
    "plate_width_mm": (30, 600),
    "plate_gap_mm": (2, 100),
    "plate_at_most_c": (100, 600),
    "gas_at_most_c": (100, 600),
    "start_s": (0, 86_400),
    "plate_c": (20, 600),
    "gas_c": (20, 600),
    "soak_s": (0, 1200),
    "hold_s": (0, 600),
    "lift_off_s": (1, 3000),
    "chance_percent": (50, 99),
    "coldest_joint_at_least_c": (100, 300),
    "hottest_joint_at_most_c": (100, 350),
    "package_top_at_most_c": (100, 350),
    "neighbour_at_10_mm_at_most_c": (50, 350),
    "neighbour_at_40_mm_at_most_c": (50, 350),
    "coldest_joint_above_liquidus_at_least_s": (0, 600),
    "hottest_joint_above_liquidus_at_most_s": (1, 900),
}
"""What each number may be; outside it is another unit, or a slip of the pen."""

WHOLE = ("copper_layers", "joints_per_side")
CHOICES = ("plate_c", "gas_c", "soak_s", "hold_s")
BREAK_POINTS = ("plate", "gas", "lift_off_s")
TABLES = {
    "board": (
        "length_mm",
        "width_mm",
        "thickness_mm",
        "copper_layers",
        "conductivity_along_w_mk",
        "package_side_mm",
        "joints_per_side",
        "joint_pitch_mm",
        "room_c",
    ),
    "station": ("plate_length_mm", "plate_width_mm", "plate_gap_mm", "plate_at_most_c", "gas_at_most_c"),
    "trial": ("file", "start_s", *CHOICES, *BREAK_POINTS),
    "limits": (
        "chance_percent",
        "coldest_joint_at_least_c",
        "hottest_joint_at_most_c",
        "package_top_at_most_c",
        "neighbour_at_10_mm_at_most_c",
        "neighbour_at_40_mm_at_most_c",
        "coldest_joint_above_liquidus_at_least_s",
        "hottest_joint_above_liquidus_at_most_s",
    ),
    "next": CHOICES,
}
AT_ODDS = (
    ("coldest_joint_at_least_c", "hottest_joint_at_most_c"),
    ("coldest_joint_above_liquidus_at_least_s", "hottest_joint_above_liquidus_at_most_s"),
)
"""Lower and upper limits of one thing: the hottest joint is never below the coldest, nor shorter above liquidus."""
LONGEST = 3600.0
COOLING = 120.0


@dataclass(frozen=True)
class LoggedTrial:
    """A trial as the file tells it: its programme, when in the log it started [s], and its own file, if it has one."""

    programme: Programme
    start: float
    file: Path | None


@dataclass(frozen=True)
class BoardFile:
    """What a board file says."""

    bench: Bench
    trials: tuple[LoggedTrial, ...]
    beads: Mapping[str, Bead]
    limits: tuple[Wanted, ...]
    chance: float
    station: Mapping[str, tuple[float, float]]
    ahead: Choices | None
    made_up: bool


def write_template(path: Path) -> None:
    """Write a board file to fill in, or raise Problem where one is there."""
    try:
        with path.open("x", encoding="utf-8") as file:
            file.write(TEMPLATE)
    except FileExistsError:
        raise Problem(f"{path} is there already; nothing was written.", "give another name") from None
    except OSError as error:
        raise Problem(f"{path} cannot be written: {error.strerror}.", "give another place") from None


def read(path: Path) -> BoardFile:
    """Return what a board file says, or raise Problem with one line and what to do."""
    if not path.exists():
        raise Problem(f"{path} is not there.", TIP)
    if not path.is_file():
        raise Problem(f"{path} is no file.", TIP)
    try:
        if path.stat().st_size > MOST_BYTES:
            raise Problem(f"{path} is too large for a board file ({path.stat().st_size / 1e3:.0f} kB).", TIP)
        text = path.read_bytes().decode("utf-8-sig")
    except OSError as error:
        raise Problem(f"{path} cannot be read: {error.strerror}.", TIP) from None
    except UnicodeDecodeError:
        raise Problem(f"{path} is no text in UTF-8.", "save it as UTF-8 from your editor") from None
    return parse(text, str(path), path.parent)


def parse(text: str, name: str = "the board file", folder: Path = Path()) -> BoardFile:
    """Return what the text of a board file says, or raise Problem."""
    if not text.strip():
        raise Problem(f"{name} is empty.", TIP)
    if ENDLESS_NUMBER.search(text):
        raise Problem(f"{name} holds a number with too many digits.", TIP)
    try:
        raw = tomllib.loads(DECIMAL_COMMA.sub(lambda found: _with_point(found, name), text))
    except tomllib.TOMLDecodeError as error:
        raise Problem(f"{name} cannot be read as TOML: {error}.", TOML_TIP) from None
    except RecursionError:
        raise Problem(f"{name} cannot be read as TOML: too deeply nested.", TIP) from None
    known = (*TABLES, "beads", "made_up")
    for key in raw:
        if key not in known:
            raise Problem(f"{name} has an unknown part {key!r}: {meant(key, known)}", TIP)
    made_up = raw.get("made_up", False)
    if not isinstance(made_up, bool):
        raise Problem(f"{name}: made_up must be true or false (got {_shown(made_up)}).", TIP)
    parts = {part: _table(raw.get(part, {}), part, name) for part in ("board", "station", "limits")}
    bench = _bench(parts["board"], parts["station"], name)
    ahead = _choices(_table(raw["next"], "next", name), "next", name) if "next" in raw else None
    return BoardFile(
        bench=bench,
        trials=_trials(raw.get("trial"), bench, name, folder),
        beads=_beads(raw.get("beads"), name),
        limits=_limits(parts["limits"], name),
        chance=parts["limits"].get("chance_percent", 90.0) / 100,
        station=_ends(parts["station"]),
        ahead=ahead,
        made_up=made_up,
    )


def _with_point(found: re.Match, name: str) -> str:
    """Return a line that was written with a decimal comma as TOML has it, or raise Problem where it is no clear one."""
    key, _, number = found[1].partition("=")
    _must_be_clear(f"{number.strip()},{found[2]}", key.strip(), name)
    return f"{found[1]}.{found[2]}{found[3]}"


def _must_be_clear(number: str, key: str, name: str) -> None:
    if UNCLEAR_COMMA.fullmatch(number):
        decimals, thousands = number.replace(",", "."), number.replace(",", "")
        raise Problem(f"{name}: {key} = {number} is not clear.", f"write {decimals} or {thousands}, as you mean it")


def _table(table, part: str, name: str) -> dict:
    """Return a part of the file with its numbers as numbers, each in its range."""
    if not isinstance(table, dict):
        raise Problem(f"{name}: [{part}] must be a part of its own with lines below it.", TIP)
    found = {}
    for key, content in table.items():
        if key not in TABLES[part]:
            raise Problem(f"{name}: [{part}] has an unknown key {key!r}: {meant(key, TABLES[part])}", TIP)
        found[key] = _number(content, key, part, name) if key in RANGES else content
    return found


def _number(content, key: str, part: str, name: str) -> float:
    if isinstance(content, str):
        _must_be_clear(content.strip(), key, name)
        try:
            content = float(content.strip().replace(",", "."))
        except ValueError:
            raise Problem(f"{name}: {key} in [{part}] must be a number (got {_shown(content)}).", TIP) from None
    if not is_number(content):
        raise Problem(f"{name}: {key} in [{part}] must be a number (got {_shown(content)}).", TIP)
    low, high = RANGES[key]
    if not low <= content <= high:
        unit = key.rsplit("_", 1)[-1]
        shown = {"mm": " mm", "c": " °C", "s": " s", "mk": " W/mK", "percent": " %"}.get(unit, "")
        raise Problem(
            f"{name}: {key} in [{part}] must be from {low:g} to {high:g}{shown} (got {content:g}).",
            "is it in the unit that its name ends in?",
        )
    if key in WHOLE and content != int(content):
        raise Problem(f"{name}: {key} in [{part}] must be a whole number (got {content:g}).", TIP)
    return float(content)


def _shown(content) -> str:
    """Return what was written as TOML has it, cut where it is long."""
    return str(content).lower() if isinstance(content, bool) else repr(content)[:42]


def _needed(table: dict, keys, part: str, name: str) -> None:
    for key in keys:
        if key not in table:
            raise Problem(f"{name}: [{part}] has no {key}.", TIP)


def _bench(board: dict, station: dict, name: str) -> Bench:
    _needed(board, ("length_mm", "width_mm", "thickness_mm", "package_side_mm"), "board", name)
    if ("copper_layers" in board) == ("conductivity_along_w_mk" in board):
        raise Problem(f"{name}: [board] needs copper_layers or conductivity_along_w_mk, and one of them only.", TIP)
    along = board.get("conductivity_along_w_mk") or float(
        np.interp(board["copper_layers"], (2, 4, 8), [one.conductivity_along for one in (LIGHT, MEDIUM, HEAVY)])
    )
    side, pitch = board["package_side_mm"] / 1e3, board.get("joint_pitch_mm", 1e3 * MEDIUM.joint_pitch) / 1e3
    sizes = {key: board[f"{key}_mm"] / 1e3 for key in ("length", "width", "thickness")}
    plate = {
        key: station[f"{key}_mm"] / 1e3
        for key in ("plate_length", "plate_width", "plate_gap")
        if f"{key}_mm" in station
    }
    try:
        return Bench(
            **sizes,
            **plate,
            conductivity_along=along,
            package_side=side,
            joint_pitch=pitch,
            joints_per_side=int(board.get("joints_per_side", max(2, side / pitch - 1))),
            room_c=board.get("room_c", MEDIUM.room_c),
        )
    except ValueError as error:
        raise Problem(f"{name}: there is no such board: {error}.", "lengths in this line are in metres") from None


def _trials(raw, bench: Bench, name: str, folder: Path) -> tuple[LoggedTrial, ...]:
    raw = [raw] if isinstance(raw, dict) else raw
    if not raw or not isinstance(raw, list):
        raise Problem(f"{name} has no [[trial]]: the programme that was logged.", TIP)
    if len(raw) > 4:
        raise Problem(f"{name} has {len(raw)} trials; four is the most.", "leave the oldest out")
    found = []
    for index, one in enumerate(raw):
        table = _table(one, "trial", name)
        file = table.get("file")
        if (index > 0) != (file is not None):
            what = f"trial {index + 1} has no file" if index else "the first trial has a file"
            raise Problem(
                f"{name}: {what}.", "the first [[trial]] is the log in the command, each further one has a file"
            )
        if file is not None and (not isinstance(file, str) or not file.strip() or "\0" in file):
            raise Problem(f"{name}: file in [[trial]] must be a name in quotes.", TIP)
        found.append(
            LoggedTrial(
                _programme(table, bench, name), table.get("start_s", 0.0), folder / file if file is not None else None
            )
        )
    return tuple(found)


def _choices(table: dict, part: str, name: str) -> Choices:
    _needed(table, CHOICES, part, name)
    return Choices(table["plate_c"], table["gas_c"], table["hold_s"], table["soak_s"])


def _programme(table: dict, bench: Bench, name: str) -> Programme:
    by_points = [key for key in BREAK_POINTS if key in table]
    if not by_points:
        return _choices(table, "trial", name).programme(bench.room_c)
    if any(key in table for key in CHOICES):
        raise Problem(
            f"{name}: [[trial]] has {by_points[0]} and also plate_c, gas_c, soak_s or hold_s.", "give one kind"
        )
    _needed(table, BREAK_POINTS, "trial", name)
    points = {key: _points(table[key], key, name) for key in ("plate", "gas")}
    duration = max(table["lift_off_s"] + COOLING, *(point[0] for one in points.values() for point in one))
    if duration > LONGEST:
        raise Problem(f"{name}: the programme lasts {duration:g} s; {LONGEST:g} s are the most.", "times are in s")
    try:
        return Programme(points["plate"], points["gas"], table["lift_off_s"], duration)
    except ValueError as error:
        raise Problem(f"{name}: [[trial]] is no programme: {error}.", TIP) from None


def _points(raw, key: str, name: str) -> tuple[tuple[float, float], ...]:
    shape = f"{name}: {key} in [[trial]] must be pairs of time and set point, such as [[0, 25], [60, 330]]."
    if not isinstance(raw, list) or not raw or len(raw) > 50:
        raise Problem(shape, TIP)
    for pair in raw:
        sound = isinstance(pair, list) and len(pair) == 2
        if not sound or not all(map(is_number, pair)):
            raise Problem(shape, TIP)
    return tuple((float(time), float(set_point)) for time, set_point in raw)


def _beads(raw, name: str) -> dict[str, Bead]:
    if not isinstance(raw, dict) or not raw:
        raise Problem(f"{name} has no [beads]: which column of the log sits where.", TIP)
    found = {}
    for column, bead in raw.items():
        if not isinstance(bead, dict) or "place" not in bead:
            raise Problem(f'{name}: bead {column!r} must be such as {{ place = "package top", seat = "glued" }}.', TIP)
        for key, content in bead.items():
            known = {"place": PLACES, "seat": tuple(SEATS)}.get(key)
            if known is None:
                raise Problem(
                    f"{name}: bead {column!r} has an unknown key {key!r}: {meant(key, ('place', 'seat'))}", TIP
                )
            if content not in known:
                raise Problem(
                    f"{name}: {key} of bead {column!r} is {_shown(content)}: {meant(str(content), known)}", TIP
                )
        found[normalize("NFC", column)] = Bead(bead["place"], bead.get("seat", "glued"))
    if len(found) < len(raw):
        raise Problem(f"{name}: two columns under [beads] have the same name.", TIP)
    places = [bead.place for bead in found.values()]
    if len(set(places)) < len(places):
        twice = next(place for place in places if places.count(place) > 1)
        raise Problem(f"{name}: two beads sit at {twice}.", "name one of them, or their places as they are")
    return found


def _limits(table: dict, name: str) -> tuple[Wanted, ...]:
    cold, hot = value("profile", "joint_peak_lead_free_c")
    least, most = value("profile", "time_above_liquidus_lead_free_020d")
    rating = reference_table("profile", "class_temperature_lead_free_020d")["1.6-2.5 mm"]["> 2000 mm3"]
    default = {
        "coldest_joint_at_least_c": cold,
        "hottest_joint_at_most_c": hot,
        "package_top_at_most_c": rating,
        "neighbour_at_10_mm_at_most_c": value("profile", "neighbour_body_lead_free_c"),
        "coldest_joint_above_liquidus_at_least_s": least,
        "hottest_joint_above_liquidus_at_most_s": most,
    }
    quantity = {
        "coldest_joint_at_least_c": ("peak of the coldest joint", "low"),
        "hottest_joint_at_most_c": ("peak of the hottest joint", "high"),
        "package_top_at_most_c": ("peak of the package top", "high"),
        "neighbour_at_10_mm_at_most_c": ("peak of the neighbour at 10 mm", "high"),
        "neighbour_at_40_mm_at_most_c": ("peak of the neighbour at 40 mm", "high"),
        "coldest_joint_above_liquidus_at_least_s": ("coldest joint above liquidus", "low"),
        "hottest_joint_above_liquidus_at_most_s": ("hottest joint above liquidus", "high"),
    }
    asked = default | {key: content for key, content in table.items() if key in quantity}
    for least, most in AT_ODDS:
        if asked[least] >= asked[most]:
            raise Problem(
                f"{name}: {least} = {asked[least]:g} and {most} = {asked[most]:g} leave nothing between.",
                "no programme holds both; change one of them under [limits]",
            )
    return tuple(Wanted(quantity[key][0], **{quantity[key][1]: float(content)}) for key, content in asked.items())


def _ends(station: dict) -> dict[str, tuple[float, float]]:
    ends = dict(STATION)
    for key, name in (("plate_at_most_c", "bottom_plate_c"), ("gas_at_most_c", "top_gas_c")):
        if key in station:
            ends[name] = min(STATION[name][0], station[key]), station[key]
    return ends
