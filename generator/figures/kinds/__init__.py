"""The figures, one module per group. Importing the modules registers them in the order of the pages."""

from generator.figures.kinds import (  # noqa: F401  importing registers
    assist,  # isort: skip
    battery,  # isort: skip
    claims,  # isort: skip
    gears,  # isort: skip
    hills,  # isort: skip
    limits,  # isort: skip
    motor,  # isort: skip
    range,  # isort: skip
    spec,  # isort: skip
)
