"""The proof: tank water, trials, verdict, suspects, and the mend."""
