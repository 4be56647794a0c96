"""What a remedy says of the rings to choose is checked, each mistake at its place."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.rulebook import LoadError, RingAxisModel, RingsModel, load
from advisor.rulebook.models import GaugeChange
from tests.helpers_rulebook import small_rulebook

FACTS = """\
questions:
  fork-material:
    ask: What is the fork made of?
    kind: choice
    options: {steel: Steel, aluminium: Aluminium}
    why: Aluminium takes coated rings only.
    place: bench
    minutes: 1
"""
CAUSE = """\
causes:
  extra:
    name: Another fault
    what: It shakes.
    commonness: 1
    verify: {minutes: 5, steps: [Drive.]}
    source: judgement
    remedy:
      minutes: 5
      steps: [Mend it.]
      rings:
"""
SOUND = {
    "axes": "[{span: yoke-span, width: cross-width}]",
    "material": "fork-material",
    "limit": "0.05 mm",
    "largest_offset": "0.01 mm",
    "style": "inside",
}
LINE_OF = {name: 12 + index for index, name in enumerate(SOUND)}
OLD = "old_ring_1: ring-1, old_ring_2: ring-2, old_end_play: end-play"


def folder_with(tmp_path: Path, **changes: str | None) -> Path:
    """A rulebook whose cause "extra" has these rings; None leaves a field out."""
    fields = {name: text for name, text in (SOUND | changes).items() if text is not None}
    lines = "".join(f"        {name}: {text}\n" for name, text in fields.items())
    return small_rulebook(tmp_path, x_facts=FACTS, y_cause=CAUSE + lines)


def problems(tmp_path: Path, **changes: str | None) -> list[tuple[int, int, str, str]]:
    with pytest.raises(LoadError) as caught:
        load(folder_with(tmp_path, **changes))
    return [(one.line, one.column, one.code, one.message) for one in caught.value.problems]


def test_sound_rings_are_read(tmp_path: Path) -> None:
    rings = load(folder_with(tmp_path)).causes["extra"].remedy.rings
    assert rings is not None
    assert (rings.axes[0].span, rings.axes[0].width) == ("yoke-span", "cross-width")
    assert (rings.limit, rings.largest_offset, rings.style) == ("0.05 mm", "0.01 mm", "inside")


def test_style_is_outside_unless_it_is_said(tmp_path: Path) -> None:
    rings = load(folder_with(tmp_path, style=None)).causes["extra"].remedy.rings
    assert rings is not None
    assert rings.style == "outside"


@pytest.mark.parametrize(
    "axes",
    [
        f"[{{{OLD}}}]",
        f"[{{span: yoke-span, width: cross-width, {OLD}}}]",
        f"[{{{OLD}, old_width: cross-width, new_width: cross-width}}]",
        f"[{{span: yoke-span, width: cross-width}}, {{{OLD}}}]",
    ],
    ids=["old-stack", "both-ways", "with-widths", "two-axes"],
)
def test_every_form_of_an_axis_is_taken(tmp_path: Path, axes: str) -> None:
    assert load(folder_with(tmp_path, axes=axes)).causes["extra"].remedy.rings is not None


def test_fact_that_only_rings_read_is_used(tmp_path: Path) -> None:
    warned = [one.message for one in load(folder_with(tmp_path)).warnings]
    assert not [message for message in warned if "fork-material" in message]


@pytest.mark.parametrize(
    ("field", "text", "expected"),
    [
        (
            "axes",
            "[]",
            (15, "axis-form", "the rings need an axis, better the two that a joint has"),
        ),
        ("axes", "[{}, {}, {}]", (9, "wrong-value", '"axes" must have at most 2 items')),
        (
            "axes",
            "[{}]",
            (
                16,
                "axis-form",
                'an axis needs "span" and "width", or "old_ring_1", '
                '"old_ring_2", "old_end_play", or all of them',
            ),
        ),
        (
            "axes",
            "[{span: yoke-span}]",
            (16, "axis-form", '"width" is missing; "span" cannot do without'),
        ),
        (
            "axes",
            "[{old_ring_1: ring-1}]",
            (
                16,
                "axis-form",
                '"old_ring_2" and "old_end_play" are missing; "old_ring_1" cannot do without',
            ),
        ),
        (
            "axes",
            "[{span: yoke-span, width: cross-width, old_width: "
            "cross-width, new_width: cross-width}]",
            (
                16,
                "axis-form",
                '"old_width" and "new_width" only serve together with '
                '"old_ring_1", "old_ring_2", "old_end_play"',
            ),
        ),
        (
            "axes",
            "[{span: yoke-spam, width: cross-width}]",
            (
                23,
                "unknown-fact",
                'cause "extra" refers to "yoke-spam", but there is no '
                "question or computed fact or finding of this name",
            ),
        ),
        (
            "axes",
            "[{span: vibrates, width: cross-width}]",
            (
                23,
                "wrong-dimension",
                '"span" must be a length (a number), but "vibrates" is a yes or no',
            ),
        ),
        (
            "axes",
            "[{spam: yoke-span, width: cross-width}]",
            (17, "unknown-field", '"spam" is not a field that is known here'),
        ),
        (
            "material",
            "vibrates",
            (19, "wrong-kind", '"material" must be a choice, but "vibrates" is a yes or no'),
        ),
        (
            "material",
            "last-work",
            (
                19,
                "unknown-option",
                '"last-work" has the option "joint-replaced", which is no material',
            ),
        ),
        ("limit", "0 mm", (16, "wrong-value", '"limit" must be more than 0 mm; read 0 mm')),
        ("limit", "0.05", (16, "wrong-quantity", '"0.05" has no unit: is it 0.05 in or 0.05 mm?')),
        (
            "largest_offset",
            "-0.01 mm",
            (25, "wrong-value", '"largest_offset" must be 0 mm or more; read -0.01 mm'),
        ),
        (
            "style",
            "beside",
            (16, "wrong-value", "\"style\" must be 'outside' or 'inside'; read \"beside\""),
        ),
    ],
)
def test_mistake_is_told_at_its_place(
    tmp_path: Path, field: str, text: str, expected: tuple[int, str, str]
) -> None:
    """`expected` is the column, the code and the message of the first problem."""
    assert problems(tmp_path, **{field: text})[0] == (LINE_OF[field], *expected)


def test_missing_limit_is_told_at_the_rings(tmp_path: Path) -> None:
    assert problems(tmp_path, limit=None) == [(11, 7, "missing-field", '"limit" is missing')]


def test_every_field_has_a_description() -> None:
    for model in (RingsModel, RingAxisModel, GaugeChange):
        for name, field in model.model_fields.items():
            assert field.description, f"{model.__name__}.{name}"
