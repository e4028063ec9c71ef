"""Collecting: what a learning-management system hands over, made into one submission a student.

Enters: a folder or zip file of downloads. Leaves: submitted/ as nbgrader wants it, every file kept under collected/,
and a table that tells of each file what became of it. Nothing in the downloads is run, followed or changed.
"""
