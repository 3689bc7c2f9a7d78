"""The few kinds of widget that the screens are made of."""
