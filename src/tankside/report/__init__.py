"""How an answer is said: text, JSON, CSV and page blocks, one writer each."""
