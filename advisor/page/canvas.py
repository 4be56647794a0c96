"""Where the pictures are drawn: one size, one hand, and colours that the page decides.

A picture is drawn in stand-in colours that become variables of the page's style, so that one
picture serves a light and a dark screen and paper alike. Words stay words, in the page's font.
"""

from __future__ import annotations

import io
import re
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any, Final
from xml.etree import ElementTree

from matplotlib import rc_context, rcdefaults, rcParams
from matplotlib.axes import Axes
from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.figure import Figure

from advisor import units
from advisor.layout import clean, clean_line

WIDTH: Final = 400.0  # of every picture, in its own units; a phone shows three quarters of them
FONT: Final = 12.5
SMALL: Final = 11.0

PLUS_MINUS: Final = "±"  # on a page, for the +/- of a terminal

INK: Final = "#010203"
SOFT: Final = "#020304"
ACCENT: Final = "#030405"
TINT: Final = "#040506"
PAPER: Final = "#050607"
_VARIABLES: Final = {INK: "ink", SOFT: "soft", ACCENT: "accent", TINT: "tint", PAPER: "paper"}

_SVG: Final = "http://www.w3.org/2000/svg"
_LINK: Final = "http://www.w3.org/1999/xlink"
_FONT_FAMILY: Final = re.compile(r" font-family: [^;\"]*;?")
_NUMBERED: Final = re.compile(r"[\w.]+_\d+$")  # an id that the drawing library gave by itself
_REFERENCE: Final = re.compile(r"(url\(#|^#)([\w.-]+)")

_STYLE: Final[dict[Any, Any]] = {
    "svg.fonttype": "none",
    "text.parse_math": False,
    "font.size": FONT,
    "text.color": INK,
    "hatch.linewidth": 0.8,
    "path.simplify": False,
    "axes.edgecolor": INK,
    "axes.labelcolor": INK,
    "axes.linewidth": 0.9,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.facecolor": "none",
    "figure.facecolor": "none",
    "xtick.color": INK,
    "ytick.color": INK,
    "xtick.labelsize": SMALL,
    "ytick.labelsize": SMALL,
    "lines.linewidth": 1.6,
    "grid.color": SOFT,
    "grid.linewidth": 0.6,
}


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing for the page: `says` tells in numbers what it shows, `note` how to read it."""

    name: str
    title: str
    says: str
    note: str
    svg: str


@contextmanager
def drawing(name: str) -> Iterator[None]:
    """Draw within this: the style of all pictures, the same bytes for the same values."""
    with rc_context(), warnings.catch_warnings():
        rcdefaults()  # whatever the user, or the folder that one is in, has set for drawings
        rcParams.update({**_STYLE, "svg.hashsalt": name})
        # Words keep to the page's font, so a sign that the drawing's font lacks does no harm.
        warnings.filterwarnings("ignore", message="Glyph .* missing from")
        yield


def new_figure(height: float) -> Figure:
    """An empty figure WIDTH wide and this high, in its own units."""
    figure = Figure(figsize=(WIDTH / 72.0, height / 72.0))
    FigureCanvasSVG(figure)
    return figure


def plot_area(figure: Figure, *, left: float, bottom: float, right: float, top: float) -> Axes:
    """Axes that keep these margins, in the figure's units."""
    height = figure.get_figheight() * 72.0
    return figure.add_axes(
        (left / WIDTH, bottom / height, 1.0 - (left + right) / WIDTH, 1 - (bottom + top) / height)
    )


def whole_area(figure: Figure) -> Axes:
    """Axes without any axis over the whole figure, in the figure's units, y upward."""
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    axes.set_xlim(0.0, WIDTH)
    axes.set_ylim(0.0, figure.get_figheight() * 72.0)
    axes.set_axis_off()
    return axes


def plain_words(text: str, longest: int = 40) -> str:
    """Text from a file on one line, without what could steer a screen, cut where it is long."""
    words = clean_line(text)
    return words if len(words) <= longest else f"{words[: longest - 1].rstrip()}…"


def shortened(si: float, unit: units.Unit, digits: int) -> str:
    """A value in words to so many digits of its unit: more would only clutter a picture."""
    return units.show(float(f"{si / unit.factor:.{digits}g}") * unit.factor, unit)


def as_svg(figure: Figure, name: str, title: str, says: str) -> str:
    """The figure as an SVG element for a page, with its title and description in words.

    Call it within `drawing(name)`. Ids begin with `name`, so that pictures share none.
    """
    buffer = io.StringIO()
    no_metadata = dict.fromkeys(("Date", "Creator", "Format", "Type"))
    figure.savefig(buffer, format="svg", transparent=True, metadata=no_metadata)
    root = ElementTree.fromstring(buffer.getvalue())
    _tidy(root, name)
    for tag, text in (("desc", says), ("title", title)):
        words = ElementTree.Element(f"{{{_SVG}}}{tag}", {"id": f"{name}-{tag}"})
        words.text = clean(text)
        root.insert(0, words)
    ElementTree.register_namespace("", _SVG)
    ElementTree.register_namespace("xlink", _LINK)
    svg = ElementTree.tostring(root, encoding="unicode")
    for colour, variable in _VARIABLES.items():
        svg = svg.replace(colour, f"var(--{variable})")
    return _FONT_FAMILY.sub("", svg).replace("+/-", PLUS_MINUS)


def _tidy(root: ElementTree.Element, name: str) -> None:
    """Sizes and styles are the page's; ids stay where something refers to them.

    The name given to an artist as its gid stays as `data-part`, by which a picture can be read.
    """
    for key in ("width", "height", "version"):
        root.attrib.pop(key, None)
    root.attrib |= {"role": "img", "aria-labelledby": f"{name}-title {name}-desc"}
    for parent in root.iter():
        for child in list(parent):
            if child.tag in (f"{{{_SVG}}}style", f"{{{_SVG}}}metadata"):
                parent.remove(child)
    used = set()
    for element in root.iter():
        for key in {"fill", "stroke"} & element.attrib.keys():
            # A variable is understood in a style only.
            told = f"{element.attrib.get('style', '')}; {key}: {element.attrib.pop(key)}"
            element.set("style", told.lstrip("; "))
        for key, value in element.attrib.items():
            if key != "id" and (found := _REFERENCE.search(value)):
                used.add(found[2])
                element.set(key, _REFERENCE.sub(rf"\1{name}-\2", value))
    for element in root.iter():
        own = element.attrib.pop("id", None)
        if own in used:
            element.set("id", f"{name}-{own}")
        elif own is not None and not _NUMBERED.match(own):
            element.set("data-part", own)
