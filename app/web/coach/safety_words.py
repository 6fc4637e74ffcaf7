"""A client's safety records as sentences and lines for the coach's page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from app.coaching.clearance_papers import HOW_SEEN, has_paper, paper_faults
from app.coaching.consents import CONSENT_TEXTS, LANGUAGE_WORDS, WAITS_FOR, current_consent
from app.coaching.hold_rules import HOLD_WORDS, LIFTED_BY
from app.coaching.holds import Hold, HoldKind, Stops, SymptomReport, words_of
from app.coaching.illness_return import last_ill_on
from app.coaching.people import ENTRY_ORIGIN_WORDS, ORIGIN_WORDS
from app.coaching.pressure_rules import own_limit_counts
from app.coaching.questions import (
    DISEASE_QUESTIONS,
    MEDICINE_GROUPS,
    SYMPTOM_QUESTIONS,
    Reply,
    details_of,
    medicines_of,
    named_medicines,
)
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.screening import Clearance, ClearanceState, Consent, ConsentKind, Intensity, ScreeningAnswers, YesNo
from app.coaching.screening_decision import CARD, OUTCOME_WORDS, SOURCE, STOPPED_WORDS, Decision
from app.coaching.screening_table import DIABETES_SOURCE
from app.coaching.symptoms import sign_of, way_words
from app.coaching.unsent_answers import REPLY_WORDS, named_diseases, named_unsent
from app.coaching.weeks import day_words, local_day
from app.usecases.intake import ChangedAnswer
from app.usecases.safety_file import SafetyFile

WANTED_WORDS = {
    Intensity.LIGHT_MODERATE: "Light to moderate work",
    Intensity.VIGOROUS: "Vigorous work (middle and hard)",
}
STOPS_WORDS = {
    Stops.ALL: "all training",
    Stops.HARD: "hard and middle work",
    Stops.MODE_AND_HARD: "one way of moving, and hard work",
}
SCOPE_WORDS = {Intensity.LIGHT_MODERATE: "light to moderate work", Intensity.VIGOROUS: "vigorous work too"}
ANSWER_WORDS = {YesNo.YES: "yes", YesNo.NO: "no", YesNo.UNKNOWN: "not answered"}
_SHORT_ANSWERS = (
    ("regularly active", "active"),
    ("known disease", "disease"),
    ("symptoms", "symptoms"),
    ("pregnant or just after", "pregnant"),
    ("heart-rate medicine or rhythm", "heart_rate_medicine"),
)
_QUESTIONS = {question.key: question.text for question in (*SYMPTOM_QUESTIONS, *DISEASE_QUESTIONS)}
_MEDICINES = {group.key: group for group in MEDICINE_GROUPS}


@dataclass(frozen=True, slots=True)
class DecisionView:
    """What the table says of one wish."""

    wanted: str
    sentence: str
    comes_next: str
    is_ok: bool
    why: Why


@dataclass(frozen=True, slots=True)
class AnswersView:
    """One filled-in set of questions."""

    title: str
    sums: tuple[tuple[str, str], ...]
    said_yes: tuple[str, ...]
    medicines: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class HoldView:
    """One hold, open or closed."""

    id: int
    title: str
    stops: str
    cause: str
    own_words: tuple[str, ...]
    raised: str
    lifted_by: str
    lifted: str | None
    is_alarm: bool
    may_undo: bool
    is_illness: bool


@dataclass(frozen=True, slots=True)
class PaperView:
    """One clearance, request or refusal."""

    id: int
    title: str
    lines: tuple[str, ...]
    is_alarm: bool
    #: Whether there is a paper to scan, or a scan was kept already.
    may_be_scanned: bool


@dataclass(frozen=True, slots=True)
class ConsentView:
    """One kind of consent as it stands, with what came before."""

    kind: str
    title: str
    state: str
    is_current: bool
    #: What waits while it is not in force; empty when it is.
    waits: str
    earlier: tuple[str, ...]


def sentence(said: str) -> str:
    """A reason as a sentence of its own."""
    return f"{said[:1].upper()}{said[1:]}"


def decision_view(decision: Decision, file: SafetyFile) -> DecisionView:
    """A decision in a sentence, with its branch behind it."""
    newest = file.history.screening[-1] if file.history.screening else None
    figures = [
        Figure("row of the table", str(decision.branch)),
        Figure("stops", STOPPED_WORDS[decision.stops]),
        Figure("not answered", ", ".join(decision.missing) or "nothing"),
    ]
    if newest is not None:
        figures += [Figure(words, ANSWER_WORDS[getattr(newest, name)]) for words, name in _SHORT_ANSWERS[:3]]
        figures.append(Figure("asked on", day_words(newest.answered_on)))
    why = Why(
        tuple(figures),
        "Only activity, known disease or symptoms, and the wish decide; the first row that fits wins. It reminds a "
        "human; it clears nobody.",
        Provenance.PUBLISHED_SECOND_HAND,
        SOURCE,
        None if decision.is_ok else decision.comes_next,
        (CARD,),
    )
    said = OUTCOME_WORDS[decision.outcome]
    return DecisionView(WANTED_WORDS[decision.wanted], said, decision.comes_next, decision.is_ok, why)


def answers_view(answers: ScreeningAnswers, file: SafetyFile) -> AnswersView:
    """One set of answers, with what was said yes or not sure to."""
    affirmed = (Reply.YES.value, Reply.NOT_SURE.value)
    said = [
        f"{_QUESTIONS[key]} {'Yes.' if value == Reply.YES.value else 'Not sure.'}"
        for key, value in details_of(answers).items()
        if key in _QUESTIONS and value in affirmed
    ]
    groups = [_MEDICINES[key] for key in medicines_of(answers) if key in _MEDICINES.keys() & named_medicines(answers)]
    by = file.name_of(answers.person_id)
    return AnswersView(
        title=f"{day_words(answers.answered_on)}, {ENTRY_ORIGIN_WORDS[answers.origin]}, entered by {by}",
        sums=tuple((words, ANSWER_WORDS[getattr(answers, name)]) for words, name in _SHORT_ANSWERS),
        said_yes=tuple(said),
        medicines=tuple((group.text, group.effect) for group in groups),
    )


def hold_view(hold: Hold, file: SafetyFile, *, may_undo: bool) -> HoldView:
    """One hold in words."""
    mode = f" ({hold.mode.value.replace('_', ' ')})" if hold.mode else ""
    lifted = None
    if hold.lifted_at is not None:
        day = day_words(local_day(hold.lifted_at, file.client.zone))
        lifted = f"Lifted {day} by {file.name_of(hold.lifted_by)}: {hold.lifted_because}"
    raised = day_words(local_day(hold.raised_at, file.client.zone))
    return HoldView(
        id=hold.id,
        title=HOLD_WORDS[hold.kind].replace("your coach", "the coach").capitalize(),
        stops=f"{STOPS_WORDS[hold.stops]}{mode}",
        cause=hold.cause,
        own_words=words_of(hold, file.history.symptoms),
        raised=f"{_since(hold, file)}; raised {raised} by {file.name_of(hold.person_id)}",
        lifted_by=LIFTED_BY[hold.kind].replace("your coach", "the coach"),
        lifted=lifted,
        is_alarm=hold.lifted_at is None and hold.stops is Stops.ALL,
        may_undo=may_undo,
        is_illness=hold.kind is HoldKind.ILLNESS,
    )


def _since(hold: Hold, file: SafetyFile) -> str:
    """The day a hold is about, and for an illness the newest day of it while the hold is open."""
    since = f"Since {day_words(hold.began_on)}"
    if hold.kind is not HoldKind.ILLNESS or hold.lifted_at is not None:
        return since
    ill_on = last_ill_on(hold, file.history.readiness)
    return since if ill_on == hold.began_on else f"{since}, ill again or still on {day_words(ill_on)}"


def hold_views(file: SafetyFile) -> tuple[tuple[HoldView, ...], tuple[HoldView, ...]]:
    """Open holds, then closed ones newest first; a lift of today may be taken back unless the hold is up again."""
    opened = tuple(hold_view(one, file, may_undo=False) for one in file.history.open_holds)
    alike = {(one.kind, one.began_on, one.cause) for one in file.history.open_holds}
    closed = tuple(
        hold_view(
            one,
            file,
            may_undo=file.may_log
            and one.lifted_at is not None
            and local_day(one.lifted_at, file.client.zone) == file.today
            and (one.kind, one.began_on, one.cause) not in alike,
        )
        for one in reversed(file.history.holds)
        if one.lifted_at is not None
    )
    return opened, closed


def paper_view(paper: Clearance, file: SafetyFile) -> PaperView:
    """One clearance: what it says, how long it waits or lasts, and why it may not count."""
    scope = f", for {SCOPE_WORDS[paper.scope]}" if paper.scope else ""
    is_scanned = has_paper(paper) or paper.id in file.scanned
    by = f"Recorded by {file.name_of(paper.person_id)}"
    if paper.state is ClearanceState.REQUESTED:
        return _request_view(paper, file, scope, by, is_scanned=is_scanned)
    given = day_words(paper.given_on) if paper.given_on else "no date"
    signer = f"{paper.signer or 'Not signed'}, {paper.profession or 'profession not said'}"
    seen = f"Seen: {HOW_SEEN.get(paper.how_seen or '', 'not said')}"
    limits = (f"Limits: {paper.limits}",) if paper.limits else ()
    if paper.state is ClearanceState.REFUSED:
        return PaperView(paper.id, f"Refused, {given}", (signer, *limits, by), True, is_scanned)
    faults = tuple(f"Does not count: {fault}" for fault in paper_faults(paper, file.today))
    is_over = paper.ends_on is not None and paper.ends_on < file.today
    title = f"{'Run out' if is_over else 'Given'} {given}{scope or ', for what is not said'}"
    ends = f"Ends {day_words(paper.ends_on)}" if paper.ends_on else "No end stated"
    left = f", {(paper.ends_on - file.today).days} days left" if paper.ends_on and not is_over else ""
    return PaperView(paper.id, title, (signer, f"{seen}. {ends}{left}.", *limits, *faults, by), is_over, is_scanned)


def _request_view(paper: Clearance, file: SafetyFile, scope: str, by: str, *, is_scanned: bool) -> PaperView:
    asked = paper.requested_on or paper.recorded_at.date()
    answered = any(one.state is not ClearanceState.REQUESTED and one.id > paper.id for one in file.history.clearances)
    days = (file.today - asked).days
    waits = "answered" if answered else f"{days} {'day' if days == 1 else 'days'} waiting"
    return PaperView(paper.id, f"Asked for on {day_words(asked)}{scope}: {waits}", (by,), False, is_scanned)


def consent_views(consents: tuple[Consent, ...]) -> tuple[ConsentView, ...]:
    """Every kind of consent, in force or not."""
    return tuple(_consent_view(kind, consents) for kind in ConsentKind)


def _consent_view(kind: ConsentKind, consents: tuple[Consent, ...]) -> ConsentView:
    text = CONSENT_TEXTS[kind]
    current = current_consent(consents, kind)
    of_kind = [one for one in consents if one.kind is kind and one is not current]
    state = "not given"
    if current is not None:
        state = f"given {day_words(current.given_on)}, {_method(current)}{_beside(current)}, text {_text(current)}"
    elif of_kind:
        last = of_kind[-1]
        withdrawn = last.withdrawn_on
        state = f"taken back {day_words(withdrawn)}" if withdrawn else f"given to an older text ({last.text_version})"
    earlier = tuple(f"{day_words(one.given_on)}{_beside(one)}, text {_text(one)}" for one in of_kind)
    waits = "" if current is not None else WAITS_FOR[kind]
    return ConsentView(kind.value, text.title, state, current is not None, waits, earlier)


def _text(consent: Consent) -> str:
    return f"{consent.text_version} in {LANGUAGE_WORDS.get(consent.language, consent.language)}"


def _beside(consent: Consent) -> str:
    """Who saw it given, and when it was taken back."""
    seen = f", seen by {consent.witness}" if consent.witness else ""
    return seen + (f", taken back {day_words(consent.withdrawn_on)}" if consent.withdrawn_on else "")


def _method(consent: Consent) -> str:
    words = {"client": "on the phone", "from_paper": "on paper", "coach": "in person with the coach"}
    return words.get(consent.method.value, ORIGIN_WORDS[consent.method])


def limits_words(file: SafetyFile) -> str | None:
    """Who set the limits for this client, and whether the numbers still count; None when nobody did."""
    own = file.limits.own
    if own is None:
        return None
    said = (
        f"{own.signer}, {own.profession}, {day_words(own.given_on)}: no training from {own.systolic_mmhg} over "
        f"{own.diastolic_mmhg} mmHg (seen: {HOW_SEEN[own.how_seen]}; recorded by {file.name_of(own.person_id)})."
    )
    if own_limit_counts(file.limits):
        return said
    return (
        f"{said} They widen nothing now: too old, or something new came since, or the newest reading is of the "
        "paper's own day. The stricter number counts."
    )


def diabetes_words(file: SafetyFile) -> str | None:
    """What the practice's reading of diabetes alone does for this client, by whom it was chosen, and why."""
    choice = file.diabetes
    if choice is None:
        return None
    if not choice.lets_begin:
        return (
            "Diabetes alone, no symptoms: here the published readings differ, and the practice keeps the stricter "
            "one (rule: diabetes alternative, off)."
        )
    day = day_words(local_day(choice.at, file.client.zone)) if choice.at else "a day not kept"
    return (
        f"Begins light to moderate work without a clearance by the practice's choice ({DIABETES_SOURCE}), not by the "
        f"stricter table. Chosen by {choice.who or 'somebody'} on {day}: {choice.reason or 'no reason kept'} "
        "It never reaches vigorous work; any symptom ends it."
    )


