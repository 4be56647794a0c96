"""The report of a case as one page that needs nothing else: words, tables and pictures."""

from __future__ import annotations

import logging
from pathlib import Path
from typing import TYPE_CHECKING

from advisor.page.errors import PageError, need_libraries
from advisor.page.writing import write_page

if TYPE_CHECKING:
    from advisor.cases import CaseSession
    from advisor.report import Assessment

__all__ = ["PageError", "page_of", "write_page"]


def page_of(
    session: CaseSession,
    assessment: Assessment,
    *,
    paper: str | None = None,
    shims: Path | None = None,
) -> str:
    """The page as HTML text; `paper` is "a4", "letter", or None to leave the size to the printer.

    `shims` is a file of the verb `shims`, whose choice is told and drawn as the cure. Raises
    PageError when the libraries of the `report` extra are missing, LoadError for a faulty file.
    """
    need_libraries()
    # It tells of caches and fonts, from its import on, which is nothing to a technician.
    logging.getLogger("matplotlib").setLevel(logging.ERROR)
    from advisor.computing import shims_answer  # noqa: PLC0415 - the libraries come first

    try:
        from advisor.page.making import page_text  # noqa: PLC0415
    except UnicodeDecodeError as error:  # it reads its settings while it is imported
        raise PageError(
            'the drawing library cannot read its settings: a file "matplotlibrc", here or in your '
            "home, is no text in UTF-8; delete or rename it"
        ) from error

    choice = shims_answer(shims) if shims is not None else None
    return page_text(session, assessment, paper=paper, shims=choice)
