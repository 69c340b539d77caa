"""A running list as its file states it; `figures` works out which bikes are on it."""

from collections.abc import Iterator

from generator.content.model import RunningList
from generator.content.texts.front_matter import MarkdownParts
from generator.specs.yaml.located import Keys, LocatedMapping


def make_running_list(slug: str, parts: MarkdownParts) -> RunningList:
    """The running list of a file whose front matter has passed its schema."""
    head = parts.head.value
    return RunningList(
        slug=slug,
        file=parts.head.file,
        title=head["title"].strip(),
        summary=head["summary"].strip(),
        body=parts.body,
        body_line=parts.body_line,
        order=head.get("place", 0),
        where=tuple(head["where"].items()),
        order_by=head.get("order_by", "spec.price"),
        ascending=head.get("order", "ascending") == "ascending",
        show=tuple(head["show"]),
        lines=tuple(_locate_names(parts.head)),
    )


def _locate_names(head: LocatedMapping) -> Iterator[tuple[str, int, int]]:
    """Each criterion and figure that the front matter names, with its line and column."""
    places: list[tuple[str, Keys]] = [
        *((f"where.{key}", ("where", key)) for key in head.value["where"]),
        ("order_by", ("order_by",)),
        *((f"show.{id}", ("show", number)) for number, id in enumerate(head.value["show"])),
    ]
    for name, keys in places:
        yield name, *(head.where_key(keys) if name.startswith("where.") else head.where(keys))
