"""After a repair without a cure: what was seen before it, and what is seen of what remains.

Against brute force: every hypothesis by itself, answers before the repair by the rates of all
that was wrong, answers after it by the rates of what is left.
"""

from __future__ import annotations

from itertools import permutations
from random import Random

import pytest

from advisor.engine.diagnosis import Diagnosis
from advisor.engine.rules import Finding, Rules
from advisor.engine.values import Value
from tests import helpers, oracles

OPTIONS = ("p", "q", "r")
Answers = dict[str, Value]


def random_book(seed: int) -> Rules:
    """Four causes; yes/no findings and findings of three options, some rarer with a cause."""
    source = Random(seed)
    names = ["a", "b", "c", "d"]

    def shares() -> list[float]:
        weights = [source.uniform(0.1, 1.0) for _ in OPTIONS]
        return [weight / sum(weights) for weight in weights]

    def made(place: int) -> Finding:
        speaks = source.sample(names, 3)
        name = f"f-{place}"
        if place % 2:
            usual = dict(zip(OPTIONS, shares(), strict=True))
            return helpers.choice_finding(name, f"q-{name}", usual, {c: shares() for c in speaks})
        rates = {cause: source.choice((0.02, 0.5, 0.9)) for cause in speaks}
        return helpers.finding(name, rates, usual=source.uniform(0.1, 0.4))

    findings = [made(place) for place in range(6)]
    return helpers.rules(
        questions=[
            helpers.choice(f"q-{item.id}", *OPTIONS)
            if len(item.outcomes) == 3
            else helpers.yes_no(f"q-{item.id}")
            for item in findings
        ],
        findings=findings,
        causes=[
            helpers.cause(name, commonness=source.uniform(1.0, 3.0), repair_minutes=60.0)
            for name in names
        ],
        pair_factor=0.8,
        tests=[helpers.work(f"test-{item.id}", [f"q-{item.id}"]) for item in findings],
    )


def answers_to(book: Rules, places: range, seed: int) -> Answers:
    source = Random(seed)
    return {
        f"q-f-{place}": source.choice(OPTIONS) if place % 2 else source.random() < 0.5
        for place in places
    }


def what_remains(book: Rules, epochs: list[tuple[Answers, int | None]]) -> oracles.Posterior:
    """The belief after answers, a repair (None: none yet), more answers, and so on."""
    gone: set[int] = set()
    masses = oracles.prior(book, {})
    for answers, mended in epochs:
        known = oracles.facts(book, answers)
        for item in book.findings:
            shares = oracles.weights(book, known, item)
            if shares is not None:
                for guess in masses:
                    left = tuple(place for place in guess if place not in gone)
                    masses[guess] *= oracles.likelihood(book, item, shares, left)
        if mended is not None:
            gone.add(mended)
            masses = {
                guess: 0.0 if guess and gone.issuperset(guess) else mass
                for guess, mass in masses.items()
            }
    whole = sum(masses.values())
    remains: oracles.Posterior = dict.fromkeys(oracles.hypotheses(book), 0.0)
    for guess, mass in masses.items():
        remains[tuple(place for place in guess if place not in gone)] += mass / whole
    return remains


def told(book: Rules, epochs: list[tuple[Answers, int | None]]) -> Diagnosis:
    case = Diagnosis(book)
    for answers, mended in epochs:
        for question, value in answers.items():
            case.answer(question, value)
        if mended is not None:
            case.mend(book.causes[mended].id)
    return case


def epochs_of(book: Rules, seed: int) -> list[tuple[Answers, int | None]]:
    """Two answers, a repair, two answers, a second repair, one answer; one question is left."""
    given = [answers_to(book, places, seed) for places in (range(2), range(2, 4), range(4, 5))]
    first, second = Random(seed).sample(range(4), 2)
    return [(given[0], first), (given[1], second), (given[2], None)]


@pytest.mark.parametrize("seed", range(12))
def test_ranking_after_repairs_agrees_with_brute_force(seed: int) -> None:
    """To 1e-9. Of the yes/no findings some are rarer with a cause than usual: with a pair that is
    not what it is with the other cause alone."""
    book = random_book(seed)
    epochs = epochs_of(book, seed)
    expected = what_remains(book, epochs)
    ranking = told(book, epochs).ranking()
    assert ranking.none_probability == pytest.approx(expected[()], abs=1e-9)
    got = {one.cause: one.probability for one in ranking.causes}
    assert got == pytest.approx(
        {
            cause.id: oracles.marginal(expected, place)
            for place, cause in enumerate(book.causes)
            if cause.id in got
        },
        abs=1e-9,
    )


