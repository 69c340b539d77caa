"""The physics on the method page: modules and functions, read from the docstrings of `compute/`, and symbols."""

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
"""Symbols of the formulas on the method page: symbol, meaning, unit."""


@dataclass(frozen=True)
class FunctionText:
    """One public function, described by its docstring."""

    name: str
    summary: str
    notes: str
    references: str


@dataclass(frozen=True)
class ModuleText:
    """One module of `compute/` with its public functions, described by its docstring."""

    name: str
    summary: str
    functions: tuple[FunctionText, ...]


def _split_sections(doc: str) -> tuple[str, dict[str, str]]:
    """Split a numpydoc docstring into its summary and its sections."""
    parts = SECTION.split(doc)
    summary = " ".join(parts[0].split())
    return summary, {
        name: text.strip() for name, text in zip(parts[1::2], parts[2::2], strict=True)
    }


def _strip_markup(text: str) -> str:
    """Running text, without reStructuredText marks of citations and code."""
    text = re.sub(r"\.\. \[\d+\]\s*|\s?\[\d+\]_", "", text)
    return " ".join(text.replace("`", "").split())


def _describe_functions(module) -> tuple[FunctionText, ...]:
    found = []
    for name, value in vars(module).items():
        if (
            not inspect.isfunction(value)
            or name.startswith("_")
            or value.__module__ != module.__name__
        ):
            continue
        summary, sections = _split_sections(inspect.getdoc(value) or "")
        found.append(
            FunctionText(
                f"{module.__name__.removeprefix('generator.compute.')}.{name}",
                _strip_markup(summary),
                _strip_markup(sections.get("Notes", "")),
                _strip_markup(sections.get("References", "")),
            )
        )
    return tuple(found)


MODULES_LEFT_OUT = ("compiled",)
"""Modules that hold no physics."""


def describe_modules() -> tuple[ModuleText, ...]:
    """Every module of `compute/` that holds physics, by name."""
    found = []
    for info in pkgutil.iter_modules(compute.__path__, "generator.compute."):
        module = importlib.import_module(info.name)
        functions = _describe_functions(module)
        name = info.name.rsplit(".", 1)[-1]
        if functions and name not in MODULES_LEFT_OUT:
            found.append(ModuleText(name, _strip_markup(inspect.getdoc(module) or ""), functions))
    return tuple(found)
