"""Made-up vehicles of a rulebook: hidden faults, and answers to all questions that fit together."""

from .seen import example_answers
from .simulating import simulated_case, simulated_cases, write_simulated_cases
from .vehicle import Vehicle, Vehicles, rates_with

__all__ = [
    "Vehicle",
    "Vehicles",
    "example_answers",
    "rates_with",
    "simulated_case",
    "simulated_cases",
    "write_simulated_cases",
]
