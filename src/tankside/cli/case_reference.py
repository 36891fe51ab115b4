"""What every command says of the case it takes."""

CASE_HELP = "a case file ending in .jsonl, or a case of the journal by number or name"
