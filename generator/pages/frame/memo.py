"""What is said of each bike alone, in files that are of all bikes: kept from one build to the next, if somebody keeps it.

* Keeper     gives what is said of each, and may have it from before
* made_anew  nobody keeps anything
"""

from collections.abc import Callable, Mapping
from typing import Protocol, TypeVar

V = TypeVar("V")


class Keeper(Protocol):
    def __call__(
        self, name: str, reads: Mapping[str, str], make: Callable[[str], V]
    ) -> dict[str, V]:
        """What `make` says of each bike, by slug and in the order of `reads`.

        `reads` tells by slug everything that it depends on, as `pages.crew.Job.reads` does, and is empty where that is not
        known. What was said under the same name of a bike that reads the same may be given instead.
        """


def made_anew(name: str, reads: Mapping[str, str], make: Callable[[str], V]) -> dict[str, V]:
    return {slug: make(slug) for slug in reads}
