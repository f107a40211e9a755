"""Seasons of random tunnels with a hidden truth, worked by growers who know only what the program shows.

The judge of every rule for chores: see ``__main__.py`` for its use.
"""
