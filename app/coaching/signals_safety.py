"""Signals about safety: symptoms, holds, papers, illness, pressure, questions and hard work without leave."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

from app.coaching.done_work import done_minutes, is_endurance
from app.coaching.hold_rules import LIFTED_BY
from app.coaching.holds import Hold, Stops
from app.coaching.incidents import FOLLOW_UP_DAYS, days_without_word, longest_waiting
from app.coaching.lookahead_hard import is_vigorous
from app.coaching.matching import pauses
from app.coaching.people import Mode
from app.coaching.phases import HARD_WORK_PHASES, PHASE_WORDS
from app.coaching.prescriptions import PlannedSession
from app.coaching.pressure_rules import limits_for, newest_pressure, pressure_stop
from app.coaching.readiness import Illness
from app.coaching.reasons import Provenance
from app.coaching.screening_decision import CARD, SOURCE, asked_after_symptom, newest_answers, screening_due
from app.coaching.signals_values import Act, Family, Scene, Shelf, Signal, key_of, why
from app.coaching.symptoms import sign_of, way_words
from app.coaching.weeks import local_day, week_start
from app.coaching.words import counted, short_day

#: A note about illness or medicine stays news for so long (house choice).
NEWS_DAYS = 3
#: Questions are asked again after a silence of so long (screening reference 1.5, house choice).
SILENCE_DAYS = 14
NEVER_ASKED_DAYS = 28
#: Published work so far ahead is checked against holds and leave.
AHEAD_DAYS = 7

#: What a mode is called at the head of a sentence.
MODE_NAMES = {
    Mode.WALK: "Walking",
    Mode.RUN: "Running",
    Mode.RIDE: "Cycling",
    Mode.INDOOR_RIDE: "Indoor cycling",
    Mode.ROW: "Rowing",
    Mode.SWIM: "Swimming",
    Mode.TREADMILL: "The treadmill",
    Mode.CROSS_TRAIN: "The cross-trainer",
    Mode.STRENGTH: "Strength",
    Mode.OTHER: "That kind of training",
}


def symptom(scene: Scene) -> Signal | None:
    """Something felt wrong and its hold is still open."""
    open_ids = {hold.id: hold for hold in scene.history.open_holds}
    reports = [report for report in scene.history.symptoms if report.hold_id in open_ids]
    if not reports:
        return None
    newest = max(reports, key=lambda r: (open_ids[r.hold_id].stops is Stops.ALL, r.felt_on, r.id))
    hold = open_ids[newest.hold_id]
    sentence = (
        f"Reported on {short_day(newest.felt_on)}: {sign_of(newest.sign).words.lower()}. {paused_words(hold)}; "
        f"it is lifted by {LIFTED_BY[hold.kind].replace('your coach', 'the coach')}."
    )
    way = way_words(newest, scene.history.client.zone)
    reasons = why(
        "Something that felt wrong pauses training until it is settled by whom it may be settled.",
        ("said", newest.text or sign_of(newest.sign).words),
        ("felt on", short_day(newest.felt_on)),
        ("hold", hold.cause),
        provenance=Provenance.HOUSE,
    )
    return Signal(
        "symptom",
        scene.history.client.id,
        Shelf.TODAY,
        Family.SAFETY,
        f"{sentence} {way}" if way else sentence,
        reasons,
        key_of("symptom", [report.id for report in reports]),
        (Act.CONTACT, Act.CLEARANCE_PAGE, Act.OPEN_CLIENT),
        newest.felt_on,
        stops_all=any(open_ids[report.hold_id].stops is Stops.ALL for report in reports),
    )


def hold_with_training(scene: Scene) -> Signal | None:
    """Published training ahead that an open hold pauses; speaks again for the next one and for each newly planned."""
    paused = [
        (s, hold) for s in _published_ahead(scene) for hold in scene.history.open_holds if _stops(scene, hold, s)
    ]
    if not paused:
        return None
    session, hold = paused[0]
    when = "today" if session.planned_on == scene.today else f"on {short_day(session.planned_on)}"
    is_due = session.planned_on == scene.today
    phone = f" {_not_seen(scene, hold)}" if is_due and hold.seen_at is None else ""
    sentence = f"{session.title} is planned {when}, but paused since {short_day(hold.began_on)}: {hold.cause}.{phone}"
    reasons = why(
        "Training an open hold stops is not done; the plan stays and waits.",
        ("hold", f"{hold.cause}, since {short_day(hold.began_on)}"),
        ("planned meanwhile", counted(len({s.id for s, _ in paused}), "session")),
        ("seen on the phone", _seen_words(scene, hold)),
        provenance=Provenance.HOUSE,
    )
    is_today = session.planned_on == scene.today
    newest_id = max(s.id for s, _ in paused)
    return Signal(
        "hold_with_training",
        scene.history.client.id,
        Shelf.TODAY if is_today else Shelf.PLANNING,
        Family.SAFETY,
        sentence,
        reasons,
        key_of("hold_with_training", sorted({hold.id for _, hold in paused}), f"{session.id}-{newest_id}"),
        (Act.CONTACT, Act.PLAN, Act.OPEN_CLIENT),
        hold.began_on,
    )


def _not_seen(scene: Scene, hold: Hold) -> str:
    """Whom to phone: training is due within hours, and plans know the day, so all of today counts (house choice)."""
    return f"{_seen_words(scene, hold).capitalize()}: phone them before they start."


def _seen_words(scene: Scene, hold: Hold) -> str:
    """Whether and when the client saw the pause."""
    if hold.seen_at is not None:
        return short_day(local_day(hold.seen_at, scene.history.client.zone))
    return (
        "the pause was not seen on the phone" if scene.history.client.has_phone else "no phone here shows the pause"
    )


def trained_while_paused(scene: Scene) -> Signal | None:
    """Work done on a day on which a hold stopped everything."""
    done = [
        log
        for log in scene.logs_since(scene.today - timedelta(days=AHEAD_DAYS))
        if is_endurance(log)
        and done_minutes(log) > 0
        and any(_held_all(scene, hold, log.done_on) for hold in scene.history.holds)
    ]
    if not done:
        return None
    newest = max(done, key=lambda log: (log.done_on, log.id))
    sentence = (
        f"Trained on {short_day(newest.done_on)} ({done_minutes(newest):.0f} min) while all training was paused."
    )
    reasons = why(
        "A hold on all training leaves everyday walking only.",
        ("sessions meanwhile", counted(len(done), "session")),
        provenance=Provenance.HOUSE,
    )
    return Signal(
        "trained_while_paused",
        scene.history.client.id,
        Shelf.TODAY,
        Family.SAFETY,
        sentence,
        reasons,
        key_of("trained_while_paused", [newest.id]),
        (Act.CONTACT, Act.OPEN_CLIENT),
        newest.done_on,
    )


def illness(scene: Scene) -> Signal | None:
    """A fresh note that says ill: fever or below the neck stops everything, above the neck stops hard work."""
    notes = [n for n in scene.history.readiness if 0 <= (scene.today - n.noted_on).days < NEWS_DAYS]
    newest = max(notes, key=lambda n: (n.noted_on, n.id), default=None)
    if newest is None or newest.illness is Illness.NONE:
        return None
    has_fever = newest.illness is Illness.FEVER_OR_BELOW
    said = "Fever or ill below the neck" if has_fever else "A cold above the neck"
    rests = "nothing strenuous, no training" if has_fever else "short and easy at most, no hard work"
    planned = [s for s in scene.sessions_today if has_fever or is_vigorous(s)]
    today = f" {planned[0].title} is planned today." if planned else ""
    reasons = why(
        "Fever, aches or chest and stomach signs: no training; three days well before light work, seven before hard.",
        ("noted on", short_day(newest.noted_on)),
        ("planned today", planned[0].title if planned else "nothing it stops"),
        provenance=Provenance.HOUSE,
    )
    return Signal(
        "illness",
        scene.history.client.id,
        Shelf.TODAY,
        Family.SAFETY,
        f"{said} on {short_day(newest.noted_on)}: {rests}.{today}",
        reasons,
        key_of("illness", [newest.id], newest.illness.value),
        (Act.HOLD, Act.CONTACT, Act.EASE_TODAY),
        newest.noted_on,
    )


def medicine_changed(scene: Scene) -> Signal | None:
    """A changed medicine that nobody has looked at: hard work waits until the heart-rate source is reviewed."""
    notes = [n for n in scene.history.readiness if 0 <= (scene.today - n.noted_on).days <= AHEAD_DAYS]
    changed = [n for n in notes if n.medicine_changed]
    if not changed:
        return None
    newest = max(changed, key=lambda n: (n.noted_on, n.id))
    sentence = (
        f"A medicine changed, said on {short_day(newest.noted_on)}: no hard work until it has been talked through."
    )
    reasons = why(
        "A changed medicine pauses hard work until the heart-rate source is reviewed.",
        ("noted on", short_day(newest.noted_on)),
        provenance=Provenance.HOUSE,
    )
    return Signal(
        "medicine_changed",
        scene.history.client.id,
        Shelf.TODAY,
        Family.SAFETY,
        sentence,
        reasons,
        key_of("medicine_changed", [newest.id]),
        (Act.CONTACT, Act.HOLD, Act.OPEN_CLIENT),
        newest.noted_on,
    )


def pressure_high(scene: Scene) -> Signal | None:
    """The newest reading is over a limit."""
    limits = limits_for(scene.history, scene.today, scene.rules)
    stop = pressure_stop(scene.history.pressures, limits)
    newest = newest_pressure(scene.history.pressures)
    if stop is None or newest is None:
        return None
    reasons = why(
        f"No hard work from {limits.pressure_systolic_hard} or {limits.pressure_diastolic_hard} mmHg, no session "
        f"from {limits.pressure_systolic_all} or {limits.pressure_diastolic_all}.",
        ("reading", f"{newest.systolic_mmhg} over {newest.diastolic_mmhg} mmHg"),
        ("measured on", short_day(newest.measured_on)),
        provenance=Provenance.HOUSE,
        would_change="A reading under the limit, seated, after five minutes of rest; of the high one their doctor is "
        "told all the same.",
    )
    return Signal(
        "pressure_high",
        scene.history.client.id,
        Shelf.TODAY,
        Family.SAFETY,
        stop.sentence.replace("your doctor", "their doctor"),
        reasons,
        key_of("pressure_high", [newest.id], stop.stops.value),
        (Act.CONTACT, Act.HOLD, Act.CLEARANCE_PAGE),
        newest.measured_on,
    )


def questions_due(scene: Scene) -> Signal | None:
    """The screening questions are older than twelve weeks, or a silence of two weeks lies after them."""
    answers = newest_answers(scene.history)
    due = screening_due(scene.history, scene.today, scene.rules)
    silence = _silence_since(scene, answers.answered_on) if answers else None
    if due is None and silence is None:
        return None
    sentence = due or f"{silence} days without training lie after the last answers: ask the symptom questions again."
    felt_on = asked_after_symptom(scene.history, scene.today)
    reasons = why(
        "They are asked at intake, after a symptom, before a test, every twelve weeks and after 14 silent days.",
        ("last answered", short_day(answers.answered_on) if answers else "never"),
        ("limit", f"{scene.rules.symptoms_asked_days} days"),
        provenance=Provenance.HOUSE,
    )
    name = "questions_due" if answers else "waiting_for_questions"
    return Signal(
        name,
        scene.history.client.id,
        Shelf.TODAY if scene.hard_today else Shelf.PLANNING,
        Family.SAFETY if scene.hard_today else Family.REST,
        sentence,
        reasons,
        key_of(
            name,
            [answers.id if answers else 0],
            felt_on or ("age" if due else "silence") if answers else _period(scene.today),
        ),
        (Act.SEND_QUESTIONS, Act.CONTACT, Act.PUT_OFF),
        answers.answered_on if answers else scene.history.client.joined_on,
    )


def hard_without_leave(scene: Scene) -> Signal | None:
    """Published middle or hard work for someone without leave for it, or not in a phase for hard work."""
    vigorous = [s for s in _published_ahead(scene) if is_vigorous(s)]
    is_wrong_phase = scene.history.phase not in HARD_WORK_PHASES
    wrong = [s for s in vigorous if not scene.vigorous.is_ok or (is_wrong_phase and s.is_hard)]
    if not wrong:
        return None
    session = wrong[0]
    phase = PHASE_WORDS[scene.history.phase] if scene.history.phase else "no phase yet"
    because = scene.vigorous.comes_next if not scene.vigorous.is_ok else f"The phase is: {phase}."
    reasons = why(
        "Middle and hard work needs leave for vigorous work; hard work also its phase.",
        ("screening", f"{scene.vigorous.outcome.value}, row {scene.vigorous.branch}"),
        ("phase", phase),
        provenance=Provenance.PUBLISHED_SECOND_HAND,
        source=SOURCE,
        formulae=(CARD,),
        would_change=because if not scene.vigorous.is_ok else "The easy version in its place, or its phase, decided.",
    )
    is_today = session.planned_on == scene.today
    return Signal(
        "hard_without_leave",
        scene.history.client.id,
        Shelf.TODAY if is_today else Shelf.PLANNING,
        Family.SAFETY,
        f"{session.title} stands on {short_day(session.planned_on)} without leave for hard work. {because}",
        reasons,
        key_of("hard_without_leave", [session.id], scene.vigorous.branch),
        (Act.EASE_TODAY if is_today else Act.PLAN, Act.CLEARANCE_PAGE, Act.OPEN_CLIENT),
        session.planned_on,
    )


def incident_open(scene: Scene) -> Signal | None:
    """An incident that is still open, and nobody wrote a follow-up for seven days."""
    zone = scene.history.client.zone
    waiting = longest_waiting(scene.history.incidents, scene.today, zone)
    if waiting is None:
        return None
    days = days_without_word(waiting, scene.today, zone)
    sentence = (
        f"The incident of {short_day(waiting.happened_on)} ({waiting.activity}) is open, and for {days} days nobody "
        "wrote how it went on. Ask, write it down, or close it."
    )
    reasons = why(
        f"An open incident asks for a follow-up at least every {FOLLOW_UP_DAYS} days.",
        ("happened on", short_day(waiting.happened_on)),
        ("last word", short_day(local_day(waiting.last_word_at, zone))),
        provenance=Provenance.HOUSE,
        would_change="A follow-up, or closing it.",
    )
    return Signal(
        "incident_open",
        scene.history.client.id,
        Shelf.PLANNING,
        Family.SAFETY,
        sentence,
        reasons,
        key_of("incident_open", [waiting.id], len(waiting.entries)),
        (Act.INCIDENTS, Act.CONTACT, Act.OPEN_CLIENT),
        waiting.happened_on,
    )


def paused_words(hold: Hold) -> str:
    """What an open hold pauses, as the head of a sentence: "Running and all hard work are paused"."""
    if hold.stops is Stops.HARD:
        return "Hard work is paused"
    if hold.stops is Stops.ALL or hold.mode is None:
        return "All training is paused"
    return f"{MODE_NAMES[hold.mode]} and all hard work are paused"


def _published_ahead(scene: Scene) -> list[PlannedSession]:
    """Published sessions of today and the next week that no entry answers, soonest first."""
    answered = {log.planned_session_id for log in scene.history.logs}
    last = scene.today + timedelta(days=AHEAD_DAYS)
    ahead = [s for s in scene.history.planned if scene.today <= s.planned_on <= last and not s.is_cancelled]
    return sorted((s for s in ahead if s.id not in answered), key=lambda s: (s.planned_on, s.id))


def _stops(scene: Scene, hold: Hold, session: PlannedSession) -> bool:
    return pauses(hold, session, max(session.planned_on, hold.began_on), scene.history.client.zone)


def _held_all(scene: Scene, hold: Hold, day: date) -> bool:
    """Whether a hold stopped everything on a day; its first day is left out, the work may have come before it."""
    zone = scene.history.client.zone
    is_over = hold.lifted_at is not None and local_day(hold.lifted_at, zone) <= day
    return hold.stops is Stops.ALL and day > max(hold.began_on, local_day(hold.raised_at, zone)) and not is_over


def _period(today: date) -> str:
    """Who never answered is named again every four weeks, whatever was done about it (house choice)."""
    return f"period {week_start(today).toordinal() // NEVER_ASKED_DAYS}"


def _silence_since(scene: Scene, since: date) -> int | None:
    """The longest stretch without training after a day, when it is two weeks or more."""
    done = sorted({log.done_on for log in scene.history.logs if log.done_on > since and done_minutes(log) > 0})
    longest = max((later - earlier).days for earlier, later in pairwise([since, *done, scene.today]))
    return longest if longest >= SILENCE_DAYS and scene.history.logs else None


SAFETY_RULES = (
    symptom,
    hold_with_training,
    trained_while_paused,
    illness,
    medicine_changed,
    pressure_high,
    questions_due,
    hard_without_leave,
    incident_open,
)
