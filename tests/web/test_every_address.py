"""Every address of the server, asked by every role, by a stranger and by nobody."""

import datetime as dt
import io
import uuid
from html.parser import HTMLParser

import pytest
from django.test import Client
from django.urls import URLPattern, reverse
from house_of_tests import PASSWORD, ROLES

from sourloam.web import short
from sourloam.web.urls import urlpatterns

WHO = (*ROLES, "stranger", "nobody")
OPEN, OWN = "open", "own"
MEMBERS, KEEPERS, COORDINATOR, GARDENERS = "ckgr", "ck", "c", "ckg"
TOWN = "ckr"  # the keeper helps in the programme, the gardener is a stranger to it
# Name: how it is asked, who may (letters of roles), what else its address holds, what is sent.
# OPEN is for everybody, OWN for whoever signed in. Who is not named there is told 403, strangers
# 404, nobody the door. What a role may withdraw is asked person by person: see test_people.py.
ADDRESSES = {
    "today": ("get", OWN, (), {}),
    "start": ("get", OPEN, (), {}),
    "enter": ("get", OPEN, (), {}),
    "leave": ("post", OPEN, (), {}),
    "join": ("get", OPEN, ("token",), {}),
    "try_it": ("get", OPEN, (), {}),
    "sour": ("get", OPEN, (), {}),
    "try_it_answer": ("get", OPEN, (), {}),
    "try_it_moves": ("get", OPEN, (), {}),
    "try_it_frames": ("get", OPEN, (), {}),
    "find": ("get", OWN, (), {}),
    "settings": ("get", OWN, (), {}),
    "new_place": ("get", OWN, (), {}),
    "from_file": ("get", OWN, (), {}),
    "calendar_feed": ("get", OPEN, ("calendar",), {}),
    "setup_answer": ("post", OWN, (), {}),
    "label": ("get", MEMBERS, ("code",), {}),
    "shelf": ("get", MEMBERS, ("place",), {}),
    "add_vessel": ("post", KEEPERS, ("place",), {"name": "Jar", "litres": "5"}),
    "vessel": ("get", MEMBERS, ("place", "vessel"), {}),
    "rescue": ("get", MEMBERS, ("place", "vessel"), {}),
    "rescue_bed": ("get", MEMBERS, ("place", "bed"), {}),
    "log": ("post", MEMBERS, ("place", "kind"), {"note": "seen"}),
    "photo": ("get", MEMBERS, ("place", "photo"), {}),
    "beds": ("get", MEMBERS, ("place",), {}),
    "add_bed": ("post", KEEPERS, ("place",), {"name": "Long bed"}),
    "sowing": ("get", MEMBERS, ("place",), {}),
    "away": ("get", MEMBERS, ("place",), {}),
    "lots": ("get", MEMBERS, ("place",), {}),
    "bran_sheet": ("get", MEMBERS, ("place",), {}),
    "lot": ("get", MEMBERS, ("place", "lot"), {}),
    "achieved": ("get", MEMBERS, ("place",), {}),
    "achieved_report": ("get", MEMBERS, ("place",), {}),
    "stores": ("get", MEMBERS, ("place",), {}),
    "correct": ("get", KEEPERS, ("place", "entry"), {}),
    "setup": ("post", COORDINATOR, ("place",), {}),
    "change_place": ("get", COORDINATOR, ("place",), {}),
    "people": ("get", MEMBERS, ("place",), {}),
    "invite": ("post", KEEPERS, ("place",), {"role": "reader"}),
    "withdraw_person": ("post", MEMBERS, ("place", "person"), {}),
    "withdraw_invitation": ("post", MEMBERS, ("place", "invitation"), {}),
    "tokens": ("get", COORDINATOR, ("place",), {}),
    "make_token": ("post", COORDINATOR, ("place",), {"name": "Scale", "scope": "read"}),
    "withdraw_token": ("post", COORDINATOR, ("place", "invitation"), {}),
    "exchange": ("get", MEMBERS, ("place",), {}),
    "take_out": ("get", KEEPERS, ("place", "form"), {}),
    "bring_in": ("post", COORDINATOR, ("place",), {}),
    "sheet": ("post", KEEPERS, ("place",), {}),
    "calendar": ("get", MEMBERS, ("place",), {}),
    "make_calendar": ("post", MEMBERS, ("place",), {}),
    "withdraw_calendar": ("post", MEMBERS, ("place",), {}),
    "season_report": ("get", MEMBERS, ("place",), {}),
    "week_sheet": ("get", MEMBERS, ("place",), {}),
    "labels": ("get", MEMBERS, ("place",), {}),
    "programmes": ("get", OWN, (), {}),
    "join_programme": ("get", OPEN, ("programme_link",), {}),
    "programme": ("get", TOWN, ("programme",), {}),
    "programme_places": ("get", TOWN, ("programme",), {}),
    "programme_add_place": ("post", COORDINATOR, ("programme",), {"place": "no such place"}),
    "programme_place": ("get", TOWN, ("programme", "place"), {}),
    "programme_settle": ("post", KEEPERS, ("programme", "place"), {}),
    "programme_log": ("get", TOWN, ("programme",), {}),
    "programme_write": ("post", KEEPERS, ("programme", "deed"), {"hours": "1,5"}),
    "programme_rounds": ("get", TOWN, ("programme",), {}),
    "programme_round": ("get", TOWN, ("programme", "day"), {}),
    "round_sheet": ("get", TOWN, ("programme", "day"), {}),
    "programme_figures": ("get", TOWN, ("programme",), {}),
    "programme_figures_sheet": ("get", TOWN, ("programme",), {}),
    "programme_settings": ("get", TOWN, ("programme",), {}),
    "programme_invite": ("post", COORDINATOR, ("programme",), {"role": "reader"}),
    "programme_withdraw": ("post", TOWN, ("programme", "person"), {}),
    "programme_withdraw_link": ("post", COORDINATOR, ("programme", "link"), {}),
    "programme_tokens": ("get", COORDINATOR, ("programme",), {}),
    "programme_make_token": (
        "post",
        COORDINATOR,
        ("programme",),
        {"name": "Scale", "scope": "read"},
    ),
    "programme_withdraw_token": ("post", COORDINATOR, ("programme", "invitation"), {}),
    "leave_programme": ("post", COORDINATOR, ("place", "programme"), {}),
    "programme_let_go": ("post", COORDINATOR, ("programme", "second"), {}),
    "entries": ("post", OWN, (), {}),
    "photos": ("post", OWN, (), {}),
    "worker": ("get", OPEN, (), {}),
    "manifest": ("get", OPEN, (), {}),
    "offline": ("get", OPEN, (), {}),
}
# They set type or run the model for whoever may have them; tests of their own look at what comes.
LONG = {
    *("round_sheet", "bran_sheet", "achieved_report", "season_report", "week_sheet", "labels"),
    "programme_figures_sheet",
    *("try_it_answer", "try_it_moves", "try_it_frames", "setup_answer", "setup", "new_place"),
}
QUEUES = {"entries", "photos"}


