"""Small texts that ask for much: time, memory, pages. Each ends with a problem that has file and line, soon.

CWE-400 (uncontrolled resource consumption), CWE-776 (entity expansion), CWE-1336 (template engine), CWE-1333 (regular
expression). The forms of template attacks are those of Jinja's documentation, "Sandbox", and of public write-ups (from
memory).
"""

import time
from typing import Any

import pytest

from generator.pages.prose.render import render_text
from generator.specs.yaml.files import parse_mapping
from tests.hostile.guarded import guarded
from tests.pages.prose.prose_example import TABLE, content, text

TABLES = f"{{{{ table({['pellimor-fenno'] * 60}, {['spec.mass'] * 12}) }}}}"
ESCAPES = {
    "class": "{{ figure.__class__.__mro__ }}",
    "class of text": "{{ ''.__class__ }}",
    "attr filter": "{{ ''|attr('__class__') }}",
    "attr in pieces": "{{ ''|attr('__cla' ~ 'ss__') }}",
    "subscript": "{{ ''['__class__'] }}",
    "format": '{{ "{0.__class__}".format(1) }}',
    "format map": '{{ "{x.__class__}".format_map({"x": 1}) }}',
    "percent": '{{ "%s" % figure }}',
    "cycler": "{{ cycler.__init__.__globals__ }}",
    "joiner": "{{ joiner.__init__.__globals__.os.popen('id') }}",
    "namespace": "{{ namespace(a=1).a }}",
    "lipsum": "{{ lipsum.__globals__['os'] }}",
    "self": "{{ self.__init__ }}",
    "context": "{{ context.parent }}",
    "config": "{{ config.items() }}",
    "request": "{{ request.application }}",
    "g": "{{ get_flashed_messages.__globals__ }}",
    "loop": "{% for a in [1] %}{{ loop.__init__.__globals__ }}{% endfor %}",
    "loop call": "{% for a in [1] recursive %}{{ loop([1]) }}{% endfor %}",
    "range": "{{ range.func.__globals__ }}",
    "set": "{% set a = figure.__class__ %}",
    "with": "{% with a = figure.__class__ %}{% endwith %}",
    "import": "{% from 'x' import y with context %}",
    "debug": "{% debug %}",
    "map": "{{ ['a']|map(attribute='__class__')|list }}",
    "slice": "{{ 'abc'[::-1] }}",
    "star": "{{ figure(*['a']*99999999) }}",
    "hidden": "{{ opened_(0, 1, line_=1) }}",
}
BOMBS = {
    "power": "{{ 9**9**9 }}",
    "times": '{{ "a" * 10**9 }}',
    "list times": "{{ [0] * 10**9 }}",
    "long number": "{{ " + "9" * 200_000 + " }}",
    "long range": "{{ range(" + "9" * 4000 + ") }}",
    "center": "{{ 'a'|center(10**9) }}",
    "indent": "{{ 'a'|indent(10**9) }}",
    "format width": "{{ '%1000000000d'|format(1) }}",
    "wordwrap": "{{ ('a' * 99999)|wordwrap(1) }}",
    "urlize": "{{ ('http://' * 9999)|urlize }}",
    "striptags": "{{ ('<' * 99999)|striptags }}",
    "batch": "{{ range(9)|batch(10**9, 0)|list }}",
    "join": "{{ range(10**9)|join }}",
    "lipsum": "{{ lipsum(n=10**6) }}",
    "macro": "{% macro m() %}{{ m() }}{{ m() }}{% endmacro %}{{ m() }}",
    "caller": "{% call(x) figure() %}{{ caller() }}{% endcall %}",
    "include": "{% include 'guides/a-guide.md' %}",
    "extends": "{% extends 'a-guide.md' %}",
    "nested list": "{{ " + "[" * 9000 + "]" * 9000 + " }}",
    "nested dict": "{{ " + "{1:" * 4000 + "1" + "}" * 4000 + " }}",
    "nested loops": "{% for a in range(99) %}" * 11 + "{% endfor %}" * 11,
    "many loops": "{% for a in range(9999) %}{% endfor %}" * 3000,
    "many ranges": "{% for a in range(9999) %}{% for b in [range(9999)] %}{% endfor %}{% endfor %}",
    "text as loop": f"{{% for a in '{'x' * 100_000}' %}}{{% endfor %}}",
    "tables": f"{{% for a in range(9000) %}}{TABLES}{{% endfor %}}",
    "captions": "{% for a in range(9000) %}{{ table(['pellimor-fenno'], ['spec.mass'], caption='"
    + "c" * 100_000
    + "') }}{% endfor %}",
    "words of a term": "{% for a in range(9000) %}{{ term('cadence', '"
    + "w" * 100_000
    + "') }}{% endfor %}",
    "wrong names": "{% for a in range(9000) %}{{ bike('" + "x" * 200_000 + "') }}{% endfor %}",
    "wrong conditions": "{% for a in range(9000) %}{% holds least('"
    + "x" * 200_000
    + "', 'mass') %}x{% endholds %}{% endfor %}",
    "terms of a list": "a\n: b\n\n" * 30_000,
    "headings": "# a\n\n" * 40_000,
    "cells": "|a" * 3000 + "\n" + "|-" * 3000 + "\n" + ("|b" * 3000 + "\n") * 30,
    "notes": "".join(f"[^{n}]: x\n\n" for n in range(20_000)),
    "brackets": "[" * 200_000,
    "stars": "*a **b " * 30_000,
    "quotes": ">" * 100_000 + "x",
}  # fmt: skip


