"""In a shed without signal: what was written waits on the phone and goes off once, later."""

import time

import pytest
from visiting import PHONE, Visit, newest, open_form, until

WAITING = """(await new Promise(done => { const open = indexedDB.open('sourloam', 1);
open.onsuccess = () => { const all = open.result.transaction('entries').objectStore('entries');
all.count().onsuccess = event => { open.result.close(); done(event.target.result); }; }; }))"""


@pytest.fixture
def in_the_shed(on_phone, house):
    """A phone that has seen the shelf, now without signal."""
    on_phone.ready_for_the_shed()
    on_phone.context.set_offline(True)
    return on_phone


def drain(page, volume):
    open_form(page, "drained")
    page.fill("#f-drained", volume)
    page.click("#log-drained .go")
    page.wait_for_selector("#pending li")


def test_shelf_and_open_vessels_are_there_without_signal(in_the_shed, house):
    page = in_the_shed.page
    page.goto(f"{in_the_shed.url}/")
    assert "Blue pail" in page.inner_text("main")
    page.click("a:has-text('Blue pail')")
    assert page.inner_text("h1").startswith("Blue pail")
    page.goto(f"{in_the_shed.url}/p/{house.pk}/people")
    assert "No signal" in page.inner_text("h1")


def test_what_was_written_without_signal_goes_off_when_it_is_back(in_the_shed, house):
    page = in_the_shed.page
    in_the_shed.vessel(house)
    drain(page, "140")
    assert newest(house, "drained").body["volume_ml"] == 120, "nothing has arrived yet"
    page.wait_for_selector("#signal:has-text('1 waiting for signal')")
    in_the_shed.context.set_offline(False)
    page.evaluate("window.dispatchEvent(new Event('online'))")
    page.wait_for_selector("#signal", state="hidden")
    assert newest(house, "drained").body["volume_ml"] == 140


def test_what_was_done_without_signal_is_counted_off_here_and_on_the_kept_page(in_the_shed, house):
    page = in_the_shed.page
    page.goto(f"{in_the_shed.url}/")
    wanted = int(page.inner_text("h1").split()[0])
    page.locator(".slip", has_text="Wash Tin").locator("button.go").click()
    fewer = page.locator("h1", has_text=f"{wanted - 1} ")
    fewer.wait_for()
    assert page.locator(".slip:visible").count() == wanted - 1
    page.reload()
    fewer.wait_for()
    assert page.locator(".slip", has_text="Wash Tin").is_hidden()
    assert page.locator(".shelf li", has_text="wants washing").locator(".tag").is_hidden()


def test_the_queue_outlives_a_killed_page(in_the_shed, house):
    page = in_the_shed.page
    in_the_shed.vessel(house)
    drain(page, "150")
    until(page, f"{WAITING} === 1")
    page.close(run_before_unload=False)
    in_the_shed.context.set_offline(False)
    again = in_the_shed.opened()
    again.goto(f"{in_the_shed.url}/")
    until(again, f"{WAITING} === 0")
    assert newest(house, "drained").body["volume_ml"] == 150


def test_an_answer_that_was_lost_does_not_double_the_entry(on_phone_without_worker, house):
    page = on_phone_without_worker.page
    on_phone_without_worker.vessel(house)
    lost = []

    def lose_the_first(route):
        if lost:
            return route.continue_()
        lost.append(route.fetch())
        return route.abort()

    on_phone_without_worker.context.route("**/api/entries", lose_the_first)
    before = house.entries.count()
    drain(page, "160")
    page.evaluate("window.dispatchEvent(new Event('online'))")
    page.wait_for_selector("#signal", state="hidden")
    assert house.entries.count() == before + 1


def test_what_the_server_refuses_is_shown_and_can_be_dropped(on_phone, house):
    page = on_phone.page
    on_phone.vessel(house)
    house.memberships.update(role="reader")
    drain(page, "170")
    page.wait_for_selector("#signal[data-state=refused]")
    page.click("#pending li button:has-text('Drop it')")
    page.wait_for_selector("#signal", state="hidden")
    assert newest(house, "drained").body["volume_ml"] == 120


def test_signing_out_empties_the_phone_of_pages(on_phone):
    on_phone.ready_for_the_shed()
    page = on_phone.page
    page.goto(f"{on_phone.url}/settings")
    page.click("form[data-leave] button")
    page.wait_for_url("**/enter")
    assert page.evaluate("async () => (await caches.keys()).includes('sourloam-pages')") is False


