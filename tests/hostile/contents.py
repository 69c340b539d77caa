"""A small publication with one file of each kind that people send, most of them the demo's own.

* FILES      path and bytes; without errors
* write      the publication on disk
* SOUND      each kind of file with those that lend it lines and values
"""

import math
from pathlib import Path

from tests.content import publication as small
from tests.project import ROOT


def _demo(path: str, lines: int | None = None) -> bytes:
    whole = (ROOT / path).read_bytes()
    return whole if lines is None else b"".join(whole.splitlines(keepends=True)[:lines])


def _track(points: int = 60) -> bytes:
    """A GPX track of a kilometre with a hill."""
    found = "\n".join(
        f'<trkpt lat="{47.0 + number * 0.00015:.6f}" lon="8.500000">'
        f"<ele>{100 + 5 * math.sin(number / 9):.1f}</ele><time>2026-10-04T08:{number:02}:00Z</time></trkpt>"
        for number in range(points)
    )
    head = '<?xml version="1.0" encoding="UTF-8"?>\n<gpx version="1.1" creator="a test">\n<trk><trkseg>\n'
    return f"{head}{found}\n</trkseg></trk>\n</gpx>\n".encode()


RECORD = b"""{
"format": 1,
"day": "2026-11-24",
"figures": ["range.rolling","spec.mass","spec.price"],
"bikes": {
"pellimor-fenno": {"fields":{"name":"Pellimor Fenno"},"values":[[44000,36000,52000],26.1,[3290,3290,3290,"USD"]]},
"oskelm-talli": {"fields":{"name":"Oskelm Talli"},"values":[null,22.4,null]}
},
"lists": {
"two-sensors": ["pellimor-fenno"]
}
}
"""
TRACK = "routes/moor-track.gpx"
TRACK_ENTRY = b"""
  - id: moor
    name: the moor track
    file: moor-track.gpx
    summary: A kilometre of it.
    wind: 1 m/s
    temperature: 14 \xc2\xb0C
    surface: gravel
    stops: [0 m, 400 m]
"""
FILES = {
    **{path: text.encode() for path, text in small.FILES.items() if path.startswith("glossary/")},
    **{path: _demo(f"content/{path}") for path in (
        "site.yaml", "riders.yaml", "sources.yaml", "links.yaml", "prices.csv", "changelog.md",
        "guides/what-the-levels-do.md", "guides/hub-or-mid.md", "pages/about.md", "pages/cautions.md",
        "lists/two-sensors.md", "lists/climbers-under-2500.md",
    )},
    **{f"routes/{name}.csv": _demo(f"content/routes/{name}.csv", 60) for name in ("flat", "rolling", "hilly")},
    "routes/routes.yaml": _demo("content/routes/routes.yaml") + TRACK_ENTRY,
    TRACK: _track(),
    "releases/2026-11-24.json": RECORD,
    "releases/2026-11-25.json": RECORD.replace(b"11-24", b"11-25").replace(b"26.1", b"26.3"),
    "guide.schema.json": _demo("content/guide.schema.json"),
    "site.schema.json": _demo("content/site.schema.json"),
}  # fmt: skip
SOUND: dict[str, tuple[str, ...]] = {
    "settings": ("site.yaml",),
    "riders": ("riders.yaml",),
    "references": ("sources.yaml",),
    "links": ("links.yaml",),
    "prices": ("prices.csv",),
    "routes": ("routes/routes.yaml",),
    "profiles": ("routes/flat.csv", "routes/rolling.csv", "routes/hilly.csv"),
    "tracks": (TRACK,),
    "guides": ("guides/what-the-levels-do.md", "guides/hub-or-mid.md"),
    "pages": ("pages/about.md", "pages/cautions.md"),
    "glossary": ("glossary/cadence.md", "glossary/crank.md"),
    "lists": ("lists/two-sensors.md", "lists/climbers-under-2500.md"),
    "changelog": ("changelog.md",),
    "records": ("releases/2026-11-24.json", "releases/2026-11-25.json"),
    "schemas": ("guide.schema.json", "site.schema.json"),
}
"""Files of one kind; measurements stand in spec files."""


def write(root: Path) -> Path:
    for name, raw in FILES.items():
        path = root / "content" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(raw)
    return root
