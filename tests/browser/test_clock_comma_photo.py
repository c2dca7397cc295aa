"""A phone from elsewhere, a comma, a photo too large for the way, a bowl not weighed yet."""

import datetime as dt
import io

from visiting import PHONE, Visit, newest, open_form, write_down

FOREIGN = {"status": 413, "content_type": "text/html", "body": "<h1>Request Entity Too Large</h1>"}


#: As typed, and what is meant; the last is an hour that comes twice in Dublin: the first is meant.
TIMES = (
    ("2026-07-01T18:30", "2026-07-01T17:30+00:00"),
    ("2026-01-15T00:10", "2026-01-15T00:10+00:00"),
    ("2025-10-26T01:30", "2025-10-26T00:30+00:00"),
)


def test_another_time_is_by_the_clock_of_the_place(chromium, house, live_server):
    visit = Visit(chromium, live_server.url, PHONE, timezone_id="Asia/Tokyo").come_in()
    page = visit.page
    for typed, meant in TIMES:
        visit.vessel(house)
        open_form(page, "noted")
        page.fill("#f-note", "from far away")
        page.click("#log-noted details.more summary")
        page.fill("#noted-at", typed)
        write_down(page, "noted")
        assert newest(house, "noted").at == dt.datetime.fromisoformat(meant)
    assert visit.trouble == []
    visit.context.close()


def test_in_spanish_and_without_signal_a_comma_is_a_comma(chromium, house, live_server):
    visit = Visit(chromium, live_server.url, PHONE, language="es-ES").come_in()
    visit.ready_for_the_shed()
    visit.context.set_offline(True)
    page = visit.page
    visit.vessel(house)
    open_form(page, "fed")
    page.click("#log-fed [data-step='0.5']")
    assert page.input_value("#f-amount") == "1,5"
    page.fill("#f-amount", "2,25")
    page.click("#log-fed .go")
    page.wait_for_selector("#pending li:has-text('por enviar')")
    visit.context.set_offline(False)
    page.evaluate("window.dispatchEvent(new Event('online'))")
    page.wait_for_selector("#signal", state="hidden")
    assert newest(house, "fed").body["amount"] == {"measure": "bowl", "count": 2.25}
    visit.context.close()


def test_a_number_outside_its_bounds_is_told_before_it_is_sent(on_phone, house):
    page = on_phone.page
    on_phone.vessel(house)
    open_form(page, "ph_read")
    page.fill("#f-ph", "44")
    page.locator("#log-ph_read .pills label").first.click()
    page.click("#log-ph_read .go")
    told = page.evaluate("document.getElementById('f-ph').validationMessage")
    assert told == "Write a number from 2 to 10"
    assert newest(house, "ph_read").body["ph"] == 4.4, "nothing went off"


def test_a_photo_too_large_for_the_way_can_be_left_behind(on_phone_without_worker, house):
    from PIL import Image

    visit = on_phone_without_worker
    visit.context.route("**/api/photos", lambda route: route.fulfill(**FOREIGN))
    page = visit.page
    visit.vessel(house)
    out = io.BytesIO()
    Image.new("RGB", (60, 40), "green").save(out, "JPEG")
    open_form(page, "photographed")
    file = {"name": "a.jpg", "mimeType": "image/jpeg", "buffer": out.getvalue()}
    page.set_input_files("#f-photo", file)
    page.fill("#f-photo-note", "white bloom on top")
    page.click("#log-photographed .go")
    page.wait_for_selector("#pending li:has-text('too large for a server on the way')")
    page.click("#pending button:has-text('Send without the photo')")
    page.wait_for_selector("#signal", state="hidden")
    assert newest(house, "noted").body == {"vessel": "blue", "note": "white bloom on top"}
    assert not house.entries.filter(kind="photographed").exists()


def test_a_layers_form_offers_to_weigh_a_bowl_once(on_phone, house):
    from django.contrib.auth.models import User
    from house_of_tests import entry

    from sourloam.logbook.people import make_place
    from sourloam.logbook.recording import record_entry

    person = User.objects.get()
    shed = make_place(person, "Shed", "Europe/Dublin")
    spec = {"name": "19 L pail", "volume": "19 L"}
    body = {"vessel": "red", "name": "Red pail", "spec": spec}
    assert record_entry(person, entry(shed.pk, "vessel_added", body)).stored
    page = on_phone.page
    on_phone.vessel(shed, "red")
    open_form(page, "fed")
    page.click("#log-fed .beside > summary")
    page.fill("#f-measure", "Sieve")
    page.fill("#f-size", "0,9")
    page.click("#log-fed .beside .go")
    page.wait_for_selector("#log-fed[open] .pills label:has-text('Sieve')")
    assert page.locator("#log-fed .beside").count() == 0
    assert newest(shed, "measure_set").body["mass_kg"] == 0.9
    write_down(page, "fed")
    assert newest(shed, "fed").body["amount"]["count"] == 1


def test_the_clock_of_the_device_is_offered_first(chromium, house, live_server):
    visit = Visit(chromium, live_server.url, PHONE, timezone_id="Asia/Tokyo").come_in()
    page = visit.page
    page.goto(f"{visit.url}/p/{house.pk}/place")
    page.click("button:has-text('As on this device: Asia/Tokyo')")
    assert page.input_value("#place-zone") == "Asia/Tokyo"
    page.click("form .go")
    page.wait_for_selector("text=Kept")
    house.refresh_from_db()
    assert house.zone == "Asia/Tokyo"
    assert visit.trouble == []
    visit.context.close()
