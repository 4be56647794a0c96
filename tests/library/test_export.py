"""Cases as lines of JSON, and what is kept out of them."""

from __future__ import annotations

import json
import os
import stat
from pathlib import Path
from typing import Any

import pytest
from pydantic import BaseModel

from advisor.cases import CaseFile, Closing, Noted, ProofStep, Reading, Record, Repair, Result
from advisor.cases.casefile import NoLonger
from advisor.library import LibraryError, export, write_export
from advisor.library.export import Exported
from advisor.life import keep_private
from tests.library.making import LOOSE, Shelf, made

SECRET = "Zebedee"  # a word that no file but the test's own cases has


def exported(
    shelf: Shelf, *, closed: bool = False, private: bool = False, words: bool = True
) -> Exported:
    return shelf.ask(
        lambda library: export(library, closed_only=closed, with_private=private, with_words=words)
    )


def lines(found: Exported) -> list[dict[str, Any]]:
    return [json.loads(line) for line in found.text.splitlines()]


def wordy(name: str) -> CaseFile:
    """A case with the secret in every place where people write freely."""
    closing = Closing(
        work=f"Done for {SECRET}",
        parts=(SECRET,),
        proof=(ProofStep(step=f"Drive it, {SECRET}", done=True, result=SECRET),),
        noted=(Noted(what="Mileage", words=SECRET),),
        after=(Reading(question="history", answer=SECRET),),
        who=SECRET,
        minutes=10.0,
    )
    case = made(
        name,
        {**LOOSE, "history": SECRET, "lost-question": SECRET},
        vehicle=SECRET,
        complaint=SECRET,
        causes=["loose-joint"],
        note=SECRET,
        closing=closing,
        comeback_of="old",
    )
    back = case.comeback_of
    assert back is not None
    told = back.model_copy(update={"complaint": SECRET, "work": SECRET})
    records = tuple(one.model_copy(update={"who": SECRET}) for one in case.answers)
    gone = NoLonger(
        answers=(Record(question="gone", answer=SECRET, who=SECRET),),
        after=(Reading(question="gone", answer=SECRET),),
        repairs=(Repair(cause="gone", who=SECRET),),
    )
    return case.model_copy(update={"comeback_of": told, "answers": records, "retired": gone})


def test_each_case_is_a_line_that_is_the_case_again(shelf: Shelf) -> None:
    case = made("van", causes=["loose-joint"])
    shelf.put(case)
    shelf.put(made("car"))
    found = lines(exported(shelf))
    assert [one["id"] for one in found] == ["car", "van"]
    assert CaseFile.model_validate_json(json.dumps(found[1])) == case
    assert [one["id"] for one in lines(exported(shelf, closed=True))] == ["van"]


def test_without_words_nothing_that_people_wrote_freely_is_left(shelf: Shelf) -> None:
    shelf.put(wordy("van"))
    found = exported(shelf, words=False)
    assert SECRET not in found.text
    (line,) = lines(found)
    assert {record["question"] for record in line["answers"]} == set(LOOSE)
    again = CaseFile.model_validate_json(json.dumps(line))
    assert again.closing is not None
    assert again.closing.proof[0].done
    assert line["closing"]["minutes"] == 10.0
    assert line["outcome"]["causes"] == ["loose-joint"]
    assert line["retired"] == {"repairs": [{"cause": "gone"}]}
    assert "complaint" in found.summary
    assert "ids are kept" in found.summary


def test_every_field_for_text_of_a_case_is_known_to_the_test_above() -> None:
    """A new field of free words must be thought of here and in the export."""
    known: dict[type[BaseModel], str] = {
        CaseFile: "format id rulebook vehicle complaint answers repairs minutes_spent place "
        "put_off outcome closing comeback_of retired",
        NoLonger: "answers after repairs causes",
        Closing: "complaint_gone work parts rings after proof noted minutes at by who",
        Result: "causes none_of_the_listed note",
    }
    for model, names in known.items():
        assert set(model.model_fields) == set(names.split()), model.__name__


def test_private_data_and_names_are_left_out_unless_asked_for(shelf: Shelf) -> None:
    path = shelf.put(wordy("van"))
    keep_private(path, customer="Private Person", plate="AB 123")
    plain = exported(shelf)
    assert "Private Person" not in plain.text
    assert "who" not in lines(plain)[0]["answers"][0]
    assert "customers' data" in plain.summary
    (line,) = lines(exported(shelf, private=True))
    assert line["private"] == {"customer": "Private Person", "plate": "AB 123"}
    assert line["answers"][0]["who"] == SECRET


def test_private_data_come_from_the_folder_for_them_whatever_the_id_says(
    shelf: Shelf, tmp_path: Path
) -> None:
    (tmp_path / "outside.yaml").write_text("format: 1\ncustomer: Outside\n", encoding="utf-8")
    text = shelf.put(made("van")).read_text(encoding="utf-8")
    for id_ in ("../outside", "../../outside", str(tmp_path / "outside"), "..", "a/b", "a\\\\b"):
        shelf.put_text("van.yaml", text.replace('id: "van"', f'id: "{id_}"'))
        found = exported(shelf, private=True)
        assert found.text == ""
        assert [problem.code for problem in found.unreadable] == ["wrong-id"]
    other = made("another-id")
    shelf.put_text("van.yaml", text.replace('id: "van"', f'id: "{other.id}"'))
    assert lines(exported(shelf, private=True))[0]["private"] == {}


def test_comeback_of_a_path_names_no_file(shelf: Shelf, tmp_path: Path) -> None:
    shelf.put(made("van", comeback_of="../../outside"))
    before = sorted(tmp_path.rglob("*"))
    (line,) = lines(exported(shelf, private=True))
    assert line["comeback_of"]["case"] == "../../outside"
    assert sorted(tmp_path.rglob("*")) == sorted({*before, shelf.index})


def test_private_file_that_can_not_be_read_is_told(shelf: Shelf) -> None:
    path = shelf.put(made("van"))
    (path.parent / "private").mkdir()
    (path.parent / "private" / "van.yaml").write_text("format: 1\nowner: x\n", encoding="utf-8")
    found = exported(shelf, private=True)
    assert len(found.lines) == 1
    assert [(p.code, p.line) for p in found.unreadable] == [("unknown-field", 2)]


def test_line_holds_no_line_end_of_any_kind(shelf: Shelf) -> None:
    shelf.put(made("van", complaint="one\ntwo\u0085three"))
    found = exported(shelf)
    assert found.text.isascii()
    assert found.text.count("\n") == 1


def test_export_overwrites_nothing_and_is_for_its_owner(shelf: Shelf, tmp_path: Path) -> None:
    case = shelf.put(made("van"))
    before = case.read_bytes()
    with pytest.raises(LibraryError, match="is there already"):
        write_export(case, exported(shelf))
    assert case.read_bytes() == before
    write_export(tmp_path / "out.jsonl", exported(shelf))
    assert (tmp_path / "out.jsonl").read_text(encoding="utf-8") == exported(shelf).text
    if os.name == "posix":
        assert stat.S_IMODE((tmp_path / "out.jsonl").stat().st_mode) == 0o600
