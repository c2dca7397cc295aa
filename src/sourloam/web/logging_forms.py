"""The forms of a vessel's and a bed's page: few fields, thumb-sized, filled from last time."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from django.utils.translation import gettext as _

from sourloam import scraps
from sourloam.evidence import book
from sourloam.ledger import bodies as b
from sourloam.ledger.state import BedState, PlaceState, Record, VesselState
from sourloam.units import factor
from sourloam.web import wording as w
from sourloam.web.fields import Choices, Field, LogForm, UnitsOfForms, choices, trimmed

_FIRST = {
    "empty": "fed",
    "dirty": "washed",
    "filling": "fed",
    "resting": "drained",
    "ready": "buried",
    "held": "buried",
    "failed": "emptied",
}
_OTHERS = {
    "empty": ("looked", "moved", "noted", "vessel_retired"),
    "dirty": ("fed", "looked", "moved", "noted", "vessel_retired"),
    "filling": (
        *("drained", "ph_read", "looked", "photographed", "fill_marked", "set_aside", "opened"),
        *("weighed", "warmth_read", "moved", "judged", "emptied", "noted"),
    ),
    "resting": (
        *("ph_read", "looked", "photographed", "opened", "moved", "judged", "buried", "emptied"),
        *("fed", "warmth_read", "weighed", "noted"),
    ),
}
_AFTER = ("emptied", "ph_read", "looked", "photographed", "drained", "judged", "moved", "noted")


def units_of(system: str) -> UnitsOfForms:
    """Factors and words for a reader's system of units."""
    if system == "us":
        return UnitsOfForms(
            "us",
            {
                "mass": factor("lb", "mass"),
                "volume": factor("us gal", "volume") * 1000,
                "bran": factor("oz", "mass") * 1000,
                "liquid": factor("us fl oz", "volume") * 1e6,
                "length": factor("in", "length"),
                "bed": factor("ft", "length"),
            },
            {
                "mass": _("pounds"),
                "volume": _("US gallons"),
                "bran": _("ounces"),
                "liquid": _("fluid ounces"),
                "length": _("inches"),
                "bed": _("feet"),
                "temperature": "°F",
            },
        )
    return UnitsOfForms(
        "metric",
        {"mass": 1, "volume": 1, "bran": 1, "liquid": 1, "length": 0.01, "bed": 1},
        {
            "mass": _("kilograms"),
            "volume": _("litres"),
            "bran": _("grams"),
            "liquid": _("millilitres"),
            "length": _("centimetres"),
            "bed": _("metres"),
            "temperature": "°C",
        },
    )


