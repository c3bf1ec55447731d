"""Testing the knowledge base: each rule's own cases, scenarios, what they exercise, lints."""
