"""Figures as text, in one place: digits, unit, interval, in metric or US units.

Digits follow the uncertainty: the last digit shown is worth no more than the interval's half width allows.
"""

import math
import re
from typing import Literal

from generator.figures.model import Figure, Kind, Scale, Unit

System = Literal["metric", "us"]

NARROW_SPACE = "\u202f"
MINUS = "\u2212"
_CURRENCY = re.compile("[A-Z]{3}")


def scale(kind: Kind, system: System = "metric") -> Scale:
    return kind.unit.metric if system == "metric" else kind.unit.us


def unit(kind: Kind, system: System = "metric") -> str:
    """Symbol, empty for a bare number."""
    return scale(kind, system).unit


def decimals(figure: Figure, system: System = "metric") -> int:
    """Decimals worth showing: the kind's own, fewer when a step of the last digit is under a fifth of the interval."""
    shown = scale(figure.kind, system)
    half = 0.5 * (figure.high - figure.low) * shown.factor
    if half <= 0.0:
        return shown.decimals
    return min(shown.decimals, max(0, -math.floor(math.log10(half * 0.4))))


def rounded(value: float) -> float:
    """Six significant digits: more than any input has."""
    return float(f"{value:.6g}")


def digits(value: float, places: int) -> str:
    """A number with so many decimals, a true minus, a narrow space between thousands from 10 000."""
    text = f"{value:.{places}f}"
    if 0.0 < value < 9999.0:
        return text
    if float(text) == 0.0:
        text = text.lstrip("-")
    sign = MINUS if text.startswith("-") else ""
    text = text.lstrip("-")
    if abs(value) < 9999.0:
        return sign + text
    whole, dot, part = text.partition(".")
    if len(whole) > 4:
        whole = f"{int(whole):,}".replace(",", NARROW_SPACE)
    return sign + whole + dot + part


def number(figure: Figure, system: System = "metric") -> str:
    """The value without its unit, such as `44`."""
    shown = scale(figure.kind, system)
    if _CURRENCY.fullmatch(figure.kind.unit.si):  # money: no cents when whole
        return money(figure.value)
    text = digits(figure.value * shown.factor, decimals(figure, system))
    as_declared = figure.low == figure.high and figure.basis in ("claimed", "measured")
    return text.removesuffix(".0") if as_declared else text


def money(amount: float) -> str:
    """An amount without its currency; no cents when whole."""
    return digits(amount, 0 if amount == round(amount) else 2)


def in_both(value: float, unit: Unit) -> str:
    """A round SI value in both systems, such as `55 kg (121 lb)`; once where they read the same."""
    metric, us = (
        join(digits(value * each.factor, 0), each.unit) for each in (unit.metric, unit.us)
    )
    return metric if metric == us else f"{metric} ({us})"


def text(figure: Figure, system: System = "metric") -> str:
    """The value with its unit, such as `44 km`."""
    return join(number(figure, system), unit(figure.kind, system))


def interval(figure: Figure, system: System = "metric") -> str:
    """Low and high without unit, such as `36–52`; empty when no input is uncertain."""
    shown = scale(figure.kind, system)
    places = decimals(figure, system)
    low = digits(figure.low * shown.factor, places)
    high = digits(figure.high * shown.factor, places)
    if low == high:
        return ""
    return f"{low} to {high}" if MINUS in low + high else f"{low}–{high}"


def join(value: str, symbol: str) -> str:
    """Value and unit with the space that the unit wants."""
    if not symbol:
        return value
    return value + symbol if symbol in ("°",) else f"{value}\u00a0{symbol}"


def quantity(value: float, shown: Scale) -> str:
    """An SI value that is no figure (an input), with up to three significant digits."""
    value = value * shown.factor
    if not math.isfinite(value):
        return "no limit" if value > 0 else "unknown"
    places = shown.decimals
    if value and abs(value) < 10.0**-places * 10:
        places = min(6, 1 - math.floor(math.log10(abs(value))))
    return join(digits(value, places), shown.unit)
