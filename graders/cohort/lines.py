"""Files of lines that are only ever added to, each an object of JSON: safe on the disk before anything hangs on it.

What a crash left of a last line counts for nothing. A last line that can be read counts without its line end too: an
editor leaves it away.
"""

import json
import os
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

NO_LINE = (ValueError, KeyError, TypeError, RecursionError)
"""What reading a line that is none raises."""

Sound = Callable[[bytes], object]
"""Reads a line of some file, or raises one of `NO_LINE`."""


def whole(path: Path, sound: Sound) -> Iterator[tuple[int, bytes]]:
    """Yield the whole lines of a file, each with its number; none where there is no file."""
    *lines, last = (path.read_bytes() if path.is_file() else b"").split(b"\n")
    if _can_be_read(last, sound):
        lines.append(last)
    yield from ((number, line) for number, line in enumerate(lines, 1) if line)


def append(path: Path, said: dict[str, Any], sound: Sound) -> None:
    """Write a line and the moment at the end; what a crash left of a last line is taken away first."""
    said = said | {"when": datetime.now(UTC).isoformat(timespec="seconds")}
    line = json.dumps(said, ensure_ascii=False).encode("utf-8", "replace") + b"\n"
    with path.open("a+b") as file:
        file.seek(0)
        content = file.read()
        last = content.rpartition(b"\n")[2]
        if _can_be_read(last, sound):
            line = b"\n" + line
        else:
            file.truncate(len(content) - len(last))
        file.write(line)
        file.flush()
        os.fsync(file.fileno())


def _can_be_read(line: bytes, sound: Sound) -> bool:
    try:
        sound(line)
    except NO_LINE:
        return False
    return True
