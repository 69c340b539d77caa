"""Addresses of other sites: which may stand, and when two of them lead to the same place.

* fault       why an address cannot stand as a link to a seller
* place_of    host and path as a browser understands them, to compare addresses by

Browsers drop blanks and control characters within an address and take backslashes for slashes (WHATWG URL
Standard, "basic URL parser"); whatever hides behind such signs, entities or capitals is found all the same.
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
"""Of an address. [characters]"""

Wrong = tuple[str, str]
"""What is wrong, and the mend."""
_EXAMPLE = "Write the whole address, such as https://shop.example/bike"


def fault(address: str) -> Wrong | None:
    """Why an address cannot stand as a link to a seller, with its mend; None when it can.

    Only https passes, with a host name, without a user's name and without signs that hide something.
    """
    bare = _bare(unescape(address))
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
    return _unsound(address)


def _unsound(address: str) -> Wrong | None:
    """What is wrong with the host, of an address that is https and plain."""
    try:
        parts = urlsplit(address)
        host, _ = parts.hostname or "", parts.port
    except ValueError:
        return "this is not an address", _EXAMPLE
    if "@" in parts.netloc:
        return "the address holds a user's name", "Take out what stands before the @"
    if not re.match(r"https://[^/]", address, re.I) or not _HOST.fullmatch(_ascii(host)):
        return f"{host[:60]!r} is not the name of a host", _EXAMPLE
    if len(address) > _LONGEST:
        return f"the address has more than {_LONGEST} characters", "Use a shorter one"
    return None


def place_of(address: str) -> tuple[str, str] | None:
    """Host and path of an address of another site; None for any other address.

    Scheme, port, user's name, a leading `www.`, query, fragment, capitals, dot segments and a slash at the end
    make no difference. It errs on the side of "the same".
    """
    found = _REMOTE.match(_bare(address))
    if found is None:
        return None
    rest = found[1].lstrip("/")
    authority = re.split(r"[/?#]", rest, maxsplit=1)[0]
    path = re.split(r"[?#]", rest[len(authority) :], maxsplit=1)[0]
    host = re.sub(r":\d*$", "", unquote(authority.rpartition("@")[2]))
    host = _ascii(host).strip(".").removeprefix("www.")
    path = posixpath.normpath("/" + unquote(path).lstrip("/").casefold())
    return (host, "" if path in ("/", ".") else path) if host else None


def _bare(address: str) -> str:
    """Lower case, without what browsers drop, with slashes for backslashes."""
    return _BLANK.sub("", address).replace("\\", "/").lower()


def _ascii(host: str) -> str:
    """A host's name as it is looked up; as it is where it cannot be."""
    plain = unicodedata.normalize("NFKC", host).casefold()
    try:
        return plain if plain.isascii() else plain.encode("idna").decode()
    except UnicodeError:
        return plain
