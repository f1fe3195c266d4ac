"""The model of success: checked against logistic regressions of others, and in classes with known levers."""

from __future__ import annotations

from dataclasses import replace
from math import log
from random import Random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.special import expit
from scipy.stats import norm

from grouper.learning.evidence import Ability, Demand, Prior, Rise, Trial, Unknown
from grouper.learning.posterior import posterior_of
from grouper.learning.taps import settings_weights
from grouper.model.levers import At, Challenge, Lever, Setting
from grouper.model.noted import TaskResult
from grouper.model.roster import Roster, Student
from grouper.model.unit import RoundKey
from grouper.tasks import success as model
from grouper.tasks.success import Seen, Success, chance, logit, shrunk

SUCCESS_SHARES = st.floats(0.02, 0.98)


def challenge(*counts: int) -> Challenge:
    levers = (
        Lever(f"lever {n}", tuple(Setting(f"setting {k}") for k in range(1, count + 1)))
        for n, count in enumerate(counts, start=1)
    )
    return Challenge("Passing", tuple(levers))


def roster(people: int = 8, rated: bool = True) -> Roster:
    ratings = ({"skill": 1 + 4 * place / (people - 1)} if rated else {} for place in range(people))
    return Roster(tuple(Student(f"s{n}", f"S {n}", each) for n, each in enumerate(ratings)), ("skill",))


def seen(members: str, at: At, hits: int, tries: int = 10, lesson: int = 1, felt: str = "") -> Seen:
    counted = (None, None) if felt else (hits, tries)
    return Seen(TaskResult(RoundKey(lesson, 1, 1), "1", felt, *counted, at=at), at, tuple(members.split()))


def test_a_setting_harder_halves_the_odds_before_anything_is_seen() -> None:
    """By the definition of odds; what is not known for sure pulls the expected share to the middle, never past it."""
    success = Success(roster(), "skill", challenge(3, 2), 0.75)
    means, _ = success.expect(["s3"], [(1, 1), (2, 1), (2, 2), (3, 2)])
    assert list(np.diff(means)) == pytest.approx([-log(2)] * 3)


@given(mean=st.floats(-4, 4), spread=st.floats(0, 2))
def test_the_expected_share_is_that_of_an_integral(mean: float, spread: float) -> None:
    """The short formula is within one in a hundred of the share averaged over all that the logit may be (scipy)."""
    averaged, _ = quad(lambda away: expit(mean + spread * away) * norm.pdf(away), -8, 8)
    assert chance(shrunk(mean, spread)) == pytest.approx(averaged, abs=0.01)


def test_the_middle_of_the_class_succeeds_as_usual_in_the_middle_of_all_levers() -> None:
    """Three of four, and the ends of a class are five settings apart where there are as many (assumptions of ours)."""
    nine = Success(roster(9), "skill", challenge(3, 3, 3), 0.75)
    (middle,), _ = nine.expect(["s4"], [(2, 2, 2)])
    (low,), _ = nine.expect(["s0"], [(2, 2, 2)])
    (high,), _ = nine.expect(["s8"], [(2, 2, 2)])
    assert chance(float(middle)) == pytest.approx(0.75)
    assert float(high - low) == pytest.approx(5 * log(2))


def test_the_curve_is_the_logistic_curve_of_a_published_table() -> None:
    """Expected scores of Elo (0 .500, 100 .640, 200 .760, 400 .909) are this curve: 400 points are ln 10 in odds."""
    for points, share in ((0, 0.5), (100, 0.640), (200, 0.760), (400, 0.909)):
        assert chance(points / 400 * 2.302585092994046) == pytest.approx(share, abs=5e-4)


@given(SUCCESS_SHARES)
def test_a_share_and_its_logit_are_there_and_back(share: float) -> None:
    assert chance(logit(share)) == pytest.approx(share)


