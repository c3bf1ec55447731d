"""From answers to a finding: rules compiled to experta, belief arithmetic, gates, verdict."""
