import codecs
from pathlib import Path

import pytest

from gearsim.errors import FileError, PlanError
from gearsim.lists.csv_text import read_csv

CELLS = [("name", "mass_kg"), ("Zoë", "61")]


def cells(path: Path, content: bytes) -> list[tuple[str, ...]]:
    path.write_bytes(content)
    return [line.cells for line in read_csv(path).lines]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "list.csv"


@pytest.mark.parametrize("ends", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "latin-1"])
def test_spreadsheets_write_one_list_in_many_ways(
    path: Path, ends: str, separator: str, encoding: str
) -> None:
    text = ends.join(["name,mass_kg", "Zoë,61", ""]).replace(",", separator)
    assert cells(path, text.encode(encoding)) == CELLS


def test_sixteen_bits_a_letter_are_read_whichever_half_comes_first(path: Path) -> None:
    text = "name,mass_kg\nZoë,61\n".encode("utf-16-be")
    assert cells(path, codecs.BOM_UTF16_BE + text) == CELLS


def test_blank_lines_and_empty_cells_at_the_end_are_nothing(path: Path) -> None:
    assert cells(path, "\n,,\nname,mass_kg,,\n\n Zoë , 61 ,\n,,,\n".encode()) == CELLS


def test_lines_keep_their_numbers_in_the_file(path: Path) -> None:
    path.write_text('name\n\n"two\nlines"\nlast\n')
    assert [line.number for line in read_csv(path).lines] == [1, 3, 5]


def test_line_that_tells_the_separator_is_no_head(path: Path) -> None:
    assert cells(path, "sep=;\nname;mass_kg\nZoë;61\n".encode()) == CELLS


def test_commas_and_utf_8_are_no_guess(path: Path) -> None:
    path.write_text("name,mass_kg\nZoë,61\n", encoding="utf-8")
    assert read_csv(path).guesses == ()


def test_separator_and_letters_that_were_guessed_are_told(path: Path) -> None:
    path.write_bytes("name;mass_kg\nZoë;61\n".encode("latin-1"))
    letters, separator = read_csv(path).guesses
    assert "taken to be in Latin-1" in letters
    assert "parted by semicolons" in separator


def test_separators_inside_quotes_part_nothing(path: Path) -> None:
    assert cells(path, b'name,has\nAda,"two rings, low"\n')[1] == ("Ada", "two rings, low")


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (b"", "is empty"),
        (b"\n;;\n", "is empty"),
        (b"sep=;\n", "has no column names"),
        (b'name\n"Ada\nBen\n', "line 2: its quotation marks do not close"),
        (b'name\n"Ada" Brook\n', "line 2: its quotation marks do not close"),
        (b"<?xml version='1.0'?>\n<gpx></gpx>", "looks like a route or a web page, not a CSV list"),
        (b'# A plan: one route\n\nroute = "a.gpx"\n', "looks like a plan or a parts list, not a"),
        (b"[rider]\nmass_kg = 75\n", "looks like a plan or a parts list, not a CSV list"),
        (b'route = "a.gpx"\n', "looks like a plan or a parts list, not a CSV list"),
        (b'{"name": "Ada"}\n', "looks like JSON, not a CSV list"),
        (b"%PDF-1.7\n", "looks like a PDF, not a CSV list"),
        (b"PK\x03\x04...", "save the sheet as CSV"),
        (b"name\nA\0da\n", "is no text"),
    ],
)
def test_what_is_no_csv_is_refused(path: Path, content: bytes, told: str) -> None:
    path.write_bytes(content)
    with pytest.raises(PlanError, match=told) as caught:
        read_csv(path)
    assert str(caught.value).startswith(f"{path}: ")


def test_folder_is_refused(tmp_path: Path) -> None:
    with pytest.raises(FileError, match="is a folder or a device; give a CSV file"):
        read_csv(tmp_path)
