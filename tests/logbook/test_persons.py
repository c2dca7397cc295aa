"""What is kept about somebody can be read, and their name can go; what they wrote stays."""

import json

import pytest
from django.contrib.auth.models import User
from django.db import DatabaseError, connection, transaction
from django.test import Client
from logbook_cast import fed, raw

from sourloam.logbook import chain, models, standing
from sourloam.logbook.calendar_addresses import make
from sourloam.logbook.people import invite
from sourloam.logbook.recording import record_entry
from sourloam.safekeeping import persons
from sourloam.safekeeping.trouble import BackupError


@pytest.fixture
def written(cast):
    """The keeper and the coordinator wrote by turns; the keeper has all that a person can have."""
    for number in range(6):
        by = (cast.coordinator, cast.keeper)[number % 2]
        assert record_entry(by, fed(cast.home.pk, mass_kg=1.0 + number)).stored
    note = raw(cast.home.pk, "noted", {"note": "keeper was here"})
    assert record_entry(cast.coordinator, note).stored
    models.Preference.objects.create(person=cast.keeper, units="us")
    invite(cast.keeper, cast.home.pk, "reader")
    make(cast.keeper, cast.home.pk, "en", "metric")
    return cast


def test_all_that_is_kept_about_a_person_is_told_as_json(written):
    told = persons.about(persons.found("keeper"))
    assert json.loads(json.dumps(told)) == told
    assert len(told["entries"]) == 3
    assert told["roles"][0]["role"] == "keeper"
    assert (told["links to join"], told["calendar addresses"]) == (1, 1)
    assert "password" not in json.dumps(told)


def test_a_name_that_goes_is_nowhere_but_in_what_others_wrote(written):
    before = standing.state_of(written.home.pk, "UTC")[0]
    keeper = Client()
    keeper.force_login(written.keeper, backend="django.contrib.auth.backends.ModelBackend")
    done = persons.erase(persons.found("keeper"))
    assert (done.entries, done.places, done.mentioned) == (3, 1, 1)
    assert not models.Entry.objects.filter(by="keeper").exists()
    assert models.Entry.objects.filter(by=f"gone-{written.keeper.pk}").count() == 3
    assert chain.first_break(written.home.pk) is None
    after = standing.state_of(written.home.pk, "UTC")[0]
    masses = [layer.body.amount.mass_kg for layer in after.each_layer()]
    assert masses == [layer.body.amount.mass_kg for layer in before.each_layer()]
    assert keeper.get("/").status_code == 302
    assert not User.objects.filter(username="keeper").exists()
    assert not models.Preference.objects.filter(person=written.keeper).exists()
    assert not models.Membership.objects.filter(person=written.keeper, withdrawn_at=None).exists()
    with pytest.raises(BackupError, match="nobody here"):
        persons.found("keeper")


def test_afterwards_the_database_refuses_changes_as_before(written):
    persons.erase(written.keeper)
    with pytest.raises(DatabaseError, match="never changed"), transaction.atomic():
        connection.cursor().execute("UPDATE logbook_entry SET by = 'x'")
    assert record_entry(written.coordinator, fed(written.home.pk)).status == 201
    assert chain.first_break(written.home.pk) is None


def test_the_only_coordinator_of_others_stays(written):
    with pytest.raises(BackupError, match="only coordinator"):
        persons.erase(written.coordinator)
    assert models.Entry.objects.filter(by="coordinator").exists()


def test_the_name_goes_from_programmes_too(written):
    from sourloam.logbook import programmes

    made = programmes.make_programme(written.coordinator, "Town exchange")
    models.ProgrammeMember.objects.create(programme=made, person=written.keeper, role="helper")
    programmes.write(written.keeper, made, "hours", {"hours": 2})
    told = persons.about(persons.found("keeper"))
    assert told["programmes"][0]["role"] == "helper"
    assert told["lines in programmes"][0]["body"] == {"hours": 2.0}
    persons.erase(persons.found("keeper"))
    assert models.ProgrammeEntry.objects.get().by == f"gone-{written.keeper.pk}"
    assert models.ProgrammeMember.objects.get(person=written.keeper).withdrawn_at is not None
    with pytest.raises(DatabaseError), transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("UPDATE logbook_programmeentry SET by = 'x'")
