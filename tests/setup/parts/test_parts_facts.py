"""The package's own parts against what the trade knows of them.

Common practice or from memory, no source, unless one is named.
"""

from itertools import pairwise, permutations

import pytest

from gearsim.setup.driver_body import DRIVER_BODIES
from gearsim.setup.parts.kinds import Cassette, Chainset, FrontMech, Part, RearMech
from gearsim.setup.parts.parts_list import load_parts

PARTS = load_parts()
ALL_PARTS: tuple[Part, ...] = (
    *PARTS.cassettes,
    *PARTS.chainsets,
    *PARTS.rear_mechs,
    *PARTS.front_mechs,
    *PARTS.internal_gears,
)
SEVEN_TO_THIRTEEN = set(range(7, 14))

BAIL_OUT_LOW = {"14-34, 7 sprockets, screw-on", "11-34, 8 sprockets"}
"""Cassettes whose last step is meant to be a leap, for one gear to walk up walls with."""

KNOWN_SEQUENCES = {
    "11-32, 8 sprockets": (11, 13, 15, 18, 21, 24, 28, 32),
    "11-34, 9 sprockets": (11, 13, 15, 17, 20, 23, 26, 30, 34),
    "12-25, 9 sprockets": (12, 13, 14, 15, 17, 19, 21, 23, 25),
    "11-36, 10 sprockets": (11, 13, 15, 17, 19, 21, 24, 28, 32, 36),
    "11-28, 11 sprockets": (11, 12, 13, 14, 15, 17, 19, 21, 23, 25, 28),
    "11-34, 11 sprockets": (11, 13, 15, 17, 19, 21, 23, 25, 27, 30, 34),
    "11-42, 11 sprockets": (11, 13, 15, 17, 19, 21, 24, 28, 32, 37, 42),
    "11-34, 12 sprockets": (11, 12, 13, 14, 15, 17, 19, 21, 24, 27, 30, 34),
    "10-50, 12 sprockets": (10, 12, 14, 16, 18, 21, 24, 28, 32, 36, 42, 50),
    "10-51, 12 sprockets": (10, 12, 14, 16, 18, 21, 24, 28, 33, 39, 45, 51),
}


def named(part: Part) -> str:
    return part.name


def takes(mech: RearMech, cassette: Cassette, chainset: Chainset) -> bool:
    """Whether the mech serves every gear of the two with one chain."""
    rings, rears = chainset.chainrings, cassette.sprockets
    fewest, most = chainset.chain_sprockets
    return (
        len(rears) == mech.sprockets
        and rears[0] >= mech.smallest_sprocket
        and mech.low_sprocket[0] <= rears[-1] <= mech.low_sprocket[1]
        and rings[0] - rings[-1] + rears[-1] - rears[0] <= mech.capacity_teeth
        and len(rings) <= mech.most_chainrings
        and fewest <= len(rears) <= most
    )


def shifts(mech: FrontMech, chainset: Chainset) -> bool:
    rings = chainset.chainrings
    return (
        len(rings) == mech.chainrings
        and rings[0] - rings[-1] <= mech.largest_gap_teeth
        and mech.largest_ring[0] <= rings[0] <= mech.largest_ring[1]
    )


def one_ring_chainsets(sprockets: int) -> list[Chainset]:
    return [
        chainset
        for chainset in PARTS.chainsets
        if len(chainset.chainrings) == 1
        and chainset.chain_sprockets[0] <= sprockets <= chainset.chain_sprockets[1]
    ]


def test_there_are_parts_enough_to_choose_from() -> None:
    assert len(PARTS.cassettes) >= 40
    assert len(PARTS.chainsets) >= 25
    assert len(PARTS.rear_mechs) >= 12
    assert len(PARTS.front_mechs) >= 6


def test_cassettes_and_rear_mechs_range_from_7_to_13_sprockets() -> None:
    assert {len(cassette.sprockets) for cassette in PARTS.cassettes} == SEVEN_TO_THIRTEEN
    assert {mech.sprockets for mech in PARTS.rear_mechs} == SEVEN_TO_THIRTEEN


def test_chainsets_have_one_two_or_three_rings_for_every_use() -> None:
    assert {len(chainset.chainrings) for chainset in PARTS.chainsets} == {1, 2, 3}
    names = " ".join(map(named, PARTS.chainsets))
    for use in ("road", "compact", "sub-compact", "gravel", "mountain", "touring"):
        assert f" {use}" in names


