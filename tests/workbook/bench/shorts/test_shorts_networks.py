"""Resistor networks, held to exact results, to networkx, and to the laws every network obeys."""

import math
from fractions import Fraction

import networkx
import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from workbook.bench.shorts import networks
from workbook.references import entry, value

ohms = st.floats(1e-3, 1e6)


def by_networkx(links, first, second):
    graph = networkx.MultiGraph()
    graph.add_weighted_edges_from(links, weight="ohm")
    return networkx.resistance_distance(graph, first, second, weight="ohm", invert_weight=True)


@st.composite
def joined_networks(draw):
    """A connected network of up to seven nodes, with doubled links allowed."""
    count = draw(st.integers(2, 7))
    spine = [(draw(st.integers(0, node - 1)), node) for node in range(1, count)]
    pairs = st.tuples(st.integers(0, count - 1), st.integers(0, count - 1)).filter(lambda pair: pair[0] != pair[1])
    extra = draw(st.lists(pairs, max_size=8))
    return [(*pair, draw(st.floats(0.1, 100))) for pair in spine + extra]


def test_cube():
    """Published second-hand: an old exercise, 5/6 through the body. Computed: 7/12 along an edge, 3/4 across a face."""
    corners = ((1, 0, 0), (1, 1, 0), (1, 1, 1))
    found = [networks.resistance_between(networks.cube_links(), (0, 0, 0), corner) for corner in corners]
    assert found == pytest.approx([*value("shorts", "cube_edge_and_face"), value("shorts", "cube_body_diagonal")])


@pytest.mark.parametrize("row", value("shorts", "finite_grids"), ids=str)
def test_finite_grids(row):
    """Computed with networkx."""
    nodes, x1, y1, x2, y2, ohm = row
    found = networks.resistance_between(networks.grid_links(nodes, nodes), (x1, y1), (x2, y2))
    assert found == pytest.approx(ohm, abs=6e-7)


def test_three_by_three_and_five_by_five_grids_are_their_fractions():
    three, five = networks.grid_links(3, 3), networks.grid_links(5, 5)
    assert networks.resistance_between(three, (0, 0), (1, 0)) == pytest.approx(17 / 24)
    assert networks.resistance_between(five, (0, 0), (4, 4)) == pytest.approx(47 / 22)


def test_documented_example_of_networkx():
    """Published: documentation of networkx."""
    links = [(1, 2, 1), (1, 3, 1), (1, 4, 1), (3, 4, 1), (3, 5, 1), (4, 5, 1)]
    assert networks.resistance_between(links, 1, 3) == pytest.approx(value("shorts", "networkx_example"))


def test_unbalanced_bridge():
    """Computed by two libraries: 170/71."""
    links = [("A", "B", 1), ("A", "C", 2), ("B", "D", 3), ("C", "D", 4), ("B", "C", 5)]
    assert networks.resistance_between(links, "A", "D") == pytest.approx(value("shorts", "unbalanced_bridge"))


@given(joined_networks())
def test_any_network_agrees_with_networkx(links):
    ends = links[0][0], links[-1][1]
    assume(ends[0] != ends[1])
    assert networks.resistance_between(links, *ends) == pytest.approx(by_networkx(links, *ends), rel=1e-8)


@given(joined_networks())
def test_a_meter_reads_the_same_with_its_leads_swapped(links):
    first, second = links[0][:2]
    there, back = (networks.resistance_between(links, *pair) for pair in ((first, second), (second, first)))
    assert there == pytest.approx(back, rel=1e-9)


@given(joined_networks(), st.floats(0.1, 100))
def test_one_more_link_never_raises_a_resistance(links, ohm):
    first, second = links[0][:2]
    before = networks.resistance_between(links, first, second)
    after = networks.resistance_between([*links, (*links[-1][:2], ohm)], first, second)
    assert after <= before * (1 + 1e-9)


@given(joined_networks(), st.floats(-5, 5), st.floats(-5, 5))
def test_potentials_of_two_currents_add(links, one, other):
    first, second = links[0][1], links[-1][1]
    together = networks.node_potentials(links, {first: one} | {second: other + (one if second == first else 0)}, 0)
    apart = [networks.node_potentials(links, {node: amps}, 0) for node, amps in ((first, one), (second, other))]
    assert together == pytest.approx({node: apart[0][node] + apart[1][node] for node in together}, abs=1e-9)


