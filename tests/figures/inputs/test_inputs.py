"""What the inputs of figures rest on."""

from generator.figures.inputs import INPUTS, Setting
from tests.figures import demo


def test_inputs_of_the_bike_do_not_look_at_rider_or_road() -> None:
    """What is shared between settings is the same in each."""
    content = demo.content()
    settings = [Setting(rider, route) for rider in content.riders for route in content.routes]
    assert len(settings) > 1
    for bike in demo.bikes():
        for kind in INPUTS.values():
            if not kind.of_setting:
                first, *others = (repr(kind.resolve(bike, each)) for each in settings)
                assert set(others) == {first}
