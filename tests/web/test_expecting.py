"""What the server readies as soon as it listens."""

import ast
from pathlib import Path

from django.conf import settings
from django.utils.module_loading import import_string

from sourloam import api, web


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
    from sourloam.web.bran import next_batch

    next_batch.ready()
    assert next_batch._made.cache_info().currsize >= 1


def test_no_page_loads_a_library_while_it_is_asked_for():
    """Two threads that load rooms which need each other may meet one half made."""
    late = [
        f"{path.name}:{line.lineno}"
        for room in (web, api)
        for path in Path(room.__file__).parent.rglob("*.py")
        for part in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(part, ast.FunctionDef)
        for line in ast.walk(part)
        if isinstance(line, ast.Import | ast.ImportFrom)
    ]
    assert not late
