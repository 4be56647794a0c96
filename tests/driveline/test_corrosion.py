"""The anodic-index method: limits inclusive, unknown names refused."""

from __future__ import annotations

import pytest

from advisor.driveline import corrosion


@pytest.mark.parametrize(
    ("metals", "accepted"),
    [
        (("aluminium", "steel"), {"harsh", "normal", "controlled"}),
        (("aluminium", "zinc"), {"controlled"}),
        (("stainless", "aluminium"), {"controlled"}),
        (("steel", "zinc"), {"controlled"}),
        (("stainless", "zinc"), set()),
        (("steel", "steel"), {"harsh", "normal", "controlled"}),
    ],
)
def test_pair_is_accepted_where_its_gap_is_within_the_limit(
    metals: tuple[str, str], accepted: set[str]
) -> None:
    """Handbook section 11: limits 0.15, 0.25, 0.50 V (F), metals (M)."""
    for first, second in (metals, metals[::-1]):
        within = {
            environment
            for environment in corrosion.ALLOWED_GAP_V
            if corrosion.within_anodic_limit(first, second, environment)
        }
        assert within == accepted


def test_a_gap_of_just_the_limit_is_accepted(monkeypatch: pytest.MonkeyPatch) -> None:
    """0.90 less 0.75 is a little more than 0.15 in binary fractions."""
    monkeypatch.setitem(corrosion.ANODIC_INDEX_V, "another", -0.75)
    assert corrosion.within_anodic_limit("aluminium", "another", "harsh")
    monkeypatch.setitem(corrosion.ANODIC_INDEX_V, "another", -0.74)
    assert not corrosion.within_anodic_limit("aluminium", "another", "harsh")


def test_unknown_metal_or_environment_is_refused_with_the_known_ones() -> None:
    """The sentence lists what could have been written."""
    with pytest.raises(ValueError, match=r'the metal is "wood"; expected one of "aluminium"'):
        corrosion.within_anodic_limit("steel", "wood", "harsh")
    with pytest.raises(ValueError, match=r'the environment is "sea"; expected one of "harsh"'):
        corrosion.within_anodic_limit("steel", "zinc", "sea")