def test_rises_and_abilities_are_those_of_an_independent_logistic_regression() -> None:
    """Penalised maximum likelihood by scikit-learn (L2, which is a Gaussian prior at 0) on the same attempts.

    Its penalty is one for all coefficients; columns are scaled by the spreads of the priors, and what the priors expect
    goes in as an offset by centring, so that the two must agree to the accuracy of its solver.
    """
    from sklearn.linear_model import LogisticRegression

    random, counts = Random(3), (3, 3, 2)
    people = [f"s{n}" for n in range(6)]
    unknowns: list[Unknown] = [*map(Ability, people), Demand(0, 0)]
    unknowns += [Rise("", lever, step) for lever, count in enumerate(counts) for step in range(1, count)]
    spreads = {u: 0.8 if isinstance(u, Ability) else 0.7 if isinstance(u, Demand) else 0.6 for u in unknowns}
    rows, hits = [], []
    trials = []
    for _ in range(160):
        at = tuple(random.randint(1, count) for count in counts)
        members = random.sample(people, 2)
        weights: dict[Unknown, float] = {Ability(who): 0.5 for who in members}
        weights[Demand(0, 0)] = -1.0
        weights |= {rise: -each for rise, each in settings_weights(counts, at).items()}
        hit = random.randint(0, 1)
        trials.append(Trial(weights, float(hit), 1.0))
        rows.append([weights.get(u, 0.0) * spreads[u] for u in unknowns])
        hits.append(hit)
    ours = posterior_of({u: Prior(0.0, spreads[u]) for u in unknowns}, trials)
    theirs = LogisticRegression(C=1.0, fit_intercept=False, tol=1e-10, max_iter=10_000).fit(np.array(rows), hits)
    assert [ours.mean(u) for u in unknowns] == pytest.approx(
        [coefficient * spreads[u] for u, coefficient in zip(unknowns, theirs.coef_[0], strict=True)], abs=1e-4
    )


def test_the_doubt_is_that_of_an_independent_regression_where_much_was_seen() -> None:
    """Standard errors of statsmodels' binomial regression, to which the prior adds next to nothing then."""
    import statsmodels.api as sm

    random, counts = Random(5), (3, 2)
    rows, hits, tries = [], [], 400
    unknowns: list[Unknown] = [Demand(0, 0), Rise("", 0, 1), Rise("", 0, 2), Rise("", 1, 1)]
    trials = []
    for at in ((1, 1), (2, 1), (3, 1), (1, 2), (2, 2), (3, 2)):
        weights: dict[Unknown, float] = {Demand(0, 0): -1.0}
        weights |= {rise: -each for rise, each in settings_weights(counts, at).items()}
        hit = sum(random.random() < 0.6 for _ in range(tries))
        rows.append([weights.get(u, 0.0) for u in unknowns])
        hits.append((hit, tries - hit))
        trials.append(Trial(weights, hit / tries, tries))
    ours = posterior_of({u: Prior(0.0, 100.0) for u in unknowns}, trials)
    theirs = sm.GLM(np.array(hits), np.array(rows), family=sm.families.Binomial()).fit()
    assert [ours.mean(u) for u in unknowns] == pytest.approx(list(theirs.params), abs=1e-4)
    assert [ours.spread(u) for u in unknowns] == pytest.approx(list(theirs.bse), rel=1e-3)


def test_the_doubt_about_a_group_is_that_of_the_whole_covariance() -> None:
    """Means and spreads of tasks, against the sum written out unknown by unknown."""
    told = (seen("s1 s2", (1, 2), 9), seen("s2 s3", (3, 1), 4), seen("s1", (2, 2), 6))
    success = Success(roster(), "skill", challenge(3, 2), 0.75, told, lesson=1)
    posterior = success._posterior
    (mean,), (spread,) = success.expect(["s1", "s7"], [(3, 2)])
    row = np.zeros(len(posterior.unknowns))
    row[posterior.unknowns.index(Ability("s1"))] = 0.5
    row[posterior.unknowns.index(Demand(0, 0))] = -1
    for rise, weight in settings_weights((3, 2), (3, 2)).items():
        row[posterior.unknowns.index(rise)] = -weight
    other = success.prior_of("s7")
    assert float(mean) == pytest.approx(row @ posterior.values + 0.5 * other.mean)
    assert float(spread) ** 2 == pytest.approx(row @ posterior.covariance @ row + 0.25 * other.spread**2)


def test_levers_that_are_known_are_found() -> None:
    """A class of twelve and two levers, of which one takes a lot and the other next to nothing: by the third lesson
    the right one stands first and surely so, and the truth lies inside of what is said of each."""
    random, people = Random(1), [f"s{n}" for n in range(12)]
    truth = {(1, 1): 2.0, (2, 1): 0.0, (1, 2): 1.9, (2, 2): -0.1, (1, 3): 1.8, (2, 3): -0.2}
    told = []
    for lesson in (1, 2):
        for _ in range(18):
            at = (random.randint(1, 2), random.randint(1, 3))
            hits = sum(random.random() < chance(truth[at]) for _ in range(10))
            told.append(seen(" ".join(random.sample(people, 2)), at, hits, lesson=lesson))
    success = Success(roster(12, rated=False), "", challenge(2, 3), 0.75, tuple(told), lesson=3)
    first, second = success.effects()
    assert (first.lever, second.lever) == ("lever 1", "lever 2") and first.most > 0.8
    assert abs(first.logits - 2.0) < 1.645 * first.spread and abs(second.logits - 0.2) < 1.645 * second.spread
    likely, least, most = first.drop(0.8)
    assert least < likely < most < 0.8


