"""The notebooks run in a fresh kernel, and show what is kept in their files.

They are kept with what they show, so that a page that only shows files shows the pictures.  Where
they no longer do: `python notebooks/execute.py`.
"""

import html
import re
import runpy
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

pytestmark = pytest.mark.notebooks

nbclient = pytest.importorskip(
    "nbclient", reason="nbclient, of the development extra, is not installed"
)

FOLDER = Path(__file__).parent.parent / "notebooks"
EXECUTE = runpy.run_path(str(FOLDER / "execute.py"))
NOTEBOOKS = EXECUTE["notebooks"]()

NEAR = 0.1  # of a number: another machine may ride an interval otherwise, and no reader minds
TILES, MOST_SHADES = (16, 12), 7  # a picture moved by a pixel changes no tile by more, of 255
MOST_KB = 400
NUMBER = re.compile(r"-?\d+(?:\.\d+)?(?:e[+-]?\d+)?")

each = pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)


@pytest.fixture(scope="module")
def ran() -> dict[Path, Any]:
    """Every notebook as it comes out of a fresh kernel."""
    return {path: EXECUTE["executed"](path) for path in NOTEBOOKS}


def outputs_of(notebook: Any) -> list[Any]:
    """What all cells show, in order."""
    return [output for cell in notebook.cells for output in cell.get("outputs", [])]


def text_of(output: Any) -> str:
    """What a reader reads of an output: words and numbers, no markup."""
    if "text" in output:
        return output.text
    if "text/html" in output.data:
        bare = re.sub(r"<style.*?</style>|<[^>]*>", " ", output.data["text/html"], flags=re.DOTALL)
        return " ".join(html.unescape(bare).split())
    return "" if "image/png" in output.data else output.data["text/plain"]


def reads_alike(one: str, other: str) -> bool:
    """Whether the words are the same and the numbers near."""
    if NUMBER.sub("#", one) != NUMBER.sub("#", other):
        return False
    numbers, others = ([float(found) for found in NUMBER.findall(text)] for text in (one, other))
    return bool(np.allclose(numbers, others, rtol=NEAR, atol=0.011))


def pictures_of(notebook: Any) -> list[Any]:
    """All pictures of a notebook."""
    found = [output.get("data", {}).get("image/png") for output in outputs_of(notebook)]
    return [EXECUTE["picture"](png) for png in found if png]


def looks_alike(one: Any, other: Any) -> bool:
    """Whether two pictures have about one size and in every tile about the same ink."""
    if not np.allclose(one.size, other.size, rtol=0.02):
        return False
    shades = [
        np.asarray(each.convert("L").resize(TILES, Image.Resampling.BOX), dtype=float)
        for each in (one, other)
    ]
    return bool(np.abs(shades[0] - shades[1]).max() <= MOST_SHADES)


def prose_of(notebook: Any) -> list[str]:
    """The cells that are to be read."""
    return [cell.source for cell in notebook.cells if cell.cell_type == "markdown"]


def code_of(notebook: Any) -> list[str]:
    """The cells that are to be run."""
    return [cell.source for cell in notebook.cells if cell.cell_type == "code"]


def test_there_are_three() -> None:
    assert [path.stem for path in NOTEBOOKS] == [
        "coachs-question",
        "how-the-model-is-checked",
        "main-job",
    ]


@each
def test_it_runs_without_error_or_warning(path: Path, ran: dict[Path, Any]) -> None:
    shown = outputs_of(ran[path])
    assert [output.output_type for output in shown if output.output_type == "error"] == []
    assert [output.text for output in shown if output.get("name") == "stderr"] == []


@each
def test_it_reads_as_it_is_kept(path: Path, ran: dict[Path, Any]) -> None:
    now, kept = (
        [text_of(output) for output in outputs_of(notebook)]
        for notebook in (ran[path], EXECUTE["kept"](path))
    )
    assert len(now) == len(kept)
    changed = [(a, b) for a, b in zip(kept, now, strict=True) if not reads_alike(a, b)]
    assert changed == [], "keep what it shows now: python notebooks/execute.py"


@each
def test_its_pictures_look_as_they_are_kept(path: Path, ran: dict[Path, Any]) -> None:
    now, kept = pictures_of(ran[path]), pictures_of(EXECUTE["kept"](path))
    assert len(now) == len(kept) >= 2
    changed = [n for n, pair in enumerate(zip(now, kept, strict=True)) if not looks_alike(*pair)]
    assert changed == [], "keep what it shows now: python notebooks/execute.py"


@each
def test_it_reads_as_a_text(path: Path) -> None:
    notebook = EXECUTE["kept"](path)
    prose = prose_of(notebook)
    assert notebook.cells[0].source.startswith("# ")
    assert sum(len(text.split()) for text in prose) > 200
    assert sum(text.startswith("## ") for text in prose) >= 3
    assert notebook.cells[-1].cell_type == "markdown"


@each
def test_it_tells_how_far_it_can_be_trusted(path: Path) -> None:
    assert "−10.4 and +8.5 %" in " ".join(" ".join(prose_of(EXECUTE["kept"](path))).split())


@each
def test_its_links_lead_somewhere(path: Path) -> None:
    links = re.findall(r"\]\(([^)#:]+)\)", "\n".join(prose_of(EXECUTE["kept"](path))))
    assert [link for link in links if not (FOLDER / link).exists()] == []


@each
def test_it_is_small_and_says_nothing_of_the_machine_it_ran_on(path: Path) -> None:
    assert path.stat().st_size < MOST_KB * 1000
    assert set(EXECUTE["kept"](path).metadata) == {"kernelspec"}
    assert str(FOLDER.parent) not in path.read_text(encoding="utf-8")


def test_the_main_job_takes_ten_lines() -> None:
    lines = "\n".join(code_of(EXECUTE["kept"](FOLDER / "main-job.ipynb"))).splitlines()
    assert len([line for line in lines if line.strip() and not line.startswith("%")]) == 10


def test_checks_of_every_standing_are_shown() -> None:
    notebook = EXECUTE["kept"](FOLDER / "how-the-model-is-checked.ipynb")
    shown = " ".join(text_of(output) for output in outputs_of(notebook))
    for standing in (
        "published",
        "second hand",
        "from memory",
        "computed",
        "library",
        "common practice",
    ):
        assert standing in shown
    assert re.search(r"\d\d checks, 0 broken", shown)


@pytest.mark.parametrize(
    ("one", "other", "alike"),
    [
        ("rides it in 124 s", "rides it in 124.5 s", True),
        ("rides it in 124 s", "rides it in 150 s", False),
        ("rides it in 124 s", "walks it in 124 s", False),
        ("two gears: 1 2", "two gears: 1", False),
    ],
)
def test_texts_are_alike_where_words_are_the_same_and_numbers_near(
    one: str, other: str, alike: bool
) -> None:
    assert reads_alike(one, other) is alike


@each
def test_a_picture_moved_by_a_pixel_looks_alike_and_one_with_a_strip_missing_does_not(
    path: Path,
) -> None:
    for drawn in pictures_of(EXECUTE["kept"](path)):
        moved, missing = drawn.copy(), drawn.copy()
        moved.paste(drawn, (1, 1))
        missing.paste("white", (0, drawn.height // 2, drawn.width, drawn.height * 6 // 10))
        assert looks_alike(drawn, moved)
        assert not looks_alike(drawn, missing)
