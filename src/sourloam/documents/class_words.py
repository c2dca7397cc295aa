"""What the class kit says besides its figures."""

from __future__ import annotations

PAGES = ("For the teacher", "Set up", "What we see", "What the model foresaw")
JARS = ("bran, {room}", "no bran, {room}", "bran, {cold}")
TEACHER = (
    (
        "The question",
        (
            "Why does food kept without air turn sour instead of rotten, and what helps it?",
            "Three jars differ in one thing each: A has bran and stands in the room; B has no "
            "bran; C stands in the refrigerator.",
        ),
    ),
    (
        "For each group",
        (
            "Three jars with plastic lids that can be left a little loose; labels; a tray",
            "Fruit and vegetable scraps, chopped small: {scraps} for each jar. No meat, fish, egg "
            "or dairy",
            "Inoculated bran: {bran} for jar A and for jar C; strips for pH 3 to 7; gloves",
            "Twenty minutes on the first day, ten on each day of measuring",
        ),
    ),
    (
        "Take care",
        (
            "Find out in private who is allergic (wheat in the bran, foods, mould), has asthma or "
            "weak defences: they watch and write.",
            "Treat the jars as raw food: gloves, washed hands, nobody tastes or eats.",
            "Gas forms: lids stay loose, an adult opens, face turned away, window open. Never "
            "screw a lid tight.",
            "Furry green, black or blue, or a rotten smell: close it, an adult throws it away.",
            "The liquid stings: shield eyes; rinse an eye with water for a quarter of an hour and "
            "ask a doctor.",
        ),
    ),
    (
        "Afterwards",
        (
            "Sour jars: bury them under {cover} of soil or mix them into a tub of soil, where your "
            "rules allow; the others go into the food waste. Wash jars and hands.",
        ),
    ),
)
PLAN_HEAD = ("Day", "Date", "With the class", "Minutes")
PLAN = (
    ("Set up the jars (page 2), guess, first strip (page 3)", "20"),
    ("A strip and the smell of each jar; write both on page 3, draw the points", "10"),
    ("The last strip; join the points, lay page 4 beside them, talk; bury what is sour", "30"),
)
PLAY_ON = (
    "On a computer with Sourloam, sourloam serve opens a page to play with (its address ends in "
    "try): two jars side by side, everything can be moved, nobody signs in."
)
STEPS = (
    "Put on gloves. Chop the scraps as small as a thumbnail and mix them well.",
    "Weigh {scraps} for each jar, so that all three get the same mix.",
    "Jars A and C: stir in {bran} of inoculated bran. Jar B: nothing.",
    "Press hard with a spoon until no air is left between the pieces; lay a piece of film on top.",
    "Put the lid on, not tight. Write letter, date and group on the jar.",
    "A and B stand in the room ({room}), C in the refrigerator ({cold}).",
    "Measure at once: press a strip on the wet scraps, compare it, write it down.",
)
GUESSES = (
    "Which jar will be sour first? Why?",
    "Which will be sourest after two weeks?",
    "What will jar C look and smell like?",
)
TALK = (
    "Did your figures lie inside the bands? Where not, what may have differed?",
    "Jar B turns sour as well, only later: where do its bacteria come from?",
    "Why does cold hold jar C back, and what does that say about a vessel in winter?",
    "What would air do? Why do we press, and close the lid?",
    "A model is a guess with reasons. What would you measure to make it better?",
)


def sentences() -> set[str]:
    """Every text of these pages, for the list of translations."""
    teacher = {text for title, lines in TEACHER for text in (title, *lines)}
    plan = {text for text, _minutes in PLAN}
    return {*PAGES, *JARS, *teacher, *PLAN_HEAD, *plan, PLAY_ON, *STEPS, *GUESSES, *TALK}
