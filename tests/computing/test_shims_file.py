"""The file of `advisor shims`: every problem at its place, all in one go."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from advisor.computing.shimsreading import Task, read_task
from advisor.rulebook import LoadError

GOOD = """\
format: 1
loads:
  unladen: {slopes: [-3.0 deg, -5.6 deg, -1.4 deg]}
  laden: {slopes: [-3.0 deg, -4.8 deg, -1.6 deg], headings: [0 deg, 1 deg, 0 deg]}
adjustments:
  - {name: wedge, kind: wedge, sizes: [2 deg], pinion_length: 280 mm, shaft_length: 1420 mm}
"""
FOUR = """\
format: 1
loads:
  empty: {slopes: [-2 deg, -4 deg, -5 deg, -3 deg]}
adjustments:
"""
MOUNT = "{name: mount, kind: mount-shim, sizes: [3 mm], mount_distance: 900 mm, "
MOUNT += "joint_distance: 1.1 m, shaft_length: 800 mm"
SUPPORT = "{name: support, kind: support-shim, sizes: [3 mm], support_distance: 780 mm, "
SUPPORT += "centre_joint_distance: 860 mm, rear_shaft_length: 1.25 m}"
DIRECT = "{name: direct, kind: direct, sizes: [3 mm], per: 6 mm, "


def read(folder: Path, text: str) -> Task:
    path = folder / "driveline.yaml"
    path.write_text(text, encoding="utf-8")
    return read_task(path)


def problems_of(folder: Path, text: str) -> list[tuple[int, int, str, str, str]]:
    with pytest.raises(LoadError) as caught:
        read(folder, text)
    found = caught.value.problems
    return [(one.line, one.column, one.code, one.message, one.hint) for one in found]


def test_good_file_is_read_into_si_units(tmp_path: Path) -> None:
    task = read(tmp_path, GOOD + "shaft_speed: 3000 rpm\n")
    assert [load.name for load in task.loads] == ["unladen", "laden"]
    assert task.loads[0].slopes_rad == pytest.approx([math.radians(v) for v in (-3, -5.6, -1.4)])
    assert task.loads[1].headings_rad[1] == pytest.approx(math.radians(1))
    assert task.shaft_hz == pytest.approx(50.0)
    effects = task.parts[0].adjustment.effects
    assert effects == pytest.approx((0.0, 0.28 / 1.42, -1.0))
    assert math.degrees(task.smallest_rad) == pytest.approx(0.5)
    assert task.limits_source == "two maker manuals, handbook section 2.5 (F)"
    assert task.warnings == ()


def test_inclinometer_gives_the_uncertainty_of_a_slope(tmp_path: Path) -> None:
    """JCGM 100: sqrt(step^2 / 12 + limit^2 / 3), by default 0.1 and 0.2 deg; abs 1e-9 deg."""
    usual = math.degrees(read(tmp_path, GOOD).u_slope_rad)
    assert usual == pytest.approx(math.sqrt(0.1**2 / 12 + 0.2**2 / 3), abs=1e-9)
    fine = read(tmp_path, GOOD + "inclinometer: {step: 0.05 deg, limit: 0.1 deg}\n").u_slope_rad
    assert math.degrees(fine) == pytest.approx(usual / 2, abs=1e-9)


@pytest.mark.parametrize(
    ("part", "effects"),
    [
        (MOUNT + ", support_to_joint: 80 mm, rear_shaft_length: 1.2 m}", None),
        (SUPPORT, (0.0, 1 / 0.78, -(0.86 / 0.78) / 1.25, 0.0)),
        (
            DIRECT + "effects: [0 deg, 0.3 deg, 0 deg, -0.6 deg]}",
            (0.0, math.radians(0.3) / 6e-3, 0.0, -math.radians(0.6) / 6e-3),
        ),
    ],
    ids=["mount", "support", "direct"],
)
def test_each_kind_of_part_has_its_effects(
    part: str, effects: tuple[float, ...] | None, tmp_path: Path
) -> None:
    """The formulas of `advisor.driveline.shims` with the lengths of the file (D); rel 1e-9."""
    task = read(tmp_path, f"{FOUR}  - {part}\n")
    if effects is None:
        front = -(1.1 / 0.9) / 0.8
        effects = (1 / 0.9, front, -front * 0.08 / 1.2, 0.0)
    assert task.parts[0].adjustment.effects == pytest.approx(effects, rel=1e-9)
    assert task.parts[0].adjustment.steps == pytest.approx((3e-3,))


@pytest.mark.parametrize(
    ("text", "problems"),
    [
        ("[1]", [(1, 1, "wrong-type", "the file is a mapping (key: value)", "")]),
        (
            GOOD.replace("format: 1", "format: 2"),
            [(1, 9, "unknown-format", "this program understands format 1", "write format: 1")],
        ),
        (
            GOOD.replace("format: 1\n", "").replace("loads:", "load:"),
            [
                (1, 1, "missing-field", '"format" is missing', 'add a line "format: ..."'),
                (1, 1, "missing-field", '"loads" is missing', 'add a line "loads: ..."'),
                (
                    *(1, 1, "unknown-field", '"load" is not a field that is known here'),
                    'did you mean "loads"?',
                ),
            ],
        ),
        (
            GOOD.replace("-5.6 deg", "-5.6").replace("-1.6 deg", "95 deg"),
            [
                (3, 32, "wrong-quantity", '"-5.6" has no unit: is it -5.6 deg or -5.6 rad?', ""),
                (
                    *(4, 40, "wrong-value", "read 95 deg; it must lie between -90 deg and 90 deg"),
                    "",
                ),
            ],
        ),
        (
            GOOD.replace("[-3.0 deg, -4.8 deg, -1.6 deg]", "[-3 deg, -5 deg, -4 deg, -2 deg]"),
            [
                (
                    *(4, 11, "wrong-value", '4 slopes are given, but "unladen" has 3'),
                    "measure the same members",
                )
            ],
        ),
        (
            GOOD + "crossed: [true, false]\n",
            [
                (
                    *(7, 1, "wrong-value", "2 are given for one shaft"),
                    "write true or false for each shaft",
                )
            ],
        ),
        (
            GOOD.replace("kind: wedge", "kind: wedg"),
            [
                (
                    *(6, 25, "wrong-value", '"wedg" is no kind of adjustment'),
                    'did you mean "wedge"?',
                )
            ],
        ),
        (
            GOOD.replace("280 mm", "-280 mm")
            .replace("1420 mm", "0 mm")
            .replace("[2 ", "[2 mm, 2 "),
            [
                (
                    *(6, 40, "wrong-quantity"),
                    *("2 mm is a length; an angle was asked, such as 2.5 deg", ""),
                ),
                (6, 69, "wrong-value", "read -280 mm; it must not be below 0", ""),
                (6, 92, "wrong-value", "read 0 mm; it must be more than 0", ""),
            ],
        ),
        (
            GOOD + f"  - {SUPPORT}\n  - {MOUNT}, support_to_joint: 80 mm}}\n",
            [
                (
                    *(7, 27, "wrong-value"),
                    '"support-shim" is for a two-piece shaft, but three slopes are given',
                    "leave this adjustment out, or give four slopes",
                ),
                (
                    *(8, 139, "wrong-value"),
                    '"support_to_joint" is for a two-piece shaft, but three slopes are given',
                    "leave it out, or give four slopes",
                ),
            ],
        ),
        (
            f"{FOUR}  - {MOUNT}}}\n",
            [
                (
                    *(5, 5, "missing-field"),
                    '"rear_shaft_length" is missing; a two-piece shaft needs it',
                    'add a line "rear_shaft_length: ..."',
                ),
                (
                    *(5, 5, "missing-field"),
                    '"support_to_joint" is missing; a two-piece shaft needs it',
                    'add a line "support_to_joint: ..."',
                ),
            ],
        ),
        (
            f"{FOUR}  - {DIRECT.replace('6 mm', '0 mm')}effects: [0 deg, 1 deg, 0 deg]}}\n",
            [
                (5, 54, "wrong-value", "read 0 mm; it must not be 0", ""),
                (
                    *(5, 60, "wrong-value", "3 effects are given for 4 slopes"),
                    "write one for each slope, front to rear",
                ),
            ],
        ),
        (
            GOOD + GOOD.splitlines()[-1] + "\n",
            [(7, 12, "wrong-value", '"wedge" stands twice', "rename one")],
        ),
        (
            GOOD + "limits: {smallest: 4 deg, greatest: 3 deg, source: us}\nshaft_speed: 0 rpm\n",
            [
                (
                    *(7, 1, "reversed-range", "the smallest joint angle exceeds the greatest"),
                    "exchange them",
                ),
                (8, 14, "wrong-value", "read 0 rpm; it must be more than 0", ""),
            ],
        ),
    ],
    ids=[
        *("list", "format", "top", "slopes", "members", "crossed", "kind", "wedge", "one-piece"),
        *("two-piece", "effects", "names", "limits"),
    ],
)
def test_problems_are_told_at_their_places(
    text: str, problems: list[tuple[int, int, str, str, str]], tmp_path: Path
) -> None:
    assert problems_of(tmp_path, text) == problems


def test_too_many_combinations_are_refused(tmp_path: Path) -> None:
    sizes = ", ".join(f"{size / 10} deg" for size in range(1, 31))
    line = GOOD.splitlines()[-1].replace("2 deg", sizes)
    parts = "\n".join(line.replace("name: wedge", f"name: wedge {i}") for i in range(3))
    head = "\n".join(GOOD.splitlines()[:-1])
    assert problems_of(tmp_path, f"{head}\n{parts}\n") == [
        (
            *(5, 1, "wrong-value", "the sizes allow 29791 combinations"),
            "leave out sizes until there are at most 15000",
        )
    ]


def test_many_loads_leave_fewer_combinations_and_have_an_end(tmp_path: Path) -> None:
    line = GOOD.splitlines()[2]

    def with_further(count: int) -> str:
        further = (line.replace("unladen", f"load-{number}") for number in range(count))
        return GOOD.replace(line, "\n".join([line, *further]))

    assert len(read(tmp_path, with_further(48)).loads) == 50
    assert [problem[2] for problem in problems_of(tmp_path, with_further(49))] == ["wrong-value"]


def test_unusual_values_are_told_with_their_line(tmp_path: Path) -> None:
    text = GOOD.replace("-1.4 deg", "-24 deg").replace("1420 mm", "14200 mm")
    assert read(tmp_path, text).warnings == (
        "line 3: loads, unladen, slopes, 3: read -24 deg; expected -20 deg to 20 deg; "
        "look at the number and unit",
        "line 6: adjustments, 1, shaft_length: read 14200 mm, which is 14.2 m; "
        "expected 0.2 m to 3 m; look at the number and unit",
    )
