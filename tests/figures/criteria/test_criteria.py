"""Criteria: what they say of the demo's bikes, what is wrong with bad ones, and what holds for any.

The rules under test are this program's own, so no outside source decides them; the bounds are compared with
the stated texts of the spec files, read by hand.
"""

import string

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.figures.criteria.criteria import Criteria, find_members, read_criteria, sort_by_price
from generator.figures.criteria.fields import FIELDS, field_texts, list_choices
from tests.figures import demo

KINDS = demo.table().kinds
COMMON = ("spec.mass", "spec.price", "hills.steepest", "range.rolling", "gears.walking_cadence")


def criteria(**given: str) -> Criteria:
    return of({key.replace("__", "."): text for key, text in given.items()})


def of(mapping: dict) -> Criteria:
    found, wrong = read_criteria(mapping, KINDS)
    assert found is not None, wrong
    return found


def slugs(mapping: dict) -> list[str]:
    return [bike.slug for bike, _ in find_members(demo.table(), of(mapping))]


def wrong(mapping: dict) -> list[tuple[str, str]]:
    found, faults = read_criteria(mapping, KINDS)
    assert found is None
    assert faults
    return [(fault.what.replace("\u00a0", " "), fault.mend) for fault in faults]


def plain(words: tuple[str, ...]) -> list[str]:
    return [each.replace("\u00a0", " ") for each in words]


@pytest.mark.parametrize(
    ("mapping", "expected"),
    [
        ({"mass": "under 18 kg"}, ["lumtarn-izzul", "ivorrel-siskol", "ivorrel-siskol-g"]),
        ({"spec.mass": "at most 15 kg"}, ["ivorrel-siskol"]),
        ({"mass": "under 15 kg"}, []),
        ({"mass": "at least 68 lb and at most 68 lb"}, ["tuspen-hebb"]),  # as its sheet says
        ({"mass": "between 43 and 44 kg"}, ["zandreth-lorn"]),
        ({"mass": "up to 33 lb"}, []),
        ({"price": "up to 1000 EUR"}, ["gromblo-une", "tuspen-crulm"]),
        ({"price": "over 1800 USD"}, ["karnoot-dromm", "tuspen-hebb-lt", "wubrin-oddru"]),
        ({"sensor": "switchable"}, ["neshwick-arrum", "tuspen-hebb-lt"]),
        ({"sensor": "not cadence or torque"}, ["neshwick-arrum", "tuspen-hebb-lt"]),
        ({"use": "city and leisure"}, ["wubrin-pell", "ivorrel-marn", "tuspen-hebb"]),
        ({"status": "withdrawn or announced"}, ["neshwick-tolm", "zandreth-kirru"]),
        ({"maker": "gromblo"}, ["gromblo-une", "gromblo-drusk"]),
        ({"drive": "belt", "shifting": "single speed"}, ["ivorrel-siskol"]),
        ({"throttle": True}, ["tuspen-hebb"]),
        ({"price": "not known"}, ["gromblo-drusk"]),
        ({"motor": "front hub", "year": 2025}, ["gromblo-une"]),
    ],
)
def test_criteria_find_the_bikes_whose_sheets_say_so(mapping, expected):
    assert slugs(mapping) == expected


def test_a_figure_may_be_the_bound_of_another():
    found = slugs({"gears.spin_out_speed": "under spec.assisted_speed"})
    table = demo.table()
    expected = [
        bike.slug
        for bike in sort_by_price(table.bikes, "EUR")
        if bike.slug in table.column("gears.spin_out_speed")
        and table.figures[bike.slug]["gears.spin_out_speed"].value
        < table.figures[bike.slug]["spec.assisted_speed"].value
    ]
    assert found == expected != []


def test_reasons_name_value_and_bound():
    rule = of({"hills.steepest": "over 15 %", "mass": "at most 25 kg"})
    talli = rule.judge_bike(demo.table(), demo.bike("oskelm-talli"))
    assert talli.holds
    assert talli.edge  # its interval runs from below to above 15 %
    steepest, mass = plain(talli.reasons)
    assert steepest.startswith("Steepest grade held 15.")
    assert ", over 15 % (likely " in steepest
    assert mass == "Mass 21.8 kg, at most 25 kg"
    lorn = rule.judge_bike(demo.table(), demo.bike("zandreth-lorn"))
    assert lorn.holds is False
    assert plain(lorn.reasons)[-1] == "Mass 43.8 kg, over 25 kg"


