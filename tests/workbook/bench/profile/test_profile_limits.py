"""A profile is held to each limit of the edition named, exactly, and to nothing that adds them up."""

import dataclasses
from types import SimpleNamespace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook.bench.profile import limits, log
from workbook.bench.profile.limits import Limit, MeasuredMargin
from workbook.references import entry, table, value

TIME = [0, 20, 40, 60, 80, 105, 125, 145, 165, 180, 190, 200, 210, 220, 230, 240, 250, 260, 270, 280, 300, 320, 340]
READ = [25, 48, 72, 96, 120, 150, 165, 178, 190, 200, 205, 213, 222, 232, 241, 244, 238, 228, 219, 210, 188, 165, 145]


def read(edition, family, class_c):
    return log.metrics(TIME, READ, class_c=class_c, longest_gap=30, window=40, **limits.log_settings(edition, family))


def judged(edition, family, class_c, role="user"):
    held_to = limits.classification_limits(edition, family, class_c, role)
    return {m.limit.quantity: m for m in limits.margins(read(edition, family, class_c), held_to)}


# The classification temperature


@pytest.mark.parametrize(
    ("family", "edition", "class_c"),
    [("lead-free", "020C", 250), ("lead-free", "020D", 250), ("SnPb", "020C", 225), ("SnPb", "020D", 220)],
)
def test_a_body_of_20_by_20_by_2_mm(family, edition, class_c):
    assert limits.class_temperature_c(2e-3, 20e-3 * 20e-3 * 2e-3, family, edition) == class_c


MIDDLES = {"< 1.6 mm": 1.2, "1.6-2.5 mm": 2.0, "> 2.5 mm": 3.0, "< 2.5 mm": 2.0, ">= 2.5 mm": 3.0}
VOLUMES = {"< 350 mm3": 100, "350-2000 mm3": 1000, "> 2000 mm3": 5000, ">= 350 mm3": 1000}


@pytest.mark.parametrize("edition", limits.EDITIONS)
@pytest.mark.parametrize(("family", "word"), limits.FAMILIES.items())
def test_each_cell_of_the_tables_is_found(family, word, edition):
    for row, cells in table("profile", f"class_temperature_{word}_{edition.lower()}").items():
        for column, class_c in cells.items():
            found = limits.class_temperature_c(1e-3 * MIDDLES[row], 1e-9 * VOLUMES[column], family, edition)
            assert found == class_c, (row, column)


@pytest.mark.parametrize(
    ("thickness_mm", "volume_mm3", "edition", "class_c"),
    [
        (1.59, 1000, "020D", 260),
        (1.6, 1000, "020D", 250),
        (2.5, 1000, "020D", 250),
        (2.5, 1000, "020C", 245),
        (2.51, 1000, "020D", 245),
        (2.0, 349.9, "020D", 260),
        (2.0, 350, "020D", 250),
        (2.0, 2000, "020D", 250),
        (2.0, 2000.1, "020D", 245),
    ],
)
def test_the_edges_of_the_lead_free_table_belong_where_the_edition_puts_them(
    thickness_mm, volume_mm3, edition, class_c
):
    assert limits.class_temperature_c(1e-3 * thickness_mm, 1e-9 * volume_mm3, "lead-free", edition) == class_c


def test_a_product_of_metres_on_the_edge_is_not_pushed_over_it_by_rounding():
    assert limits.class_temperature_c(2.5e-3, 10e-3 * 14e-3 * 2.5e-3, "SnPb", "020C") == 225
    assert limits.class_temperature_c(2.0e-3, 40e-3 * 25e-3 * 2.0e-3, "lead-free", "020D") == 250


@given(st.floats(0.5, 5), st.floats(0.5, 5), st.floats(10, 5000), st.floats(10, 5000))
def test_a_thicker_or_larger_body_never_has_a_higher_class_temperature(thin, thick, small, large):
    thin, thick = sorted((thin, thick))
    small, large = sorted((small, large))
    for family in limits.FAMILIES:
        for edition in limits.EDITIONS:
            little = limits.class_temperature_c(1e-3 * thin, 1e-9 * small, family, edition)
            big = limits.class_temperature_c(1e-3 * thick, 1e-9 * large, family, edition)
            assert big <= little


