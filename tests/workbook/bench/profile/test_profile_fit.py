"""A fit is what the books say it is: exact where a problem is straight, honest about what readings cannot tell."""

import numpy as np
import pytest
from scipy import stats
from statsmodels.sandbox.stats.runs import runstest_1samp

from workbook.bench.profile import conduction
from workbook.bench.profile.fit import Estimate, Unknown, by_differences, estimate, whitening

TIME = np.arange(0.0, 300.0, 5.0)
NOISE = 0.3


def white(columns):
    return columns / NOISE


def test_a_straight_problem_has_the_posterior_of_linear_regression():
    """Bayesian linear regression in closed form (Bishop, Pattern Recognition, eq. 3.53 and 3.54; from memory)."""
    random = np.random.default_rng(1)
    design = random.normal(size=(40, 3))
    readings = random.normal(size=40)
    unknowns = [Unknown(name, 0.0, 1.0, "plain") for name in "abc"]
    found = estimate(unknowns, lambda x: design @ x, readings, white)
    covariance = np.linalg.inv(np.eye(3) + design.T @ design / NOISE**2)
    np.testing.assert_allclose(found.covariance, covariance, rtol=1e-6)
    np.testing.assert_allclose(found.standard, covariance @ design.T @ readings / NOISE**2, rtol=1e-4, atol=1e-6)


def test_with_a_prior_that_says_nothing_a_line_has_the_slope_and_error_of_ordinary_least_squares():
    random = np.random.default_rng(2)
    readings = 20 + 0.1 * TIME + NOISE * random.normal(size=TIME.size)
    unknowns = [Unknown("start", 0.0, 1e4, "plain"), Unknown("slope", 0.0, 1e3, "plain")]
    found = estimate(unknowns, lambda x: unknowns[0].value(x[0]) + unknowns[1].value(x[1]) * TIME, readings, white)
    line = stats.linregress(TIME, readings)
    spread = np.sqrt(np.sum((readings - line.intercept - line.slope * TIME) ** 2) / (TIME.size - 2))
    assert found.values["slope"] == pytest.approx(line.slope, rel=1e-5)
    # scipy takes the noise from the residuals, the fit is told it
    assert 1e3 * found.left["slope"] / NOISE == pytest.approx(line.stderr / spread, rel=1e-4)


def lumped(unknowns):
    """Return the model of an even body that cools in air: only film over capacity is in it."""
    film, capacity = unknowns
    area = 0.12  # m2

    def model(x):
        tau = conduction.lumped_time_constant(capacity.value(x[1]), film.value(x[0]) * area)
        return conduction.lumped_temperature(TIME, tau, 200.0, 25.0)

    return model


def test_a_lumped_body_tells_film_over_capacity_and_neither_of_the_two():
    """A log of T(t/tau) with tau = C / hA knows hA / C alone (lumped capacity, any book on heat transfer)."""
    unknowns = [Unknown("film", 15.0, 0.3, "factor", "W/m2K"), Unknown("heat capacity", 180.0, 0.3, "factor", "J/K")]
    model = lumped(unknowns)
    truth = np.array([0.8, -0.5])
    found = estimate(unknowns, model, model(truth), white)
    ratio, product = np.array([1, -1]) / np.sqrt(2), np.array([1, 1]) / np.sqrt(2)
    assert np.sqrt(ratio @ found.covariance @ ratio) < 0.01
    assert np.sqrt(product @ found.covariance @ product) == pytest.approx(1.0, abs=1e-3)
    assert found.left["film"] == pytest.approx(1 / np.sqrt(2), abs=0.01)
    assert found.standard @ ratio == pytest.approx(truth @ ratio, abs=0.01)
    assert found.standard @ product == pytest.approx(0.0, abs=0.01)


def test_a_slab_tells_diffusivity_and_biot_and_not_film_and_conductivity_apart():
    """The series of a slab in a film is a function of Bi and Fo alone (Incropera and DeWitt, section 5.5)."""
    half, start, air = 0.01, 200.0, 25.0
    unknowns = [
        Unknown("film", 300.0, 0.3, "factor"),
        Unknown("conductivity", 1.0, 0.3, "factor"),
        Unknown("heat capacity per volume", 2e6, 0.3, "factor"),
    ]
    time = np.arange(5.0, 300.0, 5.0)

    def model(x):
        film, conductivity, capacity = (one.value(at) for one, at in zip(unknowns, x, strict=True))
        number = conduction.biot(film, half, conductivity)
        passed = conduction.fourier(conductivity / capacity, time, half)
        shares = [conduction.slab_series(number, passed, place) for place in (0.0, 1.0)]
        return air + (start - air) * np.concatenate(shares)

    found = estimate(unknowns, model, model(np.array([0.5, -0.6, 0.4])), white)
    biot, diffusivity = np.array([1, -1, 0]) / np.sqrt(2), np.array([0, 1, -1]) / np.sqrt(2)
    alike = np.ones(3) / np.sqrt(3)
    for told in (biot, diffusivity):
        assert np.sqrt(told @ found.covariance @ told) < 0.05
    assert np.sqrt(alike @ found.covariance @ alike) == pytest.approx(1.0, abs=1e-3)


