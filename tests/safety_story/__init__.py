"""One client's story over time, drawn at random: whatever happens, nothing that is stopped is offered."""
