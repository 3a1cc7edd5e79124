"""All drawings on one page: ``python -m workbook.drawings.gallery OUT.html``."""

import sys
from pathlib import Path

from workbook.drawings import show
from workbook.drawings.pen import Drawing

EVERY = {
    "joint": ("cut_open", "told_apart", "row_cut_open", "crack_and_voids", "layers", "leaning_row", "dye_map"),
    "collapse": ("stages",),
    "looks": ("four_looks", "edge_row", "unsharpness"),
    "station": ("five_beads", "seats", "bead_fixed", "through_the_board", "hood"),
    "curve": ("log_curve",),
    "stack": ("planes_and_vias", "bow_and_twist", "sag"),
    "discharge": ("bleeder", "strap"),
    "wires": ("two_and_four", "four_on_a_plane", "plane_from_above", "net_of_links", "flex_crack"),
    "packages": ("two_packages", "side_by_side", "clearances", "corner_glue", "edges", "floor_life"),
    "sink": (
        "pinned_wedge",
        "print_of_paste",
        "bare_patches",
        "paste_patterns",
        "paste_and_pad",
        "layer_of_paste",
        "loosen",
    ),
    "marks": ("earlier_repair", "whiskers"),
    "bench": ("board_at_work", "way_taken"),
}
"""The drawings by module, in teaching order within each."""


def drawings() -> dict[str, Drawing]:
    """Return every drawing with its own default numbers, by ``module.function``."""
    names = [f"{module}.{function}" for module, functions in EVERY.items() for function in functions]
    return {name: show(name) for name in names}


def page() -> str:
    """Return the gallery as a page."""
    body = "".join(f"<h2>{name}</h2>{drawing.html()}" for name, drawing in drawings().items())
    return (
        '<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width">'
        "<title>Drawings</title><style>:root{color-scheme:light dark}"
        "body{font:15px/1.5 system-ui,sans-serif;margin:8px;max-width:880px}h2{font-size:14px}</style>"
        f"<main><h1>Drawings</h1>{body}</main></html>"
    )


if __name__ == "__main__":
    Path(sys.argv[1]).write_text(page(), encoding="utf-8")
