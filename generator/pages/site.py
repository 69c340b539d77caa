"""Renders the whole site from figures and texts. The jobs of a new kind of page are added here.

* render_site   yields every file of the site
"""

from collections.abc import Callable, Iterable, Iterator

from generator.pages import home, law, prices, search
from generator.pages.bike import page as bike_page
from generator.pages.choose import page as choose_page
from generator.pages.compare import page as compare_page
from generator.pages.compare.pairs import BikePairs
from generator.pages.contribute import page as contribute_page
from generator.pages.downloads import chart_data, crawler_files
from generator.pages.feed import changes, site_feed
from generator.pages.frame import assets, policy
from generator.pages.frame.jobs import Job, JobResult, RunJobs, run_here
from generator.pages.frame.output import Output, PageSummary, UnchangedFile
from generator.pages.frame.renderer import Renderer
from generator.pages.guides import pages as guide_pages
from generator.pages.lists import bike_lists, running_lists
from generator.pages.pictures import link_pictures
from generator.pages.reference import claims, report_card
from generator.pages.reference import pages as reference_pages
from generator.specs.problems import Problem, ProblemsFound

ONE_OF_A_KIND = (report_card, changes, site_feed, contribute_page, search, home)
"""Modules whose `outputs` makes a single page."""


def render_site(
    renderer: Renderer,
    run: RunJobs | None = None,
    warn: Callable[[Problem], None] = lambda problem: None,
) -> Iterator[Output | UnchangedFile]:
    """Yield every file of the site.

    Parameters
    ----------
    renderer : Renderer
    run : callable, optional
        Runs jobs, perhaps in several processes; it may skip jobs whose files exist already. It should start jobs in the
        order given.
    warn : callable, optional
        Called at the end with every warning about a text.

    Raises
    ------
    ProblemsFound
        After the last file, with every error in the texts of the publication.
    """
    run = run or run_here(renderer)
    pages: list[PageSummary] = []
    problems: set[Problem] = set()

    def collect(results: Iterable[JobResult]) -> Iterator[Output | UnchangedFile]:
        for result in results:
            pages.extend(result.pages)
            problems.update(result.problems)
            yield from result.outputs

    guides = run(list(guide_pages.plan_guides(renderer)))
    others = run(list(_plan_others(renderer)))
    yield from collect(guides)
    yield from collect(run(list(guide_pages.plan_glossary(renderer, pages))))
    yield from collect(others)
    yield from search.outputs_of_index(renderer, pages)
    yield from crawler_files.outputs(renderer, pages)
    yield from policy.outputs()
    yield from assets.outputs(renderer.root)
    for problem in sorted(problems):
        if problem.severity == "warning":
            warn(problem)
    if errors := sorted(each for each in problems if each.severity == "error"):
        raise ProblemsFound(errors)


def _plan_others(renderer: Renderer) -> Iterator[Job]:
    """Yield all jobs but those of guides and glossary."""
    pairs = BikePairs(renderer.table.bikes)
    yield from chart_data.plan_jobs(renderer)
    yield from choose_page.plan_jobs(renderer)
    yield from bike_lists.plan_jobs(renderer, pairs)
    yield from reference_pages.plan_jobs()
    for module in ONE_OF_A_KIND:
        yield Job(module.outputs)
    yield from running_lists.plan_jobs(renderer)
    yield from claims.plan_jobs(renderer)
    yield from law.plan_jobs(renderer)
    yield from prices.plan_jobs(renderer)
    yield from bike_page.plan_jobs(renderer, pairs)
    yield from compare_page.plan_jobs(pairs)
    yield from link_pictures.plan_jobs(renderer)
