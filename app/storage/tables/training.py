"""Tables of what is prescribed, done and felt."""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy import CheckConstraint, ForeignKey, Index, UniqueConstraint
from sqlalchemy import text as sql
from sqlalchemy.orm import Mapped, mapped_column

from app.coaching.effort import Talk
from app.coaching.fitness_tests import Protocol
from app.coaching.people import Mode, Origin
from app.coaching.phases import DecisionKind, Phase
from app.coaching.prescriptions import SessionKind
from app.coaching.readiness import Illness
from app.coaching.session_logs import Answer, Posture, SpoiltBy, WhyNot
from app.storage.columns import Choice, Flag, Instant, LocalDate, between, filled, iso_date, json_text, one_of
from app.storage.tables.base import STRICT, Base


class PhaseDecisionRow(Base):
    """One decision of a client's phase history; entries are added, never changed."""

    __tablename__ = "phase_decisions"
    id: Mapped[int] = mapped_column(primary_key=True)
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"), index=True)
    kind: Mapped[DecisionKind] = mapped_column(Choice(DecisionKind))
    phase: Mapped[Phase] = mapped_column(Choice(Phase))
    since_on: Mapped[date] = mapped_column(LocalDate)
    decided_at: Mapped[datetime] = mapped_column(Instant)
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    reason: Mapped[str]
    evidence_json: Mapped[str]
    attested_by: Mapped[str | None]
    confirmed_at: Mapped[datetime | None] = mapped_column(Instant)
    __table_args__ = (
        one_of("kind", DecisionKind),
        one_of("phase", Phase),
        filled("reason", 2000),
        json_text("evidence_json"),
        STRICT,
    )


class BlockRow(Base):
    """Weeks with one aim inside one phase."""

    __tablename__ = "blocks"
    id: Mapped[int] = mapped_column(primary_key=True)
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"), index=True)
    phase: Mapped[Phase] = mapped_column(Choice(Phase))
    aim: Mapped[str]
    starts_on: Mapped[date] = mapped_column(LocalDate)
    weeks: Mapped[int]
    is_introductory: Mapped[bool] = mapped_column(Flag)
    wishes_json: Mapped[str]
    created_at: Mapped[datetime] = mapped_column(Instant)
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    __table_args__ = (
        one_of("phase", Phase),
        between("weeks", 1, 26),
        CheckConstraint("strftime('%w', starts_on) = '1'", name="starts_on_a_monday"),
        STRICT,
    )


class PlannedWeekRow(Base):
    """One ISO week of a client's plan."""

    __tablename__ = "planned_weeks"
    id: Mapped[int] = mapped_column(primary_key=True)
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"))
    starts_on: Mapped[date] = mapped_column(LocalDate)
    block_id: Mapped[int | None] = mapped_column(ForeignKey("blocks.id", ondelete="SET NULL"), index=True)
    is_easier: Mapped[bool] = mapped_column(Flag)
    target_minutes: Mapped[int | None]
    note: Mapped[str | None]
    revision: Mapped[int]
    __table_args__ = (
        UniqueConstraint("client_id", "starts_on"),
        CheckConstraint("strftime('%w', starts_on) = '1'", name="starts_on_a_monday"),
        between("target_minutes", 0, 3000),
        STRICT,
    )


class PlannedSessionRow(Base):
    """The identity of a planned session; what it says is in its versions."""

    __tablename__ = "planned_sessions"
    id: Mapped[int] = mapped_column(primary_key=True)
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"), index=True)
    created_at: Mapped[datetime] = mapped_column(Instant)
    __table_args__ = (STRICT,)


