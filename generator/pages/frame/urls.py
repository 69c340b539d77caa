"""Paths of the site's pages and files, and the links between them.

A path is relative to the site's root and ends in a file name. Links between pages are relative and name the
file, so the site works under any address and straight from a disk.
"""

import posixpath
import re
from functools import lru_cache

HOME = "index.html"
BIKES = "bikes/index.html"
CHOOSE = "choose/index.html"
COMPARE = "compare/index.html"
GUIDES = "guides/index.html"
GLOSSARY = "glossary/index.html"
METHOD = "method/index.html"
LAW = "law/index.html"
CLAIMS = "claims/index.html"
REPORT_CARD = "report-card/index.html"
SEARCH = "search/index.html"
DATA = "data/index.html"
DEFINITIONS = "data/terms.js"
CONTRIBUTE = "contribute/index.html"
FORM_DATA = "data/form.js"
FEED = "feed.xml"
SCHEMA = "data/bike.schema.json"
CHANGELOG = "changelog/index.html"
CHANGES = "changes/index.html"
LISTS = "lists/index.html"
PRICES = "prices/index.html"
CAUTIONS = "cautions/index.html"
NOT_FOUND = "404.html"
STYLES = "assets/site.css"
ICON = "assets/icon.svg"
SEARCH_DATA = "data/search.js"
PICTURE = "pictures/site.png"
PICTURE_SIZE = (1200, 630)
"""Width and height of a picture for links. [px]"""

_FOLDER_LINK = re.compile(r'(<a [^>]*href="(?:\.\./)*[^"#:?]*/)(#[^"]*)?"')


def running_list(slug: str) -> str:
    return f"lists/{slug}/index.html"


def list_feed(slug: str) -> str:
    """The feed of bikes that enter and leave a running list."""
    return f"lists/{slug}/feed.xml"


def script(bundle: str) -> str:
    return f"assets/{bundle}.js"


def bike(slug: str) -> str:
    return f"bikes/{slug}/index.html"


def inputs(slug: str) -> str:
    """The page of all inputs of a bike's figures."""
    return f"bikes/{slug}/inputs/index.html"


def bike_prices(slug: str) -> str:
    return f"bikes/{slug}/prices/index.html"


def spec(slug: str) -> str:
    """A bike's file as data for the form."""
    return f"bikes/{slug}/spec.js"


def comparison(one: str, other: str) -> str:
    """The page that compares two bikes, whichever order they are given in."""
    first, second = sorted((one, other))
    return f"compare/{first}-vs-{second}/index.html"


def use(name: str) -> str:
    return f"uses/{folder(name)}/index.html"


def part(first: str, number: int) -> str:
    """Page `number` of a list: `first` itself, then `page-2/index.html` beside it, and so on."""
    return first if number == 1 else first.replace("index.html", f"page-{number}/index.html")


def folder(name: str) -> str:
    """A name of one or more words, such as a use, in the form of a folder name."""
    return name.replace(" ", "-")


def guide(slug: str) -> str:
    return f"guides/{slug}/index.html"


def term(slug: str) -> str:
    return f"glossary/{slug}/index.html"


def picture(folder: str, slug: str) -> str:
    """The picture for links to the page of a bike (`folder` is `bikes`) or a guide (`guides`)."""
    return f"pictures/{folder}/{slug}.png"


def page(slug: str) -> str:
    return f"{slug}/index.html"


def depth(path: str) -> int:
    """Number of folders between the page and the site's root."""
    return path.count("/")


def link(origin: str, target: str) -> str:
    """Relative link from the page at `origin` to `target`, which may carry a fragment."""
    path, mark, fragment = target.partition("#")
    if path == origin and mark:
        return mark + fragment
    return _relative_path(origin.rpartition("/")[0], path) + mark + fragment


@lru_cache(maxsize=10_000)
def _relative_path(folder: str, path: str) -> str:
    """The relative path from a folder of the site to a file of the site."""
    return posixpath.relpath("/" + path, "/" + folder)


def address(base: str, path: str) -> str:
    """Absolute address of a page, without the `index.html` that a host adds by itself."""
    return base + path.removesuffix("index.html")


def name_index_files(html: str) -> str:
    """Add `index.html` to links that end in a folder, so that they work from a disk too."""
    return _FOLDER_LINK.sub(lambda match: f'{match[1]}index.html{match[2] or ""}"', html)
