"""A made-up tunnel: a simulator with laws of its own, and the demo."""
