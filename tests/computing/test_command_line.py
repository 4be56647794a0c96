"""The verb itself: standard output, standard error, exit status."""

from __future__ import annotations

import json

import pytest

from advisor.cli import main
from tests.computing.asking import STACK


def test_result_goes_to_standard_output(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["compute", "ring-stack-end-play", *STACK]) == 0
    out, err = capsys.readouterr()
    assert "\nresult: 0.03 mm\n" in out
    assert err == ""


def test_inputs_may_stand_before_and_behind_options(capsys: pytest.CaptureFixture[str]) -> None:
    words = ["--gauge", "ring_1=caliper", *STACK[:2], "--json", *STACK[2:]]
    assert main(["compute", "ring-stack-end-play", *words]) == 0
    data = json.loads(capsys.readouterr().out)
    assert [one["name"] for one in data["inputs"]] == ["span", "width", "ring_1", "ring_2"]
    assert data["inputs"][2]["gauge"] == "caliper"


def test_wrong_input_goes_to_standard_error_with_status_2(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["compute", "ring-offset", "ring_1=1.5 mm", "ring_2=1.5"]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err == (
        'ring_2: "1.5" has no unit: is it 1.5 in or 1.5 mm?\n'
        'usage: advisor compute ring-offset ring_1="LENGTH" ring_2="LENGTH"\n'
    )


def test_unknown_option_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as stopped:
        main(["compute", "ring-offset", "--colour"])
    assert stopped.value.code == 2
    assert "unrecognized arguments: --colour" in capsys.readouterr().err


def test_list_and_sweep_are_data_on_request(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["compute", "--json"]) == 0
    assert len(json.loads(capsys.readouterr().out)["computations"]) > 50
    sweep = ["--sweep", "joint_angle=1 deg..3 deg/2", "--json"]
    assert main(["compute", "trunnion-travel", *sweep]) == 0
    points = json.loads(capsys.readouterr().out)["sweep"]["points"]
    assert [point["result"] for point in points] == pytest.approx([4.0, 8.0, 12.0], rel=1e-9)
