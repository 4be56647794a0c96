"""Figures of a shop are counted right and told with honest ranges."""

from __future__ import annotations

import pytest
from scipy.stats import binomtest  # type: ignore[import-untyped]

from advisor.cases import Closing
from advisor.library import figures, figures_text
from advisor.library.figures import Figures, Share
from tests.library.making import LOOSE, UNBALANCED, Shelf, made


def counted(shelf: Shelf) -> Figures:
    return shelf.ask(figures)


def test_closed_open_and_causes_are_counted(shelf: Shelf) -> None:
    shelf.put(made("a", causes=["loose-joint"]))
    shelf.put(made("b", causes=["loose-joint", "unbalance"]))
    shelf.put(made("c", none=True))
    shelf.put(made("d"))
    found = counted(shelf)
    assert (found.closed, found.open) == (3, 1)
    assert [(one.cause, one.confirmed.hits) for one in found.causes] == [
        ("loose-joint", 2),
        ("unbalance", 1),
    ]
    assert found.none_of_the_listed == Share(1, 3)


def test_case_came_back_when_another_names_it_however_often(shelf: Shelf) -> None:
    shelf.put(made("first", causes=["loose-joint"]))
    shelf.put(made("second", causes=["loose-joint"]))
    shelf.put(made("again", comeback_of="first"))
    shelf.put(made("again-2", comeback_of="first"))
    shelf.put(made("elsewhere", comeback_of="not-here"))
    found = counted(shelf)
    assert found.comebacks == Share(1, 2)
    assert found.causes[0].came_back == Share(1, 2)


def test_leading_cause_is_right_when_it_is_one_of_those_confirmed(shelf: Shelf) -> None:
    shelf.put(made("right", LOOSE, causes=["loose-joint", "unbalance"]))
    shelf.put(made("wrong", UNBALANCED, causes=["loose-joint"]))
    shelf.put(made("unfit", {"colour": "red"}, causes=["loose-joint"]))
    found = counted(shelf)
    assert found.led == Share(1, 2)
    assert [problem.code for problem in found.unreadable] == ["unknown-question"]


def test_first_repair_cured_when_none_without_cure_went_before(shelf: Shelf) -> None:
    shelf.put(made("a", causes=["loose-joint"]))
    shelf.put(made("b", causes=["loose-joint"], repairs=["unbalance"]))
    assert counted(shelf).first_repair == Share(1, 2)


def test_minutes_of_work_are_set_beside_the_estimate_of_the_rulebook(shelf: Shelf) -> None:
    def closing(minutes: float) -> Closing:
        return Closing(minutes=minutes)

    shelf.put(made("a", causes=["loose-joint"], closing=closing(130.0), minutes_spent=20.0))
    shelf.put(made("b", causes=["unbalance"], closing=closing(140.0), minutes_spent=40.0))
    shelf.put(made("c", none=True, closing=closing(30.0)))
    shelf.put(made("d", causes=["unbalance"]))
    found = counted(shelf)
    assert (found.work.cases, found.work.spent, found.work.estimated) == (2, 270.0, 65.0 + 140.0)
    assert found.work.median_ratio == pytest.approx(1.5)
    assert found.diagnosis_minutes == 30.0


@pytest.mark.parametrize(("hits", "count"), [(0, 3), (1, 1), (7, 20), (40, 40)])
def test_interval_is_that_of_wilson_by_scipy(hits: int, count: int) -> None:
    expected = binomtest(hits, count).proportion_ci(0.95, method="wilson")
    assert Share(hits, count).interval == pytest.approx((expected.low, expected.high), abs=1e-4)


def test_without_closed_cases_there_are_no_figures(shelf: Shelf) -> None:
    shelf.put(made("a"))
    found = counted(shelf)
    assert "need closed cases" in figures_text(found)
    assert found.as_data()["came_back"] == {
        "hits": 0,
        "count": 0,
        "share": None,
        "low": 0.0,
        "high": 1.0,
    }


def test_figures_are_told_with_counts_and_ranges(shelf: Shelf) -> None:
    shelf.put(made("a", causes=["loose-joint"]))
    shelf.put(made("b", comeback_of="a"))
    text = figures_text(counted(shelf))
    assert "1 closed case, 1 open" in text
    assert "Cross loose in its fork: 1 of 1 (21 to 100\u00a0%)" in text
    assert "came back: 1 of 1" in text
