"""The command line: one module per verb; ``main`` runs them and keeps errors to one line."""

from sourloam.cli.app import main

__all__ = ["main"]
