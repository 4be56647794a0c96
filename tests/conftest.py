"""What holds for all tests."""

from __future__ import annotations

import signal
from pathlib import Path

import pytest
from hypothesis import settings

from advisor.cli import main
from tests.running import Run

settings.register_profile("untimed", deadline=None)  # a busy computer must fail no test
settings.load_profile("untimed")


@pytest.fixture(autouse=True, scope="session")
def signals_of_their_own() -> None:
    """Programs that tests start get no signal ignored that whoever runs the tests ignores.

    Under nohup, or in the background of a script, they would outlive what is sent to end them.
    A handler keeps ignoring here, and is not handed on to another program.
    """
    for name in ("SIGHUP", "SIGINT", "SIGQUIT", "SIGTERM"):
        number = getattr(signal, name, None)
        if number is not None and signal.getsignal(number) is signal.SIG_IGN:
            signal.signal(number, lambda *_: None)


@pytest.fixture(autouse=True)
def empty_config(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """No test may depend on the settings or the cache of whoever runs it, nor leave any there.

    Gives the empty folder of settings.
    """
    folder = tmp_path_factory.mktemp("config")
    monkeypatch.setenv("XDG_CONFIG_HOME", str(folder))
    monkeypatch.delenv("ADVISOR_SETTINGS", raising=False)
    monkeypatch.setenv("ADVISOR_CACHE", str(tmp_path_factory.getbasetemp() / "cache"))
    return folder


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Run:
    """Runs the program with these words: its status, standard output and standard error."""

    def go(*words: object) -> tuple[int, str, str]:
        try:
            status = main([str(word) for word in words])
        except SystemExit as stop:
            status = int(str(stop.code))
        return (status, *capsys.readouterr())

    return go
