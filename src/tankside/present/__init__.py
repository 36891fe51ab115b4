"""Day card, calendar, figures, tables and emergency card: what people read, print and paste."""
