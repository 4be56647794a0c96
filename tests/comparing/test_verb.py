"""`advisor compare`: a report for a review, its exit status, and complaints about what is wrong."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from advisor.cli import main
from tests.comparing.books import book
from tests.comparing.test_comparison import RATE

CASE = """\
format: 1
id: {name}
rulebook: {{id: small, version: 0.1.0}}
answers: {{{answers}}}
{more}"""


def cases(tmp_path: Path, **answers: str) -> Path:
    folder = tmp_path / "cases"
    folder.mkdir()
    for name, text in answers.items():
        more = "outcome: {causes: [flange-loose]}\n"
        (folder / f"{name}.yaml").write_text(
            CASE.format(name=name, answers=text, more=more), encoding="utf-8"
        )
    return folder


def test_report_names_rule_vehicle_and_verdict(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    old, new = book(tmp_path / "old"), book(tmp_path / "new", RATE)
    folder = cases(tmp_path, van="bolts-loose: true", other="bolts-gone: true")
    words = ["compare", str(old), str(new), "--cases", str(folder)]
    assert main(words) == 0
    shown = capsys.readouterr()
    lines = shown.out.splitlines()
    assert f'- finding "bolts-unsafe" changed ({new}/more.yaml:24)' in lines
    assert "  - for flange-loose: true +16.5 db became +1.8 db, false -9.9 db became -0.0 db" in [
        line.replace("+0.0 db", "-0.0 db") for line in lines
    ]
    (van,) = [line for line in lines if line.startswith("- van ")]
    assert van.startswith(f"- van ({folder}/van.yaml:1): flange-loose led at 0.")
    assert van.endswith("right is flange-loose: worse")
    (other,) = [line for line in lines if line.startswith("- other ") and "older" in line]
    assert '"bolts-gone"' in other
    assert shown.err.startswith("1 record changed, 1 of 1 vehicle moved, another cause leads on 1")
    assert main([*words, "--strict"]) == 1


def test_strict_is_status_0_when_nothing_that_matters_changed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    old, new = book(tmp_path / "old"), book(tmp_path / "new")
    assert main(["compare", str(old), str(new), "--strict"]) == 0
    assert capsys.readouterr().err.startswith("0 records changed, 0 of 5 vehicles moved")


def test_json_holds_what_the_report_says(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    old, new = book(tmp_path / "old"), book(tmp_path / "new", RATE)
    assert main(["compare", str(old), str(new), "--json", "--no-plan"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert data["format"] == 1
    assert [one["id"] for one in data["differences"]] == ["bolts-unsafe"]
    (loose,) = [one for one in data["moved"] if one["id"] == "loose"]
    assert loose["leader_changed"]
    assert loose["odds"] == [loose["after"]["leading"], "flange-loose"]
    assert loose["reasons"][0]["by"] == [{"section": "findings", "id": "bolts-unsafe"}]


@pytest.mark.parametrize(
    ("words", "complaint"),
    [
        (["nowhere", "{new}"], "nowhere"),
        (["{old}", "{new}", "--cases", "nowhere"], "there is no such folder"),
        (["{old}", "{new}", "--cases", "{old}/examples/.."], "not compared"),
    ],
)
def test_what_cannot_be_read_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], words: list[str], complaint: str
) -> None:
    old, new = book(tmp_path / "old"), book(tmp_path / "new")
    filled = [word.format(old=old, new=new) for word in words]
    status = main(["compare", *filled])
    assert status == (0 if complaint == "not compared" else 2)
    assert complaint in capsys.readouterr().err


def test_threshold_beyond_1_is_wrong_use(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as stop:
        main(["compare", str(tmp_path), str(tmp_path), "--threshold", "5"])
    assert stop.value.code == 2
    assert "write a number from 0 to 1" in capsys.readouterr().err
