"""From a lesson to its exercises and back: every exercise has its section, and every section named is there."""

import json
from collections import Counter

import pytest

from graders import sheets
from workbook import paths
from workbook.server import way
from workbook.topics import TOPICS

SLUGS = [topic.slug for topic in TOPICS]


@pytest.mark.parametrize("slug", SLUGS)
def test_every_exercise_stands_in_one_section_of_its_lesson(slug):
    placed = Counter(id_ for number in way.headings(slug) for id_ in way.exercises(slug, number))
    assert placed == Counter(exercise.id for exercise in sheets.exercises(slug)), "lessons/exercises.toml"


@pytest.mark.parametrize("slug", SLUGS)
def test_the_section_to_read_is_a_heading_of_the_lesson_that_is_shipped(slug):
    for exercise in sheets.exercises(slug):
        read = way.section(slug, exercise.id)
        cells = json.loads((paths.lessons().parent / read.lesson).read_bytes())["cells"]
        assert any(f"## {read.heading}\n" in "".join(cell["source"]) + "\n" for cell in cells)
