"""Helpers for tests of tested sentences: texts rendered with the demo's figures."""

from dataclasses import replace

from markupsafe import Markup

from generator.content.model import Content
from generator.pages.prose import render as prose_render
from generator.specs.problems import Problem
from tests.figures import demo
from tests.pages.prose.prose_example import text

LIGHTEST = 'least("ivorrel-siskol", "spec.mass")'
HEAVIEST = 'most("ivorrel-siskol", "mass")'
UNKNOWN = 'least("gromblo-drusk", "mass")'
NO_RECORDS = replace(demo.content(), releases=())


def rendered(body: str, content: Content = NO_RECORDS) -> tuple[str, list[Problem]]:
    html, problems = prose_render.render_text(
        text(body),
        demo.table(),
        content,
        depth=2,
        link_terms=False,
        draw=lambda bike, name, heading: Markup("-"),
        root=demo.ROOT,
    )
    return html, [
        replace(each, what=each.what.replace("\u00a0", " "), mend=each.mend.replace("\u00a0", " "))
        for each in problems
    ]


def html_of(body: str) -> str:
    html, problems = rendered(body, leaving_out())
    assert not [problem for problem in problems if problem.severity == "error"]
    return html


def leaving_out(content: Content = NO_RECORDS) -> Content:
    return replace(content, settings=replace(content.settings, untrue_sentences="leave out"))


def block(condition: str, sentence: str) -> str:
    return f"{{% holds {condition} %}}{sentence}{{% endholds %}}"