class PlannedVersionRow(Base):
    """One version of a planned session; versions are added, never rewritten (publishing and seeing are stamps)."""

    __tablename__ = "planned_versions"
    version_id: Mapped[int] = mapped_column(primary_key=True)
    planned_session_id: Mapped[int] = mapped_column(ForeignKey("planned_sessions.id", ondelete="CASCADE"))
    version: Mapped[int]
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"))
    planned_on: Mapped[date] = mapped_column(LocalDate)
    kind: Mapped[SessionKind] = mapped_column(Choice(SessionKind))
    mode: Mapped[Mode] = mapped_column(Choice(Mode))
    title: Mapped[str]
    purpose: Mapped[str]
    minutes: Mapped[int]
    hard_minutes: Mapped[float]
    is_hard: Mapped[bool] = mapped_column(Flag)
    rounds: Mapped[int]
    steps_json: Mapped[str]
    easy_version: Mapped[str | None]
    place: Mapped[str | None]
    is_cancelled: Mapped[bool] = mapped_column(Flag)
    created_at: Mapped[datetime] = mapped_column(Instant)
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    reason: Mapped[str | None]
    published_at: Mapped[datetime | None] = mapped_column(Instant)
    seen_at: Mapped[datetime | None] = mapped_column(Instant)
    hill_id: Mapped[int | None] = mapped_column(ForeignKey("hills.id"), index=True)
    #: The target of its rounds, see `app.coaching.session_target`.
    target_json: Mapped[str | None]
    __table_args__ = (
        UniqueConstraint("planned_session_id", "version"),
        one_of("kind", SessionKind),
        one_of("mode", Mode),
        filled("title", 200),
        iso_date("planned_on"),
        between("minutes", 0, 720),
        between("rounds", 0, 60),
        json_text("steps_json"),
        Index("ix_planned_versions_client_day", "client_id", "planned_on"),
        Index(
            "ix_planned_versions_changed",
            "client_id",
            "planned_on",
            "planned_session_id",
            "version",
            sqlite_where=sql("version > 1"),
        ),
        STRICT,
    )


class SessionLogRow(Base):
    """One entry about one session on one local day."""

    __tablename__ = "session_logs"
    id: Mapped[int] = mapped_column(primary_key=True)
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"))
    planned_session_id: Mapped[int | None] = mapped_column(
        ForeignKey("planned_sessions.id", ondelete="SET NULL"), index=True
    )
    done_on: Mapped[date] = mapped_column(LocalDate)
    answer: Mapped[Answer] = mapped_column(Choice(Answer))
    kind: Mapped[SessionKind] = mapped_column(Choice(SessionKind))
    mode: Mapped[Mode] = mapped_column(Choice(Mode))
    minutes: Mapped[float | None]
    effort: Mapped[float | None]
    talk: Mapped[Talk | None] = mapped_column(Choice(Talk))
    felt_all_out: Mapped[bool] = mapped_column(Flag)
    posture: Mapped[Posture | None] = mapped_column(Choice(Posture))
    why_not: Mapped[WhyNot | None] = mapped_column(Choice(WhyNot))
    spoilt_by: Mapped[SpoiltBy | None] = mapped_column(Choice(SpoiltBy))
    note: Mapped[str | None]
    origin: Mapped[Origin] = mapped_column(Choice(Origin))
    entered_at: Mapped[datetime] = mapped_column(Instant)
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    from_memory: Mapped[bool] = mapped_column(Flag)
    revision: Mapped[int]
    #: Identity of an imported row; running the import again finds it.
    import_key: Mapped[str | None] = mapped_column(unique=True)
    #: Heavy leg strength or a long hill: not hard, and hard work waits a day after it.
    heavy_legs: Mapped[bool] = mapped_column(Flag, server_default="0")
    #: Whether the first half minute of a round hurt; None is not said.
    first_30_hurt: Mapped[bool | None] = mapped_column(Flag)
    __table_args__ = (
        one_of("answer", Answer),
        one_of("kind", SessionKind),
        one_of("mode", Mode),
        one_of("talk", Talk),
        one_of("posture", Posture),
        one_of("why_not", WhyNot),
        one_of("spoilt_by", SpoiltBy),
        one_of("origin", Origin),
        iso_date("done_on"),
        between("minutes", 0, 1440),
        between("effort", 0, 10),
        CheckConstraint("(answer = 'not_done') = (minutes IS NULL)", name="minutes_when_done"),
        Index("ix_session_logs_client_day", "client_id", "done_on"),
        STRICT,
    )


