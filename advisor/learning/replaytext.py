"""A replay as text."""

from __future__ import annotations

import math
from collections.abc import Iterator

from advisor.proof.scores import Z_95, wilson_interval
from advisor.proof.wording import share

from .replaying import Replay, Scores
from .replaytally import Minutes, Places

MOST_MISTAKES = 20  # lines of what was taken for what; the rest is in the JSON
INDENT = "   "
KINDS = {
    "one-cause": "one cause",
    "two-causes": "two causes at once",
    "none-of-the-listed": "none of the listed",
}


def replay_text(replay: Replay) -> str:
    """All that was found, for a window; problems of unreadable files stand elsewhere."""
    lines = replay.intake.as_text()
    lines.append(f"ranked with: {replay.rulebook} {replay.rulebook_version}")
    if replay.tally.more_causes:
        count = replay.tally.more_causes
        lines.append(f"not scored, since more than two causes were confirmed: {count}")
    if replay.scores is None:
        lines.append("no closed case to score; close one with: advisor close CASE --cause ID")
        return "\n".join(lines)
    lines += ["", *_places("all that were scored", replay.whole)]
    for kind, words in KINDS.items():
        if kind in replay.tally.places and len(replay.tally.places) > 1:
            lines += _places(words, replay.tally.places[kind])
    lines += ["", *_scores(replay.scores), "", *_minutes(replay), "", *_mistakes(replay)]
    return "\n".join(lines)


def _places(words: str, places: Places) -> Iterator[str]:
    many = "s" if places.cases != 1 else ""
    yield f"{words}: {places.cases} case{many}"
    for name, count in (("first", places.first), ("within the first three", places.first_three)):
        low, high = wilson_interval(count, places.cases)
        shares = f"{share(count / places.cases)}, 95 % interval {share(low)} to {share(high)}"
        yield f"{INDENT}right cause {name}: {count} ({shares})"


def _scores(scores: Scores) -> Iterator[str]:
    error = scores.log_score_error
    within = f" +/- {Z_95 * error:.3f} (95 %)" if math.isfinite(error) else ""
    yield f"log score: {scores.log_score:.3f} nat{within}; lower is better, 0 is certain and right"
    yield f"Brier score over causes: {scores.brier:.3f}"
    parts = scores.parts
    yield (
        f"calibration error: {scores.calibration_error:.3f}; "
        f"reliability {parts.reliability:.4f}, resolution {parts.resolution:.4f}, "
        f"uncertainty {parts.uncertainty:.4f}"
    )
    yield "foretold  forecasts  came true  share, 95 % interval"
    yield from (one.as_line() for one in scores.calibration)


def _minutes(replay: Replay) -> Iterator[str]:
    tally = replay.tally
    if tally.spent.cases:
        yield f"minutes spent: {_mean(tally.spent)}"
    else:
        yield "minutes spent: no case names them"
    if not tally.with_walks:
        yield "minutes when the planner leads: not worked out; add --walks"
        return
    if tally.planned.cases:
        yield f"minutes when the planner leads through the same cases: {_mean(tally.planned)}"
    yield (
        f"minutes when the planner leads through all cases: {_mean(tally.walked)}; "
        f"then right first in {tally.first_after_walk}"
    )


def _mean(minutes: Minutes) -> str:
    many = "s" if minutes.cases != 1 else ""
    return f"{minutes.mean:.1f} min on average ({minutes.cases} case{many})"


def _mistakes(replay: Replay) -> Iterator[str]:
    """What led where it was something else, the commonest first."""
    wrong = [
        (count, true, leads)
        for (true, leads), count in replay.tally.confusion.items()
        if leads not in true
    ]
    if not wrong:
        yield "in no case did something else lead"
        return
    yield "what it was, and what led instead:"
    wrong.sort(key=lambda row: (-row[0], row[1:]))
    for count, true, leads in wrong[:MOST_MISTAKES]:
        yield f"{count:>6}  {' and '.join(true)}: {leads}"
    if left := wrong[MOST_MISTAKES:]:
        rest = sum(count for count, *_ in left)
        yield f"{rest:>6}  in {len(left)} other combinations; --json lists them"
