"""Each computation of the driveline by itself: named inputs with units in, a result out.

And what a technician asks of several at once: which order a frequency follows, which shims to put
in, which mass to fit.

Error: ComputeError, for what a person typed and can mend.
"""

from advisor.computing.command import Answer, Request, answer, answer_data
from advisor.computing.errors import ComputeError
from advisor.computing.orderstext import orders_answer
from advisor.computing.shims import Shimmed, slope_changes
from advisor.computing.shimstext import ShimsAnswer, shims_answer
from advisor.computing.trialweightstext import trial_weights_answer

__all__ = [
    "Answer",
    "ComputeError",
    "Request",
    "Shimmed",
    "ShimsAnswer",
    "answer",
    "answer_data",
    "orders_answer",
    "shims_answer",
    "slope_changes",
    "trial_weights_answer",
]
