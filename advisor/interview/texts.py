"""The texts of the conversation, made from a rulebook and the state of a case. Nothing is shown."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby, islice

from advisor.cases.session import CaseSession
from advisor.engine.forecast import Outcome
from advisor.engine.plan import TestOption
from advisor.engine.rules import Test
from advisor.report import standing_text
from advisor.report.display import Display
from advisor.report.wording import (
    NONE_OF_THE_LISTED,
    cause_name,
    minutes,
    outcome_name,
    percent,
    weighed_outcome,
)
from advisor.rulebook import NumberQuestion, Rulebook, YesNoFinding, did_you_mean
from advisor.units import units_of, whole_number

from .entry import Entry
from .roles import Role

MOST_FINDINGS_SHOWN = 6
MOST_CAUSES_SHOWN = 5
MOST_OUTLOOK_SHOWN = 3
MOST_ALIKE_NAMED = 2  # outcomes; of more, none is named when the same cause leads after all
LEADING = 3
NO_HOW = "how: nothing special; answer as well as you know"


def entry_of(rulebook: Rulebook, question: str) -> Entry:
    """The ways to answer a question of the rulebook."""
    fact = rulebook.facts[question]
    if fact.unit is None:
        return Entry(fact.kind, rulebook.labels(question))
    symbols = (fact.unit.symbol, *(unit.symbol for unit in units_of(fact.unit.dimension)))
    return Entry(fact.kind, units=tuple(dict.fromkeys(symbols)))


def header(session: CaseSession) -> str:
    """Whose case this is, what the customer said, and the minutes so far."""
    case = session.case
    lines = [f"case {case.id}, rulebook {case.rulebook.id} {case.rulebook.version}"]
    if case.vehicle:
        lines.append(f"vehicle: {case.vehicle}")
    if case.complaint:
        lines.append(f'complaint: "{case.complaint}"')
    if case.answers:
        lines.append(
            f"this case goes on: {_counted(len(case.latest()), 'answer')} so far, "
            f"{minutes(case.minutes_spent)} spent"
        )
    return "\n".join(lines)


def _counted(count: int, word: str) -> str:
    return f"{count} {word}" if count == 1 else f"{count} {word}s"


def question(session: CaseSession, question_id: str, role: Role) -> str:
    """The question with its options and what may be typed; the answer so far, if there is one."""
    model = session.rulebook.questions[question_id]
    entry = entry_of(session.rulebook, question_id)
    wording = model.customer if role.asks_customer and model.customer else model.ask
    lines = [wording, *entry.lines(), f"({entry.hint})"]
    if session.diagnosis.is_answered(question_id):
        display = Display(session.rulebook, session.case.latest())
        so_far = display.value(question_id, session.diagnosis.value(question_id))
        lines.append(f"answered so far: {so_far} (Enter keeps it)")
    return "\n".join(lines)


def why(session: CaseSession, question_id: str) -> str:
    """Why the question is asked, which findings hang on it, and what leads now."""
    model = session.rulebook.questions[question_id]
    lines = [f"why: {model.why}"]
    hanging = session.diagnosis.findings_on(question_id)
    findings = [session.rulebook.findings[finding].says for finding in hanging]
    if findings:
        lines.append("what hangs on it:")
        lines += [f"- {says}" for says in findings[:MOST_FINDINGS_SHOWN]]
        if len(findings) > MOST_FINDINGS_SHOWN:
            lines.append(f"- and {len(findings) - MOST_FINDINGS_SHOWN} more")
    lines.append(f"leading now: {leading(session)}")
    return "\n".join(lines)


def how(session: CaseSession, question_id: str) -> str:
    """How to find out or measure, with what gauge, and the cautions."""
    rulebook = session.rulebook
    model = rulebook.questions[question_id]
    test = rulebook.tests[session.test_of(question_id).id]
    told = dict.fromkeys(text for text in (model.how, test.how) if text)
    lines = [f"how: {text}" for text in told]
    if not lines:
        lines.append(NO_HOW)
    if isinstance(model, NumberQuestion) and model.gauge:
        gauge = rulebook.gauges[model.gauge]
        lines.append(f"gauge: {gauge.name}, step {gauge.step}, limit of error {gauge.limit}")
    lines += cautions(rulebook, session.test_of(question_id))
    return "\n".join(lines)


def cautions(rulebook: Rulebook, test: Test) -> list[str]:
    """The cautions of the place and the test, a line each."""
    return [f"caution: {caution}" for caution in rulebook.cautions_before([test.id])]


def stop_driving(session: CaseSession, finding: str) -> str:
    """What to say at once when this finding is true, or too close to call."""
    rulebook = session.rulebook
    model = rulebook.findings[finding]
    weights = session.diagnosis.weights(finding)
    is_certain = weights is not None and weights[0] == 1.0
    until = "" if is_certain else " until a better measurement settles this"
    lines = [f"STOP DRIVING this vehicle{until}: {model.says}"]
    if isinstance(model, YesNoFinding) and model.stop_driving:
        lines.append(f"caution: {rulebook.cautions[model.stop_driving].text}")
    return "\n".join(lines)


def leading(session: CaseSession) -> str:
    """The most probable causes in one line."""
    return "; ".join(f"{name} {percent(share)}" for share, name in _most_probable(session))


def _most_probable(session: CaseSession) -> list[tuple[float, str]]:
    """The first few of the causes and *none of the listed*, with their probability."""
    ranking = session.diagnosis.ranking()
    causes = session.rulebook.causes
    shown = [(one.probability, causes[one.cause].name) for one in ranking.causes[:LEADING]]
    shown.append((ranking.none_probability, NONE_OF_THE_LISTED))
    shown.sort(key=lambda pair: -pair[0])
    return shown[:LEADING]


def ranking(session: CaseSession) -> str:
    """The most probable causes, a line each, and *none of the listed*."""
    result = session.diagnosis.ranking()
    lines = ["causes as they stand:"]
    lines += [
        f"{place}. {session.rulebook.causes[one.cause].name}: {percent(one.probability)}"
        for place, one in enumerate(result.causes[:MOST_CAUSES_SHOWN], 1)
    ]
    lines.append(f"- {NONE_OF_THE_LISTED}: {percent(result.none_probability)}")
    return "\n".join(lines)


def why_not(session: CaseSession, typed: str) -> str:
    """Why a cause does not lead, by its number in the ranking, its id, or a part of its name.

    Without any: the ranking, and how to ask. Else what was wrong with it.
    """
    causes = [one.cause for one in session.diagnosis.ranking().causes]
    names = {cause: cause_name(session.rulebook, cause) for cause in session.rulebook.causes}
    if not typed:
        return f'{ranking(session)}\nwhy not another one: type "x" and its number, or its name'
    if typed.isdecimal():
        number = whole_number(typed, len(causes))
        if number is None:
            return f'read "{typed[:40]}"; the causes have the numbers 1 to {len(causes)}'
        return standing_text(session.rulebook, session.diagnosis, causes[number - 1])
    named = [cause for cause, name in names.items() if typed in (cause, name.casefold())]
    found = named or [cause for cause, name in names.items() if typed in name.casefold()]
    if len(found) == 1:
        return standing_text(session.rulebook, session.diagnosis, found[0])
    if found:
        listed = "; ".join(f'"{names[cause]}"' for cause in found[:MOST_CAUSES_SHOWN])
        return f'"{typed}" may mean {listed}; write more of it'
    hint = did_you_mean(typed, [*names, *names.values()])
    return f'no cause is named "{typed}"' + (f"; {hint}" if hint else "")


def surprise(session: CaseSession, question_id: str) -> str | None:
    """A gentle word when the other answers make the one just given very unlikely."""
    looks = session.diagnosis.surprises(question_id)
    if not looks:
        return None
    look = looks[0]
    rulebook = session.rulebook
    outcome = weighed_outcome(rulebook, look.finding, session.diagnosis.weights(look.finding) or ())
    return (
        f"worth a second look: {rulebook.findings[look.finding].says}: {outcome}; "
        f"after all the other answers only {percent(look.probability)} was to be expected. "
        'It is kept; "back" asks it again'
    )


def status(session: CaseSession) -> tuple[str, ...]:
    """The parts of the line at the bottom of a screen: the minutes, then what leads."""
    causes = (f"{percent(share)} {name}" for share, name in _most_probable(session))
    return (f"{minutes(session.case.minutes_spent)} spent", *causes)


def test_line(session: CaseSession, test: Test) -> str:
    """A test's name, its place and its minutes from here."""
    rulebook = session.rulebook
    cost = minutes(session.minutes_of(test))
    way = " with the way there" if session.minutes_to(test.place) else ""
    return f"{rulebook.tests[test.id].name} ({rulebook.places[test.place].name}, {cost}{way})"


