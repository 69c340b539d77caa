"""How the figures of one bike were worked out, stored compactly: figures share most inputs, so each input stands once."""

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from generator.figures.model import FirstInputUse, UsedInput, WeighedInput, Working


class StoredWorking(NamedTuple):
    """How one figure was worked out."""

    used: tuple[tuple[int, float], ...]
    """Places of its inputs among all inputs, with their shares of the variance, the largest first."""
    steps: tuple[str, ...]


class Workings(Mapping[str, Working]):
    """Workings by id of the figure, each put together when it is asked for."""

    def __init__(
        self, inputs: Sequence[UsedInput] = (), stored: Mapping[str, StoredWorking] | None = None
    ) -> None:
        self.inputs = inputs
        self.stored = stored or {}
        self._restored: dict[str, Working] = {}

    def __getitem__(self, id: str) -> Working:
        if id not in self._restored:
            used, steps = self.stored[id]
            weighed = [WeighedInput(self.inputs[place], share) for place, share in used]
            self._restored[id] = Working(tuple(weighed), steps)
        return self._restored[id]

    def __iter__(self) -> Iterator[str]:
        return iter(self.stored)

    def __len__(self) -> int:
        return len(self.stored)

    def first_uses(self) -> dict[str, FirstInputUse]:
        """Return by id of an input the first figure that used it."""
        found: dict[str, FirstInputUse] = {}
        seen: set[int] = set()
        for id, (used, _) in self.stored.items():
            for place, _ in used:
                if place not in seen:
                    seen.add(place)
                    given = self.inputs[place]
                    found.setdefault(given.id, FirstInputUse(id, given))
        return found
