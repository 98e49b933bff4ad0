"""What holds for every command of gearsim, those to come included: they are those of the parser."""

import io
import json
import os
import re
import shlex
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import suppress
from fnmatch import fnmatch
from importlib import import_module
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from conftest import Run
from made_home import COMMANDS, furnish, given, options
from test_console import Terminal, on_screen

from gearsim.cli import console, main
from gearsim.cli.parser import parser
from gearsim.studies.compare import compare_rides

REPOSITORY = Path(__file__).parents[2]
HEAVY = ("numpy", "pandas", "numba", "pydantic", "matplotlib", "rich", "gpxpy", "pyproj", "scipy")
RESULT_OPTIONS = {"--out", "--replace", "--json", "--quiet"}
WITHOUT_RESULTS = {"new", "completion"}
"""They write or print one text that is asked for: a plan, a script."""

RESULTS = sorted(set(COMMANDS) - WITHOUT_RESULTS)
GIVEN_A_PLAN = {"gears": ["plan.toml"]}
"""Commands that read a plan where one is given, and with what they do."""

NUMBER = re.compile(r"[0-9]+(?:[.:][0-9]+)*")
ESCAPE = re.compile(r"\x1b\[[0-9;]*m")
EXAMPLE = re.compile(r"(?:^|<\()\s*(gearsim [^)>#\n]*)", re.MULTILINE)

EACH = pytest.mark.parametrize("command", COMMANDS)
EACH_WITH_RESULTS = pytest.mark.parametrize("command", RESULTS)


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder where a person works, with all that a command needs.

    No compile is told of, and pictures are not drawn: that takes long, and other tests do it.
    """
    furnish(tmp_path)
    monkeypatch.chdir(tmp_path)
    for command in COMMANDS:
        module = import_module(f"gearsim.cli.{command}")
        monkeypatch.setattr(module, "kernel_ready", lambda: True, raising=False)
        monkeypatch.setattr(module, "figure_png", lambda _: b"a picture", raising=False)
        for figure in [name for name in dir(module) if name.endswith("_figure")]:
            monkeypatch.setattr(module, figure, lambda *_: None)
    for name in ("NO_COLOR", "TERM", "COLUMNS"):
        monkeypatch.delenv(name, raising=False)
    return tmp_path


def contents(folder: Path) -> set[str]:
    return {str(path.relative_to(folder)) for path in folder.rglob("*")}


# Help


@EACH
@pytest.mark.parametrize("columns", [60, 80])
def test_help_has_an_example_that_can_be_typed_and_fits_the_terminal(
    run: Run, monkeypatch: pytest.MonkeyPatch, command: str, columns: int
) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    code, out, err = run(command, "--help")
    assert (code, err) == (0, "")
    assert max(len(line) for line in out.splitlines()) <= columns
    examples = EXAMPLE.findall(out.split("\nExample")[1].replace("\\\n", " "))
    assert any(example.split()[1] == command for example in examples)
    for example in examples:
        parser().parse_args(shlex.split(example)[1:])


def test_help_of_all_commands_fits_a_narrow_terminal(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "60")
    assert max(len(line) for line in run("--help")[1].splitlines()) <= 60


@EACH
def test_every_argument_and_option_is_explained(command: str) -> None:
    for action in COMMANDS[command]._actions:
        assert action.help, action.dest


def test_help_of_no_command_needs_a_heavy_library() -> None:
    code = f"""
import contextlib, io, sys
from gearsim.cli import main
for command in [[], *([name] for name in {list(COMMANDS)!r})]:
    with contextlib.redirect_stdout(io.StringIO()):
        assert main([*command, "--help"]) == 0
    loaded = [name for name in {HEAVY!r} if name in sys.modules]
    assert not loaded, (command, loaded)
