"""Signals about a clinician's paper: one that waits beside an open hold, one that is missing, one that ends."""

from __future__ import annotations

from datetime import timedelta

from app.coaching.clearance_papers import paper_day, paper_faults
from app.coaching.hold_rules import lifting_clearance
from app.coaching.holds import Hold, HoldKind
from app.coaching.lookahead_hard import is_vigorous
from app.coaching.phases import HARD_WORK_PHASES
from app.coaching.reasons import Provenance
from app.coaching.screening import Clearance, ClearanceState
from app.coaching.screening_decision import (
    CARD,
    SOURCE,
    STOPPED_WORDS,
    Outcome,
    Stopped,
    newest_answers,
    newest_paper,
)
from app.coaching.signals_values import Act, Family, Scene, Shelf, Signal, key_of, why
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
    said = "A refusal" if paper.state is ClearanceState.REFUSED else "A paper"
    doubts = _doubts(scene, paper, hold)
    advice = f"{' '.join(doubts)} It does not lift it." if doubts else "Read it and lift it, or say why not."
    reasons = why(
        "A paper lifts nothing by itself: a coach reads it, and lifts the hold or says why not.",
        ("paper", f"{day_words(paper_day(paper))}{by}"),
        ("hold", f"{hold.cause}, since {short_day(hold.began_on)}"),
        ("against it", " ".join(doubts) or "nothing found"),
        provenance=Provenance.HOUSE,
        would_change="The hold being lifted.",
    )
    ids = {*(f"c{one.id}" for one, _ in waiting), *(f"h{one.id}" for _, one in waiting)}
    return Signal(
        "paper_while_held",
        scene.history.client.id,
        Shelf.TODAY,
        Family.SAFETY,
        f"{said} of {day_words(paper_day(paper))}{by} is on file; the hold of {short_day(hold.began_on)} "
        f"({hold.cause}) is still open. {advice}",
        reasons,
        key_of("paper_while_held", sorted(ids)),
        (Act.LIFT, Act.CLEARANCE_PAGE, Act.CONTACT),
        local_day(paper.recorded_at, scene.history.client.zone),
        hold_id=hold.id,
        leads=lifting_clearance(hold, scene.history.clearances, scene.today) is not None,
    )


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
    sentence = f"The clearance of {day_words(paper.given_on)} ends in {counted(left, 'day')}, on {day_words(ends)}."
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


PAPER_RULES = (paper_while_held, clearance_missing, clearance_ending)
