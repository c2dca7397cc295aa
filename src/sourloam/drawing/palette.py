"""Colours of the drawings, by what they mean, in one place for page, print and file.

Sourness runs like red-cabbage juice: pale blue-violet when fresh, deep beet when very sour. The
steps fall in lightness throughout, so that a grey print or an eye that sees fewer hues reads the
same order; flecks that dissolve as a layer sours say it a second time.
"""

from __future__ import annotations

#: Steps of sourness, from fresh to very sour, with the pH at which each begins going down.
SOURNESS = (("fresh", 14.0), ("turning", 5.6), ("souring", 4.9), ("sour", 4.4), ("deep", 4.0))

LIGHT = {
    "wall": "#e7eae1",
    "paper": "#fafaf4",
    "ink": "#1d2620",
    "muted": "#4e5a50",
    "hair": "#bfc7ba",
    "glass": "#f6f8f3",
    "metal": "#7d877f",
    "wood": "#b98a55",
    "wood-edge": "#80562a",
    "beet": "#7c1c4a",
    "leaf": "#2d6a3c",
    "straw": "#c58a10",
    "frost": "#2f6a94",
    "soil": "#8b6a4a",
    "soil-pale": "#d9c8b0",
    "sour-unknown": "#dfe3da",
    "sour-fresh": "#c6d0e2",
    "sour-turning": "#b9a4d0",
    "sour-souring": "#b06ba4",
    "sour-sour": "#9c2f63",
    "sour-deep": "#661035",
    "spoiled": "#83855c",
}
DARK = {
    "wall": "#141a16",
    "paper": "#202822",
    "ink": "#eef0e6",
    "muted": "#b3bdb0",
    "hair": "#3d4940",
    "glass": "#2b352e",
    "metal": "#98a39a",
    "wood": "#7a5632",
    "wood-edge": "#c09362",
    "beet": "#f08cb8",
    "leaf": "#8fd39d",
    "straw": "#f0bd4a",
    "frost": "#8cc6ee",
    "soil": "#6d5138",
    "soil-pale": "#43372a",
    "sour-unknown": "#46514a",
    "sour-fresh": "#d3ddec",
    "sour-turning": "#c1addb",
    "sour-souring": "#bb78b0",
    "sour-sour": "#ab3a70",
    "sour-deep": "#7d1c48",
    "spoiled": "#9a9c72",
}
#: The smallest letters of a drawing, and how wide one may be that fills a phone of 390 px: with
#: these no letter is ever shown smaller than 12 px there.
SMALL = 13.0
WIDE = 380.0
_SANS = "Liberation Sans, DejaVu Sans, Arial, sans-serif"
_RULES = {
    "d-wall": "fill:$glass;stroke:$ink;stroke-width:2.5;stroke-linejoin:round",
    "d-line": "fill:none;stroke:$ink;stroke-width:2;stroke-linecap:round;stroke-linejoin:round",
    "d-fine": "fill:none;stroke:$muted;stroke-width:1",
    "d-grid": "fill:none;stroke:$ink;stroke-width:3;stroke-dasharray:3 4",
    "d-lid": "fill:$metal;stroke:$ink;stroke-width:2;stroke-linejoin:round",
    "d-plate": "fill:$wood;stroke:$ink;stroke-width:1.5",
    "d-tap": "fill:$metal;stroke:$ink;stroke-width:1.5;stroke-linejoin:round",
    "d-liquid": "fill:$straw;stroke:none",
    "d-unknown": "fill:$sour-unknown;stroke:$paper;stroke-width:1",
    "d-fresh": "fill:$sour-fresh;stroke:$paper;stroke-width:1",
    "d-turning": "fill:$sour-turning;stroke:$paper;stroke-width:1",
    "d-souring": "fill:$sour-souring;stroke:$paper;stroke-width:1",
    "d-sour": "fill:$sour-sour;stroke:$paper;stroke-width:1",
    "d-deep": "fill:$sour-deep;stroke:$paper;stroke-width:1",
    "d-spoiled": "fill:$spoiled;stroke:$paper;stroke-width:1",
    "d-fleck": "fill:none;stroke:#241c2b;stroke-opacity:.55;stroke-width:1.4;stroke-linecap:round",
    "d-bran": "fill:none;stroke:$straw;stroke-width:2;stroke-linecap:round",
    "d-cross": "fill:none;stroke:#1b1b12;stroke-opacity:.6;stroke-width:1.5",
    "d-word": f"fill:$ink;font-family:{_SANS};font-size:13px",
    "d-small": f"fill:$muted;font-family:{_SANS};font-size:{SMALL:g}px",
    "d-name": f"fill:$ink;font-family:{_SANS};font-size:14px;font-weight:700",
    "d-place": f"fill:$ink;font-family:{_SANS};font-size:14px;font-weight:700;paint-order:stroke;"
    "stroke:$paper;stroke-width:5px;stroke-linejoin:round",
    "d-plank": "fill:$wood;stroke:$wood-edge;stroke-width:1.5",
    "d-grain": "fill:none;stroke:$wood-edge;stroke-width:1;stroke-opacity:.5",
    "d-mark": "fill:$paper;stroke:$ink;stroke-width:1.5",
    "d-leaf": "fill:$leaf;stroke:$ink;stroke-width:1",
    "d-stem": "fill:none;stroke:$leaf;stroke-width:2;stroke-linecap:round",
    "d-frost": "fill:none;stroke:$frost;stroke-width:2.2;stroke-linecap:round",
    "d-moon": "fill:$straw;stroke:$ink;stroke-width:1",
    "d-bad": "fill:none;stroke:$beet;stroke-width:3;stroke-linecap:round",
    "d-soil": "fill:$soil-pale;stroke:$soil;stroke-width:2",
    "d-furrow": "fill:none;stroke:$soil;stroke-width:1;stroke-opacity:.35;stroke-dasharray:9 5",
    "d-trench": "fill:$soil;stroke:$ink;stroke-width:1.5",
    "d-hatch": "fill:none;stroke:$paper;stroke-width:1.6;stroke-opacity:.75",
    "d-open": "fill:none;stroke:$leaf;stroke-width:2.5;stroke-dasharray:7 4",
    "d-band": "fill:$beet;fill-opacity:.2;stroke:none",
    "d-band-liquid": "fill:$straw;fill-opacity:.3;stroke:none",
    "d-middle": "fill:none;stroke:$beet;stroke-width:2.5;stroke-linejoin:round",
    "d-middle-liquid": "fill:none;stroke:$straw;stroke-width:2.5;stroke-linejoin:round",
    "d-middle-other": "fill:none;stroke:$ink;stroke-width:2.5",
    "d-reach": "fill:$beet;fill-opacity:.45;stroke:none",
    "d-reach-other": "fill:$metal;fill-opacity:.55;stroke:none",
    "d-scale": "fill:none;stroke:$hair;stroke-width:1",
    "d-ring": "fill:$paper;stroke:$beet;stroke-width:2",
    "d-dot": "fill:$beet;stroke:$beet;stroke-width:2",
    "d-seen": "fill:$paper;stroke:$ink;stroke-width:2",
    "d-limit": "fill:none;stroke:$ink;stroke-width:1.5;stroke-dasharray:2 4",
    "d-today": "fill:none;stroke:$leaf;stroke-width:1.5;stroke-dasharray:6 4",
    "d-s-empty": "fill:none;stroke:$hair;stroke-width:1.5",
    "d-s-filling": "fill:$beet;stroke:$paper;stroke-width:1",
    "d-s-resting": "fill:$straw;stroke:$paper;stroke-width:1",
    "d-s-ready": "fill:$leaf;stroke:$paper;stroke-width:1",
    "d-s-held": "fill:$frost;stroke:$paper;stroke-width:1",
    "d-s-failed": "fill:$spoiled;stroke:$ink;stroke-width:1",
    "d-s-dirty": "fill:$paper;stroke:$muted;stroke-width:1.5",
    "d-ink": "fill:$ink;stroke:none",
    "d-hand": "fill:$soil-pale;stroke:$ink;stroke-width:2;stroke-linejoin:round",
    "d-bad-fill": "fill:$beet;stroke:$ink;stroke-width:1.5;stroke-linejoin:round",
    "d-foul": "fill:none;stroke:$spoiled;stroke-width:3;stroke-linecap:round",
    "d-foul-fill": "fill:$spoiled;stroke:$ink;stroke-width:1",
    "d-bloom": "fill:#f4f2e8;stroke:$muted;stroke-width:1.5;stroke-linejoin:round",
    "d-thread": "fill:none;stroke:#f4f2e8;stroke-width:2;stroke-linecap:round",
    "d-maggot": "fill:none;stroke:#f4f2e8;stroke-width:3.5;stroke-linecap:round",
    "d-worm": "fill:none;stroke:$beet;stroke-width:3;stroke-linecap:round",
    "d-root": "fill:none;stroke:$wood-edge;stroke-width:2.5;stroke-linecap:round",
    "d-band-liquid-deep": "fill:$straw;fill-opacity:.7;stroke:none",
    "d-furrowed": "fill:$soil;fill-opacity:.6;stroke:$soil;stroke-width:1",
    "d-track": "fill:$hair;stroke:none",
    "d-share": "fill:$wood;stroke:none",
    "d-pad-1": "fill:$straw;stroke:$ink;stroke-width:1.5",
    "d-pad-2": "fill:$straw;fill-opacity:.45;stroke:$ink;stroke-width:1.5",
    "d-pad-3": "fill:$leaf;fill-opacity:.4;stroke:$ink;stroke-width:1.5",
    "d-pad-4": "fill:$leaf;stroke:$ink;stroke-width:1.5",
}


