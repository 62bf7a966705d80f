"""That the book is not whole, in words: beside an answer, and in what is kept."""

from tracker.outputs.words.not_whole import incomplete, incomplete_kept


def test_beside_an_answer_it_says_what_to_do():
    assert incomplete(1) == "INCOMPLETE: 1 thing is not as written; `stillroom check` names them."
    assert incomplete(3).startswith("INCOMPLETE: 3 things are not as written; ")


def test_what_is_kept_says_what_it_was_made_from():
    said = "INCOMPLETE: 2 things are not as written in the book this was made from."
    assert incomplete_kept(2) == said


def test_a_whole_book_is_not_spoken_of():
    assert incomplete(0) == incomplete_kept(0) == ""
