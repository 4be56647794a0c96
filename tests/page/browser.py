"""What a browser tells of a page: asked in the page, judged in Python."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

OVERFLOWING = """() => [...document.querySelectorAll('body, body *')]
  .filter(e => !e.closest('.unseen') && !e.ownerSVGElement && e.clientWidth > 0)
  .filter(e => e.scrollWidth > e.clientWidth + 1 || e.getBoundingClientRect().right >
    document.documentElement.clientWidth + 1)
  .map(e => `${e.tagName}.${e.className.baseVal ?? e.className}: ${e.textContent.slice(0, 40)}`)
"""
COLOURS = """() => {
  const found = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const node = walker.currentNode, e = node.parentElement;
    const hidden = e.closest('.unseen, style, title, desc');
    if (hidden || !node.data.trim() || !e.getClientRects().length) continue;
    const style = getComputedStyle(e);
    let behind = [], up = e;
    while (up) {
      const colour = getComputedStyle(up).backgroundColor;
      if (!/, 0\\)$/.test(colour)) { behind.push(colour); break; }
      up = up.parentElement;
    }
    if (e.ownerSVGElement) {  // words in a picture stand on paper or on a tinted part
      const probe = document.createElement('i');
      probe.style.color = 'var(--tint)';
      document.body.append(probe);
      behind.push(getComputedStyle(probe).color);
      probe.remove();
    }
    for (const one of behind) found.push({
      text: node.data.trim().slice(0, 40), behind: one,
      colour: e.ownerSVGElement ? style.fill : style.color,
      size: parseFloat(style.fontSize), weight: parseInt(style.fontWeight),
    });
  }
  return found;
}"""
PICTURES = """() => [...document.querySelectorAll('figure svg')].map(svg => {
  const box = e => { const b = e.getBoundingClientRect();
    return {left: b.left, top: b.top, right: b.right, bottom: b.bottom}; };
  const shown = e => !e.closest('defs, clipPath, pattern');
  return {
    box: box(svg),
    title: svg.querySelector('title').textContent,
    drawn: [...svg.querySelectorAll('path, use')].filter(shown).map(box),
    texts: [...svg.querySelectorAll('text')].map(e => ({...box(e), text: e.textContent})),
  };
})"""
UNBROKEN = """() => [...document.querySelectorAll('figure, tr, .stop, .cautions li')]
  .filter(e => getComputedStyle(e).breakInside !== 'avoid').map(e => e.outerHTML.slice(0, 60))"""
LARGE_PX, LARGE_BOLD_PX = 24.0, 18.66  # 18 pt, and 14 pt bold: WCAG 2.2, "large scale"


@dataclass(frozen=True, slots=True)
class Shown:
    """Some words with their colour and what is behind them."""

    text: str
    ratio: float
    needed: float


def luminance(colour: str) -> float:
    """Relative luminance of an opaque "rgb(...)", WCAG 2.2, "relative luminance"."""
    red, green, blue = (
        value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4
        for value in (int(one) / 255.0 for one in re.findall(r"\d+", colour)[:3])
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, 1 to 21, WCAG 2.2, "contrast ratio"."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def contrasts(page: Any) -> list[Shown]:
    """The contrast of all words on the page, and what level AA asks of each."""
    found = []
    for one in page.evaluate(COLOURS):
        is_large = one["size"] >= LARGE_PX or (
            one["size"] >= LARGE_BOLD_PX and one["weight"] >= 700
        )
        ratio = contrast(one["colour"], one["behind"])
        found.append(Shown(one["text"], ratio, 3.0 if is_large else 4.5))
    return found


def overlapping(texts: list[dict[str, Any]]) -> list[tuple[str, str]]:
    """The words of a picture that cover one another by more than a pixel."""
    return [
        (one["text"], other["text"])
        for index, one in enumerate(texts)
        for other in texts[:index]
        if min(one["right"], other["right"]) - max(one["left"], other["left"]) > 1.0
        and min(one["bottom"], other["bottom"]) - max(one["top"], other["top"]) > 3.0
    ]


def pdf_pages(data: bytes) -> list[tuple[float, float]]:
    """Width and height in points of each page of a PDF."""
    boxes = re.findall(rb"/MediaBox\s*\[\s*0\s+0\s+([\d.]+)\s+([\d.]+)\s*\]", data)
    return [(float(width), float(height)) for width, height in boxes]
