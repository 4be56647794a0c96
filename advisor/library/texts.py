"""What the library tells, as lines for a window."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from advisor.proof.wording import counted
from advisor.report.wording import (
    HARD_SPACE,
    NONE_OF_THE_LISTED,
    minutes,
    one_line,
    percent,
    weighed_outcome,
)
from advisor.rulebook import Problem, Rulebook

from .figures import Figures, Share
from .likeness import Agreement
from .search import Findings, Found
from .similar import MOST_FINDINGS, Alike, AlikeCases, cautions_of

LONGEST = 120  # characters of free text shown of a case in a list
NO_DATE = "no date"


def findings_text(findings: Findings) -> str:
    """The cases found, in short."""
    count, shown = findings.count, len(findings.found)
    lines = [counted(count, "case") + ("" if count else " with all that")]
    for one in findings.found:
        lines += ["", *_case_lines(one)]
    if count > shown:
        lines += ["", f"and {count - shown} more; --most {count} shows them all"]
    if findings.undated:
        lines += ["", f"{counted(findings.undated, 'case')} without a date left out"]
    return "\n".join(lines)


def unreadable_lines(problems: Iterable[Problem]) -> Iterator[str]:
    """What kept files from being looked into, each problem on one line."""
    for one in problems:
        hint = f"; {one.hint}" if one.hint else ""
        yield f"{one.path}:{one.line}:{one.column}: [{one.code}] {one.message}{hint}"


def _case_lines(one: Found) -> Iterator[str]:
    case = one.case
    where = [] if one.is_closed or case.place is None else [f"at: {case.place}"]
    parts = [case.id, (one.began or NO_DATE)[:10], "closed" if one.is_closed else "open", *where]
    yield ", ".join(parts)
    yield f"   {_what_it_is(one)}"
    for text in filter(None, (case.vehicle, case.complaint)):
        yield f"   {_cut(text)}"


def _what_it_is(one: Found) -> str:
    """The confirmed cause, else the leading one, else why nothing can be said."""
    if one.is_closed:
        names = one.weighed.confirmed_names or one.confirmed or (NONE_OF_THE_LISTED,)
        return "confirmed: " + "; ".join(names)
    if one.weighed.problems:
        return "its answers do not fit this rulebook"
    return f"leading: {one.weighed.leading_name}, {percent(one.weighed.probability)}"


def _cut(text: str) -> str:
    flat = one_line(text)
    return flat if len(flat) <= LONGEST else f"{flat[: LONGEST - 2].rstrip()}.."


def similar_text(alike: AlikeCases) -> str:
    """The cases like one, closed ones first, with what was found and done, cautions before."""
    return "\n".join(_similar(alike))


def _similar(alike: AlikeCases) -> Iterator[str]:
    if not alike.closed and not alike.open:
        yield f"No case is like this one ({alike.compared} compared)."
    shown = dict.fromkeys(cause for one in alike.closed for cause in one.found.confirmed)
    if cautions := cautions_of(shown, alike.rulebook):
        yield "Before any of the work named below:"
        yield from (f" - {text}" for text in cautions)
        yield ""
    for title, cases in (("Closed cases", alike.closed), ("Open cases", alike.open)):
        if cases:
            yield f"{title}, the most alike first:"
            for one in cases:
                yield ""
                yield from _alike_lines(one, alike.rulebook)
            yield ""
    if alike.impossible:
        yield (
            f"{counted(alike.impossible, 'closed case')} left out: "
            "what it was cannot be on this vehicle."
        )
    if alike.closed or alike.open:
        yield (
            "How alike: 100 % is the same evidence. It says nothing of how probable a cause is; "
            "advisor rank does."
        )


def _alike_lines(one: Alike, rulebook: Rulebook) -> Iterator[str]:
    first, *rest = _case_lines(one.found)
    yield f"{percent(one.likeness)} alike: {first}"
    yield from rest
    case = one.found.case
    done = [case.closing.work if case.closing else None, case.outcome and case.outcome.note]
    yield from (f"   done: {_cut(text)}" for text in done if text)
    spent = [f"{minutes(case.minutes_spent)} to find it"] if case.minutes_spent else []
    if case.closing is not None and case.closing.minutes is not None:
        spent.append(f"{minutes(case.closing.minutes)} of work and proof")
    if spent:
        yield "   took: " + ", ".join(spent)
    if one.shared:
        yield "   the same:"
        yield from (_same_line(item, rulebook) for item in one.shared[:MOST_FINDINGS])
    if one.differing:
        yield "   different:"
        yield from (_other_line(item, rulebook) for item in one.differing[:MOST_FINDINGS])


def _same_line(one: Agreement, rulebook: Rulebook) -> str:
    says = rulebook.findings[one.here.finding].says
    outcome = weighed_outcome(rulebook, one.here.finding, one.here.weights)
    return f"    - {says}: {outcome} ({_signed(one.share)})"


def _other_line(one: Agreement, rulebook: Rulebook) -> str:
    here, there = one.here, one.there
    says = rulebook.findings[here.finding].says
    this = weighed_outcome(rulebook, here.finding, here.weights)
    other = weighed_outcome(rulebook, there.finding, there.weights)
    if there.finding != here.finding:
        other = f"{rulebook.findings[there.finding].says}: {other}"
    return f"    - {says}: here {this}, there {other} ({_signed(one.share)})"


def _signed(share: float) -> str:
    """A share of the likeness in whole percent with its sign; none for nothing."""
    whole = round(100.0 * share)
    return f"{whole:+d}{HARD_SPACE}%" if whole else f"0{HARD_SPACE}%"


def figures_text(figures: Figures) -> str:
    """The figures of a shop."""
    return "\n".join(_figures(figures))


def _figures(figures: Figures) -> Iterator[str]:
    yield f"{counted(figures.closed, 'closed case')}, {figures.open} open"
    if not figures.closed:
        yield "Figures need closed cases: advisor close CASE records what it turned out to be."
        return
    yield f"leading cause was the confirmed one: {_share(figures.led)}"
    yield f"first repair cured: {_share(figures.first_repair)}"
    yield f"came back: {_share(figures.comebacks)}"
    yield f"none of the listed causes: {_share(figures.none_of_the_listed)}"
    if figures.diagnosis_minutes is not None:
        yield f"to find it, the middle one of the closed: {minutes(figures.diagnosis_minutes)}"
    work = figures.work
    if work.cases and work.median_ratio is not None:
        yield (
            f"work and proof of {counted(work.cases, 'case')}: {minutes(work.spent)} spent, "
            f"{minutes(work.estimated)} estimated; the middle one took "
            f"{work.median_ratio:.2f} times its estimate"
        )
    yield ""
    yield "Confirmed causes, of all closed cases:"
    for one in figures.causes:
        yield f" - {one.name}: {_share(one.confirmed)}"
        if one.came_back.hits:
            yield f"   came back: {_share(one.came_back)}"
    yield ""
    yield "The range after a share holds the true one 95 times in 100; few cases, wide ranges."


def _share(share: Share) -> str:
    low, high = share.interval
    return f"{share.hits} of {share.count} ({_whole(low)} to {_whole(high)}{HARD_SPACE}%)"


def _whole(probability: float) -> str:
    return f"{100.0 * probability:.0f}"
