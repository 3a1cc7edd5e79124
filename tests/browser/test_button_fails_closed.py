"""The formgrader's button where cohort.toml breaks after the server started: no learner's code runs on the host."""

import json

import pytest

from tests.browser.test_formgrader import page, served  # noqa: F401
from tests.graders.cohorts import keep_only, scores

pytestmark = [pytest.mark.browser, pytest.mark.slow, pytest.mark.timeout(300)]

BREAKS = {
    "a typo": ('late = "none"', 'late = "none'),
    "an unknown word": ('late = "none"', 'late = "perhaps"'),
    "gone": None,
}


@pytest.mark.parametrize("how", BREAKS)
def test_it_marks_nothing_and_runs_nothing(how, fresh, page, tmp_path):  # noqa: F811
    keep_only(fresh, "cedar")
    marker = tmp_path / "it ran on the host"
    for path in fresh.submitted("cedar", "profile").glob("*.ipynb"):
        notebook = json.loads(path.read_text())
        source = f"import pathlib\npathlib.Path({str(marker)!r}).write_text('ran')"
        spy = {"cell_type": "code", "id": "spy", "metadata": {}, "outputs": [], "execution_count": None}
        notebook["cells"].insert(0, spy | {"source": source})
        path.write_text(json.dumps(notebook))
    before, settings = scores(fresh), fresh.root / "cohort.toml"
    with served(fresh, tmp_path) as address:
        page.goto(f"{address}/formgrader/manage_submissions/profile")
        button = page.locator("tr", has_text="cedar").locator(".autograde a")
        button.wait_for()
        if BREAKS[how]:
            settings.write_text(settings.read_text().replace(*BREAKS[how]))
        else:
            settings.unlink()
        ended = []
        page.on("requestfinished", lambda request: ended.append(request.url))
        page.on("requestfailed", lambda request: ended.append(request.url))
        button.click()
        for _ in range(200):
            page.wait_for_timeout(100)
            if any(url.endswith("/autograde") for url in ended):
                break
        assert any(url.endswith("/autograde") for url in ended)
        page.wait_for_timeout(500)
    assert not marker.exists()
    assert scores(fresh) == before
    assert not fresh.autograded("cedar", "profile").exists()
