"""What many histories say: outcomes, dates, sensitivities, and how likely counts are in them."""
