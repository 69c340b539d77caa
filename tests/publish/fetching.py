"""A reader of a site that somebody publishes anew all the time: opens pages, and notes what is of no whole site.

`python -m tests.publish.fetching SITE PAGES` says so when it begins, reads until its input ends, then writes what it saw as
JSON. PAGES is a file of JSON: each path with the hashes that it may have; null among them when it may be missing.
"""

import hashlib
import json
import random
import select
import sys
import time
from pathlib import Path
from typing import Any

PAUSE = 0.001
"""Between two pages. [s]"""


def seen(page: Path) -> str | None:
    """The hash of a page as it is served now; None when there is none."""
    try:
        return hashlib.sha256(page.read_bytes()).hexdigest()
    except (FileNotFoundError, NotADirectoryError):
        return None


def main() -> None:
    site = Path(sys.argv[1])
    pages: dict[str, list[str | None]] = json.loads(Path(sys.argv[2]).read_text("utf-8"))
    told: dict[str, Any] = {"fetched": 0, "again": 0, "wrong": []}
    order = sorted(pages)
    draw = random.Random(len(order))
    print("reading", flush=True)  # noqa: T201
    while not select.select([sys.stdin], [], [], 0)[0]:
        path = draw.choice(order)
        got = seen(site / path)
        if got is None and got not in pages[path]:
            # The way to the page led through the old folder, which went while the reader was on it.
            told["again"] += 1
            got = seen(site / path)
        told["fetched"] += 1
        if got not in pages[path]:
            told["wrong"].append(f"{path}: {got}")
        time.sleep(PAUSE)
    print(json.dumps(told))  # noqa: T201


if __name__ == "__main__":
    main()
