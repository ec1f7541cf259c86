//! Student's t distribution as the rooms above ask for it.
//!
//! The distribution itself is the `statrs` library's; shares and quantiles that do not exist are not a
//! number here. Checked against a printed table and, outside, against a second library.

use statrs::distribution::{ContinuousCDF, StudentsT};

/// More degrees of freedom make no difference that counts, and the library loses digits there.
const MOST_DF: f64 = 1e5;

/// The share of Student's t distribution with `df` degrees of freedom that lies below `t`.
pub fn student_cdf(t: f64, df: f64) -> f64 {
    match StudentsT::new(0.0, 1.0, df.min(MOST_DF)) {
        Ok(distribution) if !t.is_nan() => distribution.cdf(t),
        _ => f64::NAN,
    }
}

/// The value below which the share `p` of Student's t distribution lies; not a number unless `0 < p < 1`.
///
/// By halving on the distribution function: the library's own quantile is off by 6e-5 at a million degrees of
/// freedom and does not end at a thousand million.
pub fn student_quantile(p: f64, df: f64) -> f64 {
    let distribution = match StudentsT::new(0.0, 1.0, df.min(MOST_DF)) {
        Ok(distribution) if p > 0.0 && p < 1.0 => distribution,
        _ => return f64::NAN,
    };
    let (mut low, mut high) = (-1.0, 1.0);
    while distribution.cdf(low) > p && low > -1e12 {
        low *= 2.0;
    }
    while distribution.cdf(high) < p && high < 1e12 {
        high *= 2.0;
    }
    while high - low > 1e-13 * low.abs().max(high.abs()).max(1e-3) {
        let middle = 0.5 * (low + high);
        if middle <= low || middle >= high {
            break;
        }
        if distribution.cdf(middle) < p {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
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
            for p in [1e-8, 0.001, 0.2, 0.5, 0.9, 0.9999] {
                assert!(
                    (student_cdf(student_quantile(p, df), df) - p).abs() < 1e-9 * p.max(1e-3),
                    "{df} {p}"
                );
            }
        }
    }

    #[test]
    fn shares_outside_nothing_and_everything_have_no_quantile() {
        assert!(
            (student_quantile(0.975, 1e12) - 1.959_964).abs() < 1e-4,
            "the normal distribution's"
        );
        assert!(student_quantile(0.0, 5.0).is_nan() && student_quantile(1.0, 5.0).is_nan());
        assert!(student_cdf(f64::NAN, 5.0).is_nan() && student_cdf(0.0, -1.0).is_nan());
    }
}
