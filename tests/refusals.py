"""How an input that cannot be used must be refused: in one line."""

from pathlib import Path

import pytest

from pathgen.errors import FontError
from pathgen.lettering.fontfile import open_face


def font_refusal(path: Path, **options: object) -> str:
    """The message of the error, which must be one line that names the file, here as FILE."""
    with pytest.raises(FontError) as caught:
        open_face(path, **options)  # type: ignore[arg-type]
    message = str(caught.value)
    assert len(message.splitlines()) == 1
    assert str(path) in message
    return message.replace(str(path), "FILE")
