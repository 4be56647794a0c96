"""A case that was answered and closed by ids of old counts under the ids of today."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.cases import Closing, open_case
from advisor.library import Wanted, figures, light_of, search, similar, similar_text
from advisor.rulebook import load
from tests.cases.shop import SHOP_YAML
from tests.library.making import LOOSE, Shelf, made

OLD = """
retired:
  causes:
    slack-joint: {replaced_by: loose-joint, retired_in: 1.0.0, reason: a better word}
  questions:
    end-play: {replaced_by: play, retired_in: 1.0.0, reason: a better word}
"""
OF_OLD = {**{name: text for name, text in LOOSE.items() if name != "play"}, "end-play": "0.4 mm"}


@pytest.fixture
def shelf(tmp_path: Path) -> Shelf:
    for name in ("cases", "rules"):
        (tmp_path / name).mkdir()
    (tmp_path / "rules" / "shop.yaml").write_text(SHOP_YAML + OLD, encoding="utf-8")
    light = light_of(tmp_path / "rules", (), None, lambda: load(tmp_path / "rules"))
    shelf = Shelf(tmp_path / "cases", tmp_path / "index.sqlite", light)
    shelf.put(made("old", OF_OLD, causes=["slack-joint"], closing=Closing(minutes=70.0)))
    shelf.put(made("new", LOOSE, causes=["loose-joint"]))
    return shelf


@pytest.mark.parametrize("wanted", [{"cause": "loose-joint"}, {"facts": ("play=0.4 mm",)}], ids=str)
def test_found_by_the_ids_of_today(shelf: Shelf, wanted: dict[str, object]) -> None:
    found = shelf.ask(lambda library: search(library, Wanted(**wanted), 10))  # type: ignore[arg-type]
    assert [one.case.id for one in found.found] == ["new", "old"]
    assert [one["confirmed"] for one in found.as_data()["cases"]] == [["loose-joint"]] * 2


def test_counted_by_the_ids_of_today(shelf: Shelf) -> None:
    found = shelf.ask(figures)
    assert [(one.cause, one.confirmed.hits) for one in found.causes] == [("loose-joint", 2)]
    assert found.led.hits == 2
    assert (found.work.cases, found.work.estimated) == (1, 65.0)
    assert found.none_of_the_listed.hits == 0


def test_likeness_tells_the_cure_of_today(shelf: Shelf) -> None:
    this = open_case(shelf.folder / "new.yaml", shelf.light.rulebook)
    alike = shelf.ask(lambda library: similar(library, this, 5))
    (one,) = alike.as_data()["closed"]
    assert (one["id"], one["likeness"]) == ("old", 1.0)
    assert [cure["cause"] for cure in one["cures"]] == ["loose-joint"]
    assert "confirmed: Cross loose in its fork" in similar_text(alike)
