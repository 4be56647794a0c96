"""What is said of a finding by a choice whose values do not fit the options, and of a mute one."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.rulebook import LoadError, load
from tests.helpers_rulebook import small_rulebook
from tests.rulebook.examples import JOINT, QUIET, SPOKEN, choice, value, when


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            choice(JOINT, value("tyres-replaced", 0.9)),
            'the finding "extra" has no value for "none-known" of "last-work"; '
            'add it, or add "anything-else" for all that is not listed',
        ),
        (
            choice(SPOKEN, *QUIET, "  anything-else: {usual: 0.2, with: {rings-too-thin: 0.1}}"),
            '"anything-else" collects nothing: every option is listed; take it out',
        ),
        (
            choice(JOINT, value("tyres-replacd", 0.9)),
            '"last-work" has no option "tyres-replacd"; '
            'did you mean one of "tyres-replaced", "joint-replaced"?',
        ),
    ],
)
def test_values_that_are_not_the_options_are_told(tmp_path: Path, text: str, said: str) -> None:
    with pytest.raises(LoadError) as caught:
        load(small_rulebook(tmp_path, z_extra=text))
    assert [f"{one.message}; {one.hint}" for one in caught.value.problems] == [said]


STOPS = "\n    stop_driving: road-test"


@pytest.mark.parametrize(
    ("text", "warned"),
    [
        (when("{vibrates: true}").replace("with: {rings-too-thin: 0.8}", "with: {}"), True),
        (when("{vibrates: true}").replace("with: {rings-too-thin: 0.8}", STOPS.strip()), False),
        (when("{vibrates: true}").replace("0.8}", "0.1}" + STOPS), True),
        (when("{vibrates: true}"), False),
    ],
    ids=["no cause", "no cause, stops", "usual rate, stops", "tells"],
)
def test_finding_is_mute_unless_it_tells_or_only_stops(
    tmp_path: Path, text: str, warned: bool
) -> None:
    warnings = load(small_rulebook(tmp_path, z_extra=text)).warnings
    assert ("tells-nothing" in [one.code for one in warnings]) is warned
