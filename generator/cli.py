"""The commands. They print and set the exit code; the floors below do the work.

Floors are imported inside the commands, so that `--help` and a quick `vet` do not wait for numpy.
"""

import json
import os
import sys
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import Any

import click

from generator.publish.build.interrupt import Interrupted, interruptible
from generator.specs.problems import Mistyped, ProblemsFound
from generator.terminal import as_ascii, failing_well, print_lines, print_version, progress, ready

root_option = click.option(
    "--root",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    default=Path(),
    help="Folder of the publication; the current folder when left out.",
)
DAY = click.DateTime(["%Y-%m-%d"])
BARE = (
    "Python was started with -OO or PYTHONOPTIMIZE=2, which takes away the descriptions that this program"
    " reads. Start it without."
)


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.option(
    "--version",
    is_flag=True,
    expose_value=False,
    is_eager=True,
    callback=print_version,
    help="Name and version.",
)
def commands() -> None:
    """Builds a comparison guide of electric bicycles from its bikes/ and content/.

    \b
    Example:
      python -m generator build
    """


@commands.command()
@root_option
@click.option(
    "--out",
    type=click.Path(file_okay=False, path_type=Path),
    help="Folder of the site; site/ in the publication when left out.",
)
def build(root: Path, out: Path | None) -> None:
    """Check everything, compute every figure, and write the site.

    The site changes in one step, and only when all went well. Names that begin with a dot stay.

    \b
    Example:
      python -m generator build --out /tmp/preview
    """
    with failing_well():
        from generator.publish.build.build import build as build_site
        from generator.publish.report import format_problems, format_summary

        with progress() as tell:
            summary = build_site(root, out, tell)
        print_lines(format_problems(summary.warnings), err=True)
        print_lines(format_summary(summary))


@commands.command()
@click.argument("files", nargs=-1, type=click.Path(path_type=Path))
@root_option
@click.option(
    "--format",
    "style",
    type=click.Choice(["text", "json", "github"]),
    default="text",
    show_default=True,
    help="Lines for people, a JSON list, or notes beside the lines of a pull request.",
)
@click.option("--strict", is_flag=True, help="Fail on warnings too, not on errors only.")
@click.option(
    "--figures",
    is_flag=True,
    help="Work the bikes' figures out, and say which values lie far from those of comparable bikes.",
)
@click.option(
    "--today",
    type=DAY,
    help="Judge old and future dates by this day; else by SOURCE_DATE_EPOCH, else by `updated`"
    " in content/site.yaml.",
)
def vet(
    files: tuple[Path, ...],
    root: Path,
    style: str,
    strict: bool,
    figures: bool,
    today: datetime | None,
) -> None:
    """Check FILES of bikes/ and content/, or all of them, without building. A folder stands for the files in it.

    A problem is one line, `file:line:column: what is wrong. what would be right.`
    Errors stop a build; warnings should be looked into; notes, given only with FILES, may stand.
    A text that names figures is checked against them only when no FILES are given.

    \b
    Example:
      python -m generator vet --figures bikes/pellimor-fenno.yaml
      python -m generator vet content/guides
    """
    with failing_well():
        from generator.publish.named_files import named_files
        from generator.publish.report import (
            format_problems,
            format_problems_as_json,
            format_problems_for_github,
        )
        from generator.publish.vet.check import check_publication
        from generator.specs.english import format_count

        files = named_files(root, files)
        problems = check_publication(
            root, files, on=today.date() if today else None, figures=figures
        )
        if style == "json":
            print_lines([as_ascii(format_problems_as_json(problems))])
        elif style == "github":
            print_lines(format_problems_for_github(problems))
        else:
            print_lines(format_problems(problems), err=True)
            if not problems:
                what = format_count(len(files), "file") if files else "Bikes and content"
                print_lines([f"{what}: no problems."])
        failing = {"error", "warning"} if strict else {"error"}
        if any(problem.severity in failing for problem in problems):
            sys.exit(1)