def worked_out(body: str) -> dict[str, Any]:
    html, problems = render_text(text(body[:260_000]), TABLE, content(), depth=2)
    return {
        "html": len(html),
        "places": [[each.file, each.line] for each in problems],
        "longest": max((len(str(each)) for each in problems), default=0),
        "words": str(problems[0])[:300] if problems else "",
    }


@pytest.mark.parametrize("name", ESCAPES)
def test_no_way_out_of_the_sandbox(name: str) -> None:
    """Nothing of it is run, nothing of it is written, and the writer hears where it stands."""
    found = worked_out("First.\n\n" + ESCAPES[name])

    assert found["html"] == 0
    assert {tuple(place) for place in found["places"]} == {("content/guides/a-guide.md", 7)}
    assert " at 0x" not in found["words"]


@pytest.mark.parametrize("name", BOMBS)
def test_a_bomb_ends_in_a_problem(name: str) -> None:
    """In a process that may not take more than 20 seconds and 700 MB."""
    found = guarded(lambda: worked_out(BOMBS[name])).answer

    assert found["places"], found
    assert found["html"] < 100_000
    assert all(file == "content/guides/a-guide.md" and line >= 5 for file, line in found["places"])
    assert len(found["places"]) < 200
    assert found["longest"] < 1000


SHEETS = {
    "aliases": "a: &a [x]\n" + "".join(f"b{n}: &b{n} [{'*a, ' * 9}]\n" for n in range(3000)),
    "itself": "a: &a [*a]",
    "itself as key": "? &a {x: *a}\n: 1",
    "merge": "a: &a {b: 1}\nc:\n  <<: [*a, *a]\n",
    "flow": "a: " + "[" * 120_000,
    "flow keys": "a: " + "{a: " * 60_000,
    "sequences": "- " * 120_000,
    "questions": "? " * 120_000,
    "indent": "\n".join(" " * n + "a:" for n in range(700)),
    "keys": "".join(f"k{n}: 1\n" for n in range(25_000)),
    "one key": "a: 1\n" * 50_000,
    "digits": "a: " + "9" * 250_000,
    "exponent": "a: 1e" + "9" * 4000,
    "fold": "a: >\n" + "  x\n" * 60_000,
    "escapes": 'a: "' + "\\U0010ffff" * 25_000 + '"',
    "anchors": "".join(f"k{n}: &a{n} 1\n" for n in range(20_000)),
    "tags": "".join(f"k{n}: !!python/name:os.system x\n" for n in range(6000)),
    "documents": "---\n" * 60_000,
    "directives": "%TAG ! tag:x:\n" * 18_000 + "---\na: 1\n",
    "comments": "#" * 250_000 + "\n-",
    "key of a megabyte": '"' + "k" * 250_000 + '": 1\n"' + "k" * 2 + '": [}',
}


@pytest.mark.parametrize("name", SHEETS)
def test_a_sheet_that_asks_for_much(name: str) -> None:
    def parsed() -> dict[str, Any]:
        marked, problems = parse_mapping(SHEETS[name], "bikes/a.yaml")
        return {"value": marked is not None, "lines": [each.line for each in problems]}

    spent = guarded(parsed)

    assert spent.answer["lines"] or (spent.answer["value"] and name in ("fold", "escapes"))
    assert all(line >= 1 for line in spent.answer["lines"])


def test_the_guard_is_awake() -> None:
    """What takes too much memory, too long or goes wrong fails a test."""
    for bomb in (lambda: bytearray(2 << 30), lambda: 1 / 0):
        with pytest.raises(AssertionError, match="Error"):
            guarded(bomb)
    with pytest.raises(AssertionError, match="took too long"):
        guarded(lambda: time.sleep(60), seconds=1)