def announcement(session: CaseSession, test: Test, option: TestOption | None) -> str:
    """The test offered: name, place, minutes, the reason, and what its outcomes would mean."""
    lines = [f"next: {test_line(session, test)}"]
    if option is not None:
        lines.append(_reason(session, option))
        own = outlook_of(session, test, option)
        lines += outlook(session.rulebook, own, most=MOST_OUTLOOK_SHOWN)
    return "\n".join(lines)


def outlook_of(session: CaseSession, test: Test, option: TestOption) -> list[Outcome]:
    """The outcomes that hang on this test itself; those of its company when it has none alone."""
    on = {f for question in test.questions for f in session.diagnosis.findings_on(question)}
    return [one for one in option.outlook if one.finding in on] or list(option.outlook)


def why_test(session: CaseSession, test: Test | None, option: TestOption | None) -> str:
    """The reason of an offer in full, and what leads now."""
    lines = []
    if test is not None and option is not None:
        own = outlook_of(session, test, option)
        lines.append(_reason(session, option))
        lines += outlook(session.rulebook, own, most=len(own), each=True)
    return "\n".join([*lines, f"leading now: {leading(session)}"])


def how_test(session: CaseSession, test: Test) -> str:
    """How the test is done, as far as the rulebook says, and its cautions."""
    rulebook = session.rulebook
    told = [rulebook.tests[test.id].how, *(rulebook.questions[q].how for q in test.questions)]
    lines = [f"how: {text}" for text in dict.fromkeys(told) if text]
    return "\n".join([*(lines or [NO_HOW]), *cautions(rulebook, test)])


