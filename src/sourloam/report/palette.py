"""Colours and type of the pictures: few, told apart by lightness as well as by hue.

Every colour that carries a meaning differs from its neighbours in lightness, so that a grey
print and a reader who sees fewer hues lose nothing; hatching and words beside the marks say it
once more.
"""

from __future__ import annotations

PAPER = "#fdfbf4"
INK = "#28251f"
MUTED = "#69624f"
HAIR = "#ddd5c2"
BEET = "#64203f"
BEET_PALE = "#e6cfd5"
STRAW = "#e3b758"
SLATE = "#5a82a6"
ICE = "#dbe7ef"
STONE = "#e9e4d6"
LEAF = "#dde6cb"
CLAY = "#c9c0ad"

SERIF = "Georgia, 'Liberation Serif', 'DejaVu Serif', serif"
SANS = "'Liberation Sans', 'DejaVu Sans', Arial, sans-serif"

TITLE_SIZE = 27
HEAD_SIZE = 18
BODY_SIZE = 14
NOTE_SIZE = 13

STATE_COLOURS = {
    "empty": HAIR,
    "filling": BEET,
    "resting": STRAW,
    "ready": PAPER,
    "held": SLATE,
    "failed": CLAY,
}
HATCHED = {"held": PAPER, "failed": INK}
STATE_WORDS = {
    "filling": "filling",
    "resting": "resting",
    "ready": "ready to bury",
    "held": "held: ready, but the ground can't take it",
    "failed": "failed to sour",
}
BLOCKED_COLOURS = {"ground": ICE, "closed": STONE, "beds": LEAF}
BLOCKED_WORDS = {
    "ground": "ground frozen",
    "closed": "kitchen closed",
    "beds": "beds busy",
}
