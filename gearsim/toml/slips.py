"""What people mean when they mistype TOML: a table of patterns, each with a hint.

A line that the parser refused is held against the patterns in turn; the first that is found in it
gives the hint.  A hint may use the pattern's groups: `{key}`, `{value}`.
"""

from __future__ import annotations

import re
from typing import NamedTuple

from gearsim.toml.statements import Statement, open_bracket

NUMBER = r"[+-]?\d+(?:\.\d+)?"
COMMA_NUMBER = r"[+-]?\d+,\d+"
APART = r"\s*(?:;|/|–|-|\bto\b|\bbis\b|,|\s)\s*"
KEY = r"(?P<key>[^=]*?)\s*=\s*"
END = r"\s*$"

NUMBERS_IN = re.compile(r"\d+(?:\.\d+)?")
CLOSES = {"[": "]", "{": "}"}


class Slip(NamedTuple):
    """A pattern to find in a statement, and what to say then."""

    pattern: re.Pattern[str]
    hint: str
    seen_bare: bool = True  # the pattern looks past what is between quotation marks


def _slip(pattern: str, hint: str, *, seen_bare: bool = True) -> Slip:
    return Slip(re.compile(pattern), hint, seen_bare)


SLIPS = (
    # What cannot be seen, or looks right.
    _slip(
        "[\u00a0\u2000-\u200b\u202f\ufeff]", "it has a special blank in it, type its blanks anew"
    ),
    _slip("[\x00-\x08\x0b-\x1f\x7f]", "it has a letter in it that cannot be seen, type it anew"),
    _slip("[“”„‟‘’‚‛«»]", 'quotation marks are straight ones: "..."'),
    _slip(
        r'"(?P<value>[^"]*\\[^"]*)"?',
        "in a path write / instead of \\, or put it in single quotes: '{value}'",
        seen_bare=False,
    ),
    _slip(r'"""[^"]|\'\'\'[^\']', "put text on one line, between one quotation mark and another"),
    _slip(rf'^{KEY}\[.*""\s+""', "a comma is missing between two texts of a list"),
    _slip(
        rf"^{KEY}\"\"[^\"']*[\"']",
        "text with a quotation mark in it stands between marks of the other kind: \" or '",
    ),
    _slip(
        r'^[^"]*(?:"[^"]*"[^"]*)*"[^"]*$|=\s*\'',
        'text stands between two quotation marks: "..."',
    ),
    # Headings and remarks.
    _slip(r"^(//|;|--|/\*|%)", "a remark begins with #"),
    _slip(r"^\[\[\s*(?P<value>[\w.-]+)\s*\]?$", "write two brackets on either side: [[{value}]]"),
    _slip(r"^\[?\s*(?P<value>[\w.-]+)\s*\]\]$", "write two brackets on either side: [[{value}]]"),
    _slip(r"^\[\s*(?P<value>[\w.-]+)$", "the bracket is not closed: [{value}]"),
    _slip(r"^(?P<value>[\w.-]+)\s*\]$", "the bracket is not opened: [{value}]"),
    _slip(r"^\[[^=]*$", "a heading is one name in brackets, such as [rider]"),
    # The key.
    _slip(r"^=", "a key is missing before ="),
    _slip(
        r"^(?P<key>\w+)\s*:\s*(?P<value>.+)$",
        "a key and its value have = between them: {key} = {value}",
        seen_bare=False,
    ),
    _slip(
        rf'^(?P<key>[a-z0-9_]+)\s+(?P<value>{NUMBER}|\[.*|".*|true|false){END}',
        "a key and its value have = between them: {key} = {value}",
        seen_bare=False,
    ),
    _slip(r"^[^=]*$", "a line is key = value, a heading or, after #, a remark"),
    _slip(r"^(?P<key>\w+(?: \w+)+)\s*=", "a key has no blank in it, but _: {key_joined}"),
    _slip(r"^[^=]*[^\sA-Za-z0-9_.\"'=-][^=]*=", "a key has only letters a to z, digits and _"),
    # Values that are missing, or words without quotation marks.
    _slip(rf"^{KEY}$", "the value is missing; give it, or put # before the line"),
    _slip(rf"^{KEY}(?i:true|yes|on|ja|y){END}", "write true, in small letters"),
    _slip(rf"^{KEY}(?i:false|no|off|nein|n){END}", "write false, in small letters"),
    _slip(
        rf"^{KEY}(?P<value>[A-Za-z]:\\[^\"']*){END}",
        "a path stands in single quotes: '{value}'",
    ),
    _slip(rf"^{KEY}\[[^\]]*,\s*,", "something is missing between two commas"),
    _slip(
        rf"^{KEY}\[\s*(?P<value>[^\W\d][^\[\],;\"']*?)\s*[\],;]",
        'text stands in quotation marks: ["{value}"]',
    ),
    _slip(
        rf"^{KEY}(?:[^\w\s\[{{(\"'.-]+|[+-]{{2,}}|ca\.?|about|approx\.?)\s*(?P<value>{NUMBER}){END}",
        "give the number alone: {value}",
    ),
    _slip(
        rf"^{KEY}(?P<value>(?!true\b|false\b)[^\W\d][^\[\]{{}}()\"]*?){END}",
        'text stands in quotation marks: "{value}"',
    ),
    # Numbers.
    _slip(
        rf"^{KEY}{COMMA_NUMBER}(?:\s*;\s*{COMMA_NUMBER})+{END}",
        "numbers take a dot, and a list has brackets and commas: [{listed_dotted}]",
    ),
    _slip(
        rf"^{KEY}(?P<value>[+-]?(?:\d,\d+|\d+,\d))(?!\d)[^\d,;\]]*{END}",
        "numbers take a dot: {dotted}",
    ),
    _slip(rf"^{KEY}\d{{1,3}}(?P<gap>[ '’_])\d{{3}}{END}", "write a number in one: {digits}"),
    _slip(rf"^{KEY}\d+:\d+", "a time is one number, in the unit that the key names"),
    _slip(rf"^{KEY}[+-]?0\d", "a number does not begin with 0"),
    _slip(rf"^{KEY}[+-]?(?:\.\d+|\d+\.){END}", "a number has digits before and after its dot"),
    _slip(
        rf"^{KEY}(?P<value>[+-]?\d+,\d+){END}",
        "numbers take a dot: {dotted}; a list stands in brackets: [{listed}]",
    ),
    # Lists.
    _slip(
        rf"^{KEY}\[[^\]]*{COMMA_NUMBER}\s*;",
        "numbers take a dot, and a list has commas: [{listed_dotted}]",
    ),
    _slip(
        rf"^{KEY}[({{]\s*\d[\d\s.,;/–-]*[)}}]{END}",
        "a list stands in square brackets: [{listed}]",
    ),
    _slip(
        rf"^\s*sprockets\s*=\s*\[\s*\d+\s*(?:-|–|to\b|bis\b)\s*\d+\s*\]{END}",
        "a list has every sprocket of the cassette, with commas: [11, 13, 15, 17, 19, 22, 25]",
    ),
    _slip(rf"^{KEY}\[\s*{NUMBER}(?:{APART}{NUMBER})+\s*\]{END}", "a list has commas: [{listed}]"),
    _slip(
        rf"^{KEY}{NUMBER}(?:{APART}{NUMBER})+{END}", "a list has brackets and commas: [{listed}]"
    ),
    _slip(
        rf"^{KEY}(?P<value>{NUMBER}|{COMMA_NUMBER})\s*[^\d\s\[\](){{}}.,;:+-][^\d\[\]]*{END}",
        "give the number alone, its unit is in the key: {dotted}",
    ),
    _slip(rf"^{KEY}[^\[({{]*[\])}}]", "a bracket is closed that is not open"),
    _slip(rf"^{KEY}\[[^\[]*\][^\[]*\]", "a bracket is closed that is not open"),
    _slip(rf"^{KEY}(?:\"\"|true|false|\[.*\])\s*[^,\]]", "after a value, a remark begins with #"),
)
"""Tried in this order, so the narrower before the wider."""


def hint_for(statement: Statement) -> str | None:
    """What was probably meant by a statement that is no TOML; None where nothing is known."""
    bracket = open_bracket(statement)
    if bracket is not None:
        return f"its bracket {bracket} is not closed; write {CLOSES[bracket]} at its end"
    for slip in SLIPS:
        found = slip.pattern.search(statement.bare if slip.seen_bare else statement.text)
        if found:
            return slip.hint.format(**_words(found, statement.text))
    return None


def _words(found: re.Match[str], text: str) -> dict[str, str]:
    """What hints may use: the pattern's groups, and the value's numbers as they should be."""
    words = {name: value or "" for name, value in found.groupdict().items()}
    value = text.partition("=")[2].strip()
    return words | {
        "dotted": _dotted(words.get("value", "")),
        "key_joined": "_".join(words.get("key", "").split()),
        "digits": re.sub(r"\D", "", value),
        "listed": ", ".join(NUMBERS_IN.findall(value)),
        "listed_dotted": ", ".join(NUMBERS_IN.findall(_dotted(value))),
    }


def _dotted(text: str) -> str:
    return re.sub(r"(\d),(\d)", r"\1.\2", text)