class VesselForms:
    """All forms of one vessel, in the order in which they are most likely wanted."""

    def __init__(
        self,
        vessel: VesselState,
        place: PlaceState,
        last: Record[b.Fed] | None,
        units: UnitsOfForms,
        beds: Choices,
        signs: Choices,
    ) -> None:
        self.vessel, self.place, self.last = vessel, place, last
        self.units, self.beds, self.signs = units, beds, signs

    def for_stage(self, stage: str, allowed: Iterable[str]) -> list[LogForm]:
        """Forms for a vessel of this stage of the kinds that the reader may write."""
        first = _FIRST.get(stage, "fed")
        kinds = (first, *(k for k in _OTHERS.get(stage, _AFTER) if k != first))
        may = set(allowed)
        usable = [k for k in kinds if k in may and (k != "buried" or self.beds)]
        return [self._form(kind, kind == first) for kind in usable]

    def _form(self, kind: str, first: bool) -> LogForm:
        maker = getattr(self, f"_{kind}", tuple)
        hidden = (("vessel", self.vessel.id),)
        return LogForm(
            kind, w.word(w.VERBS, kind), _("Write it down"), tuple(maker()), hidden, first
        )

    def _id(self, name: str) -> str:
        return f"f-{name}"

    def _fed(self) -> list[Field]:
        ways = self._ways()
        way, many = self._usual_amount(ways)
        return [
            Field("pills", "amount-way", _("Measured in"), choices=ways, value=way, required=True),
            Field(
                "stepper",
                "amount-n",
                _("How much"),
                id="f-amount",
                value=many,
                min="0.05",
                max="500",
                step="0.5",
                required=True,
            ),
            Field(
                "pills",
                "kinds",
                _("Kind of scraps"),
                choices=choices(w.MIXES, scraps.PRESETS),
                value=self._usual_mix(),
            ),
            Field(
                "stepper",
                self.units.name("bran_g", "bran"),
                _("Bran, %(unit)s") % {"unit": self.units.words["bran"]},
                id="f-bran",
                value=self._usual_bran(),
                max="20000",
                step="5" if self.units.system == "metric" else "0.25",
            ),
            self._temperature(),
            Field("note", "note", _("Anything else"), id="f-fed-note"),
        ]

    def _ways(self) -> Choices:
        measures = [(f"measure={r.body.measure}", r.body.name) for r in self.place.stores.measures]
        mass, volume = self.units.factors["mass"], self.units.factors["volume"]
        return [
            *measures,
            (f"mass_kg:n{mass:.9g}", self.units.words["mass"]),
            (f"volume_l:n{volume:.9g}", self.units.words["volume"]),
        ]

    def _usual_amount(self, ways: Choices) -> tuple[str, str]:
        """The way and the number of last time; else one of the first measure."""
        amount = self.last.body.amount if self.last else None
        if amount is None:
            return ways[0][0], "1"
        known = {value for value, _word in ways}
        if amount.measure and f"measure={amount.measure}" in known:
            return f"measure={amount.measure}", trimmed(amount.count or 1)
        if amount.mass_kg is not None:
            return ways[-2][0], self.units.shown(amount.mass_kg, "mass")
        if amount.volume_l is not None:
            return ways[-1][0], self.units.shown(amount.volume_l, "volume")
        return ways[0][0], "1"

    def _usual_mix(self) -> str:
        kinds = self.last.body.kinds if self.last else None
        return kinds if isinstance(kinds, str) else "household"

    def _usual_bran(self) -> str:
        bran = self.last.body.bran_g if self.last else None
        return "" if bran is None else self.units.shown(bran, "bran")

    def _temperature(self, required: bool = False) -> Field:
        us = self.units.system == "us"
        return Field(
            "number",
            "temperature_c:f" if us else "temperature_c:n1",
            _("Warmth, %(unit)s, if you measured it") % {"unit": self.units.words["temperature"]},
            id="f-warmth" if required else "f-fed-warmth",
            min="-40",
            max="160" if us else "70",
            required=required,
        )

    def _drained(self) -> list[Field]:
        turn = self.vessel.turn
        last = turn.drains[-1].body.volume_ml if turn and turn.drains else None
        us = self.units.system == "us"
        return [
            Field(
                "stepper",
                self.units.name("volume_ml", "liquid"),
                _("How much, %(unit)s") % {"unit": self.units.words["liquid"]},
                id="f-drained",
                value=self.units.shown(last, "liquid") if last else ("10" if us else "200"),
                max="100000",
                step="1" if us else "50",
                required=True,
            ),
            Field("pills", "use", _("Where it went"), choices=choices(w.USES), value="plants"),
        ]

    def _ph_read(self) -> list[Field]:
        turn = self.vessel.turn
        last = trimmed(turn.phs[-1].body.ph) if turn and turn.phs else "4.5"
        return [
            Field(
                "stepper",
                "ph:n1",
                _("pH on the strip"),
                id="f-ph",
                value=last,
                min="2",
                max="10",
                step="0.1",
                required=True,
            ),
            Field(
                "pills", "of", _("What you dipped it in"), choices=choices(w.PH_OF), value="liquid"
            ),
        ]

    def _looked(self) -> list[Field]:
        hint = _("Nothing ticked means: all looked well.")
        return [
            Field(
                "pills",
                "signs:list",
                _("Seen or smelled"),
                choices=self.signs,
                many=True,
                hint=hint,
            ),
            Field("note", "note", _("Anything else"), id="f-looked-note"),
        ]

    def _photographed(self) -> list[Field]:
        hint = _("It is made small on this phone; place and time stay behind.")
        return [
            Field("photo", "file", _("Photo"), id="f-photo", hint=hint),
            Field("note", "note", _("What it shows"), id="f-photo-note"),
        ]

    def _fill_marked(self) -> list[Field]:
        marks = [
            ("0.25", "¼"),
            ("0.5", "½"),
            ("0.75", "¾"),
            ("0.9", _("nearly full")),
            ("1", _("full")),
        ]
        return [Field("pills", "fraction:n1", _("Filled up to"), choices=marks, required=True)]

    def _weighed(self) -> list[Field]:
        unit = {"unit": self.units.words["mass"]}
        return [
            Field(
                "number",
                self.units.name("mass_kg", "mass"),
                _("The scale shows, %(unit)s") % unit,
                id="f-weighed",
                min="0.001",
                max="1100",
                required=True,
            ),
            Field(
                "number",
                self.units.name("empty_kg", "mass"),
                _("The empty vessel weighs, %(unit)s") % unit,
                id="f-tare",
                max="1100",
            ),
        ]

    def _warmth_read(self) -> list[Field]:
        return [self._temperature(required=True)]

    def _opened(self) -> list[Field]:
        return [Field("text", "why", _("Why"), id="f-why")]

    def _moved(self) -> list[Field]:
        where = self.vessel.where or ""
        return [
            Field(
                "text", "where", _("Where it stands now"), id="f-where", value=where, required=True
            )
        ]

    def _judged(self) -> list[Field]:
        return [
            Field(
                "pills", "verdict", _("The ferment is"), choices=choices(w.VERDICTS), required=True
            )
        ]

    def _emptied(self) -> list[Field]:
        return [
            Field("pills", "fate", _("Where it went"), choices=choices(w.FATES), required=True),
            Field(
                "number",
                self.units.name("mass_kg", "mass"),
                _("Weight, %(unit)s, if known") % {"unit": self.units.words["mass"]},
                id="f-emptied",
                max="1100",
            ),
        ]

    def _buried(self) -> list[Field]:
        return buried_fields(self.units, self.beds)

    def _noted(self) -> list[Field]:
        return [Field("note", "note", _("Note"), id="f-note", required=True)]


