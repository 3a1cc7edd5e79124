"""The house keeps its order: which room imports which, what stands at the top, what every command says."""

import ast
import importlib.util
import re
import subprocess
import sys
import tomllib
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
TOP = {"README.md", "DEVELOPERS.md", "pyproject.toml", "workbook", "exercises", "solutions", "graders", "tests"}
SHOWING = {
    "IPython",
    "ipywidgets",
    "anywidget",
    "matplotlib",
    "nbformat",
    "nbgrader",
    "nbclient",
    "nbconvert",
    "notebook",
}
PURE = [
    "workbook/bench",
    "workbook/references",
    "workbook/drawings",
    "graders/sheets",
    "graders/judging",
    "graders/questions",
]


def modules(place):
    path = ROOT / place
    return [path] if path.is_file() else sorted(path.rglob("*.py"))


@cache
def imports(path, only_top=False):
    """Return the modules a file imports; ``only_top`` leaves imports inside functions out."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    nodes = tree.body if only_top else ast.walk(tree)
    found = set()
    for node in nodes:
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and not node.level:
            found |= {node.module, *(f"{node.module}.{alias.name}" for alias in node.names)}
    return found


@pytest.mark.parametrize("place", PURE)
def test_physics_sheets_and_judge_show_nothing(place):
    for path in modules(place):
        assert {name.split(".")[0] for name in imports(path)} & SHOWING == set(), path


def test_the_bench_knows_no_exercise_and_the_workbook_no_grader():
    for path in modules("workbook"):
        assert not any(name.split(".")[0] == "graders" for name in imports(path, only_top=True)), path
    for place in ("workbook/bench", "workbook/references", "workbook/drawings"):
        for path in modules(place):
            assert not any(name.startswith(("graders", "workbook.panels")) for name in imports(path)), path
    for place in ("workbook/bench", "workbook/references"):
        for path in modules(place):
            assert not any(name.startswith("workbook.drawings") for name in imports(path)), path


@pytest.mark.parametrize("place", ["graders/stock.py", "graders/judging", "graders/desk", "graders/notebooks"])
def test_what_runs_at_a_learners_needs_no_nbgrader(place):
    for path in modules(place):
        assert not any(name.split(".")[0] == "nbgrader" for name in imports(path)), path


@pytest.fixture(scope="module")
def top():
    """What git keeps at the top."""
    try:
        listed = subprocess.run(
            ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True, timeout=120
        ).stdout
    except (OSError, subprocess.CalledProcessError):
        pytest.skip("not a git checkout")
    return {line.split("/")[0] for line in listed.splitlines()}


def test_only_the_agreed_rooms_stand_at_the_top(top):
    assert {name for name in top if not name.startswith(".")} == TOP


def test_a_source_archive_takes_what_is_ours_and_no_cohort_that_lies_beside_it(top):
    asked = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["hatch"]["build"]["targets"]
    assert set(asked["sdist"]["include"]) == {f"/{name}" for name in top}


def test_the_hooks_name_files_and_leave_fixtures_as_they_were_made():
    hooks = re.findall(r"entry: (ruff \w+.*)", (ROOT / ".pre-commit-config.yaml").read_text(encoding="utf-8"))
    assert len(hooks) == 2
    assert all("--force-exclude" in entry.split() for entry in hooks)  # else what pyproject excludes is formatted too


def commands():
    from graders.cli import main as graders
    from workbook.cli import main as workbook

    return [
        pytest.param(f"{door} {name}", command, id=f"{door} {name}")
        for door, group in (("workbook", workbook), ("graders", graders))
        for name, command in group.commands.items()
    ]


@pytest.mark.parametrize(("name", "command"), commands())
def test_every_command_has_a_sentence_an_example_and_a_place_in_the_readme(name, command):
    assert command.help.strip().splitlines()[0].endswith(".")
    assert f"Example: {name}" in command.help
    assert f"`{name}" in (ROOT / "README.md").read_text(encoding="utf-8")


NBGRADERS = {
    "autograde",
    "generate_assignment",
    "generate_feedback",
    "release_assignment",
    "release_feedback",
    "collect",
    "submit",
    "fetch_assignment",
    "fetch_feedback",
    "validate",
    "export",
    "formgrader",
    "quickstart",
    "db",
    "list",
    "update",
    "zip_collect",
    "assign",
    "feedback",
}


def test_no_command_is_named_like_one_of_nbgraders():
    assert {param.values[0].split()[1] for param in commands()} & NBGRADERS == set()


@pytest.mark.slow
def test_where_no_hub_and_no_cluster_are_installed_every_test_is_still_found():
    """As after the second command of README.md: one module that cannot be imported would end the run as it begins."""
    without = (
        "import sys; sys.modules.update(dict.fromkeys(('jupyterhub', 'distributed', 'dask', 'cryptography')))\n"
        "import pytest\n"
        "sys.exit(pytest.main(['--collect-only', '-p', 'no:xdist', '-p', 'no:cacheprovider', *sys.argv[1:]]))"
    )
    rooms = [f"{place}/{room}" for room in ("classroom", "cluster") for place in ("graders", "tests/graders")]
    command = [sys.executable, "-c", without, *rooms, "tests/benchmarks/cluster.py", "tests/browser/test_classroom.py"]
    found = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=120)
    assert found.returncode == 0, found.stdout[-2000:]


OPTIONAL = {"classroom": "jupyterhub", "cluster": "distributed"}
"""Rooms that need a library which README's two commands do not bring."""


