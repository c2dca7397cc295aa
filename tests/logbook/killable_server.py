"""A server to be killed: for each line of input it forks a fresh one and tells where it is.

A line may hold a number of bytes, beyond which no file may grow (a full disk), and the word "too":
then it stands beside the one before. Run with a data folder, and "pages" where pages are asked
too. The first line of output tells how to sign in. Forking spares the starts their imports; each
fork opens the database anew.
"""

import json
import os
import resource
import sys
from importlib import import_module
from pathlib import Path

from logbook_cast import SPEC, raw

from sourloam.logbook import serving


def main(data, pages=""):
    serving.prepare(serving.folder_for(Path(data), demo=False), static=bool(pages))
    import_module("sourloam.logbook.wsgi")
    import_module("sourloam.logbook.urls")  # before forking, once for all
    print(json.dumps(_somebody()), flush=True)
    beside = []
    for line in sys.stdin:
        most_bytes, _, too = line.partition(" ")
        if not too:
            for child in beside:
                os.waitpid(child, 0)
            beside = []
        child = os.fork()
        if child == 0:
            _serve(int(most_bytes or 0))
        beside.append(child)


def _somebody():
    from django.contrib.auth.models import User
    from django.db import connections

    from sourloam.logbook.models import Place

    keeper = User.objects.first() or _furnished()
    told = {"place": Place.objects.get().pk, "session": _session(keeper)}
    connections.close_all()
    return told


def _furnished():
    """The first keeper of a fresh folder, with a place and a vessel."""
    from sourloam.logbook.people import make_first_keeper, make_place
    from sourloam.logbook.recording import record_entry

    keeper = make_first_keeper("Ana", "a short sentence")
    place = make_place(keeper, "Flat at Alder Row").pk
    body = {"vessel": "blue", "name": "Blue pail", "spec": SPEC}
    assert record_entry(keeper, raw(place, "vessel_added", body)).stored
    return keeper


def _session(keeper):
    from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY
    from django.contrib.sessions.backends.db import SessionStore

    session = SessionStore()
    session[SESSION_KEY] = str(keeper.pk)
    session[BACKEND_SESSION_KEY] = "django.contrib.auth.backends.ModelBackend"
    session[HASH_SESSION_KEY] = keeper.get_session_auth_hash()
    session.save()
    return session.session_key


def _serve(most_bytes):
    if most_bytes:
        resource.setrlimit(resource.RLIMIT_FSIZE, (most_bytes, most_bytes))

    def say(address):
        print(json.dumps({"address": address, "pid": os.getpid()}), flush=True)

    serving.run(serving.bound("127.0.0.1", 0), say, foresee=False)
    os._exit(0)


if __name__ == "__main__":
    main(*sys.argv[1:])
