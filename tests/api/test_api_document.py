"""The document says what the API does: shipped as it is served, and held by machines."""

import json
import re
import shlex
from pathlib import Path

from sourloam.api.operations import DECLARED
from sourloam.logbook import programmes

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "api.md").read_text(encoding="utf-8")


def document():
    from sourloam.api.document import document
    from sourloam.api.urls import api

    return document(api)


def test_the_shipped_document_is_the_served_one(client, db):
    shipped = (ROOT / "docs" / "openapi.json").read_text(encoding="utf-8")
    answer = client.get("/api/v1/openapi.json")
    assert answer.content.decode() == shipped, "run tools/api_page.py"


def test_it_is_a_document_of_openapi_whose_references_all_lead_somewhere():
    found = document()
    assert found["openapi"].startswith("3.1")
    names = set(re.findall(r'"#/components/schemas/([^"]+)"', json.dumps(found)))
    assert names <= set(found["components"]["schemas"])
    said = [one["operationId"] for path in found["paths"].values() for one in path.values()]
    assert sorted(said) == sorted(DECLARED)


def test_every_schema_of_it_is_one():
    from jsonschema import Draft202012Validator

    for schema in document()["components"]["schemas"].values():
        Draft202012Validator.check_schema(schema)


def test_the_page_lists_every_address():
    from importlib.util import module_from_spec, spec_from_file_location

    spec = spec_from_file_location("api_page", ROOT / "tools" / "api_page.py")
    tool = module_from_spec(spec)
    spec.loader.exec_module(tool)
    assert tool.page(PAGE, document()) == PAGE, "run tools/api_page.py"


def examples():
    for block in re.findall(r"```sh\n(.*?)```", PAGE, re.S):
        yield from re.findall(r"(curl .*?)\s*# (\d{3})$", block, re.S | re.M)


EXAMPLES = list(examples())


def test_the_page_has_examples_and_each_tells_its_answer():
    assert len(EXAMPLES) == PAGE.count("\ncurl ") > 10


def test_the_examples_of_the_page_are_answered_as_it_says_one_after_the_other(home, program):
    found, everywhere = program("log"), program("log", everywhere=True).token
    town = programmes.make_programme(home.people["coordinator"], "Town exchange")
    programmes.add_place(home.people["coordinator"], town, home.id)
    programmes.change(home.people["coordinator"], town, {"latitude": 52.0, "longitude": 5.0})
    more = {"TOWN": str(town.pk), "TODAY": programmes.today(town).isoformat()}
    for line, status in EXAMPLES:
        answer = asked(found, home, line, {"EVERYWHERE": everywhere, **more})
        assert answer.status_code == int(status), (line, answer.content)


def asked(found, home, line, more):
    known = {"TOKEN": found.token, "PLACE": home.id, "LOAM": "", **more}
    words = shlex.split(re.sub(r"\$([A-Z]+)", lambda m: known[m[1]], line))
    method, headers, body, path = "GET", {}, "", ""
    rest = iter(words[1:])
    for word in rest:
        if word == "-X":
            method = next(rest)
        elif word == "-H":
            name, _colon, value = next(rest).partition(": ")
            headers[name] = value
        elif word == "-d":
            body = next(rest)
        else:
            path = word
    kind = headers.pop("Content-Type", "application/octet-stream")
    return found.client.generic(method, path, body, kind, headers=headers)


def test_every_operation_asks_for_the_scope_that_it_tells(home, program):
    """A token that reads is refused wherever the document wants more, before anything is read."""
    here, everywhere = program("read"), program("read", everywhere=True)
    for path, methods in document()["paths"].items():
        found = everywhere if "programmes" in path else here
        for method, told in methods.items():
            if told["security"] != [{"Bearer": ["read"]}]:
                asked = re.sub(r"\{(\w+)\}", lambda m: _filled(home, m[1]), path)
                answer = found.ask(method.upper(), asked.removeprefix("/api/v1"), _sent(told))
                assert answer.status_code == 403, (method, path, answer.content)
                assert json.loads(answer.content)["reason"] == "scope"


def _filled(home, name):
    kept = {
        "place": home.id,
        "person": str(home.people["reader"].pk),
        "day": "2026-03-01",
        "link": "0f0f0f0f-0000-4000-8000-00000000000d",
    }
    if name == "programme":
        from sourloam.logbook.programmes import make_programme

        return str(make_programme(home.people["coordinator"], "Town exchange").pk)
    if name == "invitation":
        from sourloam.logbook.models import Invitation
        from sourloam.logbook.people import invite

        invite(home.people["coordinator"], home.id, "reader")
        return str(Invitation.objects.get().pk)
    return kept[name]


def _sent(told):
    by_id = {
        "write_entry": {"kind": "fed"},
        "write_reading": {"at": "2026-03-01T18:30:00Z", "temperature_c": 18.0},
        "invite": {"id": "0f0f0f0f-0000-4000-8000-00000000000c", "role": "reader"},
    }
    return by_id.get(told["operationId"], {})
