"""Packets: what is printed from the live data. reportlab is loaded here and nowhere at worker start."""
