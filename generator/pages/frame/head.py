"""What stands in the head of a page for machines: policy, canonical address, colours, and what shows beside a link.

Open Graph: the protocol's own page, ogp.me: title, type, image and url are required; image has alt, width and height.
"""

import re
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from markupsafe import Markup

from generator.content.model import Content
from generator.pages.frame import policy, site_colours, urls
from generator.specs.bike import Bike

_LOCALE = re.compile(r"([a-z]{2,3})-(?:[A-Z][a-z]{3}-)?([A-Z]{2})")


@dataclass(frozen=True)
class Picture:
    """Of a link to a page."""

    path: str
    alt: str
    width: int
    height: int


class Head:
    def __init__(self, content: Content, bikes: tuple[Bike, ...], root: Path) -> None:
        settings = content.settings
        self._settings = settings
        self._schemes = site_colours.schemes(root)
        named = {urls.bike(bike.slug): urls.picture("bikes", bike.slug) for bike in bikes}
        self._articles = {
            urls.guide(text.slug): urls.picture("guides", text.slug) for text in content.guides
        }
        self._pictures = named | self._articles

    def values(self, path: str, title: str) -> dict[str, Any]:
        """For the template, of the page at `path`."""
        light, dark = (scheme["paper"] for scheme in self._schemes)
        return {
            "policy": Markup(policy.IN_PAGE),
            "theme": (light, dark),
            "locale": locale(self._settings.language),
            "kind": "article" if path in self._articles else "website",
            "picture": self._picture(path, title),
        }

    def _picture(self, path: str, title: str) -> Picture:
        own = path in self._pictures
        alt = f"{title if own else self._settings.tagline}. {self._settings.title}."
        if self._settings.notice:
            alt += f" {self._settings.notice}"
        return Picture(self._pictures.get(path, urls.PICTURE), alt, *urls.PICTURE_SIZE)


def locale(language: str) -> str:
    """A language tag as Open Graph writes it, such as `en_GB`; empty when it names no territory."""
    found = _LOCALE.match(language)
    return f"{found[1]}_{found[2]}" if found else ""
