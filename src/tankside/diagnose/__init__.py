"""Which conditions explain the findings, what to look at next, and why."""
