"""What a place achieved, in the reader's language and units: one account for page and paper."""

from __future__ import annotations

from collections.abc import Iterator

from sourloam.documents import achieved_tables as tables
from sourloam.documents import achieved_words as words
from sourloam.documents.achieved_contract import Account, Footnote, Moved, Row, Verdict
from sourloam.documents.achieved_saved import saved_said, ways_drawn
from sourloam.documents.achieved_teller import Teller, plain_number
from sourloam.documents.speech import Speech
from sourloam.drawing.moving import Mover, MoversPicture
from sourloam.impact import contract
from sourloam.impact.contract import Impact
from sourloam.impact.from_site import FORESEEN
from sourloam.numerics.range import Range
from sourloam.report.impact_units import in_units
from sourloam.units import show

_MOST_MOVERS = 5
_AMOUNT = (
    *(f"ledger.amount.{way}" for way in ("scale", "count", "volume")),
    *(f"forecast.amount.{way}" for way in ("weighed", "counted", "by_eye")),
)


def account(answer: Impact, speech: Speech) -> Account:
    """The whole answer as sentences, figures, rows and pictures."""
    teller = Teller(answer, speech)
    foreseen = any(said.text in FORESEEN.values() for said in answer.kept.measured)
    return Account(
        place=answer.name,
        period=speech.days(answer.start, answer.end),
        foreseen=foreseen,
        kept=teller.middle(answer.kept.scraps),
        kept_range=teller.ends(answer.kept.scraps),
        kept_notes=() if foreseen else teller.notes(_AMOUNT),
        measured=tuple(teller.told(said) for said in answer.kept.measured),
        saved=tuple(saved_said(teller, answer.comparisons, answer.provenance.years)),
        facts=tuple(_facts(teller)),
        ways=ways_drawn(teller, answer.routes, answer.comparisons, answer.provenance.years),
        ways_notes=teller.notes(k for r in answer.routes for p in r.parts for k in p.sources),
        weights=_weights(teller),
        compared=tables.compared(teller),
        moved=tuple(_moved(teller)),
        garden=tables.garden(teller),
        carbon=tables.soil_carbon(teller),
        parts=tuple(tables.parts(teller, route) for route in answer.routes),
        ends=tables.ends(teller),
        years=tables.years(teller),
        handling=tables.handling(teller),
        money=tables.money(teller),
        claims=tuple(_claim(teller, claim) for claim in answer.claims),
        cautions=tuple(speech.known(text) for text in answer.cautions),
        method=tuple(_method(teller)),
        sources=tuple(_footnote(teller, source) for source in answer.sources),
    )


def _facts(t: Teller) -> Iterator[Row]:
    kept = t.answer.kept
    yield Row(t.say("Scraps kept from the bin"), (t.three(kept.scraps),))
    by_log = kept.binned.low == kept.binned.high
    yield Row(
        t.say("of these to the bin after all"),
        (_plain_sum(t, kept.binned),),
        () if by_log else t.notes(["impact.vessel.binned"]),
    )
    yield Row(t.say("Carbon in them"), (t.three(kept.carbon),), t.notes(tables.HOLDS[:1]))
    yield Row(t.say("Nitrogen in them"), (t.three(kept.nitrogen),), t.notes(tables.HOLDS[1:]))
    yield Row(t.say("Inoculated bran used"), (_plain_sum(t, kept.bran),))
    yield Row(t.say("Ferment made, by the vessel model"), (t.three(kept.ferment),))
    yield Row(t.say("Liquid drained, by the vessel model"), (t.three(kept.liquid),))
    if kept.drained_l is not None:
        logged = t.local(show(kept.drained_l / 1000, "volume", t.speech.system))
        yield Row(t.say("Liquid drained, as the log has it"), (logged,))


def _plain_sum(t: Teller, value: Range) -> str:
    """A figure; where nothing of it is uncertain, that it stands in the log."""
    logged = t.say("as logged") if value.low == value.high else ""
    return f"{t.three(value)} {logged}".strip()


def _plain(t: Teller, value: float | None, unit: str) -> float:
    return in_units(value or 0.0, unit, t.speech.system)


