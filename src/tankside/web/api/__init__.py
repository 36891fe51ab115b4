"""The interface for programs: the answers of the command line as JSON, behind the same guard."""
