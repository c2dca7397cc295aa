"""The conversation from signs to a remedy, on the page of a vessel or a bed."""

import re
from html import unescape

import pytest
from django.urls import reverse

from sourloam.drawing.signs import draw_sign
from sourloam.logbook.models import Entry
from sourloam.triage import SIGNS
from sourloam.triage.signs import asked_outright
from sourloam.web.rescue.signs import TICKED

MOST_QUERIES = 12


def address(home, thing="blue"):
    name = "rescue" if thing == "blue" else "rescue_bed"
    return reverse(f"web:{name}", args=[home.id, thing])


def text_of(answer):
    assert answer.status_code == 200
    return unescape(answer.content.decode())


def shares(text):
    found = r'<li><span>([^<]+)</span><svg.*?</svg><span class="figure">(\d+) % <small>'
    told = re.findall(found + r"\((\d+) – (\d+)\)", text)
    assert all(int(low) <= int(share) <= int(high) for _, share, low, high in told)
    return {cause: int(share) for cause, share, _low, _high in told}


@pytest.mark.parametrize("thing", ["blue", "wall"])
@pytest.mark.parametrize("role", ["coordinator", "keeper", "gardener", "reader"])
def test_everybody_of_a_place_may_ask(home, as_, role, thing):
    text = text_of(as_(role).get(address(home, thing)))
    stage = "vessel" if thing == "blue" else "ground"
    assert all(sign.label in text for sign in asked_outright(stage))


@pytest.mark.parametrize("thing", ["blue", "wall", "no-such"])
def test_a_stranger_and_an_unknown_thing_find_nothing(home, as_, thing):
    assert as_("stranger").get(address(home, thing)).status_code == 404
    gone = reverse("web:rescue", args=[home.id, "no-such"])
    assert as_("keeper").get(gone).status_code == 404


def test_it_is_asked_and_never_posted(home, as_):
    assert as_("keeper").post(address(home)).status_code == 405


def test_a_question_follows_with_yes_no_and_cannot_tell(home, as_):
    text = text_of(as_("keeper").get(address(home), {"begun": 1, "seen": "rotten_smell"}))
    assert 'name="seen" value=' in text
    assert "I can't tell" in text
    assert "our judgement" in text
    assert len(shares(text)) == 4


def test_it_says_which_sign_spoke_loudest_and_what_the_log_added(home, as_):
    client = as_("keeper")
    query = {"begun": 1, "enough": 1, "seen": ["rotten_smell", "dark_liquid"]}
    text = text_of(client.get(address(home), query))
    known = text[text.index("How do we know?") :]
    first = max(shares(text), key=shares(text).get)
    assert re.search(rf"Smells rotten, .*: in \d+ of 100 with “{re.escape(first)}”, in \d+", known)
    assert "none is written yet" in known
    colder = r"makes this likelier, [\d.]+ times: It stands too cold\."
    assert not re.search(colder, known)
    home.write("warmth_read", {"vessel": "blue", "temperature_c": 6})
    assert re.search(colder, text_of(client.get(address(home), query)))


def test_answering_on_and_on_ends_in_an_answer(home, as_):
    client, query = as_("keeper"), {"begun": "1", "seen": ["green_mould"], "absent": []}
    for _ in range(40):
        text = text_of(client.get(address(home), query))
        asked = re.search(r'<button class="go" name="absent" value="(\w+)"', text)
        choice = re.search(r'<button name="seen" value="(\w+)"', text)
        listed = re.findall(r'name="asked" value="(\w+)"', text)
        if listed:
            query["absent"] += listed
        elif asked:
            query["absent"].append(asked[1])
        elif choice:
            query["seen"].append(choice[1])
        else:
            break
    assert "What to do now" in text


def test_enough_is_enough(home, as_):
    query = {"begun": 1, "enough": 1, "seen": ["rotten_smell", "much_animal"]}
    text = text_of(as_("keeper").get(address(home), query))
    assert "What to do now" in text
    assert "Stop: rotten meat" in text
    assert "If it is lost" in text
    assert 'name="seen"' not in text


def test_the_log_answers_before_a_question_is_asked(home, as_):
    """The pail is dosed well and fed with household scraps: it is not asked whether bran was
    thin; a room that was read cold raises the cold."""
    client, query = as_("keeper"), {"begun": 1, "enough": 1, "seen": "weak_smell"}
    before = shares(text_of(client.get(address(home), query)))
    home.write("warmth_read", {"vessel": "blue", "temperature_c": 6})
    after = shares(text_of(client.get(address(home), query)))
    assert float(after["It stands too cold"]) > 2 * float(before.get("It stands too cold", 0.01))


def test_the_signs_of_the_last_look_are_ticked_already(home, as_):
    home.write("looked", {"vessel": "blue", "signs": ["flies"]})
    text = text_of(as_("keeper").get(address(home)))
    assert 'value="flies" checked' in text
    assert text.count(" checked") == 1


def test_the_answer_is_written_in_the_log_and_read_there(home, as_):
    client = as_("gardener")
    query = {"begun": 1, "seen": ["leak", "lid_loose"], "absent": ["opened_often"]}
    text = text_of(client.get(address(home), query))
    form = text.split('data-entry="rescued"')[1].split("</form>")[0]
    posted = {}
    for name, value in re.findall(r'name="([^"]+)" value="([^"]*)"', form):
        posted.setdefault(name, []).append(value)
    done = client.post(reverse("web:log", args=[home.id, "rescued"]), posted)
    assert done.status_code == 302
    stored = Entry.objects.filter(kind="rescued").get()
    assert stored.body["cause"] == "broken_vessel"
    assert sorted(stored.body["signs"]) == ["leak", "lid_loose"]
    page = text_of(client.get(reverse("web:vessel", args=[home.id, "blue"])))
    assert "The vessel is damaged" in page


