"""Boards, beads and slabs warm up as the textbooks and the exact series say."""

from math import pi

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy import integrate, optimize, special

from workbook.bench.profile import conduction, films
from workbook.references import entry, value

biots = st.floats(0.01, 50)
fouriers = st.floats(0.21, 5)
positions = st.floats(0, 1)


def answer(key):
    """Return a reference's value as something to compare with, as near as the source gives it."""
    found = entry("profile", key)
    return pytest.approx(found.value, abs=found.uncertainty)


# Lumped bodies


def test_a_thermocouple_bead_takes_five_seconds_to_199_degrees():
    assert conduction.lumped_time(199, 1.0, 25, 200) == answer("bead_time_case")
    assert conduction.biot(400, value("profile", "bead_diameter_case") / 6, 20) == pytest.approx(
        value("profile", "bead_biot_case"), rel=2e-3
    )


def test_a_solder_bead_has_the_time_constant_of_the_textbook():
    heat = conduction.heat_capacity(pi / 6 * 1e-9, 9300, 180)
    assert conduction.lumped_time_constant(heat, 250 * pi * 1e-6) == pytest.approx(
        value("profile", "solder_bead_case"), abs=0.0005
    )


def test_a_junction_comes_within_one_percent_in_ten_seconds():
    tau = conduction.lumped_time_constant(conduction.heat_capacity(pi / 6 * 1e-9, 8500, 320), 210 * pi * 1e-6)
    assert 1 / tau == pytest.approx(0.462, abs=0.002)  # the book rounds D/6 first
    assert conduction.lumped_time(0.99, tau, 0, 1) == answer("junction_time_case")
    assert conduction.biot(210, 1e-3 / 6, 35) == pytest.approx(0.001)


def test_a_panel_in_an_oven_and_in_a_room_takes_as_long_as_the_textbook_says():
    heat = 2770 * 875 * 1.5e-3  # J/m2/K of half the panel

    def until(start, target, surroundings, film):
        def rate(_, c):
            return (film * (surroundings - c) - films.radiation_flux(0.8, c, surroundings)) / heat

        def there(_, c):
            return c[0] - target

        there.terminal = True
        run = integrate.solve_ivp(rate, (0, 3000), [start], events=there, dense_output=True, rtol=1e-8)
        return run

    heating = until(25.0, 150.0, 175.0, 40.0)
    assert heating.t[-1] == pytest.approx(value("profile", "panel_heating_case"), rel=0.01)
    soaking = until(25.0, 1e3, 175.0, 40.0)
    end = heating.t[-1] + 300
    cooling = until(float(soaking.sol(end)[0]), 37.0, 25.0, 10.0)
    assert end + cooling.t[-1] == pytest.approx(value("profile", "panel_total_case"), rel=0.01)


def test_a_board_over_a_heater_reaches_its_soak_when_both_faces_are_counted():
    heat = conduction.heat_capacity(0.1 * 0.1 * 1.6e-3, 1850, 1100)
    tau = conduction.lumped_time_constant(heat, 20 * 2 * 0.01)
    assert tau == pytest.approx(81.4, abs=0.05)
    assert conduction.lumped_time(150, tau, 25, 25 + 60 / 0.4) == pytest.approx(146, abs=0.5)
    assert conduction.biot(20, conduction.characteristic_length(1.6e-5, 0.02), 0.3) < value(
        "profile", "lumped_biot_at_most"
    )


@given(st.floats(0.1, 500), st.floats(-50, 300), st.floats(-50, 300), st.floats(0.01, 0.99))
def test_time_to_a_temperature_is_when_the_body_has_it(tau, start, final, share):
    assume(abs(final - start) > 1)
    target = start + share * (final - start)
    time = conduction.lumped_time(target, tau, start, final)
    assert time > 0
    assert conduction.lumped_temperature(time, tau, start, final) == pytest.approx(target, abs=1e-9)


def test_a_final_temperature_is_never_reached():
    for target in (200, 201, 20, float("nan")):
        with pytest.raises(ValueError, match="from the start to short of the end"):
            conduction.lumped_time(target, 1.0, 25, 200)
    with pytest.raises(ValueError, match="from the start to short of the end"):
        conduction.lumped_time(25, 1.0, 25, 25)


