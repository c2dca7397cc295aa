"""A small drawing for each sign: a scene for its kind, with what is special about it."""

from __future__ import annotations

from sourloam.triage import SIGNS

_NOSE = "M30 6c-3 8-8 14-8 20 0 4 3 6 7 6M29 32c3 2 8 1 8-3"
_WAVES = "M6 40c3-4 6 4 9 0M6 33c3-4 6 4 9 0M6 26c3-4 6 4 9 0"
_VESSEL = "M10 12l4 32h20l4-32z"
_SCENES = {
    "smell": (_NOSE, _WAVES),
    "growth": (_VESSEL, "M11 20h26"),
    "liquid": ("M6 12h14v8h10v7H6z", "M34 32c-4 6-4 11 0 11s4-5 0-11z"),
    "feel": (_VESSEL, "M12 28h24"),
    "strip": ("M17 4h14v40H17z", "M17 24h14"),
    "tightness": (_VESSEL, "M7 12h34"),
    "soil": ("M3 26h42", "M9 44c4-12 26-12 30 0"),
    "plants": (
        "M24 44V24",
        "M24 26c-2-9-10-11-15-9 0 8 7 12 15 9zM24 22c2-10 10-12 15-10 0 9-7 12-15 10z",
    ),
    "burial": ("M3 18h10l2 24h18l2-24h10", "M16 36h16"),
    "history": ("M10 6h28v38H10z", "M16 16h16M16 24h16M16 32h10"),
}  # fmt: skip
#: What is special: strokes of its own, and a colour to fill them, if any.
_SPECIAL = {
    "sour_smell": ("M8 8c8-4 12 4 6 10s-12-4-6-10z", "#7a9a3a"),
    "vinegar_smell": ("M9 4h5v4l3 4v8H6v-8l3-4z", "#d8b45a"),
    "sharp_vinegar_smell": ("M9 4h5v4l3 4v8H6v-8l3-4zM2 6l4 3M2 14h3", "#d8b45a"),
    "alcohol_smell": ("M11 4c4 4 8 8 6 13s-10 5-12 0 2-9 6-13z", "#c9c46a"),
    "rotten_smell": ("M4 4l14 14M18 4L4 18", ""),
    "rancid_smell": ("M4 8h14v8H4z", "#e3cf6a"),
    "ammonia_smell": ("M4 18l5-12 5 12M6 13h6", ""),
    "musty_smell": ("M4 20V10c0-8 12-8 12 0v10", "#8a8f8a"),
    "weak_smell": ("M4 12h14", ""),
    "white_bloom": ("M12 20c2-7 6 0 8-4s4 2 7-2 5 3 9 6z", "#ffffff"),
    "green_mould": ("M13 20c2-8 9-8 11 0zM25 20c2-6 8-6 10 0z", "#3f7a4c"),
    "mould_specks": ("M15 18h.1M22 17h.1M29 18h.1M33 17h.1", "#3f7a4c"),
    "pink_mould": ("M13 20c2-8 9-8 11 0zM25 20c2-6 8-6 10 0z", "#d98a9a"),
    "mould_throughout": ("M14 24c5 3 9-3 19 2M16 34c6 3 9-3 15 1", "#3f7a4c"),
    "flies": ("M20 8c-6-6-8 2-1 3M22 8c6-6 8 2 1 3M21 8v6M16 28c3-3 5 3 8 0", ""),
    "slimy": ("M15 28c0 10 4 2 4 9s5-3 5-9 4 4 4 10 4-4 4-10", "#8b7a4a"),
    "dry_crumbly": ("M16 34h3M22 38h3M28 33h3M19 41h2M27 41h2", ""),
    "drips": ("M17 32c-3 5 3 5 0 0zM24 35c-3 5 3 5 0 0zM31 32c-3 5 3 5 0 0z", "#6fa0c4"),
    "unchanged": ("M18 40l8-9 4 4zM26 31l2-4", "#e08a3a"),
    "lid_bulges": ("M9 12c6-9 24-9 30 0zM24 0v-1M16 2l-2-2M32 2l2-2", ""),
    "condensation": ("M14 15v4M20 15v6M26 15v4M32 15v6", "#6fa0c4"),
    "warm": ("M24 34V20M24 34a4 4 0 1 0 .1 0", "#c7503a"),
    "frozen": ("M24 18v20M15 23l18 10M33 23L15 33", "#6fa0c4"),
    "no_liquid": ("M28 30l12 14M40 30L28 44", ""),
    "much_liquid": ("M28 44V32h14v12zM28 34h14", "#b08a4a"),
    "foul_liquid": ("M28 44V32h14v12z", "#4a3a24"),
    "dark_liquid": ("M28 44V32h14v12z", "#7a5a2a"),
    "coloured_liquid": ("M28 44V32h14v12z", "#8a4a80"),
    "liquid_stands": ("M6 30h20v12H6z", "#b08a4a"),
    "tap_stuck": ("M6 14h14M30 20l6 6M36 20l-6 6", ""),
    "leak": ("M14 44c-3 4 3 4 0 0zM33 40c-3 5 3 5 0 0z", "#6fa0c4"),
    "lid_loose": ("M7 12l34-8", ""),
    "bran_off": ("M18 26h12v14H18zM22 30h.1M26 34h.1", "#c9b07a"),
    "sour_strip": ("M17 24h14v12H17z", "#e0a030"),
    "middling_strip": ("M17 24h14v12H17z", "#c9c43a"),
    "high_strip": ("M17 24h14v12H17z", "#4f8a4f"),
    "high_strip_young": ("M17 24h14v12H17z", "#8ab04a"),
}  # fmt: skip


def sign_picture(sign: str) -> str:
    """SVG of a sign; it stands beside its words, so it is hidden from readers aloud."""
    scene = _SCENES[SIGNS[sign].group]
    own, fill = _SPECIAL.get(sign, ("", ""))
    lines = "".join(f'<path d="{strokes}"/>' for strokes in scene)
    special = f'<path d="{own}" fill="{fill or "none"}"/>' if own else ""
    return (
        '<svg class="signpic" viewBox="-2 -4 52 54" width="52" height="54" aria-hidden="true" '
        'fill="none" stroke="currentColor" stroke-width="2" stroke-linejoin="round" '
        f'stroke-linecap="round">{lines}{special}</svg>'
    )
