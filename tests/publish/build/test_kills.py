"""The judges of `tests.publish.build.kills` can find fault: half a site is called half, and the reader notes a strange page."""

import shutil
import time
from pathlib import Path

from tests.publish.build.kills import Sides, reader
from tests.publish.disturbed import state
from tests.publish.pretend import publish


def made(folder: Path) -> Sides:
    """Two pretend sites, and the first of them where they take turns."""
    sites = {word: folder / f"site-{word}" for word in ("one", "other")}
    for word, site in sites.items():
        publish(site, word)
    out = folder / "www" / "site"
    publish(out, "one")
    states = {word: state(site) for word, site in sites.items()}
    return Sides({}, sites, out, states)


def test_half_a_site_is_half(tmp_path: Path) -> None:
    sides = made(tmp_path)
    assert (sides.word(), sides.next()) == ("one", "other")
    publish(sides.out, "other")
    assert (sides.word(), sides.next()) == ("other", "one")

    page = next(sides.out.rglob("index.html"))
    kept = page.read_bytes()
    for spoilt in (b"", kept[:-1], kept.replace(b"other", b"one")):
        page.write_bytes(spoilt)
        assert sides.word() == "half"
    page.unlink()
    assert sides.word() == "half"


def test_the_reader_sees_what_is_of_no_site(tmp_path: Path) -> None:
    """Pages of the other site are no fault; a page cut short is, and a page that both have and that is gone."""
    sides = made(tmp_path)
    with reader(sides) as calm:
        publish(sides.out, "other")
        publish(sides.out, "one")
        time.sleep(0.3)
    assert calm["wrong"] == []
    assert calm["fetched"] > 0

    shutil.rmtree(sides.out / "part-0")
    for page in sides.out.rglob("index.html"):
        page.write_bytes(b"<p>o")
    with reader(sides) as spoilt:
        time.sleep(0.3)
    assert spoilt["wrong"]
