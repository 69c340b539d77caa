"""What earlier builds said of each bike in files that are of all bikes; see `pages.kept`.

Processes of the crew read and write these themselves: a name belongs to one piece of work.
"""

from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from generator.publish.cache.inputs import Inputs
from generator.publish.cache.store import Store
from generator.specs.read import SCHEMA

V = TypeVar("V")


class Pieces:
    """A `pages.kept.Keeper`. Without inputs nothing is known, and everything is made."""

    def __init__(self, store: Store, inputs: Inputs | None) -> None:
        self._store = store
        self._same = same(inputs)

    def __call__(
        self, name: str, reads: Mapping[str, str], make: Callable[[str], V]
    ) -> dict[str, V]:
        kept = self._kept(name)
        found = {
            slug: kept[slug, said] if said and (slug, said) in kept else make(slug)
            for slug, said in reads.items()
        }
        now = {(slug, said): found[slug] for slug, said in reads.items() if said}
        if self._same and now.keys() != kept.keys():
            self._store.put(name, (self._same, now))
        return found

    def _kept(self, name: str) -> dict[tuple[str, str], Any]:
        """By slug and what was read."""
        made_from, kept = (self._store.get(name) if self._same else None) or ("", {})
        return kept if made_from == self._same else {}


def same(inputs: Inputs | None) -> str:
    """Hashes of what every page depends on beside bikes and content; empty where they are not known."""
    return f"{inputs.program}\n{inputs.templates}\n{inputs.bike(SCHEMA)}\n" if inputs else ""
