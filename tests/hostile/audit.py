"""What in a built site could do harm, as the programs that read it would see it.

* harm    every fault of one file, by its ending
"""

import csv
import io
import json
import re
from collections.abc import Iterator
from xml.etree import ElementTree

from selectolax.lexbor import LexborHTMLParser, LexborNode

NEVER = {
    "iframe",
    "object",
    "embed",
    "base",
    "applet",
    "frame",
    "frameset",
    "foreignobject",
    "style",
    "portal",
}
"""Elements that no page of ours has: they load, run, or bend what others load."""
ADDRESSES = {
    "href",
    "src",
    "action",
    "formaction",
    "data",
    "poster",
    "xlink:href",
    "srcset",
    "ping",
}
TAKEN = re.compile(r"guide\.take\((\"[^\"]*\"),(.*)\);\n", re.DOTALL)
ADDRESS = "https://book.example/"
"""Of the publication that is judged."""
FORMULA = ("=", "+", "-", "@", "\t", "\r")
"""OWASP, "CSV Injection"."""


def harm(path: str, data: bytes) -> list[str]:
    kind = path.rsplit(".", 1)[-1]
    if kind in ("png", "ico", "css") or path == "_headers":
        return []
    text = data.decode("utf-8")
    judge = {
        "html": _html,
        "xml": _xml,
        "csv": _csv,
        "json": _json,
        "js": _script,
        "svg": _html,
        "txt": _nothing,
        "conf": _nothing,
    }
    try:
        return [f"{path}: {fault}" for fault in judge[kind](text)]
    except (ValueError, ElementTree.ParseError) as error:
        return [f"{path}: cannot be read: {error}"]


def _nothing(text: str) -> Iterator[str]:
    yield from ()


def _html(text: str) -> Iterator[str]:
    root = LexborHTMLParser(text).root
    assert root
    for node in root.traverse():
        tag = str(node.tag).lower()
        if tag in NEVER:
            yield f"<{tag}>"
        if tag == "script":
            yield from _script_element(node)
        if tag == "meta" and (node.attributes.get("http-equiv") or "").lower() == "refresh":
            yield "a refresh"
        for name, value in node.attributes.items():
            if name.startswith("on") or name in ("style", "srcdoc"):
                yield f"{name}={value}"
            if name in ADDRESSES and _leads_out(tag, value or ""):
                yield f"<{tag} {name}={value}>"


def _script_element(node: LexborNode) -> Iterator[str]:
    if node.attributes.get("type") == "application/ld+json":
        block = json.loads(node.text())
        assert block["@context"] == "https://schema.org"
    elif "src" not in node.attributes or node.text().strip():
        yield f"a script that stands in the page: {node.text()[:60]}"


def _leads_out(tag: str, address: str) -> bool:
    """May an address of this element not stand? What loads by itself may only come from the site."""
    address = re.sub(r"[\t\n\r]", "", address.strip("".join(map(chr, range(33)))))
    scheme = re.match(r"[A-Za-z][A-Za-z0-9+.-]*(?=:)", address)
    if scheme:
        wanted = {"a": {"http", "https", "mailto"}, "link": {"https", "data"}}.get(tag, {"data"})
        return scheme[0].lower() not in wanted or address.startswith("data:text")
    return bool(re.match(r"[/\\]{2}", address))


def _xml(text: str) -> Iterator[str]:
    """A feed or a site map: whole, and what HTML an entry holds is harmless too."""
    for node in ElementTree.fromstring(text).iter():
        if node.get("type") == "html" and (node.text or "").strip():
            own = f"<img src={ADDRESS}"  # a relative picture, made whole
            yield from (fault for fault in _html(node.text or "") if not fault.startswith(own))
        href = node.get("href") or "https:"
        if not href.startswith("https:"):
            yield f"href={href}"


def _csv(text: str) -> Iterator[str]:
    for row in csv.reader(io.StringIO(text)):
        for cell in row:
            if cell.startswith(FORMULA) and not _number(cell):
                yield f"a formula: {cell[:60]}"


def _number(cell: str) -> bool:
    try:
        float(cell)
    except ValueError:
        return False
    return True


def _json(text: str) -> Iterator[str]:
    json.loads(text, parse_constant=_no_number)
    yield from ()


def _no_number(word: str) -> None:
    raise ValueError(f"{word} is no JSON")


def _script(text: str) -> Iterator[str]:
    """Data for scripts is one call with plain JSON; all other scripts are ours, which a test compares."""
    if text.startswith("guide.take("):
        found = TAKEN.fullmatch(text)
        if found is None:
            yield "data that is no single call"
            return
        json.loads(found[2], parse_constant=_no_number)
        if "<" in found[2] or "\u2028" in found[2] or "\u2029" in found[2]:
            yield "data that could end its script"
