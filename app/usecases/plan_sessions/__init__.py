"""One planned session: opening it, changing it, and copying it elsewhere."""
