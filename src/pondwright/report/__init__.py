"""The plan on paper and on screen: a printable page, calm terminal tables, and every result as JSON. Nothing here computes."""
