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


def product(bike: Bike, address: str, figures: Iterable[Figure]) -> dict[str, Any]:
    properties = [
        {
            "@type": "PropertyValue",
            "name": figure.kind.title,
            "value": show.number(figure),
            "unitText": show.unit(figure.kind),
        }
        for figure in figures
    ]
    data = {
        "@type": "Product",
        "name": f"{bike.maker} {bike.name}",
        "brand": {"@type": "Brand", "name": bike.maker},
        "url": address,
        "additionalProperty": properties,
    }
    return {**data, "description": bike.summary} if bike.summary else data


def item_list(addresses: Sequence[str]) -> dict[str, Any]:
    """In the order in which the page shows them."""
    items = [
        {"@type": "ListItem", "position": place, "url": address}
        for place, address in enumerate(addresses, 1)
    ]
    return {"@type": "ItemList", "itemListElement": items}


def article(title: str, summary: str, address: str, checked: str | None) -> dict[str, Any]:
    data = {"@type": "Article", "headline": title, "description": summary, "url": address}
    return {**data, "dateModified": checked} if checked else data


def term_set(name: str, address: str, terms: Iterable[tuple[str, str, str]]) -> dict[str, Any]:
    """`terms` gives title, definition and absolute address."""
    return {
        "@type": "DefinedTermSet",
        "name": name,
        "url": address,
        "hasDefinedTerm": [defined_term(*term) for term in terms],
    }


def defined_term(title: str, definition: str, address: str) -> dict[str, Any]:
    return {"@type": "DefinedTerm", "name": title, "description": definition, "url": address}


def dataset(
    name: str, description: str, licence: str, files: Iterable[tuple[str, str]]
) -> dict[str, Any]:
    """`files` gives media type and absolute address."""
    downloads = [
        {"@type": "DataDownload", "encodingFormat": kind, "contentUrl": address}
        for kind, address in files
    ]
    return {
        "@type": "Dataset",
        "name": name,
        "description": description,
        "license": licence,
        "distribution": downloads,
    }
