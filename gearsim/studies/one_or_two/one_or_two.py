"""One ring or two: the best of each that fit, side by side, and what would change the verdict."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from gearsim.course.course import Course
from gearsim.errors import PlanError
from gearsim.ride.score import Weights
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.fit.finding import Finding
from gearsim.setup.frame import Frame
from gearsim.setup.parts.parts_list import PartsList
from gearsim.setup.rider import Rider
from gearsim.setup.wishes import Wishes
from gearsim.studies.near_tie import near_tie
from gearsim.studies.one_or_two.contender import (
    RINGS,
    Contender,
    Setting,
    against_present,
    as_good,
    best_first,
    contender_of_plan,
    contenders_of_search,
    setting_of,
)
from gearsim.studies.one_or_two.group_riding import PACES_MPS
from gearsim.studies.one_or_two.lever_curve import LeverCurve
from gearsim.studies.one_or_two.ring_side import Side, side
from gearsim.studies.one_or_two.verdict_flips import flips
from gearsim.studies.over_cores import over_cores
from gearsim.studies.search.builds_in_question import InQuestion, builds_in_question
from gearsim.studies.search.gains import Change, change
from gearsim.studies.search.search import Search, ride_builds

Done = Callable[[], None]


@dataclass(frozen=True, kw_only=True)
class Field:
    """All that contend in a setting.

    `considered` counts the pairs of parts that were looked at, 0 where the plan's own drivetrains
    contend; `has` is the name of what the rider has, `against_has` why it does not contend.
    """

    setting: Setting
    frame: Frame
    contenders: tuple[Contender, ...]
    considered: int
    has: str | None
    against_has: tuple[Finding, ...]


@dataclass(frozen=True, kw_only=True)
class OneOrTwo:
    """The best with one ring and the best with two, and what would turn the verdict."""

    field: Field
    one: Side
    two: Side
    curves: tuple[LeverCurve, ...]

    @property
    def setting(self) -> Setting:
        """Where both were ridden."""
        return self.field.setting

    @property
    def two_wins(self) -> bool:
        """Whether two rings have the lower mismatch; equal ones are one ring's."""
        return self.two.contender.mismatch < self.one.contender.mismatch

    @property
    def is_near_tie(self) -> bool:
        """Whether the two are closer than what goes into them is known."""
        return near_tie(*sorted((self.one.contender.mismatch, self.two.contender.mismatch)))

    @property
    def one_for_two(self) -> Change:
        """What changes with one ring instead of two; masses unknown count as equal.

        Its price is how much more the parts to be bought cost, None where one is not known.
        """
        one, two = self.one.contender, self.two.contender
        known = one.mass_kg is not None and two.mass_kg is not None
        priced = one.price is not None and two.price is not None
        return change(
            two.outcome,
            one.outcome,
            mass_kg=(one.mass_kg or 0.0) - (two.mass_kg or 0.0) if known else 0.0,
            parts_to_adjust=one.parts_to_adjust - two.parts_to_adjust,
            price=(one.price or 0.0) - (two.price or 0.0) if priced else None,
        )


def rings_in_question(
    now: Drivetrain, parts: PartsList, bike: Bike, frame: Frame, wishes: Wishes
) -> InQuestion:
    """The builds with one ring and with two that fit and are as wished.

    A wish for a number of chainrings is set aside, for that is the question; so are hub gears.

    Raises `PlanError` where the chainset is to be kept, and as `builds_in_question`.
    """
    if wishes.keep_chainset:
        raise PlanError(
            "search.keep_chainset is true, which decides between one ring and two; "
            "leave it out to weigh them"
        )
    open_wishes = replace(wishes, chainrings=None, internal_gears=False)
    question = builds_in_question(now, parts, bike, frame, open_wishes)
    of_rings = [each for each in question.prospects if len(each.drivetrain.chainrings) in RINGS]
    return replace(question, prospects=tuple(of_rings))


def field_of_search(search: Search, parts: PartsList) -> Field:
    """What contends of a search over the builds of `rings_in_question`.

    Raises `PlanError` where one side has nothing that fits, with what is in the way.
    """
    contenders = contenders_of_search(search, parts)
    question, has = search.question, search.question.present.drivetrain.name
    for rings in RINGS:
        if not best_first(contenders, rings):
            wishes = replace(question.wishes, chainrings=rings)
            # Raises, with the reasons for builds of so many rings.
            builds_in_question(
                question.present.drivetrain, parts, search.bike, question.frame, wishes
            )
    return Field(
        setting=setting_of(search),
        frame=question.frame,
        contenders=contenders,
        considered=question.considered,
        has=has,
        against_has=against_present(search, parts),
    )


def field_of_plan(
    setting: Setting,
    drivetrains: Sequence[Drivetrain],
    parts: PartsList,
    frame: Frame,
    *,
    has: str | None = None,
) -> Field:
    """The plan's own drivetrains with one ring or two, ridden; `has` names what the rider has.

    Raises `PlanError` where one side has none.
    """
    of_rings = [each for each in drivetrains if len(each.chainrings) in RINGS]
    for rings, words in zip(RINGS, ("one chainring", "two chainrings"), strict=True):
        if not any(len(each.chainrings) == rings for each in of_rings):
            raise PlanError(
                f"no [[drivetrain]] has {words}; add one, or leave out --candidates to take the "
                "best of the parts list"
            )

    def contender(drivetrain: Drivetrain) -> Contender:
        return contender_of_plan(drivetrain, setting, parts, frame, has=drivetrain.name == has)

    return Field(
        setting=setting,
        frame=frame,
        contenders=tuple(over_cores(contender, of_rings)),
        considered=0,
        has=has,
        against_has=(),
    )


def weigh(
    field: Field,
    *,
    paces_mps: tuple[float, float] = PACES_MPS,
    workers: int | None = None,
    done: Done | None = None,
) -> OneOrTwo:
    """The best of each side in full, and what would change the verdict; `done` as for `flips`.

    Raises `PlanError` for a span of the group's paces that is none.
    """
    sides = {}
    for rings in RINGS:
        ranked = best_first(field.contenders, rings)
        sides[rings] = side(
            ranked[0], field.setting, paces_mps, as_good=as_good(ranked), ridden=len(ranked)
        )
    curves = flips(field.setting, field.contenders, workers=workers, done=done)
    return OneOrTwo(field=field, one=sides[1], two=sides[2], curves=curves)


def one_or_two(
    course: Course,
    rider: Rider,
    bike: Bike,
    conditions: Conditions,
    *,
    now: Drivetrain,
    parts: PartsList,
    frame: Frame | None = None,
    wishes: Wishes | None = None,
    weights: Weights | None = None,
    paces_mps: tuple[float, float] = PACES_MPS,
) -> OneOrTwo:
    """The best one-ring and the best two-ring drivetrain of a parts list, weighed.

    `now` is what the rider has.  Raises `PlanError` where a side has nothing that fits.
    """
    question = rings_in_question(now, parts, bike, frame or Frame(), wishes or Wishes())
    search = ride_builds(course, rider, bike, conditions, question, weights=weights)
    return weigh(field_of_search(search, parts), paces_mps=paces_mps)
