"""Every driveline function that a rulebook may name, with its parameters in words."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from advisor.driveline._entries_angles import ANGLE_FUNCTIONS
from advisor.driveline._entries_joint import JOINT_FUNCTIONS
from advisor.driveline._entries_parts import PART_FUNCTIONS
from advisor.driveline._entries_speeds import SPEED_FUNCTIONS
from advisor.driveline._entry import Function, Note, Parameter

__all__ = ["FUNCTIONS", "Function", "Note", "Parameter"]

FUNCTIONS: Final[Mapping[str, Function]] = MappingProxyType(
    {
        function.name: function
        for function in sorted(
            (*ANGLE_FUNCTIONS, *JOINT_FUNCTIONS, *PART_FUNCTIONS, *SPEED_FUNCTIONS),
            key=lambda function: function.name,
        )
    }
)
