"""The errors that reach a person, each a clear sentence with an exit code.

DiagnoseError
├── KnowledgeError   every problem of the knowledge files at once   (graph/problem.py)
├── QuantityError    what was typed is no quantity of that kind     (tune/quantity.py)
└── JournalError     the journal cannot be used as it is            (record/journal_file.py)
    └── Conflict     another program wrote first
"""

from __future__ import annotations


class DiagnoseError(Exception):
    """Something that the person can mend. `str()` says what, where and what to do."""

    exit_code = 2
