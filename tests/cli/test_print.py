"""``sourloam print``: sheets written to files, trouble in one line."""

from pathlib import Path

import pytest

from sourloam.cli import main

HOME = Path(__file__).parents[2] / "examples" / "home.toml"


def run(*arguments):
    with pytest.raises(SystemExit) as caught:
        main(["print", str(HOME), "--members", "20", *map(str, arguments)])
    return caught.value.code


def test_labels_are_written_whole(tmp_path, capsys):
    out = tmp_path / "labels.pdf"
    assert run("--what", "labels", "--out", out, "--sticker", "99x68", "--language", "es") == 0
    assert out.read_bytes().startswith(b"%PDF")
    assert [path.name for path in tmp_path.iterdir()] == ["labels.pdf"]
    assert capsys.readouterr().out == ""


@pytest.mark.parametrize(
    ("arguments", "why"),
    [
        (["--out", "card.txt"], "give one of .pdf"),
        (["--out", "card.pdf", "--what", "calendar"], "give one of .ics"),
        (["--out", "card.pdf", "--sticker", "large"], "write width x height in mm"),
        (["--out", "l.pdf", "--what", "labels", "--sticker", "9x9"], "give at least 40x20"),
        (["--out", "card.pdf", "--address", "shed"], "begin it with http"),
        (["--out", "card.pdf", "--what", "poster"], "poster"),
    ],
)
def test_trouble_is_told_in_one_line_before_computing(
    tmp_path, monkeypatch, capsys, arguments, why
):
    monkeypatch.chdir(tmp_path)
    assert run(*arguments) == 2
    err = capsys.readouterr().err
    assert len(err.strip().splitlines()) == 1
    assert why in err
    assert list(tmp_path.iterdir()) == []
