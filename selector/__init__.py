"""Finds the setting of a variable-speed blower's control board, and reads one back.

`selector.load, decode, judge_board, find, plan, verify, found, identify, survey_records, visits, marks, to_records`
are the commands as functions: see `selector.functions`, which is imported when the first of them is used.
"""

TYPE_CHECKING = False
if TYPE_CHECKING:
    from selector.functions import (
        decode,
        find,
        found,
        identify,
        judge_board,
        load,
        marks,
        plan,
        survey_records,
        to_records,
        verify,
        visits,
    )
else:

    def __getattr__(name: str) -> object:
        if name not in __all__:
            raise AttributeError(f"module 'selector' has no attribute '{name}'")
        from selector import functions

        return getattr(functions, name)


__version__ = "0.1.0"
__all__ = [
    "decode",
    "find",
    "found",
    "identify",
    "judge_board",
    "load",
    "marks",
    "plan",
    "survey_records",
    "to_records",
    "verify",
    "visits",
]