def test_a_body_already_there_needs_no_time():
    assert conduction.lumped_time(25, 1.0, 25, 200) == 0


# Slabs


@pytest.mark.parametrize(("biot", "root", "coefficient"), value("profile", "slab_roots"))
def test_first_root_and_coefficient_are_those_of_the_table(biot, root, coefficient):
    assert conduction.slab_eigenvalue(biot) == pytest.approx(root, abs=6e-5)
    centre = conduction.slab_one_term(biot, 0.3)
    found = centre / np.exp(-(conduction.slab_eigenvalue(biot) ** 2) * 0.3)
    # The table prints 1.2403 at Biot number 5, which computes to 1.2402.
    assert found == pytest.approx(coefficient, abs=1.5e-4)


@given(biots, st.integers(1, 12))
def test_a_root_solves_the_slab_equation_on_its_own_branch(biot, term):
    root = conduction.slab_eigenvalue(biot, term)
    assert (term - 1) * pi < root < (term - 0.5) * pi
    independent = optimize.brentq(
        lambda x: x * np.sin(x) - biot * np.cos(x), (term - 1) * pi + 1e-12, (term - 0.5) * pi, xtol=1e-13
    )
    assert root == pytest.approx(independent, abs=1e-9)


def test_the_wall_of_a_pipe_warms_as_in_the_textbook():
    biot, fourier = conduction.biot(500, 0.040, 63.9), conduction.fourier(18.8e-6, 480, 0.040)
    assert biot == pytest.approx(value("profile", "wall_biot_case"), abs=5e-4)
    assert fourier == pytest.approx(value("profile", "wall_fourier_case"), abs=5e-3)
    insulated, wetted = 60 - 80 * conduction.slab_one_term(biot, fourier, np.array([0.0, 1.0]))
    assert insulated == answer("wall_insulated_case")
    assert wetted == answer("wall_wetted_case")
    assert 500 * (wetted - 60) == answer("wall_flux_case")
    heat = -conduction.slab_heat_share(biot, fourier) * 63.9 / 18.8e-6 * pi * 1.0 * 0.040 * 80
    assert heat == pytest.approx(value("profile", "wall_heat_case"), rel=3e-3)


def test_brass_plates_in_a_furnace_come_to_the_exact_temperature():
    thick = 500 - 480 * conduction.slab_one_term(120 * 0.02 / 110, 33.9e-6 * 420 / 0.02**2, 1.0)
    assert thick == answer("brass_plate_case")
    thin = 700 - 675 * conduction.slab_one_term(80 * 0.015 / 110, 33.9e-6 * 600 / 0.015**2, 1.0)
    assert thin == answer("brass_slab_case")


def test_a_cosine_in_degrees_gives_the_answer_that_is_wrong_in_print():
    trap = entry("profile", "trap_cosine_in_degrees")
    biot, fourier = 80 * 0.015 / 110, 33.9e-6 * 600 / 0.015**2
    at_surface, at_centre = conduction.slab_one_term(biot, fourier, np.array([1.0, 0.0]))
    assert 700 - 675 * at_surface == pytest.approx(trap.value, abs=0.1)
    # In degrees the cosine is as good as 1, and the surface is given the temperature of the middle.
    assert 700 - 675 * at_centre < trap.value - 1
    assert abs(700 - 675 * at_centre - trap.printed) < abs(trap.value - trap.printed)


@given(biots, fouriers, positions)
def test_after_a_fifth_of_the_time_one_term_is_the_series_within_two_percent(biot, fourier, position):
    one, all_ = (f(biot, fourier, position) for f in (conduction.slab_one_term, conduction.slab_series))
    assert one == pytest.approx(all_, abs=0.02)


def test_one_term_is_refused_where_it_is_wrong():
    with pytest.raises(ValueError, match="one-term solution must be above 0.2"):
        conduction.slab_one_term(4, 0.13)
    centre = conduction.slab_series(4, 0.13)
    root = conduction.slab_eigenvalue(4)
    one = 4 * np.sin(root) / (2 * root + np.sin(2 * root)) * np.exp(-(root**2) * 0.13)
    assert one / centre - 1 == pytest.approx(0.04, abs=0.01)


