"""What changed in the content: settings, riders and routes key by key, and texts as wholes."""

from collections.abc import Iterator

from generator.content.model import Content, Route
from generator.publish.impact.model import KeyChange
from generator.publish.impact.sides import State
from generator.publish.impact.spec_keys import key_changes
from generator.publish.impact.why import ContentCause

FILES = ("content/site.yaml", "content/riders.yaml", "content/routes/routes.yaml")


def content_changes(before: State, after: State) -> tuple[KeyChange, ...]:
    """Of the settings files by key; of the routes' profiles and of the texts by file."""
    found: list[KeyChange] = []
    for file in FILES:
        found += key_changes(
            before.place.folder / file,
            after.place.folder / file,
            old_root=before.place.folder,
            new_root=after.place.folder,
            file=file,
        )
    if before.content and after.content:
        found += _profiles(before.content, after.content)
        found += _texts(before.content, after.content)
    return tuple(found)


def _profiles(old: Content, new: Content) -> Iterator[KeyChange]:
    earlier = {route.id: route for route in old.routes}
    for route in new.routes:
        was = earlier.get(route.id)
        if was and _profile(was) != _profile(route):
            yield KeyChange(
                "content/routes/routes.yaml",
                f"routes.{route.id}.profile",
                _in_words(was),
                _in_words(route),
                0,
            )


def _profile(route: Route) -> tuple[object, ...]:
    return route.distance, route.elevation, route.surface, route.stops


def _in_words(route: Route) -> str:
    steps = zip(route.elevation, route.elevation[1:], strict=False)
    climb = sum(max(upper - lower, 0.0) for lower, upper in steps)
    length = route.distance[-1] - route.distance[0] if route.distance else 0.0
    return (
        f"{length / 1000:.2f} km, {climb:.0f} m up, {len(route.stops)} stops, "
        f"{len(route.distance)} points"
    )


def _texts(old: Content, new: Content) -> Iterator[KeyChange]:
    before, after = _by_file(old), _by_file(new)
    for file in sorted(before.keys() | after.keys()):
        if before.get(file) != after.get(file):
            said = "there" if file in before else ""
            says = ("changed" if file in before else "there") if file in after else ""
            yield KeyChange(file, "text", said, says, 0)


def _by_file(content: Content) -> dict[str, object]:
    texts = [*content.guides, *content.terms, *content.pages]
    if content.changelog:
        texts.append(content.changelog)
    return {text.file: text for text in texts}


def content_causes(
    old: Content, new: Content, changes: tuple[KeyChange, ...]
) -> tuple[ContentCause, ...]:
    """Riders, routes and prices that differ, in the words of `changes`."""
    found = []
    for kind, entries in (
        ("rider", (*old.riders, *new.riders)),
        ("route", (*old.routes, *new.routes)),
    ):
        for id in dict.fromkeys(entry.id for entry in entries):
            begin = f"{kind}s.{id}."
            words = tuple(str(change) for change in changes if change.key.startswith(begin))
            names = frozenset(entry.name for entry in entries if entry.id == id)
            if words:
                found.append(
                    ContentCause("rider" if kind == "rider" else "route", id, names, words)
                )
    money = tuple(
        str(change) for change in changes if change.key in ("electricity_price", "currency")
    )
    if money:
        found.append(ContentCause("money", "", frozenset(), money))
    return tuple(found)
