"""The README keeps its word: its commands run, its table of commands is that of the parser."""

import ast
import re
import shlex
import shutil
from pathlib import Path

import pytest
from made_recordings import as_gpx, loop, recorded, ride_of

from gearsim.cli import main
from gearsim.cli.completion import actions
from gearsim.cli.example_route import example_gpx
from gearsim.cli.parser import parser

REPOSITORY = Path(__file__).parents[1]
README = (REPOSITORY / "README.md").read_text()
BLOCK = re.compile(r"^```(\w*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
CALL = re.compile(r"(?:^|&&|\|)\s*(?:\S*/)?(gearsim [^#&|>\n]*)", re.MULTILINE)

LONG_WORK = ("search", "rings", "fleet", "squad", "compare")
"""Commands that ride a hundred kilometres again and again: their words are tried, not their work,
which the test of the main job and those of each command do."""

CALLS = [
    call.strip()
    for kind, block in BLOCK.findall(README)
    if kind != "python"
    for call in CALL.findall(block.replace("\\\n", " "))
]
RULE = "─" * 40  # below the heads of a table that was printed
TABLE = re.compile(r"^\| `gearsim (\S+)` \| (.*) \|$", re.MULTILINE)


@pytest.fixture
def copy(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The demo routes in a folder to write into, and a route and a ride of one's own."""
    results = shutil.ignore_patterns("plan-*")
    shutil.copytree(REPOSITORY / "routes", tmp_path / "routes", ignore=results)
    (tmp_path / "my-route.gpx").write_text(example_gpx())
    (tmp_path / "my-ride.gpx").write_text(as_gpx(recorded(ride_of(course=loop(8_000.0)))))
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_readme_shows_commands() -> None:
    assert len(CALLS) > 5


@pytest.mark.parametrize("call", CALLS)
def test_every_command_shown_can_be_typed_and_names_files_that_are_there(call: str) -> None:
    arguments = parser().parse_args(shlex.split(call)[1:])
    given = [word for word in shlex.split(call)[1:] if word.startswith("routes/")]
    assert all((REPOSITORY / path).is_file() for path in given)
    assert arguments.command


def test_every_quick_command_shown_does_what_it_should_in_the_order_shown(
    copy: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    quick = [words for words in map(shlex.split, CALLS) if not is_long(words)]
    assert quick
    for words in quick:
        assert main(words[1:]) == 0, words
        assert "Traceback" not in capsys.readouterr().err
    assert any(copy.glob("my-*"))


def is_long(words: list[str]) -> bool:
    return words[1] in LONG_WORK and any(word.startswith("routes/") for word in words)


def test_main_job_of_the_readme_is_done_and_prints_the_table_shown(
    copy: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shown = next(call for call in CALLS if call.startswith("gearsim compare routes/"))
    assert main(shlex.split(shown)[1:]) == 0
    printed = capsys.readouterr().out
    tables = [block for _, block in BLOCK.findall(README) if RULE in block]
    assert tables
    assert all(table.rstrip() in printed for table in tables)
    folder = copy / "routes" / "lanternmoor" / "plan-results"
    assert {"comparison.csv", "comparison.png", "worst-places.csv"} <= {
        path.name for path in folder.iterdir()
    }


@pytest.mark.usefixtures("copy")
def test_python_shown_is_python_and_runs(capsys: pytest.CaptureFixture[str]) -> None:
    blocks = [block for kind, block in BLOCK.findall(README) if kind == "python"]
    assert blocks
    for block in blocks:
        exec(compile(ast.parse(block), "README.md", "exec"), {})
    assert float(capsys.readouterr().out.split()[0]) > 0.0


@pytest.mark.parametrize("path", re.findall(r"\]\(([^)#:]+)\)", README))
def test_every_link_and_picture_is_there(path: str) -> None:
    assert (REPOSITORY / path).exists()


def test_table_of_commands_is_that_of_the_parser() -> None:
    """Should it fail: the table below the message is what the README must hold."""
    assert TABLE.findall(README) == commands_told(), "\n" + table_of_commands()


def table_of_commands() -> str:
    """The README's table: each command and what it is for."""
    rows = [f"| `gearsim {name}` | {what} |" for name, what in commands_told()]
    return "\n".join(["| command | what it does |", "|---|---|", *rows])


def commands_told() -> list[tuple[str, str]]:
    commands = next(a for a in actions(parser()) if a.dest == "command" and a.choices)
    return [(told.dest, told.help) for told in commands._choices_actions]  # type: ignore[attr-defined]
