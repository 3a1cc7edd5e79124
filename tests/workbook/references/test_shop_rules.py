"""A shop's rules: which values they may stand over, and a shop.toml wrong in many ways, each told in one clear line."""

import pytest

from graders import sheets
from workbook.problems import Problem
from workbook.references import shop
from workbook.references.loader import ReferenceError, parse
from workbook.topics import TOPICS

GOOD = '[shorts.dead_short_limit]\nvalue = 0.8\nunit = "Ω"\nwhy = "our boards have no lower rail"\n'


def written(root, text):
    (root / "shop.toml").write_bytes(text if isinstance(text, bytes) else text.encode())
    return root


def test_a_rule_stands_over_the_value_of_the_table_and_says_so(tmp_path):
    rule = shop.read(written(tmp_path, GOOD))["shorts.dead_short_limit"]
    assert (rule.value, rule.why) == (0.8, "our boards have no lower rail")
    assert rule.words().endswith("0.8 Ω (shop's rule instead of 1 Ω): our boards have no lower rail")


def test_no_file_and_an_empty_file_are_no_rules(tmp_path):
    assert shop.read(tmp_path) == shop.read(written(tmp_path, "# nothing yet\n")) == {}


@pytest.mark.parametrize(("value", "words"), [(262, "laxer than the published 260 °C"), (258, "instead of 260 °C")])
def test_a_rule_laxer_than_a_published_limit_says_so_and_a_stricter_one_need_not(tmp_path, value, words):
    name = "profile.body_peak_at_most_lead_free_dry_rework"
    rule = shop.read(written(tmp_path, f'[{name}]\nvalue = {value}\nunit = "°C"\n'))[name]
    assert words in rule.words()


def test_a_limit_that_keeps_people_safe_may_be_set_stricter_only():
    one = shop.reference("intake.steady_dc_limit")
    assert one.shop[1] == one.value
    assert one.stricter == "lower"


def test_whatever_may_be_set_is_a_given_of_an_exercise_in_the_same_value():
    ruled = {
        given.rule: (exercise, name)
        for topic in TOPICS
        for exercise in sheets.ours(topic.slug)
        for name, given in exercise.givens.items()
        if getattr(given, "rule", "")
    }
    assert set(ruled) == set(shop.may_be_set())
    for rule, (exercise, name) in ruled.items():
        ours = shop.reference(rule)
        put = (ours.shop[0] + ours.value) / 2
        drawn = [exercise.draw(b"rules", f"learner {number}", {rule: put})[name] for number in range(6)]
        assert {*drawn} - {*exercise.givens[name].options}, rule


TABLE = '[k]\nname = "k"\nvalue = 5\nunit = "s"\nstanding = "common-practice"\n'


@pytest.mark.parametrize(
    "fields",
    ['shop = [1, 9]', 'stricter = "lower"', 'shop = [6, 9]\nstricter = "lower"', 'shop = [1, 9]\nstricter = "less"',
     'shop = 9\nstricter = "lower"'],
)  # fmt: skip
def test_a_table_says_both_ends_around_its_value_and_which_way_is_stricter(fields):
    with pytest.raises(ReferenceError, match=r"Write \[lowest, highest\] around its value"):
        parse("shorts", TABLE + fields)


