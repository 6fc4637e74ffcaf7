"""One story from a spreadsheet to the first hard session and the printed month, over HTTP and by commands only.

Nothing is put into the file behind the desk's back. The days go by because the desk is started again with a later
`--today`, which only a folder made for invented people allows.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from app.coaching.phases import PHASE_WORDS, Phase
from app.coaching.questions import MEDICINE_GROUPS, SYMPTOM_QUESTIONS
from app.coaching.weeks import week_start
from tests.pages import Page
from tests.serving import Desk, Visitor, foothill

EMAIL, PASSWORD = "signe@birchway.example", "eleven otters under the old bridge"
ASTA, BERIT = "Asta Lindqvist", "Berit Holm"
#: Walking days: Monday, Wednesday, Saturday.
DAYS = (0, 2, 5)
BROUGHT_IN = {ASTA: 20, BERIT: 8}
WEEKS_HERE = 8
WEEK = timedelta(weeks=1)
MAPPING = """
[clients.columns]
"Name" = "name"
"Born" = "born_on"
"Sex" = "sex"
"Phase" = "phase"
"Since" = "phase_since_on"
"Joined" = "joined_on"
"Source" = "phase_source"
"Time zone" = "zone"
[sessions]
effort = "0-10"
[sessions.columns]
"Name" = "client"
"Date" = "done_on"
"What" = "mode"
"Kind" = "kind"
"Minutes" = "minutes"
"RPE" = "effort"
"Talk" = "talk"
"""


class Story:
    """The practice's folder, its days, and who is signed in."""

    def __init__(self, folder: Path) -> None:
        self.data = folder / "practice"
        self.folder = folder
        #: A Monday nine weeks back, so that all of it is over by the machine's own clock, by which commands go.
        self.begins = week_start(datetime.now(UTC).date()) - (WEEKS_HERE + 1) * WEEK
        self.ids: dict[str, int] = {}
        self.phone_cookies: dict[str, dict[str, str]] = {}

    @contextmanager
    def day(self, today: date) -> Iterator[tuple[Visitor, dict[str, Visitor]]]:
        """The desk on a day: the coach's browser, and the phones that were signed in before."""
        desk = Desk(self.data, "--today", today.isoformat())
        try:
            coach = Visitor(desk)
            coach.sign_in(EMAIL, PASSWORD)
            phones = {name: Visitor(desk, cookies) for name, cookies in self.phone_cookies.items()}
            yield coach, phones
        finally:
            code = desk.stop()
        assert code == 0

    def at(self, name: str, rest: str = "") -> str:
        """An address of a client."""
        return f"/clients/{self.ids[name]}{rest}"


@pytest.mark.slow
def test_a_practice_is_run_from_a_spreadsheet_to_the_first_hard_session(tmp_path):
    story = Story(tmp_path)
    begins, ends = story.begins, story.begins + WEEKS_HERE * WEEK
    the_first_coach_is_made(story)
    a_spreadsheet_comes_in(story)
    with story.day(begins) as (coach, _):
        what_came_in_is_confirmed(story, coach)
        for name in (ASTA, BERIT):
            a_phone_is_invited(story, coach, name)
        what_safety_asks_is_met(story, coach, BERIT, on=begins)
        eight_weeks_are_refused_by_the_transition(story, coach)
        a_standard_loop_is_kept(story, coach, on=begins - timedelta(days=1), minutes="31:10", heart_rate=118)
        a_base_block_is_planned_and_published(story, coach)
    for weeks in range(2, WEEKS_HERE + 1, 2):
        with story.day(begins + weeks * WEEK) as (coach, phones):
            a_fortnight_is_logged(phones[ASTA])
            if weeks < WEEKS_HERE:
                the_base_is_not_there_yet(story, coach)
                continue
            what_safety_asks_is_met(story, coach, ASTA, on=ends)
            what_the_practice_asks_is_met(story, coach, phones[ASTA], on=ends)
            the_morning_says_the_base_is_there(coach)
            asta_is_promoted(story, coach)
            intervals_are_planned_and_published(story, coach, on=ends)
    with story.day(ends + timedelta(days=2)) as (coach, phones):
        a_session_with_rounds_is_logged(story, coach, phones[ASTA], on=ends + timedelta(days=2))
        something_felt_wrong_tops_the_morning(story, coach, phones[BERIT])
        the_month_is_handed_out(story, coach, ends + timedelta(days=2))
        each_step_stands_in_the_trail(story, coach)
    the_month_is_written_by_command(story, ends + timedelta(days=2))
    assert foothill("check", "--data", story.data).stdout == "All is well.\n"


