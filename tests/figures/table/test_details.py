"""What is packed to be sent and kept is unpacked as it was."""

import pickle

import numpy as np
import pytest

from generator.figures.model import FirstUse, Input, Weighed, Working
from generator.figures.table.assembly import Assembly
from generator.figures.table.details import Background
from generator.figures.table.parts import entries_of, figures_of, groups
from generator.figures.table.tabulate import kinds_of, part, tabulate
from generator.figures.table.workings import Told, Workings
from tests.figures import demo

SLUGS = ("pellimor-quarl", "lumtarn-izzul", "gromblo-drusk")
"""One with own rides, one in a light file, one whose maker states almost nothing."""


def test_figures_come_back_with_the_kinds_of_the_catalogue() -> None:
    """Money has a unit of its own; all else of a kind is the same object for every bike."""
    table = demo.table()
    for slug, figures in table.figures.items():
        back = figures_of(slug, pickle.loads(pickle.dumps(entries_of(figures))), table.kinds)
        assert back == figures
        assert list(back) == list(figures)
        for id, figure in back.items():
            assert id == "spec.price" or figure.kind is table.kinds[id] or "cost" in id, id


def test_a_background_comes_back() -> None:
    """Inputs that figures share keep the part that each plays."""
    mass = Input("bike.mass", "Mass", 24.5, "kg", 24.0, 25.0, "claimed", "24.5 kg", "sheet")
    power = mass._replace(id="motor.power", title="Power", value=250.0, unit="W")
    workings = Workings(
        [mass, power],
        {
            "one": Told(((0, 0.25), (1, 0.0)), ("a = b",)),
            "two": Told(((1, 0.75), (0, 0.125)), ()),
            "three": Told((), ()),
        },
    )
    curves = {"hills": [{"grade": 0.1, "speed": 3.0}], "none": []}
    back = Background.unpacked(Background(workings, curves, True, None).packed())

    assert back == Background(workings, curves, True, None)
    assert dict(back.workings) == {
        "one": Working((Weighed(mass, 0.25), Weighed(power)), ("a = b",)),
        "two": Working((Weighed(power, 0.75), Weighed(mass, 0.125))),
        "three": Working(),
    }
    assert back.workings.first_uses() == {
        "bike.mass": FirstUse("one", mass),
        "motor.power": FirstUse("one", power),
    }


def test_a_part_of_one_bike_is_what_the_table_has_of_it() -> None:
    """A table put together from parts of single bikes, in any order, is that of all at once, with pages' needs and without."""
    bikes, content = demo.some(*SLUGS), demo.content()
    made = part(bikes, content.ground, pages=True)
    alone = [pickle.loads(pickle.dumps(made.of(bike.slug))) for bike in bikes]
    assembly = Assembly(bikes, content, kinds_of(bikes, content))
    for each in reversed(alone):
        assembly.add(each)
    table, whole = assembly.table(), tabulate(bikes, content)

    assert table.figures == whole.figures
    assert list(table.figures) == list(whole.figures)
    assert (table.missing, table.claims, table.effects) == (
        whole.missing,
        whole.claims,
        whole.effects,
    )
    assert table.rides == whole.rides
    assert table.uses == whole.uses
    for slug in SLUGS:
        assert table.behind.workings(slug) == whole.behind.workings(slug)
        one, other = table.ride_grid(slug), whole.ride_grid(slug)
        assert (one is None) == (other is None)
        if one and other:
            np.testing.assert_array_equal(one.logs, other.logs)


def test_a_table_of_few_bikes_has_nothing_of_the_others() -> None:
    table = demo.table()
    few = table.only(*SLUGS[:2])

    assert [bike.slug for bike in few.bikes] == list(SLUGS[:2])
    assert few.kinds == table.kinds
    for slug in SLUGS[:2]:
        assert few.of(slug) == table.of(slug)
    assert few.of(SLUGS[2]) == {}
    assert {ride.bike for ride in few.rides} <= set(SLUGS[:2])
    assert set(few.column("spec.mass")) <= set(SLUGS[:2])


@pytest.mark.parametrize(("count", "together"), [(0, 5), (1, 5), (5, 5), (11, 5), (30, 12)])
def test_groups_are_even(count: int, together: int) -> None:
    bikes = [demo.bikes()[place % 30] for place in range(count)]
    found = groups(bikes, together)

    assert [bike for group in found for bike in group] == bikes
    sizes = [len(group) for group in found]
    assert max(sizes) <= together
    assert max(sizes) - min(sizes) <= 1