def test_every_module_can_be_imported_where_its_room_s_library_is_installed():
    """Else the examples in its docstrings would be passed over in silence."""
    missing = {room for room, library in OPTIONAL.items() if importlib.util.find_spec(library) is None}
    behind_the_wall = ROOT / "graders" / "runner" / "inside"
    for room in ("workbook", "graders"):
        for path in modules(room):
            name = ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")
            if name.startswith("graders.") and name.split(".")[1] in missing or behind_the_wall in path.parents:
                continue
            if not name.endswith("__main__"):
                importlib.import_module(name)


@pytest.mark.parametrize("door", ["workbook", "graders"])
def test_help_loads_none_of_the_heavy_libraries(door):
    """The door answers at once: what is slow to load is loaded by the command that needs it."""
    probe = (
        f"import sys; from {door}.cli import main\n"
        "try: main(['--help'])\nexcept SystemExit: pass\n"
        "heavy = set('numpy scipy matplotlib nbformat nbgrader IPython rich pint'.split()) & set(sys.modules)\n"
        "assert not heavy, heavy"
    )
    subprocess.run([sys.executable, "-c", probe], check=True, capture_output=True, timeout=120)


def test_an_instructors_command_loads_what_is_slow_only_where_it_needs_it():
    probe = (
        "import sys, graders.commands\n"
        "slow = 'nbformat nbclient nbgrader tornado scipy matplotlib dask distributed'\n"
        "heavy = set(slow.split()) & set(sys.modules)\n"
        "assert not heavy, heavy"
    )
    subprocess.run([sys.executable, "-c", probe], check=True, capture_output=True, timeout=120)


def test_readme_opens_with_the_job_in_one_paragraph():
    blocks = (ROOT / "README.md").read_text(encoding="utf-8").split("\n\n")
    assert blocks[0].startswith("# ")
    assert len(blocks[1].split()) > 60
    assert not re.match(r"[#\-*`|>]", blocks[1])


ARROWS = {
    "questions": "",
    "sheets": "questions",
    "runner": "",
    "judging": "questions",
    "notebooks": "sheets judging questions runner",
    "cohort": "sheets",
    "gradebook": "cohort notebooks sheets judging questions runner",
    "handout": "gradebook cohort notebooks sheets judging questions",
    "inbox": "cohort notebooks",
    "marking": "gradebook cohort notebooks sheets judging questions runner",
    "report": "marking cohort notebooks sheets judging questions",
    "backup": "marking gradebook cohort",
    "paper": "report inbox handout cohort notebooks sheets questions",
    "words": "report marking gradebook cohort notebooks sheets judging questions",
    "cluster": "marking gradebook cohort notebooks sheets questions runner",
    "classroom": "desk report inbox cohort notebooks",
    "commands": (
        "classroom cluster words paper backup report marking inbox handout gradebook cohort sheets judging questions "
        "runner"
    ),
    "demo": "commands marking handout gradebook cohort notebooks sheets judging questions runner",
    "cli": "demo commands notebooks runner",
    "__main__": "cli",
    "desk": "report sheets judging questions runner notebooks stock",
    "stock": "sheets judging runner",
    "pipeline": "gradebook",
}
"""Which room of the grader may import which: from the bottom up, and never round. DEVELOPERS.md prints it."""


def rooms_used():
    used = {room: set() for room in ARROWS}
    for path in modules("graders"):
        room = path.relative_to(ROOT / "graders").parts[0].removesuffix(".py")
        for name in imports(path):
            parts = name.split(".")
            if parts[0] == "graders" and len(parts) > 1 and parts[1] in ARROWS and parts[1] != room:
                used[room].add(parts[1])
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):  # a quick import by name counts too
            if isinstance(node, ast.Constant) and re.fullmatch(r"graders\.[a-z]+\.[a-z_]+", str(node.value)):
                other = node.value.split(".")[1]
                if other in ARROWS and other != room:
                    used[room].add(other)
    used.pop("__init__", None)
    return used


def test_imports_go_only_where_the_table_allows_and_every_arrow_is_used():
    assert rooms_used() == {room: set(allowed.split()) for room, allowed in ARROWS.items()}


def test_the_table_of_imports_never_turns_round():
    from graphlib import TopologicalSorter

    order = list(TopologicalSorter({room: allowed.split() for room, allowed in ARROWS.items()}).static_order())
    assert order.index("questions") < order.index("judging") < order.index("marking") < order.index("cli")


def test_developers_prints_the_table_of_imports():
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    for room, allowed in ARROWS.items():
        assert f"| `{room}` | {allowed.replace(' ', ', ') or 'nothing here'} |" in text, room


def test_one_room_knows_nbgrader():
    outside = [path for path in modules("graders") if "gradebook" not in path.parts]
    assert [path for path in outside if any(name.split(".")[0] == "nbgrader" for name in imports(path))] == []
