"""Everything that reaches a client: the pages of the phone and what is printed, and which of it shows planned work.

Planned work is shown only through `leave_to_train.stopped_now`; the tests hold every output here against it.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Output:
    """One page or print, with its templates."""

    path: str
    templates: tuple[str, ...]
    #: Whether steps of planned sessions may stand in it.
    shows_steps: bool
    #: What of the plan is in it.
    shows: str


OUTPUTS = (
    Output("/me/today", ("phone/today.html",), True, "today's steps, and titles of the days to come"),
    Output("/me/timer", ("phone/timer.html",), True, "today's steps by the clock"),
    Output("/me/timer/now", (), False, "which clocks may run, by number"),
    Output("/clients/{client_id}/plan/print", ("plan/print.html",), True, "the steps of a week, for the fridge"),
    Output(
        "/plan/group-sheet/print",
        ("plan/group_sheet.html",),
        False,
        "rounds and targets of those ticked who may do them",
    ),
    Output(
        "/me/done", ("phone/done.html", "phone/done_choose.html"), False, "titles and minutes, to say what was done"
    ),
    Output("/me/done/{log_id}", ("phone/done_kept.html",), False, "what was said about one session"),
    Output(
        "/me/done/{log_id}/recording",
        ("phone/recording.html", "phone/recording_look.html"),
        False,
        "what was recorded of one session",
    ),
    Output("/me/done/{log_id}/change", ("phone/done.html",), False, "what was said about one session, to correct it"),
    Output("/me/how-i-am", ("phone/how_i_am.html",), False, "nothing"),
    Output("/me/days-away", ("phone/days_away.html",), False, "days told, and what became of the plan in a word"),
    Output("/me/check-in", ("phone/check_in.html",), False, "nothing"),
    Output("/me/my-way", ("phone/my_way.html",), False, "phase, block and conditions"),
    Output("/me/my-data", ("phone/my_data.html",), False, "nothing"),
    Output("/me/my-way/questions", ("phone/questions.html",), False, "nothing"),
    Output("/me/intake", ("phone/intake_begin.html",), False, "nothing"),
    Output("/me/intake-look-over", ("phone/intake_look_over.html",), False, "nothing"),
    Output("/me/intake-sent", ("phone/intake_sent.html",), False, "nothing"),
    Output("/me/intake/{question}", ("phone/intake_question.html",), False, "nothing"),
    Output("/me/felt-wrong", ("phone/felt_wrong.html",), False, "nothing"),
    Output("/me/felt-wrong/{hold_id}", ("phone/felt_wrong_answer.html",), False, "nothing"),
    Output("/month/{month}/print", ("month/practice_print.html",), False, "sums of a month"),
    Output("/month/{month}/clients/{client_id}/print", ("month/client_print.html",), False, "sums of a month"),
    Output("/clients/{client_id}/safety/letter", ("safety/letter.html",), False, "what a clinician is asked"),
    Output("/clients/{client_id}/safety/consents", ("safety/consents.html",), False, "the texts to sign"),
    Output(
        "/clients/{client_id}/incidents/{incident_id}/print",
        ("incidents/print.html",),
        False,
        "what happened and what was done",
    ),
    Output(
        "/clients/{client_id}/sessions/{log_id}/print",
        ("sessions/print.html",),
        False,
        "what was done in one session, round by round",
    ),
    Output("/practice/hills/print", ("hills/print.html",), False, "hills of the practice; nobody's plan"),
    Output(
        "/clients/{client_id}/conversation/print",
        ("conversation/print.html",),
        False,
        "the coach's own sheet before a talk",
    ),
    Output("/handed-over/print", ("practice/handed_over_print.html",), False, "the stand-in's own sheet"),
    Output("/clients/{client_id}/card", ("client/card.html",), False, "whom to call in an emergency"),
)
