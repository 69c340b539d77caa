"""Which values of a YAML file changed, by dotted key, as their writer wrote them."""

from pathlib import Path
from typing import Any, NamedTuple

from generator.publish.impact.model import KeyChange
from generator.specs.yaml.files import read_mapping
from generator.specs.yaml.located import Keys, Marked

NAMES = ("id", "name", "standard", "what")
"""Keys that name an item of a list."""


class Written(NamedTuple):
    text: str
    line: int


def key_changes(
    old: Path, new: Path, *, old_root: Path, new_root: Path, file: str
) -> tuple[KeyChange, ...]:
    """Compare two files; one that is not there or not readable says nothing."""
    return compared(_read(old, old_root), _read(new, new_root), file)


def compared(
    before: dict[str, Written], after: dict[str, Written], file: str
) -> tuple[KeyChange, ...]:
    """Changes in the order of the later file, then what it no longer says."""
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


def _read(path: Path, root: Path) -> dict[str, Written]:
    marked = read_mapping(path, root)[0] if path.is_file() else None
    return written(marked) if marked else {}


def written(marked: Marked) -> dict[str, Written]:
    """Every value of a file by dotted key. A list of plain values is one value; others go by the name of their item."""
    found: dict[str, Written] = {}
    _walk(marked, marked.value, (), "", found)
    return found


def _walk(marked: Marked, value: Any, keys: Keys, name: str, found: dict[str, Written]) -> None:
    plain = isinstance(value, list) and not any(isinstance(item, (dict, list)) for item in value)
    if isinstance(value, dict):
        for key, below in value.items():
            _walk(marked, below, (*keys, key), f"{name}.{key}" if name else key, found)
    elif isinstance(value, list) and not plain:
        taken: set[str] = set()
        for index, below in enumerate(value):
            word = _word(below, index)
            word = f"{word}.{index + 1}" if word in taken else word
            taken.add(word)
            _walk(marked, below, (*keys, index), f"{name}.{word}", found)
    else:
        texts = [marked.text((*keys, index)) for index in range(len(value))] if plain else []
        text = ", ".join(texts) if plain else marked.text(keys)
        found[name] = Written(" ".join(text.split()), marked.where(keys)[0])


def _word(item: Any, index: int) -> str:
    names = [str(item[name]) for name in NAMES if item.get(name)] if isinstance(item, dict) else []
    return names[0] if names else str(index + 1)