def test_every_address_has_its_row_and_no_row_is_idle():
    assert {pattern.name for pattern in urlpatterns} == set(ADDRESSES)
    assert all(isinstance(pattern, URLPattern) for pattern in urlpatterns)


@pytest.fixture
def furnished(home, people):
    """The place with a lot, a photo, a link and a calendar; another place for the stranger."""
    from django.core.files.uploadedfile import SimpleUploadedFile
    from PIL import Image

    from sourloam.logbook import calendar_addresses
    from sourloam.logbook.models import Invitation
    from sourloam.logbook.people import invite, make_place
    from sourloam.logbook.photos import keep_photo

    make_place(people["stranger"], "Elsewhere")
    home.write("bran_received", {"lot": "oak-1", "mass_kg": 1.0})
    layer = home.write("fed", {"vessel": "blue", "amount": {"mass_kg": 1.0}}, 0.4)
    drawn = io.BytesIO()
    Image.new("RGB", (8, 8), "green").save(drawn, "PNG")
    upload = SimpleUploadedFile("a.png", drawn.getvalue())
    photo = keep_photo(people["coordinator"], home.id, upload)
    home.write("photographed", {"vessel": "blue", "photo": photo}, 0.3)
    return {
        "place": home.id,
        "vessel": "blue",
        "bed": "wall",
        "kind": "noted",
        "lot": "oak-1",
        "entry": layer["id"],
        "photo": photo,
        "form": "json",
        "person": 10**6,
        "code": short.code(home.id, "blue"),
        "token": invite(people["coordinator"], home.id, "reader"),
        "invitation": str(Invitation.objects.get().pk),
        **in_a_programme(home, people),
        "calendar": calendar_addresses.make(people["reader"], home.id, "en", "metric"),
    }


