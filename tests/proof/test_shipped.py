"""The shipped rulebook's own examples, and the pages that tell how to write them."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from advisor.proof import FOLDER, proof_text, prove, read_examples
from advisor.proof.models import ExampleModel, ExpectModel
from advisor.rulebook import load, shipped
from tests.proof.book import write_examples

EXAMPLES = shipped() / FOLDER
README = Path(__file__).parents[2] / "rulebooks" / "README.md"


def section() -> str:
    text = README.read_text(encoding="utf-8")
    found = re.search(r"^## \d+\. Examples\n(.*?)(?=^## |\Z)", text, re.DOTALL | re.MULTILINE)
    assert found is not None
    return found[1]


@pytest.mark.skipif(not EXAMPLES.is_dir(), reason="the shipped rulebook has no examples")
def test_every_example_of_the_shipped_rulebook_comes_out_as_expected() -> None:
    assert proof_text(prove(load(shipped()), EXAMPLES)) == ""


def test_examples_of_the_page_can_be_read_with_the_shipped_rulebook(tmp_path: Path) -> None:
    yaml = re.findall(r"```yaml\n(.*?)```", section(), re.DOTALL)
    assert len(yaml) == 1
    examples = read_examples(write_examples(tmp_path, yaml[0]), load(shipped()))
    assert [example.model.held_back for example in examples] == [False, True]


def test_page_names_every_field() -> None:
    for model in (ExampleModel, ExpectModel):
        for field in model.model_fields:
            assert f"`{field}`" in section()


def test_every_field_has_a_description() -> None:
    for model in (ExampleModel, ExpectModel):
        assert all(field.description for field in model.model_fields.values())
