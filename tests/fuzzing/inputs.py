"""Inputs by chance: samples of what people write, cut, doubled, mixed and spoilt."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from random import Random

from tests.cases.shop import CASE_HEAD, SHOP_YAML
from tests.helpers_rulebook import PLACES, QUESTIONS, RULEBOOK

ROOT = Path(__file__).resolve().parents[2]
LONGEST = 20_000

_CASE = f"""{CASE_HEAD}answers:
  - {{question: layout, answer: "two-piece", at: "2024-05-01T09:30:00Z", by: technician}}
  - {{question: play, answer: "0.12 mm"}}
  - {{question: bolts-loose, answer: "yes"}}
  - {{question: bolts-loose, taken_back: true}}
"""
_EXAMPLES = """examples:
  one:
    says: A van
    answers: {layout: "two-piece", play: "0.12 mm", began-after-work: "yes"}
    expect: {first: loose, at_least: {loose: 0.5}, findings: {begins: true}, stops: []}
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
_SETTINGS = "format: 1\ngauges:\n  caliper: {step: 0.01 mm, limit: 0.03 mm}\nstock: rings.yaml\n"
_QUANTITIES = "57.5 thou|1.46 mm|65 mph|1 1/2 deg|1 deg 30 min|5' 3\"|1,5 mm|1e-3 m|-3 N*m|12 %|3"
_LINES = "pickup\nit shakes\none-piece\nyes\nno\n?\n/back\n/why\n/how\n/skip\n/stop\n0.1 mm\n1\n2\n"
_KEYS = b"van\rshakes\r\x1b[A\x1b[B\t\x05\x15yes\r?\r/back\r/ranking\r0.12 mm\r\x7f\x7f\x04"

SAMPLES: dict[str, tuple[bytes, ...]] = {
    "answer": tuple(f"yes|no|?|clunk, boom|none|two-piece|{_QUANTITIES}".encode().split(b"|")),
    "case-file": (_CASE.encode(),),
    "examples-file": (_EXAMPLES.encode(),),
    "keystrokes": (_KEYS,),
    "quantity": tuple(_QUANTITIES.encode().split(b"|")),
    "rulebook-file": (SHOP_YAML.encode(), f"{RULEBOOK}{PLACES}{QUESTIONS}".encode()),
    "overlay-file": (_OVERLAY.encode(),),
    "settings-file": (_SETTINGS.encode(),),
    "practice-file": (_PRACTICE.encode(),),
    "stock-file": ((ROOT / "cases" / "stock" / "rings.yaml").read_bytes(),),
    "typed-lines": (_LINES.encode(),),
}
_WORDS = (
    b"yes|no|null|~|.inf|.nan|1e999|-0|0x1F|1:30|010|1_000|<<|!!python/object:os.system|&a|*a|"
    b"? |- |: |{|}|[|]|,|#|---\n|...\n|%YAML 1.2\n|\"|'|\\|\\x00|\\ud800|\t|\r\n|\xff|\xef\xbb\xbf|"
    b"\xe2\x80\xae|\xe2\x80\xa8|\xf0\x9f\x94\xa7|\xc2\xb5m|\xe2\x88\x92|\x00|\x1b[31m|\x04|"
    b"<script>|mm|in|deg|N*m|mph|thou|%|+/-|1/0|9e307|0.999|1 in 0|12 in 10|format: 2\n|"
    b"all: [|any: [|not: {|above: |between: [|one_of: [|known: true|dont-know|/stop\n|?\n|back\n"
)
WORDS = tuple(_WORDS.split(b"|"))


def input_for(target: str, source: Random) -> bytes:
    """One input for a target: a sample, spoilt in one to eight ways, mostly few."""
    data = source.choice(SAMPLES[target])
    for _ in range(source.choice((1, 1, 1, 2, 2, 3, 5, 8))):
        data = source.choice(_WAYS)(data, SAMPLES[target], source)
    return data[:LONGEST]


def _span(data: bytes, source: Random) -> tuple[int, int]:
    start = source.randint(0, len(data))
    return start, min(len(data), start + source.choice((1, 1, 2, 5, 20, 100)))


def _cut(data: bytes, _: Sequence[bytes], source: Random) -> bytes:
    start, end = _span(data, source)
    return data[:start] + data[end:]


def _double(data: bytes, _: Sequence[bytes], source: Random) -> bytes:
    start, end = _span(data, source)
    return data[:start] + data[start:end] * source.choice((2, 2, 3, 50)) + data[end:]


def _insert(data: bytes, _: Sequence[bytes], source: Random) -> bytes:
    at = source.randint(0, len(data))
    return data[:at] + source.choice(WORDS) * source.choice((1, 1, 1, 30)) + data[at:]


def _replace(data: bytes, _: Sequence[bytes], source: Random) -> bytes:
    start, end = _span(data, source)
    return data[:start] + source.choice(WORDS) + data[end:]


def _byte(data: bytes, _: Sequence[bytes], source: Random) -> bytes:
    at = source.randint(0, len(data))
    return data[:at] + bytes((source.randrange(256),)) + data[at + 1 :]


def _mix(data: bytes, samples: Sequence[bytes], source: Random) -> bytes:
    other = source.choice(samples)
    return data[: source.randint(0, len(data))] + other[source.randint(0, len(other)) :]


def _move_line(data: bytes, _: Sequence[bytes], source: Random) -> bytes:
    lines = data.splitlines(keepends=True)
    if not lines:
        return data
    line = lines.pop(source.randrange(len(lines)))
    lines.insert(source.randint(0, len(lines)), line)
    return b"".join(lines)


def _word(data: bytes, _: Sequence[bytes], source: Random) -> bytes:
    """Put one word of the input into the place of another."""
    words = data.split(b" ")
    words[source.randrange(len(words))] = source.choice(words)
    return b" ".join(words)


_WAYS: tuple[Callable[[bytes, Sequence[bytes], Random], bytes], ...] = (
    _cut,
    _double,
    _insert,
    _replace,
    _byte,
    _mix,
    _move_line,
    _word,
)
