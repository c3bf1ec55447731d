"""The command line: help at once, mistakes as messages, exit statuses as promised."""

from __future__ import annotations

import subprocess
import sys

import click
import pytest
from click.testing import CliRunner

from walltriage import __version__
from walltriage.cli import COMMANDS, main
from walltriage.errors import InputError, Problem


def run(*arguments):
    return CliRunner().invoke(main, list(arguments))


@pytest.fixture
def failing(monkeypatch):
    """Make the triage command raise what it is given."""

    def set_up(error):
        @click.command("triage")
        def command():
            raise error

        monkeypatch.setattr("walltriage.commands.triage.command", command)

    return set_up


def test_help_lists_what_exists():
    """Every command module that is there is listed with a line of its own."""
    done = run("--help")
    assert done.exit_code == 0
    listed = main.list_commands(click.Context(main))
    assert {"interview", "triage", "replay", "rules"} <= set(listed) <= set(COMMANDS)
    for name in listed:
        assert COMMANDS[name] in done.output


@pytest.mark.parametrize("name", main.list_commands(click.Context(main)))
def test_each_command_has_help_with_an_example(name):
    """--help shows how the command is called."""
    done = run(name, "--help")
    assert done.exit_code == 0
    assert "Example:" in done.output
    assert f"walltriage {name}" in done.output.split("Example:")[1]


def test_version():
    """--version names the program and its version."""
    assert run("--version").output == f"walltriage {__version__}\n"


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (("intervew",), "No such command 'intervew' (did you mean 'interview'?)."),
        (("zzz",), "No such command 'zzz'."),
        (("interview", "--for", "cat"), "'cat' is not one of 'buyer', 'trade', 'firm'"),
        (("triage",), "Missing argument 'CASES...'"),
        (("--wrong",), "No such option"),
    ],
)
def test_bad_usage(arguments, message):
    """Exit 2, one message, no traceback."""
    done = run(*arguments)
    assert done.exit_code == 2
    assert message in done.output
    assert "Traceback" not in done.output


def test_input_errors_one_line_each(failing):
    """All problems are told, on stderr, with exit 2."""
    failing(InputError([Problem("b.yaml", 2, 1, "wrong"), Problem("a.yaml", 0, 0, "gone", "put")]))
    done = run("triage")
    assert done.exit_code == 2
    assert done.stderr == "a.yaml: gone; put\nb.yaml:2:1: wrong\n"
    assert done.stdout == ""


@pytest.mark.parametrize("error", [KeyboardInterrupt(), EOFError()])
def test_interrupts(failing, error):
    """Ctrl-C and Ctrl-D end any command with 130."""
    failing(error)
    assert run("triage").exit_code == 130


def test_help_is_light():
    """Neither the engine nor a terminal library is imported to show help."""
    code = (
        "import sys; from walltriage.cli import main\n"
        "try: main(['--help'])\n"
        "except SystemExit: pass\n"
        "heavy = {'experta', 'pydantic', 'rich', 'questionary', 'yaml'} & set(sys.modules)\n"
        "sys.exit(f'imported: {heavy}' if heavy else 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_reader_gone():
    """A pipe closed by its reader ends quietly."""
    command = f"{sys.executable} -m walltriage rules --help | true"
    done = subprocess.run(command, shell=True, capture_output=True, text=True, check=False)
    assert "Traceback" not in done.stderr
