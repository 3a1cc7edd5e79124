"""A joint before it melts, after it has sunk, and when it melts once more."""

from typing import NamedTuple

from workbook.bench.paste import solder_ball
from workbook.drawings.joint import COPPER
from workbook.drawings.pen import Drawing, Pen, Point, View, arc, barrel


def stages(ball=0.60e-3, package_land=0.48e-3, board_land=0.48e-3, foil=0.12e-3, opening=0.40e-3) -> Drawing:
    """Draw a ball on its print, sunk once melted, and melted again; and a package's edge seen from the side.

    Lengths in metres: the ball, the lands and the stencil opening are diameters. Half of the print's volume is metal,
    and the ball is set half way down into the print. Exact to scale.
    """
    collapse = _Collapse.of(ball, package_land, board_land, foil, opening)
    return Drawing("collapse", "How a joint sinks when it melts", (_three_times(collapse), _edge(collapse)))


class _Collapse(NamedTuple):
    """A ball on its print: how high the package stands before and after it melted, and what of. All in metres."""

    placed: float
    sunk: float
    hanging: float
    top: float
    bottom: float
    foil: float
    opening: float

    @classmethod
    def of(cls, ball: float, package_land: float, board_land: float, foil: float, opening: float) -> "_Collapse":
        top, bottom = package_land / 2, board_land / 2
        metal = solder_ball.ball_volume(ball)
        hanging = float(solder_ball.cap_height(metal, top))
        print_metal = 0.5 * solder_ball.volume_of_round_print(opening, foil, 0.85)
        sunk = float(solder_ball.joint_height(metal + print_metal, top, bottom))
        return cls(hanging + foil / 2, sunk, hanging, top, bottom, foil, opening)

    @property
    def drop(self) -> list[Point]:
        """The ball as it hangs from the package's land, set down half way into the print."""
        return [(x, y + self.foil / 2) for x, y in barrel(self.hanging, self.top, 1e-7)]


def _three_times(one: _Collapse) -> View:
    placed, sunk, _, top, bottom, foil, opening = one
    view = Pen(314)
    view.heading("a", "One joint, three times")
    for n, (name, height) in enumerate((("set down", placed), ("melted once", sunk), ("melted again", sunk))):
        pen = view.scaled((72 + 138 * n, 216), 170e3)
        pen.box(-0.34e-3, -COPPER - 0.12e-3, 0.68e-3, 0.12e-3, "laminate")
        pen.box(-bottom, -COPPER, 2 * bottom, COPPER, "copper")
        if n == 0:
            pen.box(-opening / 2, 0, opening, foil, "paste", part="print")
            pen.shape(one.drop, "solder", weight="thick", part="joint-0")
        else:
            pen.shape(barrel(height, top, bottom), "solder", weight="thick", part=f"joint-{n}")
        pen.box(-top, height, 2 * top, COPPER, "copper")
        pen.box(-0.34e-3, height + COPPER, 0.68e-3, 0.14e-3, "package")
        pen.dimension((0, 0.02e-3), (0, height - 0.02e-3), "")
        view.words(72 + 138 * n, 256, f"{name}\n{1e3 * height:.2f} mm", "middle", bold=True)
    level = view.scaled((0, 216), 170e3)
    level.line([(0.03e-3, placed), (2.4e-3, placed)], "hair", "soft", dash="5 4")
    view.words(218, 70, "sinks", "start", "cool")
    view.arrow((210, 62), (210, 108), "thick", "cool")
    view.words(348, 92, "stays", "middle", "cool")
    pen.scale_bar(14, 300, 0.2e-3, "0.2 mm")
    return view.view(
        "One joint, three times",
        f"Set down on its print, a ball holds the package {1e3 * placed:.2f} mm above the land. Melted, ball and print "
        f"run together and it sinks to {1e3 * sunk:.2f} mm. Melted again it stays at {1e3 * sunk:.2f} mm: the same "
        "solder between the same lands has the same height.",
    )


def _edge(one: _Collapse) -> View:
    placed, sunk, _, top, bottom, foil, opening = one
    side = Pen(314)
    side.heading("b", "The package's edge, seen from the side")
    for n, (height, name) in enumerate(
        ((placed, "before: round balls, a tall gap"), (sunk, "after: barrels, a low gap"))
    ):
        ground = 116 + 122 * n
        pen = side.scaled((48, ground), 82e3)
        pen.box(-0.45e-3, -0.14e-3, 4.9e-3, 0.14e-3, "laminate")
        for ball_number in range(5):
            x = ball_number * 1.0e-3
            if n == 0:
                pen.box(x - opening / 2, 0, opening, foil, "paste")
            outline = one.drop if n == 0 else barrel(height, top, bottom)
            pen.shape([(x + px, py) for px, py in outline], "solder")
            shine = arc(x - 0.08e-3, height * 0.62, 0.09e-3, 110, 190)
            pen.line(shine, "thick", "paper")
        pen.box(-0.35e-3, height, 4.7e-3, 0.30e-3, "package")
        side.words(12, ground + 30, name)
    pen.scale_bar(14, 300, 0.5e-3, "0.5 mm")
    return side.view(
        "The package's edge, seen from the side",
        "Before melting, round balls stand under the package with a tall gap. After it, they are barrels with shiny "
        "flanks and the gap is lower, alike along the whole edge. A corner that did not sink shows as a gap "
        "that grows.",
    )