def test_a_slow_answer_is_waited_for(on_phone, house, monkeypatch):
    """Slow is not without signal: longer than any old patience, shorter than the reader's."""
    import time

    from sourloam.web.views import people

    on_phone.ready_for_the_shed()
    shown = people.page

    def slow(*args, **more):
        time.sleep(6)
        return shown(*args, **more)

    monkeypatch.setattr(people, "page", slow)
    page = on_phone.page
    page.goto(f"{on_phone.url}/p/{house.pk}/people")
    assert "No signal" not in page.inner_text("h1")
    assert "Ada" in page.inner_text("main")


@pytest.mark.slow
def test_a_kept_page_comes_in_place_of_an_answer_that_hangs(on_phone, house, monkeypatch):
    import threading

    from sourloam.web.views import today

    on_phone.ready_for_the_shed()
    release, shown = threading.Event(), today.page

    def hanging(*args, **more):
        release.wait(60)
        return shown(*args, **more)

    monkeypatch.setattr(today, "page", hanging)
    page = on_phone.page
    page.goto(f"{on_phone.url}/", timeout=40_000)
    release.set()
    assert "Blue pail" in page.inner_text("main")


PLAIN_HTTP = """delete Crypto.prototype.randomUUID; delete window.caches;
delete Navigator.prototype.serviceWorker; delete Navigator.prototype.locks;"""
KEEPS_NOTHING = "Object.defineProperty(window, 'indexedDB', { value: undefined });"
KEEPING_FAILS = "IDBFactory.prototype.open = () => { throw new Error('no room'); };"


def test_over_plain_http_in_the_house_an_entry_is_written_down(on_phone, house):
    for volume, also in ((135, ""), (136, KEEPS_NOTHING), (137, KEEPING_FAILS)):
        page = on_phone.opened()
        page.add_init_script(PLAIN_HTTP + also)
        page.goto(f"{on_phone.url}/p/{house.pk}/v/blue")
        assert page.evaluate("crypto.randomUUID") is None
        open_form(page, "drained")
        page.fill("#f-drained", str(volume))
        with page.expect_navigation():
            page.click("#log-drained .go")
        stored = newest(house, "drained")
        assert stored.body["volume_ml"] == volume, also
        assert stored.pk.version == 4
    assert on_phone.trouble == []


def answered_by(foreign):
    return lambda route: route.fulfill(**foreign)


def test_an_answer_that_is_not_the_logs_own_leaves_the_entry_waiting(
    on_phone_without_worker, house
):
    page, context = on_phone_without_worker.page, on_phone_without_worker.context
    on_phone_without_worker.vessel(house)
    for status in (400, 403, 404, 413):
        foreign = {"status": status, "content_type": "text/html", "body": "<h1>No</h1>"}
        context.route("**/api/entries", answered_by(foreign))
        open_form(page, "drained")
        page.fill("#f-drained", str(status))
        page.click("#log-drained .go")
        page.wait_for_selector("#signal[data-state=waiting]")
        context.unroute("**/api/entries")
        page.evaluate("window.dispatchEvent(new Event('online'))")
        page.wait_for_selector("#signal", state="hidden")
        assert newest(house, "drained").body["volume_ml"] == status
        on_phone_without_worker.vessel(house)


def test_what_was_refused_can_be_tried_again(on_phone, house):
    page = on_phone.page
    on_phone.vessel(house)
    house.memberships.update(role="reader")
    drain(page, "155")
    page.wait_for_selector("#signal[data-state=refused]")
    house.memberships.update(role="coordinator")
    page.click("#pending li button:has-text('Try again')")
    page.wait_for_selector("#signal", state="hidden")
    assert newest(house, "drained").body["volume_ml"] == 155


def test_a_page_that_takes_long_shows_that_it_is_under_way(chromium, house, live_server):
    visit = Visit(chromium, live_server.url, PHONE, service_workers="block").come_in()
    page = visit.page

    def late(route):
        time.sleep(1.5)
        route.continue_()

    page.evaluate(
        """new MutationObserver(() => localStorage.setItem("seen", "busy"))
        .observe(document.getElementById("main"), {attributes: true})"""
    )
    page.route("**/settings", late)
    page.click(".lintel .far")
    page.wait_for_url("**/settings")
    assert page.evaluate("localStorage.getItem('seen')") == "busy"
    assert page.locator("main[aria-busy=true]").count() == 0
    visit.context.close()
