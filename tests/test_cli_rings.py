"""The verb `rings`, and what the settings do for the other verbs."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from advisor.cli import main
from advisor.verbs.output import DONE, WRONG
from tests.report.ring_shop import BOTH_AXES, ring_folder, write_case, write_stock

Run = Callable[..., tuple[int, str, str]]
THICK, THIN = "thickness: 1.51 mm, count: 4", "thickness: 1.49 mm, count: 4"


@pytest.fixture
def run(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Run:
    """Runs a verb on the case with the rulebook that chooses rings; status, output, error."""
    book = ring_folder(tmp_path)
    case = write_case(tmp_path / "pickup.yaml", BOTH_AXES)

    def go(verb: str, *words: str | Path) -> tuple[int, str, str]:
        told = [str(case), *map(str, words)] if verb != "compute" else list(map(str, words))
        return (main([verb, *told, "--rulebook", str(book)]), *capsys.readouterr())

    return go


@pytest.fixture
def stock(tmp_path: Path) -> Path:
    return write_stock(tmp_path / "rings.yaml", a=THICK, b=THIN)


@pytest.fixture
def settings(tmp_path: Path, stock: Path) -> Path:
    path = tmp_path / "settings.yaml"
    text = f"format: 1\ngauges: {{caliper: {{limit: 0.03 mm}}}}\nstock: {stock.name}\n"
    path.write_text(text, encoding="utf-8")
    return path


def test_rings_are_told_after_the_cautions(run: Run, stock: Path) -> None:
    status, out, err = run("rings", "--stock", stock)
    assert (status, err) == (DONE, "")
    assert out.startswith("case pickup: rings to cure")
    assert 0 < out.index("CAUTION: A retaining ring can spring out.") < out.index("RINGS, from")
    assert 'axis 1: two rings of box "a"' in out
    assert 'axis 2: two rings of box "b"' in out


def test_rings_as_json_hold_the_same(run: Run, stock: Path) -> None:
    status, out, err = run("rings", "--stock", stock, "--json")
    data = json.loads(out)
    assert (status, err, data["format"]) == (DONE, "", 1)
    assert data["cause"] == "rings-too-thin"
    assert data["cautions"]
    assert data["rings"]["status"] == "chosen"
    assert [axis["rings"][0]["box"] for axis in data["rings"]["chosen"]] == ["a", "b"]


def test_rank_tells_the_rings_of_the_settings_stock_within_the_cure(
    run: Run, settings: Path
) -> None:
    status, out, err = run("rank", "--settings", settings)
    assert (status, err) == (DONE, "")
    assert out.index("THE CURE") < out.index("RINGS, from the stock in")
    data = json.loads(run("rank", "--settings", settings, "--json")[1])
    assert data["cure"]["rings"]["stock"].endswith("rings.yaml")


def test_rank_without_settings_tells_how_to_give_a_stock(run: Run) -> None:
    status, out, _ = run("rank")
    assert status == DONE
    assert "--stock FILE" in " ".join(out.split())


def test_own_option_goes_before_the_stock_of_the_settings(
    run: Run, settings: Path, tmp_path: Path
) -> None:
    other = write_stock(tmp_path / "other.yaml", z=THICK)
    out = run("rings", "--settings", settings, "--stock", other)[1]
    assert "other.yaml" in out


def test_settings_in_the_usual_place_are_used(run: Run, settings: Path, empty_config: Path) -> None:
    usual = empty_config / "driveline-advisor" / "settings.yaml"
    usual.parent.mkdir()
    usual.write_text(settings.read_text(encoding="utf-8"), encoding="utf-8")
    write_stock(usual.parent / "rings.yaml", mine=THICK)
    assert "driveline-advisor" in run("rings")[1]


def test_gauge_of_the_settings_changes_what_a_case_says(run: Run, settings: Path) -> None:
    assert "80.000 mm +/- 0.012 mm" in run("rank")[1]
    assert "80.000 mm +/- 0.018 mm" in run("rank", "--settings", settings)[1]


@pytest.mark.parametrize(
    "words", [["ask"], ["rank"], ["why"], ["rings"], ["close", "--none-of-the-listed"]]
)
def test_faulty_settings_stop_every_verb_that_uses_them(
    run: Run, tmp_path: Path, words: list[str]
) -> None:
    settings = tmp_path / "settings.yaml"
    settings.write_text("format: 1\ngauges: {calliper: {limit: 1 mm}}\n", encoding="utf-8")
    status, out, err = run(*words, "--settings", settings)
    assert (status, out) == (WRONG, "")
    assert "settings.yaml:2:10: error[unknown-gauge]" in err


def test_gauge_of_the_settings_counts_in_a_computation(run: Run, settings: Path) -> None:
    words = ["difference", "first=80 mm", "second=70 mm", "--gauge", "first=caliper"]
    assert "0.012 mm" in run("compute", *words)[1]
    assert "0.018 mm" in run("compute", *words, "--settings", settings)[1]


def test_doubtful_thickness_is_told_on_standard_error_and_stops_nothing(
    run: Run, tmp_path: Path
) -> None:
    stock = write_stock(tmp_path / "odd.yaml", a=THICK, b="thickness: 1.5 in, count: 2")
    status, out, err = run("rings", "--stock", stock)
    assert status == DONE
    assert "RINGS" in out
    assert "odd.yaml:4:18: warning[unlikely-value]: read 1.5 in, likely mm" in err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--stock", "absent.yaml"], "there is no such file"),
        (["--settings", "absent.yaml"], "there is no such file"),
        (["--cause", "rings-too-thn"], 'did you mean "rings-too-thin"?'),
        (
            ["--cause", "wheel-unbalance"],
            'the cure of "wheel-unbalance" chooses no rings; those that do: rings-too-thin',
        ),
    ],
)
def test_what_cannot_be_used_has_status_2_and_no_result(
    run: Run, words: list[str], said: str
) -> None:
    status, out, err = run("rings", *words)
    assert (status, out) == (WRONG, "")
    assert said in err


def test_faulty_stock_of_the_settings_stops_the_advice(
    run: Run, settings: Path, stock: Path
) -> None:
    stock.write_text("format: 1\nrings: {a: {thickness: 1.5, count: 2}}\n", encoding="utf-8")
    status, out, err = run("rank", "--settings", settings)
    assert (status, out) == (WRONG, "")
    assert "rings.yaml:2:24: error[wrong-quantity]" in err


def test_why_needs_no_stock(run: Run, settings: Path, stock: Path) -> None:
    stock.unlink()
    assert run("why", "--settings", settings)[0] == DONE
