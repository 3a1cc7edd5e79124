"""nbgrader in a cohort folder: wherever it lies it works on itself, and what cannot be done safely is not done.

nbgrader drops a configuration that fails, and then runs learners' code on the host. Here a learner hands in a cell that
writes a file outside its sandbox; the file tells whether that happened.
"""

import json
import os
import shutil
import subprocess
import venv
from pathlib import Path

import nbgrader as nbgrader_package
import pytest
from click.testing import CliRunner

from graders import commands
from graders.cli import main
from graders.cohort.paths import Cohort
from graders.gradebook import configuration
from graders.marking import run as marking
from tests.graders.cohorts import NBGRADER, QUICK, exported, keep_only, nbgrader, scores, set_in

SPRING = Path(__file__).parents[2] / "fixtures" / "cohort_0_1_0" / "spring"
BREAKS = {
    "a typo": ('late = "none"', 'late = "none'),
    "an unknown word": ('late = "none"', 'late = "perhaps"'),
    "a wrong type": ('topics = ["', 'topics = [7, "'),
    "a setting there is not": ("show_working = true", "show_wroking = true"),
}
REFUSED = "ERROR  nbgrader does nothing here, because it could not do so safely: "


def spy(cohort, learner, marker):
    """Let a learner hand in a cell that writes a file outside."""
    for path in cohort.submitted(learner, "profile").glob("*.ipynb"):
        notebook = json.loads(path.read_text())
        source = f"import pathlib\npathlib.Path({str(marker)!r}).write_text('ran')"
        cell = {"cell_type": "code", "id": "spy", "metadata": {}, "outputs": [], "execution_count": None}
        notebook["cells"].insert(0, cell | {"source": source})
        path.write_text(json.dumps(notebook))


@pytest.fixture
def marker(tmp_path):
    return tmp_path / "it ran on the host"


@pytest.fixture
def spied(fresh, marker):
    """A cohort of amber alone, who hands in such a cell; its settings are as `graders handout` wrote them."""
    keep_only(fresh, "amber")
    for path in sorted(fresh.submitted("amber", "profile").glob("*.ipynb"))[6:]:
        path.unlink()  # nbgrader takes its time over each
    spy(fresh, "amber", marker)
    assert (fresh.root / "nbgrader_config.py").read_text() == configuration.CONFIG
    return fresh


@pytest.fixture
def old(tmp_path, marker):
    """A cohort of version 0.1.0 with its own configuration, in a place of its own; amber hands in such a cell."""
    root = tmp_path / "spring"
    shutil.copytree(SPRING, root)
    config = root / "nbgrader_config.py"
    config.write_text(config.read_text().replace("{root}", str(root)))
    spy(Cohort(root), "amber", marker)
    return Cohort(root)


def autograde(cohort, command=QUICK, **environment):
    """Run `nbgrader autograde` as typed, the environment not activated."""
    return subprocess.run(
        [*command, "autograde", "profile", "--force"],
        cwd=cohort.root,
        capture_output=True,
        text=True,
        timeout=200,
        env={"PATH": "/usr/bin:/bin"} | environment,
    )


def assert_refused(cohort, done, marker):
    assert done.returncode != 0
    assert not marker.exists()
    (line,) = (done.stdout + done.stderr).splitlines()
    assert line.startswith(REFUSED)
    assert line != REFUSED
    assert not (cohort.root / "autograded").exists()
    return line


@pytest.mark.slow
def test_the_spying_cell_tells_where_nbgrader_runs_it_on_the_host(spied, marker):
    """Otherwise the tests below could not fail: without our settings stock nbgrader runs it here."""
    (spied.root / "nbgrader_config.py").unlink()
    for path in list(spied.submitted("amber", "profile").iterdir())[1:]:
        path.unlink()  # each has a kernel of its own to start
    autograde(spied, [NBGRADER])
    assert marker.exists()


@pytest.mark.contained
@pytest.mark.slow
@pytest.mark.timeout(300)
@pytest.mark.parametrize("how", ["moved and renamed", "copied"])
def test_a_cohort_that_lies_elsewhere_works_on_itself(how, spied, marker, pool, tmp_path):
    first = spied.root
    names = {"moved and renamed": "deeper/autumn of Ünal", "copied": "copy"}
    there = tmp_path / names[how]
    there.parent.mkdir(exist_ok=True)
    if how == "copied":
        shutil.copytree(first, there)
    else:
        first.rename(there)
    was = {path: path.stat().st_mtime_ns for path in first.rglob("*")}
    elsewhere = Cohort.open(there)
    nbgrader(elsewhere, "autograde", "profile", "--force")
    theirs, (score, _) = scores(elsewhere), exported(elsewhere)["amber"]
    marking.mark(elsewhere, pool, anew=True)
    assert scores(elsewhere) == theirs
    assert score > 0
    assert not marker.exists()
    assert {path: path.stat().st_mtime_ns for path in first.rglob("*")} == was
    assert first.exists() == (how == "copied")