"""
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, check=False, text=True, cwd=REPOSITORY
    )
    assert (done.returncode, done.stderr) == (0, "")


# Options


def test_an_option_means_the_same_wherever_it_is() -> None:
    meanings: dict[str, set[tuple[Any, ...]]] = {}
    for command in COMMANDS.values():
        for action in command._actions:
            what = (action.help or "").partition(" (")[0]  # the files may differ
            if action.dest == "json":  # results or what was written
                what = "as JSON for programs" if "as JSON for programs" in what else what
            meaning = (type(action), action.metavar, action.type, action.nargs, what)
            for option in action.option_strings:
                meanings.setdefault(option, set()).add((*meaning, str(action.default)))
    assert {option: told for option, told in meanings.items() if len(told) > 1} == {}


@EACH
def test_results_have_a_folder_and_a_form_for_programs(command: str) -> None:
    if command in WITHOUT_RESULTS:
        assert not options(command) & {"--out", "--replace", "--report", "--parts"}
    else:
        assert options(command) >= RESULT_OPTIONS


# Programs


@EACH_WITH_RESULTS
def test_json_is_one_value_alone_and_nothing_is_written(run: Run, home: Path, command: str) -> None:
    before = contents(home)
    code, out, err = run(*given(command), "--json")
    assert (code, err) == (0, "")
    assert isinstance(json.loads(out), dict)
    assert contents(home) == before
    assert run(*given(command), "--json", "--quiet") == (0, out, "")


def test_new_tells_programs_and_the_quiet_what_it_should(run: Run, home: Path) -> None:
    code, out, err = run(*given("new"), "--json")
    assert (code, err) == (0, "")
    assert json.loads(out) == {"plan": "new.toml", "route": "route.gpx", "chosen": "as given"}
    (home / "new.toml").unlink()
    assert run(*given("new"), "--quiet") == (0, "", "")
    assert (home / "new.toml").is_file()


@EACH_WITH_RESULTS
def test_quiet_is_silent_and_files_go_to_the_folder_asked_for(
    run: Run, home: Path, command: str
) -> None:
    before = contents(home)
    assert run(*given(command), "--quiet", "--out", "mine") == (0, "", "")
    new = contents(home) - before
    assert "mine" in new
    assert {Path(path).parts[0] for path in new} == {"mine"}
    assert all((home / path).stat().st_size > 0 for path in new)


@EACH_WITH_RESULTS
def test_files_are_replaced_only_when_asked(run: Run, home: Path, command: str) -> None:
    assert run(*given(command), "--quiet", "--out", "mine")[0] == 0
    written = {path: path.read_bytes() for path in (home / "mine").iterdir()}
    spoilt = min(written)
    spoilt.write_bytes(b"mine")
    code, out, err = run(*given(command), "--out", "mine")
    assert (code, out) == (2, "")
    assert "add --replace" in err
    assert spoilt.read_bytes() == b"mine"
    assert run(*given(command), "--quiet", "--out", "mine", "--replace")[0] == 0
    assert {path: path.read_bytes() for path in (home / "mine").iterdir()} == written


@pytest.mark.parametrize("command", [name for name in RESULTS if "--report" in options(name)])
def test_report_is_written_beside_the_rest_only_when_asked_for(
    run: Run, home: Path, command: str
) -> None:
    assert run(*given(command), "--quiet", "--out", "without")[0] == 0
    assert run(*given(command), "--quiet", "--out", "with", "--report")[0] == 0
    without, more = contents(home / "without"), contents(home / "with")
    assert without < more
    assert "report.html" in more - without
    assert (home / "with" / "report.html").read_text().startswith("<!doctype html>")


# What is wrong


@EACH
def test_what_is_no_option_is_refused_in_one_line(run: Run, home: Path, command: str) -> None:
    before = contents(home)
    code, out, err = run(*given(command), "--no-such-option")
    assert (code, out) == (2, "")
    assert (
        err
        == (f"gearsim: unrecognized arguments: --no-such-option; see: gearsim {command} --help\n")
        or err == "gearsim: unrecognized arguments: --no-such-option; see: gearsim --help\n"
    )
    assert contents(home) == before


@EACH
def test_what_is_not_there_is_refused_in_one_line(run: Run, home: Path, command: str) -> None:
    before = contents(home)
    code, out, err = run(command, "nowhere/nothing.toml")
    assert (code, out) == (2, "")
    assert err.startswith("gearsim: ")
    assert "nothing.toml" in err
    assert err.count("\n") == 1
    assert contents(home) == before


@pytest.fixture
def no_work(home: Path, monkeypatch: pytest.MonkeyPatch, command: str) -> None:
    """The command fails the test as soon as it shows a person that it works, or has results."""

    def working(*_given: object, **_named: object) -> None:
        pytest.fail("work was begun")

    assert home
    for name in ("doing", "counting"):
        monkeypatch.setattr(console, name, working)
    module = import_module(f"gearsim.cli.{command}")
    monkeypatch.setattr(module, "present", working, raising=False)


@EACH_WITH_RESULTS
@pytest.mark.usefixtures("no_work")
@pytest.mark.parametrize(
    ("out", "told"),
    [
        ("plan.toml", "plan.toml: is a file, not a folder; choose another --out"),
        ("plan.toml/mine", "is a file, not a folder"),
        ("nowhere/mine", "nowhere/mine: its folder nowhere is not there; make it first"),
    ],
)
def test_place_that_is_no_folder_is_refused_before_the_work(
    run: Run, home: Path, command: str, out: str, told: str
) -> None:
    before = contents(home)
    code, said, err = run(*given(command), "--out", out)
    assert (code, said) == (2, "")
    assert told in err
    assert err.count("\n") == 1
    assert contents(home) == before


@EACH_WITH_RESULTS
@pytest.mark.usefixtures("no_work")
def test_folder_where_a_file_would_go_is_refused_before_the_work(
    run: Run, home: Path, command: str
) -> None:
    name = import_module(f"gearsim.cli.{command}").WRITTEN[0]
    (home / "mine" / name).mkdir(parents=True)
    code, said, err = run(*given(command), "--out", "mine", "--replace")
    assert (code, said) == (2, "")
    assert err == f"gearsim: mine/{name}: is a folder where a file would go; choose another --out\n"


@pytest.mark.parametrize("command", sorted(set(COMMANDS) - {"completion"}))
@pytest.mark.usefixtures("no_work")
def test_place_without_permission_is_refused_before_the_work(
    run: Run, home: Path, monkeypatch: pytest.MonkeyPatch, command: str
) -> None:
    # root, whom tests may run as, is refused nothing
    monkeypatch.setattr("os.access", lambda _path, mode: not mode & os.W_OK)
    before = contents(home)
    code, out, err = run(*given(command))
    assert (code, out) == (2, "")
    assert "cannot be written (no permission in" in err
    assert contents(home) == before


# Files left from before


@EACH_WITH_RESULTS
def test_every_file_has_a_name_that_the_command_knows_as_its_own(
    run: Run, home: Path, command: str
) -> None:
    own = import_module(f"gearsim.cli.{command}").WRITTEN
    more = {"--report"} & options(command)
    assert run(*given(command), "--quiet", "--out", "mine", *more)[0] == 0
    names = {path.name for path in (home / "mine").iterdir()}
    assert {name for name in names if not any(fnmatch(name, each) for each in own)} == set()


@EACH_WITH_RESULTS
def test_what_another_run_left_is_told_and_kept(run: Run, home: Path, command: str) -> None:
    patterns = import_module(f"gearsim.cli.{command}").WRITTEN
    wild = [pattern for pattern in patterns if "*" in pattern]
    left = {pattern.replace("*", "of old") for pattern in wild}
    (home / "mine").mkdir()
    for name in (*left, "my notes.csv"):
        (home / "mine" / name).write_text("old")
    code, out, err = run(*given(command), "--out", "mine")
    assert (code, err) == (0, "")
    told = "Left there from before, not of this run: " in out
    assert told == bool(left)
    assert all(name in out.split("Left there")[-1] for name in left)
    assert "my notes" not in out
    assert left <= {path.name for path in (home / "mine").iterdir()}


# Cautions on a plan

SLIP = "humidity_percent = 0.5"
CAUTION = "conditions.humidity_percent is 0.5, taken as 0.5 %: if 50 % is meant, write 50."
READ_PLANS = [
    name for name in RESULTS if "plan.toml" in (*given(name), *GIVEN_A_PLAN.get(name, []))
]


@pytest.mark.parametrize("command", READ_PLANS)
def test_what_in_a_plan_is_likely_a_slip_is_told_once_in_text_and_to_programs(
    run: Run, home: Path, command: str
) -> None:
    plan = home / "plan.toml"
    argv = [command, *GIVEN_A_PLAN[command]] if command in GIVEN_A_PLAN else given(command)
    assert run(*argv, "--json")[1].count("humidity_percent is") == 0
    text = plan.read_text()
    assert text.count("humidity_percent = 50") == 1
    plan.write_text(text.replace("humidity_percent = 50", SLIP))
    code, out, err = run(*argv)
    assert (code, err) == (0, "")
    assert " ".join(out.split()).count(CAUTION) == 1
    records = json.loads(run(*argv, "--json")[1])
    assert records["cautions"].count(CAUTION) == 1
    assert len(records["cautions"]) > 1  # with those that stand under every result
    if "--report" in options(command):
        assert run(*argv, "--quiet", "--report", "--out", "mine")[0] == 0
        assert (home / "mine" / "report.html").read_text().count(CAUTION) == 1


# Terminals


class Presented:
    """What a command would print, without the work being done again for each terminal."""

    def __init__(self, text: Callable[[], str]) -> None:
        self._text = text

    def on(self, columns: int, **environment: str) -> str:
        """The text on a terminal of so many columns; of 0, in a pipe."""
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(sys, "stdout", Terminal() if columns else io.StringIO())
            for name in ("NO_COLOR", "TERM"):
                patch.delenv(name, raising=False)
            for name, value in {"COLUMNS": str(columns), **environment}.items():
                patch.setenv(name, value)
            return self._text()


SEEN: dict[str, Presented] = {}


@pytest.fixture
def presented(home: Path, monkeypatch: pytest.MonkeyPatch, command: str) -> Presented:
    """The command's text, computed once for all tests."""
    assert home
    if command not in SEEN:
        module = import_module(f"gearsim.cli.{command}")
        told: dict[str, Any] = {}
        monkeypatch.setattr(module, "present", lambda _, **given: told.update(given))
        assert main([*given(command)]) == 0
        SEEN[command] = Presented(told["text"])
    return SEEN[command]


