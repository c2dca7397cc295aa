"""A verb called in this process as a person calls it: what it printed and how it ended."""

import contextlib
import io
import os
from types import SimpleNamespace
from unittest import mock

from sourloam.cli import main


def sourloam(*arguments, columns="80"):
    out, trouble = io.StringIO(), io.StringIO()
    environment = {"COLUMNS": columns, "NO_COLOR": "1"}
    with (
        mock.patch.dict(os.environ, environment),
        contextlib.redirect_stdout(out),
        contextlib.redirect_stderr(trouble),
    ):
        try:
            main([str(argument) for argument in arguments])
            code = 0
        except SystemExit as end:
            code = end.code
    return SimpleNamespace(returncode=code, stdout=out.getvalue(), stderr=trouble.getvalue())
