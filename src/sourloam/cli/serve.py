"""``sourloam serve``: the logbook for everybody of a place, from this machine."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from sourloam.cli.trouble import Refusal, say


def serve(
    data: Annotated[
        Path | None, typer.Option(help="Folder that holds everything; made if it is missing.")
    ] = None,
    host: Annotated[
        str, typer.Option(help="Address to listen on; 0.0.0.0 lets other machines come.")
    ] = "127.0.0.1",
    port: Annotated[int, typer.Option(help="Port to listen on.", min=0, max=65535)] = 8000,
    demo: Annotated[
        bool, typer.Option("--demo", help="Fill a fresh folder with an invented season.")
    ] = False,
) -> None:
    """Serve the logbook: what is due, what was done.

    On the first start its page asks for a keeper's name and password. Everything is kept in one
    folder: see docs/operations.md. Stop it with Ctrl-C.
    """
    from sourloam.logbook import serving

    try:
        folder = serving.folder_for(data, demo)
        listener = serving.bound(host, port)
        serving.prepare(folder, serving.names_for(host))
        if demo:
            _load_demo()
    except (serving.FolderError, serving.ServingError) as error:
        raise Refusal(str(error)) from None
    serving.run(
        listener,
        lambda address: typer.echo(f"Sourloam is at {address} and keeps its data in {folder.path}"),
    )


def _load_demo() -> None:
    from sourloam.logbook import serving

    serving.load_demo(lambda: say("making the demo's season with the model; a minute or so, once"))
