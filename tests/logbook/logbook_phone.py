"""A phone that sends entries to a real server, and a server that can be killed."""

import contextlib
import http.client
import json
import os
import sqlite3
import subprocess
import sys
from pathlib import Path
from urllib.parse import urlsplit

TOKEN = "a" * 32


class Phone:
    """Signed in, on one connection; ``send`` gives the status of the answer."""

    def __init__(self, address, somebody):
        self.connection = http.client.HTTPConnection(urlsplit(address).netloc, timeout=30)
        cookies = f"sessionid={somebody['session']}; csrftoken={TOKEN}"
        self.headers = {"Cookie": cookies, "X-CSRFToken": TOKEN, "Content-Type": "application/json"}

    def send(self, entry):
        self.connection.request("POST", "/api/entries", json.dumps(entry), self.headers)
        answer = self.connection.getresponse()
        self.said = answer.read()
        return answer.status

    def close(self):
        self.connection.close()


class Servers:
    """Servers on one folder; ``somebody`` is signed in on all of them."""

    def __init__(self, data, pages=False):
        script = Path(__file__).with_name("killable_server.py")
        self.process = subprocess.Popen(
            [sys.executable, str(script), str(data), *(["pages"] if pages else [])],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        self.somebody = json.loads(self.process.stdout.readline())

    def start(self, most_bytes=0, too=False):
        """Address and process id of a fresh server. The one before must be gone, but for one that
        stands beside it (``too``); no file may grow beyond ``most_bytes``."""
        self.process.stdin.write(f"{most_bytes}{' too' if too else ''}\n")
        self.process.stdin.flush()
        return json.loads(self.process.stdout.readline())

    def close(self):
        self.process.stdin.close()
        self.process.wait(timeout=30)
        self.process.stdout.close()


_ROWS = "SELECT id, seq, hash_before, hash FROM logbook_entry ORDER BY seq"


def stored(data):
    """Id, number and seals of every entry, in their order, read past the program."""
    address = os.environ.get("SOURLOAM_DATABASE")
    if address:
        import psycopg

        with psycopg.connect(address) as database:
            return database.execute(_ROWS).fetchall()
    with contextlib.closing(sqlite3.connect(data / "logbook.sqlite3")) as database:
        return database.execute(_ROWS).fetchall()


def unbroken(rows):
    """Whether they are numbered without a gap and each seals the one before."""
    numbers = [row[1] for row in rows] == list(range(1, len(rows) + 1))
    return numbers and [row[2] for row in rows] == ["", *(row[3] for row in rows[:-1])][: len(rows)]
