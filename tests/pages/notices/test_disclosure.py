"""Links that earn money are disclosed before readers meet them, and nothing else changes because of them.

Sources: 16 CFR 255.0(f) and 255.5 (clear and conspicuous, unavoidable, before the link); Directive 2005/29/EC, Article 7(2)
and Annex I, points 11 and 11a (paid places in a ranking); CAP Code, rules 2.1 and 2.3.
"""

import re
from dataclasses import replace
from pathlib import Path

import pytest
from selectolax.lexbor import LexborHTMLParser

from generator.content.model import Content
from generator.content.money.read import MUST_DISCLOSE
from generator.pages.notices.disclosure import LABELS, PLACE, REL_DUE, SENTENCES, TOP
from generator.pages.notices.disclosure_guard import LinksToDisclose, find_undisclosed_links
from generator.specs.bike import Ridden
from generator.specs.problems import ProblemsFound
from tests.pages import money_example as money
from tests.pages import site_example as example
from tests.pages.money_example import said
from tests.pages.rendered import Site, built

GUIDE = "guides/far/index.html"
SHOP = 'Go to {{ shop("quay-alpa") }}, or to {{ shop("tram-alpa", "the other") }}.\n'


def page(site: Site, path: str = GUIDE) -> LexborHTMLParser:
    return LexborHTMLParser(site[path].decode())


def refused(content: Content, root: Path = Path("nowhere"), **more) -> list[str]:
    """What a build of it stops with, as the command line prints it."""
    with pytest.raises(ProblemsFound) as stopped:
        built(content, root, example.table(**more))
    return [str(problem) for problem in stopped.value.problems]


def test_a_paid_link_in_a_text() -> None:
    tree = page(built(money.content(body=SHOP)))
    links = {node.text(): node.attributes for node in tree.css("article a[href^=https]")}
    assert links["Alpa at Quay"]["rel"] == REL_DUE
    assert links["Alpa at Quay"]["href"] == "https://quay.example/alpa?from=us&x=1"
    assert links["the other"]["rel"] == "nofollow noopener"
    assert "Alpa at Quay (paid link: we earn if you buy), or to the other." in said(tree)
    html = tree.html or ""
    told = html.index('class="disclosure"')
    assert html.index("<main") < html.index("</h1>") < told < html.index("https://quay.example")
    assert SENTENCES["affiliate"] in said(tree)
    assert not tree.css("footer .disclosure, details .disclosure")


def test_no_disclosure_where_none_is_due() -> None:
    site = built(money.content("none", SHOP))
    for path, data in site.items():
        if path.endswith(".html"):
            assert b"disclosure" not in data, path
            assert TOP.encode() not in data
            assert PLACE.encode() not in data
    assert "paid link" not in said(page(site))


@pytest.mark.parametrize("relation", sorted(MUST_DISCLOSE))
def test_every_relation_has_its_label_and_sentence(relation: str) -> None:
    text = said(page(built(money.content(relation, SHOP))))
    assert f"Alpa at Quay ({LABELS[relation]})" in text
    assert SENTENCES[relation] in text
    own = replace(
        example.SETTINGS, disclosure={relation: "Our own words about whoever pays us here."}
    )
    text = said(page(built(money.content(relation, SHOP, settings=own))))
    assert "Our own words about whoever pays us here." in text
    assert SENTENCES[relation] not in text


def test_links_in_headings_and_mistakes_in_texts() -> None:
    tree = page(built(money.content(body='## See {{ shop("quay-alpa") }}\n\nText.\n')))
    assert tree.css_first("article h2 a").attributes["rel"] == REL_DUE
    assert [
        each.split(": ")[0] for each in refused(money.content(body='\n{{ shop("quai") }}\n'))
    ] == ["content/guides/far.md:6:10"]
    assert "no link" in refused(money.content(body='{{ shop("x" ) }}'))[0]


RAW = (
    "[Buy](https://quay.example/alpa)",
    "[Buy](http://www.quay.example/alpa/?other=1)",
    '<a href="https://quay.example/alpa">Buy</a>',
    "<a href='HTTPS://QUAY.EXAMPLE/ALPA'>Buy</a>",
    '<a href="ht&#10;tps://quay.example/alpa">Buy</a>',
    '<a href="https:&#47;&#47;quay.example/alpa">Buy</a>',
    "[Buy][1]\n\n[1]: https://quay.example/alpa",
    "<https://quay.example/alpa>",
    "[Buy](https://quay.example/any-other-page-of-the-shop)",
    '<span class="shop"><a href="https://quay.example/alpa" rel="sponsored">Buy</a></span>',
    '<p class="disclosure" data-told="affiliate">We earn, we do, we really do earn by it.</p>\n\n[x](https://quay.example/alpa)',
)


