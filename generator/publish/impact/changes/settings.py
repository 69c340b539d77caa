"""Compares the content of two states: settings, riders and routes by key, texts as wholes."""

from collections.abc import Iterator

from generator.content.model import Content, Route
from generator.publish.impact.changes.spec_keys import compare_files
from generator.publish.impact.changes.why import ContentCause
from generator.publish.impact.model import KeyChange
from generator.publish.impact.states.sides import PublicationState

SETTINGS_FILES = ("content/site.yaml", "content/riders.yaml", "content/routes/routes.yaml")


def compare_content(before: PublicationState, after: PublicationState) -> tuple[KeyChange, ...]:
    """Changed keys of the settings files, changed profiles of routes, and changed texts."""
    found: list[KeyChange] = []
    for file in SETTINGS_FILES:
        found += compare_files(
            before.location.folder / file,
            after.location.folder / file,
            old_root=before.location.folder,
            new_root=after.location.folder,
            file=file,
        )
    if before.content and after.content:
        found += _compare_profiles(before.content, after.content)
        found += _compare_texts(before.content, after.content)
    return tuple(found)


def _compare_profiles(old: Content, new: Content) -> Iterator[KeyChange]:
    """One change for each route whose profile differs."""
    earlier = {route.id: route for route in old.routes}
    for route in new.routes:
        was = earlier.get(route.id)
        if was and _extract_profile(was) != _extract_profile(route):
            yield KeyChange(
                "content/routes/routes.yaml",
                f"routes.{route.id}.profile",
                _describe_route(was),
                _describe_route(route),
                0,
            )


def _extract_profile(route: Route) -> tuple[object, ...]:
    """All of a route that figures depend on."""
    return route.distance, route.elevation, route.surface, route.stops


def _describe_route(route: Route) -> str:
    """Such as `12.40 km, 180 m up, 14 stops, 63 points`."""
    steps = zip(route.elevation, route.elevation[1:], strict=False)
    climb = sum(max(upper - lower, 0.0) for lower, upper in steps)
    length = route.distance[-1] - route.distance[0] if route.distance else 0.0
    return (
        f"{length / 1000:.2f} km, {climb:.0f} m up, {len(route.stops)} stops, "
        f"{len(route.distance)} points"
    )


def _compare_texts(old: Content, new: Content) -> Iterator[KeyChange]:
    """One change for each text that was added, removed or changed."""
    before, after = _index_texts(old), _index_texts(new)
    for file in sorted(before.keys() | after.keys()):
        if before.get(file) != after.get(file):
            said = "there" if file in before else ""
            says = ("changed" if file in before else "there") if file in after else ""
            yield KeyChange(file, "text", said, says, 0)


def _index_texts(content: Content) -> dict[str, object]:
    """Guides, terms, pages and the changelog by file."""
    texts = [*content.guides, *content.terms, *content.pages]
    if content.changelog:
        texts.append(content.changelog)
    return {text.file: text for text in texts}


def find_content_causes(
    old: Content, new: Content, changes: tuple[KeyChange, ...]
) -> tuple[ContentCause, ...]:
    """Riders, routes and prices that differ, described by the matching `changes`."""
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
