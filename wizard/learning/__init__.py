"""The bench learns: what a maker's finished builds say about how this maker works.

From builds as they were measured comes a small calibration, each entry with how many builds
speak, their mean and an interval. It is offered, never applied unseen: an accepted offer
becomes a plain answer in the build's own profile. Imports plug and below.
"""