@pytest.mark.slow
@pytest.mark.parametrize("how", BREAKS)
def test_settings_that_cannot_be_read_end_nbgrader_in_one_line(how, spied, marker):
    set_in(spied, *BREAKS[how])
    line = assert_refused(spied, autograde(spied), marker)
    assert "cohort.toml" in line


@pytest.mark.slow
@pytest.mark.parametrize("body", ["raise RuntimeError('broken on purpose')", "raise SystemExit(0)", "settle = None"])
def test_a_package_that_cannot_be_imported_ends_nbgrader_in_one_line(body, spied, marker, tmp_path):
    fake = tmp_path / "fake" / "graders"
    fake.mkdir(parents=True)
    (fake / "__init__.py").write_text(body + "\n")
    assert_refused(spied, autograde(spied, [NBGRADER], PYTHONPATH=str(fake.parent)), marker)


@pytest.mark.slow
def test_another_python_that_has_nbgrader_and_not_the_package_ends_in_one_line(spied, marker, tmp_path):
    venv.create(tmp_path / "other", with_pip=False)
    (site,) = (tmp_path / "other").glob("**/site-packages")
    (site / "nbgrader.pth").write_text(f"{Path(nbgrader_package.__file__).parents[1]}\n")
    python = next((tmp_path / "other").glob("*/python"))
    if subprocess.run([python, "-c", "import graders"], cwd=tmp_path, capture_output=True, timeout=120).returncode == 0:
        pytest.skip("the package is installed as a copy: pip install -e .")
    done = autograde(spied, [python, "-m", "nbgrader"])
    assert "graders" in assert_refused(spied, done, marker)


@pytest.mark.slow
@pytest.mark.parametrize("how", BREAKS)
def test_a_configuration_of_the_first_version_ends_nbgrader_where_its_settings_cannot_be_read(how, old, marker):
    set_in(old, *BREAKS[how])
    assert "cohort.toml" in assert_refused(old, autograde(old), marker)


@pytest.mark.contained
@pytest.mark.slow
def test_after_marking_a_cohort_of_the_first_version_has_the_new_configuration(old, marker):
    assert (old.root / "nbgrader_config.py").read_text().startswith(configuration.OLD_HEAD)
    commands.mark(old.root)
    assert (old.root / "nbgrader_config.py").read_text() == configuration.CONFIG
    with pytest.raises(subprocess.CalledProcessError) as refused:
        nbgrader(old, "autograde", "profile", "--force")
    assert "was asked otherwise by version 0.1.0; it is not marked here" in refused.value.stderr
    assert not marker.exists()


@pytest.mark.parametrize("command", ["report", "why", "handout"])
def test_every_command_that_opens_a_cohort_of_the_first_version_makes_nbgrader_safe_first(command, old):
    words = {
        "report": ["report", old.root],
        "why": ["why", old.root, "amber", "no-such"],
        "handout": ["handout", old.roster, "--to", old.root],
    }[command]
    CliRunner().invoke(main, list(map(str, words)))
    assert (old.root / "nbgrader_config.py").read_text() == configuration.CONFIG


def test_a_configuration_somebody_else_wrote_is_left_as_it_is_and_said(fresh, capsys):
    path = fresh.root / "nbgrader_config.py"
    path.write_text("c = get_config()\n")
    commands.opened(fresh.root)
    assert path.read_text() == "c = get_config()\n"
    commands.tell_differences(fresh)
    assert "CHECK  nbgrader_config.py is not as graders writes it" in capsys.readouterr().out


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere: run as an ordinary user to see this")
def test_one_who_may_only_read_a_cohort_of_the_first_version_is_told(old, capsys):
    old.root.chmod(0o500)
    commands.tell_differences(commands.opened(old.root))
    assert "nbgrader and the formgrader may run learners' code unguarded here" in capsys.readouterr().out
    old.root.chmod(0o700)
