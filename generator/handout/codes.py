"""Codes that a telephone reads from a screen: the address of a page as a QR code.

ISO/IEC 18004:2015 (from memory): a quiet zone of four modules on every side, dark on light, error correction L, M, Q
or H. We take Q, which bears a quarter of the code lost: a screen that is filmed has glare. A side of whole pixels for
each module keeps the edges sharp. The codes themselves are made by the library `segno`.

* Code     a code as a square of modules
* code_of  the code of an address
"""

from dataclasses import dataclass

QUIET = 4
"""Modules left free on every side. ISO/IEC 18004."""
LEAST = 6
"""Smallest side of a module in a picture of 1920 by 1080. [px]  Common practice, no source."""
LEVEL = "q"
DARK, LIGHT = "#000000", "#ffffff"


@dataclass(frozen=True)
class Code:
    text: str
    rows: tuple[tuple[bool, ...], ...]
    """Dark modules, without the quiet zone."""

    @property
    def side(self) -> int:
        """Modules across, the quiet zone with them."""
        return len(self.rows) + 2 * QUIET

    def path(self) -> str:
        """Dark modules as a path of whole steps; each row's neighbours are one bar."""
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

    def group(self, left: int, top: int, module: int) -> str:
        """The code as part of a picture, with its light ground."""
        return (
            f'<g transform="translate({left} {top}) scale({module})" shape-rendering="crispEdges">'
            f'<path fill="{LIGHT}" d="M0 0h{self.side}v{self.side}h-{self.side}z"/>'
            f'<path fill="{DARK}" d="{self.path()}"/></g>'
        )

    def fitted(self, room: int) -> int:
        """Largest whole side of a module with which the code fits into a square. [px]"""
        return max(LEAST, room // self.side)


def code_of(address: str) -> Code:
    """The smallest code that holds the address."""
    import segno

    made = segno.make(address, error=LEVEL, micro=False, boost_error=False)
    return Code(address, tuple(tuple(bool(cell) for cell in row) for row in made.matrix))


def short(address: str) -> str:
    """An address as it is printed beside the code: without its scheme and last slash."""
    return address.partition("://")[2].rstrip("/")