def test_before_anything_is_seen_no_lever_is_said_to_move_most() -> None:
    """Two of as many settings are alike: even chances."""
    assert [e.most for e in Success(roster(), "skill", challenge(3, 3), 0.75).effects()] == pytest.approx([0.5, 0.5])


@pytest.mark.parametrize("felt", ["easy", "right", "hard"])
def test_quick_words_move_up_down_and_not_at_all(felt: str) -> None:
    """'Right' leaves a group where it is, if that is where the wanted share succeeds."""
    before = Success(roster(9), "skill", challenge(3, 3, 3), 0.75)
    at = (2, 2, 2)
    after = Success(roster(9), "skill", challenge(3, 3, 3), 0.75, (seen("s4", at, 0, felt=felt),), lesson=1)
    moved = float(after.expect(["s4"], [at])[0][0] - before.expect(["s4"], [at])[0][0])
    assert {"easy": moved > 0.1, "right": abs(moved) < 1e-9, "hard": moved < -0.1}[felt]


@pytest.mark.parametrize("felt", ["hard", "right", "easy"])
def test_a_quick_word_is_as_likely_as_in_an_independent_ordered_logit(felt: str) -> None:
    """By how much more likely one ability makes a word than another: that of statsmodels' ordered model."""
    from statsmodels.miscmodels.ordinal_model import OrderedModel

    words, logits = ("hard", "right", "easy"), np.linspace(-3, 5, 17)
    success = Success(roster(), "skill", challenge(2, 2), 0.75, lesson=1)
    (told,) = (seen("s1", (1, 1), 0, felt=felt),)
    ours = np.zeros(len(logits))
    for trial in success._trials(told):
        slope = trial.weights[Ability("s1")]
        sign = 1 if trial.share else -1
        ours += trial.count / model.WORD_COUNT * np.log(expit(sign * (trial.offset + slope * logits)))
    # Every word has to be there once for statsmodels.
    there = OrderedModel([words.index(felt)] * len(logits) + [0, 1, 2], [*logits, 0, 0, 0], distr="logit")
    low, high = (model.WORD_SLOPE * (logit(0.75) + off) for off in (-model.WORD_WIDTH, model.WORD_WIDTH))
    theirs = there.loglikeobs(np.array([model.WORD_SLOPE, low, np.log(high - low)]))[: len(logits)]
    assert ours - ours[8] == pytest.approx(theirs - theirs[8], abs=1e-9)


@given(st.integers(1, 20), st.data())
def test_more_successes_never_move_a_group_down(tries: int, data: st.DataObject) -> None:
    """And the same share at a harder task says more of a group."""
    hits = data.draw(st.integers(0, tries - 1))
    found = []
    for hit, at in ((hits, (1, 1)), (hits + 1, (1, 1)), (hits + 1, (3, 2))):
        told = (seen("s3 s4", at, hit, tries),)
        success = Success(roster(), "skill", challenge(3, 2), 0.75, told, lesson=1)
        found.append(float(success.expect(["s3"], [(2, 1)])[0][0]))
    assert found[0] < found[1] <= found[2] + 1e-9


def test_counted_attempts_go_before_the_quick_word() -> None:
    """Where both are there."""
    counted = seen("s1 s2", (1, 1), 2)
    both = Seen(TaskResult(RoundKey(1, 1, 1), "1", "easy", 2, 10, (1, 1)), (1, 1), ("s1", "s2"))
    shares = [
        Success(roster(), "skill", challenge(2, 2), 0.75, (each,), lesson=1).share(["s1"], (1, 1))
        for each in (counted, both)
    ]
    assert shares[0] == shares[1]


def test_what_was_seen_long_ago_counts_less() -> None:
    """A class gets better at what it does."""
    shares = [
        Success(roster(), "skill", challenge(2, 2), 0.75, (seen("s1", (1, 1), 0),), lesson=now).share(["s1"], (1, 1))
        for now in (1, 3, 6)
    ]
    assert shares == sorted(shares) and shares[0] < shares[2]


