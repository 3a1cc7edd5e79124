"""Own numbers: stable for ever, different between learners, on their grid."""

from hypothesis import given, settings
from hypothesis import strategies as st

from graders.questions import givens
from graders.questions.givens import Fixed, Pick, Quantity, Stream

GIVENS = dict(
    power=Quantity(60, "W", low=45, high=80, step=5),
    film=Quantity(0.35, "mm", low=0.1, high=0.9, step=0.05),
    kind=Pick("a", ("a", "b")),
)


def test_the_stream_is_the_published_hash_in_counter_mode():
    """Computed by hand with sha256sum: printf 'key\\x1fx\\x1f0' | sha256sum starts with the word below."""
    import hashlib

    word = int.from_bytes(hashlib.sha256(b"key\x1fx\x1f0").digest()[:8], "big")
    assert Stream(b"key", "x").below(1000) == word % 1000


def test_a_new_given_does_not_change_the_others():
    key = givens.learner_key(b"secret", "amber", "exercise")
    before = givens.draw(GIVENS, key)
    after = givens.draw(GIVENS | {"extra": Fixed(1)}, key)
    assert before == {name: after[name] for name in before}


def test_learners_get_different_numbers():
    drawn = {str(givens.draw(GIVENS, givens.learner_key(b"secret", f"learner {n}", "e"))) for n in range(50)}
    assert len(drawn) > 25


@settings(max_examples=200)
@given(st.binary(min_size=1, max_size=40), st.text(max_size=10))
def test_every_draw_lies_on_its_grid_as_printed(secret, learner):
    drawn = givens.draw(GIVENS, givens.learner_key(secret, learner, "e"))
    assert drawn["power"] in range(45, 81, 5)
    assert drawn["film"] in [round(0.1 + 0.05 * step, 2) for step in range(17)]
    assert len(repr(drawn["film"])) <= 4, "printed as drawn, with no float dust"
    assert drawn["kind"] in "ab"


@settings(max_examples=100)
@given(st.integers(1, 1000), st.binary(min_size=1, max_size=8))
def test_below_stays_below(bound, key):
    stream = Stream(key, "x")
    assert all(0 <= stream.below(bound) < bound for _ in range(20))
