import io
import re
import sys

import pytest

from gearsim.cli import console


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def on_terminal(monkeypatch: pytest.MonkeyPatch) -> Terminal:
    """Both outputs on one terminal, from here to the end of the test."""
    screen = Terminal()
    monkeypatch.setattr(sys, "stdout", screen)
    monkeypatch.setattr(sys, "stderr", screen)
    for name in ("NO_COLOR", "TERM", "COLUMNS"):
        monkeypatch.delenv(name, raising=False)
    return screen


def on_screen(terminal: Terminal) -> str:
    """What stands on the line of a terminal once all that went there is shown."""
    *_, line = terminal.getvalue().rstrip("\r").split("\r")
    return line.rstrip()


def test_width_is_the_terminals(monkeypatch: pytest.MonkeyPatch) -> None:
    on_terminal(monkeypatch)
    monkeypatch.setenv("COLUMNS", "133")
    assert console.width() == 133


def test_pipe_is_80_wide_and_plain(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdout", io.StringIO())
    monkeypatch.setenv("COLUMNS", "133")
    assert console.width() == 80
    assert not console.colour()


def test_terminal_has_colours_unless_it_must_not(monkeypatch: pytest.MonkeyPatch) -> None:
    on_terminal(monkeypatch)
    assert console.colour()
    monkeypatch.setenv("NO_COLOR", "1")
    assert not console.colour()


def test_progress_shows_on_a_terminal_and_is_wiped(monkeypatch: pytest.MonkeyPatch) -> None:
    terminal = on_terminal(monkeypatch)
    with console.doing("Riding", quiet=False):
        assert on_screen(terminal) == "Riding ..."
    assert on_screen(terminal) == ""


def test_progress_is_cut_where_the_terminal_ends_and_needs_no_escape_code(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    terminal = on_terminal(monkeypatch)
    monkeypatch.setenv("COLUMNS", "30")
    for name in ("a route with a very long name.gpx", "横浜から箱根までの長い道.gpx", "\x1b[31m"):
        with console.doing(f"Loading {name}", quiet=False):
            pass
    lines = re.split("[\r\n]", terminal.getvalue())
    assert max(console.cells(line) for line in lines) == 29  # the last column stays free
    assert "\x1b" not in terminal.getvalue()
    assert "Loading a route with a very l" in lines


def test_progress_is_silent_when_quiet(monkeypatch: pytest.MonkeyPatch) -> None:
    terminal = on_terminal(monkeypatch)
    with console.doing("Riding", quiet=True):
        pass
    assert terminal.getvalue() == ""


def test_progress_is_silent_in_a_pipe(capsys: pytest.CaptureFixture[str]) -> None:
    with console.doing("Riding", quiet=False):
        pass
    assert capsys.readouterr().err == ""


def test_paragraph_fits_the_terminal_and_breaks_no_path(monkeypatch: pytest.MonkeyPatch) -> None:
    on_terminal(monkeypatch)
    monkeypatch.setenv("COLUMNS", "40")
    path = "/home/of somebody/with  blanks/plan-results"
    told = console.paragraph(f"Results are in {path}, the same as before.", path)
    assert told.split("\n") == ["Results are in", f"{path},", "the same as before."]


def test_paragraph_is_one_line_in_a_pipe(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdout", io.StringIO())
    assert console.paragraph("word " * 40 + "end", "word") == "word " * 40 + "end"


def test_fault_stays_on_its_line(capsys: pytest.CaptureFixture[str]) -> None:
    console.complain("a\nb\x1b[31m: × wrong")
    assert capsys.readouterr().err == "gearsim: a\\nb\\x1b[31m: × wrong\n"


def test_letters_that_the_terminal_lacks_do_not_stop_the_table(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    raw = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(raw, encoding="ascii"))
    console.say("46 × 11")
    assert raw.getvalue() == b"46 ? 11\n"
