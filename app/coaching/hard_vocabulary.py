"""The words that sound hard and the words that take it back, in one table each.

House choice, no published source: plain English as coaches write it, and English only. What sounds hard is asked
about unless it stands whole inside words that take it back ("no hard work", "the day after the hard day"). So the
first table may be wide, and the second must be narrow: what it does not know for certain leaves the question
standing.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from app.coaching.effort import Band

_BOTH = (Band.EASY, Band.MIDDLE)


@dataclass(frozen=True, slots=True)
class Wording:
    """One row: what it is about, some of it as people write it, how it is found, and in which sessions it counts."""

    about: str
    examples: tuple[str, ...]
    pattern: re.Pattern[str]
    bands: tuple[Band, ...]


def _row(about: str, examples: str, *ways: str, bands: tuple[Band, ...] = _BOTH) -> Wording:
    """examples: parted by semicolons; ways: how it is written, each found as whole words."""
    pattern = re.compile(rf"(?<!\w)(?:{'|'.join(ways)})(?!\w)", re.IGNORECASE)
    return Wording(about, tuple(examples.split("; ")), pattern, bands)


_N = r"(?:\d+|two|three|four|five|six|seven|eight|nine|ten|twelve)"
_LONG = r"(?:[1-9]\d+|ten|twelve|fifteen|twenty)"
_MIN = r"(?:min\w*|')"
_UNIT = rf"(?:{_MIN}|s|secs?|seconds?|m|met(?:er|re)s?|km)"
_TIMES = r"(?:[x×*]|times(?: for)?|by|(?:rounds|sets|reps|repeats|bouts|efforts|goes) of)"
_ROUNDS = rf"(?:(?:{_N} ?{_TIMES}|twice) ?{_N}(?:[.,]\d+)?(?: ?{_UNIT}(?!\w))?)"
_OFTEN = r"(?: (?:a|per|each|every|this) (?:week|day|month)| weekly| daily)"
_UP = r"(?:up |on |over )?(?:the |that )?(?:uphill|up|hill|bridge|stairs|climb|slope)"
_REST = r"(?:10|15|20|30|40|45|60)"

SOUNDS_HARD = (
    _row("hard", "hard; harder; go hard; the hardest hill", r"hard(?:er|est|core)?"),
    _row("fast", "fast; faster; a fast finish", r"fast(?:er|est)?"),
    _row(
        "as much as there is",
        "all out; All-out; flat out; flat-out; full gas; full speed; full effort; top effort",
        r"(?:all|flat|full)[ -]?(?:out|on|gas)",
        r"(?:full|top) (?:gas|speed|effort|power|throttle|tilt|steam|blast|force)",
    ),
    _row(
        "as ... as you can",
        "as fast as you can; hard as you like; as quickly as possible; as many hills as you can",
        r"(?:as )?(?:hard|fast|quick(?:ly)?|strong(?:ly)?) as",
        r"as many (?:\w+ )?as",
        r"as far as (?:you can|possible) (?:in|within)",
    ),
    _row(
        "maximal",
        "max effort; maximal; maximum; max; maxed; VO2max; VO2 max",
        r"(?:vo2[ -]?)?max(?:imal|imally|imum|ed|ing)?",
    ),
    _row(
        "everything",
        "give it everything; give your all; everything you have; all you've got; nothing left; empty the tank",
        r"give (?:it |this )?(?:everything|your all|your best|it all|all)",
        r"(?:everything|all) (?:that )?(?:you have|you've|you got|in you)(?! to\b)",
        r"with everything|nothing left|leave nothing|what(?:ever)? is left|no (?:mercy|limits?)",
        r"empty (?:the tank|yourself)|break yourself|go for (?:it|broke)|let (?:it )?rip",
    ),
    _row(
        "nothing held back",
        "don't hold back; hold nothing back; do not let up; never ease off; don't go easy; why not sprint",
        r"(?:don't|dont|do not|never|no) (?:\w+ )?(?:hold\w* (?:\w+ )?back|let\w* up|eas\w+ off|back\w* off)",
        r"(?:don't|dont|do not|never|no) (?:\w+ )?(?:giv\w+ (?:up|in)|go\w* easy|spar\w+ yourself)",
        r"hold nothing back|why not",
    ),
    _row(
        "not easy",
        "not easy; nothing easy about it; anything but easy; far from easy",
        r"(?:not|nothing|never|isn't|anything but|far from)(?: (?:too|so|very|exactly|an|that))? easy",
    ),
    _row(
        "hard work that is not left out",
        "not without hard work; don't skip the sprints",
        r"(?:no|not|nothing|never|cannot|dont|\w+n't)\b[^.,;:!?]*\b(?:without|avoid\w*|skip\w*|leave out|instead of"
        r"|rather than|in place of|far from|anything but) (?:\w+ ){0,3}"
        r"(?:hard|fast|sprint|interval|(?:all|flat)[ -]?out)\w*",
    ),
    _row(
        "to the limit",
        "to the limit; to exhaustion; till you drop; until you can't go on; to failure",
        r"(?:to|at|on) (?:the|your) (?:very )?(?:limits?|max)",
        r"to (?:exhaustion|failure)|exhaust\w*|dig\w* deep",
        r"(?:un)?till? you (?:drop|can't|cannot|fail|break|blow)",
    ),
    _row(
        "pushing",
        "push hard; push yourself; push the pace; attack the hill; hammer it; smash it; charge up",
        r"push(?:ing)? (?:hard(?:er)?|yourself|it|on|through|the pace|to)|push(?=\s*(?:[.,;:!]|$))",
        r"(?:attack|charge) (?:the|each|every|up)|crush (?:it|the)",
        r"(?:hammer|smash|thrash|blast)(?:ed|ing)?",
    ),
    _row(
        "short and fast",
        "sprint; sprints; sprinting; surges; accelerations; pick-ups; bursts; finishing kick; speed work; 6 strides",
        r"sprint\w*|surg(?:es?|ing)|accelerat\w*|pick-?ups?|bursts?",
        r"(?:finishing|final|last) kick|speed ?(?:work|session)|pick up the pace",
        rf"{_N} (?:x )?strides",
    ),
    _row(
        "racing",
        "race pace; race effort; race up the hill; time trial; personal best; against the clock; beat your time",
        r"rac(?:e|ing)[ -](?:pace|speed|effort|intensity|simulation|it|up|the|each|against|to)|time[ -]?trial\w*",
        r"\d+ ?km? (?:race )?(?:pace|effort)",
        r"(?:personal|new) best|pb|best (?:effort|time)|against the clock|beat (?:your|the|last)",
    ),
    _row(
        "names of hard work",
        "intervals; HIIT; tabata; fartlek; vigorous; intense; high-intensity; strenuous; tough; brutal; hill repeats",
        r"intervals?|hiit|(?-i:HIT)|tabata|fartlek|(?:over|above) threshold|anaerobic\w*|lactate|explosive\w*",
        r"vigorous\w*|intens(?:e|ely|ive|ively)|high(?:er|est)?[ -]intensity",
        r"strenuous\w*|tough(?:er|est)?|brutal\w*|punishing|gruell?ing",
        r"(?:hill|uphill|stairs?|bridge|climb)[ -]?(?:repeats?|reps?|repetitions|charges)|repeats",
    ),
    _row("above easy", "tempo; threshold", r"tempo|threshold", bands=(Band.EASY,)),
    _row(
        "breath and burning",
        "breathless; out of breath; gasping; only a few words; can't talk; until it hurts; legs burn; no pain",
        r"breathless\w*|out of breath|gasp\w*|panting|only a few words",
        r"(?:can't|cannot|can not|unable to) (?:talk|speak|chat)",
        r"(?:until|till|make) it (?:hurts?|burns?)|no pain|through (?:the )?pain|suffer(?:ing|fest)?",
        r"(?:legs|lungs|thighs) (?:(?:should|will|must|that) )?(?:burn\w*|scream\w*)|burning (?:legs|lungs|thighs)",
    ),
    _row(
        "effort as a number",
        "effort 8; effort of 9; RPE 9; 8/10; 9 out of 10; 95 %; 110%; zone 4",
        r"(?:effort|rpe):? (?:of |at |is )?(?:[7-9]|10)(?! ?min)",
        r"(?:[7-9]|10) ?(?:/|of|out of) ?10",
        r"(?:8[5-9]|9\d|1[0-2]\d) ?(?:%|per ?cent)(?! (?:easy|relaxed|recovered|of the (?:time|way|ride|walk)))",
        # Schemes of numbered zones differ; from the third on none of them is easy.
        r"z(?:ones?)? ?[3-9]",
    ),
    _row(
        "rounds",
        "4 x 4 min; 4x4; 4 × 4 min; 4 rounds of 4 min; 4 times 4 min; four times four minutes; 6 x 9 s; twice 8 min",
        _ROUNDS,
    ),
    _row(
        "rounds, the other way about",
        "4 min x 4; 4 min, 6 times; 30/30; 30 s on, 30 s off; 5 times up the hill; 6 x uphill; 5 laps of the hill",
        rf"{_N} ?{_UNIT}(?: up\w*)? ?[x×*] ?{_N}",
        rf"{_N} ?{_UNIT},? {_N} times(?!{_OFTEN})|{_N} {_N} ?{_UNIT} (?:efforts|rounds|reps|repeats|hills|climbs)",
        rf"{_REST} ?/ ?{_REST}s?|(?:30-30|15-15|30-15|40-20)(?! ?min)",
        rf"{_N} ?{_UNIT}? on\b[ ,/+-]*(?:and )?{_N} ?{_UNIT}? off",
        rf"{_N} ?(?:[x×*]|times|(?:rounds|laps) of) ?{_UP}",
    ),
)

_THING = (
    r"(?:(?:hard(?:er)?|fast(?:er)?|intervals?|sprint(?:s|ing)?|(?:all|flat)[ -]?out|max(?:imal|imum)? efforts?|tempo"
    r"|race pace|hammering|intens(?:e|ive)|high[ -]intensity|vigorous|strenuous|tough|breathless|out of breath"
    r"|gasping|push(?:ing)? (?:yourself|it|on|the pace|hard))\b)"
)
_NOUN = r"(?:[ -](?:work|efforts?|sessions?|bits?|parts?|days?|rounds?|running|riding|walking|training|breathing)\b)?"
#: Words behind a "not" that let something hard in after all, in the same sentence.
_UNLESS = (
    r"(?! than\b| enough\b| as\b|\s*\?)"
    r"(?![^.;!?]*\b(?:unless|until|till|except\w*|apart from|other than|save for|only|enough|then|for you|at first"
    r"|at the (?:start|beginning)|(?:in|for) the first|to (?:begin|start) with"
    r"|before (?:the )?(?:last|end|top|final|turn)"
    r"|but (?:for |in |at |on |near |up |when |after )?(?:the|one|a|it|end|uphill|hills?|last))\b)"
)
_FILL = r"(?:(?:any|a|an|the|too|so|very|that|really|at all|all|of the|your|more|it|this) )*"
_NOT = (
    r"(?:no|(?<!why )not|nothing|never|neither|without|avoid|isn't|is not|far from|anything but|no need for"
    r"|not (?:meant|supposed) to be|leave out|skip)"
)
_DONT = (
    r"(?:don't|dont|do not|never|must not|mustn't|should not|shouldn't|need not|no need to|not to|(?<!why )not"
    r"|without|avoid)"
)
_DO = (
    r"(?:go|run|ride|row|swim|walk|work|push|train|breathe|start|begin|set off|get|be|feel|become|make it|let it get"
    r"|let it become|going|running|riding|rowing|swimming|walking|working|pushing|training|starting|getting|being"
    r"|feeling|becoming)"
)
_TALK = r"(?:talk|chat|speak|sing|hold a (?:talk|conversation|chat))"
_DAY = r"(?:(?:mon|tues|wednes|thurs|fri|satur|sun)day|yesterday|tomorrow|(?:last|next) week|weekend)"
_HARD_DAY = (
    r"(?:hard (?:days?|weeks?|sessions?|work|efforts?|ones?|rides?|runs?|rows?|swims?|races?|rounds|walks?)"
    r"|intervals|sprints)"
)
_AROUND = r"(?:after|before|between|since|following)"
_IT = r"(?:it|this|that|talking|breathing|your breath\w*|the (?:hill|climb|path|wind)|you)"
_GETS_HARD = rf"{_IT} (?:gets?|feels?|becomes?|is|are|turns?|goes|grows?) (?:too |very )?{_THING}"
_NO_TALK = rf"you (?:can't|cannot|can not|can no longer) {_TALK}\b"
_SLOW_DOWN = r"(?:slow down|walk|stop|ease off|ease up|rest|turn back|back off|shift down|go slower|go easier)"
_IF = r"(?:as soon as|if|when|whenever)"
_IS_NO_WORK = r"(?! (?:run|ride|row|swim|walk|session|work|effort|climb|sprint|interval|round|race|push|uphill)\w*)"
_ON_FOOT_OR_SO = r"(?: (?:walk\w*|rid\w+|run\w*|jog\w*|row\w*|swim\w*|pace|effort|on the flat))*(?=\s*(?:[.,;!?)]|$))"

TAKEN_BACK = (
    _row(
        "said not to be",
        "not hard; nothing too hard; without any hard work; never out of breath; no sprints or intervals",
        rf"{_NOT} {_FILL}{_THING}{_NOUN}(?: n?or (?:any )?{_THING}{_NOUN})*{_UNLESS}",
    ),
    _row(
        "not to be done",
        "don't go hard; do not start too fast; without getting out of breath; not feel hard; don't push yourself",
        rf"{_DONT} {_DO} {_FILL}{_THING}{_NOUN}(?: n?or (?:any )?{_THING})*{_UNLESS}",
        rf"{_DONT} push (?:yourself|it|on|the pace){_UNLESS}",
    ),
    _row(
        "no harder than something easy",
        "no harder than talking; not faster than you can talk; no harder than effort 3",
        r"(?:no|not|never) (?:any )?(?:hard|fast)er than (?:(?:a|an|you can(?: still)?|you could|effort|your) )*"
        rf"(?:easy|easily|{_TALK}(?:ing)?|chatting|a walk|walking|comfortable|gentle"
        rf"|[0-4]\b(?! ?(?:min|km|m\b|x|:))){_UNLESS}",
    ),
    _row(
        "only as fast as is easy",
        "as fast as feels easy; only as fast as you can talk",
        r"as (?:hard|fast) as (?:feels|is|stays|seems)(?: still)? (?:easy|comfortable|calm)",
        rf"as (?:hard|fast) as you can(?: still)? {_TALK}",
    ),
    _row(
        "in place of it",
        "instead of the hard session; instead of intervals; easy rather than hard; in place of the 4 x 4 min",
        rf"(?:instead of|in place of|rather than) (?:the |your |a |today's |{_DAY}'s )*"
        rf"(?:{_THING}{_NOUN}|{_ROUNDS}){_UNLESS}",
    ),
    _row(
        "of another day",
        "the day after the hard day; the morning after intervals; before Thursday's 4 x 4 min; between the hard days",
        rf"(?:days?|morning|evening|night|hours|weeks?) {_AROUND} (?:(?:the|your|a|an|our|two|last) )*{_HARD_DAY}",
        rf"{_AROUND} (?:the )?{_DAY}'s (?:{_HARD_DAY}|{_ROUNDS})",
        rf"{_AROUND} (?:(?:the|your|a|two|both|these|last) )*hard (?:days?|weeks?|sessions?)",
        r"hard (?:session|day|work|rounds|one) (?:is |are |was |were |comes )?"
        r"(?:tomorrow|yesterday|next week|last week)",
        r"tomorrow is (?:the |a )?hard(?: day| session)?",
        r"(?:worked|trained|pushed|rode|ran|went|raced|swam|rowed) (?:very |so |too |really )?(?:hard|fast)"
        rf" (?:last week|this week|at the weekend|(?:on )?{_DAY})",
    ),
    _row(
        "slower if it gets so",
        "slow down if it gets hard; if you get out of breath, walk; walk when you cannot talk",
        r"(?<!n't )(?<!not )(?<!never )(?<!no )(?<!to )(?<!ever )(?<!nor )"
        rf"{_SLOW_DOWN} (?:{_IF}|before) (?:{_GETS_HARD}|{_NO_TALK})",
        rf"{_IF} (?:{_GETS_HARD}|{_NO_TALK}),? (?:then )?{_SLOW_DOWN}",
        rf"{_IF} {_IT} (?:is|feels|gets) not easy",
    ),
    _row(
        "things that are hard themselves",
        "hard ground; hard-packed; on the hard shoulder; if it rains hard; hard day at work; fast traffic",
        r"hard[ -](?:ground|surfaces?|shoulder|sand|snow|floors?|packed|court|hat|paving|pavement|earth|soil|mud"
        rf"|tarmac|asphalt|concrete|boiled|of hearing|frost|rain|winter)\b{_IS_NO_WORK}",
        r"(?:rain|snow|blow|freez)(?:s|es|ing)? hard|frozen hard",
        r"hard (?:day|week|month|year)s? at (?:work|home|school)",
        r"(?:is|are|was|were|be|it's|that's) hard to (?:find|miss|see|hear|believe|say|read|remember)",
        rf"fast (?:traffic|roads?|cars?|water|current)\b{_IS_NO_WORK}",
        r"overnight fast|break (?:your|the) fast|at regular intervals",
    ),
    _row(
        "figures that cap or count",
        "a maximum of 45 min; max 120 bpm; 60 to 70 % of max heart rate; week 7 of 10; 2 x 10 squats",
        r"max(?:imum|\.)? (?:of \d+ ?(?:min\w*|km|hours?|h)|(?:of )?\d{2,3} ?(?:bpm|beats))",
        r"(?:[1-6]\d|7[0-5]) ?(?:%|per ?cent) of (?:the |your |his |her )?max\w* (?:heart[ -]rate|pulse|hr)",
        r"(?:week|session|day|part|number|walk|ride) \d+ (?:of|/) \d+",
        rf"{_ROUNDS} (?:squats|lunges|heel raises|calf raises|press-ups|push-ups|sit-to-stands|breaths|stretches)",
    ),
    _row(
        "rounds said to be easy",
        "4 x 5 min easy; 3 x 10 min easy walk; 4 times 4 min gently",
        rf"{_N} ?{_TIMES} ?{_N} ?{_MIN} (?:easy|easily|gentle|gently|calm|calmly|relaxed|at talking pace)"
        rf"{_ON_FOOT_OR_SO}",
    ),
    _row("a slow tempo", "at an easy tempo", r"(?:easy|gentle|slow|calm|the same) tempo", bands=(Band.EASY,)),
    _row(
        "what middle effort is",
        "between easy and hard; harder than easy; a little below hard; short of hard",
        r"between easy and hard|harder than easy|(?:below|under|short of|less than|easier than) hard",
        bands=(Band.MIDDLE,),
    ),
    _row(
        "stretches at middle effort",
        "2 x 10 min; three times 12 minutes; Middle effort 3 × 8 min; 4 x 6 min middle",
        rf"{_N} ?{_TIMES} ?{_LONG} ?{_MIN}",
        rf"middle(?: effort)?:? {_ROUNDS}|{_ROUNDS} (?:at )?middle",
        bands=(Band.MIDDLE,),
    ),
)
