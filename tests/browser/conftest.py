"""A real browser against the real pages; skipped only where no Chromium is installed."""

import os
import shutil
import sys
from importlib import import_module
from pathlib import Path
from unittest import mock

import passing

os.environ.setdefault("SOURLOAM_DATA", passing.folder("data"))
# The browser's driver runs an event loop in this thread; nothing of ours runs in it.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")
sys.path.insert(0, str(Path(__file__).parents[1] / "web"))

import pytest
from house_of_tests import PASSWORD, furnish_at_once
from visiting import DESK, PHONE, Visit

_TRIGGERS = import_module("sourloam.logbook.migrations.0002_append_only")


@pytest.hookimpl(wrapper=True)
def pytest_runtest_teardown(item, nextitem):
    """The store refuses to be emptied; between two tests the refusal is lifted, then put back.

    Emptied, it needs none of what Django writes anew for its own pages, which are not ours.
    """
    from django.core.management.commands import flush
    from django.db import connection
    from pytest_django.plugin import blocking_manager_key

    def carry_out(statements):
        with item.config.stash[blocking_manager_key].unblock(), connection.cursor() as cursor:
            for statement in statements[connection.vendor]:
                cursor.execute(statement)

    stored = getattr(item, "furnished", False)
    if stored:
        carry_out(_TRIGGERS._BACK)
    with mock.patch.object(flush, "emit_post_migrate_signal"):
        done = yield
    if stored and nextitem is not None:  # after the last one the store is gone
        carry_out(_TRIGGERS._FORTH)
    return done


@pytest.fixture(scope="session")
def chromium():
    path = shutil.which("chromium") or shutil.which("chromium-browser")
    if path is None:
        pytest.skip("no chromium on this machine: install Debian's package chromium")
    from django.urls import get_resolver
    from playwright.sync_api import sync_playwright

    get_resolver().url_patterns  # noqa: B018 - all pages are loaded before a browser waits for one
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=path)
        yield browser
        browser.close()


@pytest.fixture
def house(request, transactional_db, live_server):
    """A furnished place on a running server, with its coordinator."""
    from django.contrib.auth.models import User

    from sourloam.logbook import standing
    from sourloam.logbook.people import make_place

    request.node.furnished = True
    standing.forget()
    person = User.objects.create_user("Ada", password=PASSWORD)
    place = make_place(person, "Flat at 4 Alder Row", "Europe/Dublin")

    furnish_at_once(person, place)
    return place


@pytest.fixture(params=[PHONE, DESK], ids=["phone", "desk"])
def visit(request, chromium, house, live_server):
    made = Visit(chromium, live_server.url, request.param).come_in()
    yield made
    made.context.close()


@pytest.fixture
def on_phone(chromium, house, live_server):
    made = Visit(chromium, live_server.url, PHONE).come_in()
    yield made
    made.context.close()


@pytest.fixture
def on_phone_without_worker(chromium, house, live_server):
    """For answers put in the server's place: the driver sees no request that a worker has seen."""
    made = Visit(chromium, live_server.url, PHONE, service_workers="block").come_in()
    yield made
    made.context.close()
