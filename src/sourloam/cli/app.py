"""The verbs under one command, and the promise that trouble is told in one line."""

from __future__ import annotations

import errno
import os
import sys
from typing import Annotated

import typer

from sourloam import __version__
from sourloam.cli.bran import bran
from sourloam.cli.exchange import export, import_
from sourloam.cli.forecast import forecast
from sourloam.cli.foresee import demo_programme, foresee
from sourloam.cli.garden import garden
from sourloam.cli.impact import impact
from sourloam.cli.moving import move
from sourloam.cli.plan import plan
from sourloam.cli.print_sheet import print_sheet
from sourloam.cli.rescue import rescue
from sourloam.cli.safekeeping import backup, check, doctor, person, restore
from sourloam.cli.serve import serve
from sourloam.cli.sources import sources
from sourloam.cli.trouble import BAD_INPUT, FAULT, INTERRUPTED, BrokenOff, Refusal, say
from sourloam.cli.validate import validate

_USAGE: type[Exception] = typer.BadParameter.__mro__[1]  # what every misused option raises
_NO_OUTPUT = "the answer can't be written to standard output"
_UNWRITABLE = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EIO, errno.EBADF)
_TRACE = "SOURLOAM_TRACE"  # set to anything: a fault of ours is told with its whole trace

app = typer.Typer(
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,  # plain help: paragraphs wrap as paragraphs, at any width
    help="Plan the lactic fermentation of kitchen scraps, from the kitchen to living soil.\n\n"
    "Describe your place in a small text file (the examples show how), then: "
    "sourloam plan SITE.toml",
)


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"sourloam {__version__}")
        raise typer.Exit


@app.callback(invoke_without_command=True)
def _first(
    context: typer.Context,
    version: Annotated[
        bool,
        typer.Option("--version", callback=_version, is_eager=True, help="Print the version."),
    ] = False,
) -> None:
    if context.invoked_subcommand is None:
        typer.echo(context.get_help())


app.command()(plan)
app.command()(garden)
app.command()(forecast)
app.command()(bran)
app.command()(impact)
app.command("print")(print_sheet)
app.command()(rescue)
app.command()(serve)
app.command()(foresee)
app.command("demo-programme")(demo_programme)
app.command()(backup)
app.command()(restore)
app.command()(move)
app.command()(check)
app.command()(doctor)
app.command()(person)
app.command()(export)
app.command("import")(import_)
app.command()(sources)
app.command()(validate)


def main(arguments: list[str] | None = None) -> None:
    """Run the command line and exit: 0 well, 2 bad input, 130 interrupted, 1 a fault of ours."""
    sys.exit(_run(sys.argv[1:] if arguments is None else arguments))


def _run(arguments: list[str]) -> int:
    if sys.stdout is None:
        say(f"{_NO_OUTPUT}: it is closed; leave it open or send it to a file")
        return BAD_INPUT
    try:
        code = app(args=arguments, prog_name="sourloam", standalone_mode=False)
        sys.stdout.flush()
    except _USAGE as error:
        say(_usage(error))
        return BAD_INPUT
    except Refusal as error:
        say(str(error))
        return BAD_INPUT
    except BrokenOff as stopped:
        say(str(stopped))
        return stopped.code
    except (KeyboardInterrupt, typer.Abort):
        return _interrupted()
    except BrokenPipeError:
        # The reader went away (a pager, head): that is no trouble. Python must not flush again.
        _let_go_of_output()
        return 0
    except OSError as error:
        if error.errno not in _UNWRITABLE:
            return _fault(error)
        _let_go_of_output()
        say(f"{_NO_OUTPUT}: {(error.strerror or str(error)).lower()}")
        return BAD_INPUT
    except Exception as error:
        return _store_refused(error) or _fault(error)
    return _interrupted() if code == INTERRUPTED else int(code or 0)


def _let_go_of_output() -> None:
    """What is left unwritten goes nowhere, so that Python does not stumble over it at its end."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _store_refused(error: Exception) -> int:
    """Told in one line where the logbook's disk took nothing; 0 where it is something else."""
    if "sourloam.logbook.settings" not in sys.modules:
        return 0
    from sourloam.logbook import serving, unwritten

    if not unwritten.of_store(error) or unwritten.reason(error) == "gone":
        return 0
    say(f"the log does not work: {serving.why(error)} ({_brief(error)})")
    return BAD_INPUT


def _fault(error: Exception) -> int:
    if os.environ.get(_TRACE):
        raise error
    say(f"a fault of Sourloam, not of yours: {_brief(error)}; {_TRACE}=1 shows where")
    return FAULT


def _interrupted() -> int:
    say("interrupted; nothing was written")
    return INTERRUPTED


def _usage(error: Exception) -> str:
    message = error.format_message() if hasattr(error, "format_message") else str(error)
    message = message.removesuffix(".").replace("Value error, ", "")
    return f"{message}; see sourloam --help"


def _brief(error: Exception) -> str:
    return f"{type(error).__name__}: {error}"
