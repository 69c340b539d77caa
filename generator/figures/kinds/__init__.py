"""The figures themselves, one module per group. Importing the modules registers them, in the order of the pages."""

from generator.figures.kinds import (  # noqa: F401  importing registers
    range,  # isort: skip
    hills,  # isort: skip
    gears,  # isort: skip
    assist,  # isort: skip
    battery,  # isort: skip
    motor,  # isort: skip
    claims,  # isort: skip
    spec,  # isort: skip
)
