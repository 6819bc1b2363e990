"""The benchmark: every figure is a ratio to a baseline measured in the same run, the two taken in turns."""
