"""Long chains over the model of the room `evidence`, by an independent sampler, on fixed data.

Writes chain.json. The model is written once more from its page (the head of src/evidence/model.rs), with numpy; the sampler is
emcee's affine-invariant ensemble (Foreman-Mackey and others 2013). The shapes (sigma, s) are summed over, so that the chain
runs over the continuous numbers alone. Run: python3 chain.py (numpy, emcee; some minutes).
"""

import json

import emcee
import numpy as np

SPREADS = [0.08, 0.16, 0.32, 0.64]
FROM_SCALE = [0.2, 0.4, 0.7, 1.1]
TOGETHER = 0.02

# channel of each distractor; pulls on each rung (distractor, pull)
CHANNELS = [0, 0, 1, 1]
RUNGS = [
    [],
    [(0, 0.10)],
    [(0, 0.10), (1, 0.12)],
    [(0, 0.20), (1, 0.12)],
    [(0, 0.20), (1, 0.12), (2, 0.15)],
    [(0, 0.20), (1, 0.12), (2, 0.15), (3, 0.10)],
]
# day, rung, opportunities, answered alone
CASES = {
    "second thing strong": [
        (0, 0, 10, 10), (2, 1, 10, 9), (4, 1, 10, 10), (7, 2, 10, 5), (9, 2, 10, 6), (12, 3, 10, 5),
        (15, 3, 12, 7), (19, 4, 10, 4), (22, 4, 10, 5), (26, 5, 10, 4),
    ],
    "few sessions": [(0, 1, 10, 9), (3, 2, 10, 7), (6, 3, 8, 6)],
    "all well": [
        (0, 0, 10, 10), (2, 1, 10, 10), (4, 2, 10, 10), (6, 3, 10, 10), (9, 4, 10, 9), (11, 5, 10, 10), (14, 5, 10, 9),
    ],
}


def density(sittings):
    days = sorted({one[0] for one in sittings})
    things = sorted({i for one in sittings for i, _ in RUNGS[one[1]]})
    channels = sorted({CHANNELS[i] for i in things})
    n, count, wide = len(things), len(days), len(channels)
    steps = np.array([0.8] + [0.04 * np.sqrt(max(b - a, 0.5)) for a, b in zip(days, days[1:])])

    def log_density(points):
        w = points[:, :n]
        theta = points[:, n:].reshape(-1, count, wide)
        moved = np.diff(theta, axis=1, prepend=np.log(0.5))
        prior = -0.5 * ((moved / steps[None, :, None]) ** 2).sum(axis=(1, 2))
        shapes = []
        for spread in SPREADS:
            value = np.zeros(len(points))
            for day, rung, trials, alone in sittings:
                at = days.index(day)
                strain = np.zeros(len(points))
                for thing, pull in RUNGS[rung]:
                    channel = channels.index(CHANNELS[thing])
                    strain += pull * np.exp(w[:, things.index(thing)] - theta[:, at, channel])
                p = 0.97 / (1.0 + np.exp(np.minimum(-(1.0 - strain) / spread, 700.0)))
                counts = 1.0 / (1.0 + (trials - 1.0) * TOGETHER)
                value += counts * (alone * np.log(np.maximum(p, 1e-300)) + (trials - alone) * np.log1p(-p))
            for sigma in FROM_SCALE:
                shapes.append(value - 0.5 * (w**2).sum(axis=1) / sigma**2 - n * np.log(sigma))
        return prior + np.logaddexp.reduce(shapes, axis=0)

    return log_density, things, channels, n + count * wide


def main():
    found = {"numpy": np.__version__, "emcee": emcee.__version__, "channels": CHANNELS, "rungs": RUNGS, "cases": []}
    for name, sittings in CASES.items():
        log_density, things, channels, size = density(sittings)
        random = np.random.default_rng(1)
        walkers = 8 * size
        start = 0.1 * random.normal(size=(walkers, size))
        start[:, len(things):] += np.log(0.5)
        np.random.seed(1)
        moves = [(emcee.moves.DEMove(), 0.7), (emcee.moves.DESnookerMove(), 0.1), (emcee.moves.StretchMove(), 0.2)]
        sampler = emcee.EnsembleSampler(walkers, size, log_density, vectorize=True, moves=moves)
        state = sampler.run_mcmc(start, 2000)
        sampler.reset()
        sampler.run_mcmc(state, 4000, thin_by=2)
        chain = sampler.get_chain()
        drawn = chain.reshape(-1, size)
        time = float(np.max(sampler.get_autocorr_time(quiet=True))) * 2
        print(name, "draws", len(drawn), "longest autocorrelation", time)
        last = size - len(channels)
        found["cases"].append({
            "name": name,
            "sittings": sittings,
            "effective_draws": round(walkers * 8000 / time),
            "w": [{"distractor": t, "mean": drawn[:, k].mean(), "sd": drawn[:, k].std(),
                   "low": np.quantile(drawn[:, k], 0.05), "high": np.quantile(drawn[:, k], 0.95)}
                  for k, t in enumerate(things)],
            "half_way": [{"channel": c, "mean": drawn[:, last + k].mean(), "sd": drawn[:, last + k].std()}
                         for k, c in enumerate(channels)],
        })
    with open("chain.json", "w") as out:
        json.dump(found, out, indent=1)
        out.write("\n")


main()