class RoundRow(Base):
    """One work round of a log."""

    __tablename__ = "session_log_rounds"
    session_log_id: Mapped[int] = mapped_column(ForeignKey("session_logs.id", ondelete="CASCADE"), primary_key=True)
    number: Mapped[int] = mapped_column(primary_key=True)
    duration_s: Mapped[int]
    is_complete: Mapped[bool] = mapped_column(Flag)
    power_w: Mapped[float | None]
    speed_m_per_s: Mapped[float | None]
    heart_rate_end_bpm: Mapped[int | None]
    cadence_per_min: Mapped[float | None]
    effort: Mapped[float | None]
    heart_rate_mean_bpm: Mapped[int | None]
    #: Counted in the round.
    strokes: Mapped[int | None]
    posture: Mapped[Posture | None] = mapped_column(Choice(Posture))
    __table_args__ = (
        between("number", 1, 60),
        between("duration_s", 5, 7200),
        between("power_w", 0, 2500),
        between("speed_m_per_s", 0, 20),
        between("heart_rate_end_bpm", 25, 240),
        between("cadence_per_min", 0, 250),
        between("effort", 0, 10),
        between("heart_rate_mean_bpm", 25, 240),
        between("strokes", 1, 2000),
        one_of("posture", Posture),
        STRICT,
    )


class ReadinessNoteRow(Base):
    """How a client is on a day."""

    __tablename__ = "readiness_notes"
    id: Mapped[int] = mapped_column(primary_key=True)
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"))
    noted_on: Mapped[date] = mapped_column(LocalDate)
    sleep: Mapped[int | None]
    fatigue: Mapped[int | None]
    stress: Mapped[int | None]
    soreness: Mapped[int | None]
    mood: Mapped[int | None]
    slept_h: Mapped[float | None]
    resting_heart_rate_bpm: Mapped[int | None]
    ln_rmssd: Mapped[float | None]
    illness: Mapped[Illness] = mapped_column(Choice(Illness))
    medicine_changed: Mapped[bool] = mapped_column(Flag)
    not_right_today: Mapped[bool] = mapped_column(Flag)
    text: Mapped[str | None]
    origin: Mapped[Origin] = mapped_column(Choice(Origin))
    entered_at: Mapped[datetime] = mapped_column(Instant)
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    import_key: Mapped[str | None] = mapped_column(unique=True)
    __table_args__ = (
        between("sleep", 1, 7),
        between("fatigue", 1, 7),
        between("stress", 1, 7),
        between("soreness", 1, 7),
        between("mood", 1, 5),
        between("slept_h", 0, 24),
        between("resting_heart_rate_bpm", 25, 240),
        between("ln_rmssd", 0, 7),
        one_of("illness", Illness),
        one_of("origin", Origin),
        iso_date("noted_on"),
        Index("ix_readiness_notes_client_day", "client_id", "noted_on"),
        Index("ix_readiness_notes_medicine", "client_id", "noted_on", sqlite_where=sql("medicine_changed IS 1")),
        STRICT,
    )


class FitnessTestRow(Base):
    """One test result."""

    __tablename__ = "fitness_tests"
    id: Mapped[int] = mapped_column(primary_key=True)
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"))
    tested_on: Mapped[date] = mapped_column(LocalDate)
    protocol: Mapped[Protocol] = mapped_column(Choice(Protocol))
    mode: Mapped[Mode] = mapped_column(Choice(Mode))
    distance_m: Mapped[float | None]
    duration_s: Mapped[float | None]
    heart_rate_bpm: Mapped[int | None]
    talk: Mapped[Talk | None] = mapped_column(Choice(Talk))
    value: Mapped[float | None]
    unit: Mapped[str | None]
    error: Mapped[float | None]
    conditions: Mapped[str | None]
    origin: Mapped[Origin] = mapped_column(Choice(Origin))
    entered_at: Mapped[datetime] = mapped_column(Instant)
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    weight_kg: Mapped[float | None]
    height_cm: Mapped[float | None]
    __table_args__ = (
        one_of("protocol", Protocol),
        one_of("mode", Mode),
        one_of("talk", Talk),
        one_of("origin", Origin),
        iso_date("tested_on"),
        between("distance_m", 1, 500000),
        between("duration_s", 1, 86400),
        between("heart_rate_bpm", 25, 240),
        between("weight_kg", 25, 300),
        between("height_cm", 100, 250),
        Index("ix_fitness_tests_client_day", "client_id", "tested_on"),
        STRICT,
    )
