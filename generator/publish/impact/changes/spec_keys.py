"""Compares two versions of a YAML file by dotted key, with values as they are written in the file."""

from pathlib import Path
from typing import Any, NamedTuple

from generator.publish.impact.model import KeyChange
from generator.specs.yaml.files import read_mapping
from generator.specs.yaml.located import Keys, LocatedMapping

ITEM_NAME_KEYS = ("id", "name", "standard", "what")
"""Keys whose value names an item of a list."""


class WrittenValue(NamedTuple):
    """A value as it is written in a file, and its line."""

    text: str
    line: int


def compare_files(
    old: Path, new: Path, *, old_root: Path, new_root: Path, file: str
) -> tuple[KeyChange, ...]:
    """Compare two files. A missing or unreadable file counts as empty."""
    return compare_values(_read_values(old, old_root), _read_values(new, new_root), file)


def compare_values(
    before: dict[str, WrittenValue], after: dict[str, WrittenValue], file: str
) -> tuple[KeyChange, ...]:
    """Added and changed values in the order of the later file, then removed ones."""
    found = [
        KeyChange(file, key, before[key].text if key in before else "", now.text, now.line)
        for key, now in after.items()
        if key not in before or before[key].text != now.text
    ]
    found += [
        KeyChange(file, key, was.text, "", was.line)
        for key, was in before.items()
        if key not in after
    ]
    return tuple(found)


def _read_values(path: Path, root: Path) -> dict[str, WrittenValue]:
    """Values of a file by dotted key; empty for a missing or unreadable file."""
    marked = read_mapping(path, root)[0] if path.is_file() else None
    return flatten_values(marked) if marked else {}


def flatten_values(marked: LocatedMapping) -> dict[str, WrittenValue]:
    """Every value of a file by dotted key. A list of plain values is one value; items of other lists go by their name."""
    found: dict[str, WrittenValue] = {}
    _collect_values(marked, marked.value, (), "", found)
    return found


def _collect_values(
    marked: LocatedMapping, value: Any, keys: Keys, name: str, found: dict[str, WrittenValue]
) -> None:
    """Add to `found` every value at or below `value`, which is at `keys` in the file and called `name`."""
    plain = isinstance(value, list) and not any(isinstance(item, (dict, list)) for item in value)
    if isinstance(value, dict):
        for key, below in value.items():
            _collect_values(marked, below, (*keys, key), f"{name}.{key}" if name else key, found)
    elif isinstance(value, list) and not plain:
        taken: set[str] = set()
        for index, below in enumerate(value):
            word = _name_item(below, index)
            word = f"{word}.{index + 1}" if word in taken else word
            taken.add(word)
            _collect_values(marked, below, (*keys, index), f"{name}.{word}", found)
    else:
        texts = [marked.text((*keys, index)) for index in range(len(value))] if plain else []
        text = ", ".join(texts) if plain else marked.text(keys)
        found[name] = WrittenValue(" ".join(text.split()), marked.where(keys)[0])


def _name_item(item: Any, index: int) -> str:
    """What an item of a list is called in a dotted key: its name, or its number from 1."""
    names = (
        [str(item[name]) for name in ITEM_NAME_KEYS if item.get(name)]
        if isinstance(item, dict)
        else []
    )
    return names[0] if names else str(index + 1)
