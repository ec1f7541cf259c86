//! Student's t distribution, by the continued fraction of the incomplete beta function.
//!
//! Formulas: NIST Digital Library of Mathematical Functions §8.17 (incomplete beta, 8.17.22) and
//! §5.11 (log gamma by Stirling's series). Checked against tables and, outside, against a
//! statistics library.

/// The share of Student's t distribution with `df` degrees of freedom that lies below `t`.
pub fn student_cdf(t: f64, df: f64) -> f64 {
    if t.is_nan() || df.is_nan() || df <= 0.0 {
        return f64::NAN;
    }
    let tail = 0.5 * beta_share(df / (df + t * t), df / 2.0, 0.5);
    if t > 0.0 { 1.0 - tail } else { tail }
}

/// The value below which the share `p` of Student's t distribution lies; not a number unless `0 < p < 1`.
pub fn student_quantile(p: f64, df: f64) -> f64 {
    if !(p > 0.0 && p < 1.0 && df > 0.0) {
        return f64::NAN;
    }
    let (mut low, mut high) = (-1.0, 1.0);
    while student_cdf(low, df) > p && low > -1e12 {
        low *= 2.0;
    }
    while student_cdf(high, df) < p && high < 1e12 {
        high *= 2.0;
    }
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if student_cdf(middle, df) < p {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

/// The regularised incomplete beta function.
fn beta_share(x: f64, a: f64, b: f64) -> f64 {
    if x <= 0.0 {
        return 0.0;
    }
    if x >= 1.0 {
        return 1.0;
    }
    // The fraction converges fast below its turning point only; the mirror serves above it.
    if x > (a + 1.0) / (a + b + 2.0) {
        return 1.0 - beta_share(1.0 - x, b, a);
    }
    let front =
        (a * x.ln() + b * (1.0 - x).ln() + ln_gamma(a + b) - ln_gamma(a) - ln_gamma(b)).exp() / a;
    front * beta_fraction(x, a, b)
}

/// The continued fraction, evaluated by Lentz's method.
fn beta_fraction(x: f64, a: f64, b: f64) -> f64 {
    let kept = |v: f64| if v.abs() < 1e-300 { 1e-300 } else { v };
    let mut c = 1.0;
    let mut d = 1.0 / kept(1.0 - (a + b) * x / (a + 1.0));
    let mut value = d;
    for i in 1..500 {
        let m = f64::from(i);
        let even = m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m));
        d = 1.0 / kept(1.0 + even * d);
        c = kept(1.0 + even / c);
        value *= d * c;
        let odd = -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0));
        d = 1.0 / kept(1.0 + odd * d);
        c = kept(1.0 + odd / c);
        let step = d * c;
        value *= step;
        if (step - 1.0).abs() < 1e-15 {
            break;
        }
    }
    value
}

/// The logarithm of the gamma function for positive arguments.
fn ln_gamma(mut x: f64) -> f64 {
    let mut shift = 0.0;
    while x < 10.0 {
        shift -= x.ln();
        x += 1.0;
    }
    let r = 1.0 / (x * x);
    let series =
        (1.0 / 12.0 - r * (1.0 / 360.0 - r * (1.0 / 1260.0 - r * (1.0 / 1680.0 - r / 1188.0)))) / x;
    shift + (x - 0.5) * x.ln() - x + 0.5 * std::f64::consts::TAU.ln() + series
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantiles_agree_with_the_printed_table() {
        // NIST/SEMATECH e-Handbook of Statistical Methods, table 1.3.6.7.2, three decimals.
        for (df, at_975, at_995) in [
            (1.0, 12.706, 63.657),
            (6.0, 2.447, 3.707),
            (10.0, 2.228, 3.169),
            (30.0, 2.042, 2.750),
            (100.0, 1.984, 2.626),
        ] {
            assert!((student_quantile(0.975, df) - at_975).abs() < 6e-4, "{df}");
            assert!((student_quantile(0.995, df) - at_995).abs() < 6e-4, "{df}");
        }
    }

    #[test]
    fn the_share_below_a_quantile_is_its_share() {
        for df in [1.0, 2.5, 6.0, 40.0, 1e4] {
            for p in [0.001, 0.2, 0.5, 0.9, 0.9999] {
                assert!((student_cdf(student_quantile(p, df), df) - p).abs() < 1e-9, "{df} {p}");
            }
        }
    }

    #[test]
    fn shares_outside_nothing_and_everything_have_no_quantile() {
        assert!(student_quantile(0.0, 5.0).is_nan() && student_quantile(1.0, 5.0).is_nan());
        assert!(student_cdf(f64::NAN, 5.0).is_nan() && student_cdf(0.0, -1.0).is_nan());
    }
}
