"""Small drawn signs for what one does: strokes in the colour of the words beside them."""

from __future__ import annotations

_STROKES = {
    "fed": "M4 20h16M6 20l-1-9h14l-1 9M12 3v6m-3-3 3 3 3-3",
    "drained": "M4 5h9v6h5v4h-4v-1H4zM16 18c-1.6 2-1.6 3.6 0 3.6s1.6-1.6 0-3.6zM8 5V2.5M5.5 2.5h5",
    "ph_read": "M8 3h8v18H8zM8 8h8M8 13h8M11 3v5",
    "looked": "M2.5 12c5-7.5 14-7.5 19 0-5 7.5-14 7.5-19 0zM12 9a3 3 0 1 0 .01 0",
    "photographed": "M3 7h5l1.5-2.5h5L16 7h5v12H3zM12 9.5a3.6 3.6 0 1 0 .01 0",
    "fill_marked": "M6 3l1 18h10l1-18M4 10h4m-4 0 2-1.6M6.7 14h10.6",
    "opened": "M5 11l1 10h12l1-10M4 8l15-5M8 11h8",
    "moved": "M5 9h6v11H5zM13 14h7m-3-3 3 3-3 3",
    "set_aside": "M6 9l1 12h10l1-12zM4.5 9h15M10 5.5a3.6 3.6 0 1 0 4.4-3",
    "judged": "M5 12.5l4.5 5L19 6",
    "emptied": "M4 9l11-5 4 9-11 5zM6 21h13M13 17.5l2 3.5",
    "buried": "M3 14h5l1 6h6l1-6h5M12 3v9m-3-3 3 3 3-3",
    "washed": "M6 10l1 11h10l1-11zM9 3c-1.2 1.6-1.2 2.8 0 2.8"
    "S10.2 4.6 9 3zM15 2c-1.4 2-1.4 3.4 0 3.4s1.4-1.4 0-3.4z",
    "weighed": "M4 20h16l-2-10H6zM12 10V6M8 6h8M12 14l3 2",
    "warmth_read": "M10 4a2 2 0 0 1 4 0v9.500a4.500 4.500 0 1 1-4 0zM12 9v8",
    "noted": "M5 3h14v18H5zM8 8h8M8 12h8M8 16h5",
    "planted": "M12 21v-9M12 12c-1-5-5-6-8-5 0 4 4 6 8 5zM12 10c1-6 5-7 8-6 0 5-4 7-8 6zM5 21h14",
    "harvested": "M3 11h18l-2.500 9h-13zM7 11c0-7 10-7 10 0",
    "liquid_fed": "M3 9h9v10H4zM12 12l8-5M20 7l1.500 3M18 13v2M21 14v2M19.500 18v2",
    "measure_set": "M3 10h18c0 6-4 10-9 10s-9-4-9-10zM7 10c1-4 9-4 10 0",
    "bran_received": "M6 8c-3 6-3 13 0 13h12c3 0 3-7 0-13zM8 8l-1-4h10l-1 4",
    "bran_ordered": "M6 8c-3 6-3 13 0 13h12c3 0 3-7 0-13zM8 8l-1-4h10l-1 4M12 12v5M9.500 14.500h5",
    "bran_mixed": "M4 9h16l-2 12H6zM12 2v9m-4-3c2 4 6 4 8 0",
    "bran_dried": "M3 17h18M5 17v3M19 17v3M7 13c-1.500-2 1.500-3 0-5M12 13c-1.500-2 1.500-3 0-5"
    "M17 13c-1.500-2 1.500-3 0-5",
    "bran_packed": "M6 8c-3 6-3 13 0 13h12c3 0 3-7 0-13zM8 8l-1-4h10l-1 4M7 8h10",
    "bran_tested": "M9 3h6M10 3v6l-5 11h14L14 9V3M7.500 15h9",
    "bran_handed_out": "M3 9c-1.500 4-1.500 9 0 9h8c1.500 0 1.500-5 0-9zM13 12h8m-3-3 3 3-3 3",
    "bran_recalled": "M12 3 2 20h20zM12 9v6M12 17.500v.5",
    "bran_discarded": "M6 8c-3 6-3 13 0 13h12c3 0 3-7 0-13zM9 11l6 7M15 11l-6 7",
    "bran_way_set": "M4 6h16M4 12h16M4 18h16M8 4v4M15 10v4M10 16v4",
    "vessel_added": "M6 7l1 14h10l1-14zM4.500 7h15M12 11v6M9 14h6",
    "bed_added": "M3 7h18v11H3zM8 7v11M13 7v11M17.500 3v6M14.500 6h6",
    "find": "M10.500 4a6.500 6.500 0 1 0 .01 0M15.200 15.200 21 21",
    "today": "M2 19h20M4 19l-.8-8h6.600L9 19M15 19l-.8-6h5.600L19 19M3 11h7",
    "beds": "M2 12h20M4 12v8h16v-8M8 15h3M13 17h4M12 12V8M12 8"
    "C9 8 8 6 8 4c3 0 4 2 4 4zM12 8c3 0 4-2 4-4-3 0-4 2-4 4z",
    "plan": "M3 20V4M3 20h18M6 16l4-5 4 3 6-8",
    "people": "M8 11a3.500 3.500 0 1 0-.01 0zM2.500 20c0-8 11-8 11 0"
    "M16.5 11a3 3 0 1 0-.01 0M15.500 14c4-.5 6 2 6 6",
    "word": "M4 4h16v12h-8l-5 5v-5H4zM8 8.500h8M8 12h5",
    "question": "M8 8c0-6 9-6 9 0 0 4-5 4-5 8M12 20v.5",
    "round": "M2 6h11v11H2zM13 10h5l4 4v3h-9"
    "M6.500 15.500a2 2 0 1 0 .01 0M17.500 15.500a2 2 0 1 0 .01 0",
    "hours": "M12 3a9 9 0 1 0 .01 0M12 7v5l4 2",
    "struck": "M5 5l14 14M19 5L5 19",
}

#: Which of them stand for the work of a programme, where the kind has none of its own.
DEED_ICONS = {
    "fetched": "weighed",
    "visit": "looked",
    "bran": "bran_handed_out",
    "training": "people",
    "complaint": "bran_recalled",
}


def icon(name: str) -> str:
    """SVG of a sign; the plain one of a note for a name without its own."""
    strokes = _STROKES.get(name, _STROKES["noted"])
    return (
        '<svg class="verb" viewBox="0 0 24 24" width="24" height="24" aria-hidden="true" '
        'fill="none" stroke="currentColor" stroke-width="2" stroke-linejoin="round" '
        f'stroke-linecap="round"><path d="{strokes}"/></svg>'
    )
