"""Inputs of the figures: value, span and basis for each bike, and the random factor that moves it.

An input is what the spec file states (measured before claimed), or else an assumption. NaN means that it is missing
and that nothing sensible can be assumed.
"""

from generator.figures.inputs import assist, battery, bike, motor, ride
from generator.figures.inputs.kind import (
    INPUTS,
    MISSING,
    InputKind,
    ResolvedInput,
    RideConditions,
    has_torque_law,
    is_direct,
    is_mid_drive,
    resolve_fixed,
    resolve_stated,
)

__all__ = [
    "INPUTS",
    "MISSING",
    "InputKind",
    "ResolvedInput",
    "RideConditions",
    "assist",
    "battery",
    "bike",
    "has_torque_law",
    "is_direct",
    "is_mid_drive",
    "motor",
    "resolve_fixed",
    "resolve_stated",
    "ride",
]
