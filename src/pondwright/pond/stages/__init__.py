"""The stages of the plan, one file a stage.

Each file holds ``plan(pond, so_far) -> Stage`` and ``find(pond, stages) -> list[Finding]``; ../plan.py chains the first,
../findings.py ranks the second. `so_far` and `stages` map a stage's key to its Stage.
"""
