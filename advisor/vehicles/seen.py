"""The answers of the example vehicles that lie beside a rulebook."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from advisor.engine.values import Value
from advisor.proof import FOLDER, read_examples
from advisor.rulebook import Rulebook


def example_answers(folder: Path, rulebook: Rulebook) -> tuple[Mapping[str, Value], ...]:
    """The answers of each example of the rulebook in `folder`; () when it has none.

    Raises LoadError for examples with mistakes.
    """
    examples = folder / FOLDER
    if not examples.is_dir():
        return ()
    return tuple(example.values for example in read_examples(examples, rulebook))
