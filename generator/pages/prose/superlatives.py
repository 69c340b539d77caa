"""Warnings about untested superlatives on bikes of this guide, each with the condition to write.

A sentence counts if it says that a bike is the lightest, the only one or the like, *and* names a bike of this guide,
by word or by name, or says "here", "in this guide", "of our bikes". So "the steepest hill you know" does not count;
nor do questions. Where a warning is mistaken, `{# untested #}` on the sentence's first line silences it.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from generator.pages.prose.language import TextFault

if TYPE_CHECKING:
    from generator.figures.table.figures_table import FiguresTable

MEASURES = {
    "lightest": ("least", "spec.mass"),
    "heaviest": ("most", "spec.mass"),
    "weighs least": ("least", "spec.mass"),
    "weighs most": ("most", "spec.mass"),
    "lowest mass": ("least", "spec.mass"),
    "highest mass": ("most", "spec.mass"),
    "cheapest": ("least", "spec.price"),
    "costs least": ("least", "spec.price"),
    "lowest price": ("least", "spec.price"),
    "dearest": ("most", "spec.price"),
    "most expensive": ("most", "spec.price"),
    "costs most": ("most", "spec.price"),
    "highest price": ("most", "spec.price"),
    "fastest": ("most", "spec.assisted_speed"),
    "slowest": ("least", "spec.assisted_speed"),
    "strongest": ("most", "motor.peak_power"),
    "most powerful": ("most", "motor.peak_power"),
    "weakest": ("least", "motor.peak_power"),
    "least powerful": ("least", "motor.peak_power"),
    "quickest": ("least", "assist.launch_time"),
    "best climber": ("most", "hills.steepest"),
    "steepest": ("most", "hills.steepest"),
    "longest": ("most", "range."),
    "longest ranged": ("most", "range."),
    "farthest": ("most", "range."),
    "shortest": ("least", "range."),
}
"""Condition and figure that would test each superlative; `range.` is completed with the publication's route."""

MOST_WARNINGS = 50
"""Most warnings about one text."""

_KIND = (
    r"(?:bikes?|bicycles?|e-bikes?|ones?|machines?|models?|folders?|mid drives?|hubs?|climbers?"
    r"|two|three|four|five|six)"
)
_PLAIN = r"(?!(?:that|which|a|an|the|of|you|your|for|to|on|part|way|thing)\b)[\w-]+[ \n]"
_BIKE = rf"[ \n](?:{_PLAIN}){{0,2}}?{_KIND}\b"
_ENDS = r"(?=\W*$|[.!?,;:)—–]|[ \n](?:of|here|in|among|by|at|with|and|but|is|was|on our|bike)\b|[ \n]*\ue010)"
_WORDS = (
    r"lightest|heaviest|cheapest|dearest|most[ \n]expensive|fastest|slowest|strongest|weakest|steepest"
    r"|(?:most|least)[ \n]powerful|quickest|best[ \n]climber|longest[ -]ranged"
)
_SUPERLATIVE = re.compile(
    rf"\b(?P<word>{_WORDS})(?:{_BIKE}|{_ENDS})"
    r"|\b(?:(?P<noun>longest|shortest|lowest|highest)[ \n](?:range|mass|price))\b"
    r"|\b(?P<verb>weighs|costs)[ \n](?:the[ \n])?(?P<much>least|most)\b"
    r"|\bgoes[ \n](?:the[ \n])?(?P<far>farthest|furthest)\b"
    rf"|\b(?P<only>the[ \n]only{_BIKE})"
    rf"|\b(?P<other>no[ \n]other{_BIKE}|no[ \n]bike(?=[ \n](?:here|in[ \n]this|of[ \n]ours)\b))"
    r"|\b(?P<none>none[ \n]of[ \n](?:the|our|these)[ \n](?:other[ \n])?(?:bikes|machines|others))\b",
    re.IGNORECASE,
)
_WORD = re.compile(
    rf"\b(?:{_WORDS}|longest|shortest|lowest|highest|least|most|farthest|furthest|only|no[ \n](?:other|bike)|none)\b",
    re.IGNORECASE,
)
_OURS = re.compile(
    r"\b(?:in[ \n](?:this|our)[ \n](?:guide|book|list|table)|of[ \n]all[ \n]bikes|of[ \n](?:all[ \n])?(?:our|the|these)"
    r"[ \n](?:[\w-]+[ \n])?(?:bikes|machines|two|three|four|five|six)|of[ \n]ours|on[ \n]our[ \n]shelf|here)\b",
    re.IGNORECASE,
)
_BLANKED = re.compile(
    r"\{#.{0,2000}?#\}|\{%.{0,2000}?%\}|\{\{.{0,2000}?\}\}|`[^`\n]*`|\]\([^)\n]{0,500}\)|<[^<>\n]*>"
    r"|(?m:^(?: {4}|\t)[^\n]*$)|(?m:^#+ [^\n]*$)",
    re.S,
)
_SPOKEN = re.compile(r"""\{\{[-+]?\s*bike\(\s*["']([^"']+)["']""")
_HOLDS = re.compile(r"\{%[-+]?\s*(end)?holds\b")
_SENTENCE_END = re.compile(
    r"[.!?](?=[\s*_)]|$)|\n[ \t]*(?=\n)|\n(?=[ \t]*(?:[-*+]|\d+[.)])[ \t])|\|"
)
_QUIET = re.compile(r"\{#\s*untested\s*#\}")
_MARK = "\ue010"
_NAME_WORD = re.compile(r"\w+")


