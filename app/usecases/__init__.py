"""What a person does: open the gate, ask the rules, keep the result, leave a trace."""