@pytest.mark.parametrize("seed", range(12))
def test_what_a_test_after_a_repair_saves_agrees_with_brute_force(seed: int) -> None:
    """The plan foretells exactly the beliefs that the answers will lead to; to 1e-7 minutes."""
    book = random_book(seed)
    epochs = epochs_of(book, seed)[:2]
    now = what_remains(book, epochs)
    case = told(book, epochs)
    for place, other in ((4, 5), (5, 4)):
        item = book.findings[place]
        after = 0.0
        values: tuple[Value, ...] = OPTIONS if place % 2 else (True, False)
        for k, outcome in enumerate(values):
            then = what_remains(book, [*epochs, ({f"q-{item.id}": outcome}, None)])
            chance = sum(mass * oracles.rates(book, item, guess)[k] for guess, mass in now.items())
            after += chance * oracles.repair_minutes(book, then)
        gain = oracles.repair_minutes(book, now) - after
        options = case.plan(at="desk", put_off=[f"test-f-{other}"]).options
        saved = [option.saves for option in options]
        assert saved == pytest.approx([gain - 1.0] if gain > 1e-9 else [], abs=1e-7)


def test_order_of_answers_between_repairs_does_not_matter() -> None:
    book = random_book(3)
    answers = answers_to(book, range(3, 6), 5)
    beliefs = [
        told(book, [({"q-f-0": True}, 0), ({q: answers[q] for q in order}, None)]).belief()
        for order in permutations(answers)
    ]
    assert all(belief == beliefs[0] for belief in beliefs)


def test_taking_back_an_answer_given_after_a_repair_leaves_no_trace() -> None:
    book = random_book(4)
    case = told(book, [({"q-f-0": True}, 1)])
    before = case.belief()
    case.answer("q-f-2", True)
    assert case.belief() != before
    case.take_back("q-f-2")
    assert case.belief() == before


def test_unmending_puts_later_answers_back_to_what_was_wrong_at_first() -> None:
    book = random_book(5)
    case = told(book, [({"q-f-0": True}, 1), ({"q-f-2": False, "q-f-3": "p"}, None)])
    case.unmend("b")
    never = told(book, [({"q-f-0": True, "q-f-2": False, "q-f-3": "p"}, None)])
    assert case.belief() == never.belief()


def test_an_answer_given_again_after_a_repair_is_of_what_remains() -> None:
    book = random_book(6)
    again = told(book, [({"q-f-1": "p"}, 0), ({"q-f-1": "p"}, None)])
    once = told(book, [({}, 0), ({"q-f-1": "p"}, None)])
    assert again.belief() == once.belief()
    assert again.belief() != told(book, [({"q-f-1": "p"}, 0)]).belief()


def test_the_trail_after_repairs_adds_up_to_the_belief() -> None:
    book = random_book(7)
    epochs = epochs_of(book, 7)
    case = told(book, epochs)
    for one in case.ranking().causes:
        trail = case.trail(one.cause)
        whole = trail.prior_decibans + sum(line.decibans for line in trail.lines)
        assert whole == pytest.approx(trail.posterior_decibans, abs=1e-9)


@pytest.mark.parametrize("seed", range(12))
def test_turns_after_a_repair_say_what_the_answer_would_lead_to(seed: int) -> None:
    """Where it is known, as if it had been given otherwise then; else as an answer now."""
    book = random_book(seed)
    epochs = epochs_of(book, seed)[:2]
    for turn in told(book, epochs).turns():
        item = next(item for item in book.findings if item.id == turn.finding)
        k = item.outcomes.index(turn.outcome)
        value: Value = OPTIONS[k] if len(item.outcomes) == 3 else k == 0
        question = f"q-{item.id}"
        changed = [
            ({**answers, question: value} if question in answers else answers, mended)
            for answers, mended in epochs
        ]
        if not turn.is_known:
            changed.append(({question: value}, None))
        then = told(book, changed).ranking()
        assert turn.leading == (None if then.none_leads else then.causes[0].cause)


def test_a_known_finding_turns_the_order_by_what_was_there_when_it_was_seen() -> None:
    """Cause a, mended since, may have shown it; only b can show what is seen from now on."""
    findings = [
        helpers.finding("before", {"a": 0.9, "b": 0.9}, usual=0.05),
        helpers.finding("after", {"a": 0.5, "b": 0.5}, usual=0.05),
    ]
    rules = helpers.rules(findings=findings, none_share=0.4, pair_factor=1.0)
    case = helpers.diagnosis(rules, {"q-before": False})
    case.mend("a")
    case.answer("q-after", False)
    chance = {turn.finding: turn.probability for turn in case.turns()}
    other = helpers.diagnosis(rules)
    other.mend("a")
    other.answer("q-after", False)
    belief = other.belief()
    with_both = 1.0 - 0.1 * 0.1 / 0.95
    true = 0.05 * belief.none + 0.9 * belief.single[1] + with_both * belief.pair[0][1]
    assert chance["before"] == pytest.approx(true, abs=1e-12)