@dataclass(frozen=True)
class _NamedBike:
    at: int
    slug: str


def find_untested(body: str, table: "FiguresTable", route: str) -> list[TextFault]:
    """A warning for each untested superlative in a body about bikes of this guide.

    `route` is the id of the publication's own route.
    """
    if not _WORD.search(body):  # most texts
        return []
    plain, named = _blank_markup(body)
    quiet = {body.count("\n", 0, found.start()) for found in _QUIET.finditer(body)}
    found = []
    for start, end in _split_sentences(plain):
        sentence = plain[start:end]
        superlative = _SUPERLATIVE.search(sentence)
        if superlative is None or sentence.rstrip().endswith("?"):
            continue
        slugs = [one.slug for one in named if start <= one.at < end]
        slugs += _find_named_bikes(table.names, sentence)
        if not slugs and not _OURS.search(sentence):
            continue
        at = start + superlative.start()
        line = plain.count("\n", 0, at)
        begin = plain.count("\n", 0, start + len(sentence) - len(sentence.lstrip()))
        if quiet.isdisjoint((line, begin)):
            words = " ".join(superlative[0].strip(" \n,;:)").replace(_MARK, "").split())
            column = at - plain.rfind("\n", 0, at)
            condition = _format_condition(superlative, slugs[0] if slugs else "", table, route)
            what = f"{words!r} is said of bikes of this guide, and nothing tests it"
            mend = f"Write {{% holds {condition} %}} before the sentence and {{% endholds %}} behind it"
            found.append(TextFault(line + 1, what, mend, "", column, True))
            if len(found) == MOST_WARNINGS:
                break
    return found


def _blank_markup(body: str) -> tuple[str, list[_NamedBike]]:
    """The body with everything but prose blanked out in place, and the bikes named by `bike()`."""
    named = [_NamedBike(found.start(), found[1]) for found in _SPOKEN.finditer(body)]

    def blank_out(found: re.Match[str]) -> str:
        inside = _MARK if _SPOKEN.match(found[0]) else " "
        if found[0][0] == "#":  # a heading is a sentence of its own
            return "." + " " * (len(found[0]) - 1)
        return re.sub(r"[^\n]", inside, found[0])

    return _BLANKED.sub(blank_out, _blank_tested(body)), named


def _blank_tested(body: str) -> str:
    """The body with the contents of `holds` blocks blanked out."""
    parts: list[str] = []
    deep = end = 0
    for tag in _HOLDS.finditer(body):
        text = body[end : tag.start()]
        parts.append(re.sub(r"[^\n]", " ", text) if deep else text)
        deep = max(0, deep - 1) if tag[1] else deep + 1
        end = tag.start()
    return "".join((*parts, body[end:]))


def _split_sentences(text: str) -> Iterator[tuple[int, int]]:
    start = 0
    for end in _SENTENCE_END.finditer(text):
        yield start, end.end()
        start = end.end()
    yield start, len(text)


def _find_named_bikes(bikes: tuple[tuple[str, str, str], ...], sentence: str) -> list[str]:
    """Slugs of the bikes that a sentence names, with the maker or, after its first word, without."""
    slugs = _index_names(bikes)
    words = set(_NAME_WORD.findall(sentence))
    near = sorted(
        (name for name, (first, _) in slugs.items() if first in words),
        key=lambda name: (-len(name), name),
    )
    if not near:
        return []
    names = "|".join(r"[ \n]".join(map(re.escape, name.split())) for name in near)
    lead = len(sentence) - len(sentence.lstrip(" \n.-*>_"))
    found = []
    for match in re.finditer(rf"(?<![\w-])(?:{names})(?![\w-])", sentence):
        if match.start() > lead or match[0] not in slugs or " " in match[0]:
            found.append(slugs[" ".join(match[0].split())][1])
    return found


@lru_cache(maxsize=4)
def _index_names(bikes: tuple[tuple[str, str, str], ...]) -> Mapping[str, tuple[str, str]]:
    """First word and slug by a bike's name, with its maker and without."""
    slugs: dict[str, tuple[str, str]] = {}
    for slug, maker, name in bikes:
        for full in (f"{maker} {name}", *([name] if len(name) >= 4 and name[0].isupper() else ())):
            first = _NAME_WORD.search(full)
            slugs.setdefault(full, (first[0] if first else "", slug))
    return slugs


def _format_condition(found: re.Match[str], slug: str, table: "FiguresTable", route: str) -> str:
    """The condition that would test a superlative."""
    bike = f'"{slug}"' if slug else '"bike"'
    if found["only"] or found["other"]:
        return f'only({bike}, {{"use": "…"}})'
    if found["none"]:
        return 'number_of({"mass": "…"}) == 0'
    word = found["word"] or found["noun"] or found["far"] or f"{found['verb']} {found['much']}"
    word = " ".join(re.split(r"[ \n-]", word.lower())).replace("furthest", "farthest")
    noun = found[0].split()[-1].lower()
    measure = MEASURES.get(word) or MEASURES.get(f"{word} {noun}")
    way, figure = measure or ("least" if word == "lowest" else "most", "range.")
    if figure == "range.":
        figure += route
    figure = figure if figure in table.kinds else next(iter(table.kinds), "figure.id")
    return f'{way}({bike}, "{figure}")'
