"""What an unfriendly contributor may write wherever text is free, and files that hold it everywhere.

* STRINGS    attacks as text
* sheet      a sound spec file with attacks in every free text that the schema knows
* publication    a whole publication that is sound and hostile
"""

import itertools
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from tests.content import publication as sound
from tests.project import ROOT

SCHEMA: dict[str, Any] = json.loads((ROOT / "bikes/bike.schema.json").read_text("utf-8"))

STRINGS = (
    "</script><script>pwned=1</script>",
    "\"><img src=x onerror='pwned=2'>",
    "'><svg onload=pwned=3>",
    "{{7*7}}{% raw %}{# ${pwned=4}",
    "[x](javascript:pwned=5) ![y](//evil.test/y)",
    '=HYPERLINK("https://evil.test/","x")',
    "--><script>pwned=6</script><!--",
    "]]></title></style></textarea><b>",
    "__proto__",
    "constructor",
    "<a href=javascript:pwned=7>x</a>",
    "<base href=//evil.test/>",
    "<meta http-equiv=refresh content=0>",
    "a'); pwned=8; // \"+pwned+\"",
    "`;pwned=9;` \\u003cb\\u003e &lt;i&gt; &amp;",
    "| a | b |",
    "@SUM(1+1)*cmd|' /C calc'!A0",
    "-2+3",
    "+1",
    "W" * 40,
    "שלום العربية",
    "Z\u0338\u0327\u0353\u0324o\u0321\u0357\u0310",
    "\U0001f468\u200d\U0001f469\u200d\U0001f467",
    "*b* _i_ `c` # h\t~~s~~",
    "<style>*{background:url(//evil.test/z)}</style>",
    "javascript:pwned=10",
    "datum.x'] + pwned",
    "%0A::error::x %3C ../../etc/passwd",
)  # fmt: skip
"""Sources of the forms: OWASP, "Cross Site Scripting Prevention Cheat Sheet" and "CSV Injection"; HTML standard, 4.12.1.3
(what ends a script), 13.2.5 (states of its parser)."""


def quoted(text: str) -> str:
    """As a YAML text in double quotes, of which JSON's are a kind."""
    return json.dumps(text, ensure_ascii=False)


def sheet(first: int = 0) -> dict[str, Any]:
    """A spec file as plain data, with the attacks in turn from the one at `first` on."""
    turn = itertools.cycle(STRINGS[first:] + STRINGS[:first])
    example = json.loads(json.dumps(_plain(), default=str))
    made: dict[str, Any] = _hostile(example, SCHEMA, turn)
    return made


def _plain() -> Any:
    """The bike that shows every key."""
    from generator.specs.yaml.files import read_mapping

    marked, problems = read_mapping(ROOT / "bikes/pellimor-fenno.yaml", ROOT)
    assert marked, problems
    return marked.value


def _hostile(value: Any, schema: dict[str, Any], turn: Iterator[str]) -> Any:
    if isinstance(value, dict):
        known, rest = schema.get("properties", {}), schema.get("additionalProperties")
        below = {key: known.get(key) or (rest if isinstance(rest, dict) else {}) for key in value}
        return {key: _hostile(each, below[key], turn) for key, each in value.items()}
    if isinstance(value, list):
        return [_hostile(each, schema.get("items", {}), turn) for each in value]
    bound = {"enum", "pattern", "format", "x-quantity"} & set(schema)
    if not isinstance(value, str) or schema.get("type") != "string" or bound:
        return value
    return _cut(next(turn), schema.get("maxLength", 400))


def _cut(text: str, longest: int) -> str:
    return text if len(text) <= longest else text[:longest]


def bike(first: int = 0, **other: Any) -> str:
    """The text of a sound spec file that holds the attacks, keys and names of levels too."""
    data = sheet(first)
    names = [STRINGS[(first + n) % len(STRINGS)][:40] for n in range(4)]
    for level, name in zip(data["assist"]["levels"], names, strict=True):
        level["name"] = name
    data["rides"][0] |= {"level": names[1], "rider": "everyday", "route": "flat"}
    data["ridden"]["route"] = "flat"
    data["revisions"][0]["was"] = {"battery.charge": "13 Ah"}
    data["corrections"][0]["key"] = "battery.charge"
    data["stated_by"] = {"wheels.rollout": "own"}
    data["cargo"] = {STRINGS[(first + 4) % len(STRINGS)][:60]: "25 kg"}
    return json.dumps(data | other, ensure_ascii=False, indent=1, default=str)


def publication(root: Path, bikes: int = 4) -> Path:
    """A publication of which every text is an attack and every file is sound."""
    (root / "bikes").mkdir(parents=True, exist_ok=True)
    for number in range(bikes):
        more: dict[str, Any] = {"year": 2023 + number}
        text = bike(number * 7, **more)
        slug = ("constructor", "prototype", "index", "hasownproperty")[number % 4]
        (root / "bikes" / f"{slug}.yaml").write_text(text, "utf-8")
    return sound.write_content(root, **contents())


def contents() -> dict[str, str]:
    """The files of the content folder, with attacks wherever text is free."""
    turn = itertools.cycle(STRINGS)

    def text(longest: int) -> str:
        return quoted(_cut(next(turn), longest))

    settings = sound.FILES["site.yaml"]
    for key, longest in (("title", 100), ("tagline", 200), ("notice", 500)):
        old = next(line for line in settings.splitlines() if line.startswith(f"{key}:"))
        settings = settings.replace(old, f"{key}: {text(longest)}")
    head = "---\ntitle: {}\nsummary: {}\n{}---\n{}"
    refused = ("](", "href=")  # links that stop a build; test_prose_safety has them
    bodies = [each for each in STRINGS if not any(part in each for part in refused)]
    body = "\n\n".join(f"{each.replace('{', '').replace('}', '')}\n" for each in bodies)
    words = '\n{{ bike("constructor") }} {{ figure("index", "spec.mass") }} {{ bikes({"use": "touring"}) }}\n'
    files = {
        "site.yaml": settings + f"licence: {text(200)}\n",
        "riders.yaml": sound.FILES["riders.yaml"]
        .replace("the everyday rider", text(60))
        .replace("the keen rider", text(60)),
        "sources.yaml": sound.FILES["sources.yaml"].replace(
            '"A. Nobody, A book that is not there, 2026."', text(600)
        ),
        "routes/routes.yaml": sound.FILES["routes/routes.yaml"]
        .replace("the quay", text(60))
        .replace("Level.", text(300)),
        "changelog.md": head.format(text(120), text(400), "", f"## 2026-11-01 {body}"),
    }
    for number in range(4):
        files[f"guides/hostile-{number}.md"] = head.format(text(120), text(400), "", body + words)
        more = f"group: {text(40)}\nunit: {text(30)}\naliases: [{text(60)}]\n"
        files[f"glossary/hostile-{number}.md"] = head.format(
            quoted(f"{number}{_cut(next(turn), 70)}"), text(400), more, body
        )
    files["pages/cautions.md"] = head.format(text(120), text(400), "", body)
    files["lists/hostile.md"] = head.format(
        text(120), text(400), "where: {mass: under 90 kg}\nshow: [spec.mass]\n", body
    )
    return files
