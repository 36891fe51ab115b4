"""Day card, figures, PDF, calendar, tables: how results are shown."""
