"""The database itself refuses to change or delete a line of a programme's own log."""

from typing import Any

from django.db import migrations

_LINE = "entries are never changed or deleted; write one that supersedes it"
_ACTS = ("UPDATE", "DELETE")
_SQLITE = [
    f"""CREATE TRIGGER programme_entry_no_{act.lower()} BEFORE {act} ON logbook_programmeentry
    BEGIN SELECT RAISE(ABORT, '{_LINE}'); END"""
    for act in _ACTS
]
_POSTGRES = [
    f"""CREATE FUNCTION programme_entry_refuse() RETURNS trigger AS $$
    BEGIN RAISE EXCEPTION '{_LINE}'; END $$ LANGUAGE plpgsql""",
    """CREATE TRIGGER programme_entry_no_change BEFORE UPDATE OR DELETE ON logbook_programmeentry
    FOR EACH ROW EXECUTE FUNCTION programme_entry_refuse()""",
]
_BACK = {
    "sqlite": [f"DROP TRIGGER programme_entry_no_{act.lower()}" for act in _ACTS],
    "postgresql": [
        "DROP TRIGGER programme_entry_no_change ON logbook_programmeentry",
        "DROP FUNCTION programme_entry_refuse()",
    ],
}
_FORTH = {"sqlite": _SQLITE, "postgresql": _POSTGRES}


def _forth(apps: Any, editor: Any) -> None:
    for statement in _FORTH[editor.connection.vendor]:
        editor.execute(statement)


def _back(apps: Any, editor: Any) -> None:
    for statement in _BACK[editor.connection.vendor]:
        editor.execute(statement)


class Migration(migrations.Migration):
    """Triggers on the table of programmes' entries."""

    dependencies = (("logbook", "0006_programme"),)
    operations = (migrations.RunPython(_forth, _back),)
