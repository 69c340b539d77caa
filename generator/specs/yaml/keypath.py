"""Dotted keys of a spec file, such as `assist.levels.Even.ratio`.

* find_keys    the path of the value that a dotted key names
* list_keys    every dotted key of a mapping, for advice
"""

from typing import Any

from generator.specs.yaml.located import Keys

LONGEST = 200
"""Characters of a dotted key."""
NAMES = ("name", "what", "key", "standard", "route")
"""Keys that name an item of a list."""


def find_keys(value: Any, words: str) -> Keys | None:
    """The path that a dotted key names in a mapping; None when there is no such value.

    A list item is named by its name (`levels.Even`) or by its number from 1 (`levels.2`).
    """
    return _find_path(value, words.split(".")) if len(words) <= LONGEST else None


def _find_path(value: Any, parts: list[str]) -> Keys | None:
    if not parts:
        return ()
    for length in range(1, len(parts) + 1):  # a key may contain a dot
        step = _find_step(value, ".".join(parts[:length]))
        if step is not None:
            rest = _find_path(value[step], parts[length:])
            if rest is not None:
                return (step, *rest)
    return None


def _find_step(value: Any, word: str) -> str | int | None:
    if isinstance(value, dict):
        return word if word in value else None
    if isinstance(value, list):
        for index, item in enumerate(value):
            if isinstance(item, dict) and word in (str(item.get(name)) for name in NAMES):
                return index
        if word.isascii() and word.isdigit() and len(word) < 5 and 0 < int(word) <= len(value):
            return int(word) - 1
    return None


def list_keys(value: Any, begin: str = "") -> list[str]:
    """Every dotted key under a value."""
    if isinstance(value, dict):
        pairs = [(str(key), below) for key, below in value.items()]
    elif isinstance(value, list):
        pairs = [(_name_item(item, index), item) for index, item in enumerate(value)]
    else:
        return []
    found = []
    for key, below in pairs:
        path = f"{begin}.{key}" if begin else key
        found += [path, *list_keys(below, path)]
    return found


def _name_item(item: Any, index: int) -> str:
    names = [str(item[name]) for name in NAMES if name in item] if isinstance(item, dict) else []
    return names[0] if names else str(index + 1)
