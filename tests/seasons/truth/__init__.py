"""What truly grows, ripens, hangs and breaks, by laws of its own.

Nothing here may know the forecasts, loads or rules that are judged by it, nor the simulator of the demo
(``tests/seasons/test_truth.py`` holds that).
"""
