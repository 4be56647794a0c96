"""Every problem code, with what it means in a few words.

`CODES` are those of reading and loading. `LIKELY` are those of `advisor.checking`, which looks for
what is likely wrong in a rulebook that loads; they are all warnings.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

CODES: Mapping[str, str] = MappingProxyType(
    {
        # the file as text
        "unreadable-file": "a file or folder cannot be opened or read",
        "file-too-large": "a file is larger than a rulebook file or case file can be",
        "not-utf-8": "a file is not text in UTF-8",
        "tab": "a tab character stands where YAML wants spaces",
        "control-character": "an invisible control character stands in the file",
        # the file as YAML
        "yaml-syntax": "the file is not well-formed YAML",
        "empty-file": "the file holds no data",
        "several-documents": "the file holds more than one YAML document",
        "too-deep": "values are nested too deeply",
        "too-many-values": "the file holds too many values",
        "yaml-tag": "a value carries a YAML tag",
        "yaml-alias": "an alias is unknown, refers to itself, or aliases are too many",
        "merge-key": "`<<` or `=` is used, which not every YAML reader understands",
        "duplicate-key": "a key stands twice in one mapping",
        "key-not-text": "a key is not plain text",
        "empty-value": "a key or list item has no value",
        "ambiguous-boolean": "a word that some readers take for true or false",
        "ambiguous-number": "a number in a spelling that readers take differently",
        "ambiguous-date": "a date without quotes",
        "not-finite": "a number that is infinite, too large or no number at all",
        # the shape of a rulebook
        "file-not-read": "a file lies in the folder but is not read",
        "missing-section": "the rulebook lacks a section that it cannot do without",
        "unknown-format": "the rulebook's format is not one that this program understands",
        "missing-field": "a field that is needed is missing",
        "unknown-field": "a field that is not known here",
        "wrong-type": "a value of another type than wanted",
        "wrong-value": "a value outside what is allowed",
        "wrong-rate": "a rate that is not written as one, or lies outside 0.001 to 0.999",
        "wrong-id": "an id that is not in kebab-case, or is reserved",
        "duplicate-id": "an id that stands for two things",
        "question-kind": "a question of an unknown kind",
        "axis-form": "an axis of rings without the facts that give the room for them",
        "finding-kind": "a finding without exactly one of when, choice and bands",
        "question-place": "place, minutes and cautions of a question that do not fit together",
        "question-in-no-test": "a question without a place that no test answers",
        "question-in-two-tests": "a question that more than one test answers",
        # references
        "unknown-fact": "no question, computed fact or finding has this id",
        "unknown-question": "no question has this id",
        "unknown-test": "no test has this id",
        "unknown-place": "no place has this id",
        "unknown-caution": "no caution has this id",
        "unknown-gauge": "no gauge has this id",
        "unknown-cause": "no cause has this id",
        "unknown-computed": "no computed fact has this id",
        "unknown-option": "the fact has no such option",
        "unknown-unit": "no unit has this name",
        # retired ids
        "retired-id": "an id that was retired; it is read as the one that took its place",
        "retired-in-use": "an id that is retired and stands for something new as well",
        "retired-circle": "retired ids that replace each other in a circle",
        # quantities, conditions and functions
        "wrong-quantity": "an amount that cannot be read as a number with a unit of this dimension",
        "reversed-range": "a range or `between` whose first end lies above its second",
        "wrong-kind": "a fact of another kind than is needed here",
        "wrong-condition": "a condition in none of the known forms",
        "never-true": "a condition that can never be true",
        "always-true": "a condition that is true for every number",
        "unknown-function": "no function has this name",
        "unknown-parameter": "the function has no such parameter",
        "missing-parameter": "a parameter that the function needs is missing",
        "wrong-dimension": "a fact or result of another dimension than the function has",
        "cycle": "something depends on its own conclusion",
        # findings
        "missing-outcome": "an option that no value of the finding covers",
        "missing-cause-rate": "a cause that speaks in some values of a finding but not in all",
        "rates-do-not-add-up": "rates over all values of a finding that do not add up to 1",
        "band-shape": "a band without exactly one of below, between and above",
        "band-gap": "bands that leave a part of the number line out",
        "band-overlap": "bands that share a part of the number line",
        "tells-nothing": "a finding whose rates do not tell any cause apart",
        "unused": "something that nothing in the rulebook uses",
        # the user's own files
        "outdated-overlay": "an overlay for another version, or for a rate that is another one now",
        "unlikely-value": "a value so unusual that its unit may be a mistake",
    }
)

LIKELY: Mapping[str, str] = MappingProxyType(
    {
        "cannot-be-proved": "a cause that no test confirms and no finding makes twice as likely",
        "causes-alike": "two causes that no evidence can tell apart",
        "causes-nearly-alike": "two causes that no finding tells apart by a whole deciban",
        "confirm-proves-nothing": "a confirming test that settles no finding for its cause",
        "counted-twice": "findings that depend on one another without a shared observation",
        "counted-twice-in-part": "a finding that repeats, by 5 decibans or more, what another says",
        "drive-without-caution": "a place where the vehicle is driven, without a caution",
        "idle-test": "a test none of whose answers the rulebook does anything with",
        "leads-nowhere": "a question whose answer reaches no finding, cause or cure",
        "limits-leave-gap": "readings between the limits of two findings, at which both are false",
        "never-applies": "a cause that cannot exist on any vehicle, by its own condition",
        "never-asked": "a question whose condition can never be true",
        "never-happens": "an outcome of a finding that no answers can bring about",
        "never-known": "a finding that no answers can settle",
        "only-spoken-against": "a cause that findings speak against, and none speaks for",
        "remedy-without-caution": "a remedy with a dangerous step, without a caution",
        "tells-little": "a finding whose rates all lie within a tenth of the usual ones",
        "too-long-for-screen": "a text or a list of options too long for a small screen",
        "verify-without-place": "a check of the cure that drives, without the place's cautions",
    }
)

WARNINGS = frozenset(
    {
        "always-true",
        "file-not-read",
        "outdated-overlay",
        "retired-id",
        "tells-nothing",
        "unlikely-value",
        "unused",
        *LIKELY,
    }
)
