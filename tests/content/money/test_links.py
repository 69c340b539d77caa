"""Links to sellers: addresses, relations, and contradictions with bikes and prices.

Source of the hidden schemes: WHATWG URL Standard, "basic URL parser" (browsers drop tabs and line ends anywhere, and
blanks and control characters around an address; backslashes count as slashes).
"""

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.content.money.addresses import find_address_fault, find_place
from generator.content.money.checks import find_money_problems
from generator.content.money.links import read_links
from generator.content.money.read import RELATIONS
from generator.content.read import read_content
from generator.specs.checks.freshness import ReferenceDay
from tests.content.publication import write_content
from tests.pages import site_example

LINK = """\
links:
  - id: quay
    url: https://quay.example/alpa?from=us
    seller: Quay Wheels
    words: Alpa at Quay Wheels
    relation: affiliate
    bike: invor-alpa
    expires: 2026-12-31
"""
PRICES = """\
bike,seller,price,currency,date,includes_tax,link,expires
invor-alpa,Quay Wheels,990,EUR,2026-10-04,yes,quay,
"""
TODAY = ReferenceDay(date(2026, 11, 25), exact=True)


def problems(
    root: Path, links: str = LINK, prices: str = PRICES, today: ReferenceDay | None = TODAY
) -> list[str]:
    """Problems as the command line prints them, without the advice."""
    content, found = read_content(
        write_content(root, **{"links.yaml": links, "prices.csv": prices})
    )
    if content:
        found = [*found, *find_money_problems(site_example.BIKES, content, today)]
    return [f"{each.file}:{each.line}:{each.column}: {each.what}" for each in found]


def test_sound_links_and_no_file(tmp_path: Path) -> None:
    assert problems(tmp_path) == []
    content, _ = read_content(tmp_path)
    assert content
    assert content.links[0].expires == date(2026, 12, 31)
    assert content.links[0].must_disclose
    assert content.prices[0].amount == Decimal(990)
    (tmp_path / "content" / "links.yaml").unlink()
    assert read_links(tmp_path) == ((), [])


@pytest.mark.parametrize("line", ["", "    relation:\n", "    relation: null\n"])
def test_an_unset_relation_is_no_none(tmp_path: Path, line: str) -> None:
    (only,) = problems(tmp_path, LINK.replace("    relation: affiliate\n", line))
    assert only.startswith("content/links.yaml:2:")
    assert "does not say its relation" in only
    assert "never taken as none" in only


def test_an_unknown_relation_names_those_known(tmp_path: Path) -> None:
    links, found = read_links(
        write_content(tmp_path, **{"links.yaml": LINK.replace("affiliate", "freind")})
    )
    assert not links
    assert all(each in found[0].mend for each in RELATIONS)


@pytest.mark.parametrize(
    "address",
    [
        "javascript:alert(1)", "JaVaScRiPt:alert(1)", "java\\tscript:alert(1)",
        "&#106;avascript:alert(1)", "javascript&colon;alert(1)", "data:text/html,x", "vbscript:x", "file:///etc",
        "//quay.example/x", "\\\\\\\\quay.example/x", "/x", "quay.example", "http://quay.example/", "https:/quay.example/",
        "https://quay.example /x", "https://user@quay.example/", "https://localhost/", "https:///x", "https://",
        "https://quay.example:port/", "https://quay.example/\\u202egpj", "https://quay.example/a&amp;b",
        "https://quay.example/<b>", "https://[::1", "mailto:a@quay.example",
    ],
)  # fmt: skip
def test_addresses_that_cannot_stand(tmp_path: Path, address: str) -> None:
    (only,) = problems(tmp_path, LINK.replace("https://quay.example/alpa?from=us", f'"{address}"'))
    assert only.startswith("content/links.yaml:3:10: "), only


@given(
    st.text(max_size=20),
    st.sampled_from(["javascript:", "data:", "vbscript:", "//", "blob:", "ftp:"]),
)
def test_nothing_but_https_passes_whatever_stands_within(noise: str, scheme: str) -> None:
    blanks = "".join(sign for sign in noise if ord(sign) <= 0x20)
    assert find_address_fault(blanks + scheme + noise)
    for at in range(len(scheme)):
        assert find_address_fault(scheme[:at] + "\t" + scheme[at:] + "https://quay.example/")


