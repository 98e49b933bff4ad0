from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from gearsim.errors import FileError, PlanError
from gearsim.setup.parts.kinds import Cassette, RearMech
from gearsim.setup.parts.parts_file import SOUND
from gearsim.setup.parts.parts_list import PartsList, load_parts

OURS = "11-34, 11 sprockets"
NEW_CASSETTE = """
[[cassette]]
name = "mine"
sprockets = [11, 14, 18, 24, 32]
driver_body = "splined, long"
mass_g = 300
"""
Write = Callable[..., Path]


@pytest.fixture
def write(tmp_path: Path) -> Write:
    def written(text: str, name: str = "parts.toml") -> Path:
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return path

    return written


def faults(path: Path) -> list[str]:
    with pytest.raises(PlanError) as caught:
        load_parts(path)
    told = [str(caught.value), *getattr(caught.value, "__notes__", [])]
    assert all(fault.startswith(f"{path}: ") for fault in told)
    assert not any("\n" in fault for fault in told)
    return [fault.removeprefix(f"{path}: ") for fault in told]


def test_a_file_adds_its_parts_after_ours(write: Write) -> None:
    parts = load_parts(write(NEW_CASSETTE))
    assert parts.cassettes[:-1] == load_parts().cassettes
    assert parts.cassettes[-1] == Cassette(
        name="mine", sprockets=(11, 14, 18, 24, 32), driver_body="splined, long", mass_g=300.0
    )


def test_an_entry_with_the_name_of_ours_changes_only_what_it_says(write: Write) -> None:
    path = write(f'[[cassette]]\nname = "{OURS}"\nprice = 49.9\n')
    parts, ours = load_parts(path), load_parts()
    assert parts.cassette(OURS) == replace(ours.cassette(OURS), price=49.9)
    names = [cassette.name for cassette in parts.cassettes]
    assert names == [cassette.name for cassette in ours.cassettes]


def test_an_entry_may_replace_all_of_ours(write: Write) -> None:
    path = write(NEW_CASSETTE.replace("mine", OURS))
    assert load_parts(path).cassette(OURS).sprockets == (11, 14, 18, 24, 32)


def test_a_later_file_changes_an_earlier_one(write: Write) -> None:
    first = write(NEW_CASSETTE, "first.toml")
    second = write('[[cassette]]\nname = "mine"\nmass_g = 250\n', "second.toml")
    cassette = load_parts(first, second).cassette("mine")
    assert (cassette.mass_g, len(cassette.sprockets)) == (250.0, 5)


def test_one_file_s_parts_are_not_there_without_it(write: Write) -> None:
    before = load_parts()
    load_parts(write(NEW_CASSETTE))
    assert load_parts() == before


def test_all_kinds_of_parts_can_be_given(write: Write) -> None:
    text = """
[[chainset]]
name = "rings"
chainrings = [44, 28]
chain_sprockets = [11, 12]
mass_g = 700.5

[[rear_mech]]
name = "rear"
sprockets = 12
smallest_sprocket = 10
low_sprocket = [36, 46]
capacity_teeth = 44
most_chainrings = 2
clutch = true
mass_g = 300

[[front_mech]]
name = "front"
chainrings = 2
largest_gap_teeth = 17
largest_ring = [44, 50]
largest_tyre_mm = 45
mass_g = 100

[[internal_gear]]
name = "inside"
place = "hub"
ratios = [1, 1.5]
efficiency = 0.95
smallest_drive = 2
mass_g = 900
"""
    parts = load_parts(write(text))
    assert parts.chainset("rings").chainrings == (44, 28)
    assert parts.rear_mech("rear") == RearMech(
        name="rear",
        sprockets=12,
        smallest_sprocket=10,
        low_sprocket=(36, 46),
        capacity_teeth=44,
        most_chainrings=2,
        clutch=True,
        mass_g=300.0,
    )
    assert parts.front_mech("front").largest_tyre_mm == 45.0
    assert parts.internal_gear("inside").ratios == (1.0, 1.5)


def test_an_empty_file_changes_nothing(write: Write) -> None:
    assert load_parts(write("")) == load_parts()


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ("masss_g = 300", "cassette 'mine': masss_g = 300 is no key of it; did you mean mass_g?"),
        (
            "chainrings = [40]",
            "cassette 'mine': chainrings = [40] is no key of it; "
            "it belongs under [[chainset]] or [[front_mech]]",
        ),
        (
            'colour = "red"',
            "cassette 'mine': colour = \"red\" is no key of it; "
            "allowed are name, sprockets, driver_body, mass_g, price, source",
        ),
        ("price = -1", "cassette 'mine': price is -1; allowed is 0 to 1000000"),
        ("price = nan", "cassette 'mine': price is nan; allowed is a plain number"),
        ('price = "9"', "cassette 'mine': price is \"9\"; allowed is a plain number"),
        ("price = true", "cassette 'mine': price is true; allowed is a plain number"),
        ("price = [9]", "cassette 'mine': price is [9]; allowed is a plain number"),
        ("price = {a = 1}", "cassette 'mine': price is {...}; allowed is a plain number"),
        ("source = 3", "cassette 'mine': source is 3; allowed is text in quotes"),
    ],
)
def test_a_wrong_key_or_value_is_refused_with_what_is_allowed(
    write: Write, changed: str, told: str
) -> None:
    assert faults(write(f"{NEW_CASSETTE}{changed}\n")) == [told]


