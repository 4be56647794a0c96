"""The engine: facts, conditions, chain, evidence, plan, trail. Plain Python without I/O."""