def the_first_coach_is_made(story: Story) -> None:
    made = foothill(
        *("create-coach", "--data", story.data, "--email", EMAIL, "--name", "Signe Aurland", "--password-stdin"),
        "--invented",
        typed=f"{PASSWORD}\n",
    )
    assert made.returncode == 0, made.stderr
    assert "head coach" in made.stdout


def a_spreadsheet_comes_in(story: Story) -> None:
    """Two files as a spreadsheet saves them; the same again adds nothing."""
    since = {name: story.begins - weeks * WEEK for name, weeks in BROUGHT_IN.items()}
    born = {ASTA: "12.04.1982", BERIT: "30.09.1979"}
    people = [("Name", "Born", "Sex", "Phase", "Since", "Joined", "Source", "Time zone")]
    people += [
        (name, born[name], "f", "base", f"{since[name]:%d.%m.%Y}", f"{since[name]:%d.%m.%Y}", "her diary", "UTC")
        for name in (ASTA, BERIT)
    ]
    done = [("Name", "Date", "What", "Kind", "Minutes", "RPE", "Talk")]
    done += [
        (name, f"{since[name] + week * WEEK + timedelta(days=day):%d.%m.%Y}", "walk", "easy", "45", "3", "could chat")
        for name in (ASTA, BERIT)
        for week in range(BROUGHT_IN[name])
        for day in DAYS
    ]
    files = [written(story.folder / "people.csv", people), written(story.folder / "done.csv", done)]
    mapping = story.folder / "mapping.toml"
    mapping.write_text(MAPPING, encoding="utf-8")
    command = ("import", *files, "--data", story.data, "--dates", "day-first")
    first = foothill(*command, "--mapping", mapping)
    again = foothill(*command)
    assert first.returncode == 0, first.stdout + first.stderr
    assert first.stdout.splitlines()[-1] == f"added {2 + sum(BROUGHT_IN.values()) * 3}, changed 0, refused 0"
    assert again.stdout.splitlines()[-1].startswith("added 0, changed 0")


def written(path: Path, rows: list[tuple[str, ...]]) -> Path:
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file, delimiter=";").writerows(rows)
    return path


def what_came_in_is_confirmed(story: Story, coach: Visitor) -> None:
    roster = coach.get("/roster")
    for name in (ASTA, BERIT):
        address = next(address for address, words in roster.links if words == name)
        story.ids[name] = int(address.rpartition("/")[2])
    shown = coach.fill_in("/practice/import", "/practice/brought-in")
    assert "Confirmed as brought in: 2." in shown.words
    for name in (ASTA, BERIT):
        assert "Aerobic base since" in coach.get(story.at(name, "/promotion")).words


def a_phone_is_invited(story: Story, coach: Visitor, name: str) -> None:
    """Looking at the link uses nothing up; the button does, once."""
    page = coach.get(story.at(name, "/access"))
    shown = coach.send(page.form(story.at(name, "/access/link")))
    found = re.search(r"http://\S+(/join/[\w-]+)", shown.words)
    assert found, shown.words
    link = found[1]
    phone, other = Visitor(coach.desk), Visitor(coach.desk)
    for _ in range(2):
        looked = phone.get(link)
        assert (looked.status, f"Hello {name}" in looked.words) == (200, True)
    button, same_button = looked.form(link), other.get(link).form(link)
    assert phone.follow(phone.send(button)).path == "/me/today"
    assert other.send(same_button).status == 404
    assert "signs one phone in, once" in other.get(link).words
    assert other.get("/me/today").status == 303
    story.phone_cookies[name] = phone.cookies