@pytest.mark.parametrize(
    ("right", "wrong", "told"),
    [
        (
            "[11, 14, 18, 24, 32]",
            "[11, 14, 18.5]",
            "sprockets is [11, 14, 18.5]; allowed is a list of whole numbers, such as [11, 13, 15]",
        ),
        ("[11, 14, 18, 24, 32]", "11", "sprockets is 11; allowed is a list of whole numbers"),
        ("[11, 14, 18, 24, 32]", "[11, 11]", "sprockets are 11, 11; allowed is smallest first"),
        ("[11, 14, 18, 24, 32]", "[]", "number of sprockets is 0; allowed is 1 to 14"),
        ("[11, 14, 18, 24, 32]", "[11, 80]", "sprockets is 80; allowed is 8 to 70"),
        (
            "[11, 14, 18, 24, 32]",
            f"[{10**30}]",
            f"sprockets is [{10**30}]; allowed is a list of whole numbers",
        ),
        (
            "splined, long",
            "splined long",
            "driver_body is 'splined long'; did you mean 'splined, long'? allowed are 'screw-on',",
        ),
    ],
)
def test_teeth_and_bodies_that_cannot_be_are_refused(
    write: Write, right: str, wrong: str, told: str
) -> None:
    [fault] = faults(write(NEW_CASSETTE.replace(right, wrong)))
    assert fault.startswith(f"cassette 'mine': {told}")


@pytest.mark.parametrize(
    ("section", "name", "line", "told"),
    [
        (
            "rear_mech",
            "11 sprockets, gravel, two rings, low to 34, clutch",
            "low_sprocket = [34, 30]",
            "low_sprocket is 34, 30; allowed is the lower first, both from 8 to 70",
        ),
        (
            "rear_mech",
            "11 sprockets, gravel, two rings, low to 34, clutch",
            "low_sprocket = [30]",
            "low_sprocket is [30]; allowed is two whole numbers in a list, such as [30, 34]",
        ),
        (
            "rear_mech",
            "11 sprockets, gravel, two rings, low to 34, clutch",
            "clutch = 1",
            "clutch is 1; allowed is true or false",
        ),
        (
            "front_mech",
            "two rings, gravel, up to 50",
            "largest_ring = [50, 99]",
            "largest_ring is 50, 99; allowed is the lower first, both from 16 to 80",
        ),
        (
            "front_mech",
            "two rings, gravel, up to 50",
            "chainrings = 2.0",
            "chainrings is 2.0; allowed is a whole number",
        ),
        (
            "chainset",
            "40 gravel, 11 to 13 sprockets",
            "chain_sprockets = [13, 11]",
            "chain_sprockets is 13, 11; allowed is the lower first, both from 1 to 14",
        ),
        (
            "chainset",
            "40 gravel, 11 to 13 sprockets",
            "sprockets = [11, 13]",
            "sprockets = [11, 13] is no key of it; did you mean chain_sprockets?",
        ),
        (
            "internal_gear",
            "8-ratio hub",
            'place = "hup"',
            "place is 'hup'; did you mean 'hub'? allowed are 'hub', 'gearbox'",
        ),
        (
            "internal_gear",
            "8-ratio hub",
            "ratios = [1.0, inf]",
            "ratios is [1.0, inf]; allowed is a list of numbers, such as [0.75, 1.0, 1.333]",
        ),
        ("internal_gear", "8-ratio hub", "ratios = [0.5, 9]", "ratios is 9; allowed is 0.1 to 6"),
    ],
)
def test_a_wrong_change_to_one_of_ours_is_refused(
    write: Write, section: str, name: str, line: str, told: str
) -> None:
    words = section.replace("_", " ")
    assert faults(write(f'[[{section}]]\nname = "{name}"\n{line}\n')) == [
        f"{words} {name!r}: {told}"
    ]


def test_a_new_part_needs_all_keys_and_a_misspelt_name_is_guessed_at(write: Write) -> None:
    path = write('[[cassette]]\nname = "11-34, 11 sprokets"\nprice = 30\n')
    assert faults(path) == [
        "cassette '11-34, 11 sprokets': sprockets, driver_body, mass_g missing; "
        "allowed is a new cassette with every key but price, source, "
        "or did you mean the known '11-34, 11 sprockets'?"
    ]


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("", "name missing; allowed is a new cassette with every key but price, source"),
        ('name = " "', 'name is " "; allowed is a name in quotes'),
        ("name = 7", "name is 7; allowed is a name in quotes"),
        ("name = [1]", "name is [1]; allowed is a name in quotes"),
    ],
)
def test_a_part_without_a_name_is_told_by_its_place(write: Write, name: str, told: str) -> None:
    nameless = NEW_CASSETTE.replace('name = "mine"', name)
    assert faults(write(NEW_CASSETTE + nameless)) == [f"cassette 'number 2': {told}"]


