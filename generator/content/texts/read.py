"""Reads guides, pages, glossary terms, running lists and the changelog: Markdown files with front matter."""

from collections.abc import Iterator
from difflib import get_close_matches
from pathlib import Path

from generator.content.files import LARGEST_TEXT, list_files, read_text
from generator.content.model import RunningList, Term, Text
from generator.content.records import check_mapping, read_date, tidy_texts
from generator.content.texts.chapters import read_chapters
from generator.content.texts.front_matter import MarkdownParts, split_markdown
from generator.content.texts.running_lists import make_running_list
from generator.specs.problems import Problem
from generator.specs.yaml.files import format_path
from generator.specs.yaml.located import LocatedMapping


class TextReader:
    """Reads the texts of a publication and collects their problems."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self.problems: list[Problem] = []

    def read_texts(self, folder: str, schema: str) -> tuple[Text, ...]:
        """The texts of one folder, by order and then by title."""
        found = [self._read_text(path, schema) for path in self._list_folder(folder)]
        return tuple(sorted(filter(None, found), key=lambda text: (text.order, text.title)))

    def read_terms(self) -> tuple[Term, ...]:
        """The glossary terms, by title; links between terms and repeated names are checked."""
        found: list[tuple[Term, LocatedMapping]] = []
        paths = self._list_folder("glossary")
        for path in paths:
            parts = self._read_parts(path, "term")
            if parts:
                found.append((self._make_term(path, parts), parts.head))
        slugs = sorted(path.stem for path in paths)
        for term, head in found:
            self.problems += _check_related_terms(term, head, slugs)
        self.problems += _find_repeated_names(found)
        return tuple(
            sorted((term for term, _ in found), key=lambda term: (term.title.lower(), term.slug))
        )

    def read_lists(self) -> tuple[RunningList, ...]:
        """The running lists, by order and then by title."""
        found = []
        for path in self._list_folder("lists"):
            parts = self._read_parts(path, "list")
            if parts:
                found.append(make_running_list(path.stem, parts))
        return tuple(sorted(found, key=lambda one: (one.order, one.title)))

    def read_changelog(self) -> Text | None:
        """The text of `content/changelog.md`, if there is one."""
        path = self.root / "content" / "changelog.md"
        there = path.exists() or path.is_symlink()
        return self._read_text(path, "page") if there else None

    def _list_folder(self, folder: str) -> list[Path]:
        paths, problems = list_files(self.root / "content" / folder, self.root, ".md")
        self.problems += problems
        return paths

    def _read_parts(self, path: Path, schema: str) -> MarkdownParts | None:
        """A file's front matter and body; None when its front matter is wrong."""
        text, _, problems = read_text(path, self.root, LARGEST_TEXT)
        parts = None
        if text is not None:
            parts, more = split_markdown(text, format_path(path, self.root))
            problems += more
            if parts:
                problems += check_mapping(parts.head, self.root, schema)
        self.problems += problems
        return None if problems else parts

    def _read_text(self, path: Path, schema: str) -> Text | None:
        parts = self._read_parts(path, schema)
        if parts is None:
            return None
        head = parts.head.value
        chapters, problems = read_chapters(parts.head, parts.body)
        self.problems += problems
        return Text(
            slug=path.stem,
            file=parts.head.file,
            title=head["title"].strip(),
            summary=head["summary"].strip(),
            body=parts.body,
            body_line=parts.body_line,
            order=head.get("order", 0),
            checked=read_date(head["checked"]) if "checked" in head else None,
            chapters=chapters,
            checked_line=parts.head.where(("checked",))[0] if "checked" in head else 0,
        )

    def _make_term(self, path: Path, parts: MarkdownParts) -> Term:
        head = parts.head.value
        return Term(
            slug=path.stem,
            file=parts.head.file,
            title=head["title"].strip(),
            summary=head["summary"].strip(),
            body=parts.body,
            body_line=parts.body_line,
            order=head.get("order", 0),
            checked=read_date(head["checked"]) if "checked" in head else None,
            unit=head.get("unit", ""),
            see=tidy_texts(head.get("see", ())),
            aliases=tidy_texts(head.get("aliases", ())),
            group=head["group"],
            link=head.get("link", True),
            figures=tuple(head.get("figures", ())),
            inputs=tuple(head.get("inputs", ())),
            bike=head.get("bike", ""),
            lines=tuple(_locate_names(parts.head)),
        )


def _locate_names(head: LocatedMapping) -> Iterator[tuple[str, int]]:
    """Each figure, input and bike that the front matter names, with its line; pages check them."""
    for key in ("figures", "inputs"):
        for index, name in enumerate(head.value.get(key, ())):
            yield name, head.where((key, index))[0]
    if "bike" in head.value:
        yield head.value["bike"], head.where(("bike",))[0]


def _check_related_terms(term: Term, head: LocatedMapping, slugs: list[str]) -> list[Problem]:
    """A problem for each `see` that names no other term."""
    problems = []
    for index, slug in enumerate(term.see):
        if slug == term.slug:
            what, mend = "the term refers to itself", "Name another, or delete it"
        elif slug not in slugs:
            close = get_close_matches(slug, slugs, n=1)
            what = f"there is no term {slug!r} in content/glossary"
            mend = f"Did you mean {close[0]!r}" if close else "Write the term, or delete the name"
        else:
            continue
        problems.append(head.make_problem(("see", index), what, mend))
    return problems


def _find_repeated_names(found: list[tuple[Term, LocatedMapping]]) -> list[Problem]:
    """A problem for each title or alias that another term already has."""
    owners: dict[str, Term] = {}
    problems = []
    for term, head in found:
        names = [
            (term.title, ("title",)),
            *((each, ("aliases", n)) for n, each in enumerate(term.aliases)),
        ]
        for name, keys in names:
            owner = owners.setdefault(" ".join(name.casefold().split()), term)
            if owner is not term or (
                keys != ("title",) and name.casefold() == term.title.casefold()
            ):
                what = f"{name!r} is a name of the term {owner.slug!r} already"
                problems.append(head.make_problem(keys, what, "Keep it at one of them"))
    return problems
