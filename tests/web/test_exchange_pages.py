"""Out and in, and the calendar address, as people meet them."""

import datetime as dt
import json
from html import unescape

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from icalendar import Calendar

from documents.strict_calendar import events as read_strictly
from sourloam.exchange import read_bundle


@pytest.fixture(autouse=True)
def nothing_kept():
    from sourloam.web.views import calendar

    calendar._answers.clear()
    calendar._asked.clear()


def url(name, home, *more):
    return reverse(f"web:{name}", args=[home.id, *more])


def sent(client, path, data, name="place.zip", **more):
    return client.post(path, {"file": SimpleUploadedFile(name, data), **more})


def counted():
    from sourloam.logbook.models import Entry

    return Entry.objects.count()


@pytest.mark.parametrize("form", ["zip", "json"])
def test_a_place_goes_out_and_comes_in_again_without_adding_anything(home, as_, form):
    client = as_("coordinator")
    out = client.get(url("take_out", home, form))
    assert out.headers["Content-Disposition"].endswith(f'.{form}"')
    assert len(read_bundle(out.content).entries) == counted()
    before = counted()
    answer = sent(client, url("bring_in", home), out.content)
    assert answer.status_code == 302
    said = client.get(answer.url).content.decode()
    assert f"0 entries are new; {before} were here already." in said
    assert counted() == before


@pytest.mark.parametrize(
    ("who", "out", "back", "sheet"),
    [("keeper", 200, 403, 422), ("gardener", 403, 403, 403), ("reader", 403, 403, 403),
     ("stranger", 404, 404, 404)],
)  # fmt: skip
def test_who_may_take_out_and_bring_in(home, as_, who, out, back, sheet):
    client = as_(who)
    assert client.get(url("take_out", home, "json")).status_code == out
    assert client.post(url("bring_in", home)).status_code == back
    assert client.post(url("sheet", home)).status_code == sheet


@pytest.mark.parametrize("data", [b"", b"no place", b"PK\x03\x04", b'{"format": 1}'])
def test_a_file_that_is_no_place_is_told_on_the_page(home, as_, data):
    before = counted()
    answer = sent(as_("coordinator"), url("bring_in", home), data)
    assert answer.status_code == 422
    assert "Nothing came in" in answer.content.decode()
    assert counted() == before


def test_a_place_of_another_logbook_begins_from_its_file(home, as_):
    document = json.loads(as_("coordinator").get(url("take_out", home, "json")).content)
    document["place"]["id"] = "beech-row"
    document["place"]["name"] = "Beech Row"
    document["entries"] = []
    client = as_("stranger")
    answer = sent(client, reverse("web:from_file"), json.dumps(document).encode(), "p.json")
    assert answer.url == reverse("web:shelf", args=["beech-row"])
    assert "Beech Row" in client.get(answer.url).content.decode()
    taken = sent(as_("keeper"), reverse("web:from_file"), json.dumps(document).encode())
    assert taken.status_code == 422


SHEET = "date,vessel,kg\n{}\n"


def test_a_sheet_is_looked_at_first_and_written_down_whole(home, as_):
    client, path, before = as_("keeper"), url("sheet", home), counted()
    text = SHEET.format("2026-03-01,Blue pail,1.25\n2026-03-02,green pail,0.5")
    look = sent(client, path, text.encode(), "w.csv")
    assert "2 layers would come in" in look.content.decode()
    assert counted() == before
    done = client.post(path, {"text": text, "take": "1"})
    assert done.status_code == 302
    assert counted() == before + 2
    assert client.post(path, {"text": text, "take": "1"}).status_code == 302
    assert counted() == before + 2


def test_one_bad_row_keeps_the_whole_sheet_out_and_is_shown_with_its_line(home, as_):
    client, path, before = as_("keeper"), url("sheet", home), counted()
    text = SHEET.format("2026-03-01,Blue pail,1.25\n2026-03-02,Nobody's pail,0.5")
    answer = client.post(path, {"text": text, "take": "1"}).content.decode()
    assert "1 line can’t come in" in answer or "1 line can&#x27;t come in" in answer
    assert "Line 3" in answer
    assert "no vessel of that name" in answer
    assert counted() == before


def test_which_number_is_the_day_is_asked(home, as_):
    client, path = as_("keeper"), url("sheet", home)
    text = SHEET.format("03/04/2026,Blue pail,1")
    asked = client.post(path, {"text": text}).content.decode()
    assert 'name="day_first"' in asked
    again = client.post(path, {"text": text, "day_first": "0"}).content.decode()
    assert "1 layer would come in" in again
    assert "4 March" in again


def test_the_page_of_a_sheet_speaks_spanish(home, as_):
    client = as_("keeper")
    client.post(reverse("web:settings"), {"units": "metric", "language": "es"})
    text = SHEET.format("2026-13-01,Blue pail,1")
    answer = client.post(url("sheet", home), {"text": text}).content.decode()
    assert "Línea 2" in answer
    assert "no es una fecha" in answer


@pytest.mark.parametrize(
    ("name", "data", "line"),
    [
        ("place.zip", b"PK\x03\x04 nothing", "no es un zip que se pueda leer"),
        ("place.json", b"{", "no es JSON: se corta en la línea 1, letra 2"),
        ("place.json", b'{"format": "other", "version": 1}', 'format: hay "other"'),
    ],
)
def test_a_file_that_cannot_come_in_is_told_in_spanish(home, as_, name, data, line):
    client = as_("coordinator")
    client.post(reverse("web:settings"), {"units": "metric", "language": "es"})
    answer = sent(client, url("bring_in", home), data, name)
    assert answer.status_code == 422
    assert line in unescape(answer.content.decode())


