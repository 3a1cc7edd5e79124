"""Drawings made by code in one hand: pure functions of real numbers, no files, no widgets.

Every drawing takes SI units (lengths in metres) and returns a :class:`~workbook.drawings.pen.Drawing`. What carries a
scale bar is exact to scale; what does not says "not to scale". No meaning hangs on colour alone.
"""
