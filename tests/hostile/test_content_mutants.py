"""Spoiled files of the content folder: settings, riders, routes, tracks, texts, lists, prices, links, records, schemas.

Each goes through the readers and the checks of `vet`; what they accept goes on to the prose renderer or to figures.
"""

import math
import random
from dataclasses import replace
from pathlib import Path

import pytest
from markupsafe import Markup

from generator.content.model import Content
from generator.content.money.checks import find_money_problems
from generator.content.read import read_content
from generator.content.texts.guide_checks import find_old_guides
from generator.figures.table.tabulate import tabulate
from generator.pages.prose.render import render_text
from generator.specs.checks.freshness import ReferenceDay
from generator.specs.problems import Problem
from tests.figures import demo
from tests.hostile.audit import harm
from tests.hostile.contents import FILES, SOUND, write
from tests.hostile.contract import broken_promises, work
from tests.hostile.mutate import mutant
from tests.hostile.numbers import numbers

EACH = 100
TEXTS = ("guides", "pages", "glossary", "lists", "changelog")
RIDDEN = ("riders", "routes", "profiles", "tracks")
MOST_RIDDEN = 8
STEPS, STEPS_OF_A_BYTE = 1_500_000, 300
"""Calls that reading the folder may cost; a sound one takes 100,000, and a byte of the dearest kind 60."""


def vetted(root: Path) -> tuple[Content | None, list[Problem]]:
    """What `vet` says of the content folder before anything is worked out."""
    content, problems = read_content(root)
    if content is not None:
        day = (
            ReferenceDay(content.settings.updated, exact=True) if content.settings.updated else None
        )
        problems = [
            *problems,
            *find_money_problems(demo.bikes(), content, day),
            *find_old_guides(content, day),
        ]
    return content, problems


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return write(tmp_path)


def test_the_folder_is_sound(root: Path) -> None:
    content, problems = vetted(root)
    assert content is not None
    assert [problem for problem in problems if problem.severity == "error"] == []
    assert {name for names in SOUND.values() for name in names} == set(FILES)
    assert EACH >= 100


@pytest.mark.parametrize("kind", SOUND)
def test_content_or_problems(kind: str, root: Path) -> None:
    """Errors or a content, never both nor neither; problems name files that are there; what is accepted is shown."""
    others = [FILES[name] for name in SOUND[kind]]
    vetted(root)  # loads what is loaded once
    broken: list[str] = []
    accepted, tried = [], 0

    for case in range(EACH):
        dice = random.Random(f"content {kind} {case}")
        name = dice.choice(SOUND[kind])
        raw, names = mutant(FILES[name], dice, others)
        (root / "content" / name).write_bytes(raw)

        (content, problems), calls = work(lambda: vetted(root))

        (root / "content" / name).write_bytes(FILES[name])
        tried += 1
        files = {f"content/{path}": text for path, text in FILES.items()} | {f"content/{name}": raw}
        faults = list(broken_promises(problems, files))
        errors = [problem for problem in problems if problem.severity == "error"]
        if content is None and not errors:
            faults.append("nothing was read, and nothing is said")
        if calls > STEPS + STEPS_OF_A_BYTE * len(raw):
            faults.append(f"{calls} calls for {len(raw)} bytes")
        if content is not None:
            accepted.append(content)
            faults += shown(content, name, raw) if kind in TEXTS else ()
        broken += [f"{kind} {case} {names}: {fault}" for fault in faults]

    assert broken == []
    assert tried == EACH
    assert 0 < len(accepted) < EACH
    if kind in RIDDEN:
        ridden(accepted)


def shown(content: Content, name: str, raw: bytes) -> list[str]:
    """Faults of a text's page: of its problems, and of its HTML."""
    text = next(each for each in content.texts if each.file == f"content/{name}")
    html, problems = render_text(
        text,
        demo.table(),
        content,
        depth=1,
        draw=lambda *about: Markup("<p>a chart</p>"),
    )
    faults = list(broken_promises(problems, {text.file: raw}))
    return faults + harm("text.html", html.encode())


def ridden(accepted: list[Content]) -> None:
    """Figures with the riders and routes of some contents that say something new: all finite."""
    told: set[str] = set()
    for content in accepted:
        said = repr((content.riders, content.routes))
        if said in told or len(told) >= MOST_RIDDEN:
            continue
        told.add(said)
        bike = replace(demo.bike("pellimor-fenno"), rides=())
        table = tabulate([bike], content)
        made = (table.figures, table.claims, table.effects, table.grid())
        wild = [
            f"{path} {number}"
            for each in made
            for path, number in numbers(each)
            if not math.isfinite(number)
        ]
        assert wild == [], said[:2000]
        assert table.figures_of(bike.slug)
    assert len(told) > 1