@pytest.mark.parametrize("body", RAW)
def test_an_address_written_as_it_is_stops_the_build(body: str) -> None:
    found = refused(money.content(body=f"First.\n\n{body}\n"))
    assert found, body
    assert all("quay" in each for each in found), found
    assert any(
        each.startswith(("content/guides/far.md:7:", "content/guides/far.md:9:")) for each in found
    ), found
    assert any('Write {{ shop("quay' in each for each in found), found


def test_an_address_in_code_or_in_plain_words_is_no_link() -> None:
    built(money.content(body="`https://quay.example/alpa` and quay.example/alpa\n"))


def test_an_address_as_a_source_of_a_bike_stops_the_build(tmp_path: Path) -> None:
    """On the bike's page it would be a link without disclosure; the problem names its file and line."""
    source = replace(example.BIKES[1].sources[0], url="https://quay.example/alpa")
    bikes = (example.BIKES[0], replace(example.BIKES[1], sources=(source,)), *example.BIKES[2:])
    found = refused(money.content(), bikes=bikes)
    assert found == [
        each
        for each in found
        if each.startswith("bikes/invor-beta/index.html:0:0: this page links")
    ]
    (tmp_path / "bikes").mkdir()
    (tmp_path / "bikes" / "invor-beta.yaml").write_text("name: x\nurl: https://quay.example/alpa\n")
    (only,) = refused(money.content(), tmp_path, bikes=bikes)
    assert only.startswith(
        "bikes/invor-beta.yaml:2:6: this address is that of the link 'quay-alpa'"
    )


TELLING = f'<p class="disclosure" data-told="affiliate">{SENTENCES["affiliate"]}</p>'
LINK = f'<a href="https://quay.example/alpa" rel="{REL_DUE}">x</a>'
LABEL = f'<span class="shop__label">({LABELS["affiliate"]})</span>'
PIECE = f'<span class="shop" data-relation="affiliate">{LINK} {LABEL}</span>'


def looked_at(html: str) -> list[str]:
    due = LinksToDisclose(money.links())
    return [
        each.what for each in find_undisclosed_links("p/index.html", html, due, Path("nowhere"))
    ]


def test_a_finished_page_as_it_should_be() -> None:
    assert not looked_at(f"<main>{TELLING}<p>{PIECE}</p></main>")
    assert not looked_at(
        f'<main>{TELLING}<p><svg><path d="M0"/></svg><br>{PIECE}</p><ul><li>{PIECE}</ul></main>'
    )


@pytest.mark.parametrize(
    ("html", "lacks"),
    [
        (f"<main>{PIECE}</main>", "a disclosure in the main text before it"),
        (f"<main>{PIECE}{TELLING}</main>", "a disclosure in the main text before it"),
        (f"{TELLING}<main>{PIECE}</main>", "a disclosure in the main text before it"),
        (f"<main>{PIECE}</main><footer>{TELLING}</footer>", "a disclosure in the main text before it"),
        (f"<main><details>{TELLING}</details>{PIECE}</main>", "a disclosure in the main text before it"),
        (f"<main><aside>{TELLING}</aside>{PIECE}</main>", "a disclosure in the main text before it"),
        (f"<main><div hidden>{TELLING}</div>{PIECE}</main>", "a disclosure in the main text before it"),
        (f'<main><div aria-hidden="true">{TELLING}</div>{PIECE}</main>', "a disclosure in the main text before it"),
        (f"<main><p class=disclosure data-told=affiliate>Ad</p>{PIECE}</main>", "a disclosure in the main text before it"),
        (f'<main>{TELLING.replace("affiliate", "loaned")}{PIECE}</main>', "a disclosure in the main text before it"),
        (f"<main>{TELLING}{PIECE.replace('sponsored ', '')}</main>", 'rel="sponsored nofollow noopener"'),
        (f"<main>{TELLING}{LINK}</main>", "a label beside it"),
        (f"<main>{TELLING}{LINK} {LABEL}</main>", "a label beside it"),
        (f"<main>{TELLING}{PIECE.replace('we earn if you buy', 'a friend')}</main>", "a label beside it"),
        (f"<main>{TELLING}{PIECE.replace('shop__label', 'x')}</main>", "a label beside it"),
        (f"<main>{TELLING}<span class=shop>{LINK}</span>{LABEL}</main>", "a label beside it"),
        (f'<main>{TELLING}<form action="https://quay.example/alpa"></form></main>', "a label beside it"),
    ],
)  # fmt: skip
def test_a_finished_page_that_lacks_something(html: str, lacks: str) -> None:
    found = looked_at(html)
    assert len(found) == 1
    assert lacks in found[0]
    assert ("'quay-alpa' (affiliate in content/links.yaml)") in found[0]


