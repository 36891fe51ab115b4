"""What may be weighed out, and how much: labels, limits, needs, the sum and its check."""
