"""Signs of a circuit: resistor, capacitor, meter, between two points one above the other, in pixels."""

from workbook.drawings.pen import Pen, Point


def resistor(pen: Pen, start: Point, end: Point, broken: bool = False, upright: bool = True) -> None:
    """Draw a resistor as a box in its wire, cracked through if ``broken``."""
    x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    wide, tall = (18, 44) if upright else (44, 18)
    pen.line([start, end], "thick")
    pen.box(x - wide / 2, y - tall / 2, wide, tall, "paper", weight="thick")
    if broken:
        pen.shape([(x - 12, y + 2), (x + 12, y - 10), (x + 12, y - 2), (x - 12, y + 10)], "paper", line="")
        for dy in (-4, 4):
            pen.line(
                [(x - 12, y + 6 + dy), (x - 3, y + dy + 3), (x + 2, y + dy - 1), (x + 12, y - 6 + dy)], "thick", "wrong"
            )


def capacitor(pen: Pen, start: Point, end: Point) -> None:
    """Draw a capacitor: two plates across the wire."""
    x, y = start[0], (start[1] + end[1]) / 2
    pen.line([start, (x, y - 5)], "thick")
    pen.line([(x, y + 5), end], "thick")
    for side in (-5, 5):
        pen.line([(x - 18, y + side), (x + 18, y + side)], "heavy")


def meter(pen: Pen, start: Point, end: Point, letter: str) -> None:
    """Draw a meter: a letter in a circle."""
    x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    pen.line([start, end], "thick")
    pen.disc(x, y, 19, "paper", weight="thick")
    pen.words(x, y, letter, "middle", bold=True, size=17)
