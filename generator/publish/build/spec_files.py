"""Spec files that an earlier build read, by their bytes: what they hold is taken from the cache, the rest is read.

* read_specs   a mapper for `specs.read.read_bikes`
"""

from collections.abc import Callable, Iterable, Sequence
from functools import partial
from pathlib import Path

from generator.publish.build.worker_pool import map_in_processes
from generator.publish.cache.cache import Cache
from generator.specs.bike import Bike
from generator.specs.encoding import decode, encode, fingerprint
from generator.specs.problems import Problem
from generator.specs.read import BikeResult
from generator.specs.yaml.files import read_bytes

TOGETHER = 25
"""Files that a process reads at a time."""


def read_specs(
    cache: Cache, base: str, read: Callable[[Path], BikeResult], paths: Sequence[Path]
) -> Iterable[BikeResult]:
    """Return what each spec file holds, in order; `base` is the fingerprint of the program and the schema."""
    keys = {path: _key(path, base) for path in paths}
    known: dict[Path, BikeResult] = {}
    for path, key in keys.items():
        if key and (kept := cache.get(key)):
            known[path] = decode(tuple[Bike | None, list[Problem]], kept)
    new = [path for path in paths if path not in known]
    groups = [new[start : start + TOGETHER] for start in range(0, len(new), TOGETHER)]
    for group, found in zip(
        groups, map_in_processes(partial(_read_all, read), groups), strict=True
    ):
        for path, each in zip(group, found, strict=True):
            known[path] = each
            if (key := keys[path]) and key == _key(path, base):  # as it was when it was read
                cache.put(key, encode(each))
    return [known[path] for path in paths]


def _read_all(read: Callable[[Path], BikeResult], paths: Sequence[Path]) -> list[BikeResult]:
    return [read(path) for path in paths]


def _key(path: Path, base: str) -> str:
    """Return the fingerprint of a spec file's name and bytes; empty where it is a link or cannot be read."""
    if path.is_symlink():
        return ""
    raw, _ = read_bytes(path, path.name)
    return "" if raw is None else fingerprint("spec", base, path.name, raw)
