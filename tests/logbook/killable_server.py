"""A server to be killed: for each line of input it forks a fresh one and tells where it is.

Run with a data folder. The first line of output tells how to sign in. Forking spares the twenty
starts their imports; each fork opens the database anew.
"""

import json
import os
import sys
from importlib import import_module
from pathlib import Path

from logbook_cast import SPEC, raw

from sourloam.logbook import serving


def main(data):
    serving.prepare(serving.folder_for(Path(data), demo=False))
    import_module("sourloam.logbook.wsgi")
    import_module("sourloam.logbook.urls")  # before forking, once for all
    print(json.dumps(_somebody()), flush=True)
    for _line in sys.stdin:
        child = os.fork()
        if child == 0:
            _serve()
        os.waitpid(child, 0)


def _somebody():
    from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY
    from django.contrib.sessions.backends.db import SessionStore
    from django.db import connections

    from sourloam.logbook.people import make_first_keeper, make_place
    from sourloam.logbook.recording import record_entry

    keeper = make_first_keeper("Ana", "a short sentence")
    session = SessionStore()
    session[SESSION_KEY] = str(keeper.pk)
    session[BACKEND_SESSION_KEY] = "django.contrib.auth.backends.ModelBackend"
    session[HASH_SESSION_KEY] = keeper.get_session_auth_hash()
    session.save()
    place = make_place(keeper, "Flat at Alder Row").pk
    body = {"vessel": "blue", "name": "Blue pail", "spec": SPEC}
    assert record_entry(keeper, raw(place, "vessel_added", body)).stored
    connections.close_all()
    return {"place": place, "session": session.session_key}


def _serve():
    def say(address):
        print(json.dumps({"address": address, "pid": os.getpid()}), flush=True)

    serving.run(serving.bound("127.0.0.1", 0), say, foresee=False)
    os._exit(0)


if __name__ == "__main__":
    main(sys.argv[1])
