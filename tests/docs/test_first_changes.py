"""What a first change still lacks, told in one line: a class of scraps, a sign, a crop."""

import pytest

from sourloam.drawing.signs.drawn import PICTURES
from sourloam.evidence import book
from sourloam.garden import crop_names
from sourloam.scraps import CARRIERS, CLASSES
from sourloam.triage import CAUSES, SIGNS

TABLES = "src/sourloam/evidence/tables"


def parts(topic, thing):
    """Last words of the rows ``topic.thing.…``."""
    head = f"{topic}.{thing}."
    return {key.removeprefix(head) for key in book().ids(topic) if key.startswith(head)}


def lacking(topic, thing, model):
    """One line for whoever added a thing, or nothing."""
    missing = sorted(parts(topic, model) - parts(topic, thing))
    rows = ", ".join(f"{topic}.{thing}.{part}" for part in missing)
    return f"{TABLES}/{topic}.toml lacks {rows}" if missing else ""


@pytest.mark.parametrize("name", [*CLASSES, *CARRIERS])
def test_each_class_of_scraps_has_every_row_of_its_composition(name):
    told = lacking("scraps", name, "fruit_veg")
    assert not told, told


def test_each_composition_is_that_of_a_class_in_the_list():
    composed = {key.split(".")[1] for key in book().ids("scraps") if key.endswith(".density")}
    strange = sorted(composed - {*CLASSES, *CARRIERS})
    assert not strange, f"CLASSES in src/sourloam/scraps/classes.py lacks {strange}"


@pytest.mark.parametrize("sign", SIGNS)
def test_each_sign_has_a_share_for_causes_of_which_nothing_is_known(sign):
    told = f"{TABLES}/triage.toml lacks triage.sign.{sign}.other, and rows for causes it speaks for"
    assert "other" in parts("triage.sign", sign), told


@pytest.mark.parametrize("sign", SIGNS)
def test_each_sign_is_drawn(sign):
    missing = {sign} - set(PICTURES)
    assert not missing, f"src/sourloam/drawing/signs lacks a picture of {sign}"


def test_each_share_is_that_of_a_sign_and_a_cause_in_the_lists():
    pairs = {tuple(key.split(".")[2:]) for key in book().ids("triage.sign")}
    strange = sorted({sign for sign, _ in pairs} - set(SIGNS))
    assert not strange, f"src/sourloam/triage/signs_*.py lack a Sign for {strange}"
    strange = sorted({cause for _, cause in pairs} - {*CAUSES, "other"})
    assert not strange, f"src/sourloam/triage/causes.py lacks {strange}"


def test_each_crop_has_every_row_and_what_its_harvest_carries_away():
    bare = "hedge"  # nothing is harvested of it
    for name in crop_names():
        told = lacking("crops", name, bare)
        assert not told, told
        if "harvest" in parts("crops", name):
            told = lacking("produce", name, "carrot")
            assert not told, told
