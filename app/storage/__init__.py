"""What is kept: the only floor that speaks SQL."""
