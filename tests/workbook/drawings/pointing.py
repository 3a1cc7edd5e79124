"""What lies under a point of a drawing, as a browser finds it: the part that was drawn last."""


def inside(polygon, x, y):
    """Whether a point lies in a polygon, by counting the edges to its right."""
    crossed = 0
    for (x1, y1), (x2, y2) in zip(polygon, polygon[1:] + polygon[:1], strict=True):
        crossed += (y1 > y) != (y2 > y) and x < x1 + (y - y1) / (y2 - y1) * (x2 - x1)
    return crossed % 2 == 1


def region_at(view, x, y):
    """Return the region under a point of a view, or None."""
    return next((region for region in reversed(view.regions) if inside(region.polygon, x, y)), None)
