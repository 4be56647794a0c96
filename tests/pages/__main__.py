"""Writes the pages into rulebooks/."""

from __future__ import annotations

from . import FOLDER, pages

for name, text in pages().items():
    (FOLDER / name).write_text(text, encoding="utf-8", newline="\n")
    print(FOLDER / name)
