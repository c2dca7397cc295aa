"""What makes the pages installable and useful without signal."""

from __future__ import annotations

import hashlib
from functools import lru_cache
from pathlib import Path

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.template.loader import render_to_string
from django.templatetags.static import static
from django.urls import reverse
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_GET

from sourloam.web.pictures import two_vessels

_STATIC = Path(__file__).parents[1] / "static" / "sourloam"
_MODULES = (
    "ids",
    "queue",
    "sending",
    "writing",
    "waiting",
    "photos",
    "setup",
    "numbers",
    "moments",
    "under-way",
    "anew",
    "saying",
    "focus",
)


@require_GET
@cache_control(max_age=0)
def worker(request: HttpRequest) -> HttpResponse:
    """The service worker, with the list of what it keeps."""
    style = [static(f"sourloam/{name}") for name in ("drawing.css", "place.css", "icon.svg")]
    plain = static("sourloam/sourloam.js")
    context = {
        "version": _version(),
        "offline": reverse("web:offline"),
        "parts": [*style, plain, *(_beside(plain, name) for name in _MODULES)],
    }
    return render(request, "sourloam/worker.js", context, content_type="text/javascript")


def _beside(first: str, name: str) -> str:
    """Modules are imported by their plain names from the folder of the first."""
    return f"{first.rsplit('/', 1)[0]}/{name}.js"


@lru_cache(maxsize=1)
def _version() -> str:
    """Changes with any part of the shell."""
    digest = hashlib.sha256()
    for path in sorted(_STATIC.iterdir()):
        digest.update(path.read_bytes())
    for path in sorted((_STATIC.parents[1] / "templates").rglob("*")):
        if path.is_file():
            digest.update(path.read_bytes())
    return digest.hexdigest()[:12]


@require_GET
def offline(request: HttpRequest) -> HttpResponse:
    """Shown where a page was never kept; names nobody, so that it may be kept by anybody."""
    return HttpResponse(render_to_string("sourloam/offline.html", {"picture": two_vessels()}))


@require_GET
def manifest(request: HttpRequest) -> HttpResponse:
    """What a phone needs to put the pages on its home screen."""
    drawn = {"src": static("sourloam/icon.svg"), "sizes": "any", "type": "image/svg+xml"}
    sizes = [
        {"src": static(f"sourloam/icon-{n}.png"), "sizes": f"{n}x{n}", "type": "image/png"}
        for n in (192, 512)
    ]
    return JsonResponse(
        {
            "name": "Sourloam",
            "short_name": "Sourloam",
            "start_url": reverse("web:today"),
            "scope": "/",
            "display": "standalone",
            "background_color": "#e7eae1",
            "theme_color": "#b98a55",
            "icons": [drawn, *sizes],
        },
        content_type="application/manifest+json",
    )
