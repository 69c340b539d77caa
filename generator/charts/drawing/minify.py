"""Minifier for the SVG that Vega draws."""

import re
from itertools import pairwise

from generator.charts.drawing import theme


def minify_svg(svg: str) -> str:
    """The SVG without anything that an inline picture does not need, lines rounded to 1 px and all else to 0.1 px."""
    svg = re.sub(r'<path class="(?:foreground|background)"[^>]*/>', "", svg)
    svg = re.sub(r'<rect width="[^"]*" height="[^"]*" fill="(?:white|transparent)"/>', "", svg)
    for noise in (
        r' (?:class|role|aria-[a-z]+|pointer-events|xmlns:xlink|version|font-family)="[^"]*"',
        r' (?:opacity="1"|stroke-width="1"|x2="0"|y2="0"|stroke-miterlimit="10")',
        r' transform="translate\(0,0\)"',
        r' (?:text-anchor="start"|font-weight="normal"|stroke-dasharray="1,0")',
    ):
        svg = re.sub(noise, "", svg)
    svg = re.sub(r"<[^>]*>", lambda tag: re.sub(r"-?\d+\.\d+", _round_to_tenth, tag[0]), svg)
    svg = re.sub(r'(?<= d=")[^"]+(?=")', _round_to_whole, svg)
    svg = re.sub(r'(?<= d=")M[-\d.,LZ]+L[-\d.,LZ]+(?=")', _use_relative_steps, svg)
    svg = re.sub(
        r'(<text[^>]*) transform="translate\(([-\d.]+),([-\d.]+)\)"', r'\1 x="\2" y="\3"', svg
    )
    svg = re.sub(r"<[^>]*>", _drop_stroke_width, svg)
    svg = _drop_empty_groups(svg)
    return svg.replace(f' font-size="{theme.TEXT}px"', "")


def _drop_stroke_width(tag: re.Match[str]) -> str:
    """The tag without stroke width and dashes if it has no stroke."""
    return (
        tag[0]
        if " stroke=" in tag[0]
        else re.sub(r' stroke-(?:width|dasharray)="[^"]*"', "", tag[0])
    )


def _drop_empty_groups(svg: str) -> str:
    """The SVG without empty groups and without group tags that have no attributes."""
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


def _use_relative_steps(match: re.Match[str]) -> str:
    """A path of points as relative steps, which are shorter and compress better; a final Z stays."""
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


def _round_to_whole(match: re.Match[str]) -> str:
    return re.sub(r"-?\d+\.\d+", lambda one: str(round(float(one[0]))), match[0])


def _round_to_tenth(match: re.Match[str]) -> str:
    text = f"{float(match[0]):.1f}"
    return text.removesuffix(".0").replace("-0", "0") if text == "-0.0" else text.removesuffix(".0")
