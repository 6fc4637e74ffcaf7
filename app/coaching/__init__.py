"""What the practice decides: rules, plans and judgement, each with its reasons."""
