"""What is put in: the drawer's pieces, the plan, the holes and how they are drilled."""
