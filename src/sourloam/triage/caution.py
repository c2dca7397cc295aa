"""Where the work can hurt: cautions by what was seen, and where to stop."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from sourloam.evidence import book
from sourloam.ledger.sentences import Sentence
from sourloam.ledger.sentences import gettext_noop as _
from sourloam.triage.diagnosis import Verdict
from sourloam.triage.remedy import with_numbers

_FOUL = frozenset({"rotten_smell", "rancid_smell", "ammonia_smell", "foul_liquid"})
_MOULDY = frozenset({"green_mould", "pink_mould", "mould_throughout", "musty_smell"})
_ANIMAL = frozenset({"much_animal", "animal_buried"})
_WET = frozenset({"foul_liquid", "much_liquid", "leak", "liquid_stands", "tap_stuck"})
_BURIED_BAD = frozenset({"soil_smells", "batch_was_bad"})


@dataclass(frozen=True)
class Caution:
    """A caution; ``stop`` means: do this before anything else, and not what it forbids."""

    id: str
    text: Sentence
    stop: bool = False


def _saw(*sets: frozenset[str]) -> Callable[[Verdict], bool]:
    return lambda verdict: all(signs & set(verdict.seen) for signs in sets)


def has_animal_food(verdict: Verdict) -> bool:
    """Meat, fish or the like is in it, as told, as the log knows, or as the cause."""
    share = verdict.context.animal_share
    limit = book()["triage.context.animal.limit"].value
    return (
        bool(_ANIMAL & set(verdict.seen))
        or verdict.cause in ("animal_food", "animals_drawn")
        or (share is not None and share > limit)
    )


def is_rotten(verdict: Verdict) -> bool:
    """It smells of rot."""
    return bool(_FOUL & set(verdict.seen))


def _rotten_animal(verdict: Verdict) -> bool:
    return verdict.stage == "vessel" and has_animal_food(verdict) and is_rotten(verdict)


def _mould_everywhere(verdict: Verdict) -> bool:
    return {"green_mould", "mould_throughout"} <= set(verdict.seen)


_CAUTIONS: tuple[tuple[str, str, bool, Callable[[Verdict], bool]], ...] = (
    (
        "gas",
        _(
            "Stop: gas presses on the lid. Carry it outdoors, turn your face away, loosen the lid "
            "slowly, a little at a time. Where many vessels stand, air the room first."
        ),
        True,
        _saw(frozenset({"lid_bulges"})),
    ),
    (
        "rotten_meat",
        _(
            "Stop: rotten meat or fish is no case for a second try. Keep it closed, wear gloves, "
            "and let nobody with weak defences, no pregnant woman and no child near it."
        ),
        True,
        _rotten_animal,
    ),
    (
        "mould_everywhere",
        _(
            "Stop: mould through and through is no case for a second try. Do not stir it; its "
            "spores harm lungs. Close it and carry it outdoors."
        ),
        True,
        _mould_everywhere,
    ),
    (
        "cleaner",
        _(
            "Stop: never bring bleach or other cleaner together with the acid ferment or liquid: "
            "poisonous gas forms. Air the room, keep it closed, ask your waste office."
        ),
        True,
        _saw(frozenset({"cleaner_went_in"})),
    ),
    (
        "spores",
        _(
            "Mould spores: look outdoors, with gloves and a tight mask. People with asthma or weak "
            "defences leave it to others. Keep dogs and cats away: mouldy food can poison them."
        ),
        False,
        _saw(_MOULDY),
    ),
    (
        "foul",
        _(
            "Treat what smells bad as raw waste: gloves, cover cuts, wash your hands, never taste, "
            "never feed it to animals or people. A batch that did not sour can hold dangerous "
            "germs and poisons that you cannot smell."
        ),
        False,
        lambda verdict: is_rotten(verdict),
    ),
    (
        "liquid",
        _(
            "The liquid is acid: keep it off eyes, skin and stone floors; rinse eyes for "
            "%(eyes_minutes)d minutes and see a doctor. Keep it out of streams, ditches and storm "
            "drains, and never mix it with bleach."
        ),
        False,
        _saw(_WET),
    ),
    (
        "animal",
        _(
            "Meat, fish and kitchen leftovers are ruled by law in many places, above all in "
            "schools, cafés and shared gardens: ask your local authority before you bury them."
        ),
        False,
        has_animal_food,
    ),
    (
        "rats",
        _(
            "Where rats or mice come: touch nothing with bare hands, close every opening wider "
            "than a pencil, and ask your local authority."
        ),
        False,
        lambda verdict: "animals_dig" in verdict.seen or verdict.cause == "animals_drawn",
    ),
    (
        "raw",
        _(
            "Grow nothing there that is eaten raw, and let no liquid touch leaves you eat, until "
            "the soil smells of earth and your local waiting times are over."
        ),
        False,
        lambda verdict: is_rotten(verdict) or bool(_BURIED_BAD & set(verdict.seen)),
    ),
)
_ALWAYS = _("Gloves on, wash your hands afterwards, never taste. A sour smell is no proof that "
            "germs are gone.")  # fmt: skip


def cautions_for(verdict: Verdict) -> tuple[Caution, ...]:
    """What to mind with these signs, the ones that say stop first."""
    found = [
        Caution(name, with_numbers(text), stop)
        for name, text, stop, applies in _CAUTIONS
        if applies(verdict)
    ]
    return (*found, Caution("hands", with_numbers(_ALWAYS)))


def forbids_second_try(verdict: Verdict) -> bool:
    """Whether the contents are to be let go rather than tried again."""
    return _rotten_animal(verdict) or _mould_everywhere(verdict)
