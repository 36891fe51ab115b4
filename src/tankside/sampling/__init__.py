"""What n examined fish can show, and what zero findings cannot exclude."""