def sourness(ph: float | None) -> str:
    """Name of the step of ``SOURNESS`` that a pH falls in, to the tenth that words tell of it;
    "unknown" for None."""
    if ph is None:
        return "unknown"
    told = round(ph, 1)
    return [name for name, start in SOURNESS if told <= start or name == "fresh"][-1]


def classes() -> tuple[str, ...]:
    """Every class that a drawing may carry."""
    return tuple(_RULES)


def stylesheet() -> str:
    """Rules for a page: colours as custom properties, light and dark by the reader's wish."""
    rules = "\n".join(f".{name}{{{_resolved(rule, None)}}}" for name, rule in _RULES.items())
    return (
        f":root{{{_properties(LIGHT)}}}\n"
        f"@media (prefers-color-scheme:dark){{:root{{{_properties(DARK)}}}}}\n"
        f"@media print{{:root{{{_properties(LIGHT)}}}}}\n{rules}\n"
    )


def inline_style() -> str:
    """The same rules with the light colours written out, for a drawing that stands alone."""
    return "".join(f".{name}{{{_resolved(rule, LIGHT)}}}" for name, rule in _RULES.items())


def _properties(colours: dict[str, str]) -> str:
    return "".join(f"--{name}:{value};" for name, value in colours.items())


def _resolved(rule: str, colours: dict[str, str] | None) -> str:
    for name in sorted(LIGHT, key=len, reverse=True):
        rule = rule.replace(f"${name}", f"var(--{name})" if colours is None else colours[name])
    return rule
