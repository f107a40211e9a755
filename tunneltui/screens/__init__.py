"""What is seen: the Textual app."""

import os

# Textual paints what a message brings one to two of its frames after the last paint: at its usual 60 a second the
# stem of a tick came up to 33 ms after it was known. Nothing is painted while nothing changes.
os.environ.setdefault("TEXTUAL_FPS", "250")
