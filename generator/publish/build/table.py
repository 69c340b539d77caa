"""The figures table of a publication: what earlier builds computed from the same spec files, riders and routes, and the rest
computed by several processes.

* build_table   the table, ready for pages
"""

from collections.abc import Callable, Sequence
from functools import partial

from generator.content.model import Content
from generator.figures.table.assembly import assemble_table
from generator.figures.table.details import Rows
from generator.figures.table.figures_table import FiguresTable
from generator.figures.table.parts import ComputedBike, group_bikes
from generator.figures.table.tabulate import compute_bikes, list_kinds
from generator.publish.build.worker_pool import start_in_processes
from generator.publish.cache.cache import Cache
from generator.publish.reading import Publication
from generator.specs.bike import Bike
from generator.specs.encoding import decode, encode, fingerprint


def build_table(
    publication: Publication,
    cache: Cache,
    program: str,
    tell: Callable[[float], None] = lambda share: None,
    meanwhile: Callable[[], object] = lambda: None,
) -> FiguresTable:
    """Return the figures of all bikes.

    Parameters
    ----------
    publication : Publication
    cache : Cache
    program : str
        Fingerprint of the program that computes.
    tell : callable, optional
        Is told of the share that is done, 0 to 1.
    meanwhile : callable, optional
        Done here while other processes compute.
    """
    bikes, content = publication.bikes, publication.content.model_inputs
    setting = fingerprint(program, content)
    keys = {bike.slug: fingerprint(setting, bike.slug, bike.digest) for bike in bikes}
    computed: dict[str, ComputedBike] = {}
    details: dict[str, bytes] = {}
    compute = partial(compute_bikes, content=content, for_pages=True)

    def take(group: list[tuple[ComputedBike, bytes]]) -> None:
        for one, encoded in group:
            computed[one.slug], details[one.slug] = one, encoded
            cache.put(_details_key(keys[one.slug]), encoded)
            cache.put(keys[one.slug], encode(one))

    new = {bike.slug for bike in bikes if not cache.has(keys[bike.slug])}
    groups = group_bikes([bike for bike in bikes if bike.slug in new])
    if groups:
        tell(0.0)
    with start_in_processes(compute, groups) as results:  # while this process reads what is kept
        for bike in bikes:
            if bike.slug not in new and (found := _read(cache, keys[bike.slug])):
                computed[bike.slug] = found
        meanwhile()
        for count, group in enumerate(results, 1):
            take(group)
            tell(count / len(groups))
    for lost in group_bikes([bike for bike in bikes if bike.slug not in computed]):
        take(compute(lost))

    def read_details(slug: str) -> bytes:
        found = details.get(slug) or cache.get(_details_key(keys[slug]))
        return found or _compute_details([bike for bike in bikes if bike.slug == slug], content)

    def keep_rows(slug: str, name: str, compute: Callable[[], Rows]) -> Rows:
        key = fingerprint("diagram", keys[slug] if slug else setting, name)
        return decode(Rows, cache.get_or_make(key, lambda: encode(compute())))

    return assemble_table(
        bikes,
        publication.content,
        list_kinds(bikes, publication.content),
        computed,
        read_details,
        keep_rows,
        keys,
    )


def _read(cache: Cache, key: str) -> ComputedBike | None:
    found = cache.get(key)
    return decode(ComputedBike, found) if found else None


def _details_key(key: str) -> str:
    return fingerprint("details", key)


def _compute_details(bikes: Sequence[Bike], content: Content) -> bytes:
    """Compute the details of a bike again, whose entry in the cache is gone meanwhile."""
    return compute_bikes(bikes, content, for_pages=True)[0][1]
