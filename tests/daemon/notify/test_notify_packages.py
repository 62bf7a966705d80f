import pytest

from tests.daemon.notification_server import SCREEN_PACKAGES, require


def test_missing_packages_are_named_in_the_skip(monkeypatch, tmp_path):
    monkeypatch.delenv("CI", raising=False)
    monkeypatch.setenv("PATH", str(tmp_path))

    with pytest.raises(pytest.skip.Exception) as skipped:
        require(SCREEN_PACKAGES)
    assert "apt-get install dbus dunst libglib2.0-bin libnotify-bin xvfb" in str(skipped.value)


def test_in_ci_missing_packages_are_a_failure(monkeypatch, tmp_path):
    monkeypatch.setenv("CI", "true")
    monkeypatch.setenv("PATH", str(tmp_path))

    with pytest.raises(pytest.fail.Exception, match="NOT TESTED"):
        require(SCREEN_PACKAGES)
