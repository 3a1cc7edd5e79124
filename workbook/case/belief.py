"""What can be known of a board from what was told: all boards it could still be, each with its chance (Bayes' rule)."""

from collections.abc import Mapping
from functools import cache

from workbook.case import acts, board
from workbook.case.acts import Done
from workbook.case.board import Board, Supply
from workbook.case.playing import Played, Step, ends_worth

Weights = Mapping[Board, float]
"""The boards it could be, with their chances; together 1."""


@cache
def before() -> Weights:
    """Return what is known when a board comes in. Nobody may change it."""
    return dict(board.boards())


def after(weights: Weights, supply: Supply, step: Step) -> Weights:
    """Return what is known after an act: the boards that could have told this, by Bayes' rule.

    Raises
    ------
    ValueError
        If no board could have told it: then the act was not played on this model.
    """
    if step.refused or not acts.hangs_on_board(step.word):
        return weights
    found: dict[Board, float] = {}
    for one, chance in weights.items():
        for way in acts.outcomes(one, supply, step.done_before, step.word, step.numbers):
            if way.told == step.told and way.done == step.done:
                found[way.board] = found.get(way.board, 0.0) + chance * way.chance
    total = sum(found.values())
    if not total:
        raise ValueError(f"no board of this model tells {step.told!r} after {step.act!r}")
    return {one: chance / total for one, chance in found.items()}


def along(played: Played) -> list[Weights]:
    """Return what was known before the first act and after each."""
    known = [before()]
    for step in played.steps:
        known.append(after(known[-1], played.supply, step))
    return known


def chance(weights: Weights, wanted) -> float:
    """Return how likely it is that the board is as wanted, a function of a `Board`."""
    return sum(share for one, share in weights.items() if wanted(one))


def causes(weights: Weights) -> dict[str, float]:
    """Return how likely each cause is, the likeliest first."""
    found: dict[str, float] = {}
    for one, share in weights.items():
        found[one.cause] = found.get(one.cause, 0.0) + share
    return dict(sorted(found.items(), key=lambda item: -item[1]))


def mean_worth(weights: Weights, done: Done, end: str) -> float:
    """Return what an end would bring on average on what is known, costs not counted [credits]."""
    closed = done._replace(end=end)
    return sum(share * ends_worth(one, closed) for one, share in weights.items())
