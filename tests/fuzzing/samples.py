"""What people write as it should be, by target; inputs by chance begin with these."""

from __future__ import annotations

import json
import shlex
from collections.abc import Iterable
from pathlib import Path

from tests.cases.shop import CASE_HEAD, SHOP_YAML
from tests.fuzzing.books import OPEN_CASE, RETIRED
from tests.helpers_rulebook import PLACES, QUESTIONS, RULEBOOK
from tests.interview.test_closing import WHOLE
from tests.life.book import STOCK
from tests.writing.sitting import CAUSE, EXAMPLE, QUESTION

CASES = Path(__file__).resolve().parents[2] / "cases"

_OLD_CASE = f"""{CASE_HEAD}answers:
  - {{question: end-play, answer: "0.12 mm"}}
repairs: [{{cause: cross-loose}}, {{cause: rust}}]
put_off: [measure-play]
"""
_CLOSED = {
    "format": 1,
    "id": "van",
    "rulebook": {"id": "shop", "version": "1.0.0"},
    "answers": [{"question": "play", "answer": "0.4 mm", "at": "2024-05-01T09:30:00Z"}],
    "minutes_spent": 35.5,
    "outcome": {"causes": ["loose-joint"], "note": "Cross \u00fc\U0001f600"},
    "closing": {"work": "Rings", "rings": [], "complaint_gone": True},
}
_OPEN = {**_CLOSED, "outcome": None, "answers": {"end-play": "0.4 mm", "layout": "two-piece"}}
_GONE = {**_CLOSED, "outcome": {"causes": ["rust"]}}
_CASE_LINES = "".join(
    f"{json.dumps(case, ensure_ascii=case is _OPEN)}\n" for case in (_CLOSED, _GONE, _OPEN)
)
_EXAMPLES = """examples:
  one:
    says: A van
    answers: {layout: "two-piece", end-play: "0.12 mm", began-after-work: "yes"}
    expect: {first: loose-joint, at_least: {loose-joint: 0.5}, findings: {clunks: true}, stops: []}
"""
_CHANGE = "{old: 0.05, new: 0.1, cases: 40, low: 0.03, high: 0.2}"
_OVERLAY = f"""\
format: 1
rulebook: {{id: shop, version: "1.0.0"}}
cases: 120
strength: 20.0
none_of_the_listed: {_CHANGE}
commonness:
  loose-joint: {_CHANGE}
findings:
  too-much-play:
    usual: {_CHANGE}
    with:
      loose-joint: {_CHANGE}
"""
_PRACTICE = (
    'format: 1\nrulebook: {id: "shop", version: "1.0.0"}\nseed: 7\nnumber: 0\nmark: "01234567"\n'
    'steps:\n- test: "basics"\n- hint: "ranking"\n- repair: "loose-joint"\n- handed_on: true\n'
)
_PRIVATE = "format: 1\ncustomer: A customer\nphone: '0123 456'\nplate: AB 12\nvehicle_number: X1\n"
_SETTINGS = """\
format: 1
gauges:
  caliper: {step: 0.01 mm, limit: 0.03 mm}
without: [speedometer]
units: {length: in, speed: mph}
minutes: {places: {road: 20}, tests: {measure-play: 3}, escalation: 120}
role: technician
"""
_QUANTITIES = "57.5 thou|1.46 mm|65 mph|1 1/2 deg|1 deg 30 min|5' 3\"|1,5 mm|1e-3 m|-3 N*m|12 %|3"
_INTERVIEW = (
    *("pickup", "it shakes", "", "", "", "", "one-piece", "yes", "clunk, boom", "?", "/back"),
    *("/why", "/how", "/skip", "x 1", "why-not loose", "0.1 mm", "1", "a", "/stop", "2"),
)
_INTERVIEW_KEYS = (
    b"van\rshakes\r\r\r\r\r\x1b[A\x1b[B\t\x05\x15yes\r?\r/back\r/ranking\r0.12 mm\r\x7f\x7f\x04"
)
_LESSON = (
    *("1", "1", "yes", "measure-play", "", "ranking", "facts", "back", "help", "repair", "loose"),
    *("yes", "hand-on", "yes", "stop"),
)
_TEST = ("Look over the tube", "", "road", "2", "", "", *QUESTION[:5], "no", "tests.yaml", "write")
_TALKS: dict[str, Iterable[str]] = {
    "closing": WHOLE,
    "interview": _INTERVIEW,
    "lesson": _LESSON,
    "new-cause": (*CAUSE, *EXAMPLE, "write"),
    "new-test": _TEST,
}
_COMMANDS = """\
close van.yaml --cause loose-joint --work Rings --ring tray-1=2 --after 'play=0.03 mm'
close van.yaml --cause loose-joint --proof 1=quiet --noted 1=0.3 --minutes 45 --part 'a seal'
close van.yaml --none-of-the-listed --note 'A stone' --not-gone --by 'A B'
compute difference 'first=80.1 mm' second=77mm --gauge first=caliper --json
compute joint-angle slope_1=3deg 'slope_2=4 deg +/- 0.1 deg' --limit 'below 3 deg'
compute ring-stack-end-play width=77mm ring_1=1.5mm ring_2=1.5mm --sweep span=79mm..81mm/12
export --closed --without-words
find pick zitt --fact 'play=0.1 mm..0.5 mm' --cause loose-joint --json
find --fact layout=one-piece --since 2024-05-01 --until 2024-06-30
orders 'measured=42.4 Hz' 'road_speed=60 mph' tyre_size=225/70R15 axle_ratio=3.73
reopen van.yaml new.yaml --ever-right no --complaint 'It shakes again'
schema case --write schemas
similar van.yaml --most 3
trial-weights initial=4.0 'trial_mass=10 g' u=0.1 'at=0 deg: 5.2, 120 deg: 3.1, 240 deg: 6.6'
why van.yaml loose-joint --json
"""
_DRAFT = json.dumps({"format": 1, "answers": [*CAUSE, *EXAMPLE]}, indent=1)


