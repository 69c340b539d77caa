"""Dates as HTML."""

import re
from datetime import date

from markupsafe import Markup, escape

from generator.specs.english import day_in_words

_DAY = re.compile(r"\b(\d{4}-\d\d-\d\d)\b")


def format_date(when: date) -> Markup:
    """Return a date in words, in a `time` element; the template filter `day`."""
    return Markup(f'<time datetime="{when.isoformat()}">{day_in_words(when)}</time>')


def format_dates_in_text(text: str) -> Markup:
    """Return plain text as HTML, with each ISO date in it put in words; the template filter `with_days`."""
    return Markup(_DAY.sub(_format_match, str(escape(text))))


def _format_match(found: re.Match[str]) -> str:
    try:
        return str(format_date(date.fromisoformat(found[0])))
    except ValueError:  # looks like a date but is none
        return found[0]
