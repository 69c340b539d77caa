"""The content security policy: what a page may load and do. It stands in every page and in header files for hosts.

`_headers` is plain text that several static hosts read: a path, then its headers, indented. A site served by nginx or
Apache includes the file of that name in `headers/`. The policy of the headers has one more directive, which browsers
obey in headers only.
"""

from collections.abc import Iterator, Mapping

from generator.pages.frame.output import Output

HEADERS = "_headers"
NGINX = "headers/nginx.conf"
APACHE = "headers/apache.conf"

_POLICY = (
    "default-src 'none'",
    "img-src 'self' data:",
    "style-src 'self'",
    "script-src 'self'",
    "connect-src 'self'",
    "base-uri 'none'",
    "form-action 'none'",
)
_HEADER_ONLY = ("frame-ancestors 'none'",)
IN_PAGE = "; ".join(_POLICY)
"""The policy for `<meta http-equiv>`."""
IN_HEADER = "; ".join((*_POLICY, *_HEADER_ONLY))
"""The policy for HTTP headers."""

_NOT_USED = ("camera", "microphone", "geolocation", "payment", "usb")
_PATHS = {
    "/*": {
        "Content-Security-Policy": IN_HEADER,
        "X-Content-Type-Options": "nosniff",
        "Referrer-Policy": "strict-origin-when-cross-origin",
        "Permissions-Policy": ", ".join(f"{name}=()" for name in _NOT_USED),
    },
    # Names stay the same from build to build, so a browser asks again soon.
    "/assets/*": {"Cache-Control": "public, max-age=600, stale-while-revalidate=86400"},
    "/pictures/*": {"Cache-Control": "public, max-age=86400"},
}


def outputs() -> Iterator[Output]:
    """Yield the header files, for a site at the root of its host."""
    blocks = [
        "\n".join([path, *(f"  {name}: {value}" for name, value in headers.items())])
        for path, headers in _PATHS.items()
    ]
    for path, lines in ((HEADERS, blocks), (NGINX, _format_nginx()), (APACHE, _format_apache())):
        yield Output(path, ("\n".join(lines) + "\n").encode())


def _format_nginx() -> Iterator[str]:
    """Yield lines for a `server` block. A `location` with headers of its own inherits none, so each repeats all."""
    yield "# In the server block of the site: include /path/to/site/headers/nginx.conf;"
    everywhere = _PATHS["/*"]
    yield from _nginx_lines(everywhere, "")
    for path, headers in _PATHS.items():
        if path != "/*":
            yield f"location {path.removesuffix('*')} {{"
            yield from _nginx_lines(everywhere | headers, "  ")
            yield "}"


def _nginx_lines(headers: Mapping[str, str], indent: str) -> Iterator[str]:
    return (f'{indent}add_header {name} "{value}" always;' for name, value in headers.items())


def _format_apache() -> Iterator[str]:
    """Yield lines for a `VirtualHost`; they need mod_headers."""
    yield "# In the VirtualHost of the site: Include /path/to/site/headers/apache.conf"
    for path, headers in _PATHS.items():
        yield f'<LocationMatch "^{path.removesuffix("*")}">'
        yield from (f'  Header always set {name} "{value}"' for name, value in headers.items())
        yield "</LocationMatch>"