def in_a_programme(home, people):
    """The place in a programme that the keeper helps in and the reader looks on."""
    from sourloam.logbook import programmes
    from sourloam.logbook.models import ProgrammeMember
    from sourloam.logbook.people import make_place

    made = programmes.make_programme(people["coordinator"], "Town exchange")
    for name, role in (("keeper", "helper"), ("reader", "reader")):
        ProgrammeMember.objects.create(programme=made, person=people[name], role=role)
    second = make_place(people["coordinator"], "Second")
    for place in (home.id, second.pk):
        programmes.add_place(people["coordinator"], made, place)
    return {
        "programme": made.pk,
        "second": second.pk,
        "day": "2026-05-18",
        "deed": "hours",
        "link": uuid.UUID(int=1),
        "programme_link": programmes.invite(people["coordinator"], made, "reader"),
    }


def client_of(who, people):
    client = Client(raise_request_exception=False)
    if who != "nobody":
        client.force_login(people[who], backend="django.contrib.auth.backends.ModelBackend")
    return client


def outcome(answer):
    """What an answer comes to: in, door, 401, 403, 404, or its own number where it broke."""
    if answer.status_code == 302 and answer.headers["Location"].startswith("/enter?next="):
        return "door"
    return answer.status_code if answer.status_code in (401, 403, 404, 500) else "in"


def wanted(name, who):
    """What the table says."""
    allowed = ADDRESSES[name][1]
    if allowed == OPEN:
        return "in"
    if who == "nobody":
        return 401 if name in QUEUES else "door"
    if allowed == OWN:
        return "in"
    if who == "stranger" or (who == "gardener" and "programme" in ADDRESSES[name][2][:1]):
        return 404
    return "in" if who[0] in allowed else 403


@pytest.mark.parametrize("who", WHO)
def test_each_person_opens_what_the_table_says_and_nothing_else(
    furnished, people, who, record_property
):
    asked = {}
    for name, (way, _allowed, parts, sent) in ADDRESSES.items():
        if name in LONG and wanted(name, who) == "in":
            continue
        url = reverse(f"web:{name}", args=[furnished[part] for part in parts])
        answer = getattr(client_of(who, people), way)(url, sent)
        asked[name] = outcome(answer)
        if asked[name] not in ("in", 404) or name == "photo":
            assert b"Alder Row" not in answer.content, f"{name}: tells the place's name"
    record_property("tries", len(asked))
    expected = {name: wanted(name, who) for name in asked}
    # A role that holds the right to mend an entry, or to send a queue, is told what was wrong.
    assert asked == expected


def test_what_is_not_a_members_stays_shut_also_with_the_address_of_another_place(furnished, people):
    """Nothing of one place is found through another one's address."""
    from sourloam.logbook.models import Membership

    theirs = Membership.objects.get(person=people["stranger"]).place_id
    client = client_of("stranger", people)
    for name, parts in (
        ("vessel", ["blue"]),
        ("lot", ["oak-1"]),
        ("photo", [furnished["photo"]]),
        ("correct", [furnished["entry"]]),
        ("rescue", ["blue"]),
        ("rescue_bed", ["wall"]),
    ):
        assert client.get(reverse(f"web:{name}", args=[theirs, *parts])).status_code == 404, name
    link = reverse("web:withdraw_invitation", args=[theirs, furnished["invitation"]])
    client.post(link)
    assert client.get(reverse("web:join", args=[furnished["token"]])).status_code == 200


def test_every_form_wants_its_token(furnished, people, record_property):
    """A form on somebody else's page sends no token: it writes nothing here."""
    from sourloam.logbook.models import Entry

    before, tried = Entry.objects.count(), 0
    client = Client(enforce_csrf_checks=True)
    client.force_login(people["coordinator"], backend="django.contrib.auth.backends.ModelBackend")
    for name, (_way, _allowed, parts, sent) in ADDRESSES.items():
        url = reverse(f"web:{name}", args=[furnished[part] for part in parts])
        answer = client.post(url, sent)
        assert answer.status_code in (403, 405), name
        tried += 1
    record_property("tries", tried)
    assert Entry.objects.count() == before


