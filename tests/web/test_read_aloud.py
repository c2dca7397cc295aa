"""Every page as it is read aloud or walked by keys: one rule for all of them at once."""

import pytest
from django.urls import reverse
from read_aloud import Page, faults, title

OF_PLACE = (
    *("shelf", "beds", "sowing", "away", "lots", "stores", "achieved", "setup", "labels"),
    *("people", "change_place", "exchange", "calendar", "tokens"),
)
OF_PERSON = ("today", "find", "settings", "new_place", "from_file", "programmes", "offline")
OF_PROGRAMME = ("", "_places", "_rounds", "_log", "_figures", "_settings", "_tokens")


@pytest.fixture
def addresses(home, people):
    from sourloam.logbook import programmes
    from sourloam.logbook.people import invite, make_place

    home.write("bran_received", {"lot": "oak-1", "mass_kg": 2.0}, 5)
    for to in ("school", "café"):
        home.write("bran_handed_out", {"lot": "oak-1", "mass_kg": 0.1, "to": to}, 1)
    layer = home.write("fed", {"vessel": "blue", "amount": {"mass_kg": 1.0}}, 0.4)
    invite(people["coordinator"], home.id, "reader")
    second = make_place(people["coordinator"], "Second")
    made = programmes.make_programme(people["coordinator"], "Town exchange")
    for place in (home.id, second.pk):
        programmes.add_place(people["coordinator"], made, place)
    vessels = [reverse("web:vessel", args=[home.id, v]) for v in ("blue", "green", "tin")]
    rescued = reverse("web:rescue", args=[home.id, "blue"])
    return [
        *(reverse(f"web:{name}") for name in OF_PERSON),
        *(reverse(f"web:{name}", args=[home.id]) for name in OF_PLACE),
        *(reverse(f"web:programme{name}", args=[made.pk]) for name in OF_PROGRAMME),
        reverse("web:programme_place", args=[made.pk, home.id]),
        reverse("web:lot", args=[home.id, "oak-1"]),
        reverse("web:correct", args=[home.id, layer["id"]]),
        *vessels,
        *(rescued, f"{rescued}?begun=1&seen=rotten_smell"),
        f"{rescued}?begun=1&seen=rotten_smell&enough=1",
        f"{reverse('web:find')}?q=pail",
        "/no/such/page",
    ]


def test_every_page_can_be_read_aloud(addresses, as_, client):
    pages = {"/enter": Page(client.get("/enter").content.decode())}
    as_("coordinator")
    for address in addresses:
        pages[address] = Page(client.get(address).content.decode())
    wrong = {address: found for address, page in pages.items() if (found := list(faults(page)))}
    assert wrong == {}
    titles = [title(page) for page in pages.values()]
    assert sorted(titles) == sorted(set(titles)), "two pages of one title"


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("<h1>a</h1><h3>b</h3>", "headings: b skips a level"),
        ("<h2>a</h2>", "headings: [] are the first"),
        ("<h1>a</h1><svg></svg>", "picture without words in  {}"),
        ("<h1>a</h1><button><svg aria-hidden=true></svg></button>", "no name: button {}"),
        ("<h1>a</h1><a href=1>Log</a><p><a href=2>Log</a></p>", "two of one name: a Log"),
        (
            "<h1>a</h1><a href=1><svg aria-label='Tin: full'></svg>Tin</a>",
            "said twice: Tin: fullTin",
        ),
        ("<h1>a</h1><input name=x>", "field without a label: {'name': 'x'}"),
        ("<h1>a</h1><table><tr><td>b</table>", "table without heads that say what they head: b"),
        ("<h1>a</h1><p role=status><b role=alert>c</b></p>", "told twice: c"),
        ("<h1 id=b>a</h1><p id=b>", "id given twice: b"),
        ("<h1>a</h1><p aria-labelledby=b>", "aria-labelledby of p leads nowhere: b"),
    ],
)
def test_what_a_reader_would_stumble_over_is_found(written, said):
    assert list(faults(Page(written))) == [said]


def test_names_may_be_alike_where_the_part_around_them_says_which():
    two = "<section><button>Log</button></section><section><button>Log</button></section>"
    assert list(faults(Page(f"<h1>a</h1>{two}"))) == []
    same = "<a href=1>Blue</a><a href=1>Blue</a><p aria-hidden=true><svg></svg></p>"
    assert list(faults(Page(f"<h1>a</h1>{same}"))) == []
