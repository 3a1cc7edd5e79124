"""The list of sources names every part and leaves no case out."""

from pathlib import Path

from graders import sheets
from graders.notebooks import sources
from workbook.topics import TOPICS

README = Path(__file__).parents[3] / "README.md"


def test_every_case_has_a_line_with_its_standing_and_every_part_without_one_is_said():
    *listed, standings, last = sources.lines()
    every = [(topic, one) for topic in TOPICS for one in sheets.exercises(topic.slug)]
    for topic, exercise in every:
        for case in exercise.cases:
            assert f"{topic.slug}/{exercise.id}/{case.part}\t{case.answer}\t{case.standing}\t{case.source}" in listed
        held = {case.part for case in exercise.cases}
        for part in exercise.parts:
            assert (f"{topic.slug}/{exercise.id}/{part.name}\t{sources.NONE}" in listed) == (part.name not in held)
    assert f" of {sum(len(one.parts) for _, one in every)} parts have no case: " in last
    told = dict(reversed(count.split()) for count in standings.removesuffix(" cases.").split(", "))
    assert sum(map(int, told.values())) == sum(len(exercise.cases) for _, exercise in every)


def test_the_readme_says_the_counts_that_the_command_prints():
    *_, standings, last = sources.lines()
    assert f"{standings}\n{last}\n" in README.read_text(encoding="utf-8")