@commands.command()
@root_option
@click.option("--maker", help="Who makes it.")
@click.option("--name", help="Name of the bike, without its maker.")
@click.option("--year", help="Model year.")
@click.option(
    "--use", multiple=True, help="What it is for, such as city or cargo; may be repeated."
)
@click.option("--frame", help="diamond, step-through, folding, long-tail, front-box or mountain.")
@click.option("--motor", help="rear-hub, front-hub or mid.")
@click.option("--drive", help="geared or direct; geared, to be checked, when left out.")
@click.option("--sensor", help="cadence, torque or switchable.")
@click.option("--shifting", help="derailleur, hub-gear or single-speed.")
@click.option(
    "--levels",
    help="What the assist levels set. speed: each level stops helping at its own speed."
    " current or share: less current or power. ratio: multiplies your effort.",
)
@click.option("--throttle", metavar="SPEED", help="It has a throttle, up to this speed.")
@click.option("--cargo/--no-cargo", default=None, help="Lines for what racks and boxes may carry.")
@click.option(
    "--units",
    type=click.Choice(["metric", "us"]),
    help="Units of the hints; those of content/site.yaml when left out.",
)
@click.option("--mass", help='As printed, such as "26.1 kg" or "60 lb".')
@click.option("--price", help='Amount and currency, such as "1,899 USD"; wants --seen.')
@click.option("--url", help="Address of the maker's spec sheet.")
@click.option("--seen", metavar="DATE", help="Day on which you read sheet and price: 2026-10-04.")
@click.option(
    "--set",
    "more",
    metavar="KEY=VALUE",
    multiple=True,
    help='Any other value by its dotted key, such as motor.torque="60 N·m"; may be repeated.',
)
@click.option("--like", metavar="BIKE", help="Take the shape of this bike, but none of its values.")
@click.option("--slug", help="Name of the file; maker-name when left out.")
def sketch(root: Path, **options: Any) -> None:
    """Write a commented spec file for a new bike, with the lines that such a bike needs.

    What the options leave open is asked for on a terminal. A file that is there is never touched.

    \b
    Example:
      python -m generator sketch --like pellimor-fenno --maker Oskelm --name Velp --year 2026
    """
    with failing_well():
        from generator.publish.sketch.dialogue import (
            format_option_problems,
            list_next_steps,
            make_asker,
        )
        from generator.publish.sketch.questions import MissingOptionsError, Options, gather_answers
        from generator.publish.sketch.writing import write_sketch

        ask = make_asker(root) if sys.stdin.isatty() else None
        try:
            answers, slug, flags = gather_answers(root, Options(**options), ask)
            write_sketch(root, answers, slug, flags)
        except Mistyped:
            raise
        except ProblemsFound as found:
            print_lines(format_option_problems(found.problems), err=True)
            sys.exit(1)
        except MissingOptionsError as lacking:
            many = f"these options lack: {lacking}. Add them"
            raise click.UsageError(f"{many}, or start from a bike with --like.") from None
        print_lines(list_next_steps(root, slug))


@commands.command()
@click.argument("bike")
@click.argument("figure", required=False)
@root_option
@click.option(
    "--format",
    "style",
    type=click.Choice(["text", "json"]),
    default="text",
    show_default=True,
    help="A derivation to read, or JSON with values in SI.",
)
def trace(bike: str, figure: str | None, root: Path, style: str) -> None:
    """Explain one FIGURE of a BIKE: inputs, formula, numbers, source.

    Without FIGURE, lists every figure of the bike.

    \b
    Example:
      python -m generator trace pellimor-fenno range.rolling
    """
    with failing_well():
        from generator.publish.trace import (
            build_record,
            format_derivation,
            format_list,
            trace_figures,
        )

        figures = trace_figures(root, bike, figure)
        if style == "json":
            records = [build_record(found) for found in figures]
            answer: Any = records[0] if figure else records
            text = json.dumps(answer, indent=1, ensure_ascii=False, allow_nan=False)
            print_lines([as_ascii(text)])
        else:
            print_lines([format_derivation(figures[0]) if figure else format_list(figures)])


