"""Broken input of every kind: bytes changed at random, and data that is nearly right.

``python -m tests.fuzz --hours 8`` goes on as long as it is told, and keeps each input that
breaks something under ``tests/fuzz/corpus``; from then on every run starts from it.
"""
