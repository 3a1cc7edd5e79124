"""Nobody's rubbish costs another."""

from graders.classroom.patience import MOST_UNSOUND, WITHIN, Patience


def patience_at(clock):
    return Patience(now=lambda: clock[0])


def test_one_file_at_a_time_and_another_learner_does_not_wait():
    patience = patience_at([0.0])
    assert not patience.begin("amber")
    assert "Another file of yours" in patience.begin("amber")
    assert not patience.begin("birch")
    patience.end("amber", sound=True)
    assert not patience.begin("amber")


def test_rubbish_runs_out_for_its_sender_alone_and_comes_back_with_time():
    clock = [0.0]
    patience = patience_at(clock)
    for _ in range(MOST_UNSOUND):
        assert not patience.begin("amber")
        patience.end("amber", sound=False)
    assert "hand in again in 10 minutes" in patience.begin("amber")
    assert not patience.begin("birch")
    clock[0] = WITHIN + 1
    assert not patience.begin("amber")


def test_what_is_sound_wipes_the_slate():
    patience = patience_at([0.0])
    for _ in range(3 * MOST_UNSOUND):
        patience.begin("amber")
        patience.end("amber", sound=False)
        assert not patience.begin("amber")
        patience.end("amber", sound=True)
