"""Each computation of the driveline by itself: named inputs with units in, a result out.

Error: ComputeError, for what a person typed and can mend.
"""

from advisor.computing.command import Answer, Request, answer
from advisor.computing.errors import ComputeError

__all__ = ["Answer", "ComputeError", "Request", "answer"]
