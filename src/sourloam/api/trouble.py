"""How the API says no: one problem as RFC 9457 has it."""

from __future__ import annotations

from http import HTTPStatus

from django.http import HttpResponse
from pydantic import BaseModel, ConfigDict, Field

MEDIA = "application/problem+json"


class Problem(BaseModel):
    """Why the answer is no."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    type: str = Field("about:blank", description="always about:blank: `title` is the status")
    title: str = Field(description="the status in words")
    status: int = Field(ge=400, le=599)
    detail: str = Field(description="one line: where, what was found, what would be right")
    reason: str = Field(description="a word for programs, such as scope, role, field, clash")
    field: str | None = Field(None, description="the field that is wrong, where there is one")


class Trouble(Exception):
    """A request that gets no for an answer."""

    def __init__(
        self,
        status: int,
        detail: str,
        reason: str,
        field: str | None = None,
        wait_s: int | None = None,
    ) -> None:
        super().__init__(detail)
        self.problem = Problem(
            title=HTTPStatus(status).phrase,
            status=status,
            detail=detail,
            reason=reason,
            field=field,
        )
        self.wait_s = wait_s


def told(trouble: Trouble) -> HttpResponse:
    """The answer."""
    problem = trouble.problem
    answer = HttpResponse(
        problem.model_dump_json(exclude_none=True), status=problem.status, content_type=MEDIA
    )
    answer["Cache-Control"] = "no-store"
    if problem.status == HTTPStatus.UNAUTHORIZED:
        answer["WWW-Authenticate"] = "Bearer"
    if trouble.wait_s is not None:
        answer["Retry-After"] = str(trouble.wait_s)
    return answer


def missing(
    detail: str = "Nothing stands here, or it is not within this token's reach.",
) -> Trouble:
    """What is not there, or not for this token: the answer does not tell which."""
    return Trouble(404, detail, "address")