def widest(text: str) -> int:
    return max(len(ESCAPE.sub("", line)) for line in text.splitlines())


@EACH_WITH_RESULTS
def test_pipe_gets_80_columns_without_colour_whatever_the_terminal(presented: Presented) -> None:
    piped = presented.on(0)
    assert widest(piped) <= 80
    assert "\x1b" not in piped
    assert all(line == line.rstrip() for line in piped.splitlines())


@EACH_WITH_RESULTS
@pytest.mark.parametrize("columns", [60, 70, 80, 100, 140])
def test_no_line_is_wider_than_the_terminal(presented: Presented, columns: int) -> None:
    assert widest(presented.on(columns)) <= columns


@EACH_WITH_RESULTS
def test_text_widens_with_the_terminal_and_is_never_laid_out_for_less_than_60(
    presented: Presented,
) -> None:
    assert widest(presented.on(140)) > 80
    assert presented.on(20) == presented.on(60)


@EACH_WITH_RESULTS
def test_narrow_terminal_loses_no_number(presented: Presented) -> None:
    """Tables may be parted, and then names stand more than once."""
    wide, narrow = (set(NUMBER.findall(presented.on(width, NO_COLOR="1"))) for width in (140, 60))
    assert wide <= narrow


@EACH_WITH_RESULTS
def test_colour_says_nothing_that_the_text_does_not(presented: Presented) -> None:
    coloured = presented.on(100)
    assert "\x1b[" in coloured
    assert squeezed(ESCAPE.sub("", coloured)) == squeezed(presented.on(100, NO_COLOR="1"))


