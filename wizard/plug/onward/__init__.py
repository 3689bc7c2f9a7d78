"""From one build to the next: compare, scale, carry over, needs, likeness."""
