"""Many walls at once: answers as matrices of small integers, rules over whole columns."""