def test_snpb_moved_by_five_kelvin_between_the_editions_and_lead_free_did_not():
    for thickness, volume in ((2e-3, 1e-7), (2e-3, 1e-6), (3e-3, 1e-7)):
        snpb = [limits.class_temperature_c(thickness, volume, "SnPb", edition) for edition in limits.EDITIONS]
        assert snpb[0] - snpb[1] == 5
        free = [limits.class_temperature_c(thickness, volume, "lead-free", edition) for edition in limits.EDITIONS]
        assert free[0] == free[1]


# The limits by edition


def test_the_editions_differ_in_soak_and_in_what_they_measure():
    older, newer = (
        {limit.quantity: limit for limit in limits.classification_limits(edition, "lead-free", 250)}
        for edition in limits.EDITIONS
    )
    assert (older["soak_time"].low, older["soak_time"].high) == (60, 180)
    assert (newer["soak_time"].low, newer["soak_time"].high) == (60, 120)
    assert "ramp_soak_to_peak" in older
    assert "ramp_liquidus_to_peak" in newer
    assert (older["time_within_of_peak"].low, older["time_within_of_peak"].high) == (20, 40)
    assert (newer["time_within_of_class"].low, newer["time_within_of_class"].high) == (None, 30)
    assert (older["peak_c"].low, older["peak_c"].high) == (245, 250)
    assert (newer["peak_c"].low, newer["peak_c"].high) == (None, 250)


def test_what_a_supplier_must_show_is_what_a_user_may_do():
    user, supplier = (
        {limit.quantity: limit for limit in limits.classification_limits("020D", "lead-free", 260, role)}
        for role in ("user", "supplier")
    )
    for quantity in ("peak_c", "time_within_of_class"):
        assert user[quantity].high == supplier[quantity].low
        assert user[quantity].low is None
        assert supplier[quantity].high is None


@pytest.mark.parametrize("edition", limits.EDITIONS)
@pytest.mark.parametrize("family", limits.FAMILIES)
def test_every_limit_is_a_record_with_its_edition_and_origin_and_can_be_measured(family, edition):
    found = limits.classification_limits(edition, family, 235)
    assert len(found) == 7
    assert len({limit.name for limit in found}) == 7
    fields = {field.name for field in dataclasses.fields(log.Metrics)}
    for limit in found:
        assert limit.edition == edition
        assert limit.origin.startswith("published-second-hand: IPC/JEDEC J-STD-020")
        assert limit.quantity in fields
        assert {setting for setting, _ in limit.settings} <= fields


def test_a_user_inside_every_limit_of_the_newer_edition():
    found = judged("020D", "lead-free", 245)
    assert {m.verdict for m in found.values()} == {"inside"}
    assert found["soak_time"].margin == 15
    assert found["peak_c"].margin == 1
    assert found["time_to_peak"].margin == 240
    assert found["time_within_of_class"].margin == pytest.approx(30 - 17.8, abs=0.05)


def test_no_time_near_a_hotter_class_temperature_is_no_failure_of_a_user():
    near = judged("020D", "lead-free", 250)["time_within_of_class"]
    assert near.measured == 0
    assert near.verdict == "inside"
    assert judged("020D", "lead-free", 250, "supplier")["time_within_of_class"].verdict == "outside"


def test_the_older_rule_counts_from_the_actual_peak():
    found = judged("020C", "lead-free", 245)
    assert found["time_within_of_peak"].measured == pytest.approx(20.56, abs=0.01)
    assert found["time_within_of_peak"].verdict == "inside"
    assert judged("020C", "lead-free", 250)["peak_c"].verdict == "outside"


