"""What a computation says of its result besides the number: notes, and warnings at small angles."""

from __future__ import annotations

import pytest

from advisor.driveline.catalog import FUNCTIONS
from tests.computing.asking import data_of, text_of

FRETTING = "under about 3 deg to 5 deg needles can fret where the grease film is poor"
NEVER_ROLLS = "a joint near 0 deg never rolls its needles, and torque pulses fret one line"


@pytest.mark.parametrize(
    ("angle", "frets", "stands"),
    [
        ("5 deg", False, False),
        ("4.9 deg", True, False),
        ("1 deg", True, False),
        ("0.9 deg", True, True),
        ("0 deg", True, True),
    ],
)
def test_small_angle_is_warned_of(angle: str, frets: bool, stands: bool) -> None:
    """Handbook section 10 (F): 5 deg for fretting, 0.5 and 1 deg for needles that never roll."""
    warnings = data_of("equivalent-turns", f"joint_angle={angle}")["warnings"]
    assert any(FRETTING in one for one in warnings) == frets
    assert any(NEVER_ROLLS in one for one in warnings) == stands
    assert all("joint_angle is below" in one and "handbook" in one for one in warnings)


def test_warning_names_the_angle_that_is_small() -> None:
    words = ("old_angle=6 deg", "new_angle=0.4 deg")
    warnings = data_of("life-after-change", *words)["warnings"]
    assert [one.split(":")[0] for one in warnings] == [
        "new_angle is below 5 deg",
        "new_angle is below 1 deg",
    ]


@pytest.mark.parametrize(
    "name", ["equivalent-turns", "joint-life", "life-after-change", "relative-life"]
)
def test_every_law_of_life_says_where_it_fails(name: str) -> None:
    text = text_of(name)
    assert "note: life as 1 / angle is a simple law that fails at both ends" in text
    angles = [one.name for one in FUNCTIONS[name].parameters if one.dimension == "angle"]
    for angle in angles:
        assert f"warns when {angle} is below 5 deg" in text
        assert f"warns when {angle} is below 1 deg" in text


def test_sweep_that_reaches_small_angles_warns_of_them() -> None:
    text = text_of("equivalent-turns", sweep="joint_angle=8 deg..0.5 deg/4")
    assert f"warning: joint_angle is below 5 deg: {FRETTING}" in text
    assert NEVER_ROLLS in text
    assert "fails at both ends" in text
    assert FRETTING not in text_of("equivalent-turns", sweep="joint_angle=8 deg..5 deg/4")


def test_published_efforts_are_a_note_with_their_sources() -> None:
    """Handbook section 8 (F): 0.29 to 0.98 N*m and 0.3 to 1.0 N*m; EP-08."""
    words = ("pull=12 N", "lever_arm=80 mm")
    note = (
        "no law: published are 0.29 N*m to 0.98 N*m, a car manual, 2008 (F) and 0.3 N*m to 1 N*m, "
        "a car manual, 2022 (F); the maker's service information comes first"
    )
    assert f"note: {note}\n" in text_of("turning-effort", *words)
    assert data_of("turning-effort", *words)["notes"] == [note]


def test_notes_that_hold_now_and_then_are_of_a_number_of_that_computation() -> None:
    seen = 0
    for function in FUNCTIONS.values():
        dimension_of = {one.name: one.dimension for one in function.parameters}
        for note in function.notes:
            assert note.text
            if note.parameter is not None:
                assert dimension_of[note.parameter] == "angle"
                assert 0.0 < note.below < 0.2
                seen += 1
    assert seen >= 12
