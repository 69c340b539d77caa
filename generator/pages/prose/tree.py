"""The last pass over a text's HTML: marks become figures, words become links to the glossary.

The cleaned HTML is parsed and written again element by element: a mark within an attribute or
within code becomes plain text, never elements.
"""

import re
from collections.abc import Callable, Sequence
from functools import lru_cache
from html import escape
from html.parser import HTMLParser

from generator.content.model import Term
from generator.pages.prose.functions import MARK, RenderedWord, TextVocabulary
from generator.pages.prose.language import TextFault
from generator.pages.prose.markdown_html import is_external

_VOID = frozenset({"br", "hr", "img"})
_NO_TERMS = frozenset(
    {
        "h1",
        "h2",
        "h3",
        "h4",
        "h5",
        "h6",
        "a",
        "code",
        "pre",
        "table",
        "kbd",
        "samp",
        "abbr",
        "summary",
    }
)
_PLAIN = frozenset({"code", "pre", "kbd", "samp"})
_NO_BLOCK = frozenset({"p", "table", "h1", "h2", "h3", "h4", "h5", "h6", "a", "em", "strong", "dt"})
_ALONE = re.compile(r"<p>\s*(\ue000\d{1,6}\ue001)\s*</p>")


def insert_pieces(
    html: str, words: TextVocabulary, *, terms: Sequence[Term] = (), without: str = ""
) -> str:
    """HTML with every mark replaced and the first use of each term linked.

    `terms` are linked wherever their names occur; `without` is the slug of the page's own term.
    Faults go to `words.faults`.
    """
    html = _ALONE.sub(lambda mark: mark[1] if _is_block(mark[1], words.pieces) else mark[0], html)
    used = {without, *(piece.term for piece in words.pieces)}  # a link set by hand is enough
    tree = _HtmlRewriter(words, _make_finder(tuple(terms)), used)
    tree.feed(html)
    tree.close()
    return "".join(tree.out)


def replace_marks(text: str, pieces: Sequence[RenderedWord]) -> str:
    """Text with every mark replaced by its plain text."""

    def read_plain(mark: re.Match[str]) -> str:
        index = int(mark[1])
        return pieces[index].plain if index < len(pieces) else ""

    return MARK.sub(read_plain, text)


class _HtmlRewriter(HTMLParser):
    def __init__(
        self, words: TextVocabulary, finder: Callable[[str], "_Matches"], used: set[str]
    ) -> None:
        super().__init__(convert_charrefs=True)
        self.words, self.finder, self.used = words, finder, used
        self.out: list[str] = []
        self.open: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        pieces = self.words.pieces
        if tag == "h1":  # the page's title is its only first heading
            tag = "h2"
        written = []
        for name, value in attrs:
            if name == "href" and value and MARK.search(value):
                self._report_misplaced(
                    value,
                    "a link's address cannot be worked out",
                    "Use the word alone: it is a link",
                )
                continue
            written.append(f' {name}="{escape(replace_marks(value or "", pieces))}"')
        if tag == "a" and is_external(dict(attrs).get("href") or ""):
            written.append(' rel="nofollow noopener"')
        self.out.append(f"<{tag}{''.join(written)}>")
        if tag not in _VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        tag = "h2" if tag == "h1" else tag
        if tag in self.open:
            while self.open.pop() != tag:
                pass
        self.out.append(f"</{tag}>")

    def handle_data(self, data: str) -> None:
        """Text between elements, with its marks."""
        end = 0
        for mark in MARK.finditer(data):
            self._write_text(data[end : mark.start()])
            self._write_piece(mark)
            end = mark.end()
        self._write_text(data[end:])

    def _write_piece(self, mark: re.Match[str]) -> None:
        index = int(mark[1])
        if index >= len(self.words.pieces):
            return
        piece = self.words.pieces[index]
        if _PLAIN.intersection(self.open):
            self.out.append(escape(piece.plain, quote=False))
        elif piece.block and _NO_BLOCK.intersection(self.open):
            self._report_misplaced(
                mark[0],
                "a table, chart or diagram stands within a line",
                "Give it a paragraph of its own",
            )
        elif "a" in self.open:
            self.out.append(piece.unlinked)
        else:
            self.out.append(piece.html)

    def _write_text(self, text: str) -> None:
        if _NO_TERMS.intersection(self.open):
            self.out.append(escape(text, quote=False))
            return
        end = 0
        for match, slug in self.finder(text):
            if slug in self.used:
                continue
            self.used.add(slug)
            self.out.append(escape(text[end : match.start()], quote=False))
            self.out.append(self.words.render_term_link(slug, match[0]))
            end = match.end()
        self.out.append(escape(text[end:], quote=False))

    def _report_misplaced(self, text: str, what: str, mend: str) -> None:
        for mark in MARK.finditer(text):
            if int(mark[1]) < len(self.words.pieces):
                line = self.words.pieces[int(mark[1])].line
                self.words.faults.append(TextFault(line, what, mend))


_Matches = list[tuple[re.Match[str], str]]


@lru_cache(maxsize=4)
def _make_finder(terms: tuple[Term, ...]) -> Callable[[str], _Matches]:
    """A function that finds terms by title or alias: whole words, any case, the longest first."""
    slugs: dict[str, str] = {}
    for term in terms:
        for name in (term.title, *term.aliases):
            slugs.setdefault(" ".join(name.lower().split()), term.slug)
    slugs.pop("", None)
    if not slugs:
        return lambda text: []
    longest_first = sorted(slugs, key=lambda name: (-len(name), name))
    names = "|".join(r"\s+".join(map(re.escape, name.split())) for name in longest_first)
    pattern = re.compile(rf"(?<![\w-])(?:{names})(?![\w-])", re.IGNORECASE)

    def find_matches(text: str) -> _Matches:
        matches = ((match, " ".join(match[0].lower().split())) for match in pattern.finditer(text))
        return [(match, slugs[name]) for match, name in matches if name in slugs]

    return find_matches


def _is_block(mark: str, pieces: Sequence[RenderedWord]) -> bool:
    found = MARK.fullmatch(mark)
    return found is not None and int(found[1]) < len(pieces) and pieces[int(found[1])].block
