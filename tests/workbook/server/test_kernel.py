"""The kernel of a learner: an error is one plain line, and the cells after it still run."""

from types import SimpleNamespace

import pytest
from jupyter_client import KernelManager
from jupyter_client.kernelspec import KernelSpecManager

from workbook.server import folder, jupyter, learner_kernel


@pytest.fixture(scope="module")
def kernel(tmp_path_factory):
    """The kernel that `workbook open` lays out, started; ``kernel(source)`` returns (status, what is shown)."""
    root = tmp_path_factory.mktemp("mine") / "folder"
    folder.lay_out(root)
    jupyter.prepare(root)
    specs = KernelSpecManager(kernel_dirs=[str(root / folder.OWN / "jupyter" / "kernels")])
    manager = KernelManager(kernel_name="python3", kernel_spec_manager=specs)
    manager.start_kernel()
    client = manager.client()
    client.start_channels()
    client.wait_for_ready(60)

    def run(source):
        shown = []

        def take(message):
            content = message["content"]
            if message["msg_type"] == "error":
                shown.append("\n".join(content["traceback"]))
            elif text := content.get("data", {}).get("text/plain") or content.get("text"):
                shown.append(text)

        reply = client.execute_interactive(source, output_hook=take, timeout=30, stop_on_error=True)
        return reply["content"]["status"], "\n".join(shown)

    run.client = client
    yield run
    client.stop_channels()
    manager.shutdown_kernel(now=True)


@pytest.mark.parametrize("source", ["lag = 2.5 K", "lag = (2 + 3", "lag = powr * 2", "lag = 1 / 0", "lag = ... * 2"])
def test_an_error_is_one_plain_line(kernel, source):
    status, shown = kernel(source)
    assert status == "ok"
    assert shown
    assert "\n" not in shown
    assert "Error" not in shown


def test_a_file_of_the_learners_that_is_named_like_one_of_pythons_own_keeps_no_kernel_from_starting(tmp_path):
    """A file uuid.py beside a notebook: the kernel starts, and a cell still imports Python's, and what lies there."""
    (tmp_path / "uuid.py").write_text("raise SystemExit('not the one that was meant')")
    (tmp_path / "my_station.py").write_text("plate = 300")
    jupyter.prepare(tmp_path)
    specs = KernelSpecManager(kernel_dirs=[str(tmp_path / folder.OWN / "jupyter" / "kernels")])
    manager = KernelManager(kernel_name="python3", kernel_spec_manager=specs)
    manager.start_kernel(cwd=str(tmp_path))
    client = manager.client()
    client.start_channels()
    try:
        client.wait_for_ready(60)
        shown = []
        client.execute_interactive(
            "from uuid import uuid4; from my_station import plate; print(plate)",
            output_hook=lambda message: shown.append(message["content"].get("text", "")),
            timeout=30,
        )
        assert "300" in "".join(shown)
    finally:
        client.stop_channels()
        manager.shutdown_kernel(now=True)


def test_an_error_does_not_keep_the_cells_queued_behind_it_from_running(kernel):
    kernel.client.execute("lag = 2.5 K", stop_on_error=True)
    kernel.client.execute("after = 3", stop_on_error=True)
    assert kernel("after") == ("ok", "3")


def test_what_was_run_before_the_error_counts(kernel):
    kernel("first = 1\nsecond = 1 / 0")
    assert kernel("first") == ("ok", "1")


def test_a_decimal_comma_is_explained_at_once(kernel):
    status, shown = kernel("lag = 2,5   # K")
    assert "You wrote 2,5 for lag" in shown
    assert "Write a point: 2.5" in shown


def test_an_answer_that_is_still_open_says_nothing(kernel):
    assert kernel("lag = ...   # K") == ("ok", "")


def test_pythons_own_words_can_still_be_seen(kernel):
    kernel("1 / 0")
    assert "ZeroDivisionError" in kernel("%tb")[1]


