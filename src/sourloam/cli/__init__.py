"""The command line: one module per verb; ``main`` runs them and keeps errors to one line."""

import gc
import os

# The matrices are small: threads of linear algebra would only wait for each other, and take the
# cores from the kernels and from other processes.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

# Libraries and tables make a million objects that stay: to look through them again and again takes
# a twentieth of a plan.
gc.set_threshold(100_000, 20, 20)

from sourloam.cli.app import main  # noqa: E402 - loading makes those objects

__all__ = ["main"]
