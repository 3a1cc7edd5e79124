"""Keys that tests draw: the same in every run, others in a run with a number of its own."""

from graders.cohort import paths
from graders.cohort.paths import Cohort
from tests.chance import Drawn


def keys(monkeypatch, folder, number, what):
    """Return two keys that cohorts are given at this point of a run."""
    drawn = Drawn(number)
    drawn.begin(what)
    monkeypatch.setattr(paths, "secrets", drawn)
    made = []
    for name in ("one", "other"):
        cohort = Cohort(folder / name)
        cohort.root.mkdir(parents=True)
        cohort.make_secret()
        made.append(cohort.secret())
    return made


def test_a_cohort_made_at_the_same_point_of_two_runs_has_the_same_key(tmp_path, monkeypatch):
    first, again = (
        keys(monkeypatch, tmp_path / "first", 17, "a test"),
        keys(monkeypatch, tmp_path / "again", 17, "a test"),
    )
    assert first == again
    assert first[0] != first[1]
    assert keys(monkeypatch, tmp_path / "elsewhere", 17, "another test") != first
    assert keys(monkeypatch, tmp_path / "another run", 18, "a test") != first


def test_what_a_fixture_makes_does_not_hang_on_what_ran_before_it(made, request):
    drawn = Drawn(request.config.getoption("any_order", None) or 0)
    drawn.begin("tests made")
    assert made.secret().hex() == drawn.token_hex(paths.SECRET_BYTES)
