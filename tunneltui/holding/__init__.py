"""What stands: tunnels, beds, rows, loops, strings, places, cultivars and kinds of clip, twine and hook."""
