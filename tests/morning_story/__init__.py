"""Days of one practice, drawn at random: what the morning remembers is what it would find out afresh."""