def test_there_are_the_usual_hub_gears_and_gearboxes() -> None:
    counts = {(gear.place, len(gear.ratios)) for gear in PARTS.internal_gears}
    assert {("hub", count) for count in (3, 5, 7, 8, 11, 14)} <= counts
    assert {("gearbox", count) for count in (6, 9, 12, 18)} <= counts


def test_rear_mechs_come_with_a_clutch_and_without() -> None:
    assert {mech.clutch for mech in PARTS.rear_mechs} == {True, False}


@pytest.mark.parametrize("part", ALL_PARTS, ids=named)
def test_every_part_is_described_generically_says_its_source_and_leaves_the_price(
    part: Part,
) -> None:
    assert part.name == part.name.lower()  # a brand would have a capital
    assert part.source in (
        "from memory",
        "common practice, no source",
        "made up to fill the range",
        "range and step from memory; ratios computed as even steps",
    )
    assert part.price is None
    assert part.mass_g > 0.0


def test_names_say_the_teeth_that_are_there() -> None:
    for cassette in PARTS.cassettes:
        teeth = cassette.sprockets
        assert cassette.name.startswith(f"{teeth[0]}-{teeth[-1]}, {len(teeth)} sprockets")
    for chainset in PARTS.chainsets:
        rings = "-".join(map(str, chainset.chainrings))
        fewest, most = chainset.chain_sprockets
        count = f"{fewest} to {most}" if fewest < most else f"{most}"
        assert chainset.name.startswith(f"{rings} ")
        assert chainset.name.endswith(f", {count} sprockets")
    for rear in PARTS.rear_mechs:
        assert rear.name.startswith(f"{rear.sprockets} sprockets, ")
        assert f", low to {rear.low_sprocket[1]}" in rear.name
    for front in PARTS.front_mechs:
        assert front.name.startswith({2: "two rings, ", 3: "three rings, "}[front.chainrings])
        assert front.name.endswith(f", up to {front.largest_ring[1]}")


@pytest.mark.parametrize(("name", "sprockets"), KNOWN_SEQUENCES.items(), ids=KNOWN_SEQUENCES)
def test_known_sequences_are_there(name: str, sprockets: tuple[int, ...]) -> None:
    assert PARTS.cassette(name).sprockets == sprockets


@pytest.mark.parametrize("body", DRIVER_BODIES)
def test_some_cassette_uses_all_the_room_that_a_body_has(body: str) -> None:
    smallest = [each.sprockets[0] for each in PARTS.cassettes if each.driver_body == body]
    assert min(smallest) == DRIVER_BODIES[body].smallest_sprocket


@pytest.mark.parametrize("cassette", PARTS.cassettes, ids=named)
class TestCassette:
    def test_smallest_sprocket_has_room_on_its_body(self, cassette: Cassette) -> None:
        assert cassette.sprockets[0] >= DRIVER_BODIES[cassette.driver_body].smallest_sprocket

    def test_a_body_for_small_sprockets_is_asked_for_only_where_it_is_needed(
        self, cassette: Cassette
    ) -> None:
        if cassette.driver_body in ("splined, short", "splined, fine"):
            assert cassette.sprockets[0] == 10

    def test_steps_are_neither_felt_too_little_nor_too_much(self, cassette: Cassette) -> None:
        steps = [larger / smaller - 1.0 for smaller, larger in pairwise(cassette.sprockets)]
        assert min(steps) > 0.045
        assert max(steps[:-1]) < 0.26
        assert (steps[-1] > 0.30) == (cassette.name in BAIL_OUT_LOW)

    def test_steps_in_teeth_never_shrink_towards_the_large_sprockets(
        self, cassette: Cassette
    ) -> None:
        teeth = [larger - smaller for smaller, larger in pairwise(cassette.sprockets)]
        assert teeth == sorted(teeth)

    def test_a_rear_mech_takes_it_with_one_ring(self, cassette: Cassette) -> None:
        rings = one_ring_chainsets(len(cassette.sprockets))
        assert rings
        for chainset in rings:
            assert any(takes(mech, cassette, chainset) for mech in PARTS.rear_mechs)

    def test_weight_follows_the_area_of_the_sprockets(self, cassette: Cassette) -> None:
        """A line through the list's own weights (judgement); screw-on ones have a freewheel too."""
        area_teeth2 = sum(teeth**2 for teeth in cassette.sprockets)
        freewheel_g = 150.0 if cassette.driver_body == "screw-on" else 0.0
        expected_g = 120.0 + freewheel_g + 0.042 * area_teeth2
        assert cassette.mass_g == pytest.approx(expected_g, rel=0.25)


