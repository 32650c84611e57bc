"""What goes in and out of the API, typed, with the unit of every figure.

Money is in minor units (cents) of the trip currency, weights in grams, lengths in millimetres,
times ISO 8601 in UTC.
"""
