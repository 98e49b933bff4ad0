from pathlib import Path

import pytest

from gearsim.errors import FileError, PlanError
from gearsim.toml.read import MOST_FAULTS, read_text, tables_of
from gearsim.toml.slips import SLIPS
from gearsim.toml.statements import Statement, open_bracket, statements

PATH = Path("plan.toml")
PAIRS = "text with a quotation mark in it stands between marks of the other kind"
TWO_BRACKETS = "write two brackets on either side"
LIST = "a list has brackets and commas"


def faults(text: str) -> list[str]:
    with pytest.raises(PlanError) as caught:
        tables_of(PATH, text, repeated=("drivetrain",))
    told = [str(caught.value), *getattr(caught.value, "__notes__", [])]
    assert all(fault.startswith("plan.toml: ") for fault in told)
    return [fault.removeprefix("plan.toml: ") for fault in told]


SAID = [
    # Numbers.
    ("drag_area_m2 = 0,38", "numbers take a dot: 0.38"),
    ("mass_kg = 10,5", "numbers take a dot: 10.5"),
    ("wind_kmh = -0,5", "numbers take a dot: -0.5"),
    ("drag_area_m2 = 0,38 m²", "numbers take a dot: 0.38"),
    ("c = 46,30", "numbers take a dot: 46.30; a list stands in brackets: [46, 30]"),
    ("mass_kg = 75 kg", "give the number alone, its unit is in the key: 75"),
    ("grade = 12 %", "give the number alone, its unit is in the key: 12"),
    ("wind_kmh = 10 km/h", "give the number alone, its unit is in the key: 10"),
    ("mass_kg = ~75", "give the number alone: 75"),
    ("mass_kg = ca. 75", "give the number alone: 75"),
    ("minutes = 1:30", "a time is one number, in the unit that the key names"),
    ("seed = 015", "a number does not begin with 0"),
    ("x = .5", "a number has digits before and after its dot"),
    ("x = 5.", "a number has digits before and after its dot"),
    ("reserve_j = 18 000", "write a number in one: 18000"),
    ("reserve_j = 18'000", "write a number in one: 18000"),
    # Text.
    ("name = “rider”", 'quotation marks are straight ones: "..."'),
    ("name = „rider“", 'quotation marks are straight ones: "..."'),
    ("name = ‘rider’", 'quotation marks are straight ones: "..."'),
    ("parts = [“a.toml”]", 'quotation marks are straight ones: "..."'),
    ("default_surface = tarmac", 'text stands in quotation marks: "tarmac"'),
    ("default_surface = rough tarmac", 'text stands in quotation marks: "rough tarmac"'),
    ("route = route.gpx", 'text stands in quotation marks: "route.gpx"'),
    ("name = Ada's bike", 'text stands in quotation marks: "Ada\'s bike"'),
    ("parts = [my.toml]", 'text stands in quotation marks: ["my.toml"]'),
    ('route = "route.gpx', 'text stands between two quotation marks: "..."'),
    ('route = route.gpx"', 'text stands between two quotation marks: "..."'),
    ("route = 'route.gpx", 'text stands between two quotation marks: "..."'),
    ('name = "the "old" bike"', PAIRS),
    ("name = 'Ada's'", PAIRS),
    ('parts = ["a.toml" "b.toml"]', "a comma is missing between two texts of a list"),
    ('name = """rider', "put text on one line"),
    (
        r'route = "C:\Users\me\race.gpx"',
        r"in a path write / instead of \, or put it in single quotes: 'C:\Users\me\race.gpx'",
    ),
    (r'route = "C:\data\race.gpx"', r"put it in single quotes: 'C:\data\race.gpx'"),
    (r'route = "C:\me"  # mine', r"put it in single quotes: 'C:\me'"),
    (r"route = C:\race.gpx", r"a path stands in single quotes: 'C:\race.gpx'"),
    # True or false.
    ("wet = False", "write false, in small letters"),
    ("wet = no", "write false, in small letters"),
    ("wet = off # dry", "write false, in small letters"),
    ("wet = TRUE", "write true, in small letters"),
    ("wet = yes", "write true, in small letters"),
    # Lists.
    ("chainrings = [46; 30]", "a list has commas: [46, 30]"),
    ("chainrings = [46 30]", "a list has commas: [46, 30]"),
    ("chainrings = [46/30]", "a list has commas: [46, 30]"),
    ("chainrings = [46-30]", "a list has commas: [46, 30]"),
    ("sprockets = [11-34]", "a list has every sprocket of the cassette, with commas"),
    ("chainrings = [46–30]", "a list has commas: [46, 30]"),
    ("band_rpm = [75 to 95]", "a list has commas: [75, 95]"),
    ("sprockets = [11, 12 13,\n  14]", "a list has commas: [11, 12, 13, 14]"),
    ("sprockets = [11, 12,, 13]", "something is missing between two commas"),
    ("ratios = [0,8; 1,0]", "numbers take a dot, and a list has commas: [0.8, 1.0]"),
    ("ratios = 0,8; 1,0", "numbers take a dot, and a list has brackets and commas: [0.8, 1.0]"),
    ("chainrings = {46, 30}", "a list stands in square brackets: [46, 30]"),
    ("chainrings = (46, 30)", "a list stands in square brackets: [46, 30]"),
    ("band_rpm = 75-95", f"{LIST}: [75, 95]"),
    ("band_rpm = 75 95", f"{LIST}: [75, 95]"),
    ("band_rpm = 75, 95", f"{LIST}: [75, 95]"),
    ("chainrings = [40", "its bracket [ is not closed; write ] at its end"),
    ("rider = {mass_kg = 75", "its bracket { is not closed; write } at its end"),
    ("chainrings = 40]", "a bracket is closed that is not open"),
    ("chainrings = [40]]", "a bracket is closed that is not open"),
    # Keys, headings and remarks.
    ("mass_kg = 75\nname = 'x'\nmass_kg = 80", "mass_kg is there twice, in line 1 too; keep one"),
    (
        "[bike]\nmass_kg = 10\n[rider]\nmass_kg = 75\nmass_kg = 80",
        "mass_kg is there twice, in line 4 too; keep one",
    ),
    ("mass_kg 75", "a key and its value have = between them: mass_kg = 75"),
    ("mass_kg: 75", "a key and its value have = between them: mass_kg = 75"),
    ("mass_kg =", "the value is missing; give it, or put # before the line"),
    ("= 75", "a key is missing before ="),
    ("mass kg = 75", "a key has no blank in it, but _: mass_kg"),
    ("größe = 3", "a key has only letters a to z, digits and _"),
    ("drive train", "a line is key = value, a heading or, after #, a remark"),
    ("[rider", "the bracket is not closed: [rider]"),
    ("rider]", "the bracket is not opened: [rider]"),
    ("[46, 30]", "a heading is one name in brackets, such as [rider]"),
    ("[[drivetrain]", f"{TWO_BRACKETS}: [[drivetrain]]"),
    ("[drivetrain]]", f"{TWO_BRACKETS}: [[drivetrain]]"),
    ("[drivetrain]\n[drivetrain]", f"{TWO_BRACKETS}, [[drivetrain]], here and in line 1"),
    ("[[stop]]\n[stop]", f"{TWO_BRACKETS}, [[stop]], here and in line 1"),
    ("[stop]\n[[stop]]", f"{TWO_BRACKETS}, [[stop]], here and in line 1"),
    ("[rider]\n[bike]\n[rider]", "[rider] is there already, in line 1; put its keys under one"),
    ("// a remark", "a remark begins with #"),
    ("wet = true // dry", "after a value, a remark begins with #"),
    ('name = "x" mine', "after a value, a remark begins with #"),
    # What cannot be seen.
    ("mass_kg\u00a0= 75", "it has a special blank in it, type its blanks anew"),
    ("mass_kg = 75\u200b", "it has a special blank in it, type its blanks anew"),
    ("mass_kg = 75 \x00", "it has a letter in it that cannot be seen, type it anew"),
]


