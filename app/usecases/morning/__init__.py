"""The morning: who needs a decision today, and what is done about a line without leaving it."""
