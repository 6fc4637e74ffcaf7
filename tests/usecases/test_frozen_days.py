"""A planned day is frozen at its start in the client's zone: clock changes, far zones, travel and the leap day."""

from __future__ import annotations

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest

from app.coaching.access import Action
from app.coaching.reasons import Refused
from app.coaching.rules import Rules
from app.storage import clients, prescriptions
from app.storage.history import counting_versions
from app.usecases.plan_sessions.opening import open_session
from app.usecases.plan_today import move_session
from tests import factories as make
from tests import plan_scenes as scene
from tests import seed

BERLIN, AUCKLAND, PAGO = "Europe/Berlin", "Pacific/Auckland", "Pacific/Pago_Pago"


def local(zone: str, *parts: int) -> datetime:
    """An instant as a clock in a zone shows it."""
    return datetime(*parts, tzinfo=ZoneInfo(zone)).astimezone(UTC)  # type: ignore[arg-type,misc]


def counted(zone: str, day: date, published_at: datetime) -> list[int]:
    """Which version counts when a second one was published at an instant."""
    first = make.planned(planned_on=day)
    second = make.planned(planned_on=day, version=2, version_id=2, published_at=published_at)
    return [one.version for one in counting_versions(make.client(zone=zone), [first, second], [])]


@pytest.mark.parametrize(
    ("zone", "day", "last_minute", "after"),
    [
        (BERLIN, date(2026, 10, 25), (2026, 10, 25, 23, 59), (2026, 10, 26, 0, 1)),  # 25 hours long
        (BERLIN, date(2026, 3, 29), (2026, 3, 29, 23, 59), (2026, 3, 30, 0, 1)),  # 23 hours long
        (AUCKLAND, date(2026, 4, 5), (2026, 4, 5, 23, 59), (2026, 4, 6, 0, 1)),  # 25 hours long
        (AUCKLAND, date(2026, 9, 27), (2026, 9, 27, 23, 59), (2026, 9, 28, 0, 1)),  # 23 hours long
        (PAGO, date(2026, 12, 31), (2026, 12, 31, 23, 59), (2027, 1, 1, 0, 1)),  # week 53 ends in the next year
        (BERLIN, date(2028, 2, 29), (2028, 2, 29, 23, 59), (2028, 3, 1, 0, 1)),
    ],
)
def test_a_version_counts_to_the_last_minute_of_its_day_and_not_after(zone, day, last_minute, after) -> None:
    assert counted(zone, day, local(zone, *last_minute)) == [2]
    assert counted(zone, day, local(zone, *after)) == [1]


def _move(db, people, session_id: int, to_on: date, now: datetime) -> int:
    return move_session(
        db,
        actor=scene.actor_of(people.coach),
        client_id=people.client.id,
        planned_session_id=session_id,
        to_on=to_on,
        reason="Asked for it.",
        now=now,
    ).version


def _lives_in(db, people, zone: str) -> None:
    clients.change(db, client_id=people.client.id, revision=people.client.revision, values={"zone": zone})


@pytest.mark.parametrize(
    ("zone", "over", "still"),
    [
        (BERLIN, (2026, 11, 27, 0, 1), (2026, 11, 26, 23, 59)),
        (AUCKLAND, (2026, 11, 27, 0, 1), (2026, 11, 26, 23, 59)),
        (PAGO, (2026, 11, 27, 0, 1), (2026, 11, 26, 23, 59)),
    ],
)
def test_a_day_is_over_when_it_is_over_where_the_client_is(coach, people, zone, over, still):
    day, to_on = date(2026, 11, 26), date(2026, 11, 28)
    with coach.db(write=True) as db:
        scene.in_base(db, people.client)
        _lives_in(db, people, zone)
        session_id = seed.add_planned(db, client=people.client, planned_on=day)

        with pytest.raises(Refused, match="Thu 26 Nov is over"):
            _move(db, people, session_id, to_on, local(zone, *over))
        assert _move(db, people, session_id, to_on, local(zone, *still)) == 2


def test_who_travels_east_has_the_new_day_sooner(coach, people):
    now = local(BERLIN, 2026, 11, 26, 20, 0)
    with coach.db(write=True) as db:
        scene.in_base(db, people.client)
        session_id = seed.add_planned(db, client=people.client, planned_on=date(2026, 11, 26))
        at_home = open_session(
            db,
            actor=scene.actor_of(people.coach),
            planned_session_id=session_id,
            action=Action.READ,
            rules=Rules(),
            now=now,
        )
        _lives_in(db, people, AUCKLAND)

        with pytest.raises(Refused, match="is over"):
            _move(db, people, session_id, date(2026, 11, 28), now)
    assert (at_home.today, at_home.is_over) == (date(2026, 11, 26), False)


@pytest.mark.parametrize("zone", [BERLIN, AUCKLAND, PAGO])
def test_what_stood_as_the_day_began_stays_marked(coach, people, zone):
    day = date(2026, 11, 26)
    with coach.db(write=True) as db:
        scene.in_base(db, people.client)
        _lives_in(db, people, zone)
        session_id = seed.add_planned(db, client=people.client, planned_on=day)
        for at in (local(zone, 2026, 11, 25, 23, 59), local(zone, 2026, 11, 26, 0, 1)):
            draft = prescriptions.draft_from(scene.versions(db, session_id)[-1], reason="Asked for it.")
            prescriptions.add_version(
                db,
                planned_session_id=session_id,
                client_id=people.client.id,
                draft=draft,
                person_id=people.coach.id,
                at=at,
                publish=True,
            )
        page = open_session(
            db,
            actor=scene.actor_of(people.coach),
            planned_session_id=session_id,
            action=Action.READ,
            rules=Rules(),
            now=local(zone, 2026, 11, 26, 7, 0),
        )

    assert [one.session.version for one in page.versions if one.is_start_of_day] == [2]
