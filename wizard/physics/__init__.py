"""The formulas: plain functions of SI numbers and parts.

May import `wizard.certainty` and numpy. Knows nothing of units as typed, of
steps, of files or of screens. Lengths are in m, masses in kg, volumes in m3,
densities in kg/m3, times in s, angles in rad, temperatures in degrees Celsius
(ITS-90), salinity in g/kg (practical salinity), fractions as plain numbers.

Axes: x aft of the nose, z up from the baseline (a straight line under the
belly from which top and bottom are measured), y to port.
"""
