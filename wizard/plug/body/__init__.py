"""The body drawn and lying in the water: stations, girth, blank, rest, sinking, rolling."""
