"""What every picture has in common: the same bytes, no id twice, colours of the page, words."""

from __future__ import annotations

import re
from functools import cache
from xml.etree import ElementTree

import pytest

from advisor.page.canvas import Picture, as_svg, drawing, new_figure, plain_words, whole_area
from advisor.page.making import pictures_of
from tests.page.drawn import SVG
from tests.page.shop import CASES, demo

KINDS = ("orders", "ring", "reading", "driveline", "turning")


@cache
def pictures() -> list[Picture]:
    from advisor.computing import shims_answer

    found = list(pictures_of(demo("estate-boom-too-close-to-call")[0], None))
    found += pictures_of(demo("saloon-shake-with-the-engine")[0], None)
    shims = shims_answer(CASES / "shims" / "van-two-piece.yaml")
    return found + list(pictures_of(demo("lifted-pickup-moan")[0], shims))


def picture_of(kind: str) -> Picture:
    """The last picture of a kind: that of the driveline with a cure."""
    return [picture for picture in pictures() if picture.name.startswith(kind)][-1]


def test_each_of_the_five_kinds_of_picture_is_there() -> None:
    assert {picture.name.split("-")[0] for picture in pictures()} == set(KINDS)


def test_same_values_give_the_same_bytes() -> None:
    first = list(pictures_of(demo("estate-boom-too-close-to-call")[0], None))
    assert first == list(pictures_of(demo("estate-boom-too-close-to-call")[0], None))


def test_pictures_of_one_page_share_no_id_and_refer_to_their_own() -> None:
    found = list(pictures_of(demo("saloon-shake-with-the-engine")[0], None))
    ids = [id_ for picture in found for id_ in re.findall(r'\bid="([^"]*)"', picture.svg)]
    assert len(ids) == len(set(ids)) > 10
    for picture in found:
        own = set(re.findall(r'\bid="([^"]*)"', picture.svg))
        assert set(re.findall(r'(?:url\(#|href="#)([\w.-]+)', picture.svg)) <= own


@pytest.mark.parametrize("kind", KINDS)
def test_picture_takes_its_colours_and_its_font_from_the_page(kind: str) -> None:
    picture = picture_of(kind)
    assert not re.search(r"#[0-9a-f]{6}\b", picture.svg)
    assert "font-family" not in picture.svg
    assert set(re.findall(r"var\(--(\w+)\)", picture.svg)) <= {
        "ink",
        "soft",
        "accent",
        "tint",
        "paper",
    }
    for attribute in re.findall(r'\b(?:fill|stroke)="([^"]*)"', picture.svg):
        assert "var(" not in attribute


@pytest.mark.parametrize("kind", KINDS)
def test_picture_is_named_and_described_with_numbers(kind: str) -> None:
    picture = picture_of(kind)
    root = ElementTree.fromstring(picture.svg)
    assert root.get("role") == "img"
    title, description = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert title is not None
    assert description is not None
    assert root.get("aria-labelledby") == f"{title.get('id')} {description.get('id')}"
    assert (title.text, description.text) == (picture.title, picture.says.replace("+/-", "±"))
    assert re.search(r"\d", picture.says)
    assert "nan" not in picture.svg


def test_words_from_a_file_neither_steer_nor_break_the_picture() -> None:
    nasty = "a$x_1$ </text><script>\u202e\u0007 \U0001f600"
    with drawing("made"):
        figure = new_figure(100.0)
        whole_area(figure).text(10.0, 50.0, plain_words(nasty))
        svg = as_svg(figure, "made", nasty, nasty)
    root = ElementTree.fromstring(svg)
    shown = "a$x_1$ </text><script> \U0001f600"
    assert ["".join(one.itertext()) for one in root.iter(f"{SVG}text")] == [shown]
    assert [one.tag for one in root.iter() if "script" in one.tag] == []


def test_long_words_are_cut() -> None:
    assert plain_words("x" * 50, 10) == "xxxxxxxxx…"
    assert plain_words("short", 10) == "short"
