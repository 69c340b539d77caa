"""Every number inside a value, however deep.

* numbers    path and number, for each
"""

import dataclasses
from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np


def numbers(value: Any, path: str = "") -> Iterator[tuple[str, float]]:
    """All numbers of lists, mappings, data classes and arrays."""
    if isinstance(value, (bool, str, bytes)) or value is None:
        return
    if isinstance(value, (int, float, np.integer, np.floating)):
        yield path, float(value)
    elif isinstance(value, np.ndarray):
        if value.dtype.kind in "fiu":
            for at, each in np.ndenumerate(value):
                yield f"{path}{list(at)}", float(each)
    elif isinstance(value, Mapping):
        for key, each in value.items():
            yield from numbers(each, f"{path}[{key!r}]")
    elif isinstance(value, (list, tuple, set, frozenset)):
        for index, each in enumerate(value):
            yield from numbers(each, f"{path}[{index}]")
    elif dataclasses.is_dataclass(value) and not isinstance(value, type):
        for field in dataclasses.fields(value):
            yield from numbers(getattr(value, field.name), f"{path}.{field.name}")
