"""Inputs of the figures: for each bike its value, span and basis, and the random factor that moves it.

An input is what the spec file states (measured before claimed), or the assumption that stands in. NaN means that it
is missing and that nothing sensible can be assumed.
"""

from generator.figures.inputs import assist, battery, bike, motor, ride
from generator.figures.inputs.kind import (
    INPUTS,
    MISSING,
    InputKind,
    Resolved,
    Setting,
    feels_torque,
    fixed,
    is_mid,
    stated,
)

__all__ = [
    "INPUTS",
    "MISSING",
    "InputKind",
    "Resolved",
    "Setting",
    "assist",
    "battery",
    "bike",
    "feels_torque",
    "fixed",
    "is_mid",
    "motor",
    "ride",
    "stated",
]
