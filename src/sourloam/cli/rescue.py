"""``sourloam rescue``: from what one sees and smells to a cause and a remedy."""

from __future__ import annotations

import json as json_text
import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from sourloam.cli.asking import Json, System
from sourloam.cli.trouble import Refusal

if TYPE_CHECKING:
    from sourloam.triage import Answer, Context

Setting = Literal["trained", "new", "programme"]
_Signs = Annotated[str, typer.Option(metavar="A,B", help="Signs that are there; no questions.")]
_Absent = Annotated[str, typer.Option(metavar="C,D", help="Signs looked for and not there.")]


def rescue(
    signs: _Signs = "",
    absent: _Absent = "",
    ground: Annotated[
        bool, typer.Option("--ground", help="Ask about a burial, a bed or plants, not a vessel.")
    ] = False,
    setting: Annotated[
        Setting, typer.Option(help="People with practice, new to it, or a school, café or hub.")
    ] = "new",
    room_c: Annotated[
        float | None, typer.Option(help="Warmth around the vessel, °C, if you know it.")
    ] = None,
    units: Annotated[System, typer.Option(help="Units to print in.")] = "metric",
    list_signs: Annotated[
        bool, typer.Option("--list", help="List every sign with its id, and stop.")
    ] = False,
    json: Json = False,
) -> None:
    """Find out what is wrong with a vessel or a bed.

    It says what to do as well. Without --signs it asks a few questions, the most telling first;
    Enter skips one, q ends them. It says "not sure" rather than guess. With --signs it answers at
    once.
    """
    from sourloam.triage import Context, SignError

    stage: Literal["vessel", "ground"] = "ground" if ground else "vessel"
    if list_signs:
        _list(stage)
        return
    context = Context(setting=setting, room_c=room_c)
    try:
        if signs or absent:
            answer = _at_once(_split(signs), _split(absent), context, stage)
        else:
            answer = _by_talk(stage, context, units, quiet=json)
    except SignError as error:
        raise Refusal(f"{error}; sourloam rescue --list shows them") from None
    _print(answer, units, json)


def _list(stage: str) -> None:
    from rich.console import Console

    from sourloam.cli.rescue_text import signs_text

    Console().print(signs_text(stage))


def _at_once(
    signs: Sequence[str],
    absent: Sequence[str],
    context: Context,
    stage: Literal["vessel", "ground"],
) -> Answer:
    from sourloam.triage import answer_to, diagnose, judged
    from sourloam.triage.signs import stage_of

    named = stage_of({*signs, *absent}, stage)
    return answer_to(diagnose(signs, absent, context, judged(named)))


def _by_talk(
    stage: Literal["vessel", "ground"], context: Context, system: System, quiet: bool
) -> Answer:
    from sourloam.cli.rescue_talk import Talk

    said = sys.stderr if quiet else sys.stdout
    return Talk(stage, context, sys.stdin, said, system).held()


def _print(answer: Answer, system: System, json: bool) -> None:
    if json:
        typer.echo(json_text.dumps(answer.as_json(), indent=2, ensure_ascii=False))
        return
    from rich.console import Console

    from sourloam.cli.rescue_text import rescue_text

    Console().print(rescue_text(answer, system))
    if answer.question is not None:
        typer.echo(f"\nTo know more: {answer.question.text} ({', '.join(answer.question.options)})")


def _split(text: str) -> list[str]:
    return [part.strip() for part in text.replace(" ", ",").split(",") if part.strip()]
