"""Requests that a machine makes up from the document: no server error, no breach of it."""

import os
import uuid

import pytest
import schemathesis
from house_of_tests import site_document
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis.errors import Unsatisfiable
from schemathesis import GenerationMode
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    negative_data_rejection,
    response_headers_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from sourloam.logbook import programmes

EXAMPLES = 8 if "SOURLOAM_TRIES" not in os.environ else 24  # of each operation, of each sort


def never_broken(_context, response, case):
    """No fault of ours; what is being reckoned may ask for a moment, and says how long."""
    waits = response.status_code == 503 and "retry-after" in response.headers
    assert response.status_code < 500 or waits, f"{case.method} {case.path}: {response.text[:300]}"


def refused_where_wrong(context, response, case):
    """What is wrong by the document is refused; what is too large is, before it is read."""
    return response.status_code == 413 or negative_data_rejection(context, response, case)


CHECKS = [
    never_broken,
    content_type_conformance,
    response_headers_conformance,
    response_schema_conformance,
    status_code_conformance,
]
# What is wrong by the document must be refused. What is right by it may still be: entries speak of
# vessels that must stand there, and their ids must be new.
SORTS = {
    GenerationMode.POSITIVE: CHECKS,
    GenerationMode.NEGATIVE: [*CHECKS, refused_where_wrong],
}
pytestmark = pytest.mark.slow


@pytest.fixture
def reckoned(monkeypatch):
    """Plans and gardens are made once: what they take is theirs to be tested for."""
    from sourloam import planning
    from sourloam.api import reckoning
    from sourloam.planning.gardening import plan_garden
    from sourloam.site import Site

    site = Site.model_validate(site_document())
    plan, garden = planning.make_plan(site, 1, 20, 1), plan_garden(site, 20, 1)
    monkeypatch.setattr(planning, "make_plan", lambda *_a: plan)
    monkeypatch.setattr(reckoning, "plan_garden", lambda *_a: garden)


@pytest.fixture
def known(home):
    """What stands there, by the names of the addresses."""
    from sourloam.logbook.people import invite

    home.write("bran_received", {"lot": "may-1", "mass_kg": 2.0}, 5)
    link = uuid.uuid4()
    invite(home.people["coordinator"], home.id, "reader", link)
    entry = str(home.place.entries.first().pk)
    people = home.people["reader"].pk
    things = {"vessel": "blue", "bed": "wall", "lot": "may-1", "entry": entry}
    town = programme_with(home)
    return {
        **{"place": home.id, **things, "invitation": str(link), "person": people},
        **{"programme": town.pk, "day": programmes.today(town).isoformat()},
    }


def programme_with(home):
    """A programme that has the place, its hub on the map."""
    coordinator = home.people["coordinator"]
    town = programmes.make_programme(coordinator, "Town exchange")
    programmes.add_place(coordinator, town, home.id)
    programmes.change(coordinator, town, {"latitude": 52.0, "longitude": 5.0})
    programmes.plan(coordinator, town, programmes.today(town))
    return town


@pytest.fixture
def operations(program, monkeypatch):
    """Every operation of the document, ready to be asked."""
    from django.core.signals import request_finished, request_started
    from django.core.wsgi import get_wsgi_application
    from django.db import close_old_connections

    from sourloam.api import caller, pacing

    for signal in (request_started, request_finished):  # the test's own connection stays open
        signal.disconnect(close_old_connections)
    for name in ("of_tokens", "of_strangers"):
        monkeypatch.setattr(caller, name, pacing.Pace(10**9))
    token = program("manage", everywhere=True).token
    schema = schemathesis.openapi.from_wsgi("/api/v1/openapi.json", get_wsgi_application())
    found = [one.ok() for one in schema.get_all_operations()]
    yield [(one, {"Authorization": f"Bearer {token}"}) for one in found]
    for signal in (request_started, request_finished):
        signal.connect(close_old_connections)


def fuzzed(operation, headers, path, sort, examples):
    """Ask one operation in many ways; the first breach is an error. How many times it was asked."""
    done = 0
    names = {one["name"] for one in operation.definition.raw.get("parameters", ())}
    given_path = {k: v for k, v in path.items() if k in names}
    strategy = operation.as_strategy(
        generation_mode=sort, path_parameters=given_path or None, headers=headers
    )

    @settings(
        max_examples=examples,
        derandomize=True,
        deadline=None,
        database=None,
        suppress_health_check=list(HealthCheck),
        phases=[Phase.generate],
    )
    @given(case=strategy)
    def ask(case):
        nonlocal done
        done += 1
        case.call_and_validate(checks=SORTS[sort])

    ask()
    return done


def parts(operation):
    """Where an operation takes something: path, query, body."""
    raw = operation.definition.raw
    found = {one["in"] for one in raw.get("parameters", ())}
    return found | ({"body"} if "requestBody" in raw else set())


@pytest.mark.parametrize("sort", SORTS, ids=lambda sort: sort.name.lower())
def test_nothing_that_is_made_up_breaks_the_api_or_its_document(
    reckoned, known, operations, sort, record_property
):
    asked, tries, found = 0, 0, []
    for operation, headers in operations:
        for path in (known, {"place": known["place"]}):
            try:
                tries += fuzzed(operation, headers, path, sort, EXAMPLES)
            except Unsatisfiable:  # nothing of it can be wrong
                assert not {"query", "body"} & parts(operation)
                continue
            except ExceptionGroup as error:
                found.append(f"{operation.label}: {error}")
            asked += 1
    record_property("tries", tries)
    assert not found, "\n\n".join(found)
    assert asked > len(operations) > 40
