"""Cases kept on this machine: one small file a seed, written whole after each act. Only seed and acts stand in it.

What an act told is worked out anew from them, so a file can hold nothing that is not true. A file that cannot be read,
or whose acts cannot be played, is set aside under another name and said; nothing in it is lost.
"""

import json
import secrets
from pathlib import Path

from platformdirs import user_data_path

from workbook.case.playing import MOST_ACTS, TO_END, NotPlayed, hold_acts, play
from workbook.problems import Problem
from workbook.server.folder import free_name, write_whole

LARGEST_SEED = 99_999
MOST_BYTES = 100_000


def folder() -> Path:
    """Return where cases are kept: in the user's own data folder."""
    return user_data_path("rework-workbook", appauthor=False) / "cases"


def file(seed: int) -> Path:
    """Return the file of a seed."""
    return folder() / f"{seed}.json"


def keep(seed: int, acts: list[str]) -> None:
    """Write down how far a case is, or raise Problem: also where it went on elsewhere, on a page or in a terminal.

    No acts at all are a new beginning, which whoever asks for it means.
    """
    there, _ = kept(seed)
    if acts and acts[: len(there)] != there:
        raise Problem(f"Case {seed} was worked on elsewhere meanwhile. Open it again to go on from there.")
    written = json.dumps({"seed": seed, "acts": acts}, ensure_ascii=False, indent=1) + "\n"
    write_whole(file(seed), written.encode(), on_disk=True)


SPOILED = (ValueError, TypeError, KeyError, RecursionError)
"""What reading a file may raise that does not hold a case; a list that cannot be played is a ValueError."""


def kept(seed: int) -> tuple[list[str], str]:
    """Return the acts done so far in a case, and what has to be said of its file; or raise Problem."""
    path = file(seed)
    try:
        try:
            return _acts_in(path, seed), ""
        except SPOILED as why:
            aside = free_name(path, "set aside")
            path.replace(aside)
            reason = f" ({why})" if isinstance(why, NotPlayed) else ""
            place = f"It is set aside as {aside.name}. You start anew."
            return [], f"What was kept of case {seed} cannot be played{reason}. {place}"
    except FileNotFoundError:
        return [], ""
    except OSError as why:  # what cannot be read now, or not be set aside, is not written over
        raise Problem(
            f"What was kept of case {seed} cannot be read: {why.strerror}.",
            f"make {path} readable again, or begin another case",
        ) from None


def _acts_in(path: Path, seed: int) -> list[str]:
    """Return the acts that a file holds, or raise OSError or what is `SPOILED`."""
    with path.open("rb") as written:
        held = json.loads(written.read(MOST_BYTES))
    if held["seed"] != seed or not isinstance(held["acts"], list):
        raise ValueError("another case, or no list of acts")
    hold_acts(held["acts"])
    return held["acts"]


def unfinished() -> int | None:
    """Return the seed of the case that was worked on last, is not over and takes another act; or None."""
    for path in sorted(folder().glob("*.json"), key=lambda path: path.stat().st_mtime, reverse=True):
        if path.stem.isdecimal() and _takes_more(int(path.stem)):
            return int(path.stem)
    return None


def _takes_more(seed: int) -> bool:
    """Whether a case goes on. A spoiled file is passed by: it is set aside and said where its case is opened."""
    try:
        acts = _acts_in(file(seed), seed)
    except (OSError, *SPOILED):
        return False
    return bool(acts) and len(acts) < MOST_ACTS - TO_END and not play(seed, acts).is_over


def fresh() -> int:
    """Return the seed of a case that was not worked on here."""
    while file(seed := 1 + secrets.randbelow(LARGEST_SEED)).exists():
        pass
    return seed


def seed_of(text: str) -> int:
    """Return the seed that was typed, or raise Problem.

    >>> seed_of("117")
    117
    """
    if text.isdecimal() and text.isascii() and 1 <= int(text[:9]) <= LARGEST_SEED and len(text) < 9:
        return int(text)
    raise Problem(
        f"{text[:40]!r} is no case.", f"cases are numbered from 1 to {LARGEST_SEED}; without a number you get a new one"
    )
