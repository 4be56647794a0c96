"""The command line: reads the words, runs one verb, tells what went wrong.

Exit status: 0 done, 1 the check found something, 2 wrong use or bad input, 130 stopped by Ctrl-C,
129 by SIGHUP and 143 by SIGTERM.
"""

from __future__ import annotations

import argparse
import errno
import gc
import shutil
import sys
from collections.abc import Callable, Mapping, Sequence

from advisor.arguments import guide, parser
from advisor.lastresort import how_to_report, make_streams_safe, silence, tidy_end
from advisor.verbs import case, learning, library, life, shell, trainer, workshop
from advisor.verbs.nextstep import tell_next_step
from advisor.verbs.output import DONE, INTERRUPTED, WRONG, WrongUse, say

GARBAGE_AFTER = 100_000  # objects; loading makes many that stay, and looking for waste costs time
# What the system says of a place that nobody can have meant, or that nobody may look into.
OF_THE_SYSTEM = {errno.ENAMETOOLONG, errno.ELOOP, errno.EACCES, errno.EPERM, errno.EIO}


@tidy_end()
def main(arguments: Sequence[str] | None = None) -> int:
    """Run one verb; gives the exit status. No traceback reaches the user."""
    make_streams_safe()
    gc.set_threshold(GARBAGE_AFTER)
    try:
        try:
            options = parser().parse_args(arguments)
        except SystemExit:  # the help was shown, or the words were wrong
            sys.stdout.flush()
            raise
        if options.verb is None:
            say(guide(shutil.get_terminal_size().columns))
            return WRONG
        status = VERBS[options.verb](options)
        sys.stdout.flush()
        if status == DONE:
            tell_next_step(options)
    except BrokenPipeError:
        silence(sys.stdout)  # the reader has seen enough
        return DONE
    except KeyboardInterrupt:
        say("stopped")
        return INTERRUPTED
    except Exception as error:
        return _told(error)
    return status


def _told(error: Exception) -> int:
    """Tell a foreseen error in its own words; keep the details of any other in a file."""
    if isinstance(error, ImportError):  # what tells any other error may be missing, too
        print(f"the program is not installed whole: {error}; install it anew", file=sys.stderr)
    elif isinstance(error, OSError) and error.filename is None:  # no file: a stream failed
        silence(sys.stdout)
        say(f"reading the input or writing the output failed: {(error.strerror or '').lower()}")
    elif isinstance(error, OSError) and error.errno in OF_THE_SYSTEM:
        say(f"{error.filename}: {(error.strerror or '').lower()}")
    elif isinstance(error, MemoryError):
        say("there is not memory enough for that here")
    elif isinstance(error, _foreseen()):
        say(str(error))
    else:
        say(f"this is a fault of the program, not yours; please report it {how_to_report(error)}")
    return WRONG


def _foreseen() -> tuple[type[Exception], ...]:
    from advisor.cases import CaseError
    from advisor.computing import ComputeError
    from advisor.learning import LearningError
    from advisor.library import LibraryError
    from advisor.page import PageError
    from advisor.rulebook import LoadError
    from advisor.teaching.errors import TeachingError
    from advisor.writing import CopyError, DraftError, WriteRefusedError

    return (
        *(LoadError, CaseError, ComputeError, LearningError, PageError, TeachingError, WrongUse),
        *(LibraryError, CopyError, DraftError, WriteRefusedError),
    )


VERBS: Mapping[str, Callable[[argparse.Namespace], int]] = {
    "ask": case.ask,
    "rank": case.rank,
    "page": case.page,
    "why": case.why,
    "rings": case.rings,
    "close": life.close,
    "statement": life.statement,
    "history": life.history,
    "reopen": life.reopen,
    "check": trainer.check,
    "new": trainer.new,
    "prove": trainer.prove,
    "replay": learning.replay,
    "calibrate": learning.calibrate,
    "find": library.find,
    "similar": library.similar,
    "figures": library.figures,
    "export": library.export,
    "practise": trainer.practise,
    "compare": trainer.compare,
    "compute": workshop.compute,
    "orders": workshop.orders,
    "shims": workshop.shims,
    "trial-weights": workshop.trial_weights,
    "schema": trainer.schema,
    "settings": shell.settings,
    "completion": shell.completion,
    "complete-words": shell.complete_words,
}
