"""The season report, read back."""

import datetime as dt
import re
import xml.etree.ElementTree as ElementTree
from itertools import pairwise

import pytest

from sourloam.documents import Printing, season_report
from sourloam.documents.season_account import account, spans
from sourloam.documents.season_drawing import bed_plan, weeks
from sourloam.documents.speech import Speech
from sourloam.ledger import fold
from strategies.ledger_entries import BED, SITE, SPEC, entry, fed

TODAY = dt.date(2026, 6, 1)
SVG = "{http://www.w3.org/2000/svg}"
TRENCH = {"bed": "wall-bed", "depth_m": 0.3, "width_m": 0.3, "length_m": 1.0, "cover_m": 0.2}


def vessel(name, number):
    body = {"vessel": name, "name": f"Pail {number}", "spec": SPEC}
    return entry(100 + number, "vessel_added", body)


def season():
    """Two vessels: one filled, judged sound, buried; one failed and helped."""
    one, two = {"vessel": "pail-1"}, {"vessel": "pail-2"}
    entries = [
        entry(90, "place_described", {"site": SITE}),
        vessel("pail-1", 1),
        vessel("pail-2", 2),
        entry(91, "bed_added", {"bed": "wall-bed", "name": "Wall bed", "spec": BED}),
        entry(92, "measure_set", {"measure": "bowl", "name": "Bowl", "mass_kg": 0.5}),
        *(fed(n, day=n, mass_kg=1.0) for n in range(1, 15)),
        entry(20, "drained", one | {"volume_ml": 200, "use": "plants"}, 10),
        entry(21, "set_aside", one, 15),
        entry(22, "judged", one | {"verdict": "sound"}, 40),
        entry(23, "buried", one | TRENCH | {"along_m": 1.0, "mass_kg": 11.0}, 50),
        entry(24, "fed", two | {"amount": {"measure": "bowl", "count": 4}}, 20),
        entry(25, "set_aside", two, 30),
        entry(26, "rescued", two | {"signs": ["rotten_smell"], "outcome": "lost"}, 45),
        entry(27, "judged", two | {"verdict": "failed"}, 46),
    ]
    return fold(entries)


@pytest.mark.parametrize(("language", "paper"), [("en", "a4"), ("es", "letter")])
def test_the_season_reads_as_it_was(read_back, language, paper):
    pages = read_back(season_report("Alder Row", season(), TODAY, Printing(language, paper)))
    text = " ".join(page.text for page in pages)
    said = {
        "en": ["Season report", "2 March 2026", "kept from the bin", "16 kg", "14 weighed",
               "Pail 2, begun 21 March: judged failed 16 April", "Wall bed", "11 kg",
               "it was lost", "Never pour"],
        "es": ["Informe de la temporada", "2 de marzo de 2026", "16 kg", "14 pesadas",
               "Pail 2, empezado el 21 de marzo: dado por fallido el 16 de abril", "se perdió"],
    }[language]  # fmt: skip
    for sentence in said:
        assert sentence.replace(" ", "") in text.replace(" ", ""), sentence
    assert [page.outside() for page in pages] == [[]] * len(pages)


def test_the_same_log_on_the_same_day_is_the_same_file():
    made = [season_report("Alder Row", season(), TODAY, Printing(day=TODAY)) for _ in range(2)]
    assert made[0] == made[1]


def test_a_log_without_a_layer_says_so(read_back):
    (page,) = read_back(season_report("Alder Row", fold([]), TODAY, Printing()))
    assert "The log holds no layer yet." in page.text


def test_the_weeks_add_up_to_the_season():
    found = account(season(), TODAY)
    assert sum(mass.median for _day, mass in found.by_week()) == pytest.approx(16, abs=0.2)
    assert found.total.low < found.total.median < found.total.high
    assert found.widest_way == "weighed"  # one scale for 14 kg, against four bowls of 2 kg


def test_a_season_of_weighings_is_no_surer_than_its_one_scale():
    entries = [entry(90, "place_described", {"site": SITE}), vessel("pail-1", 1)]
    entries += [fed(n, day=n, mass_kg=1.0) for n in range(1, 61)]
    total = account(fold(entries), TODAY).total
    assert 0.06 < (total.high - total.low) / total.median < 0.10  # 3 %, eight in ten cases


def test_a_week_is_drawn_to_scale_and_its_range_beside_it():
    found = list(account(season(), TODAY).by_week())
    drawn = ElementTree.fromstring(weeks(found, Speech(), "weeks"))
    bars = [float(rect.get("height")) for rect in drawn.iter(f"{SVG}rect")]
    masses = [mass.median for _day, mass in found if mass.median]
    assert len(bars) == len(masses)
    shares = [bar / mass for bar, mass in zip(bars, masses, strict=True)]
    assert max(shares) == pytest.approx(min(shares), rel=0.01)


def test_a_burial_lies_in_the_drawn_bed_where_it_was_dug():
    state = season()
    burials = [(1, record) for record in state.bed("wall-bed").burials]
    plan = bed_plan(state.bed("wall-bed"), burials, Speech())
    (trench,) = [
        rect
        for rect in ElementTree.fromstring(plan.svg).iter(f"{SVG}rect")
        if rect.get("class") == "d-mixed"
    ]
    middle = float(trench.get("x")) - 1 + float(trench.get("width")) / 2
    assert middle == pytest.approx(1000 / plan.scale, abs=0.01)


def test_strips_follow_the_log():
    state = season()
    days = {v.id: [s for t in v.turns for s in spans(t, TODAY)] for v in state.vessels}
    assert [state for _a, _b, state in days["pail-1"]] == ["filling", "resting", "ready"]
    assert [state for _a, _b, state in days["pail-2"]] == ["filling", "resting", "failed"]
    assert days["pail-1"][-1][1] == dt.date(2026, 4, 20)


def test_grey_paper_tells_the_states_apart(picture):
    """Four shades with their own luminance, at least 15 % from one another."""
    from sourloam.documents.season_drawing import SHADES

    greys = sorted(int(shade[1:3], 16) / 255 for shade in SHADES.values())
    assert all(b - a >= 0.15 for a, b in pairwise(greys))
    page = picture(season_report("Alder Row", season(), TODAY, Printing()), dpi=100)
    seen = {value for _count, value in page.getcolors(maxcolors=65536) or []}
    for shade in SHADES.values():
        wanted = int(re.fullmatch(r"#(..)\1\1", shade)[1], 16)
        assert any(abs(wanted - value) <= 6 for value in seen), shade
