"""Simulated houses and people: how often the rules are wrong, measured."""
