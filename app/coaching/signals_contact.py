"""Signals about contact: quiet clients, contact overdue, words from the client, entries that echo the plan."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from operator import attrgetter

from app.coaching.check_ins import CONFIDENT_FROM, WeekFelt, said_in
from app.coaching.done_work import done_minutes
from app.coaching.effort import TALK_WORDS, Talk
from app.coaching.matching import Pair
from app.coaching.people import ClientState, Origin
from app.coaching.phases import PHASE_WORDS, waiting_decision
from app.coaching.quiet import brought_in_on, silence
from app.coaching.reasons import Provenance
from app.coaching.session_logs import Answer
from app.coaching.signals_values import Act, Family, Scene, Shelf, Signal, key_of, to_plan, why
from app.coaching.weeks import day_words, local_day, week_start
from app.coaching.words import counted, short_day
from app.coaching.worrying_words import worrying_words

QUIET_SPEAKS_AGAIN = (14, 21)
NOTE_DAYS = 7
NOTE_SHOWN = 120
#: A week told is news until two weeks after it began (house choice).
TOLD_DAYS = 14
IDENTICAL_LOGS = 10
#: While it goes on it is said once in four weeks: ten new entries are new evidence, each single one is not.
IDENTICAL_PERIOD_DAYS = 28
#: Minutes this close to the plan are the plan's (house choice).
IDENTICAL_WITHIN_MIN = 0.5
DRIFT_WEEKS = 4
DRIFT_FRACTION = 0.5
DRIFT_SESSIONS_LEAST = 4
_THEIR_OWN = frozenset({Origin.CLIENT, Origin.TOLD_BY_PHONE, Origin.FROM_PAPER})


def quiet(scene: Scene) -> Signal | None:
    """No entry and no contact for over a week and twice the client's own usual gap; never on pause or leave."""
    found = silence(scene.history, scene.today, scene.rules)
    if not found.is_quiet:
        return None
    usual, days, last = found.usual_gap_days, found.days, found.since_on
    crossed = max([0, *(again for again in QUIET_SPEAKS_AGAIN if days >= again > found.limit_days)])
    every = "day" if usual is not None and round(usual) <= 1 else f"{round(usual or 0)} days"
    usual_words = f"; before that an entry every {every}" if usual else ""
    reasons = why(
        "Quiet: no entry and no contact for more than 7 days and more than twice the own median gap of 8 weeks.",
        ("days", str(days)),
        ("limit", f"{found.limit_days:g} days"),
        ("own median gap", f"{usual:g} days" if usual else "too few entries"),
        ("last sign", short_day(last)),
        would_change="An entry, or a contact.",
    )
    return Signal(
        "quiet",
        scene.history.client.id,
        Shelf.PLANNING,
        Family.REST,
        f"Quiet for {counted(days, 'day')}, since {short_day(last)}{usual_words}.",
        reasons,
        key_of("quiet", [found.since_record], crossed),
        (Act.CONTACT, Act.NOTE, Act.PUT_OFF),
        last,
    )


def contact_overdue(scene: Scene) -> Signal | None:
    """No human contact for longer than the practice's interval."""
    history = scene.history
    if history.client.state is ClientState.PAUSED or scene.is_on_leave:
        return None
    past = [c for c in history.contacts if c.contact_on <= scene.today]
    newest = max(past, key=attrgetter("contact_on", "id"), default=None)
    came_on = brought_in_on(history)
    is_later = came_on is not None and history.client.joined_on < came_on <= scene.today
    start = ("brought in", came_on) if is_later and came_on else ("joining", history.client.joined_on)
    last = newest.contact_on if newest else start[1]
    record = newest.id if newest else "joined" if start[0] == "joining" else f"brought in {last}"
    days = (scene.today - last).days
    if days <= scene.rules.contact_days:
        return None
    since = (
        f"The last contact was on {day_words(last)}"
        if newest
        else f"No contact logged since {start[0]} on {day_words(last)}"
    )
    reasons = why(
        "A human contact at least every so many days.",
        ("days", str(days)),
        ("limit", f"{scene.rules.contact_days} days"),
    )
    return Signal(
        "contact_overdue",
        history.client.id,
        Shelf.PLANNING,
        Family.REST,
        f"{since}, {days} days ago; every {scene.rules.contact_days} is the rule.",
        reasons,
        key_of("contact_overdue", [record], scene.rules.contact_days),
        (Act.CONTACT, Act.NOTE, Act.PUT_OFF),
        last,
    )


