"""The talk with whoever sketches a bike on a terminal.

* asking        a function that asks one question until the answer will do
* refused       problems with options as lines
* next_steps    what to do with the file
"""

import re
from collections.abc import Iterator, Sequence
from pathlib import Path

import click

from generator.publish.sketch.questions import Ask, Question, hints, matched
from generator.specs.problems import Problem, ProblemsFound
from generator.specs.read import FOLDER, own_schema


def asking(root: Path) -> Ask:
    """Questions on the terminal, with what the schema says about each."""
    schema = own_schema(root)[0] or {}

    def ask(question: Question) -> str:
        for line in hints(question, schema):
            click.echo(click.wrap_text(line, 88))
        words: str = click.prompt(
            f"{question.words} ({question.option})",
            default=question.default or None,
            value_proc=lambda answer: _accepted(answer, question),
        )
        click.echo()
        return words

    return ask


def _accepted(answer: str, question: Question) -> str:
    """The answer, if it will do; else click asks once more. A choice may be given by its beginning."""
    answer = " ".join(answer.split())
    if not question.choices:
        return answer
    parts = answer.split(",") if question.several else [answer]
    whole = ",".join(_begun(part.strip(), question) for part in parts)
    try:
        matched(whole, question)
    except ProblemsFound as found:
        raise click.UsageError(found.problems[0].sentences) from None
    return whole


def _begun(part: str, question: Question) -> str:
    """The only choice that begins so, or the words as they are."""
    fits = [choice for choice in question.choices if choice.startswith(part.casefold())]
    return fits[0] if part and len(fits) == 1 else part


def refused(problems: Sequence[Problem]) -> Iterator[str]:
    """One line for each problem; an option has no line and column."""
    for problem in problems:
        option = problem.file.startswith("--")
        yield f"{problem.file}: {problem.sentences}" if option else str(problem)


def next_steps(root: Path, slug: str) -> Iterator[str]:
    """Which file was written, and what comes next."""
    file = f"{FOLDER}/{slug}.yaml"
    text = (root / file).read_text("utf-8")
    blanks = len(re.findall(r"^ *#\S", text, re.MULTILINE))
    elsewhere = "" if root == Path() else f" --root {root}"
    yield f"Wrote {root / file}, with {blanks} lines to fill in."
    yield "Take the # at the beginning of a line away, and write its value with the unit as printed."
    yield f"Then: python -m generator vet {root / file}{elsewhere}"