@given(biots, st.floats(0.005, 3), st.floats(0.005, 3), positions)
def test_a_slab_comes_nearer_to_the_gas_with_time(biot, one, other, position):
    early, late = conduction.slab_series(biot, np.array(sorted((one, other))), position)
    assert -1e-9 <= late <= early + 1e-7
    assert early <= 1 + 1e-5


@pytest.mark.parametrize(("biot", "fourier"), [(0.05, 0.1), (1, 0.3), (4, 0.13), (20, 0.5)])
def test_the_series_is_what_finite_differences_march_to(biot, fourier):
    n = 400
    dx = 1 / n

    def rate(_, theta):
        change = np.empty_like(theta)
        change[1:-1] = (theta[2:] - 2 * theta[1:-1] + theta[:-2]) / dx**2
        change[0] = 2 * (theta[1] - theta[0]) / dx**2
        change[-1] = 2 * (theta[-2] - theta[-1] - biot * dx * theta[-1]) / dx**2
        return change

    marched = integrate.solve_ivp(
        rate, (0, fourier), np.ones(n + 1), method="LSODA", lband=1, uband=1, rtol=1e-7, atol=1e-9
    ).y[:, -1]
    series = conduction.slab_series(biot, fourier, np.linspace(0, 1, n + 1))
    assert marched == pytest.approx(series, abs=1e-4)


@given(st.floats(1e-3, 0.02), st.floats(0.3, 3))
def test_a_thin_slab_is_a_lumped_body(biot, lumped_times):
    fourier = lumped_times / biot
    assert conduction.slab_one_term(biot, fourier, 1.0) == pytest.approx(np.exp(-lumped_times), abs=biot)


@given(biots, fouriers)
def test_heat_that_crossed_the_faces_is_what_the_inside_took(biot, fourier):
    x = np.linspace(0, 1, 2001)
    mean = integrate.simpson(conduction.slab_one_term(biot, fourier, x), x=x)
    assert conduction.slab_heat_share(biot, fourier) == pytest.approx(1 - mean, abs=1e-6)


# Thick bodies


def test_frost_reaches_a_water_main_two_thirds_of_a_metre_down():
    left = (0 + 15) / (20 + 15)
    depth = conduction.semi_infinite_depth(left, 60 * 86400, 1.38e-7)
    assert depth == answer("water_main_case")
    assert conduction.semi_infinite_fixed_surface(depth, 60 * 86400, 1.38e-7) == pytest.approx(left)


def test_the_printed_depth_of_frost_comes_from_the_wrong_inverse():
    trap = entry("profile", "trap_water_main")
    wrong = 2 * np.sqrt(1.38e-7 * 60 * 86400) * special.erfcinv((0 + 15) / (20 + 15))
    assert wrong == pytest.approx(trap.printed, abs=0.05)
    assert wrong - trap.value > 0.2


@given(st.floats(0, 0.02), st.floats(0.5, 200), st.floats(1, 5000))
def test_a_film_only_delays_what_a_fixed_surface_lets_in(depth, time, film):
    arrived = conduction.semi_infinite_film(depth, time, 1.7e-7, 0.3, film)
    at_once = 1 - conduction.semi_infinite_fixed_surface(depth, time, 1.7e-7)
    assert -1e-12 <= arrived <= at_once + 1e-12


def test_the_film_solution_is_the_printed_formula_where_that_does_not_overflow():
    depth, time, alpha, k, h = 1e-3, 20.0, 1.7e-7, 0.3, 60.0
    eta, reach = depth / (2 * np.sqrt(alpha * time)), h * np.sqrt(alpha * time) / k
    printed = special.erfc(eta) - np.exp(h * depth / k + reach**2) * special.erfc(eta + reach)
    assert conduction.semi_infinite_film(depth, time, alpha, k, h) == pytest.approx(printed, rel=1e-12)
    assert conduction.semi_infinite_film(0.0, time, alpha, k, 1e8) == pytest.approx(1, abs=1e-4)


