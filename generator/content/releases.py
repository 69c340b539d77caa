"""Records of what was published on a day: `content/releases/<day>.json`, written by `impact --record`.

* Release             the record of one day
* read_releases       reads all records, oldest first, and every problem in them
* parse_record_day    the day that a record's file name states
* parse_release       parses the text of a record
* format_release      writes a record as the text of its file

Each bike is one line, with its figures in the order of the list `figures`: two records differ only in the lines of
bikes whose figures moved, and thirty bikes take far less than 100 KB.
"""

import json
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cached_property
from pathlib import Path
from typing import Any, NoReturn

from generator.content.files import SLUG, list_files, read_text
from generator.specs.problems import Problem
from generator.specs.yaml.files import format_path
from generator.specs.yaml.scalars import is_day

FOLDER = "content/releases"
FORMAT = 1
LARGEST = 8 * 1024 * 1024
"""Size of one record; a thousand bikes take about 3 MB. [B]"""
MEND = "Restore the file from the repository's history, or delete it; `impact --record` writes them"

Numbers = tuple[float, float, float]
"""Value, low and high end of the interval, in SI units."""

_ID = re.compile(r"[a-z0-9_]+(?:[.-][a-z0-9_]+)*")
_UNIT = re.compile(r"[^\s\"<>&]{1,12}")
_LONGEST = 400
"""Length of a name or of a field's text. [characters]"""


@dataclass(frozen=True)
class Release:
    """The record of what was published on one day."""

    day: date
    figures: Mapping[str, Mapping[str, Numbers]]
    """Figures by the bike's slug, then by figure id."""
    fields: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    """Texts by the bike's slug, then by the field's name, such as `sensor`; `name` is the bike's full name."""
    lists: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Members of each running list, by the list's slug."""
    units: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    """SI symbol by the bike's slug and figure id, where it differs from the figure's usual one: a foreign currency."""
    digest: str = field(default="", compare=False)
    """Hash of the file that it was read from; empty for a new record."""

    @cached_property
    def ids(self) -> frozenset[str]:
        """Ids of the figures that any bike has."""
        return frozenset(id for figures in self.figures.values() for id in figures)

    def name(self, slug: str) -> str:
        return self.fields.get(slug, {}).get("name", slug)


class _RecordError(Exception):
    """What is wrong with a record, and the slug of the bike on whose line it is."""

    def __init__(self, what: str, slug: str = "") -> None:
        super().__init__(what)
        self.slug = slug


def read_releases(root: Path) -> tuple[tuple[Release, ...], list[Problem]]:
    """The records of a publication, oldest first, and every problem."""
    paths, problems = list_files(root / FOLDER, root, ".json")
    found = []
    for path in paths:
        text, digest, more = read_text(path, root, LARGEST)
        problems += more
        if text is None:
            continue
        release, problem = parse_release(text, path.stem, format_path(path, root))
        if release:
            found.append(replace(release, digest=digest))
        if problem:
            problems.append(problem)
    return tuple(sorted(found, key=lambda release: release.day)), problems


def parse_record_day(name: str) -> date | None:
    """The day that a record's name is, such as `2026-11-24`."""
    return date.fromisoformat(name) if is_day(name) else None


def parse_release(text: str, name: str, file: str) -> tuple[Release | None, Problem | None]:
    """The record that a text states, or its problem; `name` is the file's name without the ending."""
    day = parse_record_day(name)
    if day is None:
        what = f"the name {name!r:.60} is not a day"
        return None, Problem(file, 0, 0, what, "Name a record after its day, such as 2026-11-24")
    try:
        given = json.loads(
            text,
            object_pairs_hook=_refuse_repeats,
            parse_constant=_refuse_constant,
            parse_float=_parse_number,
        )
        return _read_record(given, day), None
    except json.JSONDecodeError as error:
        what = f"the record is not JSON: {error.msg}"
        return None, Problem(file, error.lineno, error.colno, what, MEND)
    except _RecordError as wrong:
        return None, Problem(file, _find_line(wrong.slug, text), 0, str(wrong), MEND)
    except (ValueError, OverflowError, RecursionError):
        what = "the record is not JSON that can be read: a number too long, or too deep a nest"
        return None, Problem(file, 0, 0, what, MEND)


def format_release(release: Release) -> str:
    """The text of a record's file: the same bytes for the same record."""
    ids = sorted(release.ids)
    bikes = {
        slug: {
            "fields": dict(sorted(release.fields.get(slug, {}).items())),
            "values": [_prepare_value(release, slug, id) for id in ids],
        }
        for slug in sorted(release.figures)
    }
    lists = {slug: list(members) for slug, members in sorted(release.lists.items())}
    head = f'"format": {FORMAT},\n"day": "{release.day}",\n"figures": {_format_line(ids)}'
    return f'{{\n{head},\n"bikes": {_format_lines(bikes)},\n"lists": {_format_lines(lists)}\n}}\n'


def _prepare_value(release: Release, slug: str, id: str) -> Any:
    """A figure as JSON: one number when it is certain, three with its interval, null when the bike lacks it."""
    numbers = release.figures[slug].get(id)
    if numbers is None:
        return None
    short = [int(each) if each.is_integer() and abs(each) < 1e15 else each for each in numbers]
    unit = release.units.get(slug, {}).get(id)
    if unit:
        return [*short, unit]
    return short[0] if short[0] == short[1] == short[2] else short


