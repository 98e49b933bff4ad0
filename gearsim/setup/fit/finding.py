"""A finding on whether parts fit, and the rules and questions that findings come from."""

from __future__ import annotations

import operator
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from enum import StrEnum


class Verdict(StrEnum):
    """What a finding comes to, the best first."""

    OK = "ok"
    CAUTION = "caution"
    DOES_NOT_FIT = "does not fit"


VERDICTS = tuple(Verdict)
"""All verdicts, the best first."""


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that was checked: what it is on this bike, what is allowed, and why it matters.

    `number` and `limit` are in `unit`; either is None where it was not told or is no number.
    A finding is a warning, never a permission: the makers of the parts and a qualified mechanic
    come first.
    """

    subject: str
    verdict: Verdict
    number: float | None
    limit: float | None
    unit: str
    reason: str


@dataclass(frozen=True, slots=True)
class Rule:
    """How a number is held against a limit, and what is said in each case.

    `breach` is the verdict where the limit is passed; where it is not told, it is a caution.
    """

    subject: str
    unit: str
    kept: str
    broken: str
    untold: str
    breach: Verdict = Verdict.DOES_NOT_FIT

    def at_most(self, number: float, limit: float | None) -> Finding:
        """The finding for a number that must not be above its limit."""
        return self._held(number, limit, operator.le)

    def at_least(self, number: float, limit: float | None) -> Finding:
        """The finding for a number that must not be below its limit."""
        return self._held(number, limit, operator.ge)

    def equal(self, number: float, limit: float | None) -> Finding:
        """The finding for a number that must be its limit exactly."""
        return self._held(number, limit, operator.eq)

    def _held(
        self, number: float, limit: float | None, keeps: Callable[[float, float], bool]
    ) -> Finding:
        if limit is None:
            verdict, reason = Verdict.CAUTION, self.untold
        elif keeps(number, limit):
            verdict, reason = Verdict.OK, self.kept
        else:
            verdict, reason = self.breach, self.broken
        return Finding(self.subject, verdict, number, limit, self.unit, reason)


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked of the bike that takes yes or no, and what is said to either.

    `no_means` is the verdict where the answer is no; where it is not told, it is a caution.
    """

    subject: str
    yes: str
    no: str
    untold: str = ""
    no_means: Verdict = Verdict.DOES_NOT_FIT

    def answered(self, answer: bool | None) -> Finding:
        """The finding for an answer; None where it is not told."""
        if answer is None:
            return said(self.subject, Verdict.CAUTION, self.untold)
        if answer:
            return said(self.subject, Verdict.OK, self.yes)
        return said(self.subject, self.no_means, self.no)


def said(subject: str, verdict: Verdict, reason: str) -> Finding:
    """A finding that has no numbers."""
    return Finding(subject, verdict, None, None, "", reason)


def verdict_of(findings: Iterable[Finding]) -> Verdict:
    """The worst verdict of all; ok where there is no finding."""
    return max((finding.verdict for finding in findings), key=VERDICTS.index, default=Verdict.OK)
