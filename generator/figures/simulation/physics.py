"""What the method page says of the physics, read from the code itself: rooms, functions, symbols.

The docstrings of `compute/` are the text; nothing of them is written twice.
"""

import importlib
import inspect
import pkgutil
import re
from dataclasses import dataclass

from generator import compute

SECTION = re.compile(r"^(\w[\w ]*)\n-+$", re.MULTILINE)

SYMBOLS = (
    ("m", "mass of bike, rider and load", "kg"),
    ("g", "standard acceleration of gravity, 9.80665", "m/s²"),
    ("θ", "angle of the road; its tangent is the grade", "rad"),
    ("Crr", "coefficient of rolling resistance", "1"),
    ("CdA", "drag coefficient times frontal area", "m²"),
    ("ρ", "density of the air", "kg/m³"),
    ("v", "speed over the ground", "m/s"),
    ("w", "wind along the road, against the rider positive", "m/s"),
    ("F", "force at the tyre", "N"),
    ("P", "power", "W"),
    ("E", "energy", "J"),
    ("k", "torque constant of the motor at its output", "N·m/A"),
    ("R", "resistance of the winding", "Ω"),
    ("I, I₀", "current of the winding; at no load", "A"),
    ("V", "voltage", "V"),
    ("ω, ω₀", "speed of the motor's output; at no load", "rad/s"),
    ("T", "torque; temperature in the time on a climb", "N·m; °C"),
    ("η", "efficiency", "1"),
    ("τ, R_th", "time constant and thermal resistance of the motor", "s; K/W"),
    (
        "a, b, L, h",
        "centre of gravity behind the front and ahead of the rear axle, wheelbase, height",
        "m",
    ),
    ("μ", "friction of tyre on road", "1"),
)
"""Symbol, meaning, unit: those of the formulas on the method page."""


@dataclass(frozen=True)
class Function:
    """One public function, as its docstring tells it."""

    name: str
    summary: str
    notes: str
    references: str


@dataclass(frozen=True)
class Room:
    name: str
    summary: str
    functions: tuple[Function, ...]


def _sections(doc: str) -> tuple[str, dict[str, str]]:
    """Split a numpydoc docstring into its summary and its sections."""
    parts = SECTION.split(doc)
    summary = " ".join(parts[0].split())
    return summary, {
        name: text.strip() for name, text in zip(parts[1::2], parts[2::2], strict=True)
    }


def _plain(text: str) -> str:
    """Running text: reStructuredText marks of citations and code are taken off."""
    text = re.sub(r"\.\. \[\d+\]\s*|\s?\[\d+\]_", "", text)
    return " ".join(text.replace("`", "").split())


def _functions(module) -> tuple[Function, ...]:
    found = []
    for name, value in vars(module).items():
        if (
            not inspect.isfunction(value)
            or name.startswith("_")
            or value.__module__ != module.__name__
        ):
            continue
        summary, sections = _sections(inspect.getdoc(value) or "")
        found.append(
            Function(
                f"{module.__name__.removeprefix('generator.compute.')}.{name}",
                _plain(summary),
                _plain(sections.get("Notes", "")),
                _plain(sections.get("References", "")),
            )
        )
    return tuple(found)


MACHINERY = ("compiled",)
"""Rooms that hold no physics."""


def rooms() -> tuple[Room, ...]:
    """Every room of the computation module with its public functions, by name."""
    found = []
    for info in pkgutil.iter_modules(compute.__path__, "generator.compute."):
        module = importlib.import_module(info.name)
        functions = _functions(module)
        name = info.name.rsplit(".", 1)[-1]
        if functions and name not in MACHINERY:
            found.append(Room(name, _plain(inspect.getdoc(module) or ""), functions))
    return tuple(found)
