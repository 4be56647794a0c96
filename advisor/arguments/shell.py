"""The words of the verbs for the shell and the user's own settings."""

from __future__ import annotations

import argparse

from .common import Verbs, add_json, add_settings, add_verb

SHELLS = ("bash", "fish", "zsh")
ID_SOURCES = ("causes", "functions", "gauges", "questions")


def add_shell_verbs(verbs: Verbs) -> None:
    """settings, completion, and the hidden complete-words."""
    settings = add_verb(verbs, "settings", "show your settings, and where each comes from")
    add_settings(settings)
    add_json(settings)
    summary = "print the script by which a shell completes the words after advisor"
    completion = add_verb(verbs, "completion", summary, with_rulebook=False)
    completion.add_argument("shell", choices=SHELLS, help="the shell")
    completion.epilog = (
        'Where it goes. In ~/.bashrc: eval "$(advisor completion bash)". In ~/.zshrc, after '
        'compinit: eval "$(advisor completion zsh)". In ~/.config/fish/config.fish: '
        "advisor completion fish | source."
    )
    # The scripts ask for ids by this one, which no help shows; the line may name a rulebook.
    words = verbs.add_parser("complete-words")
    words.add_argument("source", choices=ID_SOURCES)
    words.add_argument("line", nargs=argparse.REMAINDER)