def squeezed(text: str) -> list[str]:
    """Lines without blanks at their ends, which colour may leave."""
    return [line.rstrip() for line in text.splitlines()]


@EACH_WITH_RESULTS
@pytest.mark.parametrize("wish", [{"NO_COLOR": "1"}, {"TERM": "dumb"}], ids=["NO_COLOR", "dumb"])
def test_colour_is_left_out_where_it_is_not_wished_for(
    presented: Presented, wish: dict[str, str]
) -> None:
    assert "\x1b" not in presented.on(100, **wish)


@EACH_WITH_RESULTS
@pytest.mark.usefixtures("home")
def test_progress_shows_on_a_terminal_only_and_leaves_no_trace(
    run: Run, monkeypatch: pytest.MonkeyPatch, command: str
) -> None:
    screen = Terminal()
    monkeypatch.setattr(sys, "stderr", screen)
    assert run(*given(command), "--out", "mine")[0] == 0
    seen = screen.getvalue()
    assert "Drawing and writing ..." in seen
    assert on_screen(screen) == ""
    assert "\n" not in seen
    assert "\x1b" not in seen  # with NO_COLOR, too, and where TERM is dumb


# Ctrl-C


def interrupting(call: int, original: Callable[..., Any]) -> Callable[..., Any]:
    """The function, but at the given call, counted from 1, Ctrl-C is pressed just before it."""
    calls = 0

    def function(*values: Any, **named: Any) -> Any:
        nonlocal calls
        calls += 1
        if calls == call:
            signal.raise_signal(signal.SIGINT)
        return original(*values, **named)

    return function


