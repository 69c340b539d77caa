"""Words on a terminal or in a file that may not know every sign.

* ready       from here on no sign can stop a message; what the stream lacks is written with plain letters
* as_ascii    JSON with its other signs escaped, where the stream is not UTF-8
"""

import codecs
import io
import json
import re
import sys
import unicodedata

PLAIN = {
    "\N{EN DASH}": "-",
    "\N{EM DASH}": "-",
    "\N{MINUS SIGN}": "-",
    "\N{NON-BREAKING HYPHEN}": "-",
    "\N{MULTIPLICATION SIGN}": "x",
    "\N{DIVISION SIGN}": "/",
    "\N{RIGHTWARDS ARROW}": "->",
    "\N{LESS-THAN OR EQUAL TO}": "<=",
    "\N{GREATER-THAN OR EQUAL TO}": ">=",
    "\N{LEFT SINGLE QUOTATION MARK}": "'",
    "\N{RIGHT SINGLE QUOTATION MARK}": "'",
    "\N{LEFT DOUBLE QUOTATION MARK}": '"',
    "\N{RIGHT DOUBLE QUOTATION MARK}": '"',
    "\N{MIDDLE DOT}": ".",
}


def ready() -> None:
    codecs.register_error("plain", _plain)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="plain")


def as_ascii(text: str) -> str:
    """The same JSON, in signs that every stream has; as it is where standard output is UTF-8."""
    if codecs.lookup(getattr(sys.stdout, "encoding", None) or "utf-8").name == "utf-8":
        return text
    return re.sub("[^\x00-\x7f]", lambda found: json.dumps(found[0])[1:-1], text)


def _plain(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return "".join(map(_letters, error.object[error.start : error.end])), error.end


def _letters(sign: str) -> str:
    """In ASCII: a dash for a dash, a letter without its accent, and a question mark for the rest."""
    apart = unicodedata.normalize("NFKD", sign).encode("ascii", "ignore").decode()
    return PLAIN.get(sign) or apart or "?"
