"""Where something is not there that marking reads: it is said, or counts for nothing."""

from graders.marking import parcel
from graders.marking.journal import Journal
from graders.marking.parcel import Asked, Done, Parcel, TakenIn
from graders.notebooks.submission import Restored


def test_a_notebook_whose_run_brought_nothing_back_says_so_and_is_tried_again():
    asked = Asked("bead-lag", "04_bead-lag", {}, {}, [], {})
    came = {asked.notebook: TakenIn(Restored({}, ()))}
    done = parcel.judged(Parcel("profile", "flag", (asked,), {asked.notebook: ""}), came, outcomes=[])
    assert done == {asked.notebook: Done(fault="its run brought nothing back", is_faulty=True)}


def test_a_place_in_a_journal_that_is_not_there_holds_no_result(tmp_path):
    assert Journal(tmp_path / "marked.jsonl").at(0) is None
