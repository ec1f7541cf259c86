//! Many comparisons at once: which of them count when chance alone shows something in one of twenty.
//!
//! The step-up rule of Benjamini and Hochberg (Journal of the Royal Statistical Society B 57, 1995): of the
//! comparisons that are called changed, on average at most the stated share is chance.

/// The share of false alarms among the reported changes that is accepted.
pub const FALSE_ALARMS: f64 = 0.05;

/// Which of the chances count as changes at this rate of false alarms.
pub fn discoveries(chances: &[f64], rate: f64) -> Vec<bool> {
    let mut order: Vec<f64> = chances.iter().copied().filter(|p| p.is_finite()).collect();
    order.sort_by(f64::total_cmp);
    let n = order.len() as f64;
    let limit = order
        .iter()
        .enumerate()
        .rev()
        .find(|(i, p)| **p <= rate * (*i as f64 + 1.0) / n)
        .map(|(_, p)| *p);
    chances.iter().map(|p| limit.is_some_and(|limit| *p <= limit)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_step_up_rule_gives_the_published_example() {
        // Benjamini and Hochberg 1995, section 3.3: of 15 chances, four count at 0.05.
        let chances = [
            0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459, 0.3240, 0.4262,
            0.5719, 0.6528, 0.7590, 1.0,
        ];
        let found = discoveries(&chances, FALSE_ALARMS);
        assert_eq!(found.iter().filter(|f| **f).count(), 4);
        assert!(found[3] && !found[4]);
    }

    #[test]
    fn what_is_not_a_number_never_counts() {
        assert_eq!(discoveries(&[f64::NAN, 0.001], 0.05), [false, true]);
        assert!(discoveries(&[], 0.05).is_empty());
    }
}