@given(joined_networks())
def test_current_is_kept_at_every_node(links):
    potentials = networks.node_potentials(links, {1: 1.0}, 0)
    balance = dict.fromkeys(potentials, 0.0)
    for one, other, ohm in links:
        current = (potentials[one] - potentials[other]) / ohm
        balance[one] += current
        balance[other] -= current
    assert balance == pytest.approx({node: {0: -1.0, 1: 1.0}.get(node, 0.0) for node in balance}, abs=1e-9)


def test_a_node_without_a_way_to_earth_is_named():
    with pytest.raises(ValueError, match="'island'"):
        networks.node_potentials([("a", "earth", 1.0), ("island", "shore", 1.0)], {"a": 1.0}, "earth")


def test_current_into_a_node_without_links_is_refused():
    with pytest.raises(ValueError, match="'nowhere'"):
        networks.node_potentials([("a", "earth", 1.0)], {"nowhere": 1.0}, "earth")


def test_a_link_of_no_resistance_is_refused():
    with pytest.raises(ValueError, match="resistances must be above 0 ohm"):
        networks.node_potentials([("a", "b", 0.0)], {"a": 1.0}, "b")


# --- endless networks


@pytest.mark.parametrize("row", value("shorts", "lattice_resistances"), ids=str)
def test_endless_grid_by_integral_and_by_fractions(row):
    """Published: OEIS A355565, quoting Cserti and Atkinson and van Steenwijk."""
    m, n, ohm = row
    whole, over_pi = networks.lattice_fractions(m, n)
    assert networks.lattice_resistance(m, n) == pytest.approx(ohm, abs=5.1e-7)
    assert float(whole) + float(over_pi) / math.pi == pytest.approx(networks.lattice_resistance(m, n), abs=1e-11)


@pytest.mark.parametrize(
    ("m", "n", "whole", "over_pi"),
    [
        (2, 0, "2", "-4"),
        (2, 1, "-1/2", "4"),
        (3, 1, "-4", "46/3"),
        (3, 2, "1/2", "4/3"),
        (3, 3, "0", "46/15"),
        (4, 0, "40", "-368/3"),
        (4, 1, "-49/2", "80"),
        (4, 4, "0", "352/105"),
    ],
)
def test_endless_grid_fractions_are_those_printed(m, n, whole, over_pi):
    """Published: OEIS A355565."""
    assert networks.lattice_fractions(m, n) == (Fraction(whole), Fraction(over_pi))


@given(st.integers(-12, 12), st.integers(-12, 12))
def test_endless_grid_is_harmonic_away_from_the_origin(m, n):
    around = sum(networks.lattice_resistance(m + x, n + y) for x, y in ((1, 0), (-1, 0), (0, 1), (0, -1)))
    at_origin = 2 if (m, n) == (0, 0) else 0
    assert around - 4 * networks.lattice_resistance(m, n) == pytest.approx(at_origin, abs=1e-10)


def test_far_field_at_ten_ten():
    """Computed: 1.35807 exact, 1.35794 from the asymptote."""
    answer = entry("shorts", "lattice_far_field_10_10")
    assert networks.lattice_far_field(math.hypot(10, 10)) == pytest.approx(answer.value, abs=answer.uncertainty)
    assert networks.lattice_resistance(10, 10) == pytest.approx(1.35807, abs=5e-6)


@pytest.mark.parametrize(("m", "n"), [(11, 0), (20, 7), (60, 60), (200, 3)])
def test_far_field_is_within_two_parts_in_ten_thousand_beyond_ten_links(m, n):
    assert networks.lattice_far_field(math.hypot(m, n)) == pytest.approx(networks.lattice_resistance(m, n), rel=2e-4)


def test_endless_ladder():
    """Published: the golden section, shunt first."""
    assert networks.ladder_resistance(1.0, 1.0) == pytest.approx(value("shorts", "endless_ladder"), abs=1e-10)


@given(ohms, ohms)
def test_one_more_step_before_an_endless_ladder_changes_nothing(across, along):
    endless = networks.ladder_resistance(across, along)
    assert networks.parallel(across, networks.series(along, endless)) == pytest.approx(endless, rel=1e-6)


# --- small networks


def test_64_in_parallel_with_15():
    """Computed: 960/79."""
    assert networks.parallel(56.0, 14.0) == pytest.approx(value("shorts", "parallel_56_14"))