def test_what_no_reading_depends_on_keeps_its_prior():
    unknowns = [Unknown("told", 10.0, 2.0, "plain"), Unknown("not told", 5.0, 1.0, "plain")]
    found = estimate(unknowns, lambda x: np.full(TIME.size, 10 + 2 * x[0]), np.full(TIME.size, 11.0), white)
    assert found.left["not told"] == pytest.approx(1.0)
    assert found.interval("not told", 0.9) == pytest.approx((5 - 1.6449, 5 + 1.6449), abs=1e-3)
    assert found.left["told"] < 0.05


def test_readings_made_by_the_model_and_the_priors_are_refused_as_seldom_as_said():
    """The sum of squares at the likeliest values is chi-square with a degree for each reading where all is straight."""
    random = np.random.default_rng(3)
    design = random.normal(size=(30, 4))
    unknowns = [Unknown(str(k), 0.0, 1.0, "plain") for k in range(4)]
    chances = []
    for _ in range(200):
        readings = design @ random.normal(size=4) + NOISE * random.normal(size=30)
        chances.append(estimate(unknowns, lambda x: design @ x, readings, white).chance_of_misfit)
    assert stats.kstest(chances, "uniform").pvalue > 0.001


def test_readings_that_the_model_cannot_make_are_refused_and_their_residuals_run():
    unknowns = [Unknown("film", 15.0, 0.3), Unknown("heat capacity", 180.0, 0.3)]
    model = lumped(unknowns)
    draught = np.where(TIME > 150, -4.0, 0.0)
    found = estimate(unknowns, model, model(np.zeros(2)) + draught, white)
    assert not found.explained
    assert found.runs() > 3


def test_a_laws_middle_is_its_value_at_nought_and_stays_in_range():
    for law, middle in (("factor", 8.0), ("share", 0.9), ("plain", -2.0)):
        unknown = Unknown("it", middle, 0.5, law)
        assert unknown.value(0.0) == pytest.approx(middle)
        ends = unknown.value(np.array([-6.0, 6.0]))
        assert law == "plain" or (ends > 0).all()
        assert law != "share" or (ends < 1).all()


@pytest.mark.parametrize(
    "settings", [{"law": "guess"}, {"spread": 0.0}, {"middle": -1.0}, {"middle": 1.5, "law": "share"}]
)
def test_a_prior_that_is_none_is_refused(settings):
    with pytest.raises(ValueError, match="must be"):
        Unknown(**({"name": "it", "middle": 1.0, "spread": 0.5} | settings))


def test_whitened_errors_are_independent_and_one_wide():
    w = whitening(TIME, 0.3, 0.5, 60.0)
    covariance = 0.3**2 * np.eye(TIME.size) + 0.5**2 * np.exp(-np.abs(TIME[:, None] - TIME) / 60.0)
    np.testing.assert_allclose(w @ covariance @ w.T, np.eye(TIME.size), atol=1e-9)


def test_a_hundred_readings_with_a_lasting_error_tell_a_mean_hardly_better_than_ten():
    def doubt(count):
        time = np.linspace(0, 300, count)
        ones = whitening(time, 0.1, 0.5, 100.0) @ np.ones(count)
        return 1 / np.sqrt(ones @ ones)

    assert doubt(100) > 0.9 * doubt(10)


# At the ends


def test_a_law_says_what_is_normal_the_quantity_its_logarithm_or_its_log_odds():
    for x in (-1.5, 0.0, 2.0):
        assert Unknown("it", -2.0, 0.5, "plain").value(x) == pytest.approx(-2 + 0.5 * x)
        assert np.log(Unknown("it", 8.0, 0.5).value(x) / 8) == pytest.approx(0.5 * x)
        share = Unknown("it", 0.9, 0.5, "share").value(x)
        assert np.log(share / (1 - share)) == pytest.approx(np.log(9) + 0.5 * x)


