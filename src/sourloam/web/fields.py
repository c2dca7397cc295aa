"""What a form that logs an entry is made of."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe

from sourloam.web.wording import Words

Choices = Sequence[tuple[str, str]]


@dataclass(frozen=True)
class Field:
    """One field; ``sort`` is pills, stepper, select, note, photo, range, number or text."""

    sort: str
    name: str
    word: str
    id: str = ""
    value: str = ""
    before: str = ""  # what it was last time: shown in an empty field, never sent
    values: tuple[str, ...] = ()
    hint: str = ""
    choices: Choices = ()
    many: bool = False
    required: bool = False
    min: str = "0"
    max: str = "1000"
    step: str = "1"

    @property
    def options(self) -> SafeString:
        """What a select offers, drawn in one go: there may be hundreds."""
        return options(self.choices, self.value)


@dataclass(frozen=True)
class LogForm:
    """One kind of entry as a form; ``done`` is what its button says, ``beside`` another form that
    may be wanted first; ``drawn`` and ``lead`` show what is to be done before it is written."""

    kind: str
    word: str
    done: str
    fields: tuple[Field, ...] = ()
    hidden: tuple[tuple[str, str], ...] = ()
    first: bool = False
    beside: LogForm | None = None
    drawn: tuple[str, ...] = ()
    lead: str = ""

    @property
    def key(self) -> str:
        """What tells it from other forms of its page."""
        return "-".join((self.kind, *(value for name, value in self.hidden if name == "bed")))


def options(offered: Choices, chosen: str) -> SafeString:
    """The options of a select."""
    drawn = [
        f'<option value="{escape(value)}"{" selected" if value == chosen else ""}>{escape(word)}'
        "</option>"
        for value, word in offered
    ]
    return mark_safe("".join(drawn))


def choices(words: Words, keys: Sequence[str] | None = None) -> Choices:
    """Values with their words."""
    return [(key, str(words[key])) for key in (keys or words)]


def trimmed(value: float, digits: int = 4) -> str:
    """A number as a person would type it."""
    return f"{value:.{digits}g}" if abs(value) < 10**digits else f"{value:.0f}"


@dataclass(frozen=True)
class UnitsOfForms:
    """Factors from the reader's units to SI, with the words beside the fields."""

    system: str
    factors: Mapping[str, float] = field(default_factory=dict)
    words: Mapping[str, str] = field(default_factory=dict)

    def name(self, path: str, what: str) -> str:
        """Field name that carries the factor."""
        return f"{path}:n{self.factors[what]:.9g}"

    def shown(self, si: float, what: str) -> str:
        """An SI value as the form shows it."""
        fine = self.system == "us" and what == "bran"  # kitchen scales tell tenths of an ounce
        return trimmed(si / self.factors[what], 2 if fine else 3)
