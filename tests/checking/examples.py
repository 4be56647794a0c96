"""For each code of the checks a file that brings it, where exactly, and the same file mended.

Each text is a further file, z-extra.yaml, beside those of the small rulebook.
"""

from __future__ import annotations

from tests.rulebook.examples import Example

PLACED = "    place: desk\n    minutes: 1\n"


def file(**sections: str) -> str:
    """A file with these records by section, in this order; the first record begins in line 2."""
    return "".join(f"{name}:\n{records}" for name, records in sections.items())


def question(name: str, lines: str = "", *, kind: str = "yes-no", placed: str = PLACED) -> str:
    """A question; `lines` begin in its fifth line, its `ask` stands in the second."""
    return f"  {name}:\n    ask: What of it?\n    kind: {kind}\n    why: It tells.\n{lines}{placed}"


def finding(name: str, when: str, rates: str, lines: str = "") -> str:
    """A yes/no finding, with its condition in its third line; `rates` are those of causes."""
    return (
        f"  {name}:\n    says: Something odd\n    when: {when}\n    usual: 0.1\n"
        f"    with: {{{rates}}}\n    why: It does.\n    source: judgement\n{lines}"
    )


def cause(lines: str = "", *, name: str = "extra", step: str = "Mend it.", verify: str = "") -> str:
    """A cause; its remedy is its fifth line, its verify the sixth, `lines` begin in the eighth."""
    return (
        f"  {name}:\n    name: Another fault\n    what: It shakes.\n    commonness: 1\n"
        f"    remedy: {{minutes: 5, steps: [{step}]}}\n"
        f"    verify: {{minutes: 5, {verify or 'steps: [Look.]'}}}\n"
        f"    source: judgement\n{lines}"
    )


NOISE = question("noise")
SPEED = question("speed", "    unit: mph\n    range: [20 mph, 80 mph]\n", kind="number")
THIN = "rings-too-thin: 0.3"


def spoken_of(rates: str, causes: str = cause()) -> str:
    """Causes, and a finding with their rates; the usual one is 0.1."""
    return file(causes=causes, questions=NOISE, findings=finding("noisy", "{noise: true}", rates))


def twins(rate: str) -> str:
    """A cause at a rate of 0.8, and from line 9 on one at this rate."""
    return spoken_of(f"extra: 0.8, twin: {rate}", cause() + cause(name="twin"))


def asked(condition: str) -> str:
    """A question asked on a condition, which stands in line 6."""
    return file(
        questions=question("smell", f"    ask_if: {condition}\n") + SPEED,
        findings=finding("smells", "{smell: true}", THIN),
    )


def two_limits(lines: str = "") -> str:
    """Two findings on one number, the second from line 9 on, or later by `lines`."""
    return file(
        findings=finding("fast", "{speed: {above: 40 mph}}", THIN, lines)
        + finding("faster", "{speed: {above: 60 mph}}", THIN, lines),
        questions=SPEED,
    )


def repeated(rate: str) -> str:
    """A finding that reads a second fact besides that of the first one, from line 9 on."""
    both = "{vibrates: true, noise: true}"
    return file(
        findings=finding("noisy", "{noise: true}", "rings-too-thin: 0.01")
        + finding("noisy-and-shaking", both, f"rings-too-thin: {rate}"),
        questions=NOISE,
    )


def apart(limit: str) -> str:
    """Two findings on one number for different causes, the second from line 9 on."""
    return file(
        findings=finding("fast", "{speed: {above: 60 mph}}", THIN)
        + finding("slow", f"{{speed: {{below: {limit}}}}}", "wheel-unbalance: 0.3"),
        questions=SPEED,
    )


def work(when: str) -> str:
    """A test that answers "noise", and a finding on this condition."""
    return file(
        tests="  listen: {name: Listen, place: road, minutes: 3, answers: [noise]}\n",
        questions=question("noise", placed=""),
        findings=finding("odd", when, THIN),
    )


def on_speed(when: str) -> str:
    """A finding on a condition, which stands in line 4."""
    return file(findings=finding("odd", when, THIN), questions=SPEED)


