"""The way back after fever or illness, in the client's words (house choice; a clinician should review it)."""

from __future__ import annotations

RETURN_AFTER_ILLNESS = (
    "No training until you have had no fever, without medicine for it, and no symptoms for 3 full days.",
    "Then short and easy. No hard work before 7 days without fever and symptoms.",
    "For as many days as you lost (at most 14) do half your usual minutes; then the usual easy ones; then hard work.",
    "From 65 on, or with a heart or blood vessel risk, ask your doctor first if it was more than mild.",
    "New dizziness, chest pain, breathlessness or a racing heart on the way back: stop and see a doctor.",
)

#: What may be done with a cold: the one sentence every page says (the 30 minutes are those of an easy version).
COLD_AT_MOST = "With a cold: short, easy and alone at most, 30 minutes; or rest."
ABOVE_NECK = (
    f"{COLD_AT_MOST} Signs above the neck only, no fever. Hard work waits until you are well 7 days.",
    "If it moves to the chest or stomach, or fever comes: stop, and say so here.",
)
