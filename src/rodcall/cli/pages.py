"""Commands that explain: the manual, and completion for a shell."""

from __future__ import annotations

import os
import shutil

import click
from click.shell_completion import CompletionItem, ShellComplete, add_completion_class, get_completion_class

from rodcall.cli.help import SaidCommand
from rodcall.cli.types import Unusable
from rodcall.i18n import say

WIDEST = 100
"""Columns of a page at most: longer lines are hard to read."""
SHELLS = ("bash", "zsh", "fish", "powershell")


def _begun_topics(ctx: click.Context, param: click.Parameter, begun: str) -> list[CompletionItem]:
    from rodcall.manual import topics

    return [CompletionItem(topic.name, help=say(topic.about)) for topic in topics() if topic.name.startswith(begun)]


@click.command(cls=SaidCommand)
@click.argument("topic", required=False, shell_complete=_begun_topics)
@click.pass_context
def manual(ctx: click.Context, topic: str | None) -> None:
    """Read the manual: one topic, or the list of topics.

    Titles and lists are in the language of the settings, running text is in English.
    """
    from rodcall.manual import ManualError, list_of_topics, page
    from rodcall.manual.as_text import as_text

    commands = ctx.find_root().command
    assert isinstance(commands, click.Group)
    try:
        text = list_of_topics() if topic is None else page(topic, commands)
    except ManualError as error:
        raise Unusable(str(error)) from None
    click.echo(as_text(text, min(shutil.get_terminal_size().columns, WIDEST)))


class PowerShellComplete(ShellComplete):
    """Completion for PowerShell, which click does not have. Not tried on a real PowerShell."""

    name = "powershell"
    source_template = """\
Register-ArgumentCompleter -Native -CommandName %(prog_name)s -ScriptBlock {
    param($wordToComplete, $commandAst, $cursorPosition)
    $words = $commandAst.CommandElements | ForEach-Object { "$_" }
    $env:COMP_WORDS = $words -join "`n"
    $env:COMP_INCOMPLETE = "$wordToComplete"
    $env:%(complete_var)s = "powershell_complete"
    try {
        %(prog_name)s | ForEach-Object {
            $kind, $value, $about = $_ -split "`t", 3
            if ($kind -eq "file" -or $kind -eq "dir") {
                Get-ChildItem -Path "$wordToComplete*" | ForEach-Object { $_.Name }
            } else {
                [System.Management.Automation.CompletionResult]::new($value, $value, "ParameterValue", $about)
            }
        }
    } finally {
        Remove-Item Env:COMP_WORDS, Env:COMP_INCOMPLETE, Env:%(complete_var)s
    }
}
"""

    def get_completion_args(self) -> tuple[list[str], str]:
        """The words before the one that is begun, and that one."""
        begun = os.environ["COMP_INCOMPLETE"]
        words = os.environ["COMP_WORDS"].splitlines()[1:]
        return (words[:-1] if begun and words[-1:] == [begun] else words), begun

    def format_completion(self, item: CompletionItem) -> str:
        """Kind, value and meaning, tab-separated; PowerShell refuses an empty meaning."""
        return f"{item.type}\t{item.value}\t{item.help or item.value}"


add_completion_class(PowerShellComplete)


@click.command(cls=SaidCommand)
@click.argument("shell", type=click.Choice(SHELLS))
@click.pass_context
def completion(ctx: click.Context, shell: str) -> None:
    """Print the script that completes commands, options and topics in a shell.

    bash: eval "$(rodcall completion bash)" in ~/.bashrc; zsh: the same in ~/.zshrc; fish: rodcall completion fish >
    ~/.config/fish/completions/rodcall.fish; PowerShell: rodcall completion powershell | Out-String | Invoke-Expression
    in $PROFILE.
    """
    maker = get_completion_class(shell)
    assert maker is not None
    made = maker(ctx.find_root().command, {}, "rodcall", "_RODCALL_COMPLETE")
    # Without click's look at the shell's own version: the script may be for another machine.
    click.echo(made.source_template % made.source_vars())


COMMANDS = (manual, completion)