@pytest.mark.parametrize(
    "other",
    [
        "https://quay.example/alpa", "http://quay.example/alpa/", "//quay.example/alpa#x", "HTTPS://WWW.Quay.Example/ALPA",
        "https:\\\\quay.example\\alpa", "https://user:x@quay.example:443/alpa?b", "ht\ntps://quay.example/alpa",
        "https://quay.example./a/../alpa", "https://quay.example/%61lpa", "https://quay%2eexample/alpa",
        "https:/quay.example/alpa", "https://ｑuay.example/alpa",
    ],
)  # fmt: skip
def test_one_place_written_in_many_ways(other: str) -> None:
    assert (
        find_place(other)
        == find_place("https://quay.example/alpa?from=us")
        == ("quay.example", "/alpa")
    )


@pytest.mark.parametrize(
    "other", ["#quay", "../quay.example/", "mailto:quay@quay.example", "", "data:,x"]
)
def test_what_leads_to_no_other_site(other: str) -> None:
    assert find_place(other) is None


def test_one_place_with_two_relations(tmp_path: Path) -> None:
    again = LINK + LINK.split("links:\n")[1].replace("id: quay", "id: two").replace(
        "affiliate", "none"
    ).replace("?from=us", "/")
    (only,) = problems(tmp_path, again)
    assert only.startswith("content/links.yaml:13:15: the address on line 3")
    (only,) = problems(tmp_path, LINK + LINK.split("links:\n")[1])
    assert "'quay' stands twice" in only


@pytest.mark.parametrize(
    ("old", "new", "place", "what"),
    [
        ("2026-12-31", "2026-11-24", "content/links.yaml:8:14", "ended on 2026-11-24"),
        ("invor-alpa\n", "invor-alfa\n", "content/links.yaml:7:11", "no bike 'invor-alfa'"),
        ("expires", "seen", "content/links.yaml:8:11", "has not come yet"),
    ],
)
def test_links_beside_bikes_and_calendar(
    tmp_path: Path, old: str, new: str, place: str, what: str
) -> None:
    found = problems(tmp_path, LINK.replace(old, new), PRICES.replace(",quay,", ",,"))
    assert len(found) == 1
    assert found[0].startswith(place)
    assert what in found[0]


@pytest.mark.parametrize(
    ("old", "new", "column", "what"),
    [
        ("invor-alpa", "invor-alfa", 1, "no bike 'invor-alfa'"),
        ("2026-10-04", "2026-11-26", 32, "has not come yet: today is 2026-11-25"),
        (",quay,", ",quai,", 47, "no link 'quai'"),
        ("Quay Wheels", "Tram Cycles", 47, "leads to 'Quay Wheels'"),
        ("invor-alpa", "invor-beta", 47, "about the bike 'invor-alpa'"),
        (",quay,", ",quay,2026-11-24", 52, "ended on 2026-11-24"),
        ("990", "99", 24, "far from the list price"),
        ("EUR", "USD", 28, "the publication's currency is EUR"),
    ],
)
def test_prices_beside_bikes_links_and_calendar(
    tmp_path: Path, old: str, new: str, column: int, what: str
) -> None:
    found = problems(tmp_path, LINK, PRICES.replace(old, new))
    assert [
        each
        for each in found
        if each.startswith(f"content/prices.csv:2:{column}: ") and what in each
    ], found


def test_the_last_day_is_not_over_and_history_may_be(tmp_path: Path) -> None:
    assert not problems(tmp_path, LINK.replace("2026-12-31", "2026-11-25"))
    old = PRICES.replace(",quay,", ",quay,2026-10-31")
    assert problems(tmp_path, LINK, old)
    assert not problems(
        tmp_path, LINK, old + "invor-alpa,Quay Wheels,990,EUR,2026-11-20,yes,quay,\n"
    )


def test_without_a_day_nobody_can_tell(tmp_path: Path) -> None:
    (only,) = problems(tmp_path, today=None)
    assert only.startswith("content/links.yaml:8:14: nothing says which day it is")
