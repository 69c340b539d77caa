"""What a page may load and do: one policy, said in every page and, where a host reads such a file, in its headers.

`_headers` is plain text that several static hosts read: a path, then its headers, indented. The policy there says two
things more, which a browser heeds in a header only.
"""

from collections.abc import Iterator

from generator.pages.output import Output

HEADERS = "_headers"

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
"""For `<meta http-equiv>`."""
IN_HEADER = "; ".join((*_POLICY, *_HEADER_ONLY))

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
    """The file of headers, for a site at the root of its host."""
    blocks = [
        "\n".join([path, *(f"  {name}: {value}" for name, value in headers.items())])
        for path, headers in _PATHS.items()
    ]
    yield Output(HEADERS, ("\n".join(blocks) + "\n").encode())
