"""The words of the trainer's verbs: write, check, prove and compare rules, and teach with them."""

from __future__ import annotations

from pathlib import Path

from .common import Verbs, a_count, a_share, add_json, add_overlay, add_plain, add_verb

LEVELS = ("easy", "medium", "hard")
RECORDS = ("cause", "finding", "question", "test")


def add_trainer_verbs(verbs: Verbs) -> None:
    """check, new, prove, compare, practise and schema."""
    _add_check(verbs)
    _add_new(verbs)
    _add_prove(verbs)
    _add_compare(verbs)
    _add_practise(verbs)
    summary = "print the JSON Schema of a kind of file, or of what a verb prints with --json"
    schema = add_verb(verbs, "schema", summary, with_rulebook=False)
    schema.add_argument("kind", nargs="?", help="its name; without it they are listed")
    schema.add_argument(
        "--write", type=Path, metavar="FOLDER", help="write it, or all of them, into this folder"
    )


def _add_check(verbs: Verbs) -> None:
    check = add_verb(verbs, "check", "check a rulebook")
    check.epilog = (
        "Exit status 1 when loading finds a problem. What is only likely wrong is shown as a "
        "warning and ends in 0, but with --strict in 1 as well."
    )
    check.add_argument("--strict", action="store_true", help="status 1 for whatever is found")
    form = check.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help="the problems as JSON")
    form.add_argument("--sarif", action="store_true", help="the problems as SARIF 2.1.0")
    form.add_argument("--codes", action="store_true", help="list the codes of all problems")
    add_overlay(check)


def _add_new(verbs: Verbs) -> None:
    new = add_verb(verbs, "new", "write a new rule, asked for step by step")
    new.epilog = (
        "Writes into your own rulebook: advisor new --copy FOLDER makes one from the shipped one. "
        "Half-way nothing but a draft is kept; the same command goes on with it."
    )
    new.add_argument("what", nargs="?", choices=RECORDS, help="what to write")
    new.add_argument("--copy", type=Path, metavar="FOLDER", help="copy the shipped rulebook here")
    add_plain(new)


def _add_prove(verbs: Verbs) -> None:
    prove = add_verb(verbs, "prove", "run the examples of a rulebook")
    prove.epilog = "Exit status 1 when an example fails, or a known gap is closed."
    prove.add_argument("--json", action="store_true", help="the results as JSON")
    prove.add_argument("--coverage", action="store_true", help="also what no example shows")
    prove.add_argument("--scores", action="store_true", help="also scores, and the planner's walks")
    prove.add_argument(
        "--mutate", action="store_true", help="also which small changes of the rules are noticed"
    )
    prove.add_argument(
        "--sample", type=a_count, metavar="K", help="with --mutate: only so many, drawn at random"
    )
    prove.add_argument(
        "--seed", type=int, default=0, metavar="N", help="with --sample: another draw; 0 if none"
    )
    add_overlay(prove)


def _add_compare(verbs: Verbs) -> None:
    compare = add_verb(
        verbs, "compare", "compare two rulebooks over cases or examples", with_rulebook=False
    )
    compare.epilog = (
        "Without --cases it compares over the examples of both rulebooks. Exit status 0 whatever "
        "moves; with --strict 1 when another cause leads, or stopping driving changes, anywhere."
    )
    compare.add_argument("old", type=Path, metavar="OLD", help="folder of the older rulebook")
    compare.add_argument("new", type=Path, metavar="NEW", help="folder of the newer one")
    compare.add_argument("--cases", type=Path, metavar="FOLDER", help="a folder of case files")
    compare.add_argument(
        "--threshold",
        type=a_share,
        metavar="SHARE",
        help="least change of a probability that is told, 0 to 1; 0.05 if none",
    )
    compare.add_argument("--no-plan", action="store_true", help="leave out the next test; quicker")
    compare.add_argument("--strict", action="store_true", help="status 1 when what leads changes")
    add_json(compare)


def _add_practise(verbs: Verbs) -> None:
    practise = add_verb(verbs, "practise", "find the hidden fault of a practice vehicle")
    practise.epilog = (
        "The same seed and version of the rulebook give the same vehicle to everybody. "
        "With --class, a practice file for each vehicle goes into the folder, and the sheet with "
        "the solutions to the screen."
    )
    practise.add_argument("file", type=Path, help="the practice file; made when there is none")
    practise.add_argument("--seed", type=int, metavar="N", help="which vehicle; by chance if none")
    practise.add_argument("--cause", metavar="ID", help="a fault that it must have")
    practise.add_argument("--two", action="store_true", help="a vehicle with two faults")
    practise.add_argument("--level", choices=LEVELS, help="how hard it is; medium if not said")
    add_plain(practise)
    practise.add_argument("--score", action="store_true", help="show the score and ask nothing")
    practise.add_argument("--json", action="store_true", help="the score as JSON; asks nothing")
    practise.add_argument(
        "--class",
        dest="class_size",
        type=int,
        metavar="COUNT",
        help="write so many practice files into the folder FILE, each with another vehicle",
    )