def test_a_time_above_220_is_not_held_to_the_limit_for_217():
    seen = log.metrics(TIME, READ, liquidus_c=220, class_c=245, longest_gap=30)
    with pytest.raises(ValueError, match=r"is for liquidus_c = 217; it was measured with 220"):
        limits.margins(seen, limits.classification_limits("020D", "lead-free", 245))


def test_what_was_not_measured_is_neither_inside_nor_outside():
    seen = log.metrics(TIME, READ, class_c=245, **limits.log_settings("020D", "lead-free"))
    found = {m.limit.quantity: m for m in limits.margins(seen, limits.classification_limits("020D", "lead-free", 245))}
    assert found["peak_c"].verdict == "not measured"
    assert found["peak_c"].margin is None
    assert found["time_above_liquidus"].verdict == "inside"


# One limit


@pytest.mark.parametrize(
    ("low", "high", "measured", "verdict"),
    [
        (60, 120, 60, "inside"),
        (60, 120, 120, "inside"),
        (60, 120, 120.0000001, "outside"),
        (60, 120, 59.9999999, "outside"),
        (None, 3, 3, "inside"),
        (205, None, 205, "inside"),
        (205, None, 204.9, "outside"),
    ],
)
def test_ends_belong_to_the_limit_and_nothing_beyond_does(low, high, measured, verdict):
    assert MeasuredMargin(Limit("soak", "soak_time", low, high, "s"), measured).verdict == verdict


@pytest.mark.parametrize(
    ("measured", "verdict"), [(248, "inside"), (248.6, "borderline"), (251, "borderline"), (251.5, "outside")]
)
def test_a_guard_band_makes_the_neighbourhood_of_the_limit_borderline(measured, verdict):
    assert MeasuredMargin(Limit("body", "peak_c", None, 250, "°C", guard=1.5), measured).verdict == verdict


@given(st.floats(0, 300), st.floats(0, 100), st.floats(0, 100))
def test_margin_is_the_distance_to_the_nearer_end_and_its_sign_is_the_verdict(measured, low, width):
    margin = MeasuredMargin(Limit("time", "time", low, low + width, "s"), measured)
    assert (margin.margin >= 0) == (low <= measured <= low + width)
    assert margin.verdict == ("inside" if margin.margin >= 0 else "outside")


def test_margins_take_anything_that_was_measured_and_keep_the_order():
    rules = [Limit("coldest joint", "coldest", 230, None, "°C"), Limit("spread", "spread", None, 10, "K")]
    found = limits.margins(SimpleNamespace(coldest=235.0, spread=float("nan")), rules)
    assert [m.limit for m in found] == rules
    assert [m.margin for m in found] == [5.0, None]


@pytest.mark.parametrize(
    ("ask", "words"),
    [
        (lambda: limits.log_settings("020E", "SnPb"), "edition must be one of 020C, 020D"),
        (lambda: limits.log_settings("020D", "SAC"), "family must be one of SnPb, lead-free"),
        (lambda: limits.classification_limits("020D", "SnPb", 220, "buyer"), "role must be"),
        (lambda: limits.classification_limits("020D", "SnPb", 2200), "classification temperature must be from"),
        (lambda: limits.class_temperature_c(0, 1e-6, "SnPb", "020D"), "thickness must be above 0"),
        (lambda: Limit("x", "x", None, None, "s"), "needs a low or a high end"),
        (lambda: Limit("x", "x", 3, 2, "s"), "low must not be above high"),
        (lambda: Limit("x", "x", 1, 2, "s", guard=-1), "guard band must be at least 0 s"),
    ],
)
def test_what_cannot_be_a_limit_is_refused_in_words(ask, words):
    with pytest.raises(ValueError, match=words):
        ask()


def test_the_standard_says_217_where_the_alloy_is_liquid_at_220():
    assert limits.log_settings("020D", "lead-free")["liquidus_c"] == value("profile", "sac305_solidus_c")
    assert entry("profile", "sac305_liquidus_c").value == 220
