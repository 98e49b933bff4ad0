"""Which builds of a parts list are open to each athlete of a squad."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache

from gearsim.errors import PlanError
from gearsim.setup.athlete import Athlete
from gearsim.setup.bike import Bike
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.frame import Frame
from gearsim.setup.parts.parts_list import PartsList
from gearsim.setup.wishes import Wishes
from gearsim.studies.search.builds_in_question import InQuestion, builds_in_question
from gearsim.studies.search.present_parts import Present
from gearsim.studies.search.prospect import Prospect
from gearsim.studies.squad.gears import Gears, gears_of


@dataclass(frozen=True, kw_only=True)
class OpenTo:
    """What is open to one athlete: builds by their gears, and what they have already.

    Of builds with the same gears it is the one with the least to check and then to buy.
    `bike` is theirs without its drivetrain, which weighs what the list says; `present` that of the
    plan where the athlete told none.
    """

    athlete: Athlete
    bike: Bike
    present: Present
    prospects: Mapping[Gears, Prospect]

    @property
    def has(self) -> Gears:
        """The gears of what there is already."""
        return gears_of(self.present.drivetrain)

    @property
    def gears(self) -> tuple[Gears, ...]:
        """All gears that the athlete can have."""
        return tuple(dict.fromkeys([*self.prospects, self.has]))

    def trouble(self, gears: Gears) -> tuple[int, int]:
        """How much this athlete must check and buy for them: nothing for what is there already."""
        prospect = None if gears == self.has else self.prospects.get(gears)
        return (0, 0) if prospect is None else prospect.trouble


@dataclass(frozen=True, kw_only=True)
class OpenBuilds:
    """What is open to whom; `drivetrains` are all there are, by their gears, each named apart.

    One of several weights, by the mechs that an athlete has already, is told at its lightest.
    `untold` is what those are taken to have who told nothing; `left_out` says of whom nothing is
    left to ride, and why.
    """

    athletes: tuple[OpenTo, ...]
    drivetrains: Mapping[Gears, Drivetrain]
    untold: Drivetrain | None
    frame: Frame
    wishes: Wishes
    left_out: tuple[str, ...]

    @property
    def rides(self) -> int:
        """How many rides there are to compute."""
        return sum(len(each.gears) for each in self.athletes)


def open_builds(
    athletes: Sequence[Athlete],
    untold: Drivetrain | None,
    parts: PartsList,
    frame: Frame,
    wishes: Wishes,
) -> OpenBuilds:
    """For each athlete every build that fits the frame and is as wished, keeping what is theirs.

    Wishes to keep a part, and the price of what is to be bought, go by what each athlete has;
    `untold` is taken for what is not told; where it is None, such athletes are left out.  The frame
    is taken for all, but that each bike takes what its athlete has.

    Raises `PlanError` where nothing is left for anyone.
    """

    @cache
    def question(has: Drivetrain, bike: Bike) -> InQuestion:
        theirs = frame_with(has, frame)
        there = replace(has, driver_body=theirs.driver_body)
        return builds_in_question(there, parts, bike, theirs, wishes)

    found: list[OpenTo] = []
    left_out: list[str] = []
    for athlete in athletes:
        try:
            asked = question(_has(athlete, untold), _for_fit(athlete.bike))
            found.append(_open_to(athlete, asked))
        except PlanError as error:
            left_out.append(f"{athlete.name}: {error}")
    if not found:
        raise PlanError(left_out[0].partition(": ")[2])
    return OpenBuilds(
        athletes=tuple(found),
        drivetrains=_named_apart(_lightest(found)),
        untold=untold,
        frame=frame,
        wishes=wishes,
        left_out=tuple(left_out),
    )


def _has(athlete: Athlete, untold: Drivetrain | None) -> Drivetrain:
    has = athlete.drivetrain or untold
    if has is None:
        raise PlanError(
            "what the athlete has is not told, and there is no [[drivetrain]] in the plan to be "
            "taken for it; tell its chainrings and sprockets"
        )
    return has


def frame_with(has: Drivetrain, frame: Frame) -> Frame:
    """The frame as told, but that it takes the drivetrain that is on it."""
    if not has.chainrings:
        return frame
    alone, largest = len(has.chainrings) == 1, has.chainrings[0]
    return replace(
        frame,
        largest_ring_alone=_at_least(largest if alone else 0, frame.largest_ring_alone),
        largest_ring_of_two=_at_least(0 if alone else largest, frame.largest_ring_of_two),
        front_mech_mount=frame.front_mech_mount if alone else True,
        driver_body=has.driver_body or frame.driver_body,
        shifter_chainrings=_at_least(len(has.chainrings), frame.shifter_chainrings),
        shifter_sprockets=None if frame.shifter_sprockets is None else len(has.sprockets),
    )


def _at_least(shown: int, told: int | None) -> int | None:
    """A limit that is told, or the more that is shown; None where it is not told."""
    return None if told is None else max(shown, told)


def _for_fit(bike: Bike) -> Bike:
    """The bike without what differs from athlete to athlete and has no say in what fits."""
    return replace(bike, name=Bike.name, mass_kg=Bike.mass_kg, drag_area_m2=Bike.drag_area_m2)


def _open_to(athlete: Athlete, asked: InQuestion) -> OpenTo:
    present = asked.present
    mass_kg = athlete.bike.mass_kg + present.drivetrain.mass_kg - present.mass_kg
    try:
        bike = replace(athlete.bike, mass_kg=mass_kg)
    except PlanError as error:
        raise PlanError(
            f"bike_mass_kg is {athlete.bike.mass_kg:g}, but {present.drivetrain.name!r} weighs "
            f"{present.mass_kg:.2f} by the parts list: too little is left; check both"
        ) from error
    return OpenTo(
        athlete=athlete,
        bike=bike,
        present=present,
        prospects=_by_gears(asked.prospects),
    )


def _by_gears(prospects: Sequence[Prospect]) -> dict[Gears, Prospect]:
    by_gears: dict[Gears, Prospect] = {}
    for each in prospects:
        gears = gears_of(each.drivetrain)
        if gears not in by_gears or each.trouble < by_gears[gears].trouble:
            by_gears[gears] = each
    return by_gears


def _lightest(found: Iterable[OpenTo]) -> dict[Gears, Drivetrain]:
    """Each build once, under its own name before that of someone who has it."""
    builds = [each.drivetrain for open_to in found for each in open_to.prospects.values()]
    presents = [replace(e.present.drivetrain, mass_kg=e.present.mass_kg) for e in found]
    lightest: dict[Gears, Drivetrain] = {}
    for drivetrain in sorted(builds, key=lambda each: each.mass_kg):
        lightest.setdefault(gears_of(drivetrain), drivetrain)
    for drivetrain in presents:
        lightest.setdefault(gears_of(drivetrain), drivetrain)
    return lightest


def _named_apart(drivetrains: Mapping[Gears, Drivetrain]) -> dict[Gears, Drivetrain]:
    """The drivetrains with a number after a name that is there already."""
    so_far: Counter[str] = Counter()
    named: dict[Gears, Drivetrain] = {}
    for gears, drivetrain in drivetrains.items():
        so_far[drivetrain.name] += 1
        number = so_far[drivetrain.name]
        name = drivetrain.name if number == 1 else f"{drivetrain.name} ({number})"
        named[gears] = replace(drivetrain, name=name)
    return named
