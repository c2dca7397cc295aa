"""How an operation is declared: its place in the API, what it takes, what it answers."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import wraps
from typing import Any, TypeVar, cast

from django.http import HttpRequest, HttpResponse
from ninja import Router
from pydantic import BaseModel

from sourloam.api.trouble import Trouble

JSON, PDF, JPEG, ZIP = "application/json", "application/pdf", "image/jpeg", "application/zip"
CALENDAR = "text/calendar"
Shape = type[BaseModel] | str  # a model, or the media type of a file
View = TypeVar("View", bound=Callable[..., HttpResponse])


@dataclass(frozen=True)
class Form:
    """A multipart form with one file and texts beside it."""

    texts: Mapping[str, str] = field(default_factory=dict)


Body = type[BaseModel] | str | Form | None


@dataclass(frozen=True)
class Declared:
    """What the document says of an operation beyond its parameters."""

    answers: Mapping[int, Shape]
    takes: Body  # a model, a schema's name, or a form
    scope: str  # the least that a token must have


DECLARED: dict[str, Declared] = {}


def operation(
    router: Router,
    how: str,
    answers: Shape | Mapping[int, Shape],
    takes: Body = None,
    scope: str = "read",
) -> Callable[[View], View]:
    """Declare a view; ``how`` is such as ``GET /places/{place}``, its name is the operation's id.

    The first line of its docstring is the summary.
    """
    method, _space, path = how.partition(" ")

    def declare(view: View) -> View:
        name = view.__name__
        assert name not in DECLARED, name
        each = answers if isinstance(answers, Mapping) else {200: answers}
        DECLARED[name] = Declared(each, takes, scope)
        summary, _blank, more = (view.__doc__ or "").partition("\n")
        router.api_operation(
            [method],
            path,
            operation_id=name,
            summary=summary.strip().rstrip("."),
            description=" ".join(more.split()) or None,
        )(view)
        return view

    return declare


def only_known_questions(view: View) -> View:
    """A word after ``?`` that the operation does not know is told, not passed over: a slip in
    ``vessel`` would else bring the entries of all."""
    models = view._ninja_operation.models  # type: ignore[attr-defined]
    of_query = (one for one in models if one.__ninja_param_source__ == "query")
    known = {name for one in of_query for name in one.__ninja_flatten_map__}

    @wraps(view)
    def asked(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        for name in request.GET:
            if name not in known:
                line = f"{name[:40]!r}: not asked here; known: {', '.join(sorted(known)) or 'none'}"
                raise Trouble(422, line, "unknown", name[:40])
        return view(request, *args, **kwargs)

    return cast(View, asked)


def said(model: BaseModel, status: int = 200) -> HttpResponse:
    """An answer in JSON."""
    return HttpResponse(model.model_dump_json(), status=status, content_type=JSON)


def file(content: bytes, media: str, name: str) -> HttpResponse:
    """An answer that is a file."""
    answer = HttpResponse(content, content_type=media)
    answer["Content-Disposition"] = f'attachment; filename="{name}"'
    return answer
