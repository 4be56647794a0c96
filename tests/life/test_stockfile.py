"""A stock file is lessened in its text: comments, order and layout stay."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.cases import RingUse
from advisor.life.stockfile import StockError, StockFile
from advisor.rulebook import Rulebook, read_yaml
from advisor.stock import read_stock
from tests.life.book import STOCK, write_stock


def use(box: str, count: int, name: str = "a1b2c3d4") -> RingUse:
    return RingUse(use=name, stock="rings.yaml", box=box, count=count, thickness="1.5 mm")


def counts(path: Path) -> dict[str, int]:
    return {name: box["count"] for name, box in read_yaml(path).data["rings"].items()}


def test_only_the_count_changes_and_the_use_is_noted_at_the_end(stock: Path) -> None:
    StockFile(stock).lessen([use("tray-2", 2)], "van")
    lines = stock.read_text(encoding="utf-8").splitlines()
    assert lines[: len(STOCK.splitlines())] == STOCK.replace("count: 3 ", "count: 1 ").splitlines()
    assert lines[len(STOCK.splitlines()) :] == [
        "# rings taken out for cases; their ids keep them from being counted twice",
        "taken:",
        '  - {"use": "a1b2c3d4", "case": "van", "box": "tray-2", "count": 2}',
    ]


def test_later_uses_come_first_in_the_list(stock: Path) -> None:
    StockFile(stock).lessen([use("tray-1", 1, "first-use"[:5] + "use")], "van")
    StockFile(stock).lessen([use("tray-1", 3, "seconduse"), use("box: 3", 1, "thirduse")], "car")
    assert counts(stock) == {"tray-1": 8, "tray-2": 3, "box: 3": 0}
    assert [entry["use"] for entry in read_yaml(stock).data["taken"]] == [
        "seconduse",
        "thirduse",
        "firstuse",
    ]
    assert StockFile(stock).uses == {"firstuse", "seconduse", "thirduse"}


@pytest.mark.parametrize(
    "text",
    [STOCK.replace("\n", "\r\n"), STOCK.rstrip("\n"), "\ufeff" + STOCK],
    ids=["CR LF", "no last line end", "byte order mark"],
)
def test_line_ends_and_byte_order_mark_stay(tmp_path: Path, text: str) -> None:
    path = tmp_path / "rings.yaml"
    path.write_bytes(text.encode("utf-8"))
    StockFile(path).lessen([use("tray-2", 2)], "van")
    assert counts(path)["tray-2"] == 1
    assert "a1b2c3d4" in StockFile(path).uses
    assert path.read_bytes().startswith(text[:20].encode("utf-8"))
    assert (b"\r\n" in path.read_bytes()) == ("\r\n" in text)


@pytest.mark.parametrize(
    "text",
    [
        "{format: 1, rings: {tray-2: {thickness: 1.5 mm, count: 3}}}",
        STOCK + "taken: [{use: olduse12, case: x, box: tray-1, count: 1}]\n",
    ],
    ids=["all in one line", "list in one line"],
)
def test_layout_that_cannot_be_changed_safely_is_left_alone(tmp_path: Path, text: str) -> None:
    path = write_stock(tmp_path, text)
    with pytest.raises(StockError, match="laid out"):
        StockFile(path).lessen([use("tray-2", 2)], "van")
    assert path.read_text(encoding="utf-8") == text


def test_boxes_that_share_one_record_are_left_alone(tmp_path: Path) -> None:
    text = STOCK.replace("{thickness: 1.6 mm, count: 1}", "*tray").replace(
        "tray-1:   {", "tray-1:   &tray {"
    )
    path = write_stock(tmp_path, text)
    with pytest.raises(StockError, match="laid out"):
        StockFile(path).lessen([use("tray-1", 1)], "van")
    assert path.read_text(encoding="utf-8") == text


@pytest.mark.parametrize(
    ("box", "count", "reason"),
    [("tray-2", 4, "holds 3; 4 are to be taken"), ("tray-3", 1, 'did you mean one of "tray-')],
    ids=["too many", "unknown box"],
)
def test_what_is_not_there_is_refused_and_nothing_written(
    stock: Path, box: str, count: int, reason: str
) -> None:
    with pytest.raises(StockError, match=reason):
        StockFile(stock).lessen([use(box, count)], "van")
    assert stock.read_text(encoding="utf-8") == STOCK


def test_lessened_stock_is_still_a_stock(stock: Path, book: Rulebook) -> None:
    before = read_stock(stock, book)
    StockFile(stock).lessen([use("tray-1", 2)], "van")
    after = read_stock(stock, book)
    assert [box.name for box in after.boxes] == [box.name for box in before.boxes]
    assert after.boxes[0].rings.count == 10


NAMES = st.text(
    st.characters(blacklist_categories=("Cc", "Cs", "Cf", "Zl", "Zp", "Cn"), max_codepoint=0x1FFFF),
    min_size=1,
    max_size=12,
).filter(lambda name: name == name.strip())


@settings(deadline=None, max_examples=50)  # a file is written; no clock decides
@given(
    boxes=st.dictionaries(NAMES, st.integers(0, 10**4), min_size=1, max_size=4),
    data=st.data(),
)
def test_any_box_by_any_name_is_lessened_by_just_so_many(
    tmp_path_factory: pytest.TempPathFactory, boxes: dict[str, int], data: st.DataObject
) -> None:
    lines = [
        f"  {json.dumps(n, ensure_ascii=False)}: {{thickness: 1.5 mm, count: {c}}}"
        for n, c in boxes.items()
    ]
    folder = tmp_path_factory.mktemp("stock")
    path = write_stock(folder, "\n".join(["format: 1", "rings:", *lines, ""]))
    name = data.draw(st.sampled_from(sorted(boxes)))
    if boxes[name] == 0:
        return
    count = data.draw(st.integers(1, min(boxes[name], 1000)))
    StockFile(path).lessen([use(name, count)], "van")
    assert counts(path) == {**boxes, name: boxes[name] - count}
