"""QR codes of page addresses, for a telephone to read from a screen.

ISO/IEC 18004:2015 (from memory): a quiet zone of four modules on every side, dark on light, error correction L, M, Q
or H. We take Q, with which a quarter of the code may be lost, as a filmed screen has glare. Modules of whole pixels keep
the edges sharp. The library `segno` makes the codes.

* QrCode            a code as a square of modules
* make_code         the code of an address
* shorten_address   an address as printed
"""

from dataclasses import dataclass

QUIET = 4
"""Modules left free on every side. ISO/IEC 18004."""
LEAST = 6
"""Smallest side of a module in a picture of 1920 by 1080. [px]  Common practice, no source."""
LEVEL = "q"
DARK, LIGHT = "#000000", "#ffffff"


@dataclass(frozen=True)
class QrCode:
    """A QR code as a square of modules."""

    text: str
    """The text that it encodes."""
    rows: tuple[tuple[bool, ...], ...]
    """Whether each module is dark, row by row, without the quiet zone."""

    @property
    def side(self) -> int:
        """Modules across, with the quiet zone."""
        return len(self.rows) + 2 * QUIET

    def path_data(self) -> str:
        """Path data of the dark modules; neighbours in a row are one bar."""
        bars = []
        for down, row in enumerate(self.rows):
            across = 0
            while across < len(row):
                wide = 0
                while across + wide < len(row) and row[across + wide]:
                    wide += 1
                if wide:
                    bars.append(f"M{across + QUIET} {down + QUIET}h{wide}v1h-{wide}z")
                across += wide or 1
        return "".join(bars)

    def draw_group(self, left: int, top: int, module: int) -> str:
        """An SVG group of the code on its light ground; `module` is the side of a module. [px]"""
        return (
            f'<g transform="translate({left} {top}) scale({module})" shape-rendering="crispEdges">'
            f'<path fill="{LIGHT}" d="M0 0h{self.side}v{self.side}h-{self.side}z"/>'
            f'<path fill="{DARK}" d="{self.path_data()}"/></g>'
        )

    def fit_module(self, room: int) -> int:
        """Largest whole side of a module at which the code fits a square of side `room`. [px]"""
        return max(LEAST, room // self.side)


def make_code(address: str) -> QrCode:
    """The smallest code that holds the address."""
    import segno

    made = segno.make(address, error=LEVEL, micro=False, boost_error=False)
    return QrCode(address, tuple(tuple(bool(cell) for cell in row) for row in made.matrix))


def shorten_address(address: str) -> str:
    """An address as printed beside the code, without scheme and final slash."""
    return address.partition("://")[2].rstrip("/")
