"""Addresses of other sites: which are allowed, and which lead to the same place.

* find_address_fault    why an address is not allowed as a link to a seller
* find_place            host and path as a browser understands them, for comparing addresses

Browsers drop blanks and control characters within an address and take backslashes for slashes (WHATWG URL
Standard, "basic URL parser"); addresses hidden behind such characters, entities or capitals are found all the same.
"""

import posixpath
import re
import unicodedata
from html import unescape
from urllib.parse import unquote, urlsplit

_BLANK = re.compile(
    r"[\x00-\x20\x7f-\xa0\xad\u034f\u115f\u180e\u2000-\u200f\u2028-\u202f\u205f-\u206f\ufeff]+"
)
_SCHEME = re.compile(r"([a-z][a-z0-9+.-]*):")
_HOST = re.compile(r"(?=.{4,253}$)([a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?\.)+[a-z0-9-]{2,63}")
_REMOTE = re.compile(r"(?:(?:https?|wss?|ftp):/*|/{2,})(.*)", re.DOTALL)
_LONGEST = 2000
"""Length of an address. [characters]"""

AddressFault = tuple[str, str]
"""What is wrong, and what would be right."""
_EXAMPLE = "Write the whole address, such as https://shop.example/bike"


def find_address_fault(address: str) -> AddressFault | None:
    """Why an address is not allowed as a link to a seller, and what would be right; None when it is allowed.

    Only https is allowed, with a host name, without a user name and without characters that hide something.
    """
    bare = _clean_address(unescape(address))
    scheme = _SCHEME.match(bare)
    if bare.startswith("//"):
        return "the address leaves out the scheme", "Write https: before it"
    if scheme is None:
        return "this is no whole address", _EXAMPLE
    if scheme[1] == "http":
        return "the address is not encrypted", "Write https:// in place of http://"
    if scheme[1] != "https":
        return f"the scheme {scheme[1]}: is not allowed, only https is", _EXAMPLE
    if _BLANK.search(address):
        return "the address holds a blank or a sign that nobody sees", "Take it out"
    if unescape(address) != address:
        return "the address holds an entity such as &amp;", "Write the sign itself, such as &"
    if odd := re.search(r"[\\\"'<>`{}|^]", address):
        return f"the address holds the sign {odd[0]}", "Write it percent-encoded, or copy it again"
    return _find_host_fault(address)


def _find_host_fault(address: str) -> AddressFault | None:
    """What is wrong with the host of a plain https address."""
    try:
        parts = urlsplit(address)
        host, _ = parts.hostname or "", parts.port
    except ValueError:
        return "this is not an address", _EXAMPLE
    if "@" in parts.netloc:
        return "the address holds a user's name", "Take out what stands before the @"
    if not re.match(r"https://[^/]", address, re.I) or not _HOST.fullmatch(_encode_host(host)):
        return f"{host[:60]!r} is not the name of a host", _EXAMPLE
    if len(address) > _LONGEST:
        return f"the address has more than {_LONGEST} characters", "Use a shorter one"
    return None


def find_place(address: str) -> tuple[str, str] | None:
    """Host and path of an address on another site; None for any other address.

    Scheme, port, user name, a leading `www.`, query, fragment, capitals, dot segments and a final slash make no
    difference. In doubt, addresses count as the same.
    """
    found = _REMOTE.match(_clean_address(address))
    if found is None:
        return None
    rest = found[1].lstrip("/")
    authority = re.split(r"[/?#]", rest, maxsplit=1)[0]
    path = re.split(r"[?#]", rest[len(authority) :], maxsplit=1)[0]
    host = re.sub(r":\d*$", "", unquote(authority.rpartition("@")[2]))
    host = _encode_host(host).strip(".").removeprefix("www.")
    path = posixpath.normpath("/" + unquote(path).lstrip("/").casefold())
    return (host, "" if path in ("/", ".") else path) if host else None


def _clean_address(address: str) -> str:
    """An address in lower case, without characters that browsers drop, with slashes for backslashes."""
    return _BLANK.sub("", address).replace("\\", "/").lower()


def _encode_host(host: str) -> str:
    """A host name in its ASCII form; unchanged when it has none."""
    plain = unicodedata.normalize("NFKC", host).casefold()
    try:
        return plain if plain.isascii() else plain.encode("idna").decode()
    except UnicodeError:
        return plain
