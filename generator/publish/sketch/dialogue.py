"""What `sketch` asks and prints on a terminal.

* make_asker              makes the function that asks a question until the answer is valid
* format_option_problems  problems with options as lines
* list_next_steps         what to do with the written file
"""

import re
from collections.abc import Iterator, Sequence
from pathlib import Path

import click

from generator.publish.sketch.questions import AskQuestion, Question, list_hints, match_choice
from generator.specs.problems import Problem, ProblemsFound
from generator.specs.read import FOLDER, find_bike_schema


def make_asker(root: Path) -> AskQuestion:
    """A function that asks questions on the terminal, each with the schema's description."""
    schema = find_bike_schema(root)[0] or {}

    def ask(question: Question) -> str:
        for line in list_hints(question, schema):
            click.echo(click.wrap_text(line, 88))
        words: str = click.prompt(
            f"{question.words} ({question.option})",
            default=question.default or None,
            value_proc=lambda answer: _accept_answer(answer, question),
        )
        click.echo()
        return words

    return ask


def _accept_answer(answer: str, question: Question) -> str:
    """The answer if it is valid; if not, click asks again. A choice may be abbreviated."""
    answer = " ".join(answer.split())
    if not question.choices:
        return answer
    parts = answer.split(",") if question.several else [answer]
    whole = ",".join(_complete_choice(part.strip(), question) for part in parts)
    try:
        match_choice(whole, question)
    except ProblemsFound as found:
        raise click.UsageError(found.problems[0].sentences) from None
    return whole


def _complete_choice(part: str, question: Question) -> str:
    """The choice that begins with `part` if there is exactly one, else `part` itself."""
    fits = [choice for choice in question.choices if choice.startswith(part.casefold())]
    return fits[0] if part and len(fits) == 1 else part


def format_option_problems(problems: Sequence[Problem]) -> Iterator[str]:
    """One line for each problem; an option has no line and column."""
    for problem in problems:
        option = problem.file.startswith("--")
        yield f"{problem.file}: {problem.sentences}" if option else str(problem)


def list_next_steps(root: Path, slug: str) -> Iterator[str]:
    """Lines on which file was written and what to do next."""
    file = f"{FOLDER}/{slug}.yaml"
    text = (root / file).read_text("utf-8")
    blanks = len(re.findall(r"^ *#\S", text, re.MULTILINE))
    elsewhere = "" if root == Path() else f" --root {root}"
    yield f"Wrote {root / file}, with {blanks} lines to fill in."
    yield "Take the # at the beginning of a line away, and write its value with the unit as printed."
    yield f"Then: python -m generator vet {root / file}{elsewhere}"