def what_safety_asks_is_met(story: Story, coach: Visitor, name: str, *, on: date) -> None:
    """Questions and consents on the phone, the reading by the coach. Everything but the transition."""
    phone = Visitor(coach.desk, story.phone_cookies[name])
    answers = {f"m_{group.key}": "no" for group in MEDICINE_GROUPS}
    answers |= {f"q_{question.key}": "no" for question in SYMPTOM_QUESTIONS}
    answers |= {"q_active": "yes", "q_heart": "no", "q_diabetes": "no", "q_kidney": "no", "q_pregnant": "no"}
    asked = phone.get("/me/my-way/questions").form("/me/my-way/questions")
    if "q_news" in asked.fields:
        answers["q_news"] = "no"
    contact = {"emergency_contact": "Nils, brother", "emergency_phone": "+44 7700 900123"}
    phone.follow(phone.send(asked, **answers, **contact))
    for kind in ("stop_signs", "interval_phase"):
        consents = phone.get("/me/my-way")
        kept = phone.follow(phone.send(consents.form("/me/my-way/consents", kind=kind)))
        assert "Kept. You can take it back" in kept.words
    coach.fill_in(
        story.at(name, "/safety"),
        story.at(name, "/safety/pressure"),
        measured_on=on.isoformat(),
        systolic_mmhg="124",
        diastolic_mmhg="78",
        origin="coach",
    )


def eight_weeks_are_refused_by_the_transition(story: Story, coach: Visitor) -> None:
    """On the page and when sent all the same, with the best of reasons; nothing is decided."""
    page = coach.get(story.at(BERIT, "/promotion"))
    assert "Transition weeks of all easy work" in page.words
    barred = "Not possible while a safety condition is open: Transition weeks of all easy work. Nobody can override"
    assert barred in page.words
    other = page.form(story.at(BERIT, "/promotion"))
    assert "promote-interval_one" not in other.fields["move"].options
    refused = coach.send(
        other,
        move=promotion_key(coach, story),
        reason="Eight good weeks behind her",
        override_reason="She has asked for it twice",
    )
    assert refused.status == 422
    sentence = "Transition weeks of all easy work: 8 weeks (not met). Nobody can override this. 4 more all-easy weeks"
    assert sentence in refused.words
    assert "Aerobic base since" in coach.get(story.at(BERIT, "/promotion")).words


def promotion_key(coach: Visitor, story: Story) -> str:
    """The word the page itself uses for the step: the id of its section."""
    found = re.search(r'<section [^>]*id="([^"]*interval_one[^"]*)"', coach.get(story.at(BERIT, "/promotion")).text)
    assert found
    return found[1]


def a_standard_loop_is_kept(story: Story, coach: Visitor, *, on: date, minutes: str, heart_rate: int) -> None:
    shown = coach.fill_in(
        story.at(ASTA, "/tests"),
        tested_on=on.isoformat(),
        protocol="standard_loop",
        mode="walk",
        distance_m="3000",
        duration=minutes,
        heart_rate_bpm=heart_rate,
        talk="chat",
        origin="coach",
    )
    assert "The result is kept." in shown.words


def a_base_block_is_planned_and_published(story: Story, coach: Visitor) -> None:
    slots = {f"day_{number}": "60" if number in DAYS else "" for number in range(7)}
    wish = {"starts_on": story.begins.isoformat(), "weeks": WEEKS_HERE, "start_minutes": "135", "mode": "walk"}
    wish |= {"target_minutes": "150", "rise_minutes": "5", "every": "4", **slots}
    keep_a_block(coach, story.at(ASTA, "/plan/base"), wish)
    count = publish(story, coach, story.begins, WEEKS_HERE)
    assert count == WEEKS_HERE * len(DAYS)


def keep_a_block(coach: Visitor, address: str, wish: dict[str, object]) -> None:
    """Look at the weeks first, then keep what was looked at."""
    preview = coach.send(coach.get(address).form(address), **wish)
    assert preview.status == 200, preview.errors
    assert "The weeks as they would be" in preview.words
    form = preview.form(address)
    more = {"replace": "yes"} if "replace" in form.fields else {}
    kept = coach.follow(coach.send(form, step="keep", **more))
    assert "weeks kept as drafts" in kept.words


