"""Suggestions: what results count for whom, that none counts twice, and what accepting does."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from builders import EIGHT, plan_of
from hypothesis import given
from hypothesis import strategies as st
from played import GAMES, TEAMS, class_with_teams, rating, rerated, tap, with_game, with_taps

from grouper.errors import InputError
from grouper.learning.about import named, strands_seen, without_strand
from grouper.learning.evidence import Ability
from grouper.learning.suggest import Suggestion, accepted, learn, suggestions
from grouper.model.noted import Learnt
from grouper.model.record import ClassRecord
from grouper.model.unit import Activity

HOME, AWAY = TEAMS.split(" | ")[0].split(), TEAMS.split(" | ")[1].split()


def values(record: ClassRecord, strand: str = "passing") -> dict[str, float]:
    """What is most likely of everybody."""
    learning = learn(record, strand)
    return {student: learning.value(learning.guesses.now(student)) for student in EIGHT}


def beaten(lessons: int = 1, games: int = 8) -> ClassRecord:
    """Team 1, the better one by a little, loses every game by far."""
    record = class_with_teams()
    for lesson in range(1, lessons + 1):
        for _ in range(games):
            record = with_game(record, lesson, 2, 14)
    return record


def test_who_loses_against_expectation_is_suggested_lower() -> None:
    """The team that lost is rated lower, the other higher, with a reason that says so."""
    made = {each.student: each for each in suggestions(beaten())}
    assert set(made) <= set(EIGHT) and len(made) >= 6
    for student, each in made.items():
        assert each.suggested < each.now if student in HOME else each.suggested > each.now
        assert f"points {'worse' if student in HOME else 'better'} than expected" in each.reason
        assert each.reason.startswith("in 8 games their teams did ")
        assert 1 <= each.suggested <= 5 and (2 * each.suggested) % 1 == 0


def test_no_result_counts_twice() -> None:
    """Once all is accepted nothing more is suggested, and what is known is what it was before."""
    record = beaten()
    after = accepted(record, suggestions(record))
    assert suggestions(after) == ()
    assert values(after) == pytest.approx(values(record))


def test_accepting_after_each_lesson_is_learning_from_all_at_once() -> None:
    """The guess is kept, so that the way does not matter: only all results together."""
    stepwise = beaten(1)
    stepwise = accepted(stepwise, suggestions(stepwise))
    whole = beaten(2)
    stepwise = replace(stepwise, events=whole.events)
    assert values(stepwise) == pytest.approx(values(whole))


def test_what_is_kept_when_a_suggestion_is_accepted() -> None:
    """The guess of the teacher, the value accepted, and the last lesson that is in it."""
    record = beaten(2)
    made = suggestions(record)
    after = accepted(record, made[:1])
    assert after.learnt == (Learnt(made[0].student, "passing", made[0].now, made[0].suggested, 2),)
    assert rating(after, made[0].student) == made[0].suggested
    assert [rating(after, s) for s in EIGHT if s != made[0].student] == [
        rating(record, s) for s in EIGHT if s != made[0].student
    ]


def test_a_guess_stays_the_first_one() -> None:
    """Accepting twice keeps the teacher's own guess, not what was learnt in between."""
    record = beaten(1)
    record = accepted(record, suggestions(record))
    guesses = {learnt.student: learnt.guess for learnt in record.learnt}
    record = replace(record, events=beaten(2, games=30).events)
    again = accepted(record, suggestions(record))
    assert again.learnt != record.learnt
    assert {learnt.student: learnt.guess for learnt in again.learnt if learnt.student in guesses} == guesses


def test_who_is_rated_anew_is_learnt_about_from_later_lessons_alone() -> None:
    """The teacher's new rating stands, whatever came before it; later results move it."""
    record = beaten(1)
    record = accepted(record, suggestions(record))
    record = rerated(record, "eva", 5)
    assert values(record)["eva"] == 5
    assert "eva" not in {each.student for each in suggestions(record)}
    later = with_game(record, 2, 0, 20)
    assert values(later)["eva"] < 5
    assert learn(later, "passing").guesses.now("eva") == Ability("eva", 1)


def test_accepting_after_a_new_rating_does_not_bring_the_old_results_back() -> None:
    """Eva was rated anew after lesson 1; what lesson 2 suggests is accepted, and the next look finds nothing more.

    Her first guess of all is no longer known then, which moves what lesson 1 says of the others, and her by a little.
    """
    record = beaten(1, games=20)
    record = accepted(record, suggestions(record))
    record = rerated(record, "eva", 5)
    for _ in range(12):
        record = with_game(record, 2, 0, 20)
    (of_eva,) = [each for each in suggestions(record) if each.student == "eva"]
    before = values(record)["eva"]
    after = accepted(record, suggestions(record))
    (learnt,) = [each for each in after.learnt if each.student == "eva"]
    assert (learnt.guess, learnt.value, learnt.through, learnt.since) == (5, of_eva.suggested, 2, 1)
    assert values(after)["eva"] == pytest.approx(before, abs=0.25)
    assert "eva" not in {each.student for each in suggestions(after)}


