"""Signals about a clinician's paper: one that waits beside an open hold, one that is missing, one that ends."""

from __future__ import annotations

from datetime import timedelta

from app.coaching.asked_afresh import newer_text_stop, outdated_consents
from app.coaching.clearance_papers import TELEPHONE, paper_day, paper_faults
from app.coaching.consents import CONSENT_TEXTS
from app.coaching.hold_rules import lifting_clearance
from app.coaching.holds import Hold, HoldKind
from app.coaching.lookahead_hard import is_vigorous
from app.coaching.phases import HARD_WORK_PHASES, INTERVAL_PHASES
from app.coaching.pressure_rules import newest_pressure
from app.coaching.reasons import Provenance
from app.coaching.screening import Clearance, ClearanceState, Consent, ConsentKind
from app.coaching.screening_decision import (
    CARD,
    SOURCE,
    STOPPED_WORDS,
    Outcome,
    Stopped,
    newest_answers,
    newest_paper,
)
from app.coaching.signals_values import Act, Family, Scene, Shelf, Signal, key_of, to_plan, why
from app.coaching.weeks import day_words, local_day
from app.coaching.words import counted, short_day

#: A paper that ends within four weeks is worth asking for again (house choice).
ENDING_DAYS = 28
#: Holds that wait for somebody's written word.
_LIFTED_BY_PAPER = (HoldKind.SYMPTOM, HoldKind.CLEARANCE, HoldKind.PREGNANCY)


def paper_while_held(scene: Scene) -> Signal | None:
    """A paper has come while a hold that waits for one is still open: it is read, and the hold lifted or not."""
    waiting = [
        (paper, hold)
        for hold in scene.history.open_holds
        if hold.kind in _LIFTED_BY_PAPER
        for paper in scene.history.clearances
        if _answers(paper, hold)
    ]
    if not waiting:
        return None
    paper, hold = max(waiting, key=lambda both: (both[0].recorded_at, both[0].id, both[1].began_on, both[1].id))
    by = f" by {paper.signer}" if paper.signer else ""
    doubts = _doubts(scene, paper, hold)
    leads = lifting_clearance(hold, scene.history.clearances, scene.today) is not None
    advice = f"{' '.join(doubts)} It does not lift it." if doubts else "Read it and lift it, or say why not."
    reasons = why(
        "A paper lifts nothing by itself: a coach reads it, and lifts the hold or says why not.",
        ("paper", f"{day_words(paper_day(paper))}{by}"),
        ("hold", f"{hold.cause}, since {short_day(hold.began_on)}"),
        ("against it", " ".join(doubts) or "nothing found"),
        provenance=Provenance.HOUSE,
        would_change="A paper dated after the hold began, with nothing against it; no other word lifts it."
        if doubts
        else "The paper read, and the hold lifted, or a word why not.",
    )
    ids = {*(f"c{one.id}" for one, _ in waiting), *(f"h{one.id}" for _, one in waiting)}
    return Signal(
        "paper_while_held",
        scene.history.client.id,
        Shelf.TODAY,
        Family.SAFETY,
        f"{_what_came(paper)} of {day_words(paper_day(paper))}{by} is on file; the hold of "
        f"{short_day(hold.began_on)} ({hold.cause}) is still open. {advice}",
        reasons,
        key_of("paper_while_held", sorted(ids)),
        (Act.LIFT if leads or _has_text(paper) else Act.ASK_IN_WRITING, Act.CLEARANCE_PAGE, Act.CONTACT),
        local_day(paper.recorded_at, scene.history.client.zone),
        hold_id=hold.id,
        leads=leads,
    )


def _what_came(paper: Clearance) -> str:
    """A paper, or what was only told: nobody can read a telephone call."""
    said = "refusal" if paper.state is ClearanceState.REFUSED else "clearance"
    if not _has_text(paper):
        return f"A {said} told by telephone"
    return "A refusal" if paper.state is ClearanceState.REFUSED else "A paper"


def _has_text(paper: Clearance) -> bool:
    return paper.how_seen != TELEPHONE


def _answers(paper: Clearance, hold: Hold) -> bool:
    """Whether a paper came after a hold: recorded since it was raised, or dated later than what it is about."""
    if paper.state is ClearanceState.REQUESTED:
        return False
    return paper.recorded_at > hold.raised_at or paper_day(paper) > hold.began_on


def _doubts(scene: Scene, paper: Clearance, hold: Hold) -> list[str]:
    """Why the paper would not lift the hold, as sentences."""
    if paper.state is ClearanceState.REFUSED:
        return ["It refuses."]
    late = paper.given_on is None or paper.given_on > hold.began_on
    too_old = [] if late else [f"It is not dated later than {short_day(hold.began_on)}."]
    return [*paper_faults(paper, scene.today), *too_old]