def note_unread(scene: Scene) -> Signal | None:
    """Words the client wrote in an entry or a readiness note in the last week.

    Those that name a sign to stop for come first, and today: the client may have told nothing else of it.
    """
    said = _words_of_client(scene)
    if not said:
        return None
    newest = max(said)
    chosen = max((one for one in said if worrying_words(one[3])), default=newest)
    named = worrying_words(chosen[3])
    listed = " and ".join((*filter(None, (", ".join(named[:-1]),)), *named[-1:]))
    shown = [chosen] if chosen == newest else [chosen, newest]
    asks = f" It names {listed}: ask today whether something felt wrong; a note pauses nothing." if named else ""
    reasons = why(
        "What a client writes waits for an answer, also once it is read; a note that names a sign to stop for is "
        "answered today.",
        ("written about", short_day(chosen[2])),
        ("notes this week", str(len(said))),
        *((("names", listed),) if named else ()),
        provenance=Provenance.HOUSE,
        would_change="Your answer: a note, a contact, or handled.",
    )
    first, *others = (f"on {short_day(on)}: “{_shortened(text)}”" for _, _, on, text in shown)
    return Signal(
        "note_unread",
        scene.history.client.id,
        Shelf.TODAY if named else Shelf.PLANNING,
        Family.SAFETY if named else Family.REST,
        f"Wrote {first}{asks}{''.join(f' Also {one}' for one in others)}",
        reasons,
        key_of("note_unread", [key for _, key, _, _ in shown]),
        (Act.NOTE, Act.CONTACT, Act.OPEN_CLIENT),
        newest[2],
    )


def _shortened(text: str) -> str:
    return text if len(text) <= NOTE_SHOWN else f"{text[:NOTE_SHOWN].rstrip()} …"


def waits_for_confirmation(scene: Scene) -> Signal | None:
    """A phase that came with the client and that no coach has confirmed."""
    newest = waiting_decision(scene.history.decisions)
    if newest is None:
        return None
    by = newest.attested_by or "source not named"
    reasons = why(
        "What was brought in counts once a coach has confirmed it.",
        ("phase", f"{PHASE_WORDS[newest.phase]} since {day_words(newest.since_on)}"),
        ("known from", by),
        provenance=Provenance.HOUSE,
    )
    return Signal(
        "waits_for_confirmation",
        scene.history.client.id,
        Shelf.PLANNING,
        Family.REST,
        f"Brought in: {PHASE_WORDS[newest.phase]} since {day_words(newest.since_on)} ({by}). Waits for confirmation.",
        reasons,
        key_of("waits_for_confirmation", [newest.id]),
        (Act.PROMOTION_PAGE, Act.OPEN_CLIENT, Act.PUT_OFF),
        local_day(newest.decided_at, scene.history.client.zone),
    )


def identical_to_plan(scene: Scene) -> Signal | None:
    """Ten entries in a row that say the plan's minutes and nothing of their own."""
    run: list[Pair] = []
    pairs = [p for week in scene.weeks for p in week.pairs if p.planned is not None and p.log is not None]
    for pair in sorted(pairs, key=lambda p: (p.day, p.log.id if p.log else 0)):
        run = [*run, pair] if _is_echo(pair) else []
    if len(run) < IDENTICAL_LOGS:
        return None
    first, newest = run[0].day, run[-1].day
    period = week_start(newest).toordinal() // IDENTICAL_PERIOD_DAYS
    reasons = why(
        "Ten entries equal to the plan: ask how it really went.",
        ("entries in a row", str(len(run))),
        ("from", f"{short_day(first)} to {short_day(newest)}"),
    )
    return Signal(
        "identical_to_plan",
        scene.history.client.id,
        Shelf.PLANNING,
        Family.REST,
        f"The last {len(run)} entries equal the plan to the minute: ask how it really went.",
        reasons,
        key_of("identical_to_plan", [f"period {period}"], IDENTICAL_LOGS),
        (Act.CONTACT, Act.NOTE, Act.PUT_OFF),
        newest,
    )