@pytest.mark.parametrize(
    ("taken", "refused"),
    [
        ({"spread": 1e-9}, {"spread": 0.0}),
        ({"middle": 1e-9}, {"middle": 0.0}),
        ({"middle": 1e-9, "law": "share"}, {"middle": 0.0, "law": "share"}),
        ({"middle": 1 - 1e-9, "law": "share"}, {"middle": 1.0, "law": "share"}),
        ({"middle": -5.0, "law": "plain"}, {"middle": np.inf, "law": "plain"}),
    ],
)
def test_a_prior_is_taken_up_to_the_ends_of_its_law(taken, refused):
    assert Unknown(**({"name": "it", "middle": 0.5, "spread": 0.5} | taken))
    with pytest.raises(ValueError, match="must be"):
        Unknown(**({"name": "it", "middle": 0.5, "spread": 0.5} | refused))


@pytest.mark.parametrize("odd", [([np.nan], 1, 0, 1), ([0.0], 0.0, 0, 1), ([0.0], 1, -1e-9, 1), ([0.0], 1, 0, 0.0)])
def test_errors_that_are_none_are_refused(odd):
    assert whitening([0.0], 1e-9, 0.0, 1e-9).shape == (1, 1)
    with pytest.raises(ValueError, match="must be"):
        whitening(*odd)


def told(residual, count=1):
    """Return an estimate with given residuals, of unknowns that stand at their middles."""
    unknowns = tuple(Unknown(str(k), 0.0, 2.0, "plain") for k in range(count))
    return Estimate(
        unknowns, np.zeros(count), np.eye(count), np.asarray(residual, float), np.zeros((len(residual), count))
    )


@pytest.mark.parametrize("seed", range(5))
def test_runs_of_one_sign_are_counted_as_by_the_runs_test_of_a_library(seed):
    random = np.random.default_rng(seed)
    residual = random.normal(0.3, 1, 40)
    by_library, _ = runstest_1samp(residual, 0.0, correction=False)
    assert told(residual).runs() == pytest.approx(-by_library)
    part = slice(5, 25)
    assert told(residual).runs(part) == pytest.approx(-runstest_1samp(residual[part], 0.0, correction=False)[0])


def test_residuals_of_one_sign_alone_are_one_run_and_as_far_from_chance_as_their_root():
    assert told([1.0] * 9).runs() == told([-1.0] * 9).runs() == 3


def test_a_log_is_not_explained_where_chance_makes_such_a_one_less_than_once_in_ten_thousand():
    """Chi-square with a degree for each reading; none of the prior's standard numbers is off here."""
    for chance, explained in ((1.02e-4, True), (0.98e-4, False)):
        found = told(np.full(4, np.sqrt(stats.chi2(4).isf(chance) / 4)))
        assert found.chance_of_misfit == pytest.approx(chance)
        assert found.explained is explained


def test_an_interval_is_of_nine_in_ten_where_nothing_is_said_and_needs_a_chance():
    found = told([0.0], 2)
    assert found.interval("1") == pytest.approx((-2 * 1.644854, 2 * 1.644854), rel=1e-5)
    assert found.interval("1", 0.5) == pytest.approx((-2 * 0.674490, 2 * 0.674490), rel=1e-5)
    for chance in (0.0, 1.0):
        with pytest.raises(ValueError, match="chance must be"):
            found.interval("1", chance)


def test_slopes_by_differences_are_those_of_the_middle():
    """Central differences of a parabola are exact, of a cube off by the square of the step."""
    slopes = by_differences(lambda x: np.array([x[0] ** 2 + 3 * x[1], x[1] ** 3]), np.array([2.0, 1.0]), 0.1)
    assert slopes == pytest.approx(np.array([[4, 3], [0, 3.01]]))
    usual = by_differences(lambda x: x**3, np.array([1.0]))
    assert usual == pytest.approx(np.array([[3 + 0.02**2]]), rel=1e-9)


def test_no_unknown_goes_farther_than_six_deviations_and_a_fit_needs_one():
    far = estimate([Unknown("it", 0.0, 1.0, "plain")], lambda x: x, [1e6], lambda r: r / 1e-3)
    assert far.standard == pytest.approx([6.0])
    with pytest.raises(ValueError, match="at least one"):
        estimate([], lambda x: x, [1.0], white)
    with pytest.raises(ValueError, match="readings must be"):
        estimate([Unknown("it", 0.0, 1.0, "plain")], lambda x: x, [np.nan], white)