HEAD = "[shorts.dead_short_limit]\n"
WRONG = {
    "not UTF-8": (b"# \xff", "not UTF-8 at byte 2"),
    "huge": ("#" * 200_000, "has 200000 bytes"),
    "no TOML": ("[shorts", "cannot be read"),
    "a zero byte": ("a = \0", "cannot be read"),
    "one name twice": (GOOD + GOOD, "cannot be read"),
    "a number without end": ("[shorts.dead_short_limit]\nvalue = 1" + "0" * 400, "too many digits"),
    "nested without end": ("a = " + "[" * 5000, "cannot be read"),
    "a topic there is not": ("[short.dead_short_limit]\nvalue = 1", "'short' is no topic"),
    "no topic": ("[dead_short_limit]\nvalue = 1", "'dead_short_limit' is no topic"),
    "a value beside the topics": ("value = 1", "'value' is no topic"),
    "a topic that is a number": ("shorts = 4", "shorts = 4 is no limit"),
    "a topic that is a list": ("shorts = [4]", "shorts = [4] is no limit"),
    "a topic that is a text": ('shorts = "all"', "is no limit"),
    "a limit there is not": ("[shorts.dead_short]\nvalue = 1", "shorts.dead_short is no limit"),
    "a limit of another topic": ("[paste.dead_short_limit]\nvalue = 1", "paste.dead_short_limit is no limit"),
    "a constant of nature": ("[profile.sac305_solidus_c]\nvalue = 200", "no rule of a shop stands over"),
    "a published limit that no shop sets": ("[intake.shock_voltage]\nvalue = 200", "intake.shock_voltage (published)"),
    "a chance of the case": ("[signoff.case_causes]\nvalue = 1", "signoff.case_causes (invented)"),
    "a bare value": ("[shorts]\ndead_short_limit = 0.8", "is not written as it must be"),
    "a bare text": ('[shorts]\ndead_short_limit = "0.8 Ω"', "is not written as it must be"),
    "a list of limits": ("[[shorts.dead_short_limit]]\nvalue = 1", "is not written as it must be"),
    "nothing below": (HEAD, "has no value"),
    "no value": (HEAD + 'unit = "Ω"', "has no value"),
    "no unit": (HEAD + "value = 0.8", "has no unit"),
    "a field misspelled": (HEAD + 'valeu = 0.8\nunit = "Ω"', "has 'valeu', which is unknown"),
    "a field in capitals": (HEAD + 'Value = 0.8\nunit = "Ω"', "has 'Value', which is unknown"),
    "a standing": (HEAD + 'value = 0.8\nunit = "Ω"\nstanding = "published"', "has 'standing', which is unknown"),
    "a text": (HEAD + 'value = "0.8"\nunit = "Ω"', "value '0.8' is no number"),
    "a decimal comma": (HEAD + "value = 0,8", "cannot be read"),
    "a truth": (HEAD + 'value = true\nunit = "Ω"', "value True is no number"),
    "no number": (HEAD + 'value = nan\nunit = "Ω"', "value nan is no number"),
    "without end": (HEAD + 'value = inf\nunit = "Ω"', "value inf is no number"),
    "a range": (HEAD + 'value = [0.5, 1]\nunit = "Ω"', "value [0.5, 1] is no number"),
    "a date": (HEAD + 'value = 2026-12-01\nunit = "Ω"', "is no number"),
    "another unit": (HEAD + 'value = 0.8\nunit = "mΩ"', "unit 'mΩ'"),
    "a unit of another kind": (HEAD + 'value = 0.8\nunit = "V"', "unit 'V'"),
    "a unit that is a number": (HEAD + "value = 0.8\nunit = 1", "unit 1"),
    "a kelvin for a degree": ('[profile.neighbour_body_lead_free_c]\nvalue = 471\nunit = "K"', "unit 'K'"),
    "per cent for a share": ('[shorts.reference_share]\nvalue = 60\nunit = "%"', "unit '%'"),
    "below the range": (HEAD + 'value = 0.1\nunit = "Ω"', "0.1 Ω is outside 0.5 to 1.5 Ω"),
    "above the range": (HEAD + 'value = 800\nunit = "Ω"', "800 Ω is outside"),
    "below zero": (HEAD + 'value = -1\nunit = "Ω"', "-1 Ω is outside"),
    "laxer where people can be hurt": (
        '[intake.steady_dc_limit]\nvalue = 90\nunit = "V"',
        "90 V is outside 10 to 60 V",
    ),
    "a reason that is none": (HEAD + 'value = 0.8\nunit = "Ω"\nwhy = 3', "why is not a short text"),
    "a reason of many lines": (HEAD + 'value = 0.8\nunit = "Ω"\nwhy = "a\\nb"', "why is not a short text"),
    "a reason without end": (HEAD + f'value = 0.8\nunit = "Ω"\nwhy = "{"a" * 300}"', "why is not a short text"),
}


@pytest.mark.parametrize(("text", "words"), WRONG.values(), ids=WRONG)
def test_what_is_wrong_with_a_shop_toml_is_one_clear_line(tmp_path, text, words):
    with pytest.raises(Problem) as told:
        shop.read(written(tmp_path, text))
    assert words in str(told.value)
    assert str(told.value).startswith("shop.toml: ")
    assert told.value.tip
    assert "\n" not in f"{told.value}{told.value.tip}"


@pytest.mark.parametrize(
    ("text", "near"),
    [("[short.x]", "shorts"), ("[shorts.dead_short]", "shorts.dead_short_limit"), (HEAD + "valeu = 1", "value"),
     ("[dead_short_limit]", "[shorts.dead_short_limit]")],
)  # fmt: skip
def test_the_nearest_name_is_given(tmp_path, text, near):
    with pytest.raises(Problem) as told:
        shop.read(written(tmp_path, text))
    assert near in told.value.tip