def easy_drifting_up(scene: Scene) -> Signal | None:
    """The third talk answer on half of the easy sessions of four complete weeks."""
    logs = [
        p.log
        for week in scene.weeks[:-1]
        for p in week.pairs
        if p.log is not None and p.log.kind.value == "easy" and p.log.talk is not None
    ]
    third = [log for log in logs if log.talk is Talk.SENTENCES]
    if len(logs) < DRIFT_SESSIONS_LEAST or len(third) < DRIFT_FRACTION * len(logs):
        return None
    newest = max(log.done_on for log in third)
    reasons = why(
        "The third talk answer on half of four weeks' easy sessions: easy is drifting up. The literature puts it "
        "between the thresholds; after the first twelve weeks it is counted as the top edge of easy.",
        ("third answer", f"{len(third)} of {len(logs)} easy sessions"),
        ("weeks", f"the {DRIFT_WEEKS} before {short_day(week_start(scene.today))}"),
        source="Foster et al. 2009",
    )
    return Signal(
        "easy_drifting_up",
        scene.history.client.id,
        Shelf.PLANNING,
        Family.REST,
        f"Easy is drifting up: “{TALK_WORDS[Talk.SENTENCES]}” on {len(third)} of {len(logs)} easy sessions.",
        reasons,
        key_of("easy_drifting_up", [max(third, key=lambda log: (log.done_on, log.id)).id], DRIFT_FRACTION),
        (Act.CONTACT, Act.NOTE, Act.PUT_OFF),
        newest,
    )


def week_told(scene: Scene) -> Signal | None:
    """The newest check-in says something to ask about: too much, something else hard, or little confidence."""
    told = [one for one in scene.history.check_ins if 0 <= (scene.today - one.week_on).days <= TOLD_DAYS]
    if not told:
        return None
    newest = max(told, key=lambda one: one.week_on)
    is_unsure = newest.confidence is not None and newest.confidence < CONFIDENT_FROM
    if not (newest.felt is WeekFelt.TOO_MUCH or newest.other_hard or is_unsure):
        return None
    reasons = why(
        f"A week that was too much, something else hard, or confidence under {CONFIDENT_FROM} of 10 is talked over.",
        *[(f"answer {n}", words) for n, words in enumerate(said_in(newest), start=1)],
        ("limit of confidence", f"{CONFIDENT_FROM}, from memory, unchecked"),
        would_change="A talk, and a plan they believe in.",
    )
    return to_plan(
        scene,
        "week_told",
        f"Told of the week of {short_day(newest.week_on)}: {'; '.join(said_in(newest))}.",
        reasons,
        key=key_of("week_told", [newest.id], CONFIDENT_FROM),
        acts=(Act.CONTACT, Act.NOTE, Act.PUT_OFF),
        evidence_on=local_day(newest.entered_at, scene.history.client.zone),
    )


def _is_echo(pair: Pair) -> bool:
    log, session = pair.log, pair.planned
    if log is None or session is None or log.answer is not Answer.AS_PLANNED or log.note or log.rounds:
        return False
    return abs(done_minutes(log) - session.minutes) <= IDENTICAL_WITHIN_MIN


def _words_of_client(scene: Scene) -> list[tuple[datetime, str, date, str]]:
    """When it was entered, its record, the day it is about, and the words."""
    zone, first = scene.history.client.zone, scene.today - timedelta(days=NOTE_DAYS)
    logs = [
        (e.entered_at, f"l{e.id}", e.done_on, e.note.strip())
        for e in scene.history.logs
        if e.note and e.origin in _THEIR_OWN and local_day(e.entered_at, zone) >= first
    ]
    notes = [
        (n.entered_at, f"r{n.id}", n.noted_on, n.text.strip())
        for n in scene.history.readiness
        if n.text and n.origin in _THEIR_OWN and local_day(n.entered_at, zone) >= first
    ]
    return [one for one in (*logs, *notes) if one[3]]


CONTACT_RULES = (
    quiet,
    contact_overdue,
    note_unread,
    week_told,
    waits_for_confirmation,
    identical_to_plan,
    easy_drifting_up,
)
