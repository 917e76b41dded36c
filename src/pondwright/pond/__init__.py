"""What a pond is: its model, its file, the chain from measurements to plan, and the findings."""
