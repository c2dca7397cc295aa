"""A browser that visits the pages as a person does."""

from house_of_tests import PASSWORD

PHONE = {"width": 390, "height": 844}
DESK = {"width": 1280, "height": 800}


class Visit:
    """A signed-in browser, with a note of every address that it asked."""

    def __init__(self, browser, url, viewport, language="en-GB", **context):
        self.url = url
        self.context = browser.new_context(viewport=viewport, locale=language, **context)
        self.context.set_default_timeout(60_000)
        self.asked, self.trouble = [], []
        self.page = self.opened()

    def opened(self):
        page = self.context.new_page()
        page.on("request", lambda request: self.asked.append(request.url))
        page.on("console", lambda m: self.trouble.append(m.text) if m.type == "error" else None)
        page.on("pageerror", lambda error: self.trouble.append(str(error)))
        return page

    def sign_in(self):
        """Through the page on which one gives a name and a password."""
        self.page.goto(f"{self.url}/enter")
        self.page.fill("#name", "Ada")
        self.page.fill("#word", PASSWORD)
        self.page.click("form .go")
        self.page.wait_for_url(f"{self.url}/")
        return self

    def come_in(self):
        """With the cookie that signing in leaves behind, to the first page."""
        from django.conf import settings
        from django.contrib.auth.models import User
        from django.test import Client

        known = Client()
        known.force_login(User.objects.get(), settings.AUTHENTICATION_BACKENDS[-1])
        name = settings.SESSION_COOKIE_NAME
        cookie = {"name": name, "value": known.cookies[name].value, "url": self.url}
        self.context.add_cookies([cookie])
        self.page.goto(f"{self.url}/")
        return self

    def vessel(self, house, vessel="blue"):
        self.page.goto(f"{self.url}/p/{house.pk}/v/{vessel}")

    def ready_for_the_shed(self):
        """Wait until the worker holds the shelf and the open vessels."""
        until(
            self.page,
            "(await (await caches.open('sourloam-pages')).keys()).length >= 3"
            " && Boolean(navigator.serviceWorker.controller)",
        )


def until(page, condition):
    """Wait for a condition that itself waits, which the driver's own waiting takes for true."""
    held = page.evaluate(
        f"""async () => {{ for (let turn = 0; turn < 150; turn++) {{
        if ({condition}) return true;
        await new Promise(done => setTimeout(done, 100)); }} return false; }}"""
    )
    assert held, condition


def open_form(page, kind):
    page.click(f"#log-{kind} > summary")


def write_down(page, kind):
    with page.expect_navigation():
        page.click(f"#log-{kind} .go")


def newest(house, kind):
    return house.entries.filter(kind=kind).order_by("-seq").first()