def test_early_on_a_slab_is_a_thick_body():
    biot, fourier = 4, 0.02
    left = conduction.slab_series(biot, fourier, 1.0, terms=200)
    assert conduction.semi_infinite_film(0, fourier, 1, 1, biot) == pytest.approx(1 - left, abs=1e-6)


# Boards


def test_five_kilowatts_leave_the_far_face_23_kelvin_colder():
    k = value("profile", "fr4_conductivity_through")
    assert conduction.through_board_drop(5e3, 1.6e-3, k) == pytest.approx(23.3, abs=0.05)


def test_a_hot_spot_loses_what_the_fin_equation_says():
    r, t, k, h = 17.5e-3, 1.6e-3, 20.0, 24.0
    assert conduction.hot_disc_on_plate(r, t, k, h) == pytest.approx(value("profile", "disc_on_board_case"), abs=5e-6)
    m2 = h / (k * t)
    run = integrate.solve_bvp(
        lambda x, y: np.array([y[1], m2 * y[0] - y[1] / x]),
        lambda near, far: np.array([near[0] - 1, far[0]]),
        np.geomspace(r, 0.6, 400),
        np.array([np.linspace(1, 0, 400), np.zeros(400)]),
        tol=1e-8,
        max_nodes=20000,
    )
    assert -2 * pi * k * t * r * run.sol(r)[1] == pytest.approx(conduction.hot_disc_on_plate(r, t, k, h), rel=1e-5)


@given(st.floats(1e-3, 0.1), st.floats(5e-4, 4e-3), st.floats(0.3, 400), st.floats(2, 200))
def test_a_hot_spot_loses_more_than_a_straight_fin_of_its_edge(radius, thickness, k, film):
    straight = 2 * pi * radius * np.sqrt(film * k * thickness)
    assert conduction.hot_disc_on_plate(radius, thickness, k, film) > straight


def test_four_copper_planes_carry_heat_along_a_board_and_hardly_through_it():
    thickness = [4 * 35e-6, 1.6e-3 - 4 * 35e-6]
    along = conduction.in_plane_conductivity(thickness, [400, 0.9])
    half = conduction.in_plane_conductivity(thickness, [conduction.plane_conductivity(0.5, 400, 0.9), 0.9])
    through = conduction.through_conductivity(thickness, [400, 0.343])
    assert along == pytest.approx(value("profile", "board_conductivity_along_four_planes"), abs=0.05)
    assert half == pytest.approx(18.4, abs=0.05)
    assert through == pytest.approx(value("profile", "board_conductivity_through_four_planes"), abs=0.0005)


@given(st.lists(st.tuples(st.floats(1e-6, 1e-2), st.floats(0.1, 400)), min_size=1, max_size=8))
def test_a_stack_conducts_between_its_worst_and_best_layer_and_better_along_than_through(layers):
    thickness, k = map(list, zip(*layers, strict=True))
    along, through = conduction.in_plane_conductivity(thickness, k), conduction.through_conductivity(thickness, k)
    assert min(k) * (1 - 1e-12) <= through <= along * (1 + 1e-12)
    assert along <= max(k) * (1 + 1e-12)


@pytest.mark.parametrize(
    ("ask", "words"),
    [
        (lambda: conduction.in_plane_conductivity([1e-3], [1, 2]), "one thickness and one conductivity a layer"),
        (lambda: conduction.through_conductivity([], []), "one thickness and one conductivity a layer"),
        (lambda: conduction.through_conductivity([1e-3, 0], [1, 2]), "thickness must be above 0 m"),
        (lambda: conduction.plane_conductivity(1.2, 400, 1), "coverage must be from 0 to 1"),
        (lambda: conduction.slab_eigenvalue(0), "Biot number must be above 0"),
        (lambda: conduction.semi_infinite_depth(1, 1, 1e-7), "share left must be between 0 and 1"),
        (lambda: conduction.slab_series(1, 1, 1.5), "position must be from 0 to 1"),
        (lambda: conduction.heat_capacity(1e-5, 1850, -1), "specific heat must be above 0"),
    ],
)
def test_what_cannot_be_is_refused_in_words(ask, words):
    with pytest.raises(ValueError, match=words):
        ask()