@pytest.fixture
def ctrl_c_stops() -> Iterator[None]:
    """The signal is Python's own KeyboardInterrupt, also where tests run in the background."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


@EACH_WITH_RESULTS
@pytest.mark.parametrize("moment", ["first file", "second file", "into place"])
@pytest.mark.usefixtures("ctrl_c_stops")
def test_ctrl_c_while_writing_leaves_all_files_or_none(
    run: Run, home: Path, monkeypatch: pytest.MonkeyPatch, command: str, moment: str
) -> None:
    before = contents(home)
    method = "rename" if moment == "into place" else "write_bytes"
    call = 2 if moment == "second file" else 1
    monkeypatch.setattr(Path, method, interrupting(call, getattr(Path, method)))
    code, out, err = run(*given(command), "--out", "mine")
    if (code, err) == (0, ""):  # a command with one file only
        assert moment == "second file"
        return
    assert (code, out, err) == (130, "", "gearsim: stopped\n")
    assert contents(home) == before


@EACH_WITH_RESULTS
@pytest.mark.usefixtures("ctrl_c_stops")
def test_ctrl_c_while_working_leaves_finished_files_only(
    run: Run, home: Path, monkeypatch: pytest.MonkeyPatch, command: str
) -> None:
    before = contents(home)
    pressed = press_in_the_middle(monkeypatch)
    code, out, err = run(*given(command), "--out", "mine")
    if not pressed.at:
        assert (code, err) == (0, "")  # nothing that takes long
        return
    assert (code, err) == (130, "gearsim: stopped\n")
    if out:  # what there is so far, told and written whole
        assert out.rstrip().endswith("Results are in mine.")
        assert all((home / path).stat().st_size > 0 for path in contents(home) - before)
    else:
        assert contents(home) == before


def press_in_the_middle(monkeypatch: pytest.MonkeyPatch) -> SimpleNamespace:
    """Press Ctrl-C once, where the first parts of a counted work are done, else where work begins.

    Work is what is shown to a person who waits, loading and writing aside.
    """
    pressed = SimpleNamespace(at="")
    counting, doing = console.counting, console.doing

    def press(what: str) -> None:
        if not pressed.at and not what.startswith(("Loading", "Drawing")):
            pressed.at = what
            signal.raise_signal(signal.SIGINT)

    class Counting:
        def __init__(self, what: str, total: int, *, quiet: bool) -> None:
            self._what, self._inner = what, counting(what, total, quiet=quiet)

        def __enter__(self) -> Callable[[], None]:
            advance = self._inner.__enter__()

            def advance_and_press() -> None:
                advance()
                press(self._what)

            return advance_and_press

        def __exit__(self, *fault: Any) -> bool | None:
            return self._inner.__exit__(*fault)

    class Doing:
        def __init__(self, what: str, *, quiet: bool) -> None:
            self._what, self._inner = what, doing(what, quiet=quiet)

        def __enter__(self) -> None:
            self._inner.__enter__()
            press(self._what)

        def __exit__(self, *fault: Any) -> bool | None:
            return self._inner.__exit__(*fault)

    monkeypatch.setattr(console, "counting", Counting)
    monkeypatch.setattr(console, "doing", Doing)
    return pressed


@pytest.mark.usefixtures("ctrl_c_stops")
def test_library_that_calls_ctrl_c_a_fault_of_its_own_is_no_defect(
    run: Run, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As compiled modules do that are stopped while they load."""

    def loading(_arguments: object) -> None:
        try:
            signal.raise_signal(signal.SIGINT)
        except KeyboardInterrupt:
            raise ImportError("could not import module") from None

    assert home
    monkeypatch.setattr("gearsim.cli.route.run", loading)
    assert run(*given("route")) == (130, "", "gearsim: stopped\n")
    monkeypatch.setattr("gearsim.cli.route.run", lambda _: import_module("no_such_module"))
    code, _, err = run(*given("route"))  # the one before is forgotten
    assert code == 1
    assert "this is a defect of gearsim" in err


