"""How a test runs the program as a shell would; the fixture `run` is in conftest.py."""

from __future__ import annotations

from collections.abc import Callable

Run = Callable[..., tuple[int, str, str]]  # the words; gives status, output and messages