def incidents_words(file: SafetyFile) -> str:
    """How many incidents are on record and how many are open."""
    found = file.history.incidents
    if not found:
        return "none on record."
    still = sum(one.is_open for one in found)
    return f"{len(found)} on record, {still or 'none'} open."


def _told_on(report: SymptomReport) -> str:
    return f"{day_words(report.felt_on)}, {ENTRY_ORIGIN_WORDS[report.origin]}"


def symptom_lines(file: SafetyFile) -> tuple[tuple[str, str, str | None], ...]:
    """Reports that something felt wrong, newest first: the day, the sign, the client's words."""
    return tuple(
        (
            ". ".join(filter(None, (_told_on(one), way_words(one, file.client.zone)))),
            sign_of(one.sign).words,
            one.text,
        )
        for one in reversed(file.history.symptoms)
    )


def unsent_lines(file: SafetyFile) -> tuple[str, ...]:
    """Symptoms and diseases named in answers the client has not sent."""
    return tuple(
        f"“{one.text}” {_reply_at(one.reply, one.answered_at, file)}."
        for one in (*named_unsent(file.history.unsent), *named_diseases(file.history.unsent))
    )


def changed_lines(changed: Sequence[ChangedAnswer], file: SafetyFile) -> tuple[str, ...]:
    """Symptoms and diseases named and answered otherwise before sending, both answers with their times."""
    return tuple(
        f"“{one.text}” {_reply_at(one.before, one.before_at, file)}; then {_reply_at(one.after, one.after_at, file)}."
        for one in changed
    )


def _reply_at(reply: Reply | None, at: datetime, file: SafetyFile) -> str:
    local = at.astimezone(ZoneInfo(file.client.zone))
    said = REPLY_WORDS[reply] if reply is not None else "nothing"
    return f"{said}, {day_words(local.date())}, {local:%H:%M}"