def test_no_page_may_be_framed_or_sniffed_or_run_a_stored_script(furnished, people):
    client = client_of("coordinator", people)
    for name, (way, allowed, parts, _sent) in ADDRESSES.items():
        if way == "post" or name in LONG or allowed == OPEN:
            continue
        answer = client.get(reverse(f"web:{name}", args=[furnished[part] for part in parts]))
        policy = answer.headers["Content-Security-Policy"]
        assert "frame-ancestors 'none'" in policy, name
        assert "unsafe" not in policy, name
        assert answer.headers["X-Frame-Options"] == "DENY", name
        assert answer.headers["X-Content-Type-Options"] == "nosniff", name
        assert answer.headers["Referrer-Policy"] == "same-origin", name


class Running(HTMLParser):
    """Finds what a browser would run: scripts written into the page, and handlers of events."""

    def found(self, page):
        self.ran = []
        self.feed(page)
        return self.ran

    def handle_starttag(self, tag, attributes):
        given = dict(attributes)
        if tag == "script" and "src" not in given:
            self.ran.append(tag)
        self.ran += [name for name in given if name.startswith("on")]
        self.ran += [str(url) for url in given.values() if str(url).startswith("javascript:")]


SCRIPT = "\"><script>alert(1)</script><img src=x onerror=alert(2)>'{{7*7}}"


def test_what_a_browser_would_run_is_found():
    assert Running().found(f'<a title="{SCRIPT}">x</a>') == ["script", "onerror"]
    assert Running().found('<a href="javascript:1" onclick="2">x</a>') == [
        "onclick",
        "javascript:1",
    ]


def test_a_script_in_a_name_or_a_note_is_shown_and_never_run(furnished, home, people):
    from sourloam.logbook.models import Place

    Place.objects.filter(pk=home.id).update(name=SCRIPT)
    people["keeper"].username = SCRIPT[:80]
    people["keeper"].save()
    spec = {"name": "pail", "volume": "19 L"}
    home.write("vessel_added", {"vessel": "odd", "name": SCRIPT[:60], "spec": spec}, 5)
    bed = {"name": SCRIPT[:60], "length": "2 m", "width": "1 m"}
    home.write("bed_added", {"bed": "odd", "name": SCRIPT[:60], "spec": bed}, 5)
    home.write("measure_set", {"measure": "odd", "name": SCRIPT[:60], "mass_kg": 1.0}, 5)
    home.write("noted", {"vessel": "odd", "note": SCRIPT}, 0.2)
    home.write("moved", {"vessel": "odd", "where": SCRIPT[:60]}, 0.2)
    home.write("bran_handed_out", {"lot": "oak-1", "mass_kg": 0.1, "to": SCRIPT[:60]}, 0.2)
    home.write("bran_recalled", {"lot": "oak-1", "note": SCRIPT}, 0.1)
    client = client_of("coordinator", people)
    pages = [name for name in ADDRESSES if name not in LONG and ADDRESSES[name][0] == "get"]
    for name in pages:
        if name == "take_out":
            continue
        vessels = ("blue", "odd") if "vessel" in ADDRESSES[name][2] else ("blue",)
        for vessel in vessels:
            known = furnished | {"vessel": vessel}
            answer = client.get(reverse(f"web:{name}", args=[known[p] for p in ADDRESSES[name][2]]))
            if "html" in answer.headers.get("Content-Type", ""):
                shown = answer.content.decode()
                assert Running().found(shown) == [], name
                assert "'49" not in shown, name


@pytest.mark.parametrize(
    "path",
    [
        "/static/../secret-key",
        "/static/%2e%2e/secret-key",
        "/static/..%2f..%2flogbook.sqlite3",
        "/p/../../secret-key",
        "/p/%2e%2e%2fsecret-key/",
        "/photos/aa",
        "/secret-key",
        "/logbook.sqlite3",
        "/static//etc/passwd",
        "/p/x/photo/..%2f..%2fsecret-key",
        "/p/x/exchange/out.json%00",
        "/v/..%2f..%2fsecret-key",
        "/calendar/..%2f..%2fsecret-key.ics",
        "/join/..%2fsecret-key",
    ],
)
def test_no_address_leads_to_a_file_of_the_folder(furnished, people, path):
    answer = client_of("coordinator", people).get(path)
    assert answer.status_code in (301, 302, 400, 404)
    assert b"SQLite format" not in answer.content
    assert b"root:" not in answer.content


