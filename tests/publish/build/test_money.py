"""Whatever would leave a reader in the dark about money stops the build: exit code 1, the line, and the site as it was."""

import hashlib
from pathlib import Path

import pytest

from tests.publish.processes import generator

LINKS = """\
links:
  - id: quay-fenno
    url: https://quay-wheels.example/fenno?from=us
    bike: pellimor-fenno
    seller: Quay Wheels
    words: Fenno at Quay Wheels
    relation: affiliate
    expires: 2026-12-31
"""
PRICES = """\
bike,seller,price,currency,date,includes_tax,link,expires
pellimor-fenno,Quay Wheels,3290,EUR,2026-10-04,yes,,
pellimor-fenno,Quay Wheels,3190,EUR,2026-11-20,yes,quay-fenno,
"""
TEXT = '---\ntitle: About\nsummary: Who wrote this.\n---\n\nWe like {{ shop("quay-fenno") }}.\n'


def publish(root: Path, links: str = LINKS, prices: str = PRICES, about: str = TEXT) -> None:
    for name, text in (("links.yaml", links), ("prices.csv", prices), ("pages/about.md", about)):
        (root / "content" / name).write_text(text, "utf-8")


def hashes(folder: Path) -> dict[str, str]:
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_a_sound_publication_with_a_paid_link(built: Path) -> None:
    publish(built)
    ended = generator("build", "--root", str(built))
    assert ended.returncode == 0, ended.stderr
    about = (built / "site" / "about" / "index.html").read_text("utf-8")
    assert about.index('class="disclosure"') < about.index("https://quay-wheels.example")
    assert (built / "site" / "bikes" / "pellimor-fenno" / "prices" / "index.html").is_file()
    assert generator("vet", "--root", str(built)).returncode == 0


RAW = TEXT.replace('{{ shop("quay-fenno") }}', "[it](https://quay-wheels.example/fenno)")
NO_BIKE = PRICES.replace("pellimor-fenno,Quay Wheels,3190", "pellimor-fenmo,Quay Wheels,3190")
WRONG = {
    "a paid link without disclosure": (
        {"about": RAW},
        "content/pages/about.md:6:14: this address is that of the link 'quay-fenno'",
    ),
    "the same as HTML": (
        {"about": RAW.replace("[it](", '<a href="').replace("fenno)", 'fenno">it</a>')},
        "content/pages/about.md:6:18: this address is that of the link 'quay-fenno'",
    ),
    "an unset relation": (
        {"links": LINKS.replace("    relation: affiliate\n", "")},
        "content/links.yaml:2:5: links[1] does not say its relation",
    ),
    "an address that runs a script": (
        {"links": LINKS.replace("https://quay-wheels.example/fenno?from=us", '"java\\tscript:alert(1)"')},
        "content/links.yaml:3:10: url: the scheme javascript: is not allowed",
    ),
    "a link that has ended": (
        {"links": LINKS.replace("2026-12-31", "2026-11-24")},
        "content/links.yaml:8:14: the link 'quay-fenno' ended on 2026-11-24",
    ),
    "an offer that has ended": (
        {"prices": PRICES.replace("quay-fenno,\n", "quay-fenno,2026-11-24\n")},
        "content/prices.csv:3:63: this offer of Quay Wheels ended on 2026-11-24",
    ),
    "a price of no bike": ({"prices": NO_BIKE}, "content/prices.csv:3:1: there is no bike 'pellimor-fenmo'"),
    "a price that is none": (
        {"prices": PRICES.replace("3190", "-1")},
        "content/prices.csv:3:28: '-1' is not more than nothing",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", WRONG)
def test_what_stops_a_build(built: Path, name: str) -> None:
    changes, told = WRONG[name]
    before = hashes(built / "site")
    publish(built, **changes)
    ended = generator("build", "--root", str(built))
    assert ended.returncode == 1
    assert told in ended.stdout + ended.stderr
    assert "Traceback" not in ended.stderr
    assert hashes(built / "site") == before
    vetted = generator("vet", "--root", str(built))
    assert vetted.returncode == 1
    assert told in vetted.stdout + vetted.stderr


def test_a_bike_that_does_not_say_on_what_terms_it_came(built: Path) -> None:
    spec = built / "bikes" / "pellimor-fenno.yaml"
    text = spec.read_text("utf-8")
    spec.write_text(text.replace("relation: none, ", ""), "utf-8")
    line = text[: text.index("ridden:")].count("\n") + 1
    ended = generator("build", "--root", str(built))
    assert ended.returncode == 1
    assert (
        f"bikes/pellimor-fenno.yaml:{line}:1: this bike was borrowed, and nothing says on what terms"
        in ended.stdout + ended.stderr
    )


def test_the_day_of_the_build_decides_what_is_over(built: Path) -> None:
    """By SOURCE_DATE_EPOCH 2027-01-02; one file is enough to hear of it."""
    publish(built)
    ended = generator("vet", "content/links.yaml", "--today", "2027-01-02", "--root", str(built))
    assert ended.returncode == 1
    assert (
        "content/links.yaml:8:14: the link 'quay-fenno' ended on 2026-12-31, and today is 2027-01-02"
        in ended.stdout + ended.stderr
    )
    assert (
        generator(
            "vet", "content/links.yaml", "--today", "2026-12-31", "--root", str(built)
        ).returncode
        == 0
    )