def test_a_reader_is_shown_no_button_to_write(home, as_):
    query = {"begun": 1, "enough": 1, "seen": "leak"}
    assert 'data-entry="rescued"' not in text_of(as_("reader").get(address(home), query))


@pytest.mark.parametrize(
    "query",
    [
        {"begun": 1, "seen": "<script>"},
        {"begun": 1, "seen": "earth_smell"},
        {"begun": 1, "seen": "leak", "absent": "leak"},
        {"begun": 1, "seen": ["dry_crumbly", "drips"]},
        {"begun": 1, "seen": [s.id for s in SIGNS.values()] * 3},
        {"begun": 1, "skip": [s.id for s in SIGNS.values()]},
    ],
)
def test_odd_addresses_are_borne(home, as_, query):
    text = text_of(as_("keeper").get(address(home), query))
    assert "<script>" not in text


def test_it_asks_the_database_a_few_times_only(home, as_):
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    client = as_("keeper")
    client.get(address(home))
    with CaptureQueriesContext(connection) as asked:
        text_of(client.get(address(home), {"begun": 1, "seen": "leak"}))
    assert len(asked) <= MOST_QUERIES


def test_vessel_and_bed_lead_there(home, as_):
    client = as_("keeper")
    assert address(home) in text_of(client.get(reverse("web:vessel", args=[home.id, "blue"])))
    assert address(home, "wall") in text_of(client.get(reverse("web:beds", args=[home.id])))


def test_every_sign_has_a_drawing_of_its_own_and_those_for_a_look_are_in_the_register():
    drawn = {draw_sign(sign) for sign in SIGNS}
    assert "" not in drawn
    assert len(drawn) == len(SIGNS)
    assert not any("style" in one or "fill=" in one for one in drawn)
    assert set(TICKED) <= set(SIGNS)


def test_a_spanish_reader_is_asked_and_answered_in_spanish(home, as_):
    from sourloam.logbook.models import Preference

    Preference.objects.create(person=home.people["keeper"], language="es")
    client = as_("keeper")
    assert "huele un poco a vinagre" in text_of(client.get(address(home)))
    query = {"begun": 1, "enough": 1, "seen": ["rotten_smell", "much_animal"]}
    text = text_of(client.get(address(home), query))
    assert "Alto: la carne o el pescado" in text
    assert "These shares" not in text


def test_how_it_went_is_asked_later_and_corrects_the_entry(home, as_):
    from sourloam.logbook.standing import forget, state_of
    from sourloam.triage import outcomes_of

    body = {"vessel": "blue", "signs": ["leak"], "absent": ["flies"], "cause": "broken_vessel"}
    home.write("rescued", body, 2)
    client = as_("gardener")
    text = text_of(client.get(address(home)))
    assert "How did it go" in text
    form = text.split('data-entry="rescued"')[1].split("</form>")[0]
    posted = {}
    for name, value in re.findall(r'name="([^"]+)" value="([^"]*)"', form):
        posted.setdefault(name, []).append(value)
    assert posted["outcome"] == ["mended"]
    assert client.post(reverse("web:log", args=[home.id, "rescued"]), posted).status_code == 302
    assert "How did it go" not in text_of(client.get(address(home)))
    forget()
    state, _ = state_of(home.id, home.place.zone)
    (taught,) = outcomes_of(state)
    assert (taught.cause, taught.seen, taught.absent) == ("broken_vessel", ("leak",), ("flies",))
    shown = text_of(client.get(reverse("web:vessel", args=[home.id, "blue"])))
    assert "It is well again" in shown


def test_a_reader_is_not_asked_how_it_went(home, as_):
    home.write("rescued", {"vessel": "blue", "signs": ["leak"], "cause": "broken_vessel"}, 2)
    assert "How did it go" not in text_of(as_("reader").get(address(home)))


def test_what_mended_here_before_is_likelier_here_again(home, as_):
    client, query = as_("keeper"), {"begun": 1, "enough": 1, "seen": "alcohol_smell"}
    before = shares(text_of(client.get(address(home), query)))
    for day in range(6):
        body = {"vessel": "green", "signs": ["alcohol_smell"], "cause": "hot", "outcome": "mended"}
        home.write("rescued", body, day)
    after = shares(text_of(client.get(address(home), query)))
    assert float(after["It stands too hot"]) > 3 * float(before.get("It stands too hot", 0.02))


def test_of_a_list_what_is_not_ticked_is_absent_once_something_is_said():
    from django.http import QueryDict

    from sourloam.web.rescue.page import Told

    asked = "begun=1&asked=sour_smell&asked=rotten_smell&asked=musty_smell"
    assert Told.of(QueryDict(asked), "vessel").absent == ()
    none = Told.of(QueryDict(f"{asked}&none=1"), "vessel")
    assert none.absent == ("sour_smell", "rotten_smell", "musty_smell")
    told = Told.of(QueryDict(f"{asked}&seen=sour_smell"), "vessel")
    assert (told.seen, told.absent) == (("sour_smell",), ("rotten_smell", "musty_smell"))


def test_white_fluff_is_asked_with_a_list_and_maggots_bring_their_first_step(home, as_):
    client = as_("keeper")
    text = text_of(client.get(address(home), {"begun": 1, "seen": "white_bloom"}))
    assert "Which of these do you smell?" in text
    assert 'type="checkbox" name="seen" value="rotten_smell"' in text
    assert "None of these" in text
    text = text_of(client.get(address(home), {"begun": 1, "seen": "flies"}))
    assert text.index("Which of these") < text.index("At once, while we find out")
    assert "do not open it" in text