def test_an_entry_that_cannot_be_is_told_in_spanish_with_its_number_and_units(home, as_):
    client = as_("coordinator")
    client.post(reverse("web:settings"), {"units": "us", "language": "es"})
    out = json.loads(client.get(url("take_out", home, "json")).content)
    fed = next(e for e in out["entries"] if e["kind"] == "fed")
    fed["body"]["amount"] = {"mass_kg": 9000}
    out["entries"][-1]["at"] = "yesterday"
    answer = sent(client, url("bring_in", home), json.dumps(out).encode(), "place.json")
    text = unescape(answer.content.decode())
    assert f"entrada {out['entries'].index(fed) + 1}: " in text
    assert "lb" in text
    assert "must" not in text


def address(client, home):
    client.post(url("make_calendar", home))
    text = client.get(url("calendar", home)).content.decode()
    return text.split('readonly value="')[1].split('"')[0]


def test_a_reader_gets_an_address_that_a_calendar_program_reads_without_login(home, as_, client):
    found = address(as_("reader"), home)
    client.logout()
    answer = client.get(found)
    assert answer.headers["Content-Type"].startswith("text/calendar")
    calendar = Calendar.from_ical(answer.content)
    events = calendar.walk("VEVENT")
    assert events
    strictly = read_strictly(answer.content)
    assert {one["uid"] for one in strictly} == {str(event["uid"]) for event in events}
    assert all(one["days"] and one["summary"] and one["text"] for one in strictly)
    today = dt.date.today()
    for event in events:
        assert isinstance(event.decoded("dtstart"), dt.date)
        assert today - dt.timedelta(days=1) <= event.decoded("dtstart")
        assert str(event["summary"])
    drain = next(e for e in events if "Drain" in str(e["summary"]))
    assert "never pour it into a stream" in str(drain["description"])
    assert client.get(found, headers={"if-none-match": answer.headers["ETag"]}).status_code == 304


def test_work_that_moves_keeps_its_uid(home, as_, client):
    found = address(as_("reader"), home)

    def days():
        events = Calendar.from_ical(client.get(found).content).walk("VEVENT")
        assert len({str(e["uid"]) for e in events}) == len(events)
        return {str(e["uid"]): e.decoded("dtstart") for e in events if "Drain Blue" in e["summary"]}

    before = days()
    home.write("drained", {"vessel": "blue", "volume_ml": 60.0, "use": "plants"})
    after = days()
    assert before.keys() == after.keys()
    assert before != after


def test_a_withdrawn_replaced_or_invented_address_opens_nothing(home, as_, client):
    reader = as_("reader")
    first = address(reader, home)
    second = address(reader, home)
    assert client.get(first).status_code == 404
    assert client.get(second).status_code == 200
    reader.post(url("withdraw_calendar", home))
    assert client.get(second).status_code == 404
    assert client.get(reverse("web:calendar_feed", args=["x" * 32])).status_code == 404
    assert client.post(second).status_code == 405


def test_whoever_left_the_place_reads_its_calendar_no_more(home, as_, client):
    from sourloam.logbook.models import Membership

    found = address(as_("reader"), home)
    assert client.get(found).status_code == 200
    rows = Membership.objects.filter(person=home.people["reader"])
    rows.update(withdrawn_at=dt.datetime.now(dt.UTC))
    assert client.get(found).status_code == 404


def test_only_the_hash_of_an_address_is_kept(home, as_):
    from sourloam.logbook.models import CalendarAddress

    found = address(as_("reader"), home)
    token = found.rpartition("/")[2].removesuffix(".ics")
    assert len(token) >= 32
    assert token not in str(CalendarAddress.objects.values_list().get())
    page = as_("reader").get(url("calendar", home)).content.decode()
    assert token not in page


def test_a_program_that_asks_without_pause_is_told_to_wait(home, as_, client, monkeypatch):
    from sourloam.web.views import calendar

    monkeypatch.setattr(calendar, "_ASKS", 3)
    found = address(as_("reader"), home)
    codes = [client.get(found).status_code for _ in range(5)]
    assert codes == [200, 200, 200, 429, 429]


def test_an_address_answers_with_few_questions(home, as_, client, django_assert_max_num_queries):
    found = address(as_("reader"), home)
    client.logout()
    client.get(found)
    with django_assert_max_num_queries(5):
        client.get(found)


@pytest.mark.parametrize("name", ["season_report", "week_sheet"])
def test_what_the_log_prints_opens_in_both_languages(home, as_, name):
    client = as_("reader")
    assert client.get(url(name, home)).content.startswith(b"%PDF")
    client.post(reverse("web:settings"), {"units": "us", "language": "es"})
    spanish = client.get(url(name, home) + "?paper=letter")
    assert spanish.headers["Content-Type"] == "application/pdf"


@pytest.mark.parametrize("name", ["exchange", "calendar"])
def test_pages_hold_no_style_within_and_ask_little(home, as_, name, django_assert_max_num_queries):
    client = as_("coordinator")
    with django_assert_max_num_queries(12):
        text = client.get(url(name, home)).content.decode()
    assert " style=" not in text
    assert "<style" not in text


def test_a_name_that_the_printing_type_cannot_set_is_told_in_spanish(home, as_):
    client = as_("keeper")
    client.post(reverse("web:settings"), {"units": "metric", "language": "es"})
    home.place.name = "厨房"
    home.place.save()
    answer = client.get(url("week_sheet", home))
    assert answer.status_code == 422
    assert "no tiene letras para “厨" in unescape(answer.content.decode())
