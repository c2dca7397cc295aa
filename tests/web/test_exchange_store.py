"""A place out of one logbook and into another, by the store and by command."""

import datetime as dt
import io
import json
import os
import subprocess
import sys

import pytest

from sourloam.exchange import (
    Bundle,
    ExchangeError,
    PlaceFacts,
    place_json,
    read_bundle,
    write_archive,
)
from sourloam.ledger import fold, parse_entry


def _photo(colour="red"):
    from PIL import Image

    kept = io.BytesIO()
    Image.new("RGB", (40, 30), colour).save(kept, "JPEG")
    return kept.getvalue()


def zipped(bundle):
    kept = io.BytesIO()
    write_archive(bundle, kept)
    return kept.getvalue()


def elsewhere(bundle, place="beech-row", **facts):
    """The same place under another id, as if from another logbook: with ids of its own."""
    raws = [entry.as_json() | {"place": place} for entry in bundle.entries]
    ids = {raw["id"]: str(i).rjust(8, "9") + raw["id"][8:] for i, raw in enumerate(raws)}
    for raw in raws:
        raw["id"] = ids[raw["id"]]
        if "supersedes" in raw:
            raw["supersedes"] = ids[raw["supersedes"]]
    known = bundle.place.as_json() | {"id": place, **facts}
    return Bundle(PlaceFacts(**known), tuple(map(parse_entry, raws)), bundle.photos)


@pytest.fixture
def out(home):
    from sourloam.logbook import exchanging

    return exchanging.take_out(home.people["keeper"], home.id)


def test_a_place_comes_in_elsewhere_with_who_wrote_what_and_when(home, out):
    from zoneinfo import ZoneInfo

    from sourloam.logbook import exchanging, models
    from sourloam.logbook.chain import first_break
    from sourloam.logbook.standing import state_of

    moved = elsewhere(read_bundle(zipped(out)))
    done = exchanging.bring_in(home.people["stranger"], moved)
    assert (done.fresh_place, done.new, done.known) == (True, len(out.entries), 0)
    state, _seq = state_of("beech-row", "Europe/Dublin")
    assert state == fold(moved.entries, ZoneInfo("Europe/Dublin"))
    assert {e.by for e in models.Entry.objects.filter(place_id="beech-row")} == {"coordinator"}
    assert first_break("beech-row") is None
    place = models.Place.objects.get(pk="beech-row")
    assert (place.name, place.zone) == (out.place.name, "Europe/Dublin")


def test_the_same_file_again_adds_nothing(home, out):
    from sourloam.logbook import exchanging

    done = exchanging.bring_in(home.people["coordinator"], read_bundle(place_json(out)), home.id)
    assert (done.fresh_place, done.new, done.known) == (False, 0, len(out.entries))


def test_what_was_written_meanwhile_elsewhere_is_added(home, out):
    from sourloam.logbook import exchanging, models

    fresh = parse_entry(
        out.entries[-1].as_json()
        | {"id": "99999999-2222-4333-8444-555555555555", "kind": "noted", "body": {"note": "hot"}}
    )
    more = Bundle(out.place, (*out.entries, fresh))
    assert exchanging.bring_in(home.people["coordinator"], more, home.id).new == 1
    assert models.Entry.objects.filter(pk=fresh.id).exists()


@pytest.mark.parametrize("who", ["keeper", "gardener", "reader", "stranger"])
def test_only_a_coordinator_brings_a_place_in(home, out, who):
    from sourloam.logbook import exchanging
    from sourloam.logbook.refusals import Refused

    with pytest.raises(Refused):
        exchanging.bring_in(home.people[who], out, home.id)


@pytest.mark.parametrize(("who", "status"), [("gardener", 403), ("reader", 403), ("stranger", 404)])
def test_only_keepers_take_a_place_out(home, who, status):
    from sourloam.logbook import exchanging
    from sourloam.logbook.refusals import Refused

    with pytest.raises(Refused) as caught:
        exchanging.take_out(home.people[who], home.id)
    assert caught.value.status == status


def test_an_id_that_means_something_else_here_keeps_the_whole_file_out(home, out):
    from sourloam.logbook import exchanging, models

    before = models.Entry.objects.count()
    other = out.entries[-1].as_json() | {"kind": "noted", "body": {"note": "another"}}
    fresh = other | {"id": "99999999-2222-4333-8444-555555555555"}
    bad = Bundle(out.place, (parse_entry(fresh), parse_entry(other)))
    with pytest.raises(ExchangeError, match=r"entry 2: id: .*another entry here has it"):
        exchanging.bring_in(home.people["coordinator"], bad, home.id)
    assert models.Entry.objects.count() == before


def test_a_file_of_another_place_is_told_so(home, out):
    from sourloam.logbook import exchanging

    moved = elsewhere(out, name="Beech Row")
    with pytest.raises(ExchangeError, match="another place: Beech Row"):
        exchanging.bring_in(home.people["coordinator"], moved, home.id)


