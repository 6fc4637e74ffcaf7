"""What the invented clients and their coaches say, in their own words."""

from __future__ import annotations

from app.coaching.people import Mode

CONTACTS = (
    "Spoke about the week; all is well.",
    "Short call: days fit, sleep fine.",
    "Asked about the easy pace. Chatting all the way.",
    "Went through last week's entries together.",
    "Asked about tablets, falls and anything hard elsewhere: no, no, no.",
    "Talked about the next weeks and the days that are free.",
    "Said that two weeks like this are worth more than one big one.",
    "Shoes, wet weather, and when to stay inside.",
    "A message with thanks, answered the same day.",
)

OUTDOORS = (
    "Wind behind me on the way home.",
    "Wet, but nobody else out. Lovely.",
    "Slower than usual, felt right.",
    "Took the flat way round.",
    "Talked to myself the whole way. In whole sentences.",
    "Legs heavy at first, gone after ten minutes.",
    "Cut it a little short, supper was on.",
    "Fog, so I stayed near the houses.",
    "Felt I could have gone on for another hour.",
)

INDOORS = (
    "Listened to the radio play to the end.",
    "Window open, towel needed all the same.",
    "A bit dull, but done.",
    "Kept it lighter than I wanted to.",
    "Seat a little higher, knees happier.",
    "Done before the house woke up.",
)

IN_THE_POOL = (
    "Lane to myself for half of it.",
    "Counted strokes, same at the end as at the start.",
    "Water cold, breath calm.",
    "Crowded, so a few pauses at the wall.",
    "Long and slow. Good.",
)

HARD = (
    "First round felt almost too easy, the last just right.",
    "Few words from the third minute. Stood and walked after.",
    "Last one cost something, but even.",
    "Went off a touch quick in the first, caught it.",
    "All the same to the second. Pleased.",
    "Breath took a while, legs were fine.",
)

AFTER_ILLNESS = "Back after the cold. Short and easy."


def words_for(mode: Mode) -> tuple[str, ...]:
    """Phrases about an easy outing that fit how it was done."""
    if mode is Mode.SWIM:
        return IN_THE_POOL
    return INDOORS if mode in (Mode.INDOOR_RIDE, Mode.ROW, Mode.TREADMILL) else OUTDOORS
