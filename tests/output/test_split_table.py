"""Tables of a page: whole where there is room, else in parts that lose nothing."""

from collections import Counter

import pytest
from rich.cells import cell_len

from gearsim.output.page import Page

HEADS = ["mis-\nmatch", "time\nh:mm", *(f"number\n{n}" for n in range(8))]
NAMES = [
    "two rings",
    "a drivetrain with a rather long name, as people give",
    "横浜の峠を越える",
]


def page_of(width: int, names: list[str] = NAMES, heads: list[str] = HEADS) -> list[str]:
    page = Page(width=width, colour=False)
    table = page.ranked(heads)
    for rank, name in enumerate(names, start=1):
        page.ranked_row(table, rank, name, [f"{rank}{n}.5" for n in range(len(heads))])
    page.table(table)
    return page.text().splitlines()


@pytest.mark.parametrize("width", [60, 61, 70, 80, 100, 200])
def test_no_line_is_wider_than_the_page(width: int) -> None:
    assert max(cell_len(line) for line in page_of(width)) <= width


@pytest.mark.parametrize("width", [60, 80, 120])
def test_every_number_is_told_once_however_narrow(width: int) -> None:
    words = Counter(word for line in page_of(width) for word in line.split())
    assert all(words[f"{rank}{n}.5"] == 1 for rank in (1, 2, 3) for n in range(len(HEADS)))


def test_every_part_begins_with_rank_and_name() -> None:
    lines = page_of(60)
    parts = sum("candidate" in line for line in lines)
    assert parts == 2
    assert sum(line.startswith("1 two rings") for line in lines) == parts


def test_parts_are_as_even_as_may_be() -> None:
    first, second = (line for line in page_of(60, heads=HEADS) if line.startswith("1 two rings"))
    assert abs(len(first.split()) - len(second.split())) <= 1


def test_table_with_room_is_whole() -> None:
    assert sum("candidate" in line for line in page_of(120)) == 1


def test_name_takes_two_lines_and_is_then_cut() -> None:
    lines = page_of(80, names=["word " * 60])
    body = lines[next(n for n, line in enumerate(lines) if "───" in line) + 1 :]
    assert len(body) in (2, 3)  # words do not end where lines do
    assert "…" in body[-1]


def test_page_is_never_laid_out_for_less_than_60() -> None:
    assert page_of(20) == page_of(60)


def test_single_cell_wider_than_the_page_wraps() -> None:
    page = Page(width=60, colour=False)
    table = page.ranked(["gears", "count"], named="bike")
    page.ranked_row(table, 1, "grey", ["46-30-" * 20, "3"])
    page.table(table)
    lines = page.text().splitlines()
    assert max(map(len, lines)) <= 60
    assert sum(line.count("46-30-") for line in lines) >= 18