def test_what_is_not_stated_is_not_known():
    drusk = of({"mass": "at most 25 kg"}).judge_bike(demo.table(), demo.bike("gromblo-drusk"))
    assert drusk.holds is None
    assert drusk.lacking == ("Mass",)
    both = of({"mass": "at most 25 kg", "use": "cargo"})
    assert (
        both.judge_bike(demo.table(), demo.bike("gromblo-drusk")).holds is False
    )  # no is no all the same


def test_a_price_in_another_currency_is_not_known():
    nool = of({"price": "under 9000 EUR"}).judge_bike(demo.table(), demo.bike("ivorrel-nool"))
    assert nool.holds is None
    assert nool.lacking == ("List price in EUR",)


def test_a_bound_in_pounds_is_answered_in_pounds():
    hebb = of({"mass": "at most 68 lb"}).judge_bike(demo.table(), demo.bike("tuspen-hebb"))
    assert plain(hebb.reasons) == ["Mass 68 lb, at most 68 lb"]
    assert not hebb.edge


def test_a_value_that_rounds_to_its_bound_gets_the_decimals_that_tell_them_apart():
    figure = demo.table().figures["oskelm-talli"]["hills.steepest"]
    near = f"over {round(figure.value * 100, 1):g} %"
    reason = (
        of({"hills.steepest": near}).judge_bike(demo.table(), demo.bike("oskelm-talli")).reasons[0]
    )
    value, bound = reason.replace("\u00a0", " ").split(" %")[0].rpartition(" ")[2], near.split()[1]
    assert float(value) != float(bound)


def test_criteria_say_themselves():
    rule = of({"sensor": "torque or switchable", "price": "under 2000 EUR", "mass": "between 20 and 30 kg"})  # fmt: skip
    words = rule.words.replace("\u00a0", " ")
    assert words == (
        "sensor: torque or switchable; list price under 2000 EUR; mass at least 20 kg and at most 30 kg"
    )
    assert rule.reads == ("sensor", "spec.price", "spec.mass")


@pytest.mark.parametrize(
    ("mapping", "what", "mend"),
    [
        ({"mas": "at most 25 kg"}, "no figure or field 'mas'", "Did you mean 'mass'?"),
        ({"steepest": "over 15 %"}, "no figure or field", "Did you mean 'hills.steepest'?"),
        ({"mass": "25 kg"}, "which side", "'at most 25 kg' or 'at least 25 kg'"),
        ({"mass": "< 25 kg"}, "begins with a sign", "'under 25 kg'"),
        ({"mass": "at most 25"}, "has no unit", "25 kg or 25 lb"),
        ({"mass": "at most 25 Wh"}, "is an energy", "a mass"),
        ({"mass": "at most 25,5 kg"}, "decimal comma", "25.5 kg"),
        ({"hills.steepest": "over 15"}, "has no unit", "'15 %'"),
        ({"energy.rolling": "under 8"}, "has no unit", "'8 Wh/km' or '8 Wh/mi'"),
        ({"energy.rolling": "under 8 kWh"}, "no unit of this", "'8 Wh/km'"),
        ({"price": "under 2000"}, "has no currency", "'2000 EUR'"),
        ({"price": "under 2000 €"}, "three-letter", "'2000 EUR'"),
        ({"price": "under 2,000 EUR"}, "separator", "2000 EUR"),
        ({"battery.charge_cost": "under 1 USD"}, "worked out in EUR", "in EUR"),
        ({"price": "over 1 EUR and under 9 USD"}, "two currencies", "one currency"),
        ({"sensor": "troque"}, "not one of the words", "Did you mean 'torque'?"),
        ({"motor": "hub"}, "not one of the words", "'rear hub or front hub'"),
        ({"sensor": "torque and cadence"}, "never both", "'torque or cadence'"),
        ({"use": "city and cargo or touring"}, "mixes", "two criteria"),
        ({"mass": "between 30 and 20 kg"}, "nothing lies", "between 20 kg and 30 kg"),
        ({"mass": "over 30 kg and under 20 kg"}, "no bike can be", "between 20 kg and 30 kg"),
        ({"mass": "over 20 kg and under 20 kg"}, "no bike can be", "Leave one"),
        ({"mass": "under 9 kg", "spec.mass": "over 2 kg"}, "asked for twice", "joined by 'and'"),
        ({"mass": "over spec.mass"}, "own bound", "another figure"),
        ({"mass": "over spec.torque"}, "units differ", "in kg"),
        ({"hills.steepest": "over hills.stepest"}, "no figure 'hills.stepest'", "hills.steepest"),
        ({"year": "old"}, "no year", "at least 2025"),
        ({"year": "over 2 kg"}, "no year", "at least 2025"),
        ({"mass": ""}, "empty", "Write it"),
        ({"mass": "at most 1e400 kg"}, "too large", "real size"),
        ({"mass": "at most 1e30 kg"}, "far beyond", "likely"),
        ({"mass": "at most " + "9" * 500 + " kg"}, "characters", "200"),
        ({"mass": 10**6000}, "no bound", "at most"),
        ({"mass": {"a": 1}}, "not a text", "in words"),
        ({"mass": ["at most 25 kg"]}, "not a text", "in words"),
        ({"mass": None}, "not a text", "in words"),
        ({7: "x"}, "key is not a text", "figure or a field"),
        ({f"k{n}": "x" for n in range(21)}, "21 criteria", "20"),
    ],
)
def test_what_is_wrong_is_said_with_its_mend(mapping, what, mend):
    faults = wrong(mapping)
    assert any(what in said and mend in right for said, right in faults), faults