def test_an_interrupted_cell_is_told_to_the_front_end_as_such(kernel):
    assert kernel("raise KeyboardInterrupt")[0] == "error"


MARKING = """# Marking cell: nothing to do here. It shows the points of this part.
from graders import stock
stock.points('profile', 'bead-lag', 'lag', globals())"""


def shown_by(kernel, source):
    """Return the data of what a cell shows last."""
    seen = []
    kernel.client.execute_interactive(source, output_hook=lambda message: seen.append(message["content"]), timeout=30)
    return next(content["data"] for content in reversed(seen) if "data" in content)


def test_a_marking_cell_says_of_how_many_and_why_beside_the_number_that_nbgrader_reads(kernel):
    kernel("lag = 1e6")
    data = shown_by(kernel, MARKING)
    assert data["text/plain"] == "0.0"
    assert "0 of 1 point: not right." in data["text/html"]
    kernel("lag = 5 K")
    assert "could not be run" in shown_by(kernel, MARKING)["text/html"]
    assert "text/html" not in shown_by(kernel, "2.0")


@pytest.mark.parametrize(
    ("place", "words"), [("lessons/03_profile.ipynb", "one above it"), ("profile/04_bead-lag.ipynb", "does not know")]
)
def test_a_lessons_cell_out_of_order_is_told_what_it_needs_and_not_scolded(place, words, monkeypatch):
    said = []
    monkeypatch.setenv("JPY_SESSION_NAME", place)
    monkeypatch.setattr(learner_kernel, "say", said.append)
    error = NameError("name 'films' is not defined", name="films")
    asked = SimpleNamespace(source="films.film(3)")
    learner_kernel.LearnerKernel._explain(asked, SimpleNamespace(user_ns={}), NameError, error, None)
    (line,) = said
    assert words in line
    assert ("quotes" in line) == place.startswith("profile")


EXPLORER = """
from workbook.panels.explorer import Explorer, Slider
from workbook.panels.pictures import Frame, Picture
still = Frame("still", lambda figure, narrow: [figure.subplots()])
by = Slider("by", "By", "s", 0, 9, 1, 3)
moved = Explorer("Moved", (by,), lambda settings: Picture(still, (), f"by {settings.by}"))
moved.comm.comm_id"""


def told_of_widgets(kernel, comm, state):
    """Send a widget's change as a page does, and return what the kernel says of it, up to its being idle."""
    content = {"comm_id": comm, "data": {"method": "update", "state": state, "buffer_paths": []}}
    message = kernel.client.session.msg("comm_msg", content)
    kernel.client.shell_channel.send(message)
    told = []
    while not told or told[-1] != ("status", "idle"):
        one = kernel.client.get_iopub_msg(timeout=30)
        if one["parent_header"].get("msg_id") == message["header"]["msg_id"]:
            content = one["content"]
            told.append((one["msg_type"], content.get("execution_state") or content["data"]["state"]))
    return told


def test_a_moved_control_is_answered_at_once_and_only_what_may_take_long_makes_the_kernel_busy(kernel):
    """A page waits for the idle that ends an answer, and draws its toolbar anew for each busy."""
    comm = kernel(EXPLORER)[1].strip("'")
    (kind, state), idle = told_of_widgets(kernel, comm, {"settings": {"by": 5, "_asked": 1}})
    assert (kind, idle) == ("comm_msg", ("status", "idle"))
    assert (state["words"], state["answered"]) == ("by 5", 1)
    assert told_of_widgets(kernel, comm, {"screen": {"dark": True}})[0] == ("status", "busy")


def test_all_that_is_asked_of_the_kernel_is_answered_in_one_thread(kernel):
    """Else JupyterLab opens a second one for widgets, and a picture made ahead is made beside an answer."""
    kernel.client.kernel_info()
    assert "kernel subshells" not in kernel.client.get_shell_msg(timeout=30)["content"].get("supported_features", [])
