"""Drawings made by code in one hand: pure functions of real numbers, no files, no widgets.

Every drawing takes SI units (lengths in metres) and returns a :class:`~workbook.drawings.pen.Drawing`. What carries a
scale bar is exact to scale; what does not says "not to scale". No meaning hangs on colour alone.
"""

import importlib

from workbook.drawings.pen import Drawing


def show(name: str, **numbers) -> Drawing:
    """Return a drawing by ``module.function``, made from its own numbers or from those given.

    >>> show("joint.cut_open", ball=0.45e-3).title
    'A ball joint cut open'
    """
    module, function = name.split(".")
    return getattr(importlib.import_module(f"workbook.drawings.{module}"), function)(**numbers)
