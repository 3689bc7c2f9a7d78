"""The coating schedule as parts and days: coats, tins, amounts, what they do to the aim."""
