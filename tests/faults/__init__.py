"""What must hold when things go wrong."""
