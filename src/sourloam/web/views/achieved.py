"""What a place achieved: page and paper."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.text import slugify
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from sourloam.documents import DocumentError, Printing, achieved_report
from sourloam.documents.typesetting import Paper
from sourloam.web import reading
from sourloam.web.house import House
from sourloam.web.place import achieved as achieved_page
from sourloam.web.place import achieved_form
from sourloam.web.views.asking import in_house, page


@require_GET
@in_house
def achieved(request: HttpRequest, house: House) -> HttpResponse:
    """The page: an answer, or that it is being reckoned."""
    context: dict[str, Any] = {
        "place": house,
        "here": "shelf",
        "form": achieved_form.shown(request.GET),
        "query": request.GET.urlencode(),
    }
    try:
        standing = reading.achieved(house, achieved_form.question(request.GET, house.today))
    except achieved_form.Wrong as wrong:
        return page(request, "achieved", context | {"wrong": str(wrong)}, status=422)
    if standing.answer is not None:
        answer = standing.answer.model_copy(update={"name": house.name})
        context |= achieved_page.page(answer, house.units)
    elif standing.trouble:
        context["trouble"] = achieved_page.trouble(standing.trouble)
    return page(request, "achieved", context | {"waits": standing.waits})


@require_GET
@in_house
def report(request: HttpRequest, house: House) -> HttpResponse:
    """The same on paper; back to the page while there is no answer."""
    try:
        standing = reading.achieved(house, achieved_form.question(request.GET, house.today))
    except achieved_form.Wrong:
        standing = None
    if standing is None or standing.answer is None:
        back = redirect("web:achieved", house.id)
        back["Location"] += f"?{request.GET.urlencode()}"
        return back
    speech = achieved_page.speech(house.units)
    paper: Paper = "letter" if request.GET.get("paper") == "letter" else "a4"
    printing = Printing(speech.language, paper, speech.system, house.today)
    try:
        made = achieved_report(standing.answer.model_copy(update={"name": house.name}), printing)
    except DocumentError as error:
        return HttpResponse(str(error), content_type="text/plain; charset=utf-8", status=422)
    response = HttpResponse(made, content_type="application/pdf")
    name = f"{slugify(house.name) or 'place'}-{slugify(_('achieved'))}-{house.today:%Y-%m-%d}.pdf"
    response["Content-Disposition"] = f'inline; filename="{name}"'
    return response