def test_photos_come_along(home):
    import hashlib

    from sourloam.logbook import exchanging, photos

    picture = _photo()
    name = hashlib.sha256(picture).hexdigest()
    bundle = Bundle(PlaceFacts("beech-row", "Beech Row"), (), {name: lambda: picture})
    done = exchanging.bring_in(home.people["stranger"], read_bundle(zipped(bundle)))
    assert done.photos == 1
    assert photos.photo_bytes("beech-row", name) == picture
    again = exchanging.take_out(home.people["stranger"], "beech-row")
    assert again.photos[name]() == picture


@pytest.mark.parametrize("data", [b"<svg/>", b"\xff\xd8\xff no picture"])
def test_a_file_that_is_no_photo_keeps_the_whole_place_out(home, data):
    import hashlib

    from sourloam.logbook import exchanging, models

    name = hashlib.sha256(data).hexdigest()
    bundle = Bundle(PlaceFacts("beech-row", "Beech Row"), (), {name: lambda: data})
    with pytest.raises(ExchangeError, match="not a photo"):
        exchanging.bring_in(home.people["stranger"], bundle)
    assert not models.Place.objects.filter(pk="beech-row").exists()


def _command(folder, *arguments):
    environment = {k: v for k, v in os.environ.items() if not k.startswith("SOURLOAM_")}
    return subprocess.run(
        [sys.executable, "-c", "from sourloam.cli import main; main()", *map(str, arguments),
         "--data", str(folder)],
        capture_output=True, text=True, env=environment, check=False,
    )  # fmt: skip


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """A data folder with one account."""
    path = tmp_path_factory.mktemp("logbook")
    made = (
        "import sys, pathlib\n"
        "from sourloam.logbook import serving\n"
        "from sourloam.logbook.data_folder import DataFolder\n"
        "serving.prepare(DataFolder(pathlib.Path(sys.argv[1])))\n"
        "from sourloam.logbook.people import make_first_keeper\n"
        "make_first_keeper('ada', 'a short sentence')\n"
    )
    environment = {k: v for k, v in os.environ.items() if not k.startswith("SOURLOAM_")}
    subprocess.run([sys.executable, "-c", made, str(path)], check=True, env=environment)
    return path


@pytest.mark.slow
def test_by_command_a_place_goes_in_and_comes_out_the_same(folder, tmp_path):
    from strategies.ledger_entries import SPEC, entry, fed

    added = entry(1, "vessel_added", {"vessel": "pail-1", "name": "Blue pail", "spec": SPEC})
    bundle = Bundle(PlaceFacts("alder-row", "Alder Row"), (added, fed(2), fed(3, day=1)))
    given = tmp_path / "in.json"
    given.write_bytes(place_json(bundle))
    for said in ("3 entries new, 0 known", "0 entries new, 3 known"):
        done = _command(folder, "import", given)
        assert done.returncode == 0, done.stderr
        assert said in done.stdout
    sheet = tmp_path / "weighings.csv"
    sheet.write_text("date,vessel,weight\n05/03/2026,Blue pail,1.5\n06/03/2026,Red,2\n")
    options = ["--unit", "kg", "--dates", "day-first"]
    refused = _command(folder, "import", sheet, *options)
    assert refused.returncode == 2
    assert "line 3: “Red”: no vessel of that name" in refused.stderr
    assert len(refused.stderr.strip().splitlines()) == 1
    sheet.write_text("date,vessel,weight\n05/03/2026,Blue pail,1.5\n06/03/2026,blue pail,2\n")
    assert "--dates" in _command(folder, "import", sheet, "--unit", "kg").stderr
    assert (
        "2 lines would come in, 0 can't"
        in _command(folder, "import", sheet, "--look", *options).stdout
    )
    assert "2 layers new, 0 known" in _command(folder, "import", sheet, *options).stdout
    assert "0 layers new, 2 known" in _command(folder, "import", sheet, *options).stdout
    taken = tmp_path / "out.json"
    assert _command(folder, "export", "--out", taken).returncode == 0
    back = json.loads(taken.read_text())
    assert [e["kind"] for e in back["entries"]] == ["vessel_added", "fed", "fed", "fed", "fed"]
    assert dt.datetime.fromisoformat(back["entries"][-1]["at"]).day == 6
    packed = tmp_path / "out.zip"
    assert _command(folder, "export", "--out", packed).returncode == 0
    assert len(read_bundle(packed.read_bytes()).entries) == 5


@pytest.mark.parametrize(
    ("arguments", "why"),
    [
        (["import", "place.txt"], "give a .zip, a .json or a .csv"),
        (["export", "--out", "place.txt"], "give one of .json, .zip"),
        (["import", "place.zip", "--data", "none"], "no logbook there"),
    ],
)
def test_trouble_is_told_in_one_line(tmp_path, monkeypatch, capsys, arguments, why):
    from sourloam.cli import main

    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("SOURLOAM_DATABASE", raising=False)  # a folder is meant
    with pytest.raises(SystemExit) as caught:
        main(arguments)
    said = capsys.readouterr().err
    assert caught.value.code == 2
    assert why in said
    assert len(said.strip().splitlines()) == 1
    assert not list(tmp_path.iterdir())
