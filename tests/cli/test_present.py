"""What stands around every command's results: where they are, and what else is to be known."""

import json
import sys
from argparse import Namespace
from collections.abc import Iterator, Sequence
from pathlib import Path

import pytest
from test_console import Terminal

from gearsim.cli.present import present
from gearsim.output.drawing import letters
from gearsim.output.drawing.style import legible

IN_NO_FONT = "峠横"  # in these tests, whatever is installed
PLAN_CAUTION = "bike.rim_mm is 600, which is no usual diameter of a bead seat: look at the tyre."


@pytest.fixture(autouse=True)
def default_font_only(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setattr(letters, "_installed", dict)
    letters._home_of.cache_clear()
    yield
    letters._home_of.cache_clear()


def said(
    capsys: pytest.CaptureFixture[str],
    folder: Path,
    *,
    quiet: bool = False,
    as_json: bool = False,
    names: Sequence[str] = (),
    cautions: Sequence[str] = (),
) -> tuple[str, str]:
    """Standard output and error of a command that draws these names into a folder."""
    arguments = Namespace(out=folder, replace=True, json=as_json, quiet=quiet)
    present(
        arguments,
        usual=folder,
        ours=("a.csv", "old-*.csv"),
        files=lambda: {"a.csv": "".join(map(legible, names)).encode()},
        text=lambda: "the text\n",
        records=lambda: {"cautions": ["stands under every result"]},
        cautions=cautions,
    )
    out, err = capsys.readouterr()
    return out, err


def test_folder_is_told_after_the_text(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    folder = tmp_path / "mine"
    assert said(capsys, folder) == (f"the text\n\nResults are in {folder}.\n", "")
    again = f"the text\n\nResults are in {folder}, the same as before.\n"
    assert said(capsys, folder) == (again, "")


def test_folder_name_does_nothing_to_the_terminal(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    out, _ = said(capsys, tmp_path / "a\x1b[31m\nb")
    assert out.endswith(f"Results are in {tmp_path}/a\\x1b[31m\\nb.\n")


def test_files_left_from_before_are_named_and_many_are_counted(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    for number in range(1, 11):
        (tmp_path / f"old-{number:02d}.csv").touch()
    out, _ = said(capsys, tmp_path)
    assert "Left there from before, not of this run: old-01.csv, old-02.csv, " in out
    assert out.endswith("old-08.csv and 2 more.\n")


def test_nothing_after_the_text_is_wider_than_the_terminal(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    for number in range(12):
        (tmp_path / f"old-{number}.csv").touch()
    screen = Terminal()
    monkeypatch.setattr(sys, "stdout", screen)
    monkeypatch.setenv("COLUMNS", "60")
    monkeypatch.setenv("NO_COLOR", "1")
    monkeypatch.chdir(tmp_path)
    said(capsys, Path(), cautions=[PLAN_CAUTION])
    assert max(len(line) for line in screen.getvalue().splitlines()) <= 60


def test_cautions_on_the_plan_end_the_text_and_come_first_to_programs(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    out, _ = said(capsys, tmp_path, cautions=[PLAN_CAUTION])
    assert out.startswith("the text\n\nLOOK AGAIN AT THE PLAN\n!")
    told = " ".join(out.split())
    assert told.startswith(f"the text LOOK AGAIN AT THE PLAN ! {PLAN_CAUTION} Results are in ")
    out, _ = said(capsys, tmp_path, as_json=True, cautions=[PLAN_CAUTION])
    assert json.loads(out)["cautions"] == [PLAN_CAUTION, "stands under every result"]


def test_letters_that_no_font_has_are_told_once_beside_the_results(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    out, err = said(capsys, tmp_path, names=["Mill", IN_NO_FONT, IN_NO_FONT])
    assert out.startswith("the text\n")
    assert err.count("\n") == 1
    assert err.startswith("No font on this computer has 峠 横: □ stands for them in the pictures")
    assert said(capsys, tmp_path, names=["Mill"])[1] == ""
    assert said(capsys, tmp_path, names=[IN_NO_FONT], quiet=True) == ("", "")
