"""Structured data for search engines: schema.org terms as JSON-LD.

It says only what the page shows: no ratings and no offers, since nothing is sold here and nobody has voted.
"""

import json
from collections.abc import Iterable, Sequence
from typing import Any

from markupsafe import Markup

from generator.figures import show
from generator.figures.model import Figure
from generator.specs.bike import Bike

_ESCAPES = {
    "<": "\\u003c",
    ">": "\\u003e",
    "&": "\\u0026",
    "\u2028": "\\u2028",
    "\u2029": "\\u2029",
}

UNIT_CODES = {
    "km": "KMT",
    "m": "MTR",
    "mm": "MMT",
    "kg": "KGM",
    "km/h": "KMH",
    "Wh": "WHR",
    "W": "WTT",
    "V": "VLT",
    "A": "AMP",
    "N": "NEW",
    "N·m": "NU",
    "%": "P1",
    "s": "SEC",
    "min": "MIN",
    "h": "HUR",
    "°": "DD",
    "rpm": "RPM",
}
"""UN/ECE Recommendation 20 common codes, by unit symbol. Values from memory; other units have no code."""

DATA_LICENCES = {
    "CC0 1.0": "https://creativecommons.org/publicdomain/zero/1.0/",
    "CC BY 4.0": "https://creativecommons.org/licenses/by/4.0/",
    "CC BY-SA 4.0": "https://creativecommons.org/licenses/by-sa/4.0/",
    "ODbL 1.0": "https://opendatacommons.org/licenses/odbl/1-0/",
}
"""Addresses of licences for data, by name. The freest comes first and wins where a publication names several."""


def format_script(data: dict[str, Any]) -> Markup:
    """Return data as JSON-LD for a `script` element, which no content of a spec file can end early."""
    text = json.dumps({"@context": "https://schema.org", **data}, ensure_ascii=False)
    for sign, escape in _ESCAPES.items():
        text = text.replace(sign, escape)
    return Markup(text)


def build_breadcrumb(trail: Sequence[tuple[str, str]]) -> dict[str, Any]:
    """Return a BreadcrumbList; `trail` is title and absolute address of each page, outermost first."""
    items = [
        {"@type": "ListItem", "position": place, "name": words, "item": address}
        for place, (words, address) in enumerate(trail, 1)
    ]
    return {"@type": "BreadcrumbList", "itemListElement": items}


def build_product(
    bike: Bike, address: str, image: str, figures: Iterable[Figure]
) -> dict[str, Any]:
    """Return a bike as a Product, with its figures as properties; `address` and `image` are absolute."""
    data = {
        "@type": "Product",
        "name": bike.full_name,
        "brand": {"@type": "Brand", "name": bike.maker},
        "url": address,
        "image": image,
        "additionalProperty": [_build_property(figure) for figure in figures],
    }
    return {**data, "description": bike.summary} if bike.summary else data


def _build_property(figure: Figure) -> dict[str, Any]:
    """A figure as the page shows it first in metric units, with its interval where it has one."""
    unit = show.get_unit_symbol(figure.kind)
    low, _, high = show.format_interval(figure).replace(" to ", "–").partition("–")
    parts = {
        "name": figure.kind.title,
        "value": show.format_value(figure),
        "minValue": low,
        "maxValue": high,
        "unitText": unit,
        "unitCode": UNIT_CODES.get(unit, ""),
    }
    return {"@type": "PropertyValue", **{key: part for key, part in parts.items() if part}}


def build_item_list(addresses: Sequence[str]) -> dict[str, Any]:
    """Return an ItemList of absolute addresses, in the order of the page."""
    items = [
        {"@type": "ListItem", "position": place, "url": address}
        for place, address in enumerate(addresses, 1)
    ]
    return {"@type": "ItemList", "itemListElement": items}


def build_article(
    title: str, summary: str, address: str, image: str, publication: str, checked: str | None
) -> dict[str, Any]:
    """Return a text as an Article; `checked` is the ISO date of its last review, if known."""
    data = {
        "@type": "Article",
        "headline": title,
        "description": summary,
        "url": address,
        "image": image,
        "publisher": build_organization(publication),
        "author": build_organization(publication),
    }
    return {**data, "dateModified": checked} if checked else data


def build_organization(name: str) -> dict[str, Any]:
    """Return a publication as an Organization."""
    return {"@type": "Organization", "name": name}


def build_term_set(
    name: str, address: str, terms: Iterable[tuple[str, str, str]]
) -> dict[str, Any]:
    """Return a glossary as a DefinedTermSet; `terms` gives title, definition and absolute address of each term."""
    return {
        "@type": "DefinedTermSet",
        "name": name,
        "url": address,
        "hasDefinedTerm": [_build_term(*term) for term in terms],
    }


def build_defined_term(
    title: str, definition: str, address: str, set_name: str, set_address: str
) -> dict[str, Any]:
    """Return one glossary term as a DefinedTerm, with the glossary that it belongs to."""
    belongs = {"@type": "DefinedTermSet", "name": set_name, "url": set_address}
    return {**_build_term(title, definition, address), "inDefinedTermSet": belongs}


def _build_term(title: str, definition: str, address: str) -> dict[str, Any]:
    return {"@type": "DefinedTerm", "name": title, "description": definition, "url": address}


def build_dataset(
    name: str,
    description: str,
    address: str,
    licence: str,
    publication: str,
    files: Iterable[tuple[str, str]],
) -> dict[str, Any]:
    """Return a Dataset; `licence` is in the publication's words, `files` gives media type and absolute address of each file."""
    downloads = [
        {"@type": "DataDownload", "encodingFormat": kind, "contentUrl": file}
        for kind, file in files
    ]
    data = {
        "@type": "Dataset",
        "name": name,
        "description": description,
        "url": address,
        "creator": build_organization(publication),
        "distribution": downloads,
    }
    return {**data, "license": _find_licence(licence)} if licence else data


def _find_licence(words: str) -> Any:
    """Return the address of the licence that the words name; a CreativeWork with the words where it is unknown."""
    known = [address for name, address in DATA_LICENCES.items() if name in words]
    return known[0] if known else {"@type": "CreativeWork", "name": words}
