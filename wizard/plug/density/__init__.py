"""Weighing and the density test: samples, dunks, moisture, doubts, what to do better."""
