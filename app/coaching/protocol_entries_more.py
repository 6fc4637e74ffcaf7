"""The library's shortest and longest rounds, for those who have the usual ones behind them."""

from __future__ import annotations

from app.coaching.people import Mode
from app.coaching.protocol_entries import ROUNDS_ANYWHERE, SHORT_FINISH
from app.coaching.protocol_values import IntervalProtocol
from app.coaching.reasons import Provenance

MORE_ENTRIES = (
    IntervalProtocol(
        key="short_fifteen",
        name="short rounds, 15 s on and 15 s off",
        purpose="Rhythm and light feet: brisk work in pieces too short to get hard by themselves.",
        suits="Those whose legs give out long before the breath, and a first taste of brisk work after a pause.",
        work_s=15,
        recovery_s=15,
        rounds=24,
        rounds_least=16,
        rounds_most=40,
        modes=ROUNDS_ANYWHERE,
        evidence="Rounds of 15 s three times a week raised VO2max by 5.5 % in 8 weeks in moderately trained men, "
        "4 x 4 min by 7.2 %, both at a higher effort than is asked here.",
        source="Helgerud et al. 2007",
        provenance=Provenance.PUBLISHED_READ,
        round_words="Brisk and light for 15 seconds, never a sprint, never above effort 8. The later ones shorten "
        "your words.",
        step_up="short_thirty",
        step_down="two_by_four",
        finish_rule=SHORT_FINISH,
    ),
    IntervalProtocol(
        key="sixty_thirty",
        name="short rounds, 60 s on and 30 s off",
        purpose="Breath that stays high since the rests are too short to bring it down.",
        suits="The well trained with four even rounds behind them; far harder than 30 s on and 30 s off.",
        work_s=60,
        recovery_s=30,
        rounds=12,
        rounds_least=8,
        rounds_most=20,
        modes=ROUNDS_ANYWHERE,
        evidence="Time above 90 % of VO2max was 531 s with 60/30 s and 149 s with 30/30 s, in triathletes; how many "
        "rounds are asked here is common practice.",
        source="Millet et al. 2003",
        provenance=Provenance.PUBLISHED_READ,
        round_words="A steady minute, never a sprint. Begin so that the first three feel too easy; towards the end "
        "only a few words, never above effort 8.",
        step_up="thirty_fifteen_sets",
        step_down="short_thirty",
        finish_rule=SHORT_FINISH,
    ),
    IntervalProtocol(
        key="thirty_fifteen_sets",
        name="30 s on and 15 s off in sets of 13",
        purpose="Much time at high breath, cut into pieces the legs can bear.",
        suits="The long trained on two hard sessions a week; nobody in their first months of hard work.",
        work_s=30,
        recovery_s=15,
        rounds=39,
        rounds_least=13,
        rounds_most=39,
        modes=(Mode.INDOOR_RIDE, Mode.RIDE, Mode.RUN, Mode.ROW),
        evidence="Three sets of 13, twice a week for 10 weeks, raised VO2max by 8.7 % in trained cyclists, 4 x 5 min "
        "by 2.6 %; in elite cyclists VO2max did not differ. The 3 min between sets are common practice.",
        source="Rønnestad et al. 2015 and 2020",
        provenance=Provenance.PUBLISHED_READ,
        round_words="Brisk for 30 seconds, never a sprint, never above effort 8. The first set should feel almost "
        "too easy; few words only at the end of each.",
        step_up=None,
        step_down="sixty_thirty",
        finish_rule=SHORT_FINISH,
        set_of=13,
        set_recovery_s=180,
    ),
    IntervalProtocol(
        key="three_minutes",
        name="4 × 3 min, 3 min off",
        purpose="Rounds that end before form does.",
        suits="Those whose fourth minute breaks form; also a way back after a pause.",
        work_s=180,
        recovery_s=180,
        rounds=4,
        rounds_least=2,
        rounds_most=4,
        modes=ROUNDS_ANYWHERE,
        evidence="4 x 3 min spent 328 s above 90 % of VO2max, 24 x 30/30 s 201 s; the 3 min off are common practice.",
        source="Fleckenstein et al. 2025",
        provenance=Provenance.PUBLISHED_READ,
        round_words=None,
        step_up="four_by_four",
        step_down="three_by_four",
    ),
    IntervalProtocol(
        key="eight_minutes",
        name="4 × 8 min, 2 min off",
        purpose="Long rounds a little below the usual effort: patience, and much work in one session.",
        suits="The well trained on two hard sessions a week, with even 5-minute rounds behind them.",
        work_s=480,
        recovery_s=120,
        rounds=4,
        rounds_least=2,
        rounds_most=4,
        modes=ROUNDS_ANYWHERE,
        evidence="4 x 8 min twice a week for 7 weeks raised a sum of tests by 11.4 % in recreational cyclists of 25 "
        "to 49, 4 x 4 min by 5.5 and 4 x 16 min by 5.6 %; all at the most they could hold, harder than is asked "
        "here. The 2 min off are second-hand.",
        source="Seiler et al. 2013",
        provenance=Provenance.PUBLISHED_READ,
        round_words="Slower than a 4-minute round. Start at effort 4, short sentences in the middle, end at 7, never "
        "above 8: at the end you could have gone two minutes more.",
        step_up=None,
        step_down="five_on_three_off",
    ),
)
