"""The addresses of the pages."""

from django.urls import path

from sourloam.web.views import (
    beds,
    correcting,
    door,
    logging,
    people,
    photo,
    rescue,
    setup,
    shell,
    stores,
    today,
    vessel,
)

app_name = "web"
urlpatterns = [
    path("", today.today, name="today"),
    path("start", door.start, name="start"),
    path("enter", door.enter, name="enter"),
    path("leave", door.leave, name="leave"),
    path("join/<str:token>", door.join, name="join"),
    path("settings", people.settings, name="settings"),
    path("new", setup.new_place, name="new_place"),
    path("set-up/answer", setup.setup_answer, name="setup_answer"),
    path("v/<str:code>", vessel.by_label, name="label"),
    path("p/<str:place>/", today.shelf, name="shelf"),
    path("p/<str:place>/vessels", vessel.add, name="add_vessel"),
    path("p/<str:place>/v/<str:vessel>", vessel.vessel, name="vessel"),
    path("p/<str:place>/v/<str:vessel>/rescue", rescue.of_vessel, name="rescue"),
    path("p/<str:place>/b/<str:bed>/rescue", rescue.of_bed, name="rescue_bed"),
    path("p/<str:place>/log/<str:kind>", logging.log, name="log"),
    path("p/<str:place>/photo/<str:photo>", photo.photo, name="photo"),
    path("p/<str:place>/beds", beds.beds, name="beds"),
    path("p/<str:place>/beds/add", beds.add, name="add_bed"),
    path("p/<str:place>/stores", stores.stores, name="stores"),
    path("p/<str:place>/entry/<uuid:entry>", correcting.correct, name="correct"),
    path("p/<str:place>/set-up", setup.setup, name="setup"),
    path("p/<str:place>/people", people.people, name="people"),
    path("p/<str:place>/people/invite", people.invite, name="invite"),
    path("p/<str:place>/people/<int:person>", people.withdraw_person, name="withdraw_person"),
    path(
        "p/<str:place>/links/<str:invitation>",
        people.withdraw_invitation,
        name="withdraw_invitation",
    ),
    path("p/<str:place>/labels", people.labels, name="labels"),
    path("api/entries", logging.entries, name="entries"),
    path("api/photos", logging.photos, name="photos"),
    path("worker.js", shell.worker, name="worker"),
    path("manifest.webmanifest", shell.manifest, name="manifest"),
    path("offline", shell.offline, name="offline"),
]
