"""`plant` and `row`: the same facts as the screens, in text, in JSON and in ASCII."""

from __future__ import annotations

from tests.cli.door import Door


def test_one_stems_story_says_in_text_what_its_document_says(demo: Door) -> None:
    text = " ".join(demo.says("plant", "W2-03").split())
    document = demo.json("plant", "w2-03a")
    (leader,) = document["leaders"]
    assert leader["name"] == "W2-03a"
    assert leader["trusses"]
    assert leader["fixings"]
    said = [*leader["words"], *(one["words"] for one in leader["trusses"] + leader["fixings"] + leader["noted"])]
    for words in said:
        assert " ".join(words.split()) in text
    for one in leader["length_to_come"]:
        assert one["low_m"] <= one["mid_m"] <= one["high_m"]


def test_the_numbers_of_a_stems_document_are_those_of_its_words_and_of_loads(demo: Door) -> None:
    (leader,) = demo.json("plant", "W2-03a")["leaders"]
    for truss in leader["trusses"]:
        cm = truss["s_m"] * 100  # rounded to whole cm in the document, and once more in the words
        either = {f"{truss['kg'] * 1000:.0f} g, {cm + off:.0f} cm up" for off in (-0.6, 0.0, 0.6)}
        assert any(said in truss["words"] for said in either)
        assert truss["fruits"] >= 0
    assert [one["s_m"] for one in leader["trusses"]] == sorted(one["s_m"] for one in leader["trusses"])
    borne = {clip["id"]: clip for clip in demo.json("loads")["clips"]}
    with_load = [one for one in leader["fixings"] if one["mid_n"] is not None]
    assert with_load
    for one in with_load:
        assert one["low_n"] <= one["mid_n"] <= one["high_n"]
        for key in ("low_n", "mid_n", "high_n", "s_m"):
            assert abs(one[key] - borne[one["id"]][key]) < 0.01


def test_a_row_laid_apart_with_its_table(demo: Door) -> None:
    text = demo.says("row", "W2")
    document = demo.json("row", "W1")
    assert document["rows"] == ["W1", "W2"]
    table = " ".join(text.split())
    for leader in document["leaders"]:
        assert f"{leader['name']} {leader['cultivar'][:12]}" in table
        assert leader["tip"] in table
    assert {"╰", "╯"} <= set(text), "stairs of stems"
    assert max(map(len, text.splitlines())) <= 80


def test_ascii_where_it_is_asked_for(demo: Door) -> None:
    for words in (("row", "W1", "--ascii"), ("plant", "W2-03", "--ascii")):
        text = demo.says(*words)
        assert text.isascii()
        assert "?" not in text


def test_what_does_not_stand_is_refused(demo: Door) -> None:
    assert "W2-99" in demo.refuses("plant", "W2-99")
    assert "There are W1" in demo.refuses("row", "X9")
