"""How the figures of one bike were worked out, as small as that can be told.

Figures share most of their inputs, but for the part that each plays; so each input stands once.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from generator.figures.model import FirstUse, Input, Weighed, Working


class Told(NamedTuple):
    """Of one figure."""

    used: tuple[tuple[int, float], ...]
    """Places of its inputs and their shares, the strongest first."""
    steps: tuple[str, ...]


class Workings(Mapping[str, Working]):
    """By id of the figure. Each is put together when it is asked for: a page that shows one asks for no more."""

    def __init__(
        self, inputs: Sequence[Input] = (), told: Mapping[str, Told] | None = None
    ) -> None:
        self.inputs = inputs
        self.told = told or {}
        self._made: dict[str, Working] = {}

    def __getitem__(self, id: str) -> Working:
        if id not in self._made:
            used, steps = self.told[id]
            weighed = [Weighed(self.inputs[place], share) for place, share in used]
            self._made[id] = Working(tuple(weighed), steps)
        return self._made[id]

    def __iter__(self) -> Iterator[str]:
        return iter(self.told)

    def __len__(self) -> int:
        return len(self.told)

    def first_uses(self) -> dict[str, FirstUse]:
        """By id of an input, the first figure that used it."""
        found: dict[str, FirstUse] = {}
        seen: set[int] = set()
        for id, (used, _) in self.told.items():
            for place, _ in used:
                if place not in seen:
                    seen.add(place)
                    given = self.inputs[place]
                    found.setdefault(given.id, FirstUse(id, given))
        return found
