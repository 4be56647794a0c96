"""Cases like one: closed ones first, with what cured them and the cautions before it."""

from __future__ import annotations

from pathlib import Path

from advisor.cases import Closing, open_case
from advisor.library import similar, similar_text
from advisor.library.similar import AlikeCases
from advisor.rulebook import Rulebook, load
from tests.cases.shop import SHOP_YAML
from tests.library.making import LOOSE, UNBALANCED, Shelf, made


def alike(shelf: Shelf, path: Path, most: int = 10) -> AlikeCases:
    return shelf.ask(lambda library: similar(library, open_case(path, library.rulebook), most))


def ids(found: AlikeCases) -> tuple[list[str], list[str]]:
    return [one.found.case.id for one in found.closed], [one.found.case.id for one in found.open]


def test_closed_cases_stand_apart_and_the_most_alike_first(shelf: Shelf) -> None:
    this = shelf.put(made("this", LOOSE))
    shelf.put(made("same", LOOSE, causes=["loose-joint"]))
    shelf.put(made("less", {"play": "0.4 mm", "bolts-loose": "yes"}, causes=["loose-joint"]))
    shelf.put(made("unlike", UNBALANCED, causes=["unbalance"]))
    shelf.put(made("open", LOOSE))
    found = alike(shelf, this)
    assert ids(found) == (["same", "less"], ["open"])
    assert found.closed[0].likeness == found.open[0].likeness == 1.0
    assert found.compared == 4
    assert ids(alike(shelf, this, 1)) == (["same"], ["open"])


def test_case_from_elsewhere_is_compared_with_all(shelf: Shelf, tmp_path: Path) -> None:
    shelf.put(made("van", LOOSE, causes=["loose-joint"]))
    text = (shelf.folder / "van.yaml").read_text(encoding="utf-8")
    outside = tmp_path / "van.yaml"
    outside.write_text(text, encoding="utf-8")
    assert ids(alike(shelf, outside)) == (["van"], [])
    assert ids(alike(shelf, shelf.folder / ".." / "cases" / "van.yaml")) == ([], [])


def test_closed_case_whose_cause_can_not_be_here_is_left_out(shelf: Shelf) -> None:
    shared = {"shudder-in-neutral": "no", "began-after-work": "yes"}
    this = shelf.put(made("this", {**shared, "layout": "one-piece"}))
    two = {**shared, "layout": "two-piece"}
    shelf.put(made("support", two, causes=["bad-support"]))
    shelf.put(made("joint", two, causes=["loose-joint"]))
    found = alike(shelf, this)
    assert ids(found) == (["joint"], [])
    assert found.impossible == 1
    assert "1 closed case left out" in similar_text(found)


def test_shared_and_differing_findings_are_told(shelf: Shelf) -> None:
    this = shelf.put(made("this", {**LOOSE, "bolts-loose": "no"}))
    shelf.put(made("other", {**LOOSE, "bolts-loose": "yes"}, causes=["loose-joint"]))
    (one,) = alike(shelf, this).closed
    assert one.shared[0].here.finding == "too-much-play"
    assert [item.here.finding for item in one.differing] == ["bolts"]
    text = similar_text(alike(shelf, this))
    assert "The cross has too much end play: yes" in text
    assert "Flange bolts are loose: here no, there yes" in text


def test_what_was_done_and_how_long_it_took_is_told(shelf: Shelf) -> None:
    this = shelf.put(made("this"))
    closing = Closing(work="Fitted thicker rings", minutes=50.0)
    shelf.put(
        made("van", causes=["loose-joint"], note="Quiet", closing=closing, minutes_spent=35.0)
    )
    text = similar_text(alike(shelf, this))
    assert "done: Fitted thicker rings" in text
    assert "done: Quiet" in text
    assert "35" in text
    assert "50" in text


def with_caution(folder: Path) -> Rulebook:
    text = SHOP_YAML.replace(
        "steps: [Fit thicker rings]}", "steps: [Fit thicker rings], cautions: [spring]}"
    )
    (folder / "shop.yaml").write_text(text, encoding="utf-8")
    return load(folder)


def test_cautions_stand_before_what_was_done_in_text_and_data(shelf: Shelf, tmp_path: Path) -> None:
    this = shelf.put(made("this"))
    shelf.put(made("van", causes=["loose-joint"], note="Thicker rings fitted"))
    (tmp_path / "careful").mkdir()
    careful = with_caution(tmp_path / "careful")
    light = type(shelf.light)("careful", lambda: careful)
    found = alike(Shelf(shelf.folder, shelf.index, light), this)
    text = similar_text(found)
    assert text.index("Wear eye protection.") < text.index("Thicker rings fitted")
    (cure,) = found.as_data()["closed"][0]["cures"]
    assert cure["cautions"] == ["Wear eye protection."]
    assert list(cure).index("cautions") < list(cure).index("steps")


def test_case_that_does_not_fit_the_rulebook_is_told_and_the_rest_compared(shelf: Shelf) -> None:
    this = shelf.put(made("this"))
    shelf.put(made("fits", causes=["loose-joint"]))
    shelf.put(made("unfit", {"colour": "red"}, causes=["loose-joint"]))
    shelf.put(made("gone", causes=["no-such-cause"]))
    for _ in range(2):  # weighed now, then from the index
        found = alike(shelf, this)
        assert ids(found) == (["fits"], [])
        assert [problem.code for problem in found.unreadable] == [
            "unknown-cause",
            "unknown-question",
        ]
        assert found.unreadable[1].line > 1


def test_no_like_case_is_said_plainly(shelf: Shelf) -> None:
    this = shelf.put(made("this"))
    assert similar_text(alike(shelf, this)) == "No case is like this one (0 compared)."


def test_none_of_the_listed_is_an_outcome_too(shelf: Shelf) -> None:
    this = shelf.put(made("this"))
    shelf.put(made("odd", none=True, note="A loose heat shield"))
    found = alike(shelf, this)
    assert found.as_data()["closed"][0]["none_of_the_listed"] is True
    assert "confirmed: none of the listed causes" in similar_text(found)