def _reason(session: CaseSession, option: TestOption) -> str:
    names = [session.rulebook.tests[test].name for test in option.tests[1:]]
    company = f", together with: {'; '.join(names)}" if names else ""
    if option.saves <= 0.0:
        return f"reason: it tells something, but costs more minutes than it saves{company}"
    return (
        f"reason: it saves about {minutes(option.saves)} on average "
        f"against repairing at once{company}"
    )


def outlook(
    rulebook: Rulebook, outcomes: Iterable[Outcome], *, most: int, each: bool = False
) -> list[str]:
    """What each outcome would mean, for at most so many findings, in the order given.

    Outcomes after which the same cause leads stand together, unless `each` is wanted by itself.
    """
    lines: list[str] = []
    groups = groupby(outcomes, key=lambda outcome: outcome.finding)
    for finding, group in islice(groups, most):
        lines.append(f"- {rulebook.findings[finding].says}:")
        together: dict[str | None, list[Outcome]] = {}
        for one in group:
            together.setdefault(one.outcome if each else one.leading, []).append(one)
        for alike in together.values():
            whatever = len(together) == 1 and len(alike) > MOST_ALIKE_NAMED
            what = "whatever it is" if whatever else _named_outcomes(rulebook, alike)
            cause = cause_name(rulebook, alike[0].leading)
            lines.append(f"  {what}: then {cause} leads with {_shares(alike)}")
    return ["what it would tell:", *lines] if lines else []


def _named_outcomes(rulebook: Rulebook, outcomes: Iterable[Outcome]) -> str:
    return " or ".join(
        f"{outcome_name(rulebook, one.finding, one.outcome)} (chance {percent(one.probability)})"
        for one in outcomes
    )


def _shares(outcomes: Iterable[Outcome]) -> str:
    """The share of what leads after these outcomes: one, or from the least to the most."""
    shares = sorted(one.leading_probability for one in outcomes)
    ends = dict.fromkeys((percent(shares[0]), percent(shares[-1])))
    return " to ".join(ends)