def test_what_was_seen_long_ago_counts_less_in_a_class_that_stands_still(monkeypatch: pytest.MonkeyPatch) -> None:
    """With no pace of the class to explain it away, a failure of five lessons ago is worth less than one of today."""
    monkeypatch.setattr(model, "GAIN_SPREAD", 1e-6)
    monkeypatch.setattr(model, "DRIFT_SPREAD", 1e-6)
    nothing, at_once, later = (
        Success(roster(), "skill", challenge(2, 2), 0.75, told, lesson=now).share(["s1"], (1, 1))
        for told, now in (((), 1), ((seen("s1", (1, 1), 0),), 1), ((seen("s1", (1, 1), 0),), 6))
    )
    assert at_once + 0.02 < later < nothing - 0.02


@pytest.mark.parametrize("gain", [-0.2, 0.0, 0.2])
def test_how_fast_a_class_gets_better_is_learnt_of_it(gain: float) -> None:
    """What it will do in lesson 7 is foreseen before: the true logit is inside of what is said in ten of twelve drawn
    classes at least, and right on average. An independent regression with the lesson as a number finds the same pace
    (scikit-learn, hardly penalised)."""
    from sklearn.linear_model import LogisticRegression

    people, at = [f"s{n}" for n in range(12)], (1, 1)
    off, inside = [], []
    for drawn in range(12):
        random = Random(drawn)
        told = []
        for lesson in [each for each in range(1, 7) for _ in range(18)]:
            hits = sum(random.random() < chance(0.5 + gain * (lesson - 1)) for _ in range(10))
            told.append(seen(" ".join(random.sample(people, 2)), at, hits, lesson=lesson))
        success = Success(roster(12, rated=False), "", challenge(2, 2), 0.75, tuple(told), lesson=7)
        means, spreads = success.expect(people, [at])
        off.append(float(means[0]) - (0.5 + gain * 6))
        inside.append(abs(off[-1]) < 1.96 * float(spreads[0]))
        lessons = np.array([[one.result.key.lesson] for one in told for _ in range(10)], dtype=float)
        succeeded = np.array([try_ < (one.result.hits or 0) for one in told for try_ in range(10)])
        pace = LogisticRegression(C=1e6).fit(lessons, succeeded).coef_[0, 0]
        before = replace(success, lesson=6)
        assert abs(float(means[0] - before.expect(people, [at])[0][0]) - pace) < 0.12
    assert abs(float(np.mean(off))) < 0.12 and sum(inside) >= 10


def test_a_lever_that_was_not_in_play_says_nothing_of_itself() -> None:
    """It was switched on later: its rise is as unsure as before."""
    told = (seen("s1 s2", (2, 0), 9), seen("s3 s4", (1, 0), 9))
    success = Success(roster(), "skill", challenge(2, 2), 0.75, told, lesson=1)
    spread = {setting: each for _, setting, _, each in success.rises()}
    new = [each for lever, _, _, each in success.rises() if lever == "lever 2"]
    assert spread and new == pytest.approx([0.6])


def test_a_group_settles_where_the_wanted_share_succeeds() -> None:
    """Sixty rounds of ten attempts at a hidden ability, each at the task nearest to the share that is wanted.

    Settings are whole; the truth of this group lets the nearest be within 0.09 of the share.
    """
    random, told, found = Random(4), [], []
    for _ in range(60):
        success = Success(roster(), "skill", challenge(4, 4, 4), 0.75, tuple(told), lesson=1)
        ats = [(a, b, c) for a in range(1, 5) for b in range(1, 5) for c in range(1, 5)]
        means, spreads = success.expect(["s0"], ats)
        shares = [chance(shrunk(float(m), float(s))) for m, s in zip(means, spreads, strict=True)]
        at = min(zip(ats, shares, strict=True), key=lambda each: abs(each[1] - 0.75))[0]
        truth = chance(4.1 - 0.69 * (sum(at) - 3))
        hits = sum(random.random() < truth for _ in range(10))
        told.append(seen("s0", at, hits))
        found.append(truth)
    assert sum(found[20:]) / 40 == pytest.approx(0.75, abs=0.04)


def test_the_share_over_a_doubtful_ability_is_that_of_the_integral() -> None:
    """MacKay's approximation against the sum over binomial trials of a finely cut normal distribution."""
    for mean, spread in ((1.1, 0.8), (2.0, 1.2), (0.0, 2.0)):
        grid = np.linspace(-8, 8, 4001)
        weights = np.exp(-(grid**2) / 2)
        exact = float((weights / (1 + np.exp(-(mean + spread * grid)))).sum() / weights.sum())
        assert chance(shrunk(mean, spread)) == pytest.approx(exact, abs=0.02)
