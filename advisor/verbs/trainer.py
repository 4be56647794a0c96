"""The trainer's verbs: write, check, prove and compare rules, and teach with them."""

from __future__ import annotations

import argparse
import sys
from typing import TYPE_CHECKING

from .given import are_causes, common_words, load_rulebook, overlay_of
from .output import DONE, FOUND, INTERRUPTED, WRONG, WrongUse, say, show, show_json, show_progress

if TYPE_CHECKING:
    from advisor.proof import Sampling


def check(options: argparse.Namespace) -> int:
    from advisor.checking import as_sarif, code_table, examine
    from advisor.layout import clean
    from advisor.rulebook import shipped

    if options.codes:
        print(code_table())
        return DONE
    found = examine(options.rulebook or shipped(), overlay_of(options))
    if options.json:
        show_json(found.as_data())
    elif options.sarif:
        show_json(as_sarif(found.problems))
    else:
        for problem in found.problems:
            print(clean(str(problem)))
    say(found.summary)
    return FOUND if found.failed or (options.strict and found.problems) else DONE


def new(options: argparse.Namespace) -> int:
    from advisor.interview import choose_port
    from advisor.layout import command
    from advisor.writing import copy_shipped, is_programs_own, write_new

    if options.copy is not None:
        say(copy_shipped(options.copy))
        return DONE
    if options.what is None:
        raise WrongUse("say what to write: advisor new cause, finding, question or test")
    if options.rulebook is None or is_programs_own(options.rulebook):
        raise WrongUse(
            "rules are written into a rulebook of your own, which --rulebook FOLDER names; "
            "make one with: advisor new --copy FOLDER"
        )
    plain = ["--plain"] if options.plain else []
    resume = command("new", options.what, "--rulebook", options.rulebook, *plain)
    port = choose_port(plain=options.plain)
    try:
        write_new(options.what, options.rulebook, port, resume)
    except KeyboardInterrupt:  # it has said what is kept
        return INTERRUPTED
    return DONE


def prove(options: argparse.Namespace) -> int:
    from advisor.proof import FOLDER, proof_text, prove, summary
    from advisor.rulebook import shipped

    if options.sample is not None and not options.mutate:
        raise WrongUse("--sample draws from the mutants; write --mutate with it")
    folder = options.rulebook or shipped()
    proof = prove(
        load_rulebook(options),
        folder / FOLDER,
        with_coverage=options.coverage,
        with_scores=options.scores,
        mutants=_mutants(options) if options.mutate else None,
    )
    for problem in proof.renewed:
        say(str(problem))
    if options.json:
        show_json(proof.as_data())
    elif text := proof_text(proof):
        print(text)
    say(f"{folder}: {summary(proof)}")
    return FOUND if proof.failing else DONE


def _mutants(options: argparse.Namespace) -> Sampling:
    from advisor.proof import Sampling

    return Sampling(options.seed, options.sample, show_progress)


def compare(options: argparse.Namespace) -> int:
    from advisor.comparing import (
        THRESHOLD,
        Wanted,
        compare,
        comparison_data,
        comparison_text,
        summary,
    )

    threshold = THRESHOLD if options.threshold is None else options.threshold
    wanted = Wanted(threshold, not options.no_plan, show_progress)
    found = compare(options.old, options.new, options.cases, wanted)
    if options.json:
        show_json(comparison_data(found))
    elif sys.stdout.isatty():
        show(comparison_text(found))
    else:  # Markdown to be pasted: no line of it is broken
        print(comparison_text(found))
    say(summary(found))
    return FOUND if options.strict and found.matters else DONE


def practise(options: argparse.Namespace) -> int:
    from advisor.interview import Interrupted, choose_port
    from advisor.layout import command
    from advisor.rulebook import load, shipped
    from advisor.teaching import (
        Wanted,
        class_sheet,
        practise,
        score_of,
        score_text,
        vehicles_of,
    )

    folder = options.rulebook or shipped()
    rulebook = load(folder)
    wanted = Wanted(options.cause, two=options.two, level=options.level)
    if options.cause is not None and not are_causes([options.cause], rulebook):
        return WRONG
    vehicles = vehicles_of(folder, rulebook)
    if options.class_size is not None:
        show(class_sheet(options.file, vehicles, options.seed, wanted, options.class_size))
    elif options.score or options.json:
        score = score_of(options.file, vehicles)
        if options.json:
            show_json(score.as_data())
        else:
            show(score_text(score, rulebook, told=score.learner.end is not None))
    else:
        resume = command("practise", options.file, *common_words(options))
        port = choose_port(plain=options.plain)
        try:
            practise(options.file, vehicles, options.seed, wanted, port=port, resume=resume)
        except Interrupted:
            return INTERRUPTED
    return DONE


def schema(options: argparse.Namespace) -> int:
    from advisor.rulebook import did_you_mean, system_reason
    from advisor.schema import SCHEMAS, schema_text, write_schemas

    kind, folder = options.kind, options.write
    if kind is not None and kind not in SCHEMAS:
        hint = did_you_mean(kind, SCHEMAS) or "they are listed by: advisor schema"
        raise WrongUse(f'"{kind}" is the name of no schema; {hint}')
    if folder is not None:
        try:
            count = len(write_schemas(folder, SCHEMAS if kind is None else (kind,)))
        except OSError as error:
            reason = system_reason(error)
            raise WrongUse(f"{folder}: the schemas cannot be written: {reason}") from error
        say(f"{folder}: {count} schema{'' if count == 1 else 's'} written")
    elif kind is None:
        longest = max(map(len, SCHEMAS))
        show("\n".join(f"{name:<{longest}}  {meaning}" for name, meaning in SCHEMAS.items()))
    else:
        print(schema_text(kind), end="")
    return DONE
