"""Which piece fills which need."""

from inventory.compute.assignment import Assignment, best_assignment

__all__ = ["Assignment", "best_assignment"]