@commands.command()
@click.argument("before", required=False)
@click.argument("after", required=False)
@root_option
@click.option(
    "--format",
    "style",
    type=click.Choice(["text", "markdown", "json"]),
    default="text",
    show_default=True,
    help="Lines for people, a comment for a pull request, or JSON with values in SI.",
)
@click.option("--pages", is_flag=True, help="Render both sites, to tell which pages changed; slow.")
@click.option(
    "--fail-on",
    "threshold",
    type=click.Choice(["none", "errors", "warnings", "ranks", "figures"]),
    default="errors",
    show_default=True,
    help="End with exit code 1 on errors in AFTER, on new warnings too, on swapped ranks too, "
    "or on any figure that reads otherwise too.",
)
@click.option(
    "--record", metavar="DAY", type=DAY, help="Compare nothing; keep what is published on this day."
)
def impact(
    before: str | None, after: str | None, root: Path, record: datetime | None, **options: Any
) -> None:
    """Tell what a change does to the published guide: figures, ranks, lists, texts, pages, problems.

    BEFORE and AFTER are git revisions, or folders with bikes/ and content/; without AFTER, the files as they stand.

    \b
    Example:
      python -m generator impact main --format markdown
      python -m generator impact --record 2026-11-25
    """
    if (before is None) == (record is None):
        raise click.UsageError("Name BEFORE, or a day with --record, and not both.")
    with failing_well():
        if record is not None:
            from generator.publish.impact.record import record_release as keep

            return print_lines(keep(root, record.date()))
        from generator.publish.impact.compare import assess_impact as compare
        from generator.publish.impact.report.telling import format_report, reaches_threshold
        from generator.publish.impact.states.revisions import RevisionError

        try:
            report = compare(root, before or "", after, render=options["pages"])
        except RevisionError as error:
            raise click.UsageError(str(error), click.get_current_context()) from error
        text = format_report(report, options["style"])
        print_lines([as_ascii(text) if options["style"] == "json" else text])
        if reaches_threshold(report, options["threshold"]):
            sys.exit(1)


@commands.command()
@root_option
@click.option(
    "--port",
    type=click.IntRange(1, 65535),
    help="Port on 127.0.0.1; the first free one from 8000 on when left out.",
)
def watch(root: Path, port: int | None) -> None:
    """Show the site on this machine, and show it anew whenever a file is saved.

    A saved bike's page comes first, the rest of the site behind it. Problems stand over the page, and the
    last good site stays. The folder site/ is left as it is. Ctrl-C ends it.

    \b
    Example:
      python -m generator watch --port 8080
    """
    with failing_well():
        from generator.publish.watch.running import end_on_signal
        from generator.publish.watch.running import watch_publication as watch_site

        with end_on_signal() as ended:
            watch_site(root, port, click.echo, ended)


@commands.command()
@click.argument("what", nargs=-1, required=True)
@root_option
@click.option(
    "--out",
    type=click.Path(file_okay=False, path_type=Path),
    help="Folder of the handout; .handout/<name>/ in the publication when left out.",
)
def handout(what: tuple[str, ...], root: Path, out: Path | None) -> None:
    """Make what goes with a video or a post about WHAT: a guide, a bike, or two to four bikes to compare.

    Description with chapters, stills of charts and numbers, codes for the page, cards for links, numbers to
    say aloud; for a bike, a sheet for the test day. The folder changes in one step; open its index.html.

    \b
    Example:
      python -m generator handout pellimor-fenno
      python -m generator handout pellimor-fenno,pellimor-fenno-r --out /tmp/sides
    """
    with failing_well():
        from generator.publish.handout import make_handout as make
        from generator.publish.report import format_problems
        from generator.specs.english import format_count

        made = make(root, what, out)
        print_lines(format_problems(made.warnings), err=True)
        print_lines(
            [f"{format_count(made.files, 'file')} in {made.out}; open {made.out / 'index.html'}"]
        )


def leave() -> None:
    """End the process at once: taking a large catalogue apart, object by object, would take half a second more."""
    with suppress(OSError, ValueError):  # a reader has gone: Python's own way out knows what to say
        for stream in filter(None, (sys.stdout, sys.stderr)):  # one that is closed is None
            stream.flush()
        os._exit(0)


def main() -> None:
    """Entry point of `python -m generator`."""
    ready()
    if sys.flags.optimize > 1:
        print_lines([BARE], err=True)
        sys.exit(1)
    with interruptible():
        try:
            commands(prog_name="python -m generator", standalone_mode=False)
        except click.ClickException as error:
            error.show()
            sys.exit(2 if isinstance(error, click.UsageError) else 1)
        except (Interrupted, click.Abort) as end:  # or the input ended while `sketch` was asking
            with suppress(OSError):  # the terminal may be gone
                click.echo("Stopped.", err=True)
            sys.exit(getattr(end, "exit_code", 1))
        except BrokenPipeError:
            # The reader has gone, as with `| head`. Without this, Python would complain again when it exits.
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            sys.exit(1)
