"""How a run goes about its work: what the jobs of a plant share, workers, caches, what a change touches."""
