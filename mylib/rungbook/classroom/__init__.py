"""What an instructor runs: build the labs, make a class folder, hand in samples, mark, report.

Enters: Markdown sources and submitted notebooks. Leaves: released notebooks, a gradebook, feedback pages, a CSV.
nbgrader, jupytext and tqdm are loaded only in the function that needs them.
"""
