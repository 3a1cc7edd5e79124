"""A wedge of paste, held to an integral and to the flat layers on either side of it."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from workbook.bench.paste import chain, wedge
from workbook.references import value

DIE = 14e-3**2


@given(st.floats(5, 200), st.floats(1.0, 20))
def test_a_wedge_is_strips_side_by_side(thin_um, times):
    thin, thick = thin_um * 1e-6, thin_um * times * 1e-6
    conductance, _ = quad(lambda x: 3 * DIE / (thin + (thick - thin) * x), 0, 1)
    assert wedge.wedge_resistance(thin, thick, 3, DIE) == pytest.approx(1 / conductance, rel=1e-6)


@given(st.floats(5, 200), st.floats(1.01, 20))
def test_a_wedge_lies_between_its_thin_edge_and_its_mean_gap(thin_um, times):
    thin, thick = thin_um * 1e-6, thin_um * times * 1e-6
    ours = wedge.wedge_resistance(thin, thick, 3, DIE)
    assert chain.layer_resistance(thin, 3, DIE) < ours < chain.layer_resistance((thin + thick) / 2, 3, DIE)


def test_figures_of_the_references():
    ours = [
        wedge.wedge_resistance(50e-6, 150e-6, 3, DIE),
        *(chain.layer_resistance(gap, 3, DIE) for gap in (50e-6, 100e-6)),
    ]
    assert ours == pytest.approx(value("paste", "wedge_resistances"), abs=5e-4)


def test_a_flat_layer_is_no_special_case():
    gaps = np.array([50e-6, 50e-6 * (1 + 1e-7), 50e-6 * (1 + 1e-5)])
    flat = chain.layer_resistance((50e-6 + gaps) / 2, 3, DIE)
    assert wedge.wedge_resistance(50e-6, gaps, 3, DIE) == pytest.approx(flat, rel=1e-9)


def test_the_thin_edge_is_named_first():
    with pytest.raises(ValueError, match="thick_edge minus thin_edge"):
        wedge.wedge_resistance(150e-6, 50e-6, 3, DIE)
