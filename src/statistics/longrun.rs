//! The variance that a mean of correlated samples has, from the slow waves in them.
//!
//! The batch means are projected on a few cosines; the squares of these projections estimate the
//! spectrum at zero, which is what the variance of a mean depends on, and their number gives the
//! degrees of freedom of a Student interval. (Equal-weighted cosine estimator: Lazarus, Lewis,
//! Stock and Watson, Journal of Business and Economic Statistics 36, 2018, quoted from memory.)
//! Where the run holds few independent samples the cosines lie on the slope of the spectrum; each is then
//! raised by what a first-order autoregression of that correlation loses there, 1 + (π j / 2 n)².
//! Few cosines make wide but honest intervals; simulated spots settled on six.

/// The number of cosines, and with it the degrees of freedom.
pub(super) const COSINES: u32 = 6;

/// Fewer batches than this carry no interval.
pub(super) const LEAST: usize = 20;

/// The long-run variance a sample, from means of batches of `size` samples, for a run that is worth
/// `effective` independent samples.
///
/// The cosines `skip + 1 ..= skip + COSINES` are used; `skip` is 1 where a straight line was taken out
/// of the means, for the first cosine is nearly a line.
pub(super) fn long_run_variance(means: &[f64], size: u32, skip: u32, effective: f64) -> f64 {
    let n = means.len() as f64;
    let centre = means.iter().sum::<f64>() / n;
    let power: f64 = (skip + 1..=skip + COSINES)
        .map(|wave| {
            let wave = f64::from(wave);
            let projected: f64 = means
                .iter()
                .enumerate()
                .map(|(i, m)| {
                    (m - centre) * (std::f64::consts::PI * wave * (i as f64 + 0.5) / n).cos()
                })
                .sum();
            let lost = 1.0 + (std::f64::consts::PI * wave / (2.0 * effective)).powi(2);
            projected * projected * 2.0 / n * lost
        })
        .sum();
    f64::from(size) * power / f64::from(COSINES)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::random::Random;
    use crate::statistics::tests::ar1;

    #[test]
    fn the_estimate_centres_on_the_known_variance() {
        // AR(1): long-run variance = variance × (1 + rho) / (1 - rho).
        let mut random = Random::seeded(3);
        let truth = 4.0 * 1.6 / 0.4;
        let mean = (0..400)
            .map(|_| long_run_variance(&ar1(&mut random, 600, 0.6, 2.0, 0.0), 1, 0, 150.0))
            .sum::<f64>()
            / 400.0;
        assert!((mean / truth - 1.0).abs() < 0.1, "{mean} against {truth}");
    }
}
