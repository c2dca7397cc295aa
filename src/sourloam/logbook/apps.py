"""The app as Django sees it."""

from django.apps import AppConfig
from django.db.backends.signals import connection_created


class LogbookConfig(AppConfig):
    """The store of Sourloam."""

    name = "sourloam.logbook"
    label = "logbook"
    verbose_name = "Sourloam's logbook"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        """Every connection is checked for what the store promises."""
        from sourloam.logbook import signing_in
        from sourloam.logbook.databases import check_connection

        connection_created.connect(check_connection, dispatch_uid="sourloam-promises")
        signing_in.connect()