def test_a_maker_that_is_not_there_is_told_once_the_bikes_are_known():
    faults = criteria(maker="Tuspn or Gromblo").find_unknown_makers(demo.table().bikes)
    assert [fault.mend for fault in faults] == ["Did you mean 'Tuspen'?"]


def test_every_choice_comes_from_the_schema_of_spec_files():
    assert list_choices("sensor") == ("cadence", "torque", "switchable")
    for name, field in FIELDS.items():
        if field.path:
            assert list_choices(name), name
    for bike in demo.bikes():
        for name, text in field_texts(bike).items():
            known = list_choices(name)
            assert not known or set(text.split(", ")) <= set(known), (name, text)


@given(st.sampled_from(COMMON), st.floats(1, 3000), st.booleans())
def test_under_and_at_least_share_the_known_bikes_out(figure, number, strict):
    unit = KINDS[figure].unit.metric.unit
    one, other = ("under", "at least") if strict else ("at most", "over")
    bound = f"{number:.3f} {unit}"
    low, high = (set(slugs({figure: f"{relation} {bound}"})) for relation in (one, other))
    comparable = {
        slug
        for slug, each in demo.table().column(figure).items()
        if each.kind.unit.metric.unit == unit
    }
    assert low | high == comparable
    assert not low & high


@given(st.sampled_from(COMMON), st.data())
def test_every_bike_is_at_most_and_at_least_what_its_own_figure_is(figure, data):
    table = demo.table()
    slug = data.draw(st.sampled_from(sorted(table.column(figure))))
    own = table.figures[slug][figure]
    scale = own.kind.unit.metric
    number = own.value * scale.factor
    for relation, low in (("at most", number + 1e-4), ("at least", number - 1e-4)):
        assert slug in slugs({figure: f"{relation} {low:.6f} {scale.unit}"})


@given(st.sampled_from(sorted(FIELDS)), st.data())
def test_a_word_and_not_that_word_share_the_known_bikes_out(name, data):
    if not list_choices(name):
        return
    word = data.draw(st.sampled_from(list_choices(name)))
    with_it, without = set(slugs({name: word})), set(slugs({name: f"not {word}"}))
    known = {bike.slug for bike in demo.bikes() if name in field_texts(bike)}
    assert with_it | without == known
    assert not with_it & without


@given(
    st.dictionaries(
        st.one_of(st.sampled_from([*FIELDS, *COMMON, "price"]), st.text(max_size=12), st.integers()),
        st.one_of(
            st.text(max_size=60),
            st.text(string.ascii_lowercase + "0123456789 .%", max_size=60),
            st.integers(),
            st.floats(),
            st.none(),
            st.lists(st.text(max_size=3), max_size=2),
        ),
        max_size=4,
    )
)  # fmt: skip
def test_no_text_whatever_breaks_the_reader(mapping):
    found, faults = read_criteria(mapping, KINDS)
    assert (found is None) == bool(faults)
    if found is not None:
        find_members(demo.table(), found)
