"""Pages that stand behind the rest: method, data, the texts of `content/pages`, changes, not found."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from generator.figures import downloads, show
from generator.figures.assumptions import ASSUMPTIONS
from generator.figures.model import Kind
from generator.pages import jsonld, numbers, places
from generator.pages.output import Output
from generator.pages.press import Press, Sheet

_MEDIA = {"csv": "text/csv", "json": "application/json"}


@dataclass(frozen=True)
class Entry:
    """One way of working something out, and the figures that it gives."""

    anchors: list[str]
    kinds: list[Kind]


def outputs(press: Press) -> Iterator[Output]:
    yield press.printed(_method(press))
    yield from _data(press)
    for slug in sorted(press.texts):
        if slug != "method":
            yield press.printed(_plain(press, slug))
    if press.content.changelog:
        yield press.printed(_changelog(press))
    yield press.printed(
        Sheet(
            path=places.NOT_FOUND,
            template="not_found.html",
            title="Page not found",
            description="There is no page at this address.",
        )
    )


def _method(press: Press) -> Sheet:
    groups: dict[str, dict[tuple[str, str], list[Kind]]] = defaultdict(dict)
    for kind in press.table.kinds.values():
        groups[kind.group].setdefault((kind.words, kind.formula), []).append(kind)
    entries = {
        group: [
            Entry([numbers.anchor(kind.id).replace("fig-", "kind-", 1) for kind in kinds], kinds)
            for kinds in methods.values()
        ]
        for group, methods in groups.items()
    }
    text = press.texts.get("method")
    return Sheet(
        path=places.METHOD,
        template="method.html",
        title=text.title if text else "Method",
        description=text.summary
        if text
        else "How every figure is worked out, and from which source.",
        values={
            "body": press.prose(text, places.METHOD) if text else "",
            "groups": list(entries.items()),
            "assumptions": _assumptions(press),
            "references": press.content.references,
        },
    )


def _assumptions(press: Press) -> list[tuple[str, str, str, str]]:
    """Title, value, span and reason of everything that is assumed where a sheet is silent."""
    rows = []
    for one in ASSUMPTIONS.values():
        scale = one.unit.us if press.system == "us" else one.unit.metric
        ends = [show.quantity(end, scale) for end in (one.low, one.high)]
        span = "" if one.low == one.high else " to ".join(ends)
        rows.append((one.title, show.quantity(one.value, scale), span, one.source))
    return rows


def _data(press: Press) -> Iterator[Output]:
    path = places.DATA
    files = downloads.downloads(press.table)
    listed = [
        (
            name.rsplit("/", 1)[-1],
            _MEDIA.get(name.rsplit(".", 1)[-1], "text/plain"),
            len(data),
            name,
        )
        for name, data in files.items()
    ]
    description = (
        f"Every figure of {press.settings.title} in long form: bike, figure, value in SI units, unit, "
        "low and high end of the interval, and basis."
    )
    yield press.printed(
        Sheet(
            path=path,
            template="data.html",
            title="Data to download",
            description=description,
            data=(
                jsonld.dataset(
                    f"{press.settings.title}: figures",
                    description,
                    press.settings.licence,
                    [(media, press.address(name)) for _, media, _, name in listed],
                ),
            ),
            values={
                "files": [
                    (title, media, f"{size / 1000:.0f} kB", places.link(path, name))
                    for title, media, size, name in listed
                ]
            },
        )
    )
    for name, data in files.items():
        yield Output(name, data)


def _plain(press: Press, slug: str) -> Sheet:
    text = press.texts[slug]
    path = places.page(slug)
    return Sheet(
        path=path,
        template="text.html",
        title=text.title,
        description=text.summary,
        values={"text": text, "body": press.prose(text, path), "next": []},
    )


def _changelog(press: Press) -> Sheet:
    text = press.content.changelog
    assert text is not None
    return Sheet(
        path=places.CHANGELOG,
        template="text.html",
        title=text.title,
        description=text.summary,
        values={"text": text, "body": press.prose(text, places.CHANGELOG), "next": []},
    )