def compared(vibrates: str) -> str:
    """A finding in line 2 on the difference of two numbers, asked with and without this."""

    def size(name: str, when: str) -> str:
        return question(name, f"    unit: mm\n    ask_if: {{vibrates: {when}}}\n", kind="number")

    change = (
        "  change: {name: What changed, function: difference, unit: mm, "
        "inputs: {first: before, second: after}}\n"
    )
    return file(
        findings=finding("odd", "{change: {above: 2 mm}}", THIN),
        computed=change,
        questions=size("before", "true") + size("after", vibrates),
    )


def hangs(rates: str) -> str:
    """A question in line 2 that a finding without rates reads, which another reads with these."""
    return file(
        questions=NOISE,
        findings=finding("noisy", "{noise: true}", "") + finding("quiet", "{noisy: false}", rates),
    )


def labelled(options: str) -> str:
    """A choice whose options are in line 6."""
    lines = f"    options: {{{options}}}\n"
    return file(
        questions=question("tone", lines, kind="choice"),
        findings=finding("low", "{tone: low}", THIN),
    )


def driven(cautions: str, **parts: str) -> str:
    """A place where the vehicle is driven, and a cause with these parts."""
    track = f"  track: {{name: On the track, minutes: 9, driving: true{cautions}}}\n"
    return spoken_of("extra: 0.8", cause(**parts)) + file(places=track)


def little(rate: str) -> str:
    """A finding in line 2 with this rate of a cause of which others speak, too."""
    odd = finding("odd", "{noise: true}", f"rings-too-thin: {rate}")
    return file(findings=odd, questions=NOISE)


CAREFUL = ", cautions: [road-test]"

EXAMPLES = [
    Example("cannot-be-proved", (2, 3), spoken_of("extra: 0.15"), spoken_of("extra: 0.21")),
    Example("causes-alike", (9, 3), twins("8 in 10"), twins("0.3")),
    Example("causes-nearly-alike", (9, 3), twins("0.79"), twins("0.3")),
    Example(
        "confirm-proves-nothing",
        (9, 14),
        spoken_of("extra: 0.8", cause("    confirm: measure-joint\n")),
        spoken_of("extra: 0.8", cause("    confirm: noise\n")),
    ),
    Example("counted-twice", (9, 3), two_limits(), two_limits("    observation: speed\n")),
    Example("counted-twice-in-part", (9, 3), repeated("0.01"), repeated("0.05")),
    Example("drive-without-caution", (25, 3), driven(""), driven(CAREFUL)),
    Example("idle-test", (2, 3), work("{vibrates: true}"), work("{noise: true}")),
    Example("leads-nowhere", (2, 3), hangs(""), hangs(THIN)),
    Example("limits-leave-gap", (9, 3), apart("40 mph"), apart("60 mph")),
    Example(
        "never-applies",
        (9, 5),
        spoken_of("extra: 0.8", cause("    applies_if: {yoke-span: {above: 250 mm}}\n")),
        spoken_of("extra: 0.8", cause("    applies_if: {yoke-span: {above: 150 mm}}\n")),
    ),
    Example(
        "never-asked",
        (6, 5),
        asked("{any: [{speed: {above: 90 mph}}, {speed: {below: 10 mph}}]}"),
        asked("{any: [{speed: {above: 70 mph}}, {speed: {below: 10 mph}}]}"),
    ),
    Example(
        "never-happens",
        (4, 5),
        on_speed("{speed: {above: 90 mph}}"),
        on_speed("{speed: {above: 60 mph}}"),
    ),
    Example(
        "never-known",
        (2, 3),
        compared("false"),
        compared("true"),
    ),
    Example("only-spoken-against", (2, 3), spoken_of("extra: 0.05"), spoken_of("extra: 0.5")),
    Example(
        "remedy-without-caution",
        (6, 34),
        spoken_of("extra: 0.8", cause(step="Heat it gently.")),
        spoken_of("extra: 0.8", cause(step="Never heat it.")),
    ),
    Example("tells-little", (2, 3), little("0.105"), little("0.12")),
    Example(
        "too-long-for-screen",
        (6, 32),
        labelled("high: High, low: " + 61 * "w"),
        labelled("high: High, low: " + 60 * "w"),
    ),
    Example(
        "verify-without-place",
        (7, 34),
        driven(CAREFUL, verify="steps: [Drive as before.]"),
        driven(CAREFUL, verify="place: track, steps: [Drive as before.]"),
    ),
]
