"""The verbs for the user's settings and shell."""

from __future__ import annotations

import argparse
import os

from advisor.arguments import parser

from .given import load_rulebook, settings_of
from .output import DONE, show, show_json


def settings(options: argparse.Namespace) -> int:
    from advisor.settings import usual_path
    from advisor.settingstext import settings_text, settings_view

    found = settings_of(options)
    rulebook = load_rulebook(options, found.own)  # it tells what fits nothing there
    found.gauges_missing(rulebook)
    found.read_stock(rulebook)
    view = settings_view(found)
    if options.json:
        show_json(view.as_data())
    else:
        place = usual_path(os.environ)
        show(settings_text(view, str(place) if place else None))
    return DONE


def completion(options: argparse.Namespace) -> int:
    from advisor.completion import script

    print(script(options.shell, parser()), end="")
    return DONE


def complete_words(options: argparse.Namespace) -> int:
    from advisor.completion import ids_of, rulebook_on

    for word in ids_of(options.source, rulebook_on(options.line)):
        print(word)
    return DONE
