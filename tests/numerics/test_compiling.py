"""A compiled kernel is never older than its sources."""

import pytest

from sourloam.numerics import compiling


def test_the_cache_lies_in_the_users_folder_under_the_sources_fingerprint():
    folder = compiling._cache_folder() / compiling._fingerprint()
    assert compiling._SOURCE not in folder.parents


def test_a_changed_source_changes_the_fingerprint(monkeypatch, tmp_path):
    (tmp_path / "vessel").mkdir()
    kernel, page = tmp_path / "vessel" / "kernel.py", tmp_path / "vessel" / "page.py"
    kernel.write_text("from x import compiled\nA = 1\n")
    page.write_text("B = 1\n")
    monkeypatch.setattr(compiling, "_SOURCE", tmp_path)
    before = compiling._fingerprint()
    page.write_text("B = 2\n")
    assert compiling._fingerprint() == before
    kernel.write_text("from x import compiled\nA = 2\n")
    assert compiling._fingerprint() != before


@pytest.mark.parametrize("way", ["compiled", "inlined", "over_cores"])
def test_a_file_of_kernels_counts_whichever_way_it_compiles(way, monkeypatch, tmp_path):
    (tmp_path / "vessel").mkdir()
    monkeypatch.setattr(compiling, "_SOURCE", tmp_path)
    before = compiling._fingerprint()
    (tmp_path / "vessel" / "acidity.py").write_text(f"from x import {way}\n")
    assert compiling._fingerprint() != before
