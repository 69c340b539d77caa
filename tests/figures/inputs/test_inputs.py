"""Which inputs depend on rider and route."""

from generator.figures.inputs import INPUTS, RideConditions
from tests.figures import demo


def test_inputs_of_the_bike_do_not_look_at_rider_or_road() -> None:
    """Inputs that settings share are equal in each."""
    content = demo.content()
    settings = [
        RideConditions(rider, route) for rider in content.riders for route in content.routes
    ]
    assert len(settings) > 1
    for bike in demo.bikes():
        for kind in INPUTS.values():
            if not kind.depends_on_ride:
                first, *others = (repr(kind.resolve(bike, each)) for each in settings)
                assert set(others) == {first}
