"""The posterior over none, one or two causes, by several programs."""
