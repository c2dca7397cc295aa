"""The sheet of a round says every stop in its order, in both languages and both units."""

import datetime as dt
import re
import subprocess
from dataclasses import replace

import pytest

from sourloam.documents import Printing
from sourloam.documents.round import round_sheet
from sourloam.drawing import MapStop, RoundPicture
from sourloam.programme import Call, Van, drawn, plan_round

DAY = dt.date(2026, 5, 18)
HUB = (52.0, 5.0)


@pytest.fixture(scope="module")
def planned():
    calls = [
        Call(f"p{n}", f"House at {n} Alder Row", (52.0 + n / 200, 5.01), 1, 1, 12.0, how="Bell")
        for n in (1, 2, 3)
    ]
    calls[1] = replace(calls[1], bran_kg=0.4)
    lost = Call("x", "Café with <no> #map", None, 1, 1, 9.0)
    van = Van(HUB, "Yard", 20, 400.0, 8 * 3600, 12 * 3600)
    return plan_round([*calls, lost], van, drawn())


def text_of(pdf, tmp_path):
    (tmp_path / "a.pdf").write_bytes(pdf)
    done = subprocess.run(
        ["pdftotext", "-layout", tmp_path / "a.pdf", "-"], capture_output=True, check=True
    )
    return re.sub(r"\s+", " ", done.stdout.decode())


@pytest.mark.parametrize(
    ("language", "system", "words"),
    [
        (
            "en",
            "metric",
            ("The round", "18 May 2026", "36 kg comes home", "0.4 kg of bran", "Two people lift"),
        ),
        ("es", "us", ("La ronda", "18 de mayo de 2026", "lb", "1, salvado", "dos personas")),
    ],
)
def test_every_stop_stands_on_it(planned, tmp_path, language, system, words):
    picture = RoundPicture((MapStop(0.5, 0.5), MapStop(0.5, 1)), "Yard")
    printing = Printing(language=language, system=system, day=DAY)
    text = text_of(round_sheet("Town", planned, picture, DAY, printing), tmp_path)
    for part in (*words, "Café with <no> #map", "(Bell)"):
        assert part in text
    found = re.findall(r"House at (\d) Alder Row", text)
    assert found == [stop.call.name[9] for stop in planned.stops]
