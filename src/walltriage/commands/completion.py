"""``walltriage completion``: what a shell reads to complete commands and options."""

from __future__ import annotations

import click
from click.shell_completion import get_completion_class

SHELLS = ("bash", "zsh", "fish")
_VARIABLE = "_WALLTRIAGE_COMPLETE"


@click.command(
    "completion",
    epilog="Example: walltriage completion bash >> ~/.bashrc, then open a new terminal.",
)
@click.argument("shell", type=click.Choice(SHELLS))
@click.pass_context
def command(context: click.Context, shell: str) -> None:
    """Print the script that completes walltriage's commands and options in SHELL."""
    made = get_completion_class(shell)
    assert made is not None
    root = context.find_root()
    click.echo(made(root.command, {}, "walltriage", _VARIABLE).source())