def test_a_result_that_is_taken_back_takes_its_rating_back() -> None:
    """With most games gone the old rating is suggested again, and the reason does not speak of games the wrong way."""
    record = beaten(1, games=20)
    record = accepted(record, suggestions(record))
    fewer = replace(record, events=with_game(class_with_teams(), 1, 7, 7).events)
    back = {each.student: each for each in suggestions(fewer)}
    assert back["eva"].suggested > rating(record, "eva") and back["gil"].suggested < rating(record, "gil")
    assert all("all results together speak for" in each.reason for each in back.values())


@pytest.mark.parametrize("extra", [{"home_bonus": 9.0}, {"away_penalty": 9.0}])
def test_points_that_are_not_scored_do_not_count(extra: dict[str, float]) -> None:
    """A bonus for fair play says nothing about ability."""
    plain, more = with_game(class_with_teams(), 1, 6, 5), with_game(class_with_teams(), 1, 6, 5, **extra)
    assert values(plain) == values(more)


def test_games_speak_about_the_strand_of_their_activity() -> None:
    """Nothing is said about another strand."""
    record = beaten()
    record = replace(record, roster=replace(record.roster, strands=("passing", "fitness")))
    assert strands_seen(record) == ("passing",)
    assert suggestions(record, "fitness") == ()


def test_groups_that_stay_have_the_strand_that_they_were_made_for() -> None:
    """A tournament of the balanced teams of the lesson before it speaks about their strand."""
    stay = Activity("Tournament", aim="stay")
    record = with_game(class_with_teams(GAMES, stay), 2, 9, 3, "Tournament")
    assert strands_seen(record) == ("passing",)
    assert learn(record, "passing").games


def test_games_of_no_strand_speak_about_the_one_that_the_teacher_names() -> None:
    """Without a word they count for nothing; once named and accepted they go on counting without a word."""
    record = class_with_teams(Activity("Games", groups=2))
    for _ in range(8):
        record = with_game(record, 1, 2, 14)
    assert suggestions(record) == () and len(without_strand(record)) == 1
    made = suggestions(record, "passing")
    assert made
    after = accepted(named(record, "passing"), made)
    assert without_strand(after) == () and suggestions(after) == ()
    assert values(after) == pytest.approx(values(named(record, "passing")))


def test_a_strand_that_is_not_there_is_an_error() -> None:
    """With those that are."""
    with pytest.raises(InputError, match="its ratings are passing"):
        suggestions(beaten(), "jumping")


def test_games_of_other_groups_are_left_out() -> None:
    """Where the groups were made anew with other labels the scores belong to nobody."""
    record = beaten()
    other = replace(record, plan=plan_of(record, "ana ben | cem dia | eva fin gil hana", TEAMS))
    assert suggestions(other) == ()


def test_the_teams_are_those_that_really_played() -> None:
    """After a swap the results are about those who were in the team."""
    record = beaten()
    swapped = replace(record, plan=plan_of(record, "ben dia eva hana | ana cem fin gil", TEAMS))
    assert values(record)["ana"] < 1 < values(swapped)["ana"]


def test_who_is_not_rated_starts_in_the_middle_and_less_sure() -> None:
    """Somebody without a rating gets one from results, and the guess kept is none."""
    record = beaten()
    person = record.roster.by_id["gil"]
    record = replace(record, roster=record.roster.with_student(replace(person, ratings={})))
    made = {each.student: each for each in suggestions(record)}
    assert made["gil"].now is None and made["gil"].suggested > 2
    after = accepted(record, [made["gil"]])
    assert after.learnt[0].guess is None
    assert "gil" not in {each.student for each in suggestions(after)}


def test_who_has_left_gets_no_suggestion_and_counts_in_the_games() -> None:
    """Teammates are still learnt about."""
    record = beaten()
    gone = replace(record.roster.by_id["ana"], last_lesson=1)
    made = suggestions(replace(record, roster=record.roster.with_student(gone)))
    assert made and "ana" not in {each.student for each in made}


def test_close_games_suggest_nothing() -> None:
    """What fits the ratings changes none."""
    record = class_with_teams()
    for home, away in ((7, 6), (6, 7), (7, 6)):
        record = with_game(record, 1, home, away)
    assert suggestions(record) == ()