@pytest.mark.parametrize(
    "chainset", [each for each in PARTS.chainsets if len(each.chainrings) > 1], ids=named
)
class TestChainsetOfSeveralRings:
    def test_a_front_mech_shifts_it(self, chainset: Chainset) -> None:
        assert any(shifts(mech, chainset) for mech in PARTS.front_mechs)

    def test_for_every_number_of_sprockets_some_cassette_and_rear_mech_go_with_it(
        self, chainset: Chainset
    ) -> None:
        fewest, most = chainset.chain_sprockets
        served = {
            mech.sprockets
            for mech in PARTS.rear_mechs
            for cassette in PARTS.cassettes
            if takes(mech, cassette, chainset)
        }
        assert served == set(range(fewest, most + 1))

    def test_gap_between_neighbouring_rings_is_one_a_chain_climbs(self, chainset: Chainset) -> None:
        gaps = [larger - smaller for larger, smaller in pairwise(chainset.chainrings)]
        assert min(gaps) >= 8
        assert max(gaps) <= 17  # at the wide end: check values, section 11


def test_no_rear_mech_is_without_a_cassette_and_rings() -> None:
    for mech in PARTS.rear_mechs:
        assert any(
            takes(mech, cassette, chainset)
            for cassette in PARTS.cassettes
            for chainset in PARTS.chainsets
        ), mech.name


def test_no_front_mech_is_without_rings() -> None:
    for mech in PARTS.front_mechs:
        assert any(shifts(mech, chainset) for chainset in PARTS.chainsets), mech.name


@pytest.mark.parametrize(
    ("rings", "cassette", "capacity_teeth"),
    [
        ("50-34 compact road, 11 to 12 sprockets", "11-34, 11 sprockets", 39),
        ("50-34 compact road, 11 to 12 sprockets", "11-34, 12 sprockets", 39),
        ("48-31 gravel, 11 to 12 sprockets", "11-34, 11 sprockets", 40),
        ("46-30 gravel, 11 to 12 sprockets", "11-36, 12 sprockets", 41),
        ("46-33 sub-compact, 12 to 13 sprockets", "10-36, 12 sprockets", 39),
        ("44-32-22 mountain, 9 sprockets", "11-34, 9 sprockets", 45),
    ],
)
def test_pairs_that_are_sold_together_find_a_rear_mech(
    rings: str, cassette: str, capacity_teeth: int
) -> None:
    chainset, sprockets = PARTS.chainset(rings), PARTS.cassette(cassette)
    mechs = [mech for mech in PARTS.rear_mechs if takes(mech, sprockets, chainset)]
    assert mechs
    assert min(mech.capacity_teeth for mech in mechs) >= capacity_teeth


def test_a_road_mech_does_not_reach_a_mountain_cassette() -> None:
    wide, rings = PARTS.cassette("11-42, 11 sprockets"), one_ring_chainsets(11)[0]
    road = [mech for mech in PARTS.rear_mechs if "11 sprockets, road" in mech.name]
    assert road
    assert not any(takes(mech, wide, rings) for mech in road)


def all_as_large(small: tuple[int, ...], large: tuple[int, ...]) -> bool:
    return len(small) == len(large) and all(a <= b for a, b in zip(small, large, strict=True))


def test_on_one_body_larger_sprockets_weigh_no_less() -> None:
    pairs = [
        (small, large)
        for small, large in permutations(PARTS.cassettes, 2)
        if small.driver_body == large.driver_body and all_as_large(small.sprockets, large.sprockets)
    ]
    assert len(pairs) > 100
    for small, large in pairs:
        assert small.mass_g <= large.mass_g, (small.name, large.name)


