"""What the server readies as soon as it listens."""

from django.conf import settings
from django.utils.module_loading import import_string


def test_the_server_readies_the_first_answer_of_set_up(monkeypatch):
    from sourloam.web import expecting

    asked = []
    monkeypatch.setattr(expecting, "warm", asked.append)
    for name in settings.EXPECTED:
        import_string(name)()
    (document,) = asked
    assert document["scraps"][0]["people"] == 3
