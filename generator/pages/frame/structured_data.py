"""Structured data for search engines: schema.org terms as JSON-LD.

Says only what the page shows. No ratings and no offers: nothing is sold here and nobody has voted.
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
"""Symbol to UN/ECE Recommendation 20 common code. Values from memory; a unit that is not here goes without."""

DATA_LICENCES = {
    "CC0 1.0": "https://creativecommons.org/publicdomain/zero/1.0/",
    "CC BY 4.0": "https://creativecommons.org/licenses/by/4.0/",
    "CC BY-SA 4.0": "https://creativecommons.org/licenses/by-sa/4.0/",
    "ODbL 1.0": "https://opendatacommons.org/licenses/odbl/1-0/",
}
"""Name to address. Of several that a publication names, for its texts and for its data, the freest comes first."""


def script_text(data: dict[str, Any]) -> Markup:
    """JSON that cannot end its `script` element, whatever a spec file says."""
    text = json.dumps({"@context": "https://schema.org", **data}, ensure_ascii=False)
    for sign, escape in _ESCAPES.items():
        text = text.replace(sign, escape)
    return Markup(text)


def breadcrumb(trail: Sequence[tuple[str, str]]) -> dict[str, Any]:
    """`trail` is words and absolute address, outermost first."""
    items = [
        {"@type": "ListItem", "position": place, "name": words, "item": address}
        for place, (words, address) in enumerate(trail, 1)
    ]
    return {"@type": "BreadcrumbList", "itemListElement": items}


def product(bike: Bike, address: str, image: str, figures: Iterable[Figure]) -> dict[str, Any]:
    data = {
        "@type": "Product",
        "name": bike.full_name,
        "brand": {"@type": "Brand", "name": bike.maker},
        "url": address,
        "image": image,
        "additionalProperty": [_property(figure) for figure in figures],
    }
    return {**data, "description": bike.summary} if bike.summary else data


def _property(figure: Figure) -> dict[str, Any]:
    """A figure as the page shows it first in metric units, with its interval where it has one."""
    unit = show.unit(figure.kind)
    low, _, high = show.interval(figure).replace(" to ", "–").partition("–")
    parts = {
        "name": figure.kind.title,
        "value": show.number(figure),
        "minValue": low,
        "maxValue": high,
        "unitText": unit,
        "unitCode": UNIT_CODES.get(unit, ""),
    }
    return {"@type": "PropertyValue", **{key: part for key, part in parts.items() if part}}


def item_list(addresses: Sequence[str]) -> dict[str, Any]:
    """In the order in which the page shows them."""
    items = [
        {"@type": "ListItem", "position": place, "url": address}
        for place, address in enumerate(addresses, 1)
    ]
    return {"@type": "ItemList", "itemListElement": items}


def article(
    title: str, summary: str, address: str, image: str, publication: str, checked: str | None
) -> dict[str, Any]:
    """`checked` is the day on which somebody last went through it, as `2026-11-25`."""
    data = {
        "@type": "Article",
        "headline": title,
        "description": summary,
        "url": address,
        "image": image,
        "publisher": organization(publication),
        "author": organization(publication),
    }
    return {**data, "dateModified": checked} if checked else data


def organization(name: str) -> dict[str, Any]:
    return {"@type": "Organization", "name": name}


def term_set(name: str, address: str, terms: Iterable[tuple[str, str, str]]) -> dict[str, Any]:
    """`terms` gives title, definition and absolute address."""
    return {
        "@type": "DefinedTermSet",
        "name": name,
        "url": address,
        "hasDefinedTerm": [_term(*term) for term in terms],
    }


def defined_term(
    title: str, definition: str, address: str, set_name: str, set_address: str
) -> dict[str, Any]:
    """A term by itself, with the glossary that it belongs to."""
    belongs = {"@type": "DefinedTermSet", "name": set_name, "url": set_address}
    return {**_term(title, definition, address), "inDefinedTermSet": belongs}


def _term(title: str, definition: str, address: str) -> dict[str, Any]:
    return {"@type": "DefinedTerm", "name": title, "description": definition, "url": address}


def dataset(
    name: str,
    description: str,
    address: str,
    licence: str,
    publication: str,
    files: Iterable[tuple[str, str]],
) -> dict[str, Any]:
    """`licence` in the publication's own words; `files` gives media type and absolute address."""
    downloads = [
        {"@type": "DataDownload", "encodingFormat": kind, "contentUrl": file}
        for kind, file in files
    ]
    data = {
        "@type": "Dataset",
        "name": name,
        "description": description,
        "url": address,
        "creator": organization(publication),
        "distribution": downloads,
    }
    return {**data, "license": _licence(licence)} if licence else data


def _licence(words: str) -> Any:
    """The address of a licence for data that the words name; else the words."""
    known = [address for name, address in DATA_LICENCES.items() if name in words]
    return known[0] if known else {"@type": "CreativeWork", "name": words}
