"""Where the program's files belong is what the library says, whatever the variables are."""

import platformdirs
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.hypothesis_profile import LONG
from tracker.bench.own_folders import APP, own_folder

PLACES = st.none() | st.sampled_from(["", "/", "/x", "/x/", "/x y//z/", "x", "~", "~/x", " /x"])
LIBRARY = {
    "cache": platformdirs.user_cache_dir,
    "data": platformdirs.user_data_dir,
    "state": platformdirs.user_state_dir,
}


@pytest.mark.parametrize("kind", LIBRARY)
@LONG
@given(said=PLACES, home=PLACES)
def test_it_is_where_the_library_says(kind, said, home):
    with pytest.MonkeyPatch.context() as patch:
        for name, text in ((f"XDG_{kind.upper()}_HOME", said), ("HOME", home)):
            patch.delenv(name, raising=False)
            if text is not None:
                patch.setenv(name, text)

        assert own_folder(kind) == LIBRARY[kind](APP, appauthor=False)
