"""The tests: a mirror of the code, the journeys, the checks against the outside world and the guards of the house."""
