"""Whatever is sent to a page is answered: never with a fault of ours."""

import json

import pytest
from breaking import NASTY, broken, tried
from django.urls import reverse
from fuzz_seeds import ENTRY, FORMS, sound
from hypothesis import strategies as st

from sourloam.ledger import KINDS

MANY_FORMS, QUERIES, QUEUES, FILES = 150, 150, 150, 40
_texts = st.one_of(
    st.sampled_from([text for text in NASTY if len(text) < 3000]), st.text(max_size=9)
)
_names = st.sampled_from(
    [
        *(
            "vessel",
            "bed",
            "lot:slug",
            "amount-way",
            "amount-n",
            "size-n",
            "bran_g:n1",
            "note",
            "at",
        ),
        *(
            "temperature_c:f",
            "signs:list",
            "json:json",
            "photo",
            "next",
            "supersedes",
            "kinds.bread:n1",
        ),
        *(
            "mass_kg:n1",
            "volume_ml:n1",
            "a.b.c.d.e",
            "measure:new",
            ":",
            "n:n",
            "ph:n1",
            "age_days:n1",
        ),
    ]
)
_fields = st.dictionaries(_names | st.text(max_size=5), _texts, max_size=6)
_asked = st.sampled_from(
    ["sheet", "page", "signs", "sign", "q", "years", "since", "until", "next", "body", "a.warmth"]
)


def sendable(text):
    """What a browser can send: no halves of letters."""
    return text.encode("utf-8", "replace").decode()


def test_any_form_gets_an_answer(home, as_, record_property):
    client = as_("coordinator")

    def check(sent):
        kind, fields = sent
        fields = {sendable(name): sendable(text) for name, text in fields.items()}
        answer = client.post(reverse("web:log", args=[home.id, kind]), fields)
        assert answer.status_code < 500

    asked = st.tuples(st.sampled_from(sorted(KINDS)), _fields)
    record_property("tries", tried(asked, check, MANY_FORMS))


def test_any_form_as_bytes_gets_an_answer(home, as_, record_property):
    client, url = as_("coordinator"), reverse("web:log", args=[home.id, "fed"])

    def check(data):
        sort = "application/x-www-form-urlencoded"
        assert client.post(url, data, content_type=sort).status_code < 500

    record_property("tries", tried(broken(FORMS), check, MANY_FORMS))


def test_any_query_gets_an_answer(home, as_, record_property):
    client = as_("coordinator")
    pages = [
        *(reverse(f"web:{name}", args=[home.id]) for name in ("shelf", "beds", "stores", "people")),
        *(reverse(f"web:{name}", args=[home.id, "blue"]) for name in ("vessel", "rescue")),
        *(reverse("web:rescue_bed", args=[home.id, "wall"]), reverse("web:enter"), "/"),
    ]

    def check(sent):
        page, fields = sent
        fields = {name: sendable(text) for name, text in fields.items()}
        assert client.get(page, fields).status_code < 500

    asked = st.tuples(st.sampled_from(pages), st.dictionaries(_asked, _texts, max_size=4))
    record_property("tries", tried(asked, check, QUERIES))


def test_any_address_gets_an_answer(home, as_, record_property):
    client = as_("coordinator")
    ways = ["/p/{}/", "/p/{}/v/blue", "/v/{}", "/join/{}", "/calendar/{}.ics", "/{}"]

    def check(sent):
        way, text = sent
        from urllib.parse import quote

        assert client.get(way.format(quote(sendable(text), safe=""))).status_code < 500

    asked = st.tuples(st.sampled_from(ways), _texts)
    record_property("tries", tried(asked, check, QUERIES))


def test_anything_in_a_phones_queue_gets_json(home, as_, record_property):
    client, url = as_("coordinator"), reverse("web:entries")
    one = json.dumps(ENTRY | {"place": home.id}).encode()

    def check(data):
        answer = client.post(url, data, content_type="application/json")
        assert answer.status_code < 500
        assert json.loads(answer.content)

    strategy = st.one_of(broken([one]), broken([b"[" + one + b"," + one + b"]"]), st.binary())
    record_property("tries", tried(strategy, check, QUEUES))


@pytest.mark.parametrize(
    ("name", "kind"), [("bring_in", "place_json"), ("sheet", "weighing_sheet")]
)
def test_any_file_that_is_brought_in_gets_an_answer(home, as_, name, kind, record_property):
    from django.core.files.uploadedfile import SimpleUploadedFile

    client, url = as_("coordinator"), reverse(f"web:{name}", args=[home.id])

    def check(data):
        upload = SimpleUploadedFile("file", data)
        assert client.post(url, {"file": upload}).status_code < 500

    record_property("tries", tried(broken(sound(kind)), check, FILES))


def test_any_photo_that_is_sent_gets_an_answer(home, as_, record_property):
    from django.core.files.uploadedfile import SimpleUploadedFile

    client, url = as_("coordinator"), reverse("web:photos")

    def check(data):
        sent = {"place": home.id, "file": SimpleUploadedFile("a.jpg", data)}
        assert client.post(url, sent).status_code < 500

    record_property("tries", tried(broken(sound("photo")), check, FILES))
