"""What comes in: JSON read strictly, with one line for what is wrong."""

from __future__ import annotations

from typing import Any, TypeVar

import pydantic_core
from django.core.exceptions import RequestDataTooBig
from django.http import HttpRequest, UnreadablePostError
from django.http.request import RawPostDataException
from pydantic import BaseModel, ConfigDict, ValidationError

from sourloam.api.trouble import Trouble

_M = TypeVar("_M", bound="Taken")
_NUL = b"\\u0000"  # no store keeps it


class Taken(BaseModel):
    """Base of what is sent: no unknown key, no number made of a word."""

    model_config = ConfigDict(
        frozen=True,
        extra="forbid",
        strict=True,
        allow_inf_nan=False,
        use_attribute_docstrings=True,
    )


def json_of(request: HttpRequest) -> Any:
    """The decoded body; Trouble where it is none."""
    media = request.content_type or ""
    if media != "application/json":
        line = f"Content-Type: found {media[:40]!r}; send application/json"
        raise Trouble(415, line, "media")
    raw = _bytes(request)
    if _NUL in raw:
        raise Trouble(422, "a letter U+0000 stands in a text; leave it out", "body")
    try:
        return pydantic_core.from_json(raw, allow_inf_nan=False)
    except ValueError as error:
        raise Trouble(400, f"not readable as JSON: {error}", "body") from None


def object_of(request: HttpRequest) -> dict[str, Any]:
    """The decoded body, which must be an object."""
    found = json_of(request)
    if not isinstance(found, dict):
        raise Trouble(422, "write one JSON object with its keys", "body")
    return found


def body_of(request: HttpRequest, model: type[_M]) -> _M:
    """The body as one of our models; Trouble with the first field that is wrong."""
    return read(object_of(request), model)


def read(raw: dict[str, Any], model: type[_M]) -> _M:
    """Decoded JSON as one of our models."""
    try:
        return model.model_validate_json(pydantic_core.to_json(raw))
    except ValidationError as error:
        raise of_validation(error) from None


def of_validation(error: ValidationError) -> Trouble:
    """The first thing that is wrong, in one line."""
    first = error.errors(include_url=False, include_context=False)[0]
    field = ".".join(str(step) for step in first["loc"]) or None
    line = f"{field}: {first['msg']}" if field else str(first["msg"])
    return Trouble(422, line.splitlines()[0], "field", field)


def _bytes(request: HttpRequest) -> bytes:
    try:
        return request.body
    except RequestDataTooBig:
        raise Trouble(413, "too much at once; send less", "size") from None
    except (UnreadablePostError, RawPostDataException):
        raise Trouble(400, "the request ended before its body did", "body") from None
