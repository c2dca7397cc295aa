"""What the server readies as soon as it listens."""

from django.conf import settings
from django.utils.module_loading import import_string


def test_the_server_readies_the_first_answer_of_set_up(monkeypatch):
    from sourloam.web import expecting

    asked, made = [], []
    monkeypatch.setattr(expecting, "warm", asked.append)
    monkeypatch.setattr(expecting, "ready", lambda: made.append("batch"))
    for name in settings.EXPECTED:
        import_string(name)()
    (document,) = asked
    assert document["scraps"][0]["people"] == 3
    assert made == ["batch"]


def test_a_place_without_a_word_on_bran_gives_a_batch():
    from sourloam.web import next_batch

    next_batch.ready()
    assert next_batch._made.cache_info().currsize >= 1
