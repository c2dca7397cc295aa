"""Where the server begins to look for a page."""

from django.urls import include, path

from sourloam.logbook.middleware import PROGRAMS

urlpatterns = [
    path(PROGRAMS.lstrip("/"), include("sourloam.api.urls")),
    path("", include("sourloam.web.urls")),
]

handler400 = "sourloam.web.views.faults.wrong_request"
handler403 = "sourloam.web.views.faults.forbidden"
handler404 = "sourloam.web.views.faults.not_found"
handler500 = "sourloam.web.views.faults.broken"