@pytest.mark.parametrize(("text", "told"), SAID)
def test_a_slip_is_told_with_its_line_and_what_was_meant(text: str, told: str) -> None:
    (fault,) = faults(text)
    place, _, hint = fault.partition(" cannot be read; ")
    assert told in hint
    begun = [n for n, line in enumerate(text.split("\n"), start=1) if not line.startswith(" ")]
    assert place.startswith(f"line {begun[-1]}: {text.split(chr(10))[begun[-1] - 1][:8].strip()}")


def test_every_slip_of_the_table_is_tried() -> None:
    hints = " ".join(faults(text)[0] for text, _ in SAID)
    beginnings = [slip.hint.partition("{")[0] for slip in SLIPS]
    assert [hint for hint in beginnings if hint not in hints] == []


def test_a_bracket_is_told_where_it_was_opened() -> None:
    text = "a = 1\nchainrings = [40  # one\n\n# teeth\nsprockets = [11, 12]\nb = 2\n"
    assert faults(text) == [
        "line 2: chainrings = [40 cannot be read; its bracket [ is not closed; write ] at its end"
    ]


def test_all_slips_of_a_file_are_told_at_once() -> None:
    text = "a = 1,5\nb = 2\n[c]\nwet = no\nsprockets = [11, 12\n 13]\nd = 1\n[[e]]\nname = x # y\n"
    assert [fault.partition(":")[0] for fault in faults(text)] == [
        "line 1",
        "line 4",
        "line 5",
        "line 9",
    ]


def test_no_more_is_told_once_a_heading_is_wrong() -> None:
    assert len(faults("[rider\nmass_kg = 75\n[bike]\nmass_kg = 10\nx = 1,5")) == 1


def test_slips_without_end_are_told_in_part() -> None:
    assert len(faults("\n".join(f"a{number} = 0,5" for number in range(100)))) == MOST_FAULTS


def test_what_no_slip_explains_has_the_parsers_words_and_place() -> None:
    (fault,) = faults("a = 1\nb = 0.38.2")
    assert fault.startswith("line 2: b = 0.38.2 cannot be read; ")
    assert "line 2, column" in fault


def test_a_long_line_is_told_in_short() -> None:
    (fault,) = faults(f"name = {'x' * 500}")
    assert fault.startswith(f"line 1: name = {'x' * 53}... cannot be read; ")


def test_what_is_right_is_read() -> None:
    assert tables_of(PATH, "[[a]]\nb = [1,\n 2] # c\n") == {"a": [{"b": [1, 2]}]}


def test_a_hash_between_quotation_marks_begins_no_remark() -> None:
    (told,) = statements('a = "x # y" # z')
    assert told.text == 'a = "x # y"'


def test_brackets_between_quotation_marks_are_text() -> None:
    assert open_bracket(Statement(number=1, lines=('a = "[x"',))) is None


def test_what_is_no_file_is_refused_with_what_to_do(tmp_path: Path) -> None:
    with pytest.raises(FileError, match=r"^\S+x: there is no such file; look for it$"):
        read_text(tmp_path / "x", "a plan", "look for it")
    with pytest.raises(FileError, match="is a folder or a device; give a plan"):
        read_text(tmp_path, "a plan", "")
    (tmp_path / "x").write_bytes(b"\xff\xfe")
    with pytest.raises(PlanError, match="is not UTF-8 text"):
        read_text(tmp_path / "x", "a plan", "")