@pytest.mark.parametrize("printed", [[], ["--json"]])
@pytest.mark.usefixtures("ctrl_c_stops")
def test_ctrl_c_that_a_library_swallows_still_leaves_nothing_written_or_told(
    run: Run, home: Path, monkeypatch: pytest.MonkeyPatch, printed: list[str]
) -> None:
    # As compiled loops do that cannot raise: they go on with what is half made.
    before = contents(home)
    original = compare_rides

    def swallowing(*values: Any, **named: Any) -> Any:
        with suppress(KeyboardInterrupt):
            signal.raise_signal(signal.SIGINT)
        return original(*values, **named)

    monkeypatch.setattr("gearsim.cli.compare.compare_rides", swallowing)
    assert run(*given("compare"), *printed) == (130, "", "gearsim: stopped\n")
    assert contents(home) == before
    monkeypatch.setattr("gearsim.cli.compare.compare_rides", original)
    assert run(*given("compare"), "--quiet")[0] == 0  # the one before is forgotten


STALLING = """
import sys, time
from pathlib import Path
import gearsim.cli.results as results
from gearsim.cli import main

write = Path.write_bytes

def stalling(path, content):
    written = write(path, content[: len(content) // 2])
    print("half a file is written", flush=True)
    time.sleep(60)
    return written

Path.write_bytes = stalling
sys.exit(main(sys.argv[1:]))
"""


def test_ctrl_c_from_the_terminal_in_the_middle_of_a_file_leaves_none(home: Path) -> None:
    before = contents(home)
    command = subprocess.Popen(
        [sys.executable, "-c", STALLING, *given("compare"), "--quiet"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONPATH": str(REPOSITORY)},
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.default_int_handler),
    )
    assert command.stdout is not None
    assert command.stdout.readline() == "half a file is written\n"
    assert contents(home) > before
    command.send_signal(signal.SIGINT)
    out, err = command.communicate(timeout=60)
    assert (command.returncode, out, err) == (130, "", "gearsim: stopped\n")
    assert contents(home) == before
