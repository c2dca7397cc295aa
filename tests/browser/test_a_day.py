"""A day of work, as a person does it on a phone and at a desk."""

import io

from house_of_tests import entry
from visiting import PHONE, Visit, newest, open_form, write_down


def kinds(house):
    return list(house.entries.order_by("seq").values_list("kind", flat=True))


def test_a_day_of_work_is_written_down(visit, house):
    page = visit.page
    before = len(kinds(house))
    visit.vessel(house)
    open_form(page, "fed")
    assert page.input_value("#f-amount") == "1", "the amount of last time stands there"
    page.click("#log-fed [data-step='0.5']")
    write_down(page, "fed")
    layer = newest(house, "fed").body
    assert layer["amount"] == {"measure": "bowl", "count": 1.5}
    assert layer["bran_g"] == 20, "and its bran"
    open_form(page, "drained")
    page.fill("#f-drained", "170")
    write_down(page, "drained")
    assert newest(house, "drained").body["volume_ml"] == 170
    open_form(page, "ph_read")
    page.fill("#f-ph", "4.3")
    page.locator("#log-ph_read .pills label").first.click()
    write_down(page, "ph_read")
    open_form(page, "looked")
    page.locator("#log-looked .pills label").nth(3).click()
    write_down(page, "looked")
    assert len(newest(house, "looked").body["signs"]) == 1
    open_form(page, "fill_marked")
    page.locator("#log-fill_marked .pills label").nth(2).click()
    write_down(page, "fill_marked")
    assert newest(house, "fill_marked").body["fraction"] == 0.75
    open_form(page, "set_aside")
    write_down(page, "set_aside")
    assert len(kinds(house)) == before + 6
    assert "Resting since" in page.inner_text("main")
    assert visit.trouble == []


def test_a_layer_takes_three_taps_from_the_shelf(on_phone, house):
    page = on_phone.page
    page.click("a:has-text('Blue pail')")
    open_form(page, "fed")
    write_down(page, "fed")
    assert newest(house, "fed").body["vessel"] == "blue"


def test_from_the_list_of_work_another_amount_takes_three_taps(on_phone, house):
    page = on_phone.page
    page.locator(".slip a.what", has_text="Feed Blue pail").click()
    page.click("#log-fed [data-step='0.5']")
    write_down(page, "fed")
    assert newest(house, "fed").body["amount"] == {"measure": "bowl", "count": 1.5}


def test_the_same_layer_again_is_one_tap_also_where_the_visit_wants_more(on_phone, house):
    page = on_phone.page
    before = house.entries.filter(kind="fed").count()
    page.locator("button[aria-label='Same again: Feed Blue pail']").click()
    page.wait_for_selector("#said:has-text('Written down')")
    assert newest(house, "fed").body["amount"] == {"measure": "bowl", "count": 1}
    assert house.entries.filter(kind="fed").count() == before + 1
    assert page.locator(".slip", has_text="Drain Blue pail").is_visible(), "that is still to do"


def test_done_is_one_tap_and_the_slip_goes(on_phone, house):
    page = on_phone.page
    slip = page.locator(".slip", has_text="Wash Tin")
    slip.locator("button.go").click()
    slip.wait_for(state="hidden")
    said = page.wait_for_selector("#said:has-text('Written down')")
    box = said.bounding_box()
    assert box["y"] + box["height"] < 110, "under the beam, not where the thumb taps next"
    assert said.evaluate("line => getComputedStyle(line).pointerEvents") == "none"
    assert newest(house, "washed").body == {"vessel": "tin"}


def test_what_wants_you_follows_at_once_without_a_new_page(on_phone, house):
    page = on_phone.page
    wanted = int(page.inner_text("h1").split()[0])
    page.evaluate("globalThis.stays = true")
    again = page.locator("button[aria-label='Same again: Feed Blue pail']")
    again.click()
    again.wait_for(state="detached")
    assert page.inner_text("h1").startswith(f"{wanted} "), "the pail is still to be drained"
    page.locator(".slip", has_text="Wash Tin").locator("button.go").click()
    page.locator("h1", has_text=f"{wanted - 1} ").wait_for()
    assert page.locator(".slip:visible").count() == wanted - 1
    assert page.evaluate("globalThis.stays") is True
    assert on_phone.trouble == []


def test_what_is_being_written_is_not_lost_when_the_page_follows(on_phone, house):
    page = on_phone.page
    on_phone.vessel(house)
    open_form(page, "drained")
    page.fill("#f-drained", "170")
    page.click("button[aria-label='Same again: Feed Blue pail']")
    page.wait_for_selector("#said:has-text('Written down')")
    page.wait_for_timeout(300)
    assert page.input_value("#f-drained") == "170"


