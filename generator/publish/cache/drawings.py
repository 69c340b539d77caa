"""Drawings and values of bikes that an earlier build made of the same, from the cache.

* CachedDrawings   charts, link pictures and the chart library
* CachedMemo       what was computed for each bike alone
"""

from collections.abc import Callable, Iterable
from importlib.metadata import version

from generator.charts.drawing import draw_svg, minify
from generator.charts.vega import library
from generator.charts.vega.chart import VegaChart
from generator.pages.frame.drawings import Drawings, read_module
from generator.pages.frame.memo import BikeMemo, V
from generator.pages.frame.recorder import Source
from generator.pages.pictures.draw_picture import PictureContent, find_drawing_version
from generator.publish.cache.cache import Cache
from generator.specs.encoding import decode, encode, fingerprint


class CachedDrawings(Drawings):
    """Draws what no build has drawn from the same specification, with the same program."""

    def __init__(self, cache: Cache) -> None:
        self._cache = cache

    def chart(self, chart: VegaChart) -> str:
        key = fingerprint(
            "chart", version("vl-convert-python"), _text(draw_svg), _text(minify), chart.key
        )
        return self._cache.get_or_make(
            key, lambda: super(CachedDrawings, self).chart(chart).encode()
        ).decode()

    def picture(self, card: PictureContent) -> bytes:
        key = fingerprint("picture", find_drawing_version(), card)
        return self._cache.get_or_make(key, lambda: super(CachedDrawings, self).picture(card))

    def chart_library(self) -> str:
        key = fingerprint("chart library", version("vl-convert-python"), _text(library))
        return self._cache.get_or_make(
            key, lambda: super(CachedDrawings, self).chart_library().encode()
        ).decode()


class CachedMemo(BikeMemo):
    """Keeps the values of all bikes of one computation together; an edit of a bike computes one of them."""

    def __init__(self, cache: Cache, publication: str, program: str) -> None:
        """`publication` tells publications apart, and `program` is the fingerprint of what computes."""
        self._cache, self._publication, self._program = cache, publication, program

    def get_or_compute(
        self,
        source: Source,
        slugs: Iterable[str],
        name: str,
        kind: type[V],
        compute: Callable[[str], V],
        *more: object,
    ) -> dict[str, V]:
        place = fingerprint("memo", self._publication, name)
        whole = self._cache.get(place)
        kept = decode(dict[str, kind], whole) if whole else {}  # type: ignore[valid-type]  # msgspec reads it
        keys = {slug: self.key(source, slug, self._program, *more) for slug in slugs}
        found: dict[str, V] = {}
        for slug, key in keys.items():
            found[slug] = kept[key] if key in kept else compute(slug)
        now = {key: found[slug] for slug, key in keys.items() if key}
        if now.keys() != kept.keys():
            self._cache.put(place, encode(now))
        return found


def _text(module: object) -> str:
    return read_module(str(getattr(module, "__file__", "")))
