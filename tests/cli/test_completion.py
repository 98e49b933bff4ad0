"""`gearsim completion SHELL`: what a shell offers when Tab is pressed, as the shell itself says."""

import os
import re
import shutil
import subprocess
from argparse import Action
from pathlib import Path

import pytest
from conftest import Run

from gearsim.cli.completion import FILES, actions, script
from gearsim.cli.parser import SHELLS, parser

COMMANDS = next(each for each in actions(parser()) if each.dest == "command" and each.choices)
ASK = {
    # words of a line, the last of which is to be completed -> what is offered, one a line
    "bash": """\
source "$SCRIPT"
COMP_WORDS=(gearsim "$@"); COMP_CWORD=$#
COMP_LINE="${COMP_WORDS[*]}"; COMP_POINT=${#COMP_LINE}
$(complete -p gearsim | sed 's/.*-F \\([^ ]*\\) .*/\\1/') gearsim "${@: -1}" ""
printf '%s\\n' "${COMPREPLY[@]}"
""",
    "fish": """\
source $SCRIPT
complete --do-complete "gearsim $argv"
""",
}


def needed(shell: str) -> str:
    """The shell's program; without it the test is skipped, and says so."""
    found = shutil.which(shell)
    if found is None:
        pytest.skip(f"{shell} is not on this machine")
    return found


def offered(shell: str, folder: Path, *words: str) -> set[str]:
    """What a shell offers for the last of the words after `gearsim`, in a folder."""
    path = folder / ".script"
    path.write_text(script(shell))
    (folder / ".ask").write_text(ASK[shell])
    environment = {**os.environ, "SCRIPT": str(path), "HOME": str(folder)}
    done = subprocess.run(
        [needed(shell), ".ask", *words],
        capture_output=True,
        check=True,
        text=True,
        cwd=folder,
        env=environment,
    )
    assert done.stderr == ""
    return {line.split("\t")[0] for line in done.stdout.splitlines()}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    for name in ("plan.toml", "route.gpx", "road.gpx.gz", "table.csv"):
        (tmp_path / name).touch()
    (tmp_path / "races").mkdir()
    return tmp_path


SHELLS_ASKED = pytest.mark.parametrize("shell", ASK)


@SHELLS_ASKED
def test_every_command_is_offered(folder: Path, shell: str) -> None:
    assert offered(shell, folder, "") >= set(COMMANDS.choices)
    assert offered(shell, folder, "comp") == {"compare", "completion"}


@SHELLS_ASKED
@pytest.mark.parametrize("command", COMMANDS.choices)
def test_every_long_option_of_a_command_is_offered(folder: Path, shell: str, command: str) -> None:
    options = {
        option
        for action in COMMANDS.choices[command]._actions
        for option in action.option_strings
        if option.startswith("--")
    }
    assert offered(shell, folder, command, "--") >= options


@SHELLS_ASKED
def test_plans_are_offered_where_a_plan_goes(folder: Path, shell: str) -> None:
    found = {name.rstrip("/") for name in offered(shell, folder, "compare", "")}
    assert {"plan.toml", "races"} <= found
    assert not found & {"route.gpx", "road.gpx.gz", "table.csv"}


@SHELLS_ASKED
@pytest.mark.parametrize("words", [("route", "ro"), ("learn", "ro"), ("new", "--route", "ro")])
def test_gpx_files_plain_or_gzipped_are_offered_where_a_route_goes(
    folder: Path, shell: str, words: tuple[str, ...]
) -> None:
    assert offered(shell, folder, *words) == {"route.gpx", "road.gpx.gz"}


@SHELLS_ASKED
def test_folders_are_offered_for_out(folder: Path, shell: str) -> None:
    found = {name.rstrip("/") for name in offered(shell, folder, "compare", "--out", "")}
    assert found == {"races"}


@pytest.mark.parametrize("shell", SHELLS)
def test_script_is_printed_alone_and_the_shell_can_read_it(
    run: Run, tmp_path: Path, shell: str
) -> None:
    code, out, err = run("completion", shell)
    assert (code, err) == (0, "")
    assert out == script(shell).rstrip() + "\n"
    path = tmp_path / "script"
    path.write_text(out)
    subprocess.run([needed(shell), "-n", path], check=True, capture_output=True)


@pytest.mark.parametrize("shell", SHELLS)
def test_commands_are_described_by_a_whole_line(shell: str) -> None:
    if shell != "bash":  # which shows no descriptions
        assert re.search(r"squad.*ride the drivetrains of a plan with every", script(shell))


def test_unknown_shell_is_wrong_input(run: Run) -> None:
    code, out, err = run("completion", "abacus")
    assert (code, out) == (2, "")
    assert "choose from" in err


@pytest.mark.parametrize(
    "action", [each for each in actions(parser()) if each.type is Path], ids=lambda each: each.dest
)
def test_every_argument_that_is_a_file_says_which_files(action: Action) -> None:
    assert action.dest in FILES
