"""The command line: finds the command, and turns mistakes into messages and exit statuses.

Commands are imported only when called, so that ``--help`` and a mistyped command answer
at once.
"""

from __future__ import annotations

import codecs
import io
import os
import sys
from collections.abc import Sequence
from copy import copy
from importlib import import_module
from importlib.util import find_spec
from inspect import cleandoc
from pathlib import Path
from typing import Any, NoReturn

import click

from walltriage import __version__
from walltriage.errors import InputError, Problem, did_you_mean
from walltriage.language import ENGLISH, say, use

# Before numpy and pydantic are imported: threads for linear algebra, of which there is hardly any
# here, would take a tenth of the time of a start, and nobody's plug-ins have a say in our forms.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")

BAD_INPUT = 2
INTERRUPTED = 130
LOOK_ALIKES = "walltriage.look_alikes"
COMMANDS = {
    "interview": "Ask about a house and its walls, and judge each wall.",
    "cases": "List saved interviews, and put them away.",
    "checklist": "A page to take along before a visit.",
    "photos": "The photos still worth taking for a case.",
    "triage": "Judge walls from case files.",
    "replay": "Replay recorded interviews and compare the outcome.",
    "report": "Write a case's result as a document.",
    "batch": "Judge many case files at once.",
    "span": "How far a joist or rafter may span.",
    "beam": "Check members for an opening.",
    "rules": "Check, show and test the knowledge base.",
    "study": "Measure how the rules do on simulated houses.",
    "serve": "Run the firm's desk for browsers.",
    "desk": "Maintain the desk: backups, archives, logins.",
    "outcomes": "Compare verdicts with what was found.",
    "config": "Show or begin your firm's letterhead.",
    "completion": "Print the shell's completion of commands and options.",
}


class _Commands(click.Group):
    """A group whose commands are modules of ``walltriage.commands``, imported when called."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return [name for name in COMMANDS if find_spec(f"walltriage.commands.{name}")]

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in self.list_commands(ctx):
            return None
        command: click.Command = import_module(f"walltriage.commands.{cmd_name}").command
        return command if ctx.params.get("language") in (None, ENGLISH) else _said(command)

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        if args and self.get_command(ctx, args[0]) is None and not args[0].startswith("-"):
            if Path(args[0]).exists():
                ctx.fail(f"'{args[0]}' is no command. To judge it: walltriage triage {args[0]}")
            near = did_you_mean(args[0], self.list_commands(ctx))
            ctx.fail(f"No such command '{args[0]}'{near}.")
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl([(name, say(COMMANDS[name])) for name in self.list_commands(ctx)])

    def main(self, args: Sequence[str] | None = None, *more: Any, **extra: Any) -> NoReturn:
        """Run, and exit with 0, 1, 2 or 130 as the contract says."""
        extra["standalone_mode"] = False
        extra.setdefault("prog_name", "walltriage")
        _stand_in_for_closed()
        _print_what_can_be()
        try:
            result = super().main(args, *more, **extra)
            sys.stdout.flush()  # at the exit it would be too late to tell
        except InputError as error:
            for problem in error:
                click.echo(str(problem), err=True)
            sys.exit(BAD_INPUT)
        except click.ClickException as error:
            error.show()
            sys.exit(BAD_INPUT)
        except (click.Abort, KeyboardInterrupt, EOFError):
            click.echo(say("Interrupted."), err=True)
            sys.exit(INTERRUPTED)
        except BrokenPipeError:  # the reader of our output has gone; nobody is left to tell
            _print_no_more()
            sys.exit(1)
        except OSError as error:
            _print_no_more()
            where = error.filename if isinstance(error.filename, str) else "output"
            reason = (error.strerror or str(error)).lower()
            click.echo(str(Problem.about(where, reason, "give another place")), err=True)
            sys.exit(BAD_INPUT)
        sys.exit(result if isinstance(result, int) else 0)


def _said(command: click.Command) -> click.Command:
    """A copy of a command, and of the commands in it, with its help in the language in use."""
    command = copy(command)
    command.help = say(cleandoc(command.help or ""))
    command.epilog = say(cleandoc(command.epilog or ""))
    command.params = [copy(one) for one in command.params]
    for one in command.params:
        if isinstance(one, click.Option):
            one.help = say(one.help or "")
    if isinstance(command, click.Group):
        command.commands = {name: _said(one) for name, one in command.commands.items()}
    return command


def _choose_language(context: click.Context, option: click.Parameter, given: str | None) -> str:
    """Before anything is said: the language asked for, else English."""
    language = given or ENGLISH
    if language != ENGLISH:
        use(language)
    return language


def _stand_in_for_closed() -> None:
    """Nothing to read, and nowhere to print, where the shell closed a stream (``>&-``).

    Left closed, its number would be that of the next file opened, a case or a report, and what is
    printed would go in there.
    """
    if sys.stdin is None:
        sys.stdin = open(os.devnull)  # noqa: SIM115 - open as long as the program
    if sys.stdout is None:
        sys.stdout = open(os.devnull, "w")  # noqa: SIM115
    if sys.stderr is None:
        sys.stderr = open(os.devnull, "w")  # noqa: SIM115


def _print_what_can_be() -> None:
    """Letters that an output's encoding lacks become their nearest in ASCII, instead of an error.

    On Windows what is piped or written to a file has an encoding of a few hundred letters, without
    those that drawings are made of.
    """
    codecs.register_error(LOOK_ALIKES, _look_alikes)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors=LOOK_ALIKES)


def _look_alikes(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    from walltriage.interview.plain import to_ascii

    return to_ascii(error.object[error.start : error.end]), error.end


def _print_no_more() -> None:
    """What is still to be printed goes nowhere, so that the exit does not stumble over it."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


@click.command(
    cls=_Commands,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 88},
    epilog="Example: walltriage interview --for buyer",
)
@click.option(
    "--lang",
    "language",
    metavar="LANGUAGE",
    envvar="WALLTRIAGE_LANG",
    is_eager=True,
    callback=_choose_language,
    help="Language such as es; what has no translation is said in English.",
)
@click.version_option(__version__, "-V", "--version", message="walltriage %(version)s")
def main(language: str) -> None:
    """Is this wall holding something up?

    Triage of house walls, in three verdicts: likely bearing, likely non-bearing, cannot tell.
    """
