"""A program that asks the API with its token."""

import json

from django.test import Client


class Program:
    """``get``, ``post`` and the like on addresses within its place, or from the API's root."""

    def __init__(self, place, token):
        self.place, self.token = place, token
        self.client = Client(raise_request_exception=False)

    def ask(self, method, path, body=None, **more):
        root = "/api/v1" if path.startswith("/") else f"/api/v1/places/{self.place}/"
        headers = {"authorization": f"Bearer {self.token}", **more.pop("headers", {})}
        if body is not None:
            more |= {"data": json.dumps(body), "content_type": "application/json"}
        return self.client.generic(method, root + path, headers=headers, **more)

    def get(self, path, **more):
        return self.ask("GET", path, **more)

    def post(self, path, body=None, **more):
        return self.ask("POST", path, body, **more)

    def form(self, path, **fields):
        headers = {"authorization": f"Bearer {self.token}"}
        root = "/api/v1" if path.startswith("/") else f"/api/v1/places/{self.place}/"
        return self.client.post(root + path, fields, headers=headers)


def problem_of(answer):
    """The problem of a refusal, held to its form."""
    assert answer.headers["Content-Type"] == "application/problem+json", answer.content
    said = json.loads(answer.content)
    assert said["status"] == answer.status_code
    assert said["type"] == "about:blank"
    assert said["title"]
    assert said["detail"]
    assert "\n" not in said["detail"]
    return said
