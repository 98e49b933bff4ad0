"""One side of the choice between one ring and two: its best drivetrain, told in every respect."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gearsim.ride.ride import Ride
from gearsim.ride.simulate import simulate
from gearsim.ride.states import STATES, State
from gearsim.ride.usage import usage
from gearsim.setup.fit.chain import crossed_gears
from gearsim.setup.gear_sheet import GearSheet, gear_sheet
from gearsim.studies.one_or_two.contender import Contender, Setting
from gearsim.studies.one_or_two.group_riding import GroupRiding, group_riding


@dataclass(frozen=True, kw_only=True)
class Stretch:
    """Road ridden in one gear (by index), from a shift to the next.

    `road_m` and `seconds` are those pedalled: coasting in between neither counts nor ends it.
    """

    gear: int
    start_m: float
    road_m: float
    seconds: float


@dataclass(frozen=True, kw_only=True)
class ChainLine:
    """How askew the chain runs: at most while pedalled, rad, and seconds pedalled in crossed gears.

    Crossed are those that `gearsim fit` says to avoid.
    """

    largest_rad: float
    crossed_s: float
    pedalled_s: float

    @property
    def crossed_share(self) -> float:
        """Share of the time pedalled in crossed gears."""
        return self.crossed_s / self.pedalled_s if self.pedalled_s > 0.0 else 0.0


@dataclass(frozen=True, kw_only=True)
class Side:
    """The best drivetrain with one number of chainrings, its ride, and all that decides beside it.

    `as_good` are others with as many chainrings in a near tie with it; `ridden` is how many there
    were.
    """

    contender: Contender
    ride: Ride
    sheet: GearSheet
    longest: Stretch
    chain_line: ChainLine
    group: GroupRiding
    as_good: tuple[Contender, ...]
    ridden: int


def side(
    contender: Contender,
    setting: Setting,
    paces_mps: tuple[float, float],
    *,
    as_good: tuple[Contender, ...],
    ridden: int,
) -> Side:
    """Ride the best contender again, in full, and look at it from all sides."""
    drivetrain = contender.drivetrain
    ride = simulate(setting.course, setting.rider, setting.bike, drivetrain, setting.conditions)
    return Side(
        contender=contender,
        ride=ride,
        sheet=gear_sheet(drivetrain, setting.bike, setting.rider),
        longest=longest_stretch(ride),
        chain_line=chain_line(ride),
        group=group_riding(ride.gears, setting.rider.target_cadence_rpm, paces_mps),
        as_good=as_good,
        ridden=ridden,
    )


def longest_stretch(ride: Ride) -> Stretch:
    """The stretch between two shifts that is pedalled longest; walking ends one too."""
    on_foot = ride.state == STATES.index(State.WALKING)
    key = np.where(on_foot, -1, ride.gear)
    firsts = np.concatenate([[0], np.flatnonzero(np.diff(key)) + 1])
    pedalled = (ride.cadence_rpm > 0.0) & ~on_foot
    seconds = np.add.reduceat(np.where(pedalled, ride.duration_s, 0.0), firsts)
    road_m = np.add.reduceat(np.where(pedalled, ride.course.road_length_m, 0.0), firsts)
    longest = int(np.argmax(seconds))
    return Stretch(
        gear=int(ride.gear[firsts[longest]]),
        start_m=float(ride.course.distance_m[firsts[longest]]),
        road_m=float(road_m[longest]),
        seconds=float(seconds[longest]),
    )


def chain_line(ride: Ride) -> ChainLine:
    """The chain's angle in the gears that are pedalled, and the time in crossed ones."""
    drivetrain, gears, gear_s = ride.drivetrain, ride.gears, usage(ride).gear_s
    teeth = zip(gears.chainring.tolist(), gears.sprocket.tolist(), strict=True)
    avoided = crossed_gears(drivetrain.chainrings, drivetrain.sprockets, ride.bike.chainstay_mm)
    crossed = np.array([gear in avoided for gear in teeth])
    return ChainLine(
        largest_rad=float(gears.chain_angle_rad[gear_s > 0.0].max(initial=0.0)),
        crossed_s=float(gear_s[crossed].sum()),
        pedalled_s=float(gear_s.sum()),
    )
