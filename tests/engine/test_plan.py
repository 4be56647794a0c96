"""What to do next: savings, ways to places, tests together, and what is left out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations
from random import Random

import pytest

from advisor.engine import rules as engine_rules
from advisor.engine.hypotheses import Hypotheses
from advisor.engine.plan import (
    CHANGE_OVER,
    FAIR_PART,
    LEAST_SAVING,
    MOST_WEIGHED,
    SHORTEST,
    SHOWN,
    TESTS_TRIED_TOGETHER,
)
from advisor.engine.rules import All, Finding, Is, Place, Rules, Within
from advisor.engine.values import UNKNOWN, Interval, Number
from tests import helpers, oracles
from tests.random_books import LARGE_SIZES, small_book

ROAD = Place("road", 15.0)
TELLING = {"a": 0.97}
PLACES = (helpers.DESK, helpers.BENCH, ROAD)
COSTLY = (
    helpers.cause("a", repair_minutes=100.0),
    helpers.cause("b", repair_minutes=100.0),
)


def book(*items: Finding, place: str = "desk", minutes: float = 1.0, **more: object) -> Rules:
    """Yes/no findings, each with a test of its own at one place; two costly causes."""
    return helpers.rules(
        **{
            "findings": items,
            "causes": COSTLY,
            "places": PLACES,
            "tests": [
                helpers.work(f"test-{item.id}", [f"q-{item.id}"], place=place, minutes=minutes)
                for item in items
            ],
            **more,
        }  # type: ignore[arg-type]
    )


def test_a_telling_cheap_test_is_advised() -> None:
    plan = helpers.diagnosis(book(helpers.finding("f", TELLING, usual=0.03))).plan(at="desk")
    assert plan.test == "test-f"
    assert plan.options[0].minutes == 1.0
    assert plan.options[0].saves > 0.0
    assert plan.expected_minutes == pytest.approx(
        plan.repair.expected_minutes - plan.options[0].saves, abs=1e-12
    )


def test_no_test_is_advised_when_none_pays() -> None:
    dear = book(helpers.finding("f", TELLING, usual=0.03), minutes=500.0)
    plan = helpers.diagnosis(dear).plan(at="desk")
    assert plan.test is None
    assert [option.saves < 0.0 for option in plan.options] == [True]
    assert plan.expected_minutes == plan.repair.expected_minutes


def test_a_test_that_tells_nothing_is_no_option() -> None:
    plan = helpers.diagnosis(book(helpers.finding("f"))).plan(at="desk")
    assert plan.options == ()
    assert plan.test is None


@pytest.mark.parametrize(("at", "minutes"), [("desk", 16.0), ("road", 1.0), ("bench", 16.0)])
def test_the_way_to_a_place_costs_only_when_not_there(at: str, minutes: float) -> None:
    there = book(helpers.finding("f", TELLING, usual=0.03), place="road")
    options = helpers.diagnosis(there).plan(at=at).options
    assert [option.minutes for option in options] == [minutes]


def test_the_way_to_a_place_is_paid_once_for_two_tests_there() -> None:
    items = [helpers.finding(name, {"a": 0.85}, usual=0.15) for name in ("f", "g")]
    rules = book(*items, place="road", minutes=1.0)
    best = helpers.diagnosis(rules).plan(at="desk").options[0]
    assert best.tests == ("test-f", "test-g")
    assert best.minutes == 15.0 + 1.0 + 1.0


def two_places(*, here: float, there: float) -> Rules:
    """A test at the desk of 4 minutes and one at the lift of 1, each with its rate for a cause."""
    return book(
        helpers.finding("f", {"a": here}, usual=0.1),
        helpers.finding("g", {"b": there}, usual=0.1),
        places=(Place("desk", 10.0), Place("lift", 1.0)),
        tests=[
            helpers.work("test-f", ["q-f"], place="desk", minutes=4.0),
            helpers.work("test-g", ["q-g"], place="lift"),
        ],
    )


def test_a_place_is_not_left_for_a_little_more_while_something_there_pays() -> None:
    """The test at the lift saves more, but one would have to come back to the desk."""
    rules = two_places(here=0.6, there=0.75)
    options = helpers.diagnosis(rules).plan(at="desk").options
    saves = {option.tests: option.saves for option in options}
    assert saves["test-g",] > saves["test-f",] > 1.0
    assert options[0].tests[0] == "test-f"
    assert helpers.diagnosis(rules).plan(at="lift").test == "test-g"


def test_a_place_is_left_when_nothing_there_pays() -> None:
    plan = helpers.diagnosis(two_places(here=0.12, there=0.75)).plan(at="desk")
    assert plan.test == "test-g"
    assert [option.saves < 1.0 for option in plan.options] == [False, True]


def test_two_tests_that_only_together_tell_something_are_found() -> None:
    both = helpers.finding("f", TELLING, usual=0.03, when=All((Is("x", True), Is("y", True))))
    rules = book(
        both,
        questions=[helpers.yes_no("x"), helpers.yes_no("y")],
        tests=[
            helpers.work("test-x", ["x"], place="bench"),
            helpers.work("test-y", ["y"], place="desk"),
        ],
    )
    plan = helpers.diagnosis(rules).plan(at="desk")
    assert plan.options[0].tests == ("test-y", "test-x")  # where one is comes first
    assert plan.options[0].minutes == 12.0
    assert plan.test == "test-y"


def test_of_work_that_goes_together_what_can_be_done_here_comes_first() -> None:
    """However near the other place is."""
    rules = book(
        helpers.finding("f", TELLING, usual=0.03, when=All((Is("x", True), Is("y", True)))),
        questions=[helpers.yes_no("x"), helpers.yes_no("y")],
        places=(Place("near", 0.5), helpers.BENCH),
        tests=[
            helpers.work("test-x", ["x"], place="near"),
            helpers.work("test-y", ["y"], place="bench"),
        ],
    )
    assert helpers.diagnosis(rules).plan(at="bench").options[0].tests == ("test-y", "test-x")


@pytest.mark.parametrize(("count", "is_found"), [(4, True), (5, False)])
def test_up_to_four_tests_that_only_together_tell_something_are_found(
    count: int, is_found: bool
) -> None:
    names = [f"x-{k}" for k in range(count)]
    every = All(tuple(Is(name, True) for name in names))
    rules = book(
        helpers.finding("f", TELLING, usual=0.03, when=every),
        questions=[helpers.yes_no(name) for name in names],
        tests=[helpers.work(f"test-{name}", [name], minutes=0.1) for name in names],
    )
    options = helpers.diagnosis(rules).plan(at="desk").options
    assert bool(options) is is_found
    if options:
        assert options[0].tests == tuple(f"test-{name}" for name in names)


def test_a_test_whose_questions_hang_on_another_comes_after_it() -> None:
    """The prerequisite is farther away, and the nearer test has a useless question too."""
    rules = book(
        helpers.finding("f", TELLING, usual=0.03, when=Is("deep", True)),
        questions=[
            helpers.yes_no("deep", ask_if=Is("first", True)),
            helpers.yes_no("useless"),
            helpers.yes_no("first"),
        ],
        tests=[
            helpers.work("test-deep", ["useless", "deep"], place="desk"),
            helpers.work("test-first", ["first"], place="bench"),
        ],
    )
    case = helpers.diagnosis(rules)
    assert case.plan(at="desk").options[0].tests == ("test-first", "test-deep")
    case.answer("first", True)
    assert case.plan(at="desk").options[0].tests == ("test-deep",)
    case.answer("first", False)
    assert case.plan(at="desk").options == ()


def test_tests_put_off_are_not_offered() -> None:
    rules = book(helpers.finding("f", TELLING), helpers.finding("g", {"b": 0.9}))
    case = helpers.diagnosis(rules)
    offered = {option.tests[0] for option in case.plan(at="desk").options}
    assert offered == {"test-f", "test-g"}
    options = case.plan(at="desk", put_off=["test-f"]).options
    assert {name for option in options for name in option.tests} == {"test-g"}


def test_only_tests_in_the_places_of_the_role_are_offered() -> None:
    rules = book(
        helpers.finding("f", TELLING),
        helpers.finding("g", {"b": 0.9}),
        tests=[
            helpers.work("test-f", ["q-f"], place="road"),
            helpers.work("test-g", ["q-g"], place="desk"),
        ],
    )
    options = helpers.diagnosis(rules).plan(at="desk", places=["desk"]).options
    assert [option.tests for option in options] == [("test-g",)]


def test_a_question_answered_dont_know_is_not_asked_again() -> None:
    rules = book(helpers.finding("f", TELLING, usual=0.03))
    assert helpers.diagnosis(rules, {"q-f": UNKNOWN}).plan(at="desk").options == ()


def test_not_knowing_one_way_leaves_the_other() -> None:
    """A measured or computed fact: measuring is answered with "don't know"."""
    rules = book(
        helpers.finding("f", TELLING, usual=0.03, when=Within("n", (Interval(low=1.0),))),
        questions=[helpers.number("n"), helpers.number("x")],
        computed=[helpers.computed("n", {"x": "x"}, helpers.total)],
        tests=[helpers.work("test-n", ["n"]), helpers.work("test-x", ["x"])],
    )
    case = helpers.diagnosis(rules)
    assert {option.tests[0] for option in case.plan(at="desk").options} == {"test-n", "test-x"}
    case.answer("n", UNKNOWN)
    assert [option.tests for option in case.plan(at="desk").options] == [("test-x",)]
    case.answer("x", Number(3.0))
    assert case.plan(at="desk").options == ()


def test_a_settled_finding_is_not_worth_settling_again() -> None:
    rules = book(
        helpers.finding("f", TELLING, when=All((Is("x", True), Is("y", True)))),
        questions=[helpers.yes_no("x"), helpers.yes_no("y")],
        tests=[helpers.work("test-x", ["x"]), helpers.work("test-y", ["y"])],
    )
    assert helpers.diagnosis(rules, {"x": False}).plan(at="desk").options == ()


def test_restating_a_known_more_telling_finding_is_worth_nothing() -> None:
    rules = book(
        helpers.finding("strong", {"a": 0.95}, observation="one"),
        helpers.finding("weak", {"a": 0.4}, observation="one"),
    )
    assert helpers.diagnosis(rules, {"q-strong": True}).plan(at="desk").options == ()
    options = helpers.diagnosis(rules, {"q-weak": True}).plan(at="desk").options
    assert [option.tests for option in options] == [("test-strong",)]


def test_a_more_telling_finding_takes_the_place_of_the_known_one() -> None:
    """Its outcome is foretold with the known finding, and then counts without it."""
    rules = book(
        helpers.finding("weak", {"a": 0.3}, observation="one"),
        helpers.finding("strong", {"a": 0.95, "b": 0.02}, observation="one"),
    )
    answers = {"q-weak": True}
    (option,) = helpers.diagnosis(rules, answers).plan(at="desk").options
    saved = oracles.saving(rules, answers, ["q-strong"])
    assert option.saves == pytest.approx(saved - option.minutes, abs=1e-9)
    assert saved > 1.0


def test_two_questions_of_one_observation_are_not_worth_more_than_the_better_one() -> None:
    rules = book(
        helpers.finding("strong", {"a": 0.95}, observation="one"),
        helpers.finding("weak", {"a": 0.4}, observation="one"),
        tests=[helpers.work("both", ["q-strong", "q-weak"])],
    )
    only = book(helpers.finding("strong", {"a": 0.95}))
    both = helpers.diagnosis(rules).plan(at="desk").options[0].saves
    assert both == pytest.approx(helpers.diagnosis(only).plan(at="desk").options[0].saves)


def test_the_outlook_says_how_likely_each_outcome_is_and_what_then_leads() -> None:
    rules = book(helpers.finding("f", {"a": 0.8, "b": 0.1}, usual=0.1), pair_factor=0.0)
    outlook = helpers.diagnosis(rules).plan(at="desk").options[0].outlook
    true = 0.1 * 0.1 + 0.45 * 0.8 + 0.45 * 0.1
    assert [(one.finding, one.outcome, one.leading) for one in outlook] == [
        ("f", "true", "a"),
        ("f", "false", "b"),
    ]
    assert [one.probability for one in outlook] == pytest.approx([true, 1.0 - true], abs=1e-12)
    assert outlook[0].leading_probability == pytest.approx(0.45 * 0.8 / true, abs=1e-12)


def close_call(*, u: float) -> Rules:
    """A number that is computed from one reading or measured outright, and its limit of 1."""
    return book(
        helpers.finding("f", TELLING, usual=0.03, when=Within("n", (Interval(low=1.0),))),
        questions=[helpers.number("n"), helpers.number("x")],
        computed=[
            helpers.computed("n", {"x": "x"}, lambda inputs: Number(1.0, u)),
        ],
        tests=[helpers.work("test-n", ["n"]), helpers.work("test-x", ["x"])],
    )


def test_a_finding_too_close_to_call_is_worth_measuring_outright() -> None:
    """Its outcomes are foretold with what was read so far, here one half each."""
    rules = close_call(u=0.1)
    answers = {"x": Number(0.0)}
    (option,) = helpers.diagnosis(rules, answers).plan(at="desk").options
    assert option.tests == ("test-n",)
    (item,) = rules.findings
    now = oracles.posterior(rules, answers)
    after = 0.0
    for outcome, measured in enumerate((9.0, -9.0)):
        chance = sum(
            mass
            * 0.5
            * oracles.rates(rules, item, guess)[outcome]
            / oracles.likelihood(rules, item, (0.5, 0.5), guess)
            for guess, mass in now.items()
        )
        then = oracles.posterior(rules, {"x": Number(0.0), "n": Number(measured)})
        after += chance * oracles.repair_minutes(rules, then)
    saved = oracles.repair_minutes(rules, now) - after
    assert option.saves == pytest.approx(saved - 1.0, abs=1e-9)


def test_a_finding_that_is_clear_is_not_measured_again() -> None:
    case = helpers.diagnosis(close_call(u=0.0), {"x": Number(0.0)})
    assert case.plan(at="desk").options == ()


def test_a_saving_of_less_than_a_minute_is_not_advised() -> None:
    rules = book(helpers.finding("f", TELLING, usual=0.03))
    best = helpers.diagnosis(rules).plan(at="desk").options[0]
    for saves, test in ((0.99, None), (1.01, "test-f")):
        dearer = book(
            helpers.finding("f", TELLING, usual=0.03), minutes=best.minutes + best.saves - saves
        )
        plan = helpers.diagnosis(dearer).plan(at="desk")
        assert plan.options[0].saves == pytest.approx(saves, abs=1e-9)
        assert plan.test == test


def test_equal_worth_is_decided_by_the_order_of_the_files() -> None:
    items = [helpers.finding(name, TELLING, usual=0.03) for name in ("g", "f")]
    assert helpers.diagnosis(book(*items)).plan(at="desk").options[0].tests[0] == "test-g"


def test_leaving_out_the_least_likely_branches_costs_next_to_nothing(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Within 0.05 minutes: at most 24 branches of 1e-5, each worth at most some hundred minutes."""
    names = "fghi"
    items = [helpers.finding(name, {"a": 0.999, "b": 0.01}, usual=0.002) for name in names]
    rules = book(*items, tests=[helpers.work("all", [f"q-{name}" for name in names])])
    case = helpers.diagnosis(rules)
    quick = case.plan(at="desk").options[0].saves
    monkeypatch.setattr("advisor.engine.forecast.NEGLIGIBLE", 0.0)
    exact = case.plan(at="desk").options[0].saves
    assert quick == pytest.approx(exact, abs=0.05)
    assert quick <= exact