def test_a_photo_goes_off_small_and_without_its_place(on_phone, house):
    from PIL import Image

    from sourloam.logbook.photos import photo_bytes

    exif = Image.Exif()
    exif[0x010E] = "planted words"
    out = io.BytesIO()
    Image.new("RGB", (3000, 2000), "green").save(out, "JPEG", exif=exif)
    page = on_phone.page
    on_phone.vessel(house)
    open_form(page, "photographed")
    file = {"name": "a.jpg", "mimeType": "image/jpeg", "buffer": out.getvalue()}
    page.set_input_files("#f-photo", file)
    write_down(page, "photographed")
    kept = photo_bytes(house.pk, newest(house, "photographed").body["photo"])
    assert b"planted words" not in kept
    assert max(Image.open(io.BytesIO(kept)).size) <= 1600


def test_the_sliders_answer_while_they_move(on_phone, house):
    page = on_phone.page
    page.goto(f"{on_phone.url}/p/{house.pk}/set-up")
    page.wait_for_selector("#answer .figure >> nth=0", timeout=120_000)
    before = page.inner_text("#answer .answer")
    page.evaluate(
        """() => { const s = document.getElementById('s-people'); s.value = 12;
        s.dispatchEvent(new Event('input', {bubbles: true})); }"""
    )
    page.wait_for_function(
        "before => document.querySelector('#answer .answer').innerText !== before", arg=before
    )
    assert page.inner_text("output[for=s-people]") == "12"
    sentence = page.locator("#answer .answer").bounding_box()
    page.locator("#s-risk_percent").scroll_into_view_if_needed()
    page.mouse.wheel(0, 300)
    assert 0 <= page.locator("#answer .answer").bounding_box()["y"] < 120, "it stays in sight"
    assert sentence["height"] < 200


def test_a_name_without_a_space_never_widens_a_page(on_phone, house):
    from django.contrib.auth.models import User

    from sourloam.logbook.models import Place
    from sourloam.logbook.recording import record_entry

    page, name = on_phone.page, "Donaudampfschifffahrtsgesellschaftskapitaenswitwenrentenauszahlung"
    Place.objects.filter(pk=house.pk).update(name=name)
    added = {"vessel": "long", "name": name, "spec": {"name": "pail", "volume": "19 L"}}
    bed = {"bed": "long", "name": name, "spec": {"name": name, "length": "2 m", "width": "1 m"}}
    noted = {"vessel": "long", "note": name}
    for kind, body in (("vessel_added", added), ("bed_added", bed), ("noted", noted)):
        assert record_entry(User.objects.get(), entry(house.pk, kind, body, 1)).stored
    for path in ("", "beds", "v/long", "lots", "stores", "people", "away"):
        page.goto(f"{on_phone.url}/p/{house.pk}/{path}")
        assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"], path


def test_a_spanish_phone_gets_spanish(chromium, house, live_server):
    visit = Visit(chromium, live_server.url, PHONE, language="es-ES").sign_in()
    page = visit.page
    visit.vessel(house)
    assert page.get_attribute("html", "lang") == "es"
    open_form(page, "drained")
    page.fill("#f-drained", "80")
    write_down(page, "drained")
    assert newest(house, "drained").body["volume_ml"] == 80
    page.wait_for_selector("#said:has-text('Anotado')")
    visit.context.close()


def test_a_mistake_is_corrected_in_its_form(visit, house):
    page = visit.page
    visit.vessel(house)
    before = newest(house, "drained")
    line = page.locator(".log li", has_text="120 mL")
    line.locator("a", has_text="Correct").click()
    assert page.input_value("#f-drained") == "120"
    page.fill("#f-drained", "95")
    with page.expect_navigation():
        page.click("form[data-entry] .go")
    assert page.inner_text("h1").startswith("Blue pail"), "back where it was read"
    again = newest(house, "drained")
    assert again.body["volume_ml"] == 95
    assert again.supersedes == before.pk
    assert again.at == before.at
    assert page.locator(".log li", has_text="120 mL").count() == 0
    assert visit.trouble == []


def test_a_bowlful_and_a_bag_of_bran_are_written_down(on_phone, house):
    page = on_phone.page
    page.goto(f"{on_phone.url}/p/{house.pk}/stores")
    open_form(page, "measure_set")
    page.fill("#f-measure", "Sieve")
    page.fill("#f-size", "0.85")
    write_down(page, "measure_set")
    measure = newest(house, "measure_set").body
    assert (measure["name"], measure["mass_kg"]) == ("Sieve", 0.85)
    open_form(page, "bran_received")
    page.fill("#f-lot", "Mühle, May 2")
    page.fill("#f-bran", "2")
    write_down(page, "bran_received")
    assert newest(house, "bran_received").body["lot"] == "muhle-may-2"
    assert "of bran may be used" in page.inner_text("h1")


def test_two_taps_from_a_plan_to_vessels_on_the_shelf(on_phone, house):
    page = on_phone.page
    page.goto(f"{on_phone.url}/new")
    page.wait_for_selector("#answer .figure >> nth=0", timeout=120_000)
    many = int(page.input_value("#stand"))
    page.click("button[name=keep]")
    page.wait_for_url("**/p/**")
    assert many >= 2
    assert page.locator(".shelf li").count() == many
    assert on_phone.trouble == []
