"""A reader of CSV after the grammar of RFC 4180, section 2, that takes nothing else.

Written from the RFC's ABNF, not on Python's csv module, which writes our tables. Text may be any of
UTF-8, as RFC 7111 allows.
"""

import re

_FIELD = re.compile(r'"((?:[^"]|"")*)"|([^",\r\n]*)')


def rows_of(data: bytes) -> list[list[str]]:
    """Records of a table; ValueError, with its place, where the grammar is broken."""
    text, at, rows = data.decode("utf-8"), 0, [[]]
    while True:
        field = _FIELD.match(text, at)
        quoted = field[1] is not None
        rows[-1].append(field[1].replace('""', '"') if quoted else field[2])
        at = field.end()
        if at == len(text):
            break
        if text[at] == ",":
            at += 1
        elif text.startswith("\r\n", at):
            at += 2
            if at == len(text):  # the last line break is optional
                break
            rows.append([])
        else:
            msg = f"character {at} is {text[at]!r}; a comma or a line break belongs there"
            raise ValueError(msg)
    if len({len(row) for row in rows}) > 1:
        msg = "records have different numbers of fields"
        raise ValueError(msg)
    return rows
