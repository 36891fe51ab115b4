"""From the entries of a case to what the science rooms own."""
