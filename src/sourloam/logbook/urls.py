"""Where the server begins to look for a page."""

from django.urls import include, path

urlpatterns = [path("", include("sourloam.web.urls"))]
