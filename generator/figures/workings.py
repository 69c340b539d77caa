"""How the figures of one bike were worked out, as small as that can be told.

Figures share most of their inputs, but for the part that each plays; so each input stands once.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from generator.figures.model import FirstUse, Input, Working


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
        """Without shares."""
        self.told = told or {}
        self._made: dict[str, Working] = {}

    def __getitem__(self, id: str) -> Working:
        if id not in self._made:
            used, steps = self.told[id]
            inputs = tuple(self._input(place, share) for place, share in used)
            self._made[id] = Working(inputs, steps)
        return self._made[id]

    def _input(self, place: int, share: float) -> Input:
        bare = self.inputs[place]
        return Input._make((*bare[:-1], share)) if share else bare

    def __iter__(self) -> Iterator[str]:
        return iter(self.told)

    def __len__(self) -> int:
        return len(self.told)

    def first_uses(self) -> dict[str, FirstUse]:
        """By id of an input, the first figure that used it."""
        found: dict[str, FirstUse] = {}
        seen: set[int] = set()
        for id, (used, _) in self.told.items():
            for place, share in used:
                if place not in seen:
                    seen.add(place)
                    if (name := self.inputs[place].id) not in found:
                        found[name] = FirstUse(id, self._input(place, share))
        return found
