"""Pictures: matplotlib only. Each class builds its Figure once and then moves what is in it."""
