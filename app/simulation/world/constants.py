"""The constants of the simulated world, each beside its source or marked as invented for simulation only."""

from __future__ import annotations

from app.physiology.change import typical_error_six_minute_walk_chuang_2012

DAYS_A_YEAR = 365.25

# --- Doing what was planned. Invented, for simulation only. ---
#: The share of sessions done, across people: a beta distribution with this mean and spread, which fixes its two
#: shapes (8.70 and 2.60). It counts sessions on days when the client is neither ill, nor away, nor on hold.
COMPLETION_MEAN = 0.77
COMPLETION_SD = 0.12
#: A person's own share stays within these, so that nobody does everything or nothing for ever.
COMPLETION_WITHIN = (0.02, 0.995)
#: Spread of the weekday habit, size of the season, spread and memory of good and bad weeks; all on the logit scale.
WEEKDAY_HABIT_SD = 0.35
SEASON_SIZE_MEAN = 0.30
SEASON_PEAK_DAY = 150.0
SEASON_PEAK_SD_DAYS = 25.0
WEEK_SD = 0.55
WEEK_MEMORY = 0.6
#: Shares of what becomes of sessions.
NOT_LOGGED = 0.10
NOT_LOGGED_WHEN_STOPPED = 0.5
PARTLY = 0.08
MOVED = 0.06
ENTERED_LATE = 0.07
EXTRA_OUTING = 0.02

# --- What befalls people: rates a client-year as asked for; lengths and seasons invented, for simulation only. ---
ILLNESS_A_YEAR = 2.5
TRAVEL_A_YEAR = 3.0
SYMPTOMS_A_YEAR = 0.25
DROP_OUT_A_YEAR = 0.12
NOBODY_LEAVES_BEFORE_DAYS = 28
#: People differ in how often they are ill: a gamma distribution with mean 1 and this shape.
ILLNESS_SHAPE = 4.0
ILLNESS_SEASON = 0.5
ILLNESS_PEAK_DAY = 20.0
FEVER_SHARE = 0.3
#: Least days and the mean of what comes on top.
FEVER_DAYS = (3, 4.0)
COLD_DAYS = (2, 3.0)
TRAVEL_SEASON = 0.4
TRAVEL_PEAK_DAY = 205.0
TRAVEL_DAYS = (2, 5.0)
TRAVEL_AGREED = 0.7
#: Signs by key with their weights; most is muscles and joints, the least is for a clinician.
SIGN_WEIGHTS = (
    ("joint", 0.25),
    ("muscle", 0.25),
    ("fall", 0.05),
    ("too_hard", 0.15),
    ("wanted_to_stop", 0.10),
    ("chest", 0.06),
    ("dizzy", 0.07),
    ("heartbeat", 0.07),
)

# --- How a body answers load. ---
#: Middle 95 % of the two time constants in nine swimmers, d [hellard2006], the ranges behind the search bounds of
#: physiology/impulse_constants; drawn as log-normal with these ends.
LONG_DAYS_RANGE = (17.0, 59.0)
SHORT_DAYS_RANGE = (6.0, 32.0)
#: The rest is invented, for simulation only. The short constant stays below this share of the long one.
SHORT_OF_LONG_MOST = 0.6
#: What a steady usual load gains in the end, as a share of performance, and the day's load that is usual, AU.
GAIN_MEAN = 0.12
GAIN_SD = 0.05
GAIN_LEAST = 0.01
USUAL_LOAD_AU = 80.0
LOSS_TO_GAIN = (1.2, 2.2)
#: The loss eats at most this share of the gain when both are steady.
LOSS_SHARE_MOST = 0.8

# --- Tests. ---
#: m; of an older adult's walk in a corridor [chuang2012].
SIX_MINUTE_WALK_ERROR_M = typical_error_six_minute_walk_chuang_2012(surface="corridor").value
#: Invented, for simulation only: the physiology knows no typical error of a route of one's own.
LOOP_TIME_ERROR = 0.015
LOOP_HEART_RATE_ERROR_BPM = 2.5
LOOP_EVERY_WEEKS = 4
WALK_EVERY_WEEKS = 12
#: Beats the heart needs less for the whole of a performance gained; part of a gain that shows in a walk.
BEATS_A_GAIN = 70.0
WALK_OF_GAIN = 0.5
#: Of the predicted highest heart rate: where the last round ends.
ROUNDS_END_AT_OF_MAX = 0.88

# --- Readiness. Invented, for simulation only. ---
#: What one spread of tiredness adds to an item of 1 to 7, its own noise, and what an illness adds.
TIRED_ADDS = 0.7
ITEM_SD = 0.6
ILL_ADDS = 2.0
RESTING_BEATS_A_SPREAD = 2.0
RESTING_SD_BPM = 2.0
#: The spread of the short sum around what is usual, as a share of it.
TIRED_SPREAD = 0.5

# --- The coach's habits. Invented, for simulation only. ---
BLOCK_WEEKS = 12
INTERVAL_BLOCK_WEEKS = 8
ASKED_EVERY_DAYS = 77
MEASURED_EVERY_DAYS = 70
PAPER_EVERY_DAYS = 340
CONTACT_EVERY_DAYS = (9, 13)
LOOKED_AGAIN_AFTER_DAYS = 14
SECOND_LOOKED_AGAIN_AFTER_DAYS = 28
STEP_BACK_AFTER_DAYS = 28
KEEPS_VOLUME_FROM = 0.6
EASED_VOLUME = 0.85
SMALLEST_VOLUME_MIN = 60
