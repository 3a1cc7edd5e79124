"""New topics written into a cohort.toml that somebody else has edited: nothing else in it changes."""

import json
import re
import tomllib
from collections.abc import Sequence

from graders.cohort.files import write_whole
from graders.cohort.paths import Cohort
from workbook.problems import Problem

TOPICS = re.compile(r"^topics\s*=\s*\[[^\[\]]*\]", re.MULTILINE)
EXERCISES = re.compile(r"^exercises\s*=\s*\{[^{}]*\}", re.MULTILINE)


def add_topics(cohort: Cohort, topics: Sequence[str], exercises: dict[str, Sequence[str]]) -> None:
    """Write the topics that a cohort has not yet into its cohort.toml, with the exercises to which they are restricted.

    This comes before anything is handed out: a run that ends anywhere is gone on with by the next, asked for or not.

    Raises
    ------
    Problem
        Where the file is written in a way that cannot be added to for certain; it says what to write there by hand.
    """
    settings = cohort.settings()
    new = [topic for topic in topics if topic not in settings.topics]
    if not new:
        return
    all_topics = [*settings.topics, *new]
    chosen = {topic: list(names) for topic, names in (settings.exercises | exercises).items()}
    path = cohort.root / "cohort.toml"
    text = path.read_text(encoding="utf-8-sig")
    lines = [f"topics = {json.dumps(all_topics)}"]
    if chosen != tomllib.loads(text).get("exercises", {}):
        listed = ", ".join(f"{topic} = {json.dumps(names)}" for topic, names in chosen.items())
        lines.append(f"exercises = {{ {listed} }}")
    changed = text
    for line, place in zip(lines, (TOPICS, EXERCISES), strict=False):
        changed = place.sub(lambda _, line=line: line, changed, count=1)
    wanted = tomllib.loads(text) | {"topics": all_topics} | ({"exercises": chosen} if len(lines) > 1 else {})
    try:
        if tomllib.loads(changed) != wanted:
            raise ValueError("something else would change")
    except ValueError:
        raise Problem(
            f"{path} cannot be added to: its topics are not written in one place.",
            f"write there {' and '.join(lines)}, and run the same command again",
        ) from None
    write_whole(path, changed)
