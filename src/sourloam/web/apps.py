"""The app as Django sees it."""

from django.apps import AppConfig


class WebConfig(AppConfig):
    """Pages of Sourloam."""

    name = "sourloam.web"
    label = "web"
    verbose_name = "Sourloam's pages"
