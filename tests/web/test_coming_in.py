"""The first keeper, links to join, roles that can be taken away."""

from django.urls import reverse
from house_of_tests import PASSWORD


def test_the_first_start_asks_for_a_name_and_a_password_only(db, client):
    from django.contrib.auth.models import User

    assert client.get(reverse("web:enter")).url == reverse("web:start")
    form = {"username": "Ada", "password": PASSWORD, "begin": "plan"}
    assert client.post(reverse("web:start"), form).url == reverse("web:new_place")
    assert User.objects.get().username == "Ada"
    assert client.get(reverse("web:today")).status_code == 200


def test_whoever_comes_to_waiting_places_is_led_to_their_shelf(db, client):
    from sourloam.logbook.models import Place

    Place.objects.create(name="Flat at 4 Alder Row")
    assert 'name="begin"' not in client.get(reverse("web:start")).content.decode()
    form = {"username": "Ada", "password": PASSWORD}
    assert client.post(reverse("web:start"), form).url == reverse("web:today")
    assert "Flat at 4 Alder Row" in client.get(reverse("web:today")).content.decode()


def test_a_weak_password_is_refused_with_a_reason(db, client):
    form = {"username": "Ada", "password": "short"}
    answer = client.post(reverse("web:start"), form)
    assert answer.status_code == 422
    assert 'role="alert"' in answer.content.decode()


def test_the_first_start_comes_once(people, client):
    assert client.get(reverse("web:start")).url == reverse("web:enter")


def test_a_wrong_password_opens_nothing(people, client):
    form = {"username": "keeper", "password": "something else"}
    assert client.post(reverse("web:enter"), form).status_code == 422
    assert client.get(reverse("web:today")).status_code == 302


def test_signing_in_leads_on_to_the_page_asked_for_and_nowhere_outside(home, client):
    shelf = reverse("web:shelf", args=[home.id])
    form = {"username": "keeper", "password": PASSWORD}
    assert client.post(reverse("web:enter"), {**form, "next": shelf}).url == shelf
    elsewhere = {**form, "next": "https://elsewhere.example/"}
    assert client.post(reverse("web:enter"), elsewhere).url == reverse("web:today")


def link(home, client, role):
    client.post(reverse("web:invite", args=[home.id]), {"role": role})
    text = client.get(reverse("web:people", args=[home.id])).content.decode()
    return "/join/" + text.split("/join/")[1].split('"')[0]


def test_somebody_new_joins_by_a_link_with_its_role(home, as_, client):
    path = link(home, as_("coordinator"), "gardener")
    client.logout()
    assert "Flat at 4 Alder Row" in client.get(path).content.decode()
    answer = client.post(path, {"username": "Newcomer", "password": PASSWORD})
    assert answer.url == reverse("web:shelf", args=[home.id])
    assert home.place.memberships.get(person__username="Newcomer").role == "gardener"


def test_a_signed_in_person_joins_by_one_button_that_names_the_role(home, as_, people):
    path = link(home, as_("coordinator"), "reader")
    client = as_("stranger")
    text = client.get(path).content.decode()
    assert ">Join as Reader</button>" in text
    assert 'name="password"' not in text
    assert 'name="username"' not in text
    assert client.post(path).url == reverse("web:shelf", args=[home.id])
    assert home.place.memberships.get(person=people["stranger"]).role == "reader"


def test_who_is_not_signed_in_gives_a_name_and_a_password(home, as_, client):
    path = link(home, as_("coordinator"), "reader")
    client.logout()
    text = client.get(path).content.decode()
    assert 'name="password"' in text
    assert 'name="username"' in text


def test_a_link_with_a_higher_role_raises_the_one_that_is_held(home, as_, people):
    path = link(home, as_("coordinator"), "keeper")
    text = as_("gardener").post(path, follow=True).content.decode()
    assert "You keep your role" not in text
    assert home.place.memberships.get(person=people["gardener"]).role == "keeper"


def test_a_link_with_a_lower_role_says_that_the_old_one_is_kept(home, as_, people):
    path = link(home, as_("coordinator"), "reader")
    text = as_("keeper").post(path, follow=True).content.decode()
    assert "You keep your role here: Keeper." in text
    assert home.place.memberships.get(person=people["keeper"]).role == "keeper"


def test_a_link_is_shown_once(home, as_):
    client = as_("coordinator")
    link(home, client, "reader")
    assert "/join/" not in client.get(reverse("web:people", args=[home.id])).content.decode()


def test_the_page_of_people_says_who_made_each_link(home, as_):
    link(home, as_("keeper"), "reader")
    text = as_("coordinator").get(reverse("web:people", args=[home.id])).content.decode()
    assert "made by keeper · until" in text


def test_a_withdrawn_link_opens_nothing(home, as_, client):
    path = link(home, as_("coordinator"), "reader")
    invitation = home.place.invitations.get()
    client.post(reverse("web:withdraw_invitation", args=[home.id, invitation.pk]))
    client.logout()
    assert client.get(path).status_code == 404


def test_a_withdrawn_person_finds_nothing(home, as_, people):
    gone = people["gardener"].pk
    as_("coordinator").post(reverse("web:withdraw_person", args=[home.id, gone]))
    assert as_("gardener").get(reverse("web:shelf", args=[home.id])).status_code == 404


def test_a_keeper_asks_in_no_coordinator(home, as_):
    answer = as_("keeper").post(reverse("web:invite", args=[home.id]), {"role": "coordinator"})
    assert answer.status_code == 403


def test_the_page_without_signal_names_nobody_so_that_any_phone_may_keep_it(home, as_):
    said = as_("keeper").get(reverse("web:offline")).content.decode()
    assert "No signal here" in said
    assert "<svg" in said
    assert "keeper" not in said
    assert "data-person" not in said


def test_whoever_comes_first_or_signs_in_is_told_what_this_is(db, client):
    from django.contrib.auth.models import User

    said = "Sourloam helps homes, schools and gardens to sour kitchen scraps in closed buckets"
    text = client.get(reverse("web:start")).content.decode()
    assert said in text
    assert text.index(said) < text.index("<form"), "before anything is asked"
    assert "keeper" not in text.partition("<main")[2]
    User.objects.create(username="Ada")
    assert said in client.get(reverse("web:enter")).content.decode()
