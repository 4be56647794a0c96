"""The small shop rulebook with what a case's life needs: concern, lasting answers, a proof."""

from __future__ import annotations

from pathlib import Path

from tests.cases.shop import SHOP_YAML, write_shop

# a line of the small rulebook -> the same with lines added behind it
ADDED = {
    "    why: Only a two-piece shaft has a centre support.\n": "    lasts: vehicle\n",
    "    why: Each cause has its noises.\n": (
        "    concern:\n"
        '      {about: what, says: "It makes {answer}", options: {squeak: It squeaks}}\n'
    ),
    "    why: The last work is often the cause.\n": (
        '    concern: {about: work, says: "The last work: {answer}"}\n'
    ),
    "    why: Work that went wrong begins at once.\n": (
        "    concern: {about: since, says: It began after joint work,"
        ' options: {"no": It began by itself}}\n'
    ),
    "    why: Unbalance does not mind the load.\n": (
        "    concern: {about: load, says: It shudders in neutral as well}\n"
        "  speed:\n"
        "    ask: At which speed is it worst?\n"
        "    kind: number\n"
        "    unit: km/h\n"
        "    gauge: speedometer\n"
        "    place: desk\n"
        "    minutes: 0.5\n"
        "    why: Unbalance needs speed.\n"
        '    concern: {about: speed, says: "It is worst at {answer}"}\n'
        "  old-ring:\n"
        "    ask: How thick is the old ring?\n"
        "    kind: number\n"
        "    unit: mm\n"
        "    place: bench\n"
        "    minutes: 1\n"
        "    why: It is compared with the new one.\n"
        "    lasts: part\n"
    ),
    "    why: Too much lets the cross shift.\n": "    lasts: part\n",
    "gauges:\n": (
        "  micrometer: {name: Micrometer, step: 1 um, limit: 2 um, source: judgement}\n"
        "  speedometer: {name: Speedometer, step: 1 km/h, limit: 3 km/h, source: judgement}\n"
    ),
}
CHANGED = {
    "cautions: [road-test]}": "driving: true, cautions: [road-test]}",
    "remedy: {minutes: 45, steps: [Fit thicker rings]}\n    verify: {minutes: 20, steps: "
    "[Measure again]}\n": "confirm: measure-play\n"
    "    remedy: {minutes: 45, steps: [Fit thicker rings]}\n"
    "    verify: {minutes: 20, place: road, steps: [Measure again., Drive the same road.]}\n"
    "    record: [end play before and after, ring thickness]\n",
}


def write_book(folder: Path) -> Path:
    """The folder of the rulebook, written into `folder`."""
    text = SHOP_YAML
    for old, new in CHANGED.items():
        assert old in text
        text = text.replace(old, new)
    for old, added in ADDED.items():
        assert old in text
        text = text.replace(old, old + added, 1)
    rulebook = write_shop(folder)
    (rulebook / "shop.yaml").write_text(text, encoding="utf-8")
    return rulebook


STOCK = """\
# The drawer by the window. Counted on Mondays.
format: 1

rings:   # thickness by micrometer
  tray-1:   {thickness: 1.50 mm, count:  12, coated: true}   # nearly full

  tray-2:
    count: 3      # order more below 2
    thickness: 61.0 thou
  "box: 3": {thickness: 1.6 mm, count: 1}
"""


def write_stock(folder: Path, text: str = STOCK) -> Path:
    """The stock file, written into `folder`."""
    path = folder / "rings.yaml"
    path.write_text(text, encoding="utf-8")
    return path
