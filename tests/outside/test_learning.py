"""Learning from touch tests, against a survival-analysis library and textbook formulas."""

import math
import random

import numpy as np
import pytest

from jobs.paint.learning import Prior, posterior
from jobs.paint.touch import Observation

FLAT = 1000.0
"""A prior so wide that it is level over the whole grid."""


def touched_coats(*, seed: int, coats: int, factor: float, spread: float) -> list[Observation]:
    """Coats drying lognormally, each touched a few times at random: some never wet, or dry."""
    dice = random.Random(seed)
    found = []
    while len(found) < coats:
        dry_at = factor * math.exp(dice.gauss(0, spread))
        touched = sorted(dice.uniform(0.3, 2.5) * factor for _ in range(3))
        low = max((at for at in touched if at < dry_at), default=0.0)
        high = min((at for at in touched if at >= dry_at), default=math.inf)
        found.append(Observation(low, high))
    return found


@pytest.mark.parametrize(
    ("seed", "coats", "factor", "spread"),
    [(1, 40, 1.2, 0.4), (2, 15, 0.5, 0.3), (3, 60, 2.0, 0.5), (4, 25, 1.0, 0.35)],
)
def test_with_a_flat_prior_the_likeliest_factor_is_the_librarys_maximum_likelihood(
    seed: int, coats: int, factor: float, spread: float
) -> None:
    # lifelines, LogNormalFitter.fit_interval_censoring: location mu and spread sigma of the
    # logarithm by maximum likelihood. Ours is given its sigma, and no slips are allowed for.
    from lifelines import LogNormalFitter  # slow to import

    found = touched_coats(seed=seed, coats=coats, factor=factor, spread=spread)
    library = LogNormalFitter().fit_interval_censoring(
        np.array([each.low for each in found]), np.array([each.high for each in found])
    )
    error = library.summary.loc["mu_", "se(coef)"]
    ours = posterior(found, Prior(sd=FLAT, observation_sd=library.sigma_))
    assert any(each.low == 0 for each in found)
    assert any(each.high == math.inf for each in found)
    # Half a step of the grid is 0.005; a standard error here is 0.06 and more.
    assert max(zip(ours.after, ours.grid, strict=True))[1] == pytest.approx(library.mu_, abs=0.006)
    assert math.log(ours.median) == pytest.approx(library.mu_, abs=0.25 * error)
    assert ours.sd == pytest.approx(error, rel=0.15)


def test_narrow_intervals_give_the_textbook_normal_posterior() -> None:
    # Conjugate normal with known variance (Gelman et al., Bayesian Data Analysis, ch. 2, from
    # memory): precision 1/tau² + n/s², mean (sum of logs / s²) / precision.
    from scipy import stats  # slow to import

    tau, sd = 0.225, 0.39
    logs = [0.1, 0.35, 0.5, 0.22, -0.1]
    found = posterior(
        [Observation(math.exp(x - 1e-4), math.exp(x + 1e-4)) for x in logs], Prior(tau, sd)
    )
    precision = 1 / tau**2 + len(logs) / sd**2
    assert math.log(found.median) == pytest.approx(sum(logs) / sd**2 / precision, abs=1e-4)
    assert found.sd == pytest.approx(precision**-0.5, rel=1e-3)
    width = math.log(found.high / found.low)
    assert width == pytest.approx(2 * stats.norm.ppf(0.9) * precision**-0.5, rel=1e-3)


def test_the_grid_agrees_with_adaptive_quadrature_slips_and_all() -> None:
    # scipy's adaptive quadrature over the same model, written out anew with scipy's normal.
    from scipy import integrate, stats  # slow to import

    prior = Prior(sd=0.25, observation_sd=0.4, wild_share=0.05, wild_spread=2.0)
    found = [
        Observation(0.8, 1.5),
        Observation(1.2, math.inf),
        Observation(0, 2.0),
        Observation(20, 22),
    ]

    def weight(u: float) -> float:
        density = stats.norm.pdf(u, scale=prior.sd)
        for each in found:
            low, high = (math.log(end) if end else -math.inf for end in (each.low, each.high))
            right, slip = (
                stats.norm.cdf(high, *shape) - stats.norm.cdf(low, *shape)
                for shape in ((u, prior.observation_sd), (0, prior.wild_spread))
            )
            density *= 0.95 * right + 0.05 * slip
        return density

    def integral(moment: int) -> float:
        return integrate.quad(lambda u: u**moment * weight(u), -2.5, 2.5, epsabs=0, epsrel=1e-9)[0]

    mean = integral(1) / integral(0)
    sd = math.sqrt(integral(2) / integral(0) - mean**2)
    ours = posterior(found, prior)
    step = ours.grid[1] - ours.grid[0]
    assert sum(u * p for u, p in zip(ours.grid, ours.after, strict=True)) * step == pytest.approx(
        mean, abs=1e-5
    )
    assert ours.sd == pytest.approx(sd, rel=1e-4)
