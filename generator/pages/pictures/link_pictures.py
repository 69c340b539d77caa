"""Pictures shown with links to the site where they are shared: one of the site, of each guide and of each bike.

* plan_jobs             the jobs of all pictures but those of bikes
* make_bike_picture     the picture of a bike
* make_picture_content  a content in the publication's name
* list_key_figures      the figures on a bike's picture
"""

from collections.abc import Iterator

from generator.figures import show
from generator.pages.frame import site_colours, urls
from generator.pages.frame.headlines import select_headlines
from generator.pages.frame.jobs import Job
from generator.pages.frame.output import Output
from generator.pages.frame.renderer import Renderer
from generator.pages.pictures.draw_picture import COLUMNS, ROLES, PictureContent
from generator.specs.bike import Bike


def plan_jobs(renderer: Renderer) -> Iterator[Job]:
    """Yield a job for each picture but those of bikes, which are made with the bikes' pages."""
    yield Job(_make_site_picture)
    for guide in renderer.content.guides:
        yield Job(_make_guide_picture, (guide.slug, guide.title, guide.summary))


def _make_site_picture(renderer: Renderer) -> Iterator[Output]:
    content = make_picture_content(renderer, renderer.settings.tagline, "")
    yield Output(urls.PICTURE, renderer.drawings.picture(content))


def _make_guide_picture(
    renderer: Renderer, slug: str, title: str, summary: str
) -> Iterator[Output]:
    content = make_picture_content(renderer, title, summary)
    yield Output(urls.picture("guides", slug), renderer.drawings.picture(content))


def make_bike_picture(renderer: Renderer, bike: Bike) -> Iterator[Output]:
    """Yield the picture of a bike."""
    content = make_picture_content(
        renderer, bike.full_name, bike.summary, list_key_figures(renderer, bike)
    )
    yield Output(urls.picture("bikes", bike.slug), renderer.drawings.picture(content))


def make_picture_content(
    renderer: Renderer, title: str, words: str, figures: tuple[tuple[str, str, str], ...] = ()
) -> PictureContent:
    """Return a card in the publication's name and colours; `words` are left out where there are figures."""
    light, _ = site_colours.read_schemes(renderer.root)
    return PictureContent(
        renderer.settings.title,
        title,
        "" if figures else words,
        figures,
        renderer.settings.notice,
        (light["paper"], *(light[role] for role in ROLES)),
    )


def list_key_figures(renderer: Renderer, bike: Bike) -> tuple[tuple[str, str, str], ...]:
    """The first three that the bike's page shows."""
    known = renderer.table.figures_of(bike.slug)
    rows = []
    for kind in select_headlines(figure.kind for figure in known.values())[:COLUMNS]:
        figure = known[kind.id]
        interval = show.format_interval(figure, renderer.system)
        likely = (
            f"likely {show.join_unit(interval, show.get_unit_symbol(figure.kind, renderer.system))}"
        )
        rows.append(
            (show.format_figure(figure, renderer.system), likely if interval else "", kind.title)
        )
    return tuple(rows)
