"""What the emergency page, the placard and the owner's part say, by language; English is complete, others fall back to it."""
