"""What every run of the tests prints at its end: differences that were found and accepted."""

from __future__ import annotations

import pytest

ACCEPTED = "accepted difference"


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """A test that compares tables records each difference under `ACCEPTED`, with its reason."""
    passed = terminalreporter.stats.get("passed", [])
    lines = [text for held in passed for name, text in held.user_properties if name == ACCEPTED]
    if lines:
        terminalreporter.section("accepted differences from independent packages")
        for line in dict.fromkeys(lines):
            terminalreporter.write_line(line)
