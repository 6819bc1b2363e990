"""A reader that never answers, for the test of the time limit."""

import threading

if __name__ == "__main__":
    threading.Event().wait()