def publish(story: Story, coach: Visitor, monday: date, weeks: int) -> int:
    ticked = "&".join(f"week-{monday + number * WEEK}=yes" for number in range(weeks))
    address = story.at(ASTA, "/plan/publish")
    page = coach.get(f"{address}?{ticked}")
    sent = coach.follow(coach.send(page.form(address), reason="As agreed on the telephone"))
    found = re.search(r"Published: (\d+) sessions", sent.words)
    assert found, sent.words
    return int(found[1])


def a_fortnight_is_logged(phone: Visitor) -> None:
    """Every planned session that waits, one after the other, as the phone offers them."""
    waiting = [address for address, _ in phone.get("/me/done?choose=1").links if "?session=" in address]
    today = date.fromisoformat(phone.get("/me/how-i-am").form("/me/how-i-am").values["noted_on"])
    logged = 0
    for address in waiting:
        form = phone.get(address).form("/me/done")
        if date.fromisoformat(form.values["done_on"]) >= today:
            continue
        page = phone.follow(phone.send(form, answer="as_planned", talk="chat", effort="3", note="Went well."))
        assert "Kept. Thank you." in page.words
        logged += 1
    assert logged == 2 * len(DAYS)


def the_base_is_not_there_yet(story: Story, coach: Visitor) -> None:
    assert "The base is there" not in coach.get("/morning").words
    assert "Not possible while a safety condition is open" in coach.get(story.at(ASTA, "/promotion")).words


def what_the_practice_asks_is_met(story: Story, coach: Visitor, phone: Visitor, *, on: date) -> None:
    a_standard_loop_is_kept(story, coach, on=on - timedelta(days=1), minutes="30:40", heart_rate=116)
    coach.fill_in(
        story.at(ASTA, "/edit"), heart_rate_use="reliable", heart_rate_source="Chest strap, checked by hand count"
    )
    phone.fill_in("/me/how-i-am", sleep="2", fatigue="3", stress="2", soreness="2", slept_h="7.5")


def the_morning_says_the_base_is_there(coach: Visitor) -> None:
    morning = coach.get("/morning")
    lines = re.findall(r'<article class="line".*?</article>', morning.text, re.DOTALL)
    hers = [line for line in lines if ASTA in line]
    assert len(hers) == 1
    assert "The base is there: every condition for hard work is met. The decision is yours." in hers[0]
    assert f"{BERIT}" not in hers[0]


def asta_is_promoted(story: Story, coach: Visitor) -> None:
    page = coach.get(story.at(ASTA, "/promotion"))
    assert "Every condition is met. The decision is yours; nothing promotes by itself." in page.words
    assert "28 held weeks" in page.words
    step = next(form for form in page.forms if "interval_one" in form.values.get("move", ""))
    assert "override_reason" not in step.fields
    silent = coach.send(step)
    assert (silent.status, silent.errors) == (422, ["Please fill this in."])
    shown = coach.follow(coach.send(step, reason="Twenty-eight steady weeks, and she wants to"))
    assert f"Promoted: {PHASE_WORDS[Phase.INTERVAL_ONE]}" in shown.words
    assert "19 of 19 conditions met then" in shown.words


def intervals_are_planned_and_published(story: Story, coach: Visitor, *, on: date) -> None:
    slots = {f"day_{number}": "60" if number in DAYS else "" for number in range(7)}
    wish = {"starts_on": on.isoformat(), "weeks": 4, "volume_minutes": "150", "mode": "walk", "hard_2": "yes"}
    wish |= {"protocol_key": "four_by_four", "introductory": "yes", **slots}
    keep_a_block(coach, story.at(ASTA, "/plan/intervals"), wish)
    assert publish(story, coach, on, 4) == 4 * len(DAYS)


