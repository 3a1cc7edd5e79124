"""Twenty-four ways in which invented learners work a whole board: each habit is one thing done otherwise."""

from collections.abc import Callable

from workbook.case import ways

ActsOf = Callable[[int], list[str]]
"""The acts a habit does on the case of a seed."""


def _of(way) -> ActsOf:
    return lambda seed: [step.act for step in way(seed).steps]


def _without(*words: str) -> ActsOf:
    """Work the best way, and leave every act out that begins with one of these words."""
    return lambda seed: [act for act in _of(ways.best_way)(seed) if not act.startswith(words)]


def _instead(word: str, act: str) -> ActsOf:
    """Work the best way, with another act wherever one begins with a word."""
    return lambda seed: [act if one.startswith(word) else one for one in _of(ways.best_way)(seed)]


def _programme(numbers: str) -> ActsOf:
    """Work the best way, with one programme for every heat."""

    def acts(seed: int) -> list[str]:
        hot = ("heat", "replace U1", "reball")
        return [
            f"{' '.join(one.split()[:2])} {numbers}" if one.startswith(hot) else one for one in _of(ways.best_way)(seed)
        ]

    return acts


HABITS: dict[str, tuple[str, ActsOf]] = {
    "amber": ("the best way found", _of(ways.best_way)),
    "birch": ("proves nothing clean", _without("prove clean")),
    "cedar": ("heats at once", _of(ways.heat_at_once)),
    "dahlia": ("measures everything", _of(ways.measure_everything)),
    "elder": ("refuses everything", _of(ways.refuse_everything)),
    "fern": ("does not ask the customer", _without("ask")),
    "ginkgo": ("never looks below", _without("look bottom")),
    "hazel": ("never unplugs", _without("unplug")),
    "iris": ("drains for a second", _instead("discharge", "discharge 1")),
    "juniper": ("proves nothing dead", _without("prove dead")),
    "kale": ("works without the hood", _without("hood")),
    "laurel": ("never bakes", _without("bake")),
    "maple": ("sets no bead", _without("bead")),
    "nettle": ("does not let it cool", _without("cool")),
    "olive": ("reads no rail", _without("measure")),
    "pine": ("heats too little", _programme("280 260 30")),
    "quince": ("heats too much", _programme("340 320 120")),
    "rowan": ("forces the sink off", _without("loosen")),
    "sage": ("never cleans", _without("clean", "prove clean")),
    "thyme": ("fits no pads", _without("pads")),
    "ulmus": ("never checks the sink", _without("check")),
    "violet": ("sends it back untested", _without("test")),
    "willow": ("tells the customer nothing", _without("tell")),
    "yarrow": ("reballs instead of heating", _instead("heat U1", "reball U1 320 300 90")),
}
"""By learner of the demo: the habit in words, and its acts on a case."""
