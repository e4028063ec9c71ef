"""Reports: what a class got wrong, and whether the exercises tell students apart.

Enters: marks from the gradebook, feedback from the marked notebooks. Leaves: one HTML page a lab, one for the term.
"""