@pytest.mark.parametrize("seed", range(8))
def test_leaving_out_causes_that_never_pay_changes_nothing(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """To 1e-9 minutes, for tests that restate known findings too."""
    random_book = small_book(seed, LARGE_SIZES).rules
    findings = tuple(
        replace(item, observation="one") if place < 2 else item
        for place, item in enumerate(random_book.findings)
    )
    case = helpers.diagnosis(replace(random_book, findings=findings))
    first = random_book.questions[0]
    case.answer(first.id, first.options[0] if first.options else True)
    quick = case.plan(at="desk")
    whole = Hypotheses.narrowed
    monkeypatch.setattr(
        Hypotheses, "narrowed", lambda self, _: whole(self, range(len(self.causes)))
    )
    exact = case.plan(at="desk")
    assert [option.tests for option in quick.options] == [option.tests for option in exact.options]
    saved = [option.saves for option in exact.options]
    assert [option.saves for option in quick.options] == pytest.approx(saved, abs=1e-9)


def test_of_many_tests_those_that_tell_most_for_each_minute_are_weighed() -> None:
    """Twice as many as are weighed; the later in the file, the more each tells."""
    count = 2 * MOST_WEIGHED
    items = [
        helpers.finding(f"f-{place}", {"a": 0.5 + 0.4 * place / count}, usual=0.2)
        for place in range(count)
    ]
    plan = helpers.diagnosis(book(*items)).plan(at="desk")
    assert plan.test == f"test-f-{count - 1}"
    offered = {option.tests[0] for option in plan.options}
    assert offered == {f"test-f-{place}" for place in range(count - MOST_WEIGHED, count)}


def test_a_rulebook_without_causes_has_a_plan() -> None:
    plan = helpers.diagnosis(helpers.rules(causes=[])).plan(at="desk")
    assert plan.test is None
    assert plan.repair.hand_on == 1.0


def test_vehicle_that_may_be_unsafe_is_not_driven() -> None:
    """The road is closed once a stop-driving finding is true, and open again when it is not."""
    road = Place("road", 1.0, driving=True)
    stop = helpers.finding("s", {"b": 0.6}, usual=0.4, stop_driving=True)
    item = helpers.finding("f", TELLING, usual=0.03)
    rules = book(
        item,
        stop,
        places=[helpers.DESK, road],
        tests=[helpers.work("drive", ["q-f"], place="road"), helpers.work("look", ["q-s"])],
    )
    case = helpers.diagnosis(rules)
    assert "drive" in {option.tests[0] for option in case.plan(at="desk").options}
    case.answer("q-s", True)
    assert not case.plan(at="desk").options
    case.answer("q-s", False)
    assert case.plan(at="desk").test == "drive"


FAR = Place("far", 60.0)


@pytest.mark.parametrize(
    ("seed", "longest"), [(0, 9.0), (1, 9.0), (2, 9.0), (3, 9.0), (4, 9.0), (7, 9.0), (9, 2.0)]
)
def test_tests_of_one_place_are_offered_in_the_company_that_saves_most(
    seed: int, longest: float
) -> None:
    """Of all sets of the four that save most alone: the way there is paid once.

    A company grows by one test at a time, so it is the best one for most rulebooks, not for all.
    """
    rng = Random(seed)
    names = [f"f-{place}" for place in range(6)]
    items = [
        helpers.finding(name, {"ab"[place % 2]: rng.uniform(0.3, 0.95)}, usual=0.15)
        for place, name in enumerate(names)
    ]
    tests = [
        helpers.work(f"test-{name}", [f"q-{name}"], place="far", minutes=rng.uniform(0.5, longest))
        for name in names
    ]
    rules = book(
        *items,
        tests=tests,
        places=(helpers.DESK, FAR),
        escalation_minutes=960.0,
    )

    def saves(company: Sequence[engine_rules.Test]) -> float:
        gain = oracles.saving(rules, {}, [q for test in company for q in test.questions])
        return gain - FAR.minutes - sum(test.minutes for test in company)

    tried = sorted(tests, key=lambda test: -saves([test]))[:TESTS_TRIED_TOGETHER]
    companies = [company for count in (1, 2, 3, 4) for company in combinations(tried, count)]
    options = helpers.diagnosis(rules).plan(at="desk").options
    assert max(option.saves for option in options) == pytest.approx(
        max(map(saves, companies)), abs=1e-9
    )


@pytest.mark.parametrize("seed", range(30))
def test_tests_are_done_together_in_one_place_or_where_only_together_they_settle_something(
    seed: int,
) -> None:
    small = small_book(seed, LARGE_SIZES)
    place_of = {test.id: test.place for test in small.rules.tests}
    needed = {way for reading in small.readings.values() for way in reading.ways}
    for at in {place.id for place in small.rules.places}:
        for option in helpers.diagnosis(small.rules).plan(at=at).options:
            one_place = len({place_of[name] for name in option.tests}) == 1
            assert one_place or frozenset(option.tests) in needed


def test_what_only_together_tells_something_is_no_option_when_half_of_it_is_put_off() -> None:
    rules = book(
        helpers.finding("f", TELLING, when=All((Is("x", True), Is("y", True)))),
        questions=[helpers.yes_no("x"), helpers.yes_no("y")],
        tests=[helpers.work("test-x", ["x"]), helpers.work("test-y", ["y"])],
    )
    case = helpers.diagnosis(rules)
    assert case.plan(at="desk").options[0].tests == ("test-x", "test-y")
    assert case.plan(at="desk", put_off=["test-y"]).options == ()


def a_test_in_each_place(seed: int) -> Rules:
    """Five places, each with one test of one finding, so that no tests are tried together."""
    rng = Random(seed)
    places = [Place(f"place-{place}", rng.uniform(0.0, 12.0)) for place in range(5)]
    items = [
        helpers.finding(f"f-{place}", {rng.choice("ab"): rng.uniform(0.15, 0.95)}, usual=0.1)
        for place in range(5)
    ]
    tests = [
        helpers.work(f"test-{k}", [f"q-f-{k}"], place=f"place-{k}", minutes=rng.uniform(0.1, 20.0))
        for k in range(5)
    ]
    return book(*items, places=places, tests=tests)


@pytest.mark.parametrize("seed", range(100))
def test_of_tests_that_save_a_fair_part_the_one_that_gains_most_for_each_minute_is_first(
    seed: int,
) -> None:
    """Going elsewhere counts a change-over, and the way back while something here still pays."""
    rules = a_test_in_each_place(seed)
    for here in rules.places:
        options = helpers.diagnosis(rules).plan(at=here.id).options
        stays = {option.tests[0]: option.tests[0][-1] == here.id[-1] for option in options}
        paying = [option for option in options if option.saves >= LEAST_SAVING]
        back = here.minutes if any(stays[option.tests[0]] for option in paying) else 0.0
        upset = {name: 0.0 if stay else CHANGE_OVER + back for name, stay in stays.items()}
        left = {o.tests[0]: o.saves - upset[o.tests[0]] for o in paying}
        fair = [o for o in paying if left[o.tests[0]] >= FAIR_PART * max(left.values())]
        worth = [
            (o.saves + o.minutes) / max(o.minutes + upset[o.tests[0]], SHORTEST)
            for o in options[: len(fair)]
        ]
        saves = [option.saves for option in options[len(fair) :]]
        assert set(options[: len(fair)]) == set(fair)
        assert worth == sorted(worth, reverse=True)
        assert saves == sorted(saves, reverse=True)


@pytest.mark.parametrize(
    ("way_back", "minutes", "first"),
    [(0.0, 6.5, "there"), (0.0, 7.5, "here"), (4.0, 2.5, "there"), (4.0, 3.5, "here")],
)
def test_leaving_a_place_counts_three_minutes_and_the_way_back(
    way_back: float, minutes: float, first: str
) -> None:
    """Two tests that tell the same; ten minutes here, or less elsewhere, the way included."""
    rules = book(
        helpers.finding("f", TELLING, usual=0.03),
        helpers.finding("g", TELLING, usual=0.03),
        places=(Place("here", way_back), Place("there", 1.0)),
        tests=[
            helpers.work("here", ["q-f"], place="here", minutes=10.0),
            helpers.work("there", ["q-g"], place="there", minutes=minutes - 1.0),
        ],
    )
    assert helpers.diagnosis(rules).plan(at="here").test == first


@pytest.mark.parametrize(("even_at", "first"), [(2.7, "longer"), (3.3, "shorter")])
def test_leaving_a_place_where_nothing_pays_counts_three_minutes(
    even_at: float, first: str
) -> None:
    """Two tests that gain as much for each minute if leaving counts `even_at` minutes."""
    findings = [
        helpers.finding("f", {"a": 0.5}, usual=0.03),
        helpers.finding("g", TELLING, usual=0.03),
    ]
    less, more = (oracles.saving(book(*findings), {}, [name]) for name in ("q-f", "q-g"))
    longer = more / less * (1.0 + even_at) - even_at
    rules = book(
        *findings,
        places=[Place("here", 9.0), Place("there", 0.0)],
        tests=[
            helpers.work("shorter", ["q-f"], place="there", minutes=1.0),
            helpers.work("longer", ["q-g"], place="there", minutes=longer),
        ],
    )
    assert longer > 1.0
    assert helpers.diagnosis(rules).plan(at="here").test == first


@pytest.mark.parametrize(
    ("minutes", "longer", "first"), [(0.1, 0.5, "longer"), (0.5, 0.75, "shorter")]
)
def test_less_than_half_a_minute_is_no_reason_to_prefer_a_test(
    minutes: float, longer: float, first: str
) -> None:
    """The longer test gains a little more."""
    rules = book(
        helpers.finding("f", {"a": 0.9}, usual=0.03),
        helpers.finding("g", {"a": 0.95}, usual=0.03),
        tests=[
            helpers.work("shorter", ["q-f"], minutes=minutes),
            helpers.work("longer", ["q-g"], minutes=longer),
        ],
    )
    assert helpers.diagnosis(rules).plan(at="desk").test == first


def test_of_many_tests_that_tell_the_same_the_quickest_are_weighed() -> None:
    """The later in the file, the quicker."""
    count = 2 * MOST_WEIGHED
    names = [f"f-{place}" for place in range(count)]
    rules = book(
        *(helpers.finding(name, {"a": 0.6}, usual=0.2) for name in names),
        tests=[
            helpers.work(f"test-{name}", [f"q-{name}"], minutes=float(count - place))
            for place, name in enumerate(names)
        ],
    )
    options = helpers.diagnosis(rules).plan(at="desk").options
    weighed = {name for option in options for name in option.tests}
    assert weighed == {f"test-f-{place}" for place in range(MOST_WEIGHED, count)}


def test_the_best_options_have_an_outlook() -> None:
    items = [helpers.finding(name, {"a": 0.9}, usual=0.1) for name in "fghijk"]
    options = helpers.diagnosis(book(*items, place="road")).plan(at="desk").options
    foretold = [bool(option.outlook) for option in options]
    assert foretold == [place < SHOWN for place in range(len(options))]
    assert len(options) > SHOWN
