"""What can go wrong when the code is asked for something; each names the thing asked for."""

from __future__ import annotations


class CodeError(LookupError):
    """The code as kept in this program cannot answer; the message is one sentence."""


class UnknownEditionError(CodeError):
    """An edition of which the program holds nothing."""


class UnknownProvisionError(CodeError):
    """No provision has this id."""


class UnknownFieldError(CodeError):
    """The provision has no such field, or it is of another kind."""


class ProvisionNotInForceError(CodeError):
    """The provision is absent from the edition, or its text is not confirmed in this program."""


class UnknownTableError(CodeError):
    """No table has this name."""


class NotInTableError(CodeError):
    """The table has no value for this row and column: a cell left blank, or a number beyond its bands."""


class TableNotInForceError(NotInTableError):
    """The edition has no such table, or its table is not confirmed in this program."""


class TableNotReadError(TableNotInForceError):
    """The table of this edition was not read for this program."""


class DataError(ValueError):
    """The program's own data, or an amendment, is malformed."""
