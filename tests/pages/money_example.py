"""The small publication of `site_example` with prices and links of invented sellers."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

from selectolax.lexbor import LexborHTMLParser

from generator.content.model import Content
from generator.content.money.read import PriceObservation, ShopLink
from tests.pages import site_example as example

TODAY = date(2026, 11, 25)


def seen(bike: str, seller: str, amount: str, day: str, link: str = "", **more) -> PriceObservation:
    given = {"currency": "EUR", "includes_tax": True, **more}
    return PriceObservation(
        bike, seller, Decimal(amount), day=date.fromisoformat(day), link=link, **given
    )


PRICES = (
    seen("invor-alpa", "Quay Wheels", "1000", "2026-09-19"),
    seen("invor-alpa", "Quay Wheels", "1000", "2026-10-03"),
    seen("invor-alpa", "Quay Wheels", "1000", "2026-10-17"),
    seen("invor-alpa", "Quay Wheels", "1000", "2026-10-31"),
    seen("invor-alpa", "Quay Wheels", "900", "2026-11-14", "quay-alpa"),
    seen("invor-alpa", "Tram Cycles", "950", "2026-11-14", "tram-alpa"),
    seen("invor-beta", "Tram Cycles", "1150", "2026-06-01"),
)


def links(relation: str = "affiliate") -> tuple[ShopLink, ...]:
    return (
        ShopLink(
            "quay-alpa",
            "https://quay.example/alpa?from=us&x=1",
            "Quay Wheels",
            "Alpa at Quay",
            relation,
            "invor-alpa",
        ),
        ShopLink(
            "tram-alpa",
            "https://tram.example/alpa",
            "Tram Cycles",
            "Alpa at Tram",
            "none",
            "invor-alpa",
        ),
        ShopLink("quay", "https://quay.example/", "Quay Wheels", "Quay Wheels", relation),
    )


def content(relation: str = "affiliate", body: str = "Body.\n", **more) -> Content:
    """The publication with a guide whose text is `body`."""
    guide = example.text("guides", "far", "How far", body)
    return replace(
        example.CONTENT,
        guides=(guide,),
        prices=PRICES,
        links=links(relation),
        day=TODAY,
        **more,
    )


def said(tree: LexborHTMLParser) -> str:
    """The words of a page, without line breaks."""
    assert tree.body
    return " ".join(tree.body.text().split())