@pytest.mark.parametrize(
    "written",
    [
        "href=https://quay.example/alpa",
        "href=//quay.example/alpa",
        "HREF = 'HTTPS://Quay.Example/alpa'",
        'href="h\tttps://quay.example/alpa"',
        'href="\u200bhttps://quay.example/alpa"',
        'href=" https:quay.example/alpa"',
        'href="&#104;ttps://quay.example/alpa"',
        'href="https&colon;//quay.example/alpa"',
        'href="\\\\quay.example\\alpa"',
        'href="/\\quay.example/alpa"',
        'href="&sol;&sol;quay.example/alpa"',
        'title="a = &quot;h" href="https://quay.example/alpa"',
        'href="ftp://quay.example/alpa"',
        'href="wss:quay.example/alpa"',
    ],
)
def test_an_address_is_found_however_it_is_written(written: str) -> None:
    assert looked_at(f'<main><p>h = "f <a {written}>Alpa</a></p></main>'), written


def test_the_terms_of_a_loan_stand_at_the_top_of_the_bike() -> None:
    bikes = [replace(bike, ridden=Ridden("borrowed", "loaned")) for bike in example.BIKES]
    bikes[1] = replace(bikes[1], ridden=Ridden("borrowed", "none"))
    site = built(money.content(), table=example.table(tuple(bikes)))
    for path in ("bikes/invor-alpa/index.html", "bikes/invor-alpa/prices/index.html"):
        opening = page(site, path).css_first("main .opening").text()
        assert "Its maker or a seller lent us this bike." in opening
    assert "lent us" not in said(page(site, "bikes/invor-beta/index.html"))


def test_a_page_whose_template_names_no_place_has_it_at_the_top() -> None:
    terms = (replace(example.TERMS[0], body=SHOP), *example.TERMS[1:])
    html = built(money.content(terms=terms))["glossary/range/index.html"].decode()
    assert html.index("<main") < html.index('class="disclosure"') < html.index("<h1>")


def test_the_feed_tells_its_readers_too() -> None:
    body = '## 2026-11-20\n\nNew: {{ shop("quay-alpa") }}.\n'
    changes = example.text("pages", "changelog", "Changes", body)
    feed = built(money.content(changelog=changes))["feed.xml"].decode()
    assert feed.index("Who pays.") < feed.index("https://quay.example/alpa")


def without_money(data: bytes) -> str:
    """A page without its disclosures, labels and rel attributes."""
    html = re.sub(r'<p class="disclosure".*?</p>', "", data.decode())
    html = re.sub(
        r'<span class="shop" data-relation="\w+">(.*?) <span class="shop__label">.*?</span></span>',
        r"\1",
        html,
    )
    return html.replace(REL_DUE, "nofollow noopener")


@pytest.mark.parametrize("relation", sorted(MUST_DISCLOSE))
def test_payment_never_enters_a_ranking(relation: str) -> None:
    """Annex I, point 11a: whoever pays, every file of the site is the same except for the disclosure: chooser,
    tables, comparisons, lists, search, and the order of sellers."""
    plain, paid = built(money.content("none", SHOP)), built(money.content(relation, SHOP))
    assert list(plain) == list(paid)
    moved = [path for path in plain if plain[path] != paid[path]]
    assert set(moved) == {GUIDE, "prices/index.html", "bikes/invor-alpa/prices/index.html"}
    for path in moved:
        assert without_money(paid[path]) == plain[path].decode(), path


def test_a_gift_never_enters_a_ranking() -> None:
    """The terms on which a bike was had change only its own pages and data."""

    def site(relation: str) -> Site:
        bikes = (replace(example.BIKES[0], ridden=Ridden("ridden", relation)), *example.BIKES[1:])  # type: ignore[arg-type]
        return built(money.content(), table=example.table(bikes))

    plain, gifted = site("none"), site("gifted")
    moved = {path for path in plain if plain[path] != gifted[path]}
    assert moved == {
        "bikes/invor-alpa/index.html",
        "bikes/invor-alpa/prices/index.html",
        "data/bikes/invor-alpa.json",
    }