@given(st.lists(st.tuples(st.integers(0, 20), st.integers(0, 20)), min_size=1, max_size=10))
def test_reasons_never_contradict_the_change(scores: list[tuple[int, int]]) -> None:
    """'better' goes with up, 'worse' with down; a line has no name, no number of a rating and no jargon in it."""
    record = class_with_teams(lines=(TEAMS, "ana ben gil hana | cem dia eva fin"))
    for place, (home, away) in enumerate(scores):
        record = with_game(record, 1 + place % 2, home, away)
    for each in suggestions(record):
        assert ("better" in each.reason) == (each.suggested > (each.now or 0))
        assert ("worse" in each.reason or "less well" in each.reason) == (each.suggested < (each.now or 0))
        assert "\n" not in each.reason and len(each.reason) < 100


def test_suggestions_are_the_same_whatever_the_order_of_members() -> None:
    """Same results, same suggestions, in any process."""
    record = beaten()
    turned = replace(
        record,
        plan=plan_of(record, "hana eva dia ana | gil fin cem ben", TEAMS),
    )
    one, other = suggestions(record), suggestions(turned)
    assert [_rounded(each) for each in one] == [_rounded(each) for each in other]


def _rounded(each: Suggestion) -> tuple[object, ...]:
    return each.student, each.suggested, round(each.uncertainty, 9), each.reason


# Quick words on tasks


def test_too_easy_raises_and_too_hard_lowers_modestly() -> None:
    """One word moves nobody by half a step; the group for which it was right stays between."""
    record = with_taps(class_with_teams(), tap("1", "easy"), tap("2", "hard"))
    shifts = {student: value - rating(record, student) for student, value in values(record).items()}
    assert all(0 < shifts[student] < 0.5 for student in HOME)
    assert all(-0.5 < shifts[student] < 0 for student in AWAY)


def test_a_task_too_hard_for_all_says_little_against_anybody() -> None:
    """It was the task: what the two groups lose is a small part of what one loses that alone found it hard."""
    both = with_taps(class_with_teams(), tap("1", "hard"), tap("2", "hard"))
    alone = with_taps(class_with_teams(), tap("1", "hard"), tap("2", "right"))
    assert abs(values(both)["ana"] - 1) < 0.75 * abs(values(alone)["ana"] - 1)
    gap = values(both)["ana"] - values(both)["ben"]
    assert abs(gap) < 0.2


def test_successes_say_more_than_words_the_more_there_are() -> None:
    """10 of 10 raises, 2 of 10 lowers, and 4 of 20 lowers more than 1 of 5."""
    def moved(hits: int, tries: int) -> float:
        record = with_taps(class_with_teams(), tap("1", hits=hits, tries=tries), tap("2", "right"))
        return values(record)["ana"] - 1

    assert moved(10, 10) > 0 > moved(2, 10)
    assert moved(4, 20) < moved(1, 5) < 0


def test_repeated_words_are_suggested_with_their_reason() -> None:
    """Lesson after lesson too easy: a rating higher, and the line says how often."""
    lessons = 8
    record = class_with_teams(lessons=lessons)
    taps = [tap("1", "easy", lesson) for lesson in range(1, lessons + 1)]
    taps += [tap("2", "hard", lesson) for lesson in range(1, lessons + 1)]
    made = {each.student: each for each in suggestions(with_taps(record, *taps))}
    assert made["ana"].reason == "tasks of their groups: too easy 8 times"
    assert made["ana"].suggested > 1 and made["gil"].suggested < 4


def test_a_task_of_no_strand_says_nothing() -> None:
    """A tap on an activity without a strand counts for none until one is named."""
    record = with_taps(class_with_teams(Activity("Drill", groups=2)), tap("1", "easy"), tap("2", "hard"))
    assert strands_seen(record) == () and suggestions(record) == ()


def test_uncertainty_shrinks_with_results() -> None:
    """More games, less doubt; never more than before any."""
    few, many = learn(beaten(games=1), "passing"), learn(beaten(games=12), "passing")
    sure = [[one.uncertainty(Ability(student)) for student in EIGHT] for one in (few, many)]
    assert np.all(np.array(sure[1]) < np.array(sure[0])) and np.all(np.array(sure[0]) < 1.0)


def test_a_scale_does_not_shrink_by_learning() -> None:
    """On a scale of its own, such as 20 to 100, the highest may be rated lower, and nothing more is suggested then."""
    record = beaten(games=20)
    for student in EIGHT:
        record = rerated(record, student, 20 * rating(record, student))
    after = accepted(record, suggestions(record))
    assert rating(after, "hana") < 100
    assert suggestions(after) == () and values(after) == pytest.approx(values(record))
