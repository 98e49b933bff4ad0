"""Invented parts that fit each other, and a bike and frame that they fit."""

from typing import Any

from hypothesis import strategies as st

from gearsim.setup.bike import Bike
from gearsim.setup.fit.assembly import Assembly
from gearsim.setup.fit.build import Build
from gearsim.setup.fit.finding import VERDICTS, Finding, Verdict
from gearsim.setup.frame import Frame
from gearsim.setup.parts.kinds import Cassette, Chainset, FrontMech, InternalGear, RearMech
from gearsim.setup.parts.parts_list import PartsList

BIKE = Bike(tyre_mm=40.0, chainstay_mm=430.0)
FRAME = Frame(
    largest_ring_alone=44,
    largest_ring_of_two=48,
    largest_tyre_mm=45.0,
    front_mech_mount=True,
    driver_body="splined, long",
    shifter_sprockets=11,
    shifter_chainrings=2,
    chain_tensioning=True,
)
UNTOLD = Frame()

ELEVEN_34 = (11, 13, 15, 17, 19, 21, 23, 25, 27, 30, 34)
CASSETTE = Cassette(name="cassette", sprockets=ELEVEN_34, driver_body="splined, long", mass_g=310.0)
ONE_RING = Chainset(name="one ring", chainrings=(42,), chain_sprockets=(10, 12), mass_g=650.0)
TWO_RINGS = Chainset(name="two rings", chainrings=(46, 30), chain_sprockets=(10, 12), mass_g=720.0)
REAR_MECH = RearMech(
    name="rear mech",
    sprockets=11,
    smallest_sprocket=11,
    low_sprocket=(30, 34),
    capacity_teeth=40,
    most_chainrings=2,
    clutch=True,
    mass_g=260.0,
)
FRONT_MECH = FrontMech(
    name="front mech",
    chainrings=2,
    largest_gap_teeth=17,
    largest_ring=(42, 50),
    largest_tyre_mm=42.0,
    mass_g=95.0,
)
HUB = InternalGear(
    name="hub",
    place="hub",
    ratios=(0.5, 0.75, 1.0, 1.5),
    efficiency=0.94,
    smallest_drive=1.9,
    mass_g=1200.0,
)
PARTS = PartsList(
    cassettes=(CASSETTE,),
    chainsets=(ONE_RING, TWO_RINGS),
    rear_mechs=(REAR_MECH,),
    front_mechs=(FRONT_MECH,),
    internal_gears=(HUB,),
)

TWO = Build(chainset=TWO_RINGS, cassette=CASSETTE, rear_mech=REAR_MECH, front_mech=FRONT_MECH)
ONE = Build(chainset=ONE_RING, cassette=CASSETTE, rear_mech=REAR_MECH)


def finding(findings: Any, subject: str) -> Finding:
    """The one finding on a subject."""
    (found,) = (each for each in findings if each.subject == subject)
    assert isinstance(found, Finding)
    return found


def verdicts(findings: Any) -> dict[str, Verdict]:
    """Every verdict by its subject."""
    return {each.subject: each.verdict for each in findings}


def no_worse(after: dict[str, Verdict], before: dict[str, Verdict]) -> bool:
    """Whether no subject's verdict is worse than it was."""
    assert after.keys() == before.keys()
    return all(VERDICTS.index(after[each]) <= VERDICTS.index(before[each]) for each in before)


@st.composite
def rear_mechs(draw: st.DrawFn) -> RearMech:
    """Rear mechs of every size."""
    low = draw(st.integers(24, 46))
    return RearMech(
        name="drawn",
        sprockets=draw(st.integers(8, 13)),
        smallest_sprocket=draw(st.integers(9, 13)),
        low_sprocket=(low, low + draw(st.integers(0, 12))),
        capacity_teeth=draw(st.integers(15, 50)),
        most_chainrings=draw(st.integers(1, 3)),
        clutch=draw(st.booleans()),
        mass_g=260.0,
    )


@st.composite
def assemblies(draw: st.DrawFn) -> Assembly:
    """Chainrings and sprockets of every size, with a rear mech, some with a chain of their own."""
    rings = draw(st.sets(st.integers(22, 54), min_size=1, max_size=3))
    rears = draw(st.sets(st.integers(9, 52), min_size=2, max_size=13))
    return Assembly(
        chainrings=tuple(sorted(rings, reverse=True)),
        sprockets=tuple(sorted(rears)),
        rear_mech=draw(rear_mechs()),
        chain_links=draw(st.none() | st.integers(90, 130)),
    )
