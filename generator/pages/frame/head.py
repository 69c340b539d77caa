"""The head of a page: content policy, colours, and the Open Graph data shown with a link to it.

Open Graph is defined at ogp.me: title, type, image and url are required; image has alt, width and height.
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
class HeadPicture:
    """The picture for a link to a page, with its size in pixels."""

    path: str
    alt: str
    width: int
    height: int


class PageHead:
    """The heads of all pages of a site."""

    def __init__(self, content: Content, bikes: tuple[Bike, ...], root: Path) -> None:
        settings = content.settings
        self._settings = settings
        self._schemes = site_colours.read_schemes(root)
        named = {urls.bike(bike.slug): urls.picture("bikes", bike.slug) for bike in bikes}
        self._articles = {
            urls.guide(text.slug): urls.picture("guides", text.slug) for text in content.guides
        }
        self._pictures = named | self._articles

    def values(self, path: str, title: str) -> dict[str, Any]:
        """Return what the template shows in the head of the page at `path`."""
        light, dark = (scheme["paper"] for scheme in self._schemes)
        return {
            "policy": Markup(policy.IN_PAGE),
            "theme": (light, dark),
            "locale": format_locale(self._settings.language),
            "kind": "article" if path in self._articles else "website",
            "picture": self._picture(path, title),
        }

    def _picture(self, path: str, title: str) -> HeadPicture:
        own = path in self._pictures
        alt = f"{title if own else self._settings.tagline}. {self._settings.title}."
        if self._settings.notice:
            alt += f" {self._settings.notice}"
        return HeadPicture(self._pictures.get(path, urls.PICTURE), alt, *urls.PICTURE_SIZE)


def format_locale(language: str) -> str:
    """Return a language tag in the form of Open Graph, such as `en_GB`; empty when it names no territory."""
    found = _LOCALE.match(language)
    return f"{found[1]}_{found[2]}" if found else ""