def test_of_one_make_larger_chainrings_weigh_no_less() -> None:
    makes: dict[str, list[Chainset]] = {}
    for chainset in PARTS.chainsets:
        makes.setdefault(chainset.name.partition(" ")[2], []).append(chainset)
    pairs = [
        (small, large)
        for make in makes.values()
        for small, large in permutations(make, 2)
        if all_as_large(small.chainrings, large.chainrings)
    ]
    assert len(pairs) > 20
    for small, large in pairs:
        assert small.mass_g <= large.mass_g, (small.name, large.name)


def chains_in_common(one: Chainset, other: Chainset) -> bool:
    (fewest, most), (least, largest) = one.chain_sprockets, other.chain_sprockets
    return max(fewest, least) <= min(most, largest)


def test_a_ring_more_beside_the_same_largest_weighs_more() -> None:
    pairs = [
        (few, many)
        for few, many in permutations(PARTS.chainsets, 2)
        if len(few.chainrings) < len(many.chainrings)
        and few.chainrings[0] == many.chainrings[0]
        and chains_in_common(few, many)
    ]
    assert len(pairs) > 15
    for few, many in pairs:
        assert few.mass_g < many.mass_g, (few.name, many.name)


def test_one_ring_saves_ring_and_front_mech_most_of_about_250_g() -> None:
    """Check values, section 11: with the cable, which is no part of ours, about 250 g."""
    two = PARTS.chainset("48-31 gravel, 11 to 12 sprockets").mass_g
    one = PARTS.chainset("42 gravel, 11 to 13 sprockets").mass_g
    mech = PARTS.front_mech("two rings, gravel, up to 50").mass_g
    assert 150.0 <= two + mech - one <= 250.0


def test_mechs_weigh_what_mechs_weigh() -> None:
    assert all(200.0 <= mech.mass_g <= 360.0 for mech in PARTS.rear_mechs)
    assert all(80.0 <= mech.mass_g <= 160.0 for mech in PARTS.front_mechs)


def test_a_clutch_weighs_something_on_the_same_mech() -> None:
    plain = PARTS.rear_mech("10 sprockets, mountain, long cage, low to 36")
    held = PARTS.rear_mech("10 sprockets, mountain, long cage, low to 36, clutch")
    assert (plain.clutch, held.clutch) == (False, True)
    assert plain.mass_g < held.mass_g


def test_a_front_mech_on_a_gravel_frame_clears_about_42_mm() -> None:
    assert PARTS.front_mech("two rings, gravel, up to 50").largest_tyre_mm == 42.0


@pytest.mark.parametrize("place", ["hub", "gearbox"])
def test_more_ratios_inside_weigh_more(place: str) -> None:
    gears = sorted(
        (gear for gear in PARTS.internal_gears if gear.place == place),
        key=lambda gear: len(gear.ratios),
    )
    masses = [gear.mass_g for gear in gears]
    assert masses == sorted(set(masses))


@pytest.mark.parametrize(
    ("name", "range_percent"),
    [
        ("7-ratio hub", 244),
        ("8-ratio hub", 307),
        ("11-ratio hub", 409),
        ("14-ratio hub", 526),
        ("6-ratio gearbox", 297),
        ("9-ratio gearbox", 570),
        ("12-ratio gearbox", 600),
        ("18-ratio gearbox", 636),
    ],
)
def test_hub_gears_and_gearboxes_have_their_known_range(name: str, range_percent: int) -> None:
    ratios = PARTS.internal_gear(name).ratios
    assert 100.0 * ratios[-1] / ratios[0] == pytest.approx(range_percent, abs=1.0)


@pytest.mark.parametrize(
    ("name", "step", "within"),
    [
        ("14-ratio hub", 0.136, 0.005),
        ("6-ratio gearbox", 0.243, 0.002),
        ("9-ratio gearbox", 0.243, 0.002),
        ("12-ratio gearbox", 0.177, 0.002),
        ("18-ratio gearbox", 0.115, 0.002),
    ],
)
def test_gears_known_for_even_steps_have_them(name: str, step: float, within: float) -> None:
    ratios = PARTS.internal_gear(name).ratios
    steps = [high / low - 1.0 for low, high in pairwise(ratios)]
    assert steps == pytest.approx([step] * len(steps), abs=within)


def test_no_internal_gear_passes_on_more_than_a_clean_chain_does() -> None:
    """Kyle CR, Berto F (2001), Human Power 52:3-11, second hand: hub gears about 2 % below."""
    assert all(0.90 <= gear.efficiency < 0.965 for gear in PARTS.internal_gears)
