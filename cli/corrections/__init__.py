"""Commands that correct or use up a bundle that stays. In: labels as typed; out: events."""
