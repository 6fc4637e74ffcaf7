"""How far back and ahead a history is read, so that the same question gets the same answer on every page."""

from __future__ import annotations

from datetime import timedelta

#: A base of 26 to 52 weeks with its breaks is seen whole by whatever looks at conditions (house choice).
WHOLE_BASE = timedelta(weeks=60)
#: The eight weeks of a client's own habits (gaps between entries, averages, the ribbon), and some days more.
RECENT = timedelta(days=60)
#: What a client's own pages show of the plan.
PLAN_SHOWN = timedelta(days=60)
#: A fortnight of hard work, and a day more: a client's day may be ahead of the practice's.
FORTNIGHT = timedelta(days=15)
#: How far plans of everybody are listed.
PLANS_LISTED = timedelta(days=200)
