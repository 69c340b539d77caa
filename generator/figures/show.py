"""Figures as text, in one place: digits, unit, interval, in metric or US units.

Digits follow the uncertainty: the last digit shown is worth no more than the interval's half width allows.
"""

import math
import re
from typing import Literal

from generator.figures.model import Figure, FigureKind, Scale, Unit

UnitSystem = Literal["metric", "us"]

NARROW_SPACE = "\u202f"
MINUS = "\u2212"
_CURRENCY = re.compile("[A-Z]{3}")


def get_scale(kind: FigureKind, system: UnitSystem = "metric") -> Scale:
    """The scale on which a kind is shown in a unit system."""
    return kind.unit.metric if system == "metric" else kind.unit.us


def get_unit_symbol(kind: FigureKind, system: UnitSystem = "metric") -> str:
    """Symbol of the unit; empty for a bare number."""
    return get_scale(kind, system).unit


def count_decimals(figure: Figure, system: UnitSystem = "metric") -> int:
    """Decimals worth showing: the kind's own, fewer when a step of the last digit is under a fifth of the interval."""
    shown = get_scale(figure.kind, system)
    half = 0.5 * (figure.high - figure.low) * shown.factor
    if half <= 0.0:
        return shown.decimals
    return min(shown.decimals, max(0, -math.floor(math.log10(half * 0.4))))


def round_value(value: float, digits: int = 6) -> float:
    """To so many significant digits; six are more than any input has."""
    return float(f"{value:.{digits}g}")


def format_digits(value: float, places: int) -> str:
    """A number with the given decimals, a true minus, and narrow spaces between thousands from 10 000."""
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


def format_value(figure: Figure, system: UnitSystem = "metric") -> str:
    """The value without its unit, such as `44`."""
    shown = get_scale(figure.kind, system)
    if _CURRENCY.fullmatch(figure.kind.unit.si):  # money: no cents when whole
        return format_amount(figure.value)
    text = format_digits(figure.value * shown.factor, count_decimals(figure, system))
    as_declared = figure.low == figure.high and figure.basis in ("claimed", "measured")
    return text.removesuffix(".0") if as_declared else text


def format_amount(amount: float) -> str:
    """An amount without its currency; no cents when whole."""
    return format_digits(amount, 0 if amount == round(amount) else 2)


def format_in_both_systems(value: float, unit: Unit) -> str:
    """A round SI value in both systems, such as `55 kg (121 lb)`; once where they read the same."""
    metric, us = (
        join_unit(format_digits(value * each.factor, 0), each.unit)
        for each in (unit.metric, unit.us)
    )
    return metric if metric == us else f"{metric} ({us})"


def format_figure(figure: Figure, system: UnitSystem = "metric") -> str:
    """The value with its unit, such as `44 km`."""
    return join_unit(format_value(figure, system), get_unit_symbol(figure.kind, system))


def format_interval(figure: Figure, system: UnitSystem = "metric") -> str:
    """Low and high without unit, such as `36–52`; empty when no input is uncertain."""
    shown = get_scale(figure.kind, system)
    places = count_decimals(figure, system)
    low = format_digits(figure.low * shown.factor, places)
    high = format_digits(figure.high * shown.factor, places)
    if low == high:
        return ""
    return f"{low} to {high}" if MINUS in low + high else f"{low}–{high}"


def join_unit(value: str, symbol: str) -> str:
    """Value and unit, with a no-break space unless the unit is set close."""
    if not symbol:
        return value
    return value + symbol if symbol in ("°",) else f"{value}\u00a0{symbol}"


def format_quantity(value: float, shown: Scale) -> str:
    """An SI value that is not a figure, such as an input, with up to three significant digits."""
    value = value * shown.factor
    if not math.isfinite(value):
        return "no limit" if value > 0 else "unknown"
    places = shown.decimals
    if value and abs(value) < 10.0**-places * 10:
        places = min(6, 1 - math.floor(math.log10(abs(value))))
    return join_unit(format_digits(value, places), shown.unit)
