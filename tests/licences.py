"""`python -m tests.licences`: the licences of all that a build uses or hands on, and what among them is not allowed.

That is every package that an install without extras brings, as its own metadata say it, and the files of others in
`templates/vendor`. What goes into a site of these are the vendored files and the chart library, each with its notice.
"""

import re
import sys
from collections.abc import Iterator
from email.message import Message
from importlib.metadata import distribution

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from tests.lock import declared
from tests.vendor import kept

ALLOWED = frozenset(
    [
        *("0BSD", "Apache-2.0", "BSD-2-Clause", "BSD-3-Clause", "CC0-1.0", "ISC", "MIT"),
        *("LLVM-exception", "MIT-CMU", "OFL-1.1", "PSF-2.0", "Unlicense", "Zlib"),
    ]
)
"""By their SPDX identifiers: licences that ask for their notice and for nothing of ours."""

SPELT = {
    "Apache License, Version 2.0": "Apache-2.0",
    "Apache Software License": "Apache-2.0",
    "BSD": "BSD-3-Clause",
    "BSD License": "BSD-3-Clause",
    "ISC License (ISCL)": "ISC",
    "MIT License": "MIT",
    "Python Software Foundation License": "PSF-2.0",
}
"""How metadata from before PEP 639 spell some of them."""

_JOINTS = {"AND", "OR", "WITH"}


def needed() -> Iterator[str]:
    """Names of the packages that are installed with the program, of each its needs too."""
    waiting = list(declared()["run"])
    seen: set[str] = set()
    while waiting:
        need = Requirement(waiting.pop())
        name = canonicalize_name(need.name)
        there = any(
            need.marker is None or need.marker.evaluate({"extra": extra})
            for extra in ("", *need.extras)
        )
        if there and name not in seen:
            seen.add(name)
            waiting += distribution(name).requires or []
    yield from sorted(seen)


def stated(metadata: Message) -> list[str]:
    """What a package says of its licence: the expression of PEP 639, else classifiers and the short old field."""
    if expression := metadata.get("License-Expression"):
        return [str(expression)]
    classifiers = [str(line) for line in metadata.get_all("Classifier", [])]
    named = [line.split(" :: ")[-1] for line in classifiers if line.startswith("License :: ")]
    field = str(metadata.get("License", "")).strip()
    if field and "\n" not in field and len(field) < 80:
        named.append(field)
    return list(dict.fromkeys(SPELT.get(name, name) for name in named))


def refused(statements: list[str]) -> list[str]:
    """What of it is not allowed. A choice (`OR`) counts as both: a person may choose, and say so here."""
    if not statements:
        return ["no licence stated"]
    words = [word for line in statements for word in _words(line)]
    return [word for word in dict.fromkeys(words) if word not in ALLOWED]


def _words(line: str) -> list[str]:
    """The identifiers of an expression; the whole line where it is none."""
    words = re.sub(r"[()]", " ", line).split()
    if len(words) > 1 and not _JOINTS & set(words):
        return [line]
    return [word for word in words if word not in _JOINTS]


def listed() -> Iterator[tuple[str, str, list[str]]]:
    """What it is, its version, its licences."""
    for name in needed():
        found = distribution(name)
        yield name, found.version, stated(found.metadata)  # type: ignore[arg-type]
    for one in kept():
        yield f"{one['package']} ({one['file']})", one["version"], [one["licence"]]


def main() -> int:
    wrong = 0
    for name, version, statements in listed():
        not_allowed = refused(statements)
        wrong += bool(not_allowed)
        remark = f"   NOT ALLOWED: {', '.join(not_allowed)}" if not_allowed else ""
        sys.stdout.write(f"{name:46} {version:14} {'; '.join(statements)}{remark}\n")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