def clearance_missing(scene: Scene) -> Signal | None:
    """The screening stops training, or hard work in a hard-work phase, until there is a paper."""
    decision = scene.light if scene.light.stops is Stopped.ALL else scene.vigorous
    is_wanted = decision is scene.light or scene.history.phase in HARD_WORK_PHASES
    if not is_wanted or decision.outcome not in (Outcome.HOLD, Outcome.STOP) or newest_answers(scene.history) is None:
        return None
    answers, paper = newest_answers(scene.history), newest_paper(scene.history, scene.today)
    reasons = why(
        "Known disease, symptoms or a refusal ask for a clinician's word first.",
        ("row", str(decision.branch)),
        ("paper", f"{paper.state.value}, {day_words(paper_day(paper))}" if paper else "none"),
        provenance=Provenance.PUBLISHED_SECOND_HAND,
        source=SOURCE,
        formulae=(CARD,),
        would_change=decision.comes_next,
    )
    trains_today = any(decision is scene.light or is_vigorous(s) for s in scene.sessions_today)
    ids = (f"a{answers.id if answers else 0}", f"c{paper.id if paper else 0}")
    said = STOPPED_WORDS[decision.stops]
    return Signal(
        "clearance_missing",
        scene.history.client.id,
        Shelf.TODAY if trains_today else Shelf.PLANNING,
        Family.SAFETY,
        f"{said[:1].upper()}{said[1:]}. {decision.comes_next}",
        reasons,
        key_of("clearance_missing", ids, decision.branch),
        (Act.CLEARANCE_PAGE, Act.CONTACT, Act.OPEN_CLIENT),
        paper_day(paper) if paper else answers.answered_on if answers else scene.today,
    )


def clearance_ending(scene: Scene) -> Signal | None:
    """A clearance that runs out within four weeks."""
    paper = newest_paper(scene.history, scene.today)
    if paper is None or paper.state is not ClearanceState.GRANTED or paper.given_on is None:
        return None
    by_age = paper.given_on + timedelta(days=scene.rules.clearance_days)
    ends = min(by_age, paper.ends_on) if paper.ends_on else by_age
    left = (ends - scene.today).days
    if not 0 <= left <= ENDING_DAYS:
        return None
    when = f"in {counted(left, 'day')}, on {day_words(ends)}" if left else "today"
    sentence = f"The clearance of {day_words(paper.given_on)} ends {when}."
    reasons = why(
        "A clearance counts for at most a year, or until its own last day.",
        ("given on", day_words(paper.given_on)),
        ("signed by", paper.signer or "not recorded"),
        ("last day", day_words(ends)),
        provenance=Provenance.FROM_MEMORY,
    )
    return Signal(
        "clearance_ending",
        scene.history.client.id,
        Shelf.PLANNING,
        Family.REST,
        sentence,
        reasons,
        key_of("clearance_ending", [paper.id], ends),
        (Act.CLEARANCE_PAGE, Act.CONTACT, Act.PUT_OFF),
        paper.given_on,
    )


def consent_ending(scene: Scene) -> Signal | None:
    """A consent given here that is taken back, has a newer text, or is about to be asked for again."""
    given = {kind: _newest_consent(scene, kind) for kind in ConsentKind}
    is_said_for_all = newer_text_stop(scene.history) is not None
    for_all = outdated_consents(scene.history) if is_said_for_all else ()
    found = [
        (kind, one, said)
        for kind, one in given.items()
        if one is not None and kind not in for_all and (said := _ending(scene, one))
    ]
    if not found:
        return None
    titles = "; ".join(f"“{CONSENT_TEXTS[kind].title}” {said}" for kind, _, said in found)
    reasons = why(
        f"A consent is asked for again after {scene.rules.consent_days} days, or when its text changes.",
        *[(CONSENT_TEXTS[kind].title, f"given on {day_words(one.given_on)}") for kind, one, _ in found],
        provenance=Provenance.HOUSE,
        would_change="The consent, given again.",
    )
    return to_plan(
        scene,
        "consent_ending",
        f"To be agreed again: {titles}.",
        reasons,
        key=key_of("consent_ending", [one.id for _, one, _ in found], scene.rules.consent_days),
        acts=(Act.CLEARANCE_PAGE, Act.CONTACT, Act.PUT_OFF),
        evidence_on=min(one.given_on for _, one, _ in found),
    )


def _newest_consent(scene: Scene, kind: ConsentKind) -> Consent | None:
    of_kind = [one for one in scene.history.consents if one.kind is kind]
    return max(of_kind, key=lambda one: (one.given_on, one.id), default=None)


def _ending(scene: Scene, one: Consent) -> str:
    """What is wrong with a consent; "" when it is in force for some time."""
    if one.withdrawn_on is not None:
        return ""
    if one.text_version != CONSENT_TEXTS[one.kind].version:
        return "has a newer text"
    ends = one.given_on + timedelta(days=scene.rules.consent_days)
    left = (ends - scene.today).days
    if left > ENDING_DAYS:
        return ""
    return f"is asked for again from {short_day(ends)}" if left >= 0 else f"was due on {short_day(ends)}"


def pressure_due(scene: Scene) -> Signal | None:
    """Training hard, and the newest blood pressure reading is older than it may be."""
    newest = newest_pressure(scene.history.pressures)
    if scene.history.phase not in INTERVAL_PHASES or newest is None:
        return None
    days = (scene.today - newest.measured_on).days
    if days <= scene.rules.pressure_days:
        return None
    reasons = why(
        f"While somebody trains hard a reading is at most {scene.rules.pressure_days} days old.",
        ("last reading", f"{newest.systolic_mmhg} over {newest.diastolic_mmhg} mmHg"),
        ("measured on", day_words(newest.measured_on)),
        ("days", str(days)),
        provenance=Provenance.HOUSE,
        would_change="A seated reading after five minutes of rest.",
    )
    return to_plan(
        scene,
        "pressure_due",
        f"The last blood pressure reading is {days} days old; {scene.rules.pressure_days} is the rule. Ask for a new "
        "one.",
        reasons,
        key=key_of("pressure_due", [newest.id], scene.rules.pressure_days),
        acts=(Act.CLEARANCE_PAGE, Act.CONTACT, Act.PUT_OFF),
        evidence_on=newest.measured_on,
    )


PAPER_RULES = (paper_while_held, clearance_missing, clearance_ending, consent_ending, pressure_due)