def test_a_name_twice_in_one_file_is_refused(write: Write) -> None:
    assert faults(write(NEW_CASSETTE + NEW_CASSETTE)) == [
        "cassette 'mine' is there 2 times; give each a name of its own"
    ]


def test_one_name_may_be_there_in_two_kinds(write: Write) -> None:
    text = NEW_CASSETTE + (
        '[[chainset]]\nname = "mine"\nchainrings = [40]\nchain_sprockets = [5, 6]\nmass_g = 500\n'
    )
    assert load_parts(write(text)).chainset("mine").chainrings == (40,)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (
            "[[cassete]]\nname = 'x'\n",
            "cassete = [{...}] is no section of parts; did you mean [[cassette]]? allowed are ",
        ),
        ('currency = "EUR"\n', 'currency = "EUR" is no section of parts; allowed are [[cassette]]'),
        (
            "[cassette]\nname = 'x'\n",
            "cassette is {...}; allowed are tables headed [[cassette]], two brackets",
        ),
        ("cassette = 3\n", "cassette is 3; allowed are tables headed [[cassette]]"),
        ("cassette = [{}, 3]\n", "cassette is [{...}, 3]; allowed are tables headed [[cassette]]"),
    ],
)
def test_a_wrong_section_is_refused(write: Write, text: str, told: str) -> None:
    [fault] = faults(write(text))
    assert fault.startswith(told)


def test_all_faults_of_a_file_are_told_at_once(write: Write) -> None:
    text = """
[[cassette]]
name = "one"
sprockets = [11, 11]
driver_body = "splined, longer"
mass_g = "heavy"
mass = 3

[[rear_mech]]
name = "11 sprockets, gravel, two rings, low to 34, clutch"
capacity_teeth = 400
most_chainrings = 9
"""
    told = faults(write(text))
    assert len(told) == 6
    for key in ("sprockets are", "driver_body is", "mass_g is", "mass = 3", "capacity_", "most_"):
        assert sum(f": {key}" in fault for fault in told) == 1, key


def test_the_first_wrong_file_is_told(write: Write) -> None:
    wrong, right = write("a = 1\n", "wrong.toml"), write(NEW_CASSETTE, "right.toml")
    with pytest.raises(PlanError, match=r"wrong\.toml: a = 1 is no section"):
        load_parts(right, wrong)


def test_a_file_that_cannot_be_read_is_refused(tmp_path: Path) -> None:
    with pytest.raises(FileError, match=r"parts\.toml: there is no such file; check its name"):
        load_parts(tmp_path / "parts.toml")
    with pytest.raises(FileError, match="is a folder or a device; give a file of parts"):
        load_parts(tmp_path)


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (b"[[cassette]\n", "line 1: [[cassette] cannot be read; write two brackets on either side"),
        (b"[cassette]\n[cassette]\n", "write two brackets on either side, [[cassette]], here and"),
        (b"<gpx></gpx>", "looks like a route, not a parts list"),
        (b'route = "a.gpx"\n[rider]\n[[drivetrain]]\n', "this is a plan, not a parts list; give"),
        (b"\xff\xfe", "is not UTF-8 text; save it as UTF-8"),
        (b"a = " + b"[" * 5000, "nested too deep"),
        (b"a = " + b"9" * 5000, "a number is too long"),
    ],
    ids=["syntax", "heading", "route", "plan", "not text", "deep", "long number"],
)
def test_a_file_that_is_no_toml_is_refused_with_the_place(
    tmp_path: Path, content: bytes, told: str
) -> None:
    path = tmp_path / "parts.toml"
    path.write_bytes(content)
    [fault] = faults(path)
    assert told in fault


def test_a_file_saved_with_a_byte_order_mark_is_read(tmp_path: Path) -> None:
    path = tmp_path / "parts.toml"
    path.write_bytes(b"\xef\xbb\xbf" + NEW_CASSETTE.encode())
    assert load_parts(str(path)).cassette("mine").mass_g == 300.0


@pytest.mark.parametrize("section", SOUND)
def test_a_part_is_found_by_its_name(section: str) -> None:
    parts = load_parts()
    for part in getattr(parts, f"{section}s"):
        assert getattr(parts, section)(part.name) is part


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("11-34, 11 sprocket", "did you mean '11-34, 11 sprockets'?"),
        ("11-36", "did you mean '11-36, 9 sprockets' or '11-36, 10 sprockets' or '11-36, 11 spr"),
        ("12 34", "it has 83, such as '13-28, 7 sprockets, screw-on'"),
    ],
)
def test_an_unknown_name_is_refused_with_the_nearest(name: str, told: str) -> None:
    with pytest.raises(PlanError) as caught:
        load_parts().cassette(name)
    assert str(caught.value).startswith(f"cassette {name!r} is not in the parts list; {told}")


def test_an_empty_list_says_that_it_is_empty() -> None:
    with pytest.raises(PlanError, match=r"front mech 'x' is not in the parts list; it has 0$"):
        PartsList().front_mech("x")
