import io
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
        assert terminal.getvalue().endswith("Riding ...")
    assert terminal.getvalue().endswith(console.CLEAR_LINE)


def test_progress_is_silent_when_quiet(monkeypatch: pytest.MonkeyPatch) -> None:
    terminal = on_terminal(monkeypatch)
    with console.doing("Riding", quiet=True):
        pass
    assert terminal.getvalue() == ""


def test_progress_is_silent_in_a_pipe(capsys: pytest.CaptureFixture[str]) -> None:
    with console.doing("Riding", quiet=False):
        pass
    assert capsys.readouterr().err == ""


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
