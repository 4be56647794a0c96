"""For each problem code a file that causes it, where exactly, and the same file mended.

Each text is a further file, z-extra.yaml, beside those of the small rulebook. A case that needs
other files is a test of its own in test_load.py or test_yamlfile.py.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Example:
    """`bad` gives exactly one problem, `code` at line and column `at`; `good` gives none."""

    code: str
    at: tuple[int, int]
    bad: str
    good: str


def question(lines: str, name: str = "extra") -> str:
    """A file with one question, whose fields from line 5 on are `lines`."""
    body = "".join(f"    {line}\n" for line in lines.splitlines())
    return (
        f"questions:\n  {name}:\n    ask: What else?\n    why: It tells two causes apart.\n{body}"
    )


def finding(lines: str) -> str:
    """A file with one finding, whose fields from line 5 on are `lines`."""
    body = "".join(f"    {line}\n" for line in lines.splitlines())
    return f"findings:\n  extra:\n    says: Something else\n    source: judgement\n{body}"


def when(condition: str) -> str:
    """A file with one yes/no finding, whose condition stands in line 5 from column 11 on."""
    return finding(f"when: {condition}\nusual: 0.1\nwith: {{rings-too-thin: 0.8}}\nwhy: It does.")


def value(name: str, rate: float | None, band: str = "") -> str:
    """One value of a finding: its band, its usual rate, and its rate with the first cause."""
    shape = f"{band}, " if band else ""
    speaks = f", with: {{rings-too-thin: {rate}}}" if rate is not None else ""
    return f"  {name}: {{{shape}usual: 0.5{speaks}}}"


def choice(*values: str) -> str:
    """A file with one finding by the last work, whose values stand from line 7 on."""
    return finding("\n".join(["choice: last-work", "values:", *values]))


def bands(*values: str) -> str:
    """A file with one finding by the end play, whose values stand from line 7 on."""
    return finding("\n".join(["bands: end-play", "values:", *values]))


def computed(function: str, inputs: str, unit: str = "    unit: mm\n") -> str:
    """A file with one computed fact; its function stands in line 4, its inputs in line 5."""
    return (
        "computed:\n  extra:\n    name: Something computed\n"
        f"    function: {function}\n    inputs: {{{inputs}}}\n{unit}"
    )


def cause(lines: str) -> str:
    """A file with one cause, whose fields from line 8 on are `lines`, and a finding for it."""
    body = "".join(f"    {line}\n" for line in lines.splitlines())
    return (
        "causes:\n  extra:\n    name: Another fault\n    what: It shakes.\n    commonness: 1\n"
        "    verify: {minutes: 5, steps: [Drive.]}\n    source: judgement\n" + body
    )


REMEDY = "remedy: {minutes: 5, steps: [Mend it.]}"
RINGS = (
    "{{minutes: 5, steps: [Mend it.], rings: {{axes: [{}], limit: 0.05 mm, largest_offset: 0 mm}}}}"
)
RING_REMEDY = "remedy: " + RINGS.format("{span: yoke-span, width: cross-width}")
PLACED = "\nplace: desk\nminutes: 1"
NUMBER = "kind: number\nunit: mm" + PLACED

YAML_EXAMPLES = [
    Example(
        "tab",
        (2, 8),
        "places:\n  here:\t{name: Here, minutes: 1}\n",
        "places:\n  here: {name: Here, minutes: 1}\n",
    ),
    Example("control-character", (1, 10), "places: {\u0007}\n", "places: {}\n"),
    Example(
        "yaml-syntax",
        (6, 14),
        question("kind: yes-no\nhow: Look: is it loose?" + PLACED),
        question('kind: yes-no\nhow: "Look: is it loose?"' + PLACED),
    ),
    Example("empty-file", (1, 1), "# nothing\n", "places: {}\n"),
    Example("several-documents", (2, 1), "places: {}\n---\nplaces: {}\n", "---\nplaces: {}\n"),
    Example("yaml-tag", (1, 9), "places: !!map {}\n", "places: {}\n"),
    Example("yaml-alias", (1, 9), "places: *elsewhere\n", "places: &here {}\ncauses: *here\n"),
    Example("merge-key", (1, 10), "places: {<<: {}}\n", "places: {}\n"),
    Example("duplicate-key", (3, 1), "places: {}\ngauges: {}\nplaces: {}\n", "places: {}\n"),
    Example("key-not-text", (1, 10), "places: {1: {}}\n", "places: {}\n"),
    Example("empty-value", (1, 1), "places:\ngauges: {}\n", "places: {}\ngauges: {}\n"),
    Example("ambiguous-boolean", (5, 22), when("{vibrates: yes}"), when("{vibrates: true}")),
    Example(
        "ambiguous-number",
        (5, 10),
        question("how: 010\nkind: yes-no" + PLACED),
        question('how: "010"\nkind: yes-no' + PLACED),
    ),
    Example(
        "ambiguous-date",
        (5, 10),
        question("how: 2024-01-02\nkind: yes-no" + PLACED),
        question('how: "2024-01-02"\nkind: yes-no' + PLACED),
    ),
    Example(
        "not-finite",
        (7, 14),
        question("kind: yes-no\nplace: desk\nminutes: .inf"),
        question("kind: yes-no\nplace: desk\nminutes: 1"),
    ),
]

SHAPE_EXAMPLES = [
    Example(
        "missing-field",
        (2, 3),
        question("kind: yes-no").replace("    why: It tells two causes apart.\n", "")
        + "    place: desk\n    minutes: 1\n",
        question("kind: yes-no" + PLACED),
    ),
    Example(
        "unknown-field", (6, 5), question("kind: yes-no\nunits: mm" + PLACED), question(NUMBER)
    ),
    Example(
        "wrong-type",
        (7, 14),
        question('kind: yes-no\nplace: desk\nminutes: "1"'),
        question("kind: yes-no\nplace: desk\nminutes: 1"),
    ),
    Example(
        "wrong-value",
        (7, 14),
        question("kind: yes-no\nplace: desk\nminutes: -1"),
        question("kind: yes-no\nplace: desk\nminutes: 0"),
    ),
    Example(
        "wrong-rate",
        (6, 12),
        when("{vibrates: true}").replace("0.1", "10 of 10"),
        when("{vibrates: true}").replace("0.1", "1 in 10"),
    ),
    Example(
        "wrong-id",
        (2, 3),
        question("kind: yes-no" + PLACED, "Shakes_a_lot"),
        question("kind: yes-no" + PLACED, "shakes-a-lot"),
    ),
    Example(
        "duplicate-id",
        (2, 3),
        question("kind: yes-no" + PLACED, "vibrates"),
        question("kind: yes-no" + PLACED, "vibrates-more"),
    ),
    Example(
        "question-kind",
        (5, 11),
        question("kind: yesno" + PLACED),
        question("kind: yes-no" + PLACED),
    ),
    Example("finding-kind", (2, 3), finding("usual: 0.1"), when("{vibrates: true}")),
    Example(
        "question-place",
        (6, 12),
        question("kind: yes-no\nplace: desk"),
        question("kind: yes-no" + PLACED),
    ),
    Example(
        "question-in-no-test", (2, 3), question("kind: yes-no"), question("kind: yes-no" + PLACED)
    ),
    Example(
        "question-in-two-tests",
        (6, 12),
        question("kind: yes-no" + PLACED)
        + "tests:\n  t: {name: T, place: desk, minutes: 1, answers: [extra]}\n",
        question("kind: yes-no")
        + "tests:\n  t: {name: T, place: desk, minutes: 1, answers: [extra]}\n",
    ),
]

LISTS_EXTRA = "{name: T, place: desk, minutes: 1, answers: [extra]}\n"

REFERENCE_EXAMPLES = [
    Example("unknown-fact", (5, 12), when("{vibrate: true}"), when("{vibrates: true}")),
    Example(
        "unknown-question",
        (2, 58),
        "tests:\n  t: {name: T, place: desk, minutes: 1, answers: [extra, notes]}\n"
        + question("kind: yes-no"),
        "tests:\n  t: {name: T, place: desk, minutes: 1, answers: [extra]}\n"
        + question("kind: yes-no"),
    ),
    Example(
        "unknown-test",
        (8, 14),
        cause("confirm: measure-joints\n" + REMEDY),
        cause("confirm: measure-joint\n" + REMEDY),
    ),
    Example(
        "unknown-place",
        (6, 12),
        question("kind: yes-no\nplace: dusk\nminutes: 1"),
        question("kind: yes-no\nplace: desk\nminutes: 1"),
    ),
    Example(
        "unknown-caution",
        (8, 16),
        question("kind: yes-no" + PLACED + "\ncautions: [road-tests]"),
        question("kind: yes-no" + PLACED + "\ncautions: [road-test]"),
    ),
    Example(
        "unknown-gauge",
        (9, 12),
        question(NUMBER + "\ngauge: calliper"),
        question(NUMBER + "\ngauge: caliper"),
    ),
    Example(
        "unknown-cause",
        (7, 12),
        when("{vibrates: true}").replace("too-thin", "too-thick"),
        when("{vibrates: true}"),
    ),
    Example(
        "unknown-computed",
        (8, 53),
        cause("remedy: {minutes: 5, steps: [Mend it.], shows: [end-plays]}"),
        cause("remedy: {minutes: 5, steps: [Mend it.], shows: [end-play]}"),
    ),
    Example(
        "axis-form",
        (8, 60),
        cause("remedy: " + RINGS.format("{span: yoke-span}")),
        cause("remedy: " + RINGS.format("{span: yoke-span, width: cross-width}")),
    ),
    Example(
        "unknown-option",
        (5, 23),
        when("{last-work: joint-replacd}"),
        when("{last-work: joint-replaced}"),
    ),
    Example(
        "unknown-option",
        (7, 12),
        question("kind: choices\noptions: {oil: Oil, good: Good}\nalone: god" + PLACED),
        question("kind: choices\noptions: {oil: Oil, good: Good}\nalone: good" + PLACED),
    ),
    Example(
        "unknown-unit", (6, 11), question("kind: number\nunit: mmm" + PLACED), question(NUMBER)
    ),
]

RENAMED = "replaced_by: vibrates, retired_in: 0.2.0, reason: renamed"


def retired(records: str, section: str = "questions") -> str:
    """A file with retired ids, whose records stand in line 3 and after."""
    return f"retired:\n  {section}:\n{records}"


RETIRED_EXAMPLES = [
    Example(
        "retired-id",
        (8, 12),
        retired(f"    shakes: {{{RENAMED}}}\n") + when("{shakes: true}"),
        retired(f"    shakes: {{{RENAMED}}}\n") + when("{vibrates: true}"),
    ),
    Example(
        "retired-in-use",
        (3, 5),
        retired(f"    note: {{{RENAMED}}}\n"),
        retired(f"    old-note: {{{RENAMED}}}\n"),
    ),
    Example(
        "retired-circle",
        (3, 27),
        retired(
            f"    shakes: {{{RENAMED.replace('vibrates', 'trembles')}}}\n"
            f"    trembles: {{{RENAMED.replace('vibrates', 'shakes')}}}\n"
        ),
        retired(
            f"    shakes: {{{RENAMED.replace('vibrates', 'trembles')}}}\n"
            f"    trembles: {{{RENAMED}}}\n"
        ),
    ),
]

CONDITION_EXAMPLES = [
    Example(
        "wrong-quantity",
        (5, 30),
        when("{end-play: {above: 3 deg}}"),
        when("{end-play: {above: 3 mm}}"),
    ),
    Example(
        "reversed-range",
        (5, 23),
        when("{end-play: {between: [3 mm, 1 mm]}}"),
        when("{end-play: {between: [1 mm, 3 mm]}}"),
    ),
    Example("wrong-kind", (5, 22), when("{end-play: true}"), when("{end-play: {known: true}}")),
    Example(
        "wrong-condition",
        (5, 23),
        when("{end-play: {over: 3 mm}}"),
        when("{end-play: {above: 3 mm}}"),
    ),
    Example(
        "never-true",
        (5, 12),
        when("{all: [{end-play: {above: 3 mm}}, {end-play: {below: 2 mm}}]}"),
        when("{all: [{end-play: {above: 2 mm}}, {end-play: {below: 3 mm}}]}"),
    ),
    Example(
        "always-true",
        (5, 12),
        when("{any: [{end-play: {above: 2 mm}}, {end-play: {below: 3 mm}}]}"),
        when("{any: [{end-play: {above: 3 mm}}, {end-play: {below: 2 mm}}]}"),
    ),
    Example(
        "cycle",
        (8, 14),
        question("kind: yes-no" + PLACED + "\nask_if: {odd: true}\n")
        + finding(
            "when: {extra: true}\nusual: 0.1\nwith: {rings-too-thin: 0.8}\nwhy: It does."
        ).replace("extra:\n", "odd:\n"),
        question("kind: yes-no" + PLACED)
        + finding(
            "when: {extra: true}\nusual: 0.1\nwith: {rings-too-thin: 0.8}\nwhy: It does."
        ).replace("extra:\n", "odd:\n"),
    ),
]

RINGS = "first: ring-1, second: ring-2"
FUNCTION_EXAMPLES = [
    Example(
        "unknown-function", (4, 15), computed("differense", RINGS), computed("difference", RINGS)
    ),
    Example(
        "unknown-parameter",
        (5, 45),
        computed("difference", RINGS + ", third: ring-1"),
        computed("difference", RINGS),
    ),
    Example(
        "missing-parameter",
        (5, 5),
        computed("difference", "first: ring-1"),
        computed("difference", RINGS),
    ),
    Example(
        "wrong-dimension",
        (6, 11),
        computed("difference", RINGS, "    unit: deg\n"),
        computed("difference", RINGS),
    ),
]

JOINT = value("joint-replaced", 0.1)
SPOKEN = "  joint-replaced: {usual: 0.2, with: {rings-too-thin: 0.3}}"
QUIET = [
    f"  {work}: {{usual: 0.3, with: {{rings-too-thin: 0.3}}}}"
    for work in ("tyres-replaced", "none-known")
]
GOOD_CHOICE = choice(JOINT, value("anything-else", 0.9))
GOOD_BANDS = bands(value("low", 0.1, "below: 1 mm"), value("high", 0.9, "above: 0.1 cm"))

FINDING_EXAMPLES = [
    Example("missing-outcome", (6, 5), choice(JOINT, value("tyres-replaced", 0.9)), GOOD_CHOICE),
    Example("missing-cause-rate", (8, 7), choice(JOINT, value("anything-else", None)), GOOD_CHOICE),
    Example(
        "rates-do-not-add-up", (7, 59), choice(JOINT, value("anything-else", 0.8)), GOOD_CHOICE
    ),
    Example(
        "band-shape",
        (7, 7),
        bands(value("low", 0.1), value("high", 0.9, "above: 1 mm")),
        GOOD_BANDS,
    ),
    Example(
        "band-gap",
        (8, 7),
        bands(value("low", 0.1, "below: 1 mm"), value("high", 0.9, "above: 2 mm")),
        GOOD_BANDS,
    ),
    Example(
        "band-overlap",
        (8, 7),
        bands(value("low", 0.1, "below: 2 mm"), value("high", 0.9, "above: 1 mm")),
        GOOD_BANDS,
    ),
    Example(
        "tells-nothing",
        (2, 3),
        when("{vibrates: true}").replace("0.8", "0.1"),
        when("{vibrates: true}"),
    ),
]

FURTHER_EXAMPLES = [
    Example("wrong-type", (1, 1), "- places\n", "places: {}\n"),
    Example(
        "unknown-fact",
        (8, 148),
        cause(RING_REMEDY[:-2] + ", material: forkk}}"),
        cause(RING_REMEDY),
    ),
    Example(
        "reversed-range",
        (9, 5),
        question(NUMBER + "\nrange: [200 mm, 200 mm]"),
        question(NUMBER + "\nrange: [50 mm, 200 mm]"),
    ),
    Example(
        "wrong-quantity",
        (9, 13),
        question(NUMBER + "\nrange: [50 deg, 200 mm]"),
        question(NUMBER + "\nrange: [50 mm, 200 mm]"),
    ),
    Example(
        "wrong-quantity",
        (9, 20),
        question(NUMBER + "\nrange: [50 mm, 20 deg]"),
        question(NUMBER + "\nrange: [50 mm, 20 cm]"),
    ),
    Example(
        "wrong-quantity",
        (1, 29),
        "gauges: {g: {name: G, step: -1 mm, limit: 1 mm, source: s}}\n",
        "gauges: {g: {name: G, step: 0 mm, limit: 1 mm, source: s}}\n",
    ),
    Example(
        "wrong-quantity",
        (1, 42),
        "gauges: {g: {name: G, step: 1 mm, limit: 1 mmm, source: s}}\n",
        "gauges: {g: {name: G, step: 1 mm, limit: 1 um, source: s}}\n",
    ),
    Example(
        "question-in-two-tests",
        (2, 3),
        question("kind: text") + "tests:\n" + f"  t: {LISTS_EXTRA}" + f"  u: {LISTS_EXTRA}",
        question("kind: text") + "tests:\n" + f"  t: {LISTS_EXTRA}",
    ),
    Example(
        "missing-outcome",
        (6, 5),
        choice(SPOKEN, *QUIET, "  anything-else: {usual: 0.2, with: {rings-too-thin: 0.1}}"),
        choice(SPOKEN, *QUIET[:1], "  anything-else: {usual: 0.5, with: {rings-too-thin: 0.4}}"),
    ),
    Example("unknown-option", (8, 7), choice(JOINT, value("tyres-replacd", 0.9)), GOOD_CHOICE),
    Example(
        "band-gap",
        (7, 7),
        bands(value("low", 0.1, "between: [0 mm, 1 mm]"), value("high", 0.9, "above: 1 mm")),
        GOOD_BANDS,
    ),
    Example(
        "band-gap",
        (6, 5),
        bands(value("low", 0.1, "below: 1 mm"), value("high", 0.9, "between: [1 mm, 2 mm]")),
        GOOD_BANDS,
    ),
    Example(
        "reversed-range",
        (7, 13),
        bands(value("low", 0.1, "between: [3 mm, 1 mm]"), value("high", 0.9, "above: 3 mm")),
        GOOD_BANDS,
    ),
    Example(
        "wrong-type",
        (7, 20),
        bands(value("low", 0.1, "below: true"), value("high", 0.9, "above: 1 mm")),
        GOOD_BANDS,
    ),
    Example(
        "wrong-quantity",
        (7, 20),
        bands(value("low", 0.1, "below: 1 deg"), value("high", 0.9, "above: 1 mm")),
        GOOD_BANDS,
    ),
]

OTHER_EXAMPLES = [
    Example(
        "unused",
        (2, 3),
        "cautions:\n  hot: {text: Let it cool., source: judgement}\n",
        question("kind: text" + PLACED + "\ncautions: [hot]")
        + "cautions:\n  hot: {text: Let it cool., source: judgement}\n",
    ),
]

EXAMPLES = [
    *FURTHER_EXAMPLES,  # the page of problems shows the last one of a code
    *YAML_EXAMPLES,
    *SHAPE_EXAMPLES,
    *REFERENCE_EXAMPLES,
    *RETIRED_EXAMPLES,
    *CONDITION_EXAMPLES,
    *FUNCTION_EXAMPLES,
    *FINDING_EXAMPLES,
    *OTHER_EXAMPLES,
]
