"""A text that is no YAML is told at the line to be mended, in no parser's words."""

from __future__ import annotations

import pytest
import yaml

from advisor.rulebook import LoadError, parse_yaml, yamltree

RECORD = "findings:\n  odd:\n    says: It is odd\n    usual: 0.1\n"

# text of a file: where the complaint is, a part of what it says, a part of the hint
BAD = {
    "colon in a text": ("a:\n  b: It is: odd\n", (2, 11), "colon", 'b: "It is: odd"'),
    "colon and quote": ('says: It "began": later\n', (1, 17), "colon", "'It \"began\": later'"),
    "no blank after a colon": ("a: 1\nb:0.1\nc: 2\n", (2, 1), "blank is missing", '"b: 0.1"'),
    "no colon": ("a: 1\nusual; 0.1\nb: 2\n", (2, 1), "no colon", "key: value"),
    "too far left": (RECORD + "   why: So.\n", (5, 4), "column 4", "column 3 or 5"),
    "too far right": (RECORD + "      why: So.\n", (5, 7), "column 7", "column 3 or 5"),
    "after a mapping": ("a: {b: 1}\n  c: 2\n", (2, 3), "column 3", "column 1"),
    "odd hyphen": ("a:\n    - b\n  - c\n", (3, 3), "column 3", "column 1 or 5"),
    "brace not closed": ("a: {b: 1\nc: 2\n", (1, 4), 'not closed with "}"', '"}"'),
    "bracket not closed": ("a: [b, c\nd: 2\n", (1, 4), 'not closed with "]"', '"]"'),
    "bracket not closed at the end": ("a: [b, c\n", (1, 4), "not closed", '"]"'),
    "comma missing": ("a: {b: 1 c: 2}\n", (1, 11), "a comma", "quotes"),
    "quote not closed": ('a: 1\nb: "text\nc: 2\n', (2, 4), "quote that opens here", "close it"),
    "text after quotes": ('a: 1\nb: "so" it is\n', (2, 9), "quotes were closed", "single quotes"),
    "apostrophe": ("a: 1\nb: 'it's so'\n", (2, 8), "quotes were closed", "double quotes"),
    "at sign": ("a: @home\n", (1, 4), 'begin with "@"', "quotes"),
    "per cent": ("a: %half\n", (1, 4), 'begin with "%"', "quotes"),
    "greater": ("a: {b: > 3 mm}\n", (1, 8), 'begin with ">"', "{above: 0.5 mm}"),
    "block sign": ("a: > 3 mm\n", (1, 4), 'behind ">"', "quotes"),
    "block sign and a text": ("a: |so\n  it is\n", (1, 4), 'behind "|"', "quotes"),
    "directive": ("%YAML 1.2 or later\na: 1\n", (1, 1), 'begin with "%"', "quotes"),
    "value missing": ("a: [b, , c]\n", (1, 8), "a value is missing", "comma"),
    "star": ("a: *most* of it\n", (1, 4), 'begin with "*"', "quotes"),
    "brackets in a text": ("a: so [it] is: odd\n", (1, 14), "colon", '"so [it] is: odd"'),
    "text after brackets": ("a: [b] and more\n", (1, 8), "has ended already", "quotes"),
    "line in quotes": ("a: 'b'\n 'c'\n", (2, 2), "column 2", "column 1"),
    "line before all others": ("  'so' it is\n", (1, 3), "column 3", "the indent of the lines"),
    "colon behind many words": ("it is so: b: c\n", (1, 12), "colon", "quotes"),
    "item behind its key": ("a: - b\n", (1, 4), "list item", "line of its own"),
    "backslash": ('a: "10\\% more"\n', (1, 7), "backslash", "two backslashes"),
}  # fmt: skip
PARSERS_WORDS = {"token", "scalar", "mapping", "block", "flow", "sequence", "stream", "indicator"}


@pytest.fixture(params=["libyaml", "python"])
def _loader(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Both parsers that may be installed; they give up with other words at other places."""
    if request.param == "python":
        monkeypatch.setattr(yamltree, "_Loader", yaml.SafeLoader)
    elif not hasattr(yaml, "CSafeLoader"):
        pytest.skip("PyYAML was built without libyaml")


@pytest.mark.usefixtures("_loader")
@pytest.mark.parametrize(("text", "place", "message", "hint"), BAD.values(), ids=BAD)
def test_complaint_is_in_plain_words_at_the_line_to_mend(
    text: str, place: tuple[int, int], message: str, hint: str
) -> None:
    with pytest.raises(LoadError) as caught:
        parse_yaml(text, "x.yaml")
    problem = caught.value.problems[-1]
    assert problem.code == "yaml-syntax"
    assert (problem.line, problem.column) == place
    assert message in problem.message
    assert hint in problem.hint
    assert not set(problem.message.replace(",", " ").split()) & PARSERS_WORDS


def test_what_the_parser_says_beyond_these_is_still_told() -> None:
    with pytest.raises(LoadError) as caught:
        parse_yaml("a: 'one\n--- two'\n", "x.yaml")
    (problem,) = caught.value.problems
    assert problem.code == "yaml-syntax"
    assert problem.message.startswith("the file cannot be read from here on: ")
