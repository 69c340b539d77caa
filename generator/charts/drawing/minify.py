"""A drawn picture with no byte that the page does not need."""

import re
from itertools import pairwise

from generator.charts.drawing import theme


def lean(svg: str) -> str:
    """Drops what an inline picture does not need and rounds coordinates: drawn lines to 1 px, the rest to 0.1 px."""
    svg = re.sub(r'<path class="(?:foreground|background)"[^>]*/>', "", svg)
    svg = re.sub(r'<rect width="[^"]*" height="[^"]*" fill="(?:white|transparent)"/>', "", svg)
    for noise in (
        r' (?:class|role|aria-[a-z]+|pointer-events|xmlns:xlink|version|font-family)="[^"]*"',
        r' (?:opacity="1"|stroke-width="1"|x2="0"|y2="0"|stroke-miterlimit="10")',
        r' transform="translate\(0,0\)"',
        r' (?:text-anchor="start"|font-weight="normal"|stroke-dasharray="1,0")',
    ):
        svg = re.sub(noise, "", svg)
    svg = re.sub(r"<[^>]*>", lambda tag: re.sub(r"-?\d+\.\d+", _tenth, tag[0]), svg)
    svg = re.sub(r'(?<= d=")[^"]+(?=")', _whole, svg)
    svg = re.sub(r'(?<= d=")M[-\d.,LZ]+L[-\d.,LZ]+(?=")', _steps, svg)
    svg = re.sub(
        r'(<text[^>]*) transform="translate\(([-\d.]+),([-\d.]+)\)"', r'\1 x="\2" y="\3"', svg
    )
    svg = re.sub(r"<[^>]*>", _strokeless, svg)
    svg = _ungrouped(svg)
    return svg.replace(f' font-size="{theme.TEXT}px"', "")


def _strokeless(tag: re.Match[str]) -> str:
    """A mark without a stroke needs no width for it."""
    return (
        tag[0]
        if " stroke=" in tag[0]
        else re.sub(r' stroke-(?:width|dasharray)="[^"]*"', "", tag[0])
    )


def _ungrouped(svg: str) -> str:
    """Without empty groups, and without groups that say nothing of what is in them."""
    kept: list[str] = []
    said: list[bool] = []
    for part in re.split(r"(</?g\b[^>]*>)", svg):
        if part == "</g>":
            if not said.pop():
                continue
        elif part.startswith("<g") and part.endswith("/>"):
            continue
        elif part.startswith("<g"):
            said.append(part != "<g>")
            if part == "<g>":
                continue
        kept.append(part)
    return "".join(kept)


def _steps(match: re.Match[str]) -> str:
    """A line of points as steps from one to the next, which are shorter and alike; Z stays where it is."""
    lines = []
    for line in match[0].removesuffix("Z").split("M")[1:]:
        points = [[int(part) for part in point.split(",")] for point in line.split("L")]
        if any(len(point) != 2 for point in points):
            return match[0]
        moves = [
            f"{after[0] - before[0]},{after[1] - before[1]}" for before, after in pairwise(points)
        ]
        start = ",".join(map(str, points[0]))
        lines.append(f"M{start}l{' '.join(moves)}" if moves else f"M{start}")
    return "".join(lines) + ("Z" if match[0].endswith("Z") else "")


def _whole(match: re.Match[str]) -> str:
    return re.sub(r"-?\d+\.\d+", lambda one: str(round(float(one[0]))), match[0])


def _tenth(match: re.Match[str]) -> str:
    text = f"{float(match[0]):.1f}"
    return text.removesuffix(".0").replace("-0", "0") if text == "-0.0" else text.removesuffix(".0")
