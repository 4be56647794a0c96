"""The pages that are made are current, and say something of every code."""

from __future__ import annotations

import re

import pytest

from advisor.rulebook import CODES, LIKELY
from tests.pages import COMMAND, FOLDER, pages
from tests.pages.reasons import REASONS

PAGES = pages()


@pytest.mark.parametrize("name", PAGES)
def test_page_is_current(name: str) -> None:
    kept = (FOLDER / name).read_text(encoding="utf-8")
    assert kept == PAGES[name], f"make it anew by: {COMMAND}"


def test_every_code_has_a_section_and_a_reason() -> None:
    sections = re.findall(r"^### ([a-z0-9-]+)$", PAGES["problems.md"], re.MULTILINE)
    assert sections == [*CODES, *LIKELY]
    assert REASONS.keys() == {*CODES, *LIKELY}


def test_pages_name_no_place_of_this_machine() -> None:
    assert all("/tmp" not in text and str(FOLDER) not in text for text in PAGES.values())