def _lines(words: Iterable[str]) -> bytes:
    return "".join(f"{word}\n" for word in words).encode()


def _keys(words: Iterable[str]) -> bytes:
    return "".join(f"{word}\r" for word in words).encode()


SAMPLES: dict[str, tuple[bytes, ...]] = {
    "added-record": (SHOP_YAML.encode(), f"{RULEBOOK}{PLACES}{QUESTIONS}".encode()),
    "answer": tuple(f"yes|no|?|clunk, boom|none|two-piece|{_QUANTITIES}".encode().split(b"|")),
    "case-file": tuple(
        text.encode() for text in (OPEN_CASE, _OLD_CASE, json.dumps(_CLOSED, ensure_ascii=False))
    ),
    "case-lines": (_CASE_LINES.encode(),),
    "command-line": tuple("\0".join(shlex.split(line)).encode() for line in _COMMANDS.splitlines()),
    "draft-file": (_DRAFT.encode(),),
    "examples-file": (_EXAMPLES.encode(),),
    "overlay-file": (_OVERLAY.encode(),),
    "practice-file": (_PRACTICE.encode(),),
    "private-file": (_PRIVATE.encode(),),
    "quantity": tuple(_QUANTITIES.encode().split(b"|")),
    "rulebook-file": (
        f"{SHOP_YAML}{RETIRED}".encode(),
        f"{RULEBOOK}{PLACES}{QUESTIONS}".encode(),
    ),
    "settings-file": (_SETTINGS.encode(), f"{_SETTINGS}stock: ~/rings.yaml\n".encode()),
    "shims-file": tuple(path.read_bytes() for path in sorted((CASES / "shims").glob("*.yaml"))),
    "stock-file": ((CASES / "stock" / "rings.yaml").read_bytes(), STOCK.encode()),
    **{f"{name}-lines": (_lines(words),) for name, words in _TALKS.items()},
    **{f"{name}-keys": (_keys(words),) for name, words in _TALKS.items()},
}
SAMPLES["interview-keys"] += (_INTERVIEW_KEYS,)
