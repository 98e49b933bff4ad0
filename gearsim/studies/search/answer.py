"""A search with the full rides of what its answer is about, and whether those fit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from gearsim.setup.fit.fitment import Fit, findings_of
from gearsim.studies.compare import Candidate, Comparison, with_fits
from gearsim.studies.search.search import Search, best_rides


@dataclass(frozen=True, kw_only=True)
class Answer:
    """A search, and what the rider has and the best few of it, compared, with every finding.

    `cautions` are what to look at again in what was told of rider, bike and day, one line each.
    """

    search: Search
    comparison: Comparison
    cautions: tuple[str, ...] = ()

    @property
    def best(self) -> tuple[Candidate, ...]:
        """The best few, in the search's order."""
        by_name = {each.name: each for each in self.comparison.candidates}
        return tuple(by_name[name] for name in self._names)

    @property
    def now(self) -> Candidate:
        """What the rider has."""
        (now,) = [each for each in self.comparison.candidates if each.name not in self._names]
        return now

    @property
    def _names(self) -> tuple[str, ...]:
        search = self.search
        return tuple(search.options[place].name for place in search.ranking.best)


def answer_of(search: Search, cautions: Sequence[str] = ()) -> Answer:
    """Ride what the rider has and the best few once more, and keep the rides."""
    comparison = with_fits(best_rides(search), _fits(search))
    return Answer(search=search, comparison=comparison, cautions=tuple(cautions))


def _fits(search: Search) -> list[Fit]:
    """Every finding on the best few, on the widest tyre that must fit."""
    question = search.question
    tyre_mm = max(search.bike.tyre_mm, question.wishes.smallest_tyre_mm or 0.0)
    bike = replace(search.bike, tyre_mm=tyre_mm)
    best = [search.options[place].prospect for place in search.ranking.best]
    return [
        Fit(drivetrain=each.drivetrain, findings=findings_of(each.build, bike, question.frame))
        for each in best
    ]
