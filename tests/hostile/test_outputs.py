"""A publication of which every text is an attack: no file of its site does what the texts ask for."""

import json
from pathlib import Path

import pytest
from selectolax.lexbor import LexborHTMLParser

from generator.publish.build.staging import MANIFEST
from tests.hostile.audit import harm
from tests.hostile.strings import STRINGS


def files(site: Path) -> list[tuple[str, bytes]]:
    paths = sorted(path for path in site.rglob("*") if path.is_file() and path.name != MANIFEST)
    return [(path.relative_to(site).as_posix(), path.read_bytes()) for path in paths]


def test_no_file_does_harm(hostile: Path) -> None:
    found = files(hostile)

    assert {path.rsplit(".", 1)[-1] for path, _ in found} >= {"html", "xml", "csv", "json", "js"}
    assert [fault for path, data in found for fault in harm(path, data)] == []


def test_the_attacks_are_there_to_be_read(hostile: Path) -> None:
    """Nothing is dropped in silence: each attack stands as text on some page."""
    shown = "".join(
        LexborHTMLParser(data.decode()).text()
        for path, data in files(hostile)
        if path.endswith("html")
    )
    shown = " ".join(shown.split())

    missing = [text for text in STRINGS if " ".join(text.split())[:20] not in shown]
    assert missing == []


def test_scripts_and_styles_are_those_of_any_site(hostile: Path) -> None:
    """What people write reaches no program of the site."""
    for path, data in files(hostile / "assets"):
        if not data.startswith(b"guide.take("):
            assert b"pwned" not in data, path
            assert b"evil.test" not in data, path


def test_headers_cannot_be_written(hostile: Path) -> None:
    headers = (hostile / "_headers").read_text("utf-8")

    assert not [text for text in STRINGS if text[:12] in headers]


def test_every_path_of_the_site_is_plain(hostile: Path) -> None:
    manifest = json.loads((hostile / MANIFEST).read_text("utf-8"))

    assert len(manifest) > 100
    for path in manifest:
        assert all(
            part.replace("-", "").replace("_", "").replace(".", "").isalnum()
            for part in path.split("/")
        ), path
        assert ".." not in path


@pytest.mark.parametrize(
    ("path", "text"),
    [
        ("a.html", "<p><script>alert(1)</script>"),
        ("a.html", '<img src="x" onerror="alert(1)">'),
        ("a.html", '<a href="java\tscript:alert(1)">x</a>'),
        ("a.html", '<img src="//evil.test/x">'),
        ("a.html", '<meta http-equiv="Refresh" content="0">'),
        ("a.html", "<svg><foreignObject></foreignObject></svg>"),
        ("a.csv", '"=1+1",2\n'),
        ("a.js", 'guide.take("x",[1]);alert(1);\n'),
        ("a.js", 'guide.take("x",["</script>"]);\n'),
        ("a.xml", '<feed><content type="html">&lt;iframe&gt;</content></feed>'),
    ],
)
def test_the_audit_sees_harm(path: str, text: str) -> None:
    """The judge of the tests above is not blind."""
    assert harm(path, text.encode())
