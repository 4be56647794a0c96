"""Inputs by chance: samples of what people write, cut, doubled, mixed and spoilt."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from random import Random

from tests.fuzzing.samples import SAMPLES

LONGEST = 20_000

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
