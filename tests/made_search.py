"""A small invented parts list, what a rider has of it, and a search over it."""

from dataclasses import replace
from functools import cache

from made_parts import CASSETTE, FRAME, FRONT_MECH, HUB, ONE_RING, REAR_MECH, TWO_RINGS

from gearsim.course.course import Course, course_from_grades
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.frame import Frame
from gearsim.setup.parts.kinds import Cassette, Chainset
from gearsim.setup.parts.parts_list import PartsList
from gearsim.setup.rider import Rider
from gearsim.setup.wishes import Wishes
from gearsim.studies.search.answer import Answer, answer_of
from gearsim.studies.search.search import Search, search

CLOSE = Cassette(
    name="close",
    sprockets=(11, 12, 13, 14, 15, 17, 19, 21, 24, 27, 30),
    driver_body="splined, long",
    mass_g=280.0,
    price=60.0,
)
WIDE = Cassette(
    name="wide",
    sprockets=(11, 13, 15, 17, 19, 21, 24, 28, 32, 37, 42),
    driver_body="splined, 8 to 10",
    mass_g=440.0,
    price=90.0,
)
TEN = Cassette(
    name="ten",
    sprockets=(11, 13, 15, 17, 19, 21, 24, 27, 30, 34),
    driver_body="splined, 8 to 10",
    mass_g=300.0,
    price=40.0,
)
SMALL_RING = Chainset(
    name="small ring", chainrings=(36,), chain_sprockets=(10, 12), mass_g=620.0, price=150.0
)
BIG_RING = Chainset(
    name="big ring", chainrings=(48,), chain_sprockets=(10, 12), mass_g=640.0, price=140.0
)
LONG_CAGE = replace(
    REAR_MECH, name="long cage", low_sprocket=(36, 46), capacity_teeth=38, mass_g=310.0, price=80.0
)
LIGHT_CAGE = replace(REAR_MECH, name="light cage", clutch=False, mass_g=200.0, price=200.0)
HEAVY_CAGE = replace(REAR_MECH, name="heavy cage", mass_g=330.0, price=40.0)
SECOND_FRONT = replace(FRONT_MECH, name="wide front", largest_tyre_mm=50.0, mass_g=140.0)

PARTS = PartsList(
    cassettes=(CASSETTE, CLOSE, WIDE, TEN),
    chainsets=(ONE_RING, TWO_RINGS, SMALL_RING, BIG_RING),
    rear_mechs=(REAR_MECH, LONG_CAGE, LIGHT_CAGE, HEAVY_CAGE),
    front_mechs=(FRONT_MECH, SECOND_FRONT),
    internal_gears=(HUB,),
)
NOW = Drivetrain(
    name="what I have",
    chainrings=TWO_RINGS.chainrings,
    sprockets=CASSETTE.sprockets,
    chainset="two rings",
    rear_mech="rear mech",
    front_mech="front mech",
)
RIDER = Rider(power_w=190.0)
BIKE = Bike(mass_kg=10.5, tyre_mm=40.0)


def hills(length_km: float = 4.0) -> Course:
    """Up and down at 8 %, with a wall of 18 % and a fast descent."""
    steps = int(length_km * 100)
    third = steps // 3
    grades = [0.08] * third + [0.18] * 20 + [0.0] * (third - 20) + [-0.08] * (steps - 2 * third)
    return course_from_grades(grades, name="Hills")


@cache
def searched(wishes: Wishes | None = None, frame: Frame = FRAME) -> Search:
    """The search over the invented list on the hills."""
    return search(
        hills(), RIDER, BIKE, Conditions(), now=NOW, parts=PARTS, frame=frame, wishes=wishes
    )


@cache
def answered(wishes: Wishes | None = None, frame: Frame = FRAME) -> Answer:
    """The same search with the rides of its best few."""
    return answer_of(searched(wishes, frame))