@pytest.mark.parametrize("name", ["../../secret-key", "%2e%2e", "a" * 63, "A" * 64, "\x00"])
def test_no_photo_is_found_by_a_name_that_is_a_path(furnished, home, people, name):
    url = f"/p/{home.id}/photo/" + name.replace("/", "%2f").replace("\x00", "%00")
    assert client_of("coordinator", people).get(url).status_code == 404


@pytest.mark.parametrize(
    "target",
    [
        "https://evil.example/",
        "//evil.example/",
        "\\\\evil.example",
        "/\\evil.example",
        "javascript:alert(1)",
        "http:evil.example",
        "https:/evil.example",
        " https://evil.example",
        "\thttps://evil.example",
        "NaN",
    ],
)
def test_nobody_is_sent_out_of_the_house(furnished, home, people, target):
    client = client_of("keeper", people)
    log = reverse("web:log", args=[home.id, "noted"])
    answer = client.post(log, {"note": "seen", "next": target})
    assert answer.headers["Location"] in ("/", f"/p/{home.id}/")
    door = Client().post("/enter", {"username": "keeper", "password": PASSWORD, "next": target})
    assert door.headers["Location"] == "/"


def test_whoever_signs_in_gets_a_session_that_nobody_knew_before(people):
    """A cookie that was put on a device before cannot be ridden afterwards."""
    client = Client()
    client.get("/enter")
    client.session["planted"] = 1
    session = client.session
    session["planted"] = 1
    session.save()
    client.cookies["sessionid"] = session.session_key
    before = session.session_key
    client.post("/enter", {"username": "keeper", "password": PASSWORD})
    assert client.cookies["sessionid"].value != before
    thief = Client()
    thief.cookies["sessionid"] = before
    assert thief.get("/").status_code == 302


def test_after_leaving_the_session_opens_nothing(people):
    client = Client()
    client.post("/enter", {"username": "keeper", "password": PASSWORD})
    kept = client.cookies["sessionid"].value
    client.post("/leave")
    thief = Client()
    thief.cookies["sessionid"] = kept
    assert thief.get("/").headers["Location"].startswith("/enter")


def test_a_session_of_another_key_or_a_changed_one_opens_nothing(people):
    client = Client()
    client.post("/enter", {"username": "keeper", "password": PASSWORD})
    client.cookies["sessionid"] = client.cookies["sessionid"].value[:-1] + "x"
    assert client.get("/").headers["Location"].startswith("/enter")


def test_cookies_are_kept_from_scripts_and_from_other_sites(people):
    client = Client()
    client.post("/enter", {"username": "keeper", "password": PASSWORD})
    cookie = client.cookies["sessionid"]
    assert cookie["httponly"]
    assert cookie["samesite"] == "Lax"
    assert dt.timedelta(seconds=int(cookie["max-age"])) <= dt.timedelta(days=90)


def test_no_secret_reaches_the_log(furnished, home, people, caplog, monkeypatch):
    """Passwords, links, calendar addresses and keys: neither in a refusal nor in a fault."""
    from django.conf import settings

    from sourloam.web.views import calendar, door

    client = Client(raise_request_exception=False)
    word = "a wrong word of mine"
    client.post("/enter", {"username": "keeper", "password": word})
    client.get(f"/join/{furnished['token']}x")
    client.post(f"/join/{furnished['token']}", {"username": "", "password": word})
    client.get(f"/calendar/{furnished['calendar']}x.ics")

    def broken(*_args, **_more):
        raise RuntimeError("the shelf fell")

    monkeypatch.setattr(door.reading, "invitation", broken)
    monkeypatch.setattr(calendar.calendar_addresses, "find", broken)
    for path in (f"/join/{furnished['token']}", f"/calendar/{furnished['calendar']}.ics"):
        assert client.get(path).status_code == 500
    said = "\n".join(
        f"{settings_filtered(record)} {record.exc_text or ''}" for record in caplog.records
    )
    assert said, "nothing was logged: nothing was tried"
    for secret in (word, furnished["token"], furnished["calendar"], settings.SECRET_KEY):
        assert secret not in said


def settings_filtered(record):
    """The line as the server's own handler writes it."""
    from sourloam.logbook.hushing import Hushed

    Hushed().filter(record)
    return record.getMessage()