def a_session_with_rounds_is_logged(story: Story, coach: Visitor, phone: Visitor, *, on: date) -> None:
    today = phone.get("/me/today")
    assert "4 min" in today.words
    pages = [phone.get(address) for address, _ in phone.get("/me/done?choose=1").links if "?session=" in address]
    # Sessions later in the week are offered too, and every form has spare rows; one asks round by round.
    [hard] = [page.form("/me/done") for page in pages if "Round by round" in page.words]
    assert hard.values["done_on"] == on.isoformat()
    rounds: dict[str, object] = {}
    for number, rate in ((1, 151), (2, 156)):
        rounds |= {f"round_{number}_done": "whole", f"round_{number}_heart_rate": rate}
        rounds |= {f"round_{number}_effort": 5 + number}
    kept = phone.follow(
        phone.send(hard, answer="as_planned", talk="few_words", effort="6", posture="stood", **rounds)
    )
    assert "2 of 2 rounds in full" in kept.words
    week = coach.get(story.at(ASTA, "/weeks"))
    assert week.status == 200
    assert "2" in week.words
    page = coach.get(f"/entry/logs/{kept.path.rpartition('/')[2]}")
    assert "2 of 2 rounds in full" in page.words


def something_felt_wrong_tops_the_morning(story: Story, coach: Visitor, phone: Visitor) -> None:
    before = coach.get("/morning")
    assert "chest" not in first_line(before).casefold()
    answer = phone.fill_in("/me/felt-wrong", sign="chest", text="Tight on the stairs")
    assert re.search(r"/me/felt-wrong/\d+", answer.path)
    assert "your local emergency number" in answer.words
    top = first_line(coach.get("/morning"))
    assert BERIT in top
    assert "alarm" in top


def first_line(morning: Page) -> str:
    found = re.search(r'<article class="line".*?</article>', morning.text, re.DOTALL)
    return found[0] if found else ""


def the_month_is_handed_out(story: Story, coach: Visitor, today: date) -> None:
    month = f"{today:%Y-%m}"
    page = coach.get(f"/month/{month}")
    assert (page.status, ASTA in page.words, BERIT in page.words) == (200, True, True)
    hers = coach.get(f"/month/{month}/clients/{story.ids[ASTA]}")
    assert PHASE_WORDS[Phase.INTERVAL_ONE] in hers.words.casefold()
    remark = f"/month/{month}/clients/{story.ids[ASTA]}/remark"
    coach.follow(coach.send(hers.form(remark), text="A first hard session, done as it should be."))
    for printed in (f"/month/{month}/print", f"/month/{month}/clients/{story.ids[ASTA]}/print"):
        paper = coach.get(printed)
        assert (paper.status, ASTA in paper.words) == (200, True)
    assert "done as it should be" in paper.words
    rows = read_csv(coach.get(f"/month/{month}/sessions.csv?for=machines").content)
    hard = [row for row in rows if ASTA in row and today.isoformat() in row]
    assert len(hard) == 1


def read_csv(content: bytes) -> list[list[str]]:
    assert content.endswith(b"\r\n")
    return list(csv.reader(io.StringIO(content.decode("utf-8-sig"), newline="")))


def each_step_stands_in_the_trail(story: Story, coach: Visitor) -> None:
    """Read from the client's own page; a page of the trail for each step of the story."""
    trail = coach.get(story.at(ASTA, "/trail")).text
    said = [re.sub(r"<[^>]+>", "", one).strip().casefold() for one in re.findall(r"<strong>.*?</strong>", trail)]
    steps = {
        "bring in client",
        "bring in phase",
        "confirm brought in",
        "link made",
        "answered",
        "add pressure",
        "gave",
        "add test result",
        "wrote",
        "published",
        "logged",
        "promote",
        "keep month remark",
    }
    assert steps <= set(said), sorted(set(said))
    # The base and the intervals; every session of eight weeks and the one with rounds.
    assert said.count("published") >= 2
    assert said.count("logged") >= WEEKS_HERE * len(DAYS) + 1


def the_month_is_written_by_command(story: Story, today: date) -> None:
    out = story.folder / "months"
    run = foothill("month", f"{today:%Y-%m}", "--data", story.data, "--out", out)
    assert run.returncode == 0, run.stderr
    files = [Path(line) for line in run.stdout.splitlines()]
    assert files
    assert all(path.exists() for path in files)
    assert any(ASTA in path.read_text(encoding="utf-8-sig") for path in files)