def _format_lines(mapping: Mapping[str, Any]) -> str:
    """A mapping with one line for each of its keys."""
    return (
        "{"
        + ",".join(f"\n{_format_line(key)}: {_format_line(each)}" for key, each in mapping.items())
        + "\n}"
    )


def _format_line(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"), allow_nan=False)


def _refuse_repeats(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for key, value in pairs:
        if key in found:
            raise _RecordError(f"the key {key!r:.60} stands twice", key)
        found[key] = value
    return found


def _refuse_constant(word: str) -> NoReturn:
    raise _RecordError(f"{word} is not a number")


def _parse_number(word: str) -> float:
    number = float(word)
    if not math.isfinite(number):
        raise _RecordError(f"{word:.40} is not a number that can be held")
    return number


def _read_record(given: Any, day: date) -> Release:
    top = _require_keys(given, "the record", {"format", "day", "figures", "bikes", "lists"})
    if isinstance(top["format"], bool) or top["format"] != FORMAT:
        raise _RecordError(f"format {top['format']!r:.40} is not one that this program reads")
    if top["day"] != day.isoformat():
        raise _RecordError(f"the day within, {top['day']!r:.40}, is not that of the file's name")
    ids = _read_ids(top["figures"])
    figures: dict[str, dict[str, Numbers]] = {}
    fields: dict[str, dict[str, str]] = {}
    units: dict[str, dict[str, str]] = {}
    for slug, bike in _require_mapping(top["bikes"], "bikes").items():
        if not SLUG.fullmatch(slug):
            raise _RecordError(f"{slug!r:.60} cannot be a bike's name in an address", slug)
        both = _require_keys(bike, f"bike {slug}", {"fields", "values"}, slug)
        fields[slug] = _read_fields(both["fields"], slug)
        figures[slug], units[slug] = _read_figures(both["values"], ids, slug)
    lists = _require_mapping(top["lists"], "lists")
    members = {slug: _read_members(lists[slug], slug) for slug in lists}
    return Release(day, figures, fields, members, {k: v for k, v in units.items() if v})


def _require_mapping(given: Any, what: str, slug: str = "") -> dict[str, Any]:
    if not isinstance(given, dict):
        raise _RecordError(f"{what} is not a mapping", slug)
    return given


def _require_keys(given: Any, what: str, keys: set[str], slug: str = "") -> dict[str, Any]:
    found = _require_mapping(given, what, slug)
    if found.keys() != keys:
        odd = sorted(found.keys() ^ keys)
        raise _RecordError(f"{what} lacks, or should not have, {', '.join(odd)[:80]}", slug)
    return found


def _read_ids(given: Any) -> list[str]:
    if not isinstance(given, list) or len(given) > 5000:
        raise _RecordError("figures is not a list of ids of figures")
    for id in given:
        if not (isinstance(id, str) and len(id) <= 100 and _ID.fullmatch(id)):
            raise _RecordError(f"{id!r:.60} is not the id of a figure")
    if len(set(given)) < len(given):
        raise _RecordError("an id of a figure stands twice")
    return given


def _read_fields(given: Any, slug: str) -> dict[str, str]:
    for name, text in _require_mapping(given, f"fields of {slug}", slug).items():
        if not (isinstance(text, str) and len(text) <= _LONGEST and _ID.fullmatch(name)):
            raise _RecordError(f"the field {name!r:.40} of {slug} is not a short text", slug)
    return dict(given)


def _read_figures(
    given: Any, ids: list[str], slug: str
) -> tuple[dict[str, Numbers], dict[str, str]]:
    if not isinstance(given, list) or len(given) != len(ids):
        raise _RecordError(f"{slug} does not have one value for each of {len(ids)} figures", slug)
    figures: dict[str, Numbers] = {}
    units: dict[str, str] = {}
    for id, value in zip(ids, given, strict=True):
        if value is None:
            continue
        numbers = value if isinstance(value, list) else [value] * 3
        if len(numbers) == 4 and isinstance(numbers[3], str) and _UNIT.fullmatch(numbers[3]):
            units[id] = numbers[3]
            numbers = numbers[:3]
        figures[id] = _read_numbers(numbers, f"{id} of {slug}", slug)
    return figures, units


def _read_numbers(given: list[Any], what: str, slug: str) -> Numbers:
    if len(given) != 3 or any(type(each) not in (int, float) for each in given):
        raise _RecordError(f"{what} is not a number, nor value, low and high", slug)
    value, low, high = (float(each) for each in given)
    if not all(map(math.isfinite, (value, low, high))) or low > high:
        raise _RecordError(f"{what} has ends that no interval has", slug)
    return value, low, high


def _read_members(given: Any, slug: str) -> tuple[str, ...]:
    if not SLUG.fullmatch(slug):
        raise _RecordError(f"{slug!r:.60} cannot be a list's name in an address", slug)
    if not isinstance(given, list) or not all(
        isinstance(each, str) and SLUG.fullmatch(each) for each in given
    ):
        raise _RecordError(f"the list {slug} does not hold names of bikes", slug)
    return tuple(given)


def _find_line(slug: str, text: str) -> int:
    """Line of a record that begins with a bike's slug; 0 when there is none."""
    if not slug:
        return 0
    start = json.dumps(slug, ensure_ascii=False) + ":"
    return next((n for n, line in enumerate(text.split("\n"), 1) if line.startswith(start)), 0)
