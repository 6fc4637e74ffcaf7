"""The consent texts in our own plain words, each with its version and hash, and which consents are current.

What each text covers follows general practice (published, second-hand). A practice has its own lawyer and clinician
read them first; a waiver of liability is a different document and is not here.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass

from app.coaching.screening import Consent, ConsentKind


@dataclass(frozen=True, slots=True)
class ConsentText:
    """One text as it is shown and kept in full. A changed word is a new version."""

    kind: ConsentKind
    version: str
    title: str
    paragraphs: tuple[str, ...]
    #: As a page names it: a text in another language is another text.
    language: str = "en"

    @property
    def text(self) -> str:
        """The full text as it is shown."""
        return "\n\n".join((self.title, *self.paragraphs))

    @property
    def sha256(self) -> str:
        """Fingerprint of the full text."""
        return sha256_of(self.text)


_COACHING = ConsentText(
    ConsentKind.COACHING,
    "2026-2",
    "Being coached",
    (
        "What will happen: your coach plans walks, runs, rides or other outings for you, week by week. For some "
        "months nearly all of it is easy. You write down what you did and how it felt.",
        "What can go wrong: sore muscles, tiredness, a strained joint or a fall happen now and then. Very rarely,"
        " exercise sets off a heart attack, a stroke or sudden death. The risk is highest when somebody who is "
        "not used to it works hard, which is why the easy months come first.",
        "What may get better: stamina and everyday strength. Nobody can promise how much.",
        "Your part: answer the health questions truthfully. Say so when you have a symptom, are ill, fall, become"
        " pregnant, or when a medicine changes. Stop when something feels wrong or when you are told to stop.",
        "Your coach is not a doctor: your coach does not diagnose, treat, change medicines or clear you for "
        "exercise.",
        "You can walk, join a group or train in another way instead. You can stop at any time, without giving a "
        "reason.",
        "In an emergency call the emergency number first, not your coach. Your coach may not see a message before"
        " the next morning.",
        "Ask your coach first whatever is unclear; agree only when it is answered.",
    ),
)

_HEALTH_DATA = ConsentText(
    ConsentKind.HEALTH_DATA,
    "2026-1",
    "Keeping your health answers",
    (
        "What is kept: your answers about symptoms, diseases and medicines, blood pressure, clearances, what you "
        "trained, and how you felt.",
        "What for: to plan training that is safe for you and to show later what was decided and why.",
        "Who sees it: your coach, the head coach, and a stand-in for the days your coach hands you over. A clinic"
        " sees only what your coach sends with your knowledge. Who looked is written down.",
        "Where and how long: on a machine of the practice, for as long as you are coached and the time the law "
        "asks for afterwards.",
        "You can have a copy, have mistakes corrected, ask for it to be erased, and take this consent back at any"
        " time. Where health answers are needed for a safe plan, training then stays easy or pauses.",
    ),
)

_INTERVAL_PHASE = ConsentText(
    ConsentKind.INTERVAL_PHASE,
    "2026-1",
    "Starting hard work",
    (
        "What changes: once a week, later perhaps twice, you do rounds of a few minutes that are hard, with easy "
        "minutes between. The rest of the week stays easy.",
        "What can go wrong: hard work makes heart trouble more likely during it and in the hour after than easy "
        "work does. For people who are used to exercise and were screened the risk on one day is very small, but "
        "it is not nothing. Strains and falls happen too.",
        "What may get better: hard work usually lifts stamina further than easy work alone. Nobody can promise it.",
        "Your part: warm up and cool down as planned. Read the stop signs before each hard session and stop at "
        "once when one appears. Do not start when you are ill, have a fever, or do not feel right.",
        "You may say no, stay with easy work, or go back to it at any time. Nothing is lost.",
        "This consent is asked again when the programme or your risk changes.",
    ),
)

_STOP_SIGNS = ConsentText(
    ConsentKind.STOP_SIGNS,
    "2026-1",
    "When to stop",
    (
        "Stop at once and rest if you feel: pain or pressure in the chest, jaw, neck or arm; breath much shorter "
        "than the effort explains, or wheezing; light-headed, confused, unsteady or sick; a heart that races, "
        "pounds or skips; cold and clammy skin, or somebody says you look pale or blue; a sudden bad headache or "
        "change in seeing; cramping in the legs that makes you stop; new pain in a joint or calf.",
        "Stop as well if effort goes up and your heart rate does not, if the machine fails, or simply if you want"
        " to.",
        "Call the emergency number if it does not settle within a few minutes, if you faint, if one side is weak,"
        " if speech is slurred, or if you cannot get your breath.",
        "Then tell your coach. No training until it has been looked at.",
    ),
)

LANGUAGE_WORDS = {"en": "English"}

#: What has to be in force before anything is kept or planned at all.
ASKED_FOR_EVERYTHING = (ConsentKind.COACHING, ConsentKind.HEALTH_DATA)
#: What has to be in force before anything hard, and the reason kept when it is taken back.
ASKED_FOR_HARD_WORK = (ConsentKind.INTERVAL_PHASE, ConsentKind.STOP_SIGNS)
TAKEN_BACK = "Consent to hard work was taken back"

#: What waits while a consent is not in force (house choice).
WAITS_FOR = {
    ConsentKind.COACHING: "ask before training begins or goes on",
    ConsentKind.HEALTH_DATA: "ask before more is kept",
    ConsentKind.INTERVAL_PHASE: "the interval phase waits for it",
    ConsentKind.STOP_SIGNS: "the interval phase waits for it",
}

#: The same as the client reads it.
TOLD_OF_WAITING = {
    ConsentKind.COACHING: "before training begins or goes on",
    ConsentKind.HEALTH_DATA: "before more of your health answers are kept",
    ConsentKind.INTERVAL_PHASE: "before any hard work",
    ConsentKind.STOP_SIGNS: "before any hard work",
}

CONSENT_TEXTS = {text.kind: text for text in (_COACHING, _HEALTH_DATA, _INTERVAL_PHASE, _STOP_SIGNS)}


def sha256_of(text: str) -> str:
    """Fingerprint of a text as it is kept with a consent."""
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


def current_consent(consents: Sequence[Consent], kind: ConsentKind) -> Consent | None:
    """The consent in force: not withdrawn, given to the text as it is now; None when there is none."""
    version = CONSENT_TEXTS[kind].version
    fitting = [
        one for one in consents if one.kind is kind and one.withdrawn_on is None and one.text_version == version
    ]
    return max(fitting, key=lambda one: (one.given_on, one.id), default=None)


def missing_words(consents: Sequence[Consent], kinds: Sequence[ConsentKind] = tuple(ConsentKind)) -> str | None:
    """Which of some consents are not in force and what waits for each, in a sentence or two; None when all are."""
    missing = missing_consents(consents, kinds)
    groups = (
        [kind for kind in missing if kind not in ASKED_FOR_HARD_WORK],
        [kind for kind in missing if kind in ASKED_FOR_HARD_WORK],
    )
    said = [
        f"Not agreed to yet: {' and '.join(CONSENT_TEXTS[kind].title for kind in group)}; {WAITS_FOR[group[0]]}."
        for group in groups
        if group
    ]
    return " ".join(said) or None


def told_of_missing(consents: Sequence[Consent], kinds: Sequence[ConsentKind]) -> tuple[str, ...]:
    """What a client who wanted to ask first reads of each text not agreed to, in a sentence."""
    return tuple(
        f"“{CONSENT_TEXTS[kind].title}”: your coach sees that it is open and talks it over with you "
        f"{TOLD_OF_WAITING[kind]}."
        for kind in missing_consents(consents, kinds)
    )


def missing_consents(consents: Sequence[Consent], kinds: Sequence[ConsentKind]) -> tuple[ConsentKind, ...]:
    """Those of some consents that are not in force."""
    return tuple(kind for kind in kinds if current_consent(consents, kind) is None)
