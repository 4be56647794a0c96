"""A page is written whole, over nothing else than a page."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.cases import WriteError
from advisor.page import PageError, write_page
from tests.page.shop import demo_page

PAGE = '<!doctype html>\n<meta name="generator" content="driveline advisor">\n'


def test_page_is_written_and_written_anew(tmp_path: Path) -> None:
    path = tmp_path / "page.html"
    write_page(path, PAGE)
    write_page(path, PAGE + "µ")
    assert path.read_text(encoding="utf-8") == PAGE + "µ"
    assert [one.name for one in tmp_path.iterdir()] == ["page.html"]


def test_real_page_is_known_as_one(tmp_path: Path) -> None:
    path = tmp_path / "page.html"
    write_page(path, demo_page("coupe-loose-flange"))
    write_page(path, demo_page("coupe-loose-flange"))


@pytest.mark.parametrize("content", ["", "format: 1\nid: my-case\n", "<!doctype html>"])
def test_anything_else_stays_as_it_is(tmp_path: Path, content: str) -> None:
    path = tmp_path / "case.yaml"
    path.write_text(content, encoding="utf-8")
    with pytest.raises(PageError, match=r"is no page of this program; choose another name$"):
        write_page(path, PAGE)
    assert path.read_text(encoding="utf-8") == content


def test_folder_is_no_file_to_write_to(tmp_path: Path) -> None:
    with pytest.raises(PageError, match="cannot be written: is a directory"):
        write_page(tmp_path, PAGE)


def test_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(WriteError, match="the folder does not exist"):
        write_page(tmp_path / "nowhere" / "page.html", PAGE)
