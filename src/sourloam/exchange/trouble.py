"""What is wrong with a file: where, what was found, what would be right; pages translate it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from sourloam.ledger import EntryError
from sourloam.ledger.sentences import Sentence, Value
from sourloam.ledger.sentences import gettext_noop as _
from sourloam.site.wording import one_line

_MOST_TOLD = 20
_LONGEST = 400
Where = tuple[Sentence, ...]


@dataclass(frozen=True)
class Trouble:
    """One thing that is wrong. ``where``: a file, its line, a field, from the outside in;
    ``entry``: the same as the ledger says it, where it is an entry that can't be."""

    said: Sentence
    where: Where = ()
    entry: EntryError | None = None

    @property
    def english(self) -> str:
        """One line in English."""
        return one_line(": ".join(part.english for part in (*self.where, self.said)), _LONGEST)


class ExchangeError(ValueError):
    """What came is not what it should be; ``troubles`` say one thing each, ``lines`` in English.

    As text it is one line, the first with the number of the others. A trouble given as a text was
    told in the reader's words already.
    """

    def __init__(self, troubles: Iterable[Trouble | str]) -> None:
        every = [Trouble(plain(one)) if isinstance(one, str) else one for one in troubles]
        self.troubles = tuple(every[:_MOST_TOLD])
        self.lines = tuple(one.english for one in self.troubles)
        self.number = len(every)
        more = f" (and {self.number - 1} more)" if self.number > 1 else ""
        super().__init__(f"{self.lines[0]}{more}")


def refuse(msgid: str, *where: Sentence, **data: Value) -> ExchangeError:
    """The trouble told by one sentence."""
    return ExchangeError([Trouble(Sentence.of(msgid, **data), where)])


def plain(text: str) -> Sentence:
    """A name or a text that is the same in every language."""
    return Sentence.of("%(text)s", text=text)


def at_line(number: int) -> Sentence:
    """A line of a file."""
    return Sentence.of(_("line %(n)d"), n=number)


def at_entry(number: int) -> Sentence:
    """An entry of a list."""
    return Sentence.of(_("entry %(n)d"), n=number)
