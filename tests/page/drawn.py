"""What a picture drew, read back from its SVG: points in the picture's units, y downward."""

from __future__ import annotations

import re
from xml.etree import ElementTree

SVG = "{http://www.w3.org/2000/svg}"
LINK = "{http://www.w3.org/1999/xlink}href"
Point = tuple[float, float]


def paths(svg: str, part: str) -> list[list[Point]]:
    """The corners of each path of the artists with this name."""
    groups = ElementTree.fromstring(svg).iter(f"{SVG}g")
    return [
        corners(path.attrib["d"])
        for group in groups
        if group.get("data-part") == part
        for path in group.findall(f"{SVG}path")
    ]


def line(svg: str, part: str) -> list[Point]:
    """The corners of the only path of this name."""
    (found,) = paths(svg, part)
    return found


def corners(described: str) -> list[Point]:
    """The points of a path made of straight lines."""
    numbers = [float(one) for one in re.findall(r"-?\d+(?:\.\d+)?", described)]
    return list(zip(numbers[::2], numbers[1::2], strict=True))


def marks(svg: str, part: str) -> list[Point]:
    """Where the markers of the artists with this name stand."""
    groups = ElementTree.fromstring(svg).iter(f"{SVG}g")
    return [
        (float(use.attrib["x"]), float(use.attrib["y"]))
        for group in groups
        if group.get("data-part") == part
        for use in group.iter(f"{SVG}use")
    ]


def extent(points: list[Point]) -> tuple[float, float]:
    """From where to where the points reach across."""
    return min(x for x, _ in points), max(x for x, _ in points)


def texts(svg: str) -> list[str]:
    """All words in the picture."""
    found = ElementTree.fromstring(svg).iter(f"{SVG}text")
    return ["".join(one.itertext()) for one in found]
