"""Pairs of bikes that get a page side by side: of the same use and at a similar price.

At most three neighbours are taken for each bike, so the number of pages grows in proportion to the number of bikes.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence

from generator.specs.bike import Bike

BAND = 1.35
"""Highest ratio of the two prices."""
MOST_NEIGHBOURS = 3
"""Most neighbours taken for each bike."""


class BikePairs:
    """All pairs, the two bikes of each in order of their slugs."""

    def __init__(self, bikes: Iterable[Bike]) -> None:
        self._bikes = {bike.slug: bike for bike in bikes}
        near: dict[str, dict[str, float]] = defaultdict(dict)
        for group in _group_prices(self._bikes.values()).values():
            for slug, other, ratio in _find_neighbours(group):
                near[slug][other] = ratio
        chosen = {
            (min(slug, other), max(slug, other))
            for slug, others in near.items()
            for other in sorted(others, key=lambda name: (others[name], name))[:MOST_NEIGHBOURS]
        }
        self.all = [(self._bikes[first], self._bikes[second]) for first, second in sorted(chosen)]
        self._partners: dict[str, list[Bike]] = defaultdict(list)
        for left, right in self.all:
            self._partners[left.slug].append(right)
            self._partners[right.slug].append(left)

    def find_partners(self, bike: Bike) -> list[Bike]:
        """The bikes that are paired with this one."""
        return self._partners.get(bike.slug, [])


def _group_prices(bikes: Iterable[Bike]) -> dict[tuple[str, str], list[tuple[float, str]]]:
    """Price and slug of the bikes of each use and currency, cheapest first."""
    groups: dict[tuple[str, str], list[tuple[float, str]]] = defaultdict(list)
    for bike in bikes:
        if bike.price is not None and bike.price.amount > 0:
            for use in bike.uses:
                groups[use, bike.price.currency].append((bike.price.amount, bike.slug))
    return {key: sorted(group) for key, group in groups.items()}


def _find_neighbours(group: Sequence[tuple[float, str]]) -> Iterable[tuple[str, str, float]]:
    """For each bike of a group, its neighbours in price within the band: slug, other slug, ratio of prices."""
    for place, (price, slug) in enumerate(group):
        window = [
            *group[max(0, place - MOST_NEIGHBOURS) : place],
            *group[place + 1 : place + 1 + MOST_NEIGHBOURS],
        ]
        for other_price, other in window:
            ratio = max(price, other_price) / min(price, other_price)
            if ratio <= BAND:
                yield slug, other, ratio
