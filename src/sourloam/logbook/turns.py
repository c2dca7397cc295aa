"""Writers that wait for one another: whoever's turn it is writes for all that wait.

SQLite takes one writer at a time and lets the others sleep and try again, in no order. Threads of
one server queue here instead. What waited together goes into one transaction, so that one flush of
the disk stands for all of it; each is answered only after that.
"""

from __future__ import annotations

import threading
from collections import deque
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from django.db import connection, transaction

from sourloam.logbook import unwritten

one_at_a_time = threading.Lock()
_MOST = 16  # written in one go: nobody waits for more
_Asked = TypeVar("_Asked")
_Answer = TypeVar("_Answer")


@dataclass
class _Turn(Generic[_Asked, _Answer]):
    """One that waits, until it has an answer or an error."""

    asked: _Asked
    answer: _Answer | None = None
    error: Exception | None = None

    @property
    def done(self) -> bool:
        return self.answer is not None or self.error is not None


class Turns(Generic[_Asked, _Answer]):
    """``write`` writes what was asked, inside a transaction, and gives an answer for each."""

    def __init__(self, write: Callable[[Sequence[_Asked]], Sequence[_Answer]]) -> None:
        self._write = write
        self._waiting: deque[_Turn[_Asked, _Answer]] = deque()

    def take(self, asked: _Asked) -> _Answer:
        """The answer, once what was asked is on the disk; else what writing it raised."""
        turn: _Turn[_Asked, _Answer] = _Turn(asked)
        if connection.in_atomic_block:  # it is this thread's turn already: others wait for it
            self._together([turn])
        else:
            self._waiting.append(turn)
            with one_at_a_time:
                while not turn.done:
                    many = min(len(self._waiting), _MOST)
                    self._serve([self._waiting.popleft() for _ in range(many)])
        if turn.answer is None:
            raise turn.error or RuntimeError("not written")
        return turn.answer

    def _serve(self, turns: Sequence[_Turn[_Asked, _Answer]]) -> None:
        try:
            self._together(turns)
        finally:  # whatever happens, nobody waits for ever
            for turn in turns:
                if not turn.done:
                    turn.error = RuntimeError("not written")

    def _together(self, turns: Sequence[_Turn[_Asked, _Answer]]) -> None:
        """All or none; where one of several is at fault, each by itself."""
        try:
            with transaction.atomic():
                answers = self._write([turn.asked for turn in turns])
        except Exception as error:
            if len(turns) > 1 and not unwritten.of_store(error):
                for turn in turns:
                    self._together([turn])
                return
            for turn in turns:
                turn.error = error
            return
        for turn, answer in zip(turns, answers, strict=True):
            turn.answer = answer