def buried_fields(units: UnitsOfForms, beds: Choices) -> list[Field]:
    """Where and how deep; the usual trench stands there already."""
    evidence = book()
    usual = {
        "depth_m": (_("Depth of the trench"), evidence["ground.trench.depth"].value),
        "width_m": (_("Width of the trench"), evidence["ground.trench.width"].value),
        "length_m": (_("Length of the trench"), 1.0),
        "cover_m": (_("Soil on top"), evidence["ground.trench.cover"].value),
    }
    unit = units.words["length"]
    many = units.factors["length"]
    measures = [
        Field(
            "stepper",
            units.name(path, "length"),
            f"{said}, {unit}",
            id=f"f-{path}",
            value=trimmed(value / many, 3),
            min="1",
            max="100000",
            step="5" if units.system == "metric" else "2",
            required=True,
        )
        for path, (said, value) in usual.items()
    ]
    where = Field(
        "number",
        units.name("along_m", "bed"),
        _("From the bed's beginning to the trench, %(unit)s") % {"unit": units.words["bed"]},
        id="f-along",
    )
    bed = (
        [Field("select", "bed", _("Bed"), id="f-bed", choices=beds, required=True)] if beds else []
    )
    return [*bed, *measures, where]


def bed_forms(
    bed: BedState, units: UnitsOfForms, crops: Choices, vessels: Choices, allowed: Sequence[str]
) -> list[LogForm]:
    """Forms of one bed."""
    at = bed.id
    crop = Field("select", "crop", _("Crop"), id=f"f-crop-{at}", choices=crops, required=True)
    picked = Field("select", "crop", _("Crop"), id=f"f-pick-{at}", choices=crops, required=True)
    mass = Field(
        "number",
        units.name("mass_kg", "mass"),
        _("Weight, %(unit)s, if known") % {"unit": units.words["mass"]},
        id=f"f-pickmass-{at}",
        max="1100",
    )
    where = Field(
        "number",
        units.name("along_m", "bed"),
        _("From the bed's beginning, %(unit)s") % {"unit": units.words["bed"]},
        id=f"f-row-{at}",
    )
    litres = Field(
        "stepper",
        units.name("litres", "volume"),
        _("Drained liquid, %(unit)s") % {"unit": units.words["volume"]},
        id=f"f-litres-{at}",
        value="0.2",
        min="0.01",
        step="0.1",
        required=True,
    )
    water = Field(
        "stepper",
        "parts_of_water:n1",
        _("Parts of water to one of liquid"),
        id=f"f-water-{at}",
        value="100",
        max="5000",
        step="50",
        required=True,
    )
    vessel = Field(
        "select", "vessel", _("Vessel"), id=f"f-from-{at}", choices=vessels, required=True
    )
    made = {
        "buried": [vessel, *_renamed(buried_fields(units, ()), at)],
        "planted": [crop, where],
        "harvested": [picked, mass],
        "liquid_fed": [litres, water],
        "noted": [Field("note", "note", _("Note"), id=f"f-bednote-{at}", required=True)],
    }
    if not vessels:
        del made["buried"]
    return [
        LogForm(kind, w.word(w.VERBS, kind), _("Write it down"), tuple(found), (("bed", at),))
        for kind, found in made.items()
        if kind in allowed
    ]


def _renamed(found: Sequence[Field], at: str) -> list[Field]:
    from dataclasses import replace

    return [replace(one, id=f"{one.id}-{at}") for one in found]
