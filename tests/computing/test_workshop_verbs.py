"""The verbs `orders`, `shims` and `trial-weights` on the command line: streams and exit status."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from advisor.cli import main

ROOT = Path(__file__).parents[2]
COMMANDS = {
    "orders": ["orders", "road_speed=60 mph", "tyre_size=265/70R17", "axle_ratio=3.73"],
    "shims": ["shims", str(ROOT / "cases" / "shims" / "lifted-pickup.yaml")],
    "trial-weights": [
        "trial-weights",
        "initial=4",
        "trial_mass=10 g",
        "at=0 deg: 6, 120 deg: 3.46, 240 deg: 9.17",
        "u=0.1",
    ],
}


@pytest.mark.parametrize("verb", COMMANDS)
def test_answer_goes_to_standard_output(verb: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(COMMANDS[verb]) == 0
    out, err = capsys.readouterr()
    assert out.startswith(f"{verb}: ")
    assert err == ""
    assert max(map(len, out.splitlines())) <= 100


@pytest.mark.parametrize("verb", COMMANDS)
def test_answer_is_data_on_request(verb: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([*COMMANDS[verb], "--json"]) == 0
    assert {"source", "cautions", "warnings"} <= set(json.loads(capsys.readouterr().out))


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["orders", "road_speed=60"], "road_speed: "),
        (["shims", "no-such-file.yaml"], "no-such-file.yaml:1:1: error[unreadable-file]"),
        (["trial-weights", "initial=4"], "trial_mass "),
    ],
    ids=["orders", "shims", "trial-weights"],
)
def test_wrong_input_goes_to_standard_error_with_status_2(
    words: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(words) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith(said)


@pytest.mark.parametrize("verb", ["orders", "trial-weights"])
def test_verb_alone_shows_what_it_takes(verb: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([verb]) == 0
    assert "\nneeds\n" in capsys.readouterr().out


@pytest.mark.parametrize("verb", COMMANDS)
def test_closed_pipe_is_no_fault(verb: str) -> None:
    process = subprocess.Popen(
        [sys.executable, "-m", "advisor", *COMMANDS[verb]],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    assert process.stdout is not None
    process.stdout.close()
    _, err = process.communicate(timeout=60)
    assert (process.returncode, err) == (0, b"")
