import pytest
from test_console import on_screen, on_terminal

from gearsim.cli import console


class Clock:
    """Time that passes only when told to."""

    def __init__(self) -> None:
        self.now_s = 100.0

    def monotonic(self) -> float:
        return self.now_s


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    clock = Clock()
    monkeypatch.setattr(console, "time", clock)
    return clock


def test_parts_done_and_time_left_are_shown_and_wiped(
    monkeypatch: pytest.MonkeyPatch, clock: Clock
) -> None:
    terminal = on_terminal(monkeypatch)
    with console.counting("Rides", 400, quiet=False) as done:
        assert on_screen(terminal) == "Rides ..."
        for _ in range(100):
            clock.now_s += 0.5
            done()
        assert on_screen(terminal) == "Rides: 100 of 400, 2 min 30 s left ..."
    assert on_screen(terminal) == ""


def test_progress_is_written_a_few_times_a_second_at_most(
    monkeypatch: pytest.MonkeyPatch, clock: Clock
) -> None:
    terminal = on_terminal(monkeypatch)
    with console.counting("Rides", 1000, quiet=False) as done:
        for _ in range(1000):
            clock.now_s += 0.001
            done()
    shown = {line.rstrip() for line in terminal.getvalue().split("\r") if "Rides: " in line}
    assert 1 < len(shown) <= 5


def test_progress_is_silent_when_quiet_or_in_a_pipe(
    monkeypatch: pytest.MonkeyPatch, clock: Clock, capsys: pytest.CaptureFixture[str]
) -> None:
    with console.counting("Rides", 2, quiet=False) as done:
        clock.now_s += 5.0
        done()
    assert capsys.readouterr().err == ""
    terminal = on_terminal(monkeypatch)
    with console.counting("Rides", 2, quiet=True) as done:
        clock.now_s += 5.0
        done()
    assert terminal.getvalue() == ""


@pytest.mark.parametrize(
    ("spent_s", "done", "told"),
    [
        (0.5, 1, ""),  # too early to tell
        (10.0, 10, ", 10 s left"),
        (10.0, 1, ", 3 min 10 s left"),
        (1000.0, 1, ", 5 h 16 min left"),
        (10.0, 20, ""),
    ],
)
def test_time_left_supposes_that_the_rest_takes_as_long(
    spent_s: float, done: int, told: str
) -> None:
    assert console._left(spent_s, done, 20) == told