def _weights(t: Teller) -> str:
    made = t.answer.provenance
    base = f"impact.weight.{made.report}.y{made.years}"
    first, second = (t.notes([f"{base}.{gas}"]) for gas in ("ch4", "n2o"))
    return t.say(
        "Over {years} years a kg of methane counts as {methane} kg of carbon dioxide [{first}], a "
        "kg of nitrous oxide as {nitrous} [{second}] ({report}).",
        years=made.years,
        methane=t.local(f"{made.methane_weight:g}"),
        nitrous=t.local(f"{made.nitrous_weight:g}"),
        first=first[0],
        second=second[0],
        report=made.report.upper(),
    )


def _moved(t: Teller) -> Iterator[Moved]:
    by_way = dict(zip((c.id for c in t.answer.comparisons), t.answer.tornadoes, strict=True))
    for id_ in ("landfill", "heap"):
        tornado = by_way[id_]
        if tornado.drivers:
            yield _movers(t, t.way(id_), tornado)


def _movers(t: Teller, way: str, tornado: contract.Tornado) -> Moved:
    unit, drivers = tornado.unit, tornado.drivers[:_MOST_MOVERS]
    title = t.say("What moves the saving against the {way}", way=way)
    movers = tuple(
        Mover(
            t.row_name(d.id, d.name),
            _plain(t, d.at_low, unit),
            _plain(t, d.at_high, unit),
            t.number(d.at_low, unit),
            t.number(d.at_high, unit),
        )
        for d in drivers
    )
    picture = MoversPicture(
        movers,
        _plain(t, tornado.middle, unit),
        t.say("the middle: {figure}", figure=t.figure(tornado.middle, unit)),
        title,
        "; ".join(f"{m.name}: {m.low_words}, {m.high_words}" for m in movers),
    )
    return Moved(title, picture, t.notes(d.id for d in drivers))


def _claim(t: Teller, claim: contract.Claim) -> Verdict:
    known = claim.figure_words
    if t.speech.system == "us":
        known = words.SHORT_TON.get(known, known)
    figure = t.speech.known(known)
    if claim.figure is not None:
        figure = f"{t.three(claim.figure)}: {figure}"
    if claim.chance is not None:
        figure += "; " + t.say("true in {chance} possible worlds", chance=t.chance(claim.chance))
    return Verdict(
        claim.id,
        t.speech.known(claim.statement),
        claim.verdict,
        t.speech.known(claim.verdict),
        figure,
        t.told(claim.reason),
        t.notes(claim.sources),
    )


def _method(t: Teller) -> Iterator[str]:
    made = t.answer.provenance
    yield t.say(
        "{members} possible worlds, each with its own draw of everything that is uncertain (seed "
        "{seed}, Sourloam {version}). A range holds eight of ten of them; a chance is the share "
        "of them; where all or none agree, it is what so many can vouch for, 95 % sure.",
        members=made.members,
        seed=made.seed,
        version=made.version,
    )
    yield from (t.speech.known(note) for note in made.notes)
    yield t.say(
        "To hold ours against: a national list has {landfill} for a tonne in a landfill, {compost} "
        "composted, {burn} burnt.",
        **{
            name: _listed(t, f"impact_claims.hub_{name}")
            for name in ("landfill", "compost", "burn")
        },
    )


def _listed(t: Teller, key: str) -> str:
    """A figure of the national list with its footnote."""
    value = next(s.value for s in t.answer.sources if s.id == key)
    return f"{t.figure(1000 * value, 'kg CO2e/t')} {list(t.notes([key]))}"


def _footnote(t: Teller, source: contract.Source) -> Footnote:
    spanish = words.spanish_sources() if t.speech.language == "es" else {}
    said = spanish.get(source.id, {}).get("said", source.note)
    unit = "" if source.unit == "1" else f" {t.speech.known(source.unit)}"
    value = t.local(plain_number(source.value))
    if source.low != source.high:
        low, high = (t.local(plain_number(x)) for x in (source.low, source.high))
        value += f" ({t.say('{low} to {high}', low=low, high=high)})"
    return Footnote(
        source.number,
        source.id,
        t.row_name(source.id, source.name),
        value + unit,
        t.speech.known(source.standing),
        said,
        source.citation,
    )
