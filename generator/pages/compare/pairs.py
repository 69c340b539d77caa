"""Which bikes are worth a page side by side: the same use, and a price not far off.

At most three neighbours are taken for each bike, so the number of pages grows with the number of bikes and not with
its square.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence

from generator.specs.bike import Bike

BAND = 1.35
"""Highest ratio of the two prices."""
MOST = 3
"""Neighbours taken for each bike."""


class Pairs:
    """All pairs, first slug before the second in the alphabet."""

    def __init__(self, bikes: Iterable[Bike]) -> None:
        self._bikes = {bike.slug: bike for bike in bikes}
        near: dict[str, dict[str, float]] = defaultdict(dict)
        for shelf in _shelves(self._bikes.values()).values():
            for slug, other, ratio in _neighbours(shelf):
                near[slug][other] = ratio
        chosen = {
            (min(slug, other), max(slug, other))
            for slug, others in near.items()
            for other in sorted(others, key=lambda name: (others[name], name))[:MOST]
        }
        self.all = [(self._bikes[first], self._bikes[second]) for first, second in sorted(chosen)]
        self._partners: dict[str, list[Bike]] = defaultdict(list)
        for left, right in self.all:
            self._partners[left.slug].append(right)
            self._partners[right.slug].append(left)

    def of(self, bike: Bike) -> list[Bike]:
        """The bikes that share a page with this one."""
        return self._partners.get(bike.slug, [])


def _shelves(bikes: Iterable[Bike]) -> dict[tuple[str, str], list[tuple[float, str]]]:
    """Price and slug of the bikes of each use and currency, cheapest first."""
    shelves: dict[tuple[str, str], list[tuple[float, str]]] = defaultdict(list)
    for bike in bikes:
        if bike.price is not None and bike.price.amount > 0:
            for use in bike.uses:
                shelves[use, bike.price.currency].append((bike.price.amount, bike.slug))
    return {key: sorted(shelf) for key, shelf in shelves.items()}


def _neighbours(shelf: Sequence[tuple[float, str]]) -> Iterable[tuple[str, str, float]]:
    """For each bike of a shelf, the nearest on either side within the band: slug, other, ratio."""
    for place, (price, slug) in enumerate(shelf):
        window = [*shelf[max(0, place - MOST) : place], *shelf[place + 1 : place + 1 + MOST]]
        for other_price, other in window:
            ratio = max(price, other_price) / min(price, other_price)
            if ratio <= BAND:
                yield slug, other, ratio
