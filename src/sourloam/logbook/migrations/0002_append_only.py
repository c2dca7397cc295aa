"""The database itself refuses to change or delete an entry."""

from typing import Any

from django.db import migrations

_LINE = "entries are never changed or deleted; write one that supersedes it"
_ACTS = ("UPDATE", "DELETE")
_SQLITE = [
    f"""CREATE TRIGGER entry_no_{act.lower()} BEFORE {act} ON logbook_entry
    BEGIN SELECT RAISE(ABORT, '{_LINE}'); END"""
    for act in _ACTS
]
_POSTGRES = [
    f"""CREATE FUNCTION entry_refuse() RETURNS trigger AS $$
    BEGIN RAISE EXCEPTION '{_LINE}'; END $$ LANGUAGE plpgsql""",
    """CREATE TRIGGER entry_no_change BEFORE UPDATE OR DELETE ON logbook_entry
    FOR EACH ROW EXECUTE FUNCTION entry_refuse()""",
]
_BACK = {
    "sqlite": [f"DROP TRIGGER entry_no_{act.lower()}" for act in _ACTS],
    "postgresql": [
        "DROP TRIGGER entry_no_change ON logbook_entry",
        "DROP FUNCTION entry_refuse()",
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
    """Triggers on the table of entries."""

    dependencies = (("logbook", "0001_first"),)
    operations = (migrations.RunPython(_forth, _back),)