def test_a_short_hides_everything_in_parallel_and_an_open_part_nothing():
    assert networks.parallel(0.0, 64.0, np.inf) == 0.0
    assert networks.parallel(64.0, np.inf) == 64.0
    assert networks.series(64.0, np.inf) == np.inf


@given(st.lists(ohms, min_size=1, max_size=6))
def test_parallel_is_less_than_the_least(resistances):
    assert networks.parallel(*resistances) <= min(resistances) * (1 + 1e-12)


@pytest.mark.parametrize("row", value("shorts", "wheatstone_balances"), ids=str)
def test_balanced_bridges_of_a_physics_text(row):
    """Computed from published inputs."""
    *arms, fourth = row
    assert networks.balancing_resistance(*arms) == pytest.approx(fourth, rel=5e-4)


def test_the_wrong_key_of_a_question_bank_does_not_balance():
    trap = entry("shorts", "wheatstone_12_5")

    def unbalance(fourth):
        links = [("top", "left", 10), ("top", "right", 15), ("left", "foot", 5), ("right", "foot", fourth)]
        potentials = networks.node_potentials(links, {"top": 1.0}, "foot")
        return potentials["left"] - potentials["right"]

    assert networks.balancing_resistance(10, 15, 5) == trap.value
    assert unbalance(trap.value) == pytest.approx(0, abs=1e-12)
    assert abs(unbalance(trap.printed)) > 0.1


def test_a_balanced_bridge_seen_from_its_supply():
    """Computed: 30 and 15 over 10 and 5, loop 11.25 ohm, 16.25 with 5 in series; the galvanometer's arm is idle."""
    links = [("s", "t", 5), ("t", "l", 30), ("l", "f", 15), ("t", "r", 10), ("r", "f", 5), ("l", "r", 7)]
    assert networks.resistance_between(links, "t", "f") == pytest.approx(networks.parallel(45, 15))
    assert networks.resistance_between(links, "s", "f") == pytest.approx(16.25)


def test_star_of_a_worked_set():
    """Computed: delta 30, 60, 90."""
    assert networks.star_from_delta(30, 60, 90) == pytest.approx(value("shorts", "delta_30_60_90"))


def test_the_wrong_star_of_an_answer_site_is_not_reproduced():
    """Computed: delta 12, 18, 24 has arms 4, 8 and 16/3, not 16."""
    trap = entry("shorts", "delta_12_18_24")
    arm_a, arm_b, arm_c = networks.star_from_delta(12, 18, 24)
    assert (arm_b, arm_c, arm_a) == pytest.approx(trap.value)
    assert arm_a != pytest.approx(trap.printed[2], rel=0.5)


def test_the_wrong_star_beside_a_calculator_is_not_reproduced():
    """Computed: opposite to 30, 60, 90 lie 30, 15, 10; printed are 36, 18, 12, which a meter tells from the delta."""
    trap = entry("shorts", "delta_30_60_90_calculator")
    at_30_90, at_30_60, at_60_90 = networks.star_from_delta(30, 60, 90)
    assert (at_60_90, at_30_90, at_30_60) == pytest.approx(trap.value)
    delta = [("A", "B", 30), ("B", "C", 60), ("C", "A", 90)]
    seen = networks.resistance_between(delta, "A", "B")
    assert at_30_90 + at_30_60 == pytest.approx(seen)
    assert trap.printed[1] + trap.printed[2] == pytest.approx(1.2 * seen)


@given(ohms, ohms, ohms)
def test_star_and_delta_undo_each_other(a, b, c):
    assert networks.star_from_delta(*networks.delta_from_star(a, b, c)) == pytest.approx((a, b, c), rel=1e-9)


@given(*[st.floats(0.1, 1e3)] * 3)
def test_no_meter_tells_a_star_from_its_delta(ab, bc, ca):
    a, b, c = networks.star_from_delta(ab, bc, ca)
    delta = [("A", "B", ab), ("B", "C", bc), ("C", "A", ca)]
    assert networks.resistance_between(delta, "A", "B") == pytest.approx(a + b, rel=1e-9)
    assert networks.resistance_between(delta, "B", "C") == pytest.approx(b + c, rel=1e-9)


def test_a_delta_of_nothing_has_no_star():
    with pytest.raises(ValueError, match="sum of the delta"):
        networks.star_from_delta(0, 0, 0)
