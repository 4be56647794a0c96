"""The verbs that compute one thing, without a case."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from .given import rulebook_of, settings_of
from .output import DONE, show, show_json, width

if TYPE_CHECKING:
    from advisor.computing import Answer


def compute(options: argparse.Namespace) -> int:
    from advisor.computing import Request, answer

    request = Request(
        options.name,
        tuple(options.inputs),
        tuple(options.gauge),
        options.limit,
        options.sweep,
        settings_of(options).own.shown_in,
    )
    return _show_answer(options, answer(request, lambda: rulebook_of(options)))


def orders(options: argparse.Namespace) -> int:
    from advisor.computing import orders_answer

    return _show_answer(options, orders_answer(options.inputs))


def shims(options: argparse.Namespace) -> int:
    from advisor.computing import shims_answer

    return _show_answer(options, shims_answer(options.file))


def trial_weights(options: argparse.Namespace) -> int:
    from advisor.computing import trial_weights_answer

    return _show_answer(options, trial_weights_answer(options.inputs))


def _show_answer(options: argparse.Namespace, found: Answer) -> int:
    from advisor.computing import answer_data

    if options.json:
        show_json(answer_data(found))
    else:
        show(found.as_text(width()))
    return DONE
