"""What each kind of pages may see of the content, so that nothing else in it can change them.

* Excerpt    a part of the content, with a hash of all that it says
* Excerpts   those of a publication
"""

import hashlib
from dataclasses import dataclass, replace
from functools import cached_property

from generator.content.model import Content, Term, Text


@dataclass(frozen=True)
class Excerpt:
    content: Content
    told: str
    """Hash; it stays while pages that see nothing else of the content stay."""


class Excerpts:
    def __init__(self, content: Content) -> None:
        self._content = content

    @cached_property
    def of_bikes(self) -> Excerpt:
        """For pages about bikes: settings, riders and routes; of terms and of the publication's pages no more than how they
        are called."""
        content = self._content
        return self._excerpt(
            Content(
                content.settings,
                content.riders,
                content.routes,
                guides=(),
                terms=tuple(map(_named_term, content.terms)),
                pages=tuple(map(_named, content.pages)),
                references=(),
                day=content.day,
            )
        )

    @cached_property
    def of_texts(self) -> Excerpt:
        """For pages of texts, which are told of their own text: links and what was published beside."""
        content = self._content
        return self._excerpt(
            replace(self.of_bikes.content, links=content.links, releases=content.releases)
        )

    @cached_property
    def of_pages(self) -> Excerpt:
        """For the publication's pages: their texts, the changelog and what is cited beside."""
        content = self._content
        return self._excerpt(
            replace(
                self.of_texts.content,
                pages=content.pages,
                references=content.references,
                changelog=content.changelog,
            )
        )

    def _excerpt(self, content: Content) -> Excerpt:
        records = [release.digest or repr(release) for release in content.releases]
        said = repr((replace(content, releases=()), records, self._everywhere))
        return Excerpt(content, hashlib.sha256(said.encode("utf-8", "surrogatepass")).hexdigest())

    @cached_property
    def _everywhere(self) -> tuple[object, ...]:
        """What every page depends on: the sections that its foot leads to, and the links of which readers must be told."""
        content = self._content
        links = [(link.id, link.url, link.relation) for link in content.links]
        return content.sections, links


def _named(text: Text) -> Text:
    return Text(text.slug, text.file, text.title, summary="", body="", body_line=0)


def _named_term(term: Term) -> Term:
    return Term(
        **vars(_named(term)),
        aliases=term.aliases,
        link=term.link,
        figures=term.figures,
        inputs=term.inputs,
    )
